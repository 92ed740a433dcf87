package board

// What a form asks to be changed in the kitchen file, and what follows from it. Nothing is written here.

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"net/url"
	"os"
	"strconv"
	"strings"

	"kettletree/cmd/kettletree/show"
	"kettletree/menu/ask"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
)

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
func (c *Config) keepsNames() bool {
	_, err := os.Lstat(c.Plan.Name)
	return logbook.Exists(c.LogBook) || c.Plan.Name != "" && err == nil
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
		if as != "" && as != name && b.keepsNames() {
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

// changing makes the edits that a form asks for. What a card takes and nobody has named before is bought from now on.
func changing(act string) func(file string, src []byte, edits ...kitchen.Edit) ([]byte, error) {
	if act == "save" || act == "enter" {
		return kitchen.ChangeAdding
	}
	return kitchen.Change
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
	text, err := changing(p.Act)(file, src, edits...)
	if err != nil {
		stuck, ok := errors.AsType[*kitchen.AmendError](err)
		if !ok {
			return nil, err
		}
		p.take(stuck, file, list, cmp.Or(map[string]string{"enter": p.As}[p.Act], name))
		return p, nil
	}
	p.Logged = p.Act == "save" && p.As != "" && p.As != name && a.board.keepsNames()
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
