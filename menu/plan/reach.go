package plan

// How much there can be of everything at most: the bounds that keep the model tight.

import (
	"fmt"
	"math"
	"slices"

	"kettletree/graph"
	"kettletree/menu/plan/solve"
)

// bounds finds how often each run can be, how much each item can come to, and makes the columns that do not hang on an
// event: batches, packs, portions.
func (m *model) bounds() {
	for _, r := range m.sched.Batches {
		if m.held {
			m.most = append(m.most, int(math.Ceil(r.Size)))
			continue
		}
		most := m.Most(r.Step, r.Day)
		if math.IsInf(most, 1) {
			most = max(m.Usual(r.Step), m.fixed(r).batches)
		}
		if still, past := m.overdue(r); past {
			most = min(most, math.Ceil(still))
		}
		m.most = append(m.most, int(most))
	}

	// A column for the batches of each step on each day.
	for r, run := range m.sched.Batches {
		col := -1
		if run.Day < m.Days {
			name := fmt.Sprintf("%s of %s", m.g.Steps[run.Step].Name, m.DayName(run.Day))
			col = m.wholeColumn(name, float64(m.most[r]), -m.Terms.Cost[run.Step]-m.wasted(run), lights(run))
			if m.inHalves(r) {
				m.halve(r, col)
			}
			if m.held {
				c := &m.p.Columns[col]
				if c.Upper, c.Integer = run.Size, false; !m.easy { // what can be made of it when all dishes go short alike
					c.Lower = m.base.Ran[r].Batches * (1 - whole)
				}
			}
		}
		m.due = append(m.due, col)
	}
	m.batch = slices.Clone(m.due)

	// A column for the portions of each dish at each service; of specials, of those that are on the board already.
	for slot, sit := range m.Sittings {
		var cols []int
		for d, dish := range m.Kitchen.Dishes {
			most := m.asks[slot*len(m.Kitchen.Dishes)+d]
			if m.sched.Slots[slot].Closed || m.without[d] || most == 0 {
				cols = append(cols, -1)
				continue
			}
			name := fmt.Sprintf("%s at %s", dish.Name, m.SittingName(slot))
			hint := solve.Hint{Group: selling, When: sit.Day, What: len(m.Steps) + d}
			col := m.wholeColumn(name, most, dish.Price, hint)
			cols = append(cols, col)
			if dish.Never && !m.held && !m.easy && !dish.Special {
				m.p.Columns[col].Lower = most
			}
		}
		m.portions = append(m.portions, cols)
	}

	// A column for the packs of each item on each arrival day.
	needs := m.reach()
	for i := range m.Bought {
		if m.pack[i] == 0 {
			continue
		}
		m.packs[i] = slices.Repeat([]int{-1}, m.Days)
		pack := m.per(i, m.pack[i])
		for d := range m.Days {
			if m.late(i)/1440 <= d && (m.sched.Arrives[i] == nil || m.sched.Arrives[i][d]) {
				name := fmt.Sprintf("packs of %s on %s", m.g.Items[i].Name, m.DayName(d))
				most := math.Ceil((needs[i]+m.per(i, m.Par[i]))/pack) + 1
				m.packs[i][d] = m.column(name, most, -m.pack[i]*m.Terms.Price[i], solve.Hint{Group: packing, When: d, What: none})
				m.p.Columns[m.packs[i][d]].Integer = m.Terms.Pack[i] > 0
				m.able[i] += most * pack
			}
		}
	}
}

// reach finds the most of each item that can come in over the period, and that all its users together can ask for.
func (m *model) reach() (needs []float64) {
	items, steps := len(m.g.Items), len(m.g.Steps)
	runs := make([]float64, steps)
	came := make([]float64, items) // from runs
	for r, run := range m.sched.Batches {
		if run.Day < m.Days {
			runs[run.Step] += float64(m.most[r])
			for n, o := range m.g.Steps[run.Step].Gives {
				_, kept := m.given(run, n)
				came[o.Item] += float64(m.most[r]) * kept
			}
		}
	}
	for _, cols := range m.portions {
		for d, c := range cols {
			if c >= 0 {
				runs[len(m.Steps)+d] += m.p.Columns[c].Upper
			}
		}
	}
	for range 12 { // as deep as a flow of families goes; what lies deeper has the bound of what was found so far
		m.able, needs = make([]float64, items), make([]float64, items)
		for i := range items {
			m.able[i] = m.shelf[i].opening + m.shelf[i].due + came[i]
		}
		for _, pot := range m.sched.Pots { // what still goes into batches under way
			for _, t := range pot.Takes {
				needs[t.Item] += m.per(t.Item, t.Amount)
			}
		}
		for s, st := range m.g.Steps {
			for _, l := range st.Takes {
				for _, c := range l.Choices {
					needs[c.Item] += runs[s] * m.per(c.Item, c.Amount)
				}
			}
			for n, o := range st.Gives {
				if st.Mode != graph.OnDays {
					m.able[o.Item] += runs[s] * m.gives(s, n)
				}
			}
		}
		for s, st := range m.g.Steps {
			switch {
			case st.Mode == graph.AllOf:
				c := st.Takes[0].Choices[0]
				runs[s] = m.able[c.Item] / m.per(c.Item, c.Amount)
			case st.Mode == graph.ToOrder && s < len(m.Steps):
				runs[s] = 0
				for n, o := range st.Gives {
					if gives := m.gives(s, n); gives > 0 {
						runs[s] += needs[o.Item] / gives
					}
				}
				if runs[s] > 0 && st.AsNeeded() { // less than a batch is over at a time: on each day it may go off, or be thrown out
					runs[s] += st.Lot * float64(m.Days+1+len(m.sched.Spoils))
				}
			}
		}
	}
	return needs
}
