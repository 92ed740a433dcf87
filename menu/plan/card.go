package plan

// The card: what a line counts that is not filled by its first choice, so that nothing is left out or replaced to save money.

import (
	"slices"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu/plan/solve"
	"kettletree/menu/week"
)

// Shares of what a portion brings beyond its cost. A line off the card counts at least the first, so that a batch is made for what
// some portions take, and at most the second, so that a portion is rather sold off the card than not.
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
	m.offs = make([][]off, len(m.g.Steps))
	for s, st := range m.g.Steps {
		cost := func(c graph.Choice) float64 { return max(0, c.Amount*costs.Unit[c.Item]) }
		least := func(l graph.Line) float64 { // of what the card has
			first := cost(l.Choices[0])
			for _, c := range l.Choices[:max(1, l.Alike)] {
				first = min(first, cost(c))
			}
			return first
		}
		ways, brings := 0.0, 0.0 // lines that can go off the card; what a portion brings by the card
		if s >= len(m.Steps) {
			brings = m.Kitchen.Dishes[s-len(m.Steps)].Price
		}
		for _, l := range st.Takes {
			if brings -= least(l); len(l.Choices) > max(1, l.Alike) || l.Optional || l.Without > 0 {
				ways++
			}
		}
		count := func(first, instead float64) float64 {
			if s < len(m.Steps) {
				return max(first, batchOff*costs.Bill(s)/ways)
			}
			left := brings + first - instead // by the card but for this line
			return max(0, min(max(first, leastOff*brings/ways), mostOff*left/ways))
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
