package ask

// What an item comes from and what comes of it.

import (
	"context"
	"fmt"

	"kettletree/graph"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// Lineage is the answer to "where does it come from, and where does it go?".
type Lineage struct {
	Item string       `json:"item"`
	Unit string       `json:"unit"`
	Kind string       `json:"kind"` // "bought", "made", "dish" or "special"
	From []*TraceLine `json:"from"` // amounts for one unit of the item
	Into []*TraceLine `json:"into"` // amounts over the period; where it has no use of the item, for one batch each
	Week bool         `json:"week"` // true when into speaks of the period, false when of one batch each
}

// TraceLine is a node of the tree: an item under a step, or a step under an item.
//
// In from, an item's line says how much of it goes in, and its share of the step's bill; a step's line how many
// batches, and its share of what there is of the item. In into, a step's line says how much of the item it takes, and
// its share of all that is used, binned or left; an item's line how much the step gives, and its share of the step's
// bill.
type TraceLine struct {
	Name   string       `json:"name"`
	Kind   string       `json:"kind"` // "bought", "made", "step", "dish", "special", "binned" or "left"
	Amount float64      `json:"amount"`
	Unit   string       `json:"unit"`
	Share  *float64     `json:"share"`           // 0 to 1; null when there is nothing to take a share of
	Notes  []string     `json:"notes,omitempty"` // "in place of ...", "optional", "to taste", "give or take 20%", "from yesterday", "in at ..."
	Again  bool         `json:"again,omitempty"` // its lines stand above
	Lines  []*TraceLine `json:"lines,omitempty"`
}

// Trace answers for an item, dish or special.
func Trace(ctx context.Context, w *week.Week, name string) (*Lineage, error) {
	item, err := w.FindItemOf(name, "item or dish", graph.Bought, graph.Made, graph.Sold)
	if err != nil {
		return nil, err
	}
	p, err := w.Play(ctx)
	if err != nil {
		return nil, err
	}
	it := w.Graph.Items[item]
	t := &tracer{Week: w, p: p, seen: map[int]bool{}}
	a := &Lineage{Item: it.Name, Unit: it.Unit.Name, Kind: kind(w.Kitchen, item), From: []*TraceLine{}, Into: []*TraceLine{}}
	a.From = append(a.From, t.makers(item, it.Unit.Factor)...)
	t.seen = map[int]bool{}
	a.Week = t.supply(item) > 0
	a.Into = append(a.Into, t.uses(item)...)
	if a.Week {
		for _, end := range []struct {
			kind   string
			amount float64
		}{{"binned", p.Outcome.Binned[item]}, {"left", p.Outcome.Left[item]}} {
			if end.amount > 0 {
				a.Into = append(a.Into, &TraceLine{Name: end.kind, Kind: end.kind, Amount: end.amount / it.Unit.Factor, Unit: it.Unit.Name,
					Share: new(end.amount / t.supply(item))})
			}
		}
	}
	return a, nil
}

// kind is what an item is called.
func kind(k *kitchen.Kitchen, item int) string {
	switch k.Graph.Items[item].Role {
	case graph.Bought:
		return "bought"
	case graph.Made:
		return "made"
	}
	for _, d := range k.Dishes {
		if d.Item == item && d.Special {
			return "special"
		}
	}
	return "dish"
}

// tracer follows one item. seen holds the items whose lines stand in the tree already.
type tracer struct {
	*week.Week
	p    *week.Played
	seen map[int]bool
}

// again marks a line whose item's own lines stand above, or fills them in.
func (t *tracer) again(l *TraceLine, item int, lines func() []*TraceLine) {
	if t.seen[item] {
		l.Again = true
		return
	}
	t.seen[item] = true
	if l.Lines = lines(); len(l.Lines) == 0 {
		t.seen[item] = false // nothing to point back to
	}
}

// supply is all there was of an item over the period, in base units.
func (t *tracer) supply(item int) float64 {
	o := t.p.Outcome
	return o.Opening[item] + o.Made[item] + o.Delivered(item)
}

// makers are the steps that give an item, with what they take for an amount of it in base units.
func (t *tracer) makers(item int, amount float64) (lines []*TraceLine) {
	type maker struct{ step, out int }
	var makers []maker
	given, all := map[int]float64{}, 0.0
	for s, st := range t.Graph.Steps {
		for o, out := range st.Gives {
			if out.Item == item {
				makers = append(makers, maker{s, o})
				given[s] = t.p.Outcome.Batches[s] * out.Amount
				all += given[s]
			}
		}
	}
	for _, m := range makers {
		st := t.Graph.Steps[m.step]
		share := 1.0 / float64(len(makers))
		if all > 0 {
			share = given[m.step] / all
		}
		batches := amount * share / st.Gives[m.out].Amount
		line := &TraceLine{Name: st.Name, Kind: "step", Amount: batches, Unit: "batch", Share: new(share)}
		if m.step >= len(t.Steps) {
			return t.inputs(m.step, batches) // a dish has its own name and no step behind it
		}
		line.Lines = t.inputs(m.step, batches)
		lines = append(lines, line)
	}
	return lines
}

// inputs are the lines of a step for so many batches.
func (t *tracer) inputs(step int, batches float64) (lines []*TraceLine) {
	c := t.p.Costing
	bill := c.Bill(step)
	for l, line := range t.Graph.Steps[step].Takes {
		for k, choice := range line.Choices {
			it := t.Graph.Items[choice.Item]
			tl := &TraceLine{Name: it.Name, Kind: kind(t.Week.Kitchen, choice.Item), Amount: batches * choice.Amount / it.Unit.Factor,
				Unit: it.Unit.Name, Notes: notes(t.Week.Kitchen, step, l, k)}
			if k == t.Case.Flow.Costed(step, l) && bill > 0 {
				tl.Share = new(choice.Amount * c.Unit[choice.Item] / bill)
			}
			if !line.Carried {
				t.again(tl, choice.Item, func() []*TraceLine { return t.makers(choice.Item, batches*choice.Amount) })
			}
			lines = append(lines, tl)
		}
	}
	return lines
}

// notes are what stands behind a line's comma, and that it is a substitute.
func notes(k *kitchen.Kitchen, step, line, choice int) (notes []string) {
	l := k.Graph.Steps[step].Takes[line]
	if choice > 0 && choice < l.Alike || choice == 0 && l.Alike > 1 {
		notes = append(notes, "one of "+measure.FormatNumber(float64(l.Alike)))
	} else if choice > 0 {
		notes = append(notes, fmt.Sprintf("in place of %s", k.Graph.Items[l.Choices[0].Item].Name))
	}
	switch {
	case l.Without == 1:
		notes = append(notes, "to taste")
	case l.Without > 0:
		notes = append(notes, "give or take "+kitchen.FormatPercent(l.Without))
	case l.Optional:
		notes = append(notes, "optional")
	}
	if l.Carried {
		notes = append(notes, "from yesterday")
	}
	if l.InAt > 0 {
		notes = append(notes, "in at "+measure.FormatDuration(l.InAt))
	}
	if l.OutAt > 0 {
		notes = append(notes, "out at "+measure.FormatDuration(l.OutAt))
	}
	return notes
}

// uses are the steps and dishes that take an item, with what they give.
func (t *tracer) uses(item int) (lines []*TraceLine) {
	it, all := t.Graph.Items[item], t.supply(item)
	for s, st := range t.Graph.Steps {
		for l, line := range st.Takes {
			for k, choice := range line.Choices {
				if choice.Item != item {
					continue
				}
				tl := &TraceLine{Name: st.Name, Kind: "step", Amount: choice.Amount / it.Unit.Factor, Unit: it.Unit.Name,
					Notes: notes(t.Week.Kitchen, s, l, k)}
				if all > 0 {
					used := t.p.Outcome.Used[t.Case.Flow.Choice(s, l, k)]
					tl.Amount, tl.Share = used/it.Unit.Factor, new(used/all)
				}
				if s >= len(t.Steps) {
					tl.Kind = kind(t.Week.Kitchen, t.Dishes[s-len(t.Steps)].Item)
				} else if !line.Carried {
					t.again(tl, len(t.Graph.Items)+s, func() []*TraceLine { return t.outputs(s) })
				}
				lines = append(lines, tl)
			}
		}
	}
	return lines
}

// outputs are what a step gives, with their uses.
func (t *tracer) outputs(step int) (lines []*TraceLine) {
	batches := t.p.Outcome.Batches[step]
	if batches == 0 {
		batches = 1
	}
	bill := t.p.Costing.Bill(step)
	for o, out := range t.Graph.Steps[step].Gives {
		it := t.Graph.Items[out.Item]
		tl := &TraceLine{Name: it.Name, Kind: kind(t.Week.Kitchen, out.Item), Amount: batches * out.Amount / it.Unit.Factor, Unit: it.Unit.Name}
		if bill > 0 {
			tl.Share = new(t.p.Costing.Share(step, o) / bill)
		}
		t.again(tl, out.Item, func() []*TraceLine { return t.uses(out.Item) })
		lines = append(lines, tl)
	}
	return lines
}
