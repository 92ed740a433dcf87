package board

// The kitchen file on the board: its lists, a form for each thing in them, and what follows from a change before it is written. One form
// serves all lists: which fields it has is said by the table of keys of package kitchen.

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"net/url"
	"os"
	"slices"
	"strconv"
	"strings"

	"kettletree/graph"
	"kettletree/menu/kitchen"
)

var amendPage = &page{Path: "/kitchen", Name: "Change the kitchen", File: "amend", Takes: []string{"list", "name", "new", "changed"}, Studies: true,
	Answer: func(ctx context.Context, a *asked) (any, error) { return a.amending(ctx) }}

// amending is what the page shows: the lists, or the form of one thing.
type amending struct {
	Lists    []amendList
	Open     int // questions
	List     string
	One      string // of the list, in words
	Name     string // "" of what is new
	Unlisted bool   // a made item of which the file says nothing yet
	Blanks   []blank
	Digest   string // of the file that the form is made from
	Hangs    []string
	Lines    map[string][]blank // of a step, to choose from: "takes", "gives"
	Proposal *proposal
	Changed  *kitchen.Kept // what was just written
	Number   int           // of that

	form url.Values
}

// Act is what is asked for; "" for nothing.
func (m *amending) Act() string { return m.form.Get("act") }

// Typed is what was typed into a field of the form of one act.
func (m *amending) Typed(act, field string) string {
	if m.Act() != act {
		return ""
	}
	return m.form.Get(field)
}

// As is the name that was typed in the form of one of some acts, or else another.
func (m *amending) As(acts, otherwise string) string {
	if m.Act() == "" || !slices.Contains(strings.Fields(acts), m.Act()) {
		return otherwise
	}
	return m.form.Get("as")
}

// Called is what is wrong with that name; nil for nothing.
func (m *amending) Called(acts string) *fault {
	if m.Proposal == nil || !slices.Contains(strings.Fields(acts), m.Act()) {
		return nil
	}
	return m.Proposal.wrong("as")
}

// Ready tells whether what the form of an act would write is shown.
func (m *amending) Ready(act string) bool {
	p := m.Proposal
	return p != nil && p.Act == act && p.Seen != ""
}

// amendList is a list of the kitchen file.
type amendList struct {
	List, One string
	Names     []string
}

// blank is a field of the form.
type blank struct {
	kitchen.Blank
	Field, Was, Value, ID string
	Rows                  int
	Chosen                bool
	Wrong                 *fault
}

// Names of fields: what stands in a blank, and what stood in it when the form was made.
const blankField, wasField = "blank ", "was "

// kitchenText is the kitchen file as it stands.
func (c *Config) kitchenText() ([]byte, error) {
	f, err := os.Open(c.Kitchen.Name)
	if err != nil {
		return nil, err
	}
	defer func() { _ = f.Close() }() // it is only read
	return io.ReadAll(io.LimitReader(f, kitchen.MostBytes+1))
}

// Changes is the form of what has a name in the kitchen; "" where the kitchen file has no such thing.
func (a *asked) Changes(name string) string {
	list := ""
	if i, err := a.Kitchen.FindItem(name); err == nil {
		list = map[graph.Role]string{graph.Bought: kitchen.InBought, graph.Made: kitchen.InMade}[a.Kitchen.Graph.Items[i].Role]
	}
	if _, err := a.Kitchen.FindStep(name); err == nil && list == "" {
		list = kitchen.InSteps
	}
	if d, err := a.Kitchen.FindDish(name); err == nil && list == "" {
		if list = kitchen.InDishes; a.Kitchen.Dishes[d].Special {
			list = kitchen.InSpecials
		}
	}
	if list == "" {
		return ""
	}
	return amendPage.Path + "?" + url.Values{"list": {list}, "name": {name}}.Encode()
}

// digestOf tells one text of the kitchen file from another.
func digestOf(src []byte) string { return fmt.Sprintf("%x", sha256.Sum256(src)) }

