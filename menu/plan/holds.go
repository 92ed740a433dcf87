package plan

// What vessels hold, as rows of the model.

import (
	"fmt"
	"math"
	"slices"

	"kettletree/graph/measure"
	"kettletree/menu/plan/solve"
	"kettletree/menu/week"
)

// vessels lets no more into a vessel than it takes.
func (m *model) vessels() {
	var works []week.Stay
	var runs []int
	for r, run := range m.sched.Batches {
		if m.due[r] >= 0 {
			works, runs = append(works, m.Stay(run.Step, run.Day, run.Start, float64(m.most[r]))), append(runs, r)
		}
	}
	for _, l := range m.Limits(slices.Concat(works, m.Alight(m.sched))) {
		var row []solve.Entry
		left, most := l.Most, 0
		for k, at := range l.Works {
			switch {
			case at >= len(works): // it is there already
				left -= l.Each[k]
			default:
				most += l.Each[k] * m.Fillings(works[at])
				row = append(row, solve.Entry{Col: at, Value: float64(l.Each[k])})
			}
		}
		if most <= left {
			continue
		}
		for k := range row {
			row[k].Col = m.fillings(runs[row[k].Col], works[row[k].Col])
		}
		vessel, moment := m.Vessels[l.Vessel], m.Moment(l.From)
		name := fmt.Sprintf("%s at %s holds one work", vessel.Name, moment)
		if l.To-l.From > 1 {
			name = fmt.Sprintf("%s has %s before %s", vessel.Name, measure.FormatDuration(l.Most), m.Moment(l.To))
		}
		m.addRow(about{item: none, when: moment, pos: vessel.Pos, wish: true}, name, math.Inf(-1), float64(left), row)
	}
}

// fillings is a column that is how often a run fills its vessel.
func (m *model) fillings(r int, st week.Stay) int {
	c, ok := m.filled[r]
	switch fits := m.Fits(st.Step); {
	case ok:
		return c
	case m.Fillings(st) == 1:
		return m.on(r)
	case fits == 1 && !m.inHalves(r):
		return m.due[r]
	default:
		run := m.sched.Batches[r]
		c := m.wholeColumn(m.p.Columns[m.due[r]].Name+" fillings", float64(m.Fillings(st)), 0, lights(run))
		m.addRow(about{item: none, pos: m.StepPos[run.Step].Pos}, m.p.Columns[c].Name, math.Inf(-1), 0,
			[]solve.Entry{{Col: m.due[r], Value: 1}, {Col: c, Value: -fits}})
		m.filled[r] = c
		return c
	}
}

// on is a column that is 1 when a run is not nothing.
func (m *model) on(r int) int {
	if m.most[r] == 1 && !m.held && !m.inHalves(r) {
		return m.due[r]
	}
	if c, ok := m.lit[r]; ok {
		return c
	}
	run := m.sched.Batches[r]
	c := m.yesNo(m.p.Columns[m.due[r]].Name+" lit", lights(run))
	m.lit[r] = c
	m.addRow(about{item: none, pos: m.StepPos[run.Step].Pos}, m.p.Columns[c].Name, math.Inf(-1), 0,
		[]solve.Entry{{Col: m.due[r], Value: 1}, {Col: c, Value: -float64(m.most[r])}})
	return c
}
