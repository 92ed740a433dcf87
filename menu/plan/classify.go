package plan

// What kind each item is in the model: made to order, on a shelf, used as it comes; and what urges it to be.

import (
	"slices"

	"kettletree/graph"
	"kettletree/menu/plan/solve"
)

// classify says how each item is accounted for, and orders the steps made to order.
func (m *model) classify() {
	// Who makes what: the one step that makes an item to order, and the items that a step takes all of.
	items := len(m.g.Items)
	m.kinds, m.maker, m.alls = make([]kind, items), slices.Repeat([]int{-1}, items), make([]bool, items)
	makers := make([]int, items)
	for s, st := range m.g.Steps {
		for n, o := range st.Gives {
			makers[o.Item]++
			if st.Mode == graph.ToOrder && m.gives(s, n) > 0 {
				m.maker[o.Item] = s
			}
		}
		if st.Mode == graph.AllOf {
			m.alls[st.Takes[0].Choices[0].Item] = true
		}
	}

	// What is on hand at first, and until which day each lot of it keeps.
	m.shelf = make([]shelf, items)
	days := m.Days
	if m.onward != nil {
		days = m.onward.Week.Days
	}
	for i := range m.shelf {
		m.shelf[i] = shelf{stock: -1, until: make([]float64, days), came: make([][]solve.Entry, days+2)}
	}
	for _, l := range m.sched.OnHand {
		sh := &m.shelf[l.Item]
		keeps := m.Terms.Keeps[l.Item]
		if keeps > 0 && l.Made+keeps-1 < 0 {
			m.p.Constant -= m.disposal(l.Item) * m.per(l.Item, l.Amount)
			continue
		}
		sh.opening += m.per(l.Item, l.Amount)
		if l.Made == 0 {
			sh.fresh += m.per(l.Item, l.Amount)
		}
		for d := range days {
			if keeps == 0 || l.Made+keeps-1 > d {
				sh.until[d] += m.per(l.Item, l.Amount)
			}
		}
	}
	for i := range m.shelf {
		m.shelf[i].most = m.shelf[i].opening
	}
	for _, d := range m.sched.Deliveries {
		if m.late(d.Item) < m.Days*1440 {
			m.shelf[d.Item].due += m.per(d.Item, d.Amount)
		}
	}
	for _, p := range m.sched.Pots {
		for line, g := range p.Gives {
			_, kept := m.stillGives(p, line)
			m.shelf[g.Item].due += kept
		}
	}

	// What is bought in packs, and so is a decision of the plan.
	m.packs, m.pack = make([][]int, items), make([]float64, items)
	for i, b := range m.Bought {
		switch {
		case m.held:
		case b.Pack > 0:
			m.pack[i] = b.Pack
		case m.Par[i] > 0: // what it leaves must be bought, not only what is used
			if m.pack[i] = m.Terms.Pack[i]; m.pack[i] == 0 {
				m.pack[i] = m.g.Items[i].Unit.Factor
			}
		}
	}

	// How each item is accounted for: bought as needed, made as it is asked for, or with a balance at each event.
	for i, it := range m.g.Items {
		switch s := m.maker[i]; {
		case it.Role == graph.Bought && m.pack[i] == 0:
			m.kinds[i] = bought
		case s >= 0 && makers[i] == 1 && len(m.g.Steps[s].Gives) == 1 && !m.g.Steps[s].AsNeeded() && m.shelf[i].opening+m.shelf[i].due == 0 && !m.alls[i] && m.Par[i] == 0:
			m.kinds[i] = onOrder
		default:
			m.kinds[i] = stocked
		}
	}

	// What asks for more of itself than the dishes do.
	m.urges = make([]bool, items)
	for s, st := range m.g.Steps {
		if st.Mode == graph.AllOf {
			m.urge(s)
		}
	}
	for i, s := range m.maker {
		m.urges[i] = m.urges[i] || s >= 0 && m.kinds[i] == stocked && !m.g.Steps[s].AsNeeded()
	}

	// The steps made to order, each before those that it takes from.
	placed := make([]bool, len(m.g.Steps))
	var place func(s int)
	place = func(s int) { // makers first; turned round below
		if placed[s] || m.g.Steps[s].Mode != graph.ToOrder {
			return
		}
		placed[s] = true
		for _, l := range m.g.Steps[s].Takes {
			for _, c := range l.Choices {
				if p := m.maker[c.Item]; p >= 0 {
					place(p)
				}
			}
		}
		if s < len(m.Steps) {
			m.order = append(m.order, s)
		}
	}
	for s := range m.g.Steps {
		place(s)
	}
	slices.Reverse(m.order)
}

// urge marks all that a step takes, and what is made to order for it.
func (m *model) urge(step int) {
	for _, l := range m.g.Steps[step].Takes {
		for _, c := range l.Choices {
			if before := m.urges[c.Item]; !before {
				m.urges[c.Item] = true
				if p := m.maker[c.Item]; p >= 0 {
					m.urge(p)
				}
			}
		}
	}
}
