package flow

// Where work departs from its cards, and the flow in which some cards are kept to.

import (
	"kettletree/graph"
)

// Depart is work that did not go by the card: it took a later choice of a line, or went without one that may be left out or run
// low. How a perpetual stock is begun again is no departure: what is taken from yesterday is not told here.
type Depart struct {
	Step, Line int     // of the graph
	Choice     int     // of the line, that it took in place of the first; -1 when it went without
	Run        int     // of the schedule; -1 when it is work without one
	At         int     // minutes after the midnight before day 0
	Work       float64 // how many batches or portions were made so; one that is a part short counts as that part
	Of         float64 // ... of how many at that moment
	Items      []int   // from the first choice, by what is made to order for it, down to what is used up, as far as that is known
}

// departs notes where so much work of the step at a place, of a run or none (-1), does not go by the card, before what it took
// is entered.
func (w *Walker) departs(p, run int32, work float64) {
	n := w.f.net
	for line := n.lines[p]; line < n.lines[p+1]; line++ {
		if n.carried[line] || work <= 0 {
			continue
		}
		d := Depart{Step: int(n.step[p]), Line: int(line - n.lines[p]), Run: int(run), At: int(w.now), Of: work}
		for i := n.takes[n.choices[line]]; len(d.Items) < len(n.step); {
			d.Items = append(d.Items, int(i))
			q := n.toOrder[i]
			if q < 0 || w.held[q] < 0 {
				break
			}
			i = w.held[q]
		}
		lacks := work
		for c := n.choices[line]; c < n.choices[line+1]; c++ {
			part := w.took[c] / w.f.takes[c]
			if lacks -= part; c >= n.choices[line]+n.alike(line) && part > work*whole {
				d.Choice, d.Work = int(c-n.choices[line]), part
				w.rec.Departs = append(w.rec.Departs, d)
			}
		}
		if lacks > work*whole {
			d.Choice, d.Work = -1, lacks
			w.rec.Departs = append(w.rec.Departs, d)
		}
	}
}

// KeptTo is the graph in which the cards are kept to: lines that strict names are filled with the first choice and never left out or
// short. What is taken from yesterday stays as it is, for that is how a stock is begun again.
func KeptTo(g *graph.Graph, strict func(step, line int) bool) (*graph.Graph, error) {
	steps := make([]graph.Step, len(g.Steps))
	for s, st := range g.Steps {
		steps[s] = st
		steps[s].Takes = make([]graph.Line, len(st.Takes))
		for l, line := range st.Takes {
			if !line.Carried && strict(s, l) {
				alike := max(1, line.Alike)
				line.Choices, line.Optional, line.Without = line.Choices[:alike:alike], false, 0
			}
			steps[s].Takes[l] = line
		}
	}
	return graph.New(g.Items, steps)
}

// Over is the case over a graph with the same items, steps and outputs, and fewer choices ([KeptTo]). What was said of choices that
// are no more is let go.
func (c Case) Over(g *graph.Graph) (Case, error) {
	f, err := Compile(g, c.Flow.terms)
	if err != nil {
		return Case{}, err
	}
	was := c.Flow.net
	for s, st := range g.Steps {
		for o, out := range st.Gives {
			e, old := f.net.outputs[f.net.place[s]]+int32(o), was.outputs[was.place[s]]+int32(o)
			f.gives[e] = c.Flow.gives[old]
			if was.toOrder[out.Item] < 0 { // it gives none of it any more
				f.net.toOrder[out.Item] = -1
			}
		}
	}
	s := *c.Schedule
	s.Directions, s.Prefers = nil, nil
	for _, p := range c.Schedule.Prefers {
		if p.Choice < len(g.Steps[p.Step].Takes[p.Line].Choices) {
			s.Prefers = append(s.Prefers, p)
		}
	}
	return Case{f, &s}, nil
}
