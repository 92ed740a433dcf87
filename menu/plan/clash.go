package plan

import (
	"fmt"
	"slices"

	"kettletree/menu/kitchen"
	"kettletree/menu/plan/solve"
)

// Wishes that no plan can meet together, and what stands in their way.

// Clash is why no plan can exist.
type Clash struct {
	Wishes []string // each with its place in the file where it has one
	Ties   []string // the items and batches through which they clash
	Least  bool     // leave any one out and the others can be met
	Proven bool     // no plan can meet them; else none was found
}

func (c *Clash) Error() string {
	text := "no plan can exist: these can't be met together"
	if !c.Proven {
		text = "no plan was found that meets all of these"
	} else if !c.Least {
		text += " (perhaps not all of them are needed for that)"
	}
	for _, w := range c.Wishes {
		text += "\n  " + w
	}
	if len(c.Ties) > 0 {
		text += "\nthey clash through"
		for _, t := range c.Ties {
			text += "\n  " + t
		}
	}
	return text
}

// missed lists the wishes that a plan made without them does not meet, and what was fixed.
func (p *Plan) missed(fixed []Fix) *Clash {
	c := &Clash{}
	for _, f := range fixed {
		c.Wishes = append(c.Wishes, fmt.Sprintf("--batches %q", f.Text))
	}
	for d, dish := range p.m.Kitchen.Dishes {
		for slot := range p.m.Sittings {
			short := p.m.asks[slot*len(p.m.Kitchen.Dishes)+d] - p.Outcome.Served[slot*len(p.m.Kitchen.Dishes)+d]
			if dish.Never && !dish.Special && !p.m.without[d] && short > Crumb {
				c.Wishes = append(c.Wishes, fmt.Sprintf("%s never out, at %s  %s", dish.Name, p.m.SittingName(slot), p.m.StepPos[len(p.m.Steps)+d].Pos))
				break
			}
		}
	}
	for i, par := range p.m.Par {
		if p.Outcome.OnHand(i) < par*(1-agree) {
			c.Wishes = append(c.Wishes, fmt.Sprintf("a par of %s of %s  %s", p.m.Quantity(i, par), p.m.g.Items[i].Name, p.m.ItemPos[i]))
		}
	}
	for _, s := range p.m.dropped(p.Case) {
		c.Wishes = append(c.Wishes, fmt.Sprintf("%s  %s", s.name, s.pos))
	}
	return c
}

// clash puts a conflict into words.
func (m *model) clash(c *solve.Conflict) *Clash {
	out := &Clash{Proven: true, Least: c.ProvenMinimal}
	add := func(list *[]string, text string, pos kitchen.Pos) {
		if pos.Line > 0 {
			text += fmt.Sprintf("  %s", pos)
		}
		if !slices.Contains(*list, text) {
			*list = append(*list, text)
		}
	}
	bound := func(j int, word string, v float64) {
		name := m.p.Columns[j].Name
		if r := slices.Index(m.due, j); r >= 0 {
			run, list := m.sched.Batches[r], &out.Ties
			text := fmt.Sprintf("%s: %s %g", name, word, v)
			for _, f := range m.fix {
				if f.step == run.Step && slices.Contains(f.days, run.Day) {
					list, text = &out.Wishes, fmt.Sprintf("--batches %q", f.Text)
				}
			}
			add(list, text, m.StepPos[run.Step].Pos)
		} else if d := m.dishOf(j); d >= 0 && word == "at least" {
			add(&out.Wishes, fmt.Sprintf("never out: %s, %g of them", name, v), m.StepPos[len(m.Steps)+d].Pos)
		}
	}
	for _, j := range c.Lower {
		if m.p.Columns[j].Lower != 0 {
			bound(j, "at least", m.p.Columns[j].Lower)
		}
	}
	for _, j := range c.Upper {
		bound(j, "at most", m.p.Columns[j].Upper)
	}
	for _, r := range c.Rows {
		switch a := m.about[r]; {
		case a.wish:
			add(&out.Wishes, m.p.Rows[r].Name, a.pos)
		case a.item >= 0:
			add(&out.Ties, m.g.Items[a.item].Name, a.pos)
		}
	}
	return out
}

// dishOf is the dish whose portions a column is; -1 for none.
func (m *model) dishOf(col int) int {
	for _, cols := range m.portions {
		if d := slices.Index(cols, col); d >= 0 {
			return d
		}
	}
	return -1
}
