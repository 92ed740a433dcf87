package board

// The kitchen file on the board: its lists, a form for each thing in them, and what follows from a change before it is written. One form
// serves all lists: which fields it has is said by the table of keys of package kitchen.

import (
	"bytes"
	"cmp"
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

	"kettletree/cmd/kettletree/show"
	"kettletree/graph"
	"kettletree/menu/ask"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
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
	usual := map[string]string{kitchen.InBought: " price pack from arrives keeps allergens ", kitchen.InSteps: " takes gives batches starts vessel ",
		kitchen.InMade: " keeps worth density ", kitchen.InDishes: " price takes sells ", kitchen.InSpecials: " price takes in place of ", "vessels": " holds ", "suppliers": " delivers order by "}
	return b.Needed || b.Value != "" || b.Wrong != nil || strings.Contains(usual[m.List], " "+b.Key+" ")
}

// proposal is a change that is asked for: what it would write, and what follows.
type proposal struct {
	Act       string
	As        string // the name that it is to have
	Seen      string // digest of the text, for who writes what was seen
	Meanwhile []string
	Late      bool // the file has changed since the form was made
	Same      bool // nothing changes
	Faults    []fault
	Follows   *follows
	Unknown   string // why what follows can't be told
	Logged    bool   // what gets another name is in the log book by its former one

	text []byte
}

// wrong is what is wrong with a field of it; nil for nothing.
func (p *proposal) wrong(field string) *fault {
	for i := range p.Faults {
		if p.Faults[i].Field == field {
			return &p.Faults[i]
		}
	}
	return nil
}

// General is what is wrong beside no field.
func (p *proposal) General() (list []fault) {
	for _, f := range p.Faults {
		if f.Field == "" {
			list = append(list, f)
		}
	}
	return list
}

// follows is what follows from a change, as figures.
type follows struct {
	*ask.Difference
	Portions, Contribution string
	Changed                []string
	Plates                 []plateChange
}

// plateChange is a plate that costs something else.
type plateChange struct{ Dish, CostWas, CostIs, PriceWas, PriceIs string }

// keepsNames tells whether what gets another name keeps the former one in the file, for a log book or a kept plan that speaks of it.
func (c *Config) keepsNames(list string) bool {
	_, err := os.Lstat(c.Plan.Name)
	return list != "vessels" && list != "suppliers" && (logbook.Exists(c.LogBook) || c.Plan.Name != "" && err == nil)
}

// editsOf are the edits that a form asks for.
func (b *Board) editsOf(list, name string, form url.Values) []kitchen.Edit {
	blanks := func(prefix string) map[string]string {
		texts := map[string]string{}
		for _, b := range kitchen.Blanks(list) {
			if form.Has(prefix + b.Key) { // what is not asked stays
				texts[b.Key] = form.Get(prefix + b.Key)
			}
		}
		return texts
	}
	lines := func(key string) (at []int) {
		for _, text := range form[key+" line"] {
			if n, err := strconv.Atoi(text); err == nil {
				at = append(at, n)
			}
		}
		return at
	}
	as := trimmed(form.Get("as"))
	switch form.Get("act") {
	case "save":
		edits := kitchen.Filled(list, name, as, blanks(wasField), blanks(blankField))
		if as != "" && as != name && b.keepsNames(list) {
			edits = append(edits, kitchen.Was(as, name))
		}
		return edits
	case "enter":
		return []kitchen.Edit{kitchen.Enter(list, as, blanks(blankField))}
	case "copy":
		return []kitchen.Edit{kitchen.Copy(list, name, as)}
	case "drop":
		return []kitchen.Edit{kitchen.Drop(list, name)}
	case "split":
		return []kitchen.Edit{kitchen.Split(name, as, strings.TrimSpace(form.Get("through")), lines("takes"), lines("gives"))}
	}
	return nil
}

