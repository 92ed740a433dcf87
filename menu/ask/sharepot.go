package ask

// Bounds of batches under way: what is in by the log book, and what still goes in.

import (
	"slices"

	"kettletree/graph"
	"kettletree/graph/batch"
	"kettletree/graph/flow"
	"kettletree/menu/week"
)

// potsOf are the batches under way whose recipes carry bounds: what happened with each so far, and what the walk puts in and
// takes out. Times are the card's. A batch that is lost, or of which it is not known what went in, is left out.
func potsOf(w *week.Week, p *week.Played) (list []filled) {
	s, n := p.Schedule, 0
	for k := range s.Pots {
		pot := &s.Pots[k]
		st := w.Graph.Steps[pot.Step]
		first := n
		n += len(pot.Takes)
		if len(batch.BoundsOf(st)) == 0 || pot.Lost >= 1 || pot.Batches == 0 {
			continue
		}
		f := filled{step: pot.Step, run: -1, pot: k + 1, at: pot.Start, batches: pot.Batches, lacks: -1,
			fills: make([][]float64, len(st.Takes)), gives: make([]float64, len(st.Gives)), later: make([]bool, len(st.Takes))}
		for l, line := range st.Takes {
			f.fills[l] = make([]float64, len(line.Choices))
		}
		known := false
		for _, h := range w.Happened {
			if h.Step != pot.Step || !h.Day.Equal(w.Date(pot.Day)) {
				continue
			}
			known = known || h.What == week.Lit
			for _, m := range h.In {
				f.putIn(st, m.Item, m.Amount, false)
			}
			for _, m := range h.Out {
				f.comes(st, m.Item, m.Amount)
			}
		}
		if !known {
			continue
		}
		for t, takes := range pot.Takes {
			f.putIn(st, takes.Item, p.Outcome.PutIn[first+t], true)
		}
		for g, gives := range pot.Gives {
			f.comes(st, gives.Item, gives.Amount*yieldOf(pot, g))
		}
		list = append(list, f)
	}
	return list
}

func yieldOf(p *flow.Pot, line int) float64 {
	if p.Yields == nil {
		return 1
	}
	return p.Yields[line]
}

// putIn adds an amount of an item to the line that takes it. Of several lines that do, each has what its card says before the next.
func (f *filled) putIn(st graph.Step, item int, amount float64, later bool) {
	line, choice := -1, -1
	for l := range st.Takes {
		c := slices.IndexFunc(st.Takes[l].Choices, func(c graph.Choice) bool { return c.Item == item })
		if c < 0 {
			continue
		}
		line, choice = l, c
		if room := (f.batches - sum(f.fills[l])) * st.Takes[l].Choices[c].Amount; room > 0 && room < amount {
			f.fills[l][c] += room / st.Takes[l].Choices[c].Amount
			f.later[l] = f.later[l] || later
			amount -= room
		} else if room >= amount {
			break
		}
	}
	if line >= 0 { // what no card speaks of is not weighed
		f.fills[line][choice] += amount / st.Takes[line].Choices[choice].Amount
		f.later[line] = f.later[line] || later && amount > 0
	}
}

// comes adds an amount of an item to the output that gives it.
func (f *filled) comes(st graph.Step, item int, amount float64) {
	if o := slices.IndexFunc(st.Gives, func(o graph.Output) bool { return o.Item == item }); o >= 0 {
		f.gives[o] += amount
	}
}