// amending makes the page.
func (a *asked) amending(ctx context.Context) (*amending, error) {
	a.passing = true // the file may change, and the changes that are kept with it
	src, err := a.board.kitchenText()
	if err != nil {
		return nil, err
	}
	file := a.board.Kitchen.Name
	m := &amending{List: a.Query.Get("list"), Name: a.Query.Get("name"), Digest: digestOf(src), Open: len(a.Kitchen.Questions)}
	if err := m.changed(file, a.Query.Get("changed")); err != nil {
		return nil, err
	}
	if m.One = kitchen.OneOf(m.List); m.One == "" {
		m.List = ""
	}
	if m.List == "" || m.Name == "" && a.Query.Get("new") == "" {
		return m, a.board.broken(m.lists(a.Kitchen, file, src))
	}
	m.form = a.Form.Values
	now, err := kitchen.Blanked(file, src, m.List, m.Name)
	if refused, ok := errors.AsType[*Refusal](a.board.broken(err)); ok && len(m.form) > 0 { // what was typed stays
		m.Proposal = &proposal{Act: m.form.Get("act"), As: m.form.Get("as"), Faults: []fault{{Msg: refused.Msg, Hint: refused.Hint, Excerpt: refused.Excerpt}}}
		m.fill(m.blanks(wasField), m.form, m.Proposal)
		return m, nil
	}
	if err != nil {
		return nil, a.board.broken(err)
	}
	m.Unlisted = now == nil && m.List == kitchen.InMade && slices.Contains(unlisted(a.Kitchen, nil), m.Name)
	if now == nil && m.Name != "" && !m.Unlisted {
		return nil, &Refusal{Msg: fmt.Sprintf("there is no %s %q in the kitchen file", m.One, m.Name), Hint: "it may have been renamed or taken away since"}
	}
	form := m.form
	if len(form) > 0 {
		if m.Proposal, err = a.proposal(ctx, file, src, form); err != nil {
			return nil, err
		}
	}
	m.fill(now, form, m.Proposal)
	if m.Hangs, err = kitchen.HangsOn(file, src, m.List, m.Name); err != nil {
		return nil, a.board.broken(err)
	}
	if m.List == kitchen.InSteps && m.Name != "" {
		m.Lines = map[string][]blank{}
		for _, key := range []string{"takes", "gives"} {
			for n, line := range strings.Split(now[key], "\n") {
				m.Lines[key] = append(m.Lines[key], blank{Field: key + " line", Value: strconv.Itoa(n), Was: line, ID: fmt.Sprintf("%s-%d", key, n),
					Chosen: slices.Contains(form[key+" line"], strconv.Itoa(n))})
			}
		}
	}
	return m, nil
}

// blanks are what a form says of blanks, or of what stood in them.
func (m *amending) blanks(prefix string) map[string]string {
	texts := map[string]string{}
	for _, b := range kitchen.Blanks(m.List) {
		texts[b.Key] = strings.ReplaceAll(m.form.Get(prefix+b.Key), "\r\n", "\n")
	}
	return texts
}

// broken says that the kitchen file can't be changed as it stands.
func (c *Config) broken(err error) error {
	if e, ok := errors.AsType[*kitchen.AmendError](err); ok {
		return &Refusal{Msg: "the kitchen file can't be read as it stands", Hint: "mend it in the editor first", Excerpt: c.plainly(e.Faults)}
	}
	return err
}

// changed finds what was just written.
func (m *amending) changed(file, number string) error {
	n, err := strconv.Atoi(number)
	if err != nil {
		return nil
	}
	list, err := kitchen.Changes(file)
	if err != nil {
		return err
	}
	if n >= 1 && n <= len(list) {
		m.Changed, m.Number = &list[n-1], n
	}
	return nil
}

// lists names all that can be changed.
func (m *amending) lists(k *kitchen.Kitchen, file string, src []byte) error {
	for _, list := range kitchen.Lists {
		names, err := kitchen.NamesIn(file, src, list)
		if err != nil {
			return err
		}
		if list == kitchen.InMade {
			names = append(names, unlisted(k, names)...)
		}
		m.Lists = append(m.Lists, amendList{list, kitchen.OneOf(list), names})
	}
	return nil
}

// unlisted are the items that steps give and of which the file says nothing else.
func unlisted(k *kitchen.Kitchen, listed []string) (names []string) {
	for _, it := range k.Graph.Items {
		if it.Role == graph.Made && !slices.Contains(listed, it.Name) {
			names = append(names, it.Name)
		}
	}
	return names
}

// fill puts into the fields what stands in the file, or what was typed over it.
func (m *amending) fill(now map[string]string, form url.Values, p *proposal) {
	saves := slices.Contains([]string{"save", "enter"}, form.Get("act"))
	for n, b := range kitchen.Blanks(m.List) {
		f := blank{Blank: b, Field: blankField + b.Key, ID: fmt.Sprintf("blank-%d", n), Was: now[b.Key], Value: now[b.Key]}
		if saves && form.Has(f.Field) {
			typed := strings.ReplaceAll(form.Get(f.Field), "\r\n", "\n")
			if typed != strings.ReplaceAll(form.Get(wasField+b.Key), "\r\n", "\n") { // what nobody touched is as the file has it now
				f.Value = typed
			}
		}
		f.Rows = max(2, min(14, strings.Count(f.Value, "\n")+2))
		if p != nil {
			f.Wrong = p.wrong(f.Field)
		}
		m.Blanks = append(m.Blanks, f)
	}
}

// Common are the fields that most change: those that stand in the file, and a few more where it is new. Rare are the others.
func (m *amending) Common() []blank {
	return slices.DeleteFunc(slices.Clone(m.Blanks), func(b blank) bool { return !b.common(m) })
}
func (m *amending) Rare() []blank {
	return slices.DeleteFunc(slices.Clone(m.Blanks), func(b blank) bool { return b.common(m) })
}

func (b blank) common(m *amending) bool {
	usual := map[string]string{kitchen.InBought: " price pack from arrives keeps allergens ", kitchen.InSteps: " takes gives batches starts vessel cooks through ",
		kitchen.InMade: " keeps worth density ", kitchen.InDishes: " price takes sells ", kitchen.InSpecials: " price takes in place of ", "vessels": " holds ", "suppliers": " delivers order by "}
	return b.Needed || b.Value != "" || b.Wrong != nil || strings.Contains(usual[m.List], " "+b.Key+" ")
}