// proposal works out what a form asks for, and what would follow. Nothing is written.
func (a *asked) proposal(ctx context.Context, file string, src []byte, form url.Values) (*proposal, error) {
	list, name := a.Query.Get("list"), a.Query.Get("name")
	p := &proposal{Act: form.Get("act"), As: trimmed(form.Get("as")), Late: form.Get("digest") != digestOf(src)}
	if p.Late {
		now, _ := kitchen.Blanked(file, src, list, name)
		for _, b := range kitchen.Blanks(list) {
			was := strings.ReplaceAll(form.Get(wasField+b.Key), "\r\n", "\n")
			if form.Has(wasField+b.Key) && was != now[b.Key] {
				p.Meanwhile = append(p.Meanwhile, fmt.Sprintf("%s: %s, was %s", b.Key, oneLine(now[b.Key]), oneLine(was)))
			}
		}
	}
	edits := a.board.editsOf(list, name, form)
	if p.Act != "save" && p.Act != "drop" && p.As == "" {
		p.Faults = append(p.Faults, fault{Field: "as", Msg: "what is it called?"})
		return p, nil
	}
	text, err := kitchen.Change(file, src, edits...)
	if err != nil {
		stuck, ok := errors.AsType[*kitchen.AmendError](err)
		if !ok {
			return nil, err
		}
		p.take(stuck, file, list, cmp.Or(map[string]string{"enter": p.As}[p.Act], name))
		return p, nil
	}
	p.Logged = p.Act == "save" && p.As != "" && p.As != name && a.board.keepsNames(list)
	return p, a.propose(ctx, p, file, src, text)
}

// propose asks what follows from another text of the file.
func (a *asked) propose(ctx context.Context, p *proposal, file string, src, text []byte) error {
	p.text = text
	if p.Same = bytes.Equal(p.text, src); p.Same {
		return nil
	}
	p.Seen = digestOf(p.text)
	changes, err := kitchen.Alterations(file, src, file, p.text)
	if err != nil {
		return err
	}
	p.Follows = &follows{Difference: &ask.Difference{Changes: changes}}
	k, _ := kitchen.Read(file, p.text)
	answer, err := a.board.slow.do(ctx, a.Device, false, func(ctx context.Context) (any, error) {
		after, err := a.board.open(ctx, k, a.Now, a.frame())
		if err != nil {
			return nil, err
		}
		return ask.Differ(ctx, a.Week, after.Week, changes)
	})
	if refused, ok := errors.AsType[*Refusal](err); ok {
		p.Unknown = refused.Msg
	} else if err != nil {
		return err
	} else {
		p.Follows = followed(answer.(*ask.Difference))
	}
	for _, c := range changes {
		p.Follows.Changed = append(p.Follows.Changed, c.String())
	}
	return nil
}

// take puts faults of a change beside the fields that they are about.
func (p *proposal) take(stuck *kitchen.AmendError, file, list, name string) {
	if len(stuck.Faults) == 0 {
		field := ""
		if strings.Contains(stuck.Msg, strconv.Quote(p.As)) && p.As != "" {
			field = "as"
		}
		p.Faults = append(p.Faults, fault{Field: field, Msg: stuck.Msg, Hint: stuck.Hint})
		return
	}
	for _, d := range stuck.Faults {
		if d.Severity != kitchen.Error {
			continue
		}
		f := fault{Msg: d.Msg, Hint: d.Hint}
		if key := kitchen.KeyAt(file, stuck.Text, list, name, d.Pos); key != "" && p.Act != "drop" && p.Act != "copy" && p.Act != "split" {
			f.Field = blankField + key
		} else {
			f.Excerpt = strings.TrimSpace(d.Excerpt)
			if p.Act == "drop" { // what would be right is not to add it again
				f.Hint = "take it off there first"
			}
		}
		p.Faults = append(p.Faults, f)
	}
}

// followed lays out what follows.
func followed(d *ask.Difference) *follows {
	m, f := show.MoneyOf(d.Money), &follows{Difference: d}
	f.Portions = signed(d.Totals.PortionsAfter - d.Totals.PortionsBefore)
	f.Contribution = m.Change(m.Units(d.Totals.ContributionAfter) - m.Units(d.Totals.ContributionBefore))
	said := func(x *float64) string {
		if x == nil {
			return ""
		}
		return m.Show(*x)
	}
	for _, c := range d.Plates {
		p := plateChange{c.Dish, said(c.CostBefore), said(c.CostAfter), said(c.PriceBefore), said(c.PriceAfter)}
		if p.CostWas != p.CostIs || p.PriceWas != p.PriceIs {
			f.Plates = append(f.Plates, p)
		}
	}
	return f
}

// changesSaid is a change in a line, for the list of changes.
func changesSaid(changes []kitchen.Alteration) string {
	switch len(changes) {
	case 0:
		return "layout"
	case 1:
		return changes[0].String()
	}
	return fmt.Sprintf("%s; and %d more", changes[0], len(changes)-1)
}

// signed is a number with its sign.
func signed(n int) string {
	if n > 0 {
		return "+" + show.Count(n)
	}
	return show.Count(n)
}

// oneLine is what stands in a blank, in a line.
func oneLine(text string) string { return cmp.Or(strings.ReplaceAll(text, "\n", "; "), "nothing") }
