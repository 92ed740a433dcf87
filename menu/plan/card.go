package plan

// The card: what a line counts that is not filled by its first choice, so that nothing is left out or replaced to save money.

import (
	"math"
	"slices"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu/plan/solve"
	"kettletree/menu/week"
)

// Shares of what a portion brings beyond its cost. A line off the card counts at least the first, so that a batch is made for what
// some portions take, and at most the second and what it saves, so that a portion is rather sold off the card than not, and nothing is
// left out to save money.
const (
	leastOff = 0.4
	mostOff  = 0.7

	// batchOff is the share of a batch's bill that its lines count at the least off the card, all together: so that no batch upstream
	// is saved on what they may miss.
	batchOff = 0.1
)

// off is what a line counts for each batch or portion that goes off its card: by choice, of which the first is nothing, and gone
// without. It is no money.
type off struct {
	choices []float64
	without float64
}

// cards finds what each line counts off its card: what the first choice costs, and of a dish, more, as far as it still earns.
func (m *model) cards() error {
	costs, err := m.Case.Flow.Cost(m.base)
	if err != nil {
		return m.Named(err)
	}
	cost := func(c graph.Choice) float64 { return max(0, c.Amount*costs.Unit[c.Item]) }
	least := func(l graph.Line) float64 { // of what the card has
		first := cost(l.Choices[0])
		for _, c := range l.Choices[:max(1, l.Alike)] {
			first = min(first, cost(c))
		}
		return first
	}
	brings := m.brings(least)
	m.offs = make([][]off, len(m.g.Steps))
	for s, st := range m.g.Steps {
		ways := 0.0 // lines that can go off the card
		for _, l := range st.Takes {
			if len(l.Choices) > max(1, l.Alike) || l.Optional || l.Without > 0 {
				ways++
			}
		}
		count := func(first, instead float64) float64 {
			atLeast := leastOff * brings[s]
			if s < len(m.Steps) {
				atLeast = batchOff * costs.Bill(s)
			}
			left := brings[s] + first - instead // by the card but for this line
			if s < len(m.Steps) && left <= 0 {
				return max(first, atLeast/ways) // no portion goes unsold for that
			}
			saves := max(0, first-instead) // which is never worth going off the card for
			return max(0, min(max(first, atLeast/ways), mostOff*(left-saves)/ways+saves))
		}
		m.offs[s] = make([]off, len(st.Takes))
		for l, line := range st.Takes {
			if line.Carried {
				continue
			}
			o, first := &m.offs[s][l], least(line)
			for n, c := range line.Choices {
				o.choices = append(o.choices, 0)
				if n >= max(1, line.Alike) {
					o.choices[n] = count(first, cost(c)) + taste*float64(n)
				}
			}
			if line.Optional || line.Without > 0 {
				o.without = max(count(first, 0), slices.Max(o.choices)) + 2*taste
			}
		}
	}
	return nil
}

// brings is what a batch or portion of each step brings by the card beyond its cost; least is what a line costs. What a batch gives is
// worth what the poorest of those that can't do without it bring with it, for none of their portions is to go unsold to save a card.
// What only a line takes that can do without counts without end.
func (m *model) brings(least func(graph.Line) float64) []float64 {
	all, poorest := make([]float64, len(m.g.Steps)), make([]float64, len(m.g.Items))
	for i := range poorest {
		poorest[i] = math.Inf(1)
	}
	for _, i := range m.g.Unused() {
		poorest[i] = 0
	}
	for range 12 { // as deep as a flow of families goes; what lies deeper counts without end
		for s, st := range m.g.Steps {
			if all[s] = 0; s >= len(m.Steps) {
				all[s] = m.Kitchen.Dishes[s-len(m.Steps)].Price
			} else {
				all[s] -= m.Terms.Cost[s]
				for _, o := range st.Gives {
					all[s] += o.Amount * poorest[o.Item]
				}
			}
			for _, l := range st.Takes {
				all[s] -= least(l)
			}
		}
		for s, st := range m.g.Steps {
			for _, l := range st.Takes {
				if l.Optional || l.Without > 0 || l.Carried {
					continue
				}
				for _, c := range l.Choices[:max(1, l.Alike)] {
					if with := (all[s] + least(l)) / c.Amount; with > 0 { // else it does not sell in any case
						poorest[c.Item] = min(poorest[c.Item], with)
					}
				}
			}
		}
	}
	return all
}

// Cards makes ready to say what outcomes of a week count off its cards; standing is what it comes to as it stands. It is no money, and
// whatever chooses between outcomes takes it off what they earn, as plans do.
func Cards(w *week.Week, standing *flow.Outcome) (off func(*flow.Outcome) float64, err error) {
	m := &model{Week: w, g: w.Graph, base: standing}
	if err := m.cards(); err != nil {
		return nil, err
	}
	return m.departed, nil
}

// counts adds to columns what a line counts off its card: runs is how much work there is, choices how much of it each fills.
func (m *model) counts(step, line, runs int, choices []int) {
	o := m.offs[step][line]
	m.offCard = append(m.offCard, solve.Entry{Col: runs, Value: o.without})
	for n, col := range choices {
		m.offCard = append(m.offCard, solve.Entry{Col: col, Value: o.choices[n] - o.without})
	}
}

// departed is what an outcome counts off the cards.
func (m *model) departed(o *flow.Outcome) (all float64) {
	for s, st := range m.g.Steps {
		for l, line := range st.Takes {
			if line.Carried {
				continue
			}
			lacks := o.Batches[s]
			for n, c := range line.Choices {
				work := o.Used[m.Case.Flow.Choice(s, l, n)] / c.Amount
				lacks -= work
				all += work * m.offs[s][l].choices[n]
			}
			all += max(0, lacks) * m.offs[s][l].without
		}
	}
	return all
}
