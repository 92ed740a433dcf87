package plan

// The shelf over time, in the model: what is carried on from moment to moment, what goes off, and how the last day ends.

import (
	"fmt"
	"math"
	"slices"

	"kettletree/graph/flow"
	"kettletree/menu/plan/solve"
)

// carry adds the row by which an item goes from what was on hand to what is.
func (m *model) carry(i int, row []solve.Entry, most float64, when string) (added int) {
	sh := &m.shelf[i]
	for _, t := range row {
		sh.most += max(t.Value, 0) * m.p.Columns[t.Col].Upper
	}
	if sh.most = min(sh.most, most); !m.loose {
		most = sh.most
	}
	side := 0.0
	if sh.stock >= 0 {
		row = append(row, solve.Entry{Col: sh.stock, Value: 1})
	} else {
		side = -sh.opening
	}
	name := fmt.Sprintf("%s at %s", m.g.Items[i].Name, when)
	sh.stock = m.column(name+" on hand", most, 0, follows(none, none))
	sh.stocks = append(sh.stocks, sh.stock)
	return m.addRow(about{item: i, when: when, pos: m.ItemPos[i]}, name, side, side, append(row, solve.Entry{Col: sh.stock, Value: -1}))
}

// spoil throws out all that is on hand of an item.
func (e *event) spoil(item int) {
	sh := &e.shelf[item]
	if e.kinds[item] == onOrder || sh.stock < 0 && sh.opening == 0 {
		return
	}
	name := fmt.Sprintf("%s thrown out at %s", e.g.Items[item].Name, e.when)
	bin := e.column(name, e.able[item], -e.disposal(item), follows(none, none))
	e.carry(item, []solve.Entry{{Col: bin, Value: -1}}, 0, e.when)
	clear(sh.until)
	clear(sh.came)
	sh.fresh = 0
}

// dayEnds bins what does not keep beyond a day.
func (m *model) dayEnds(day int) {
	for i := range m.g.Items {
		sh, keeps := &m.shelf[i], m.Terms.Keeps[i]
		if keeps == 0 || m.kinds[i] == onOrder || sh.stock < 0 && sh.opening == 0 {
			continue
		}
		from := day - keeps + 2 // the first day whose lots still keep
		if from <= 0 && sh.until[day] == sh.opening {
			continue // nothing can be past its keeping
		}
		kept := []solve.Entry{}
		for d := max(from, 0); d <= day; d++ {
			for _, t := range sh.came[d] {
				kept = append(kept, solve.Entry{Col: t.Col, Value: -t.Value})
			}
		}
		when := "the end of " + m.DayName(day)
		most := m.able[i]
		if m.alls[i] && keeps > 1 && m.takesAllOn(day) { // taken at every service: what is left came since, and keeps
			most = 0
		}
		fresh := sh.until[day]
		for _, t := range kept {
			fresh += max(-t.Value, 0) * m.p.Columns[t.Col].Upper
		}
		bin := m.column(fmt.Sprintf("%s binned at %s", m.g.Items[i].Name, when), most, -m.disposal(i), follows(none, none))
		if m.onward != nil {
			m.prefer(bin, -early*m.disposal(i))
		}
		m.carry(i, []solve.Entry{{Col: bin, Value: -1}}, min(m.able[i], fresh), when)
		m.addRow(about{item: none, when: when, pos: m.ItemPos[i]}, fmt.Sprintf("%s that keeps beyond %s", m.g.Items[i].Name, when), math.Inf(-1), sh.until[day],
			merged(append(slices.Clone(kept), solve.Entry{Col: sh.stock, Value: 1})))
		if m.urges[i] && most > 0 { // none is binned while it keeps
			over := m.yesNo(fmt.Sprintf("%s past keeping at %s", m.g.Items[i].Name, when), follows(day, none))
			m.addRow(about{item: none, when: when, pos: m.ItemPos[i]}, fmt.Sprintf("%s binned at %s only when past keeping", m.g.Items[i].Name, when),
				math.Inf(-1), 0, []solve.Entry{{Col: bin, Value: 1}, {Col: over, Value: -most}})
			m.addRow(about{item: none, when: when, pos: m.ItemPos[i]}, fmt.Sprintf("all %s that keeps beyond %s", m.g.Items[i].Name, when),
				sh.until[day]-fresh, math.Inf(1), merged(append(kept, solve.Entry{Col: sh.stock, Value: 1}, solve.Entry{Col: over, Value: -fresh})))
		}
	}
}

// takesAllOn tells whether steps that take all there is work on a day before it ends: not where its services began before the week
// goes on or begin after midnight, or nobody works.
func (m *model) takesAllOn(day int) bool {
	return slices.ContainsFunc(m.sched.Slots, func(s flow.Slot) bool {
		return s.Day == day && s.Start >= m.sched.From && s.Start < (day+1)*1440 && !s.Idle
	})
}

// merged adds up entries of one column.
func merged(entries []solve.Entry) (out []solve.Entry) {
	slices.SortStableFunc(entries, func(a, b solve.Entry) int { return a.Col - b.Col })
	for _, e := range entries {
		if n := len(out); n > 0 && out[n-1].Col == e.Col {
			out[n-1].Value += e.Value
		} else {
			out = append(out, e)
		}
	}
	return out
}

// close asks for pars, and, where no days behind are looked at, values what is left, on the shelf and in the pots.
func (m *model) close() {
	f := m.Case.Flow
	for i := range m.shelf {
		sh := &m.shelf[i]
		if par := m.per(i, m.Par[i]); par > 0 && !m.held && !m.easy {
			if sh.stock < 0 {
				sh.stock = m.column(m.g.Items[i].Name+" on hand at the end", sh.opening, 0, follows(none, none))
				m.p.Columns[sh.stock].Lower = sh.opening
			}
			m.addRow(about{item: none, when: "the end", pos: m.ItemPos[i], wish: true}, fmt.Sprintf("a par of %s of %s", m.Quantity(i, m.Par[i]), m.g.Items[i].Name),
				par, math.Inf(1), []solve.Entry{{Col: sh.stock, Value: 1}})
		}
		if m.onward != nil {
			continue
		}
		m.p.Constant -= m.worth.Opening(f, i)
		left := slices.Clone(m.pot[i])
		if sh.stock >= 0 {
			left = append(left, solve.Entry{Col: sh.stock, Value: -1})
		}
		switch {
		case sh.stock < 0 && sh.opening > 0 && len(left) == 0: // never touched
			m.p.Constant += min(sh.opening, m.per(i, m.worth.Counts(i)), m.per(i, m.worth.Lying(i))) * m.value(i)
		case len(left) > 0 && m.value(i) > 0:
			side := 0.0
			if sh.stock < 0 {
				side = sh.opening
			}
			name := m.g.Items[i].Name + " left"
			counted := m.column(name, min(m.per(i, m.worth.Counts(i)), endless), m.value(i), follows(m.Days-1, none))
			m.addRow(about{item: none, when: "the end", pos: m.ItemPos[i]}, name, math.Inf(-1), side, merged(append(left, solve.Entry{Col: counted, Value: 1})))
			if lying := m.per(i, m.worth.Lying(i)); lying < sh.opening { // of what was there at first, less counts than of what comes
				row := append(slices.Clone(m.pot[i]), solve.Entry{Col: counted, Value: 1})
				for _, t := range slices.Concat(sh.came...) {
					row = append(row, solve.Entry{Col: t.Col, Value: -t.Value})
				}
				m.addRow(about{item: none, when: "the end", pos: m.ItemPos[i]}, name+" that counts", math.Inf(-1), lying, merged(row))
			}
		}
	}
}
