package plan

// What is made as needed, in the model: what the event takes of it beyond what is on hand, and less than a batch more.

import (
	"math"
	"slices"

	"kettletree/graph"
	"kettletree/menu/plan/solve"
)

// makeAsNeeded adds the batches of a step that is made as needed. That they are whole is left to the walk: a column for each of
// them at each event would cost the search far more than what is over of a batch, which is used next time. So the model may make
// any part of a batch, up to a whole one beyond what is asked for; what the walk makes is one of its points, and no plan passes
// its bound.
func (e *event) makeAsNeeded(s int, name string, most float64) {
	st := e.g.Steps[s]
	col := e.column(name, most+st.Lot, -e.Terms.Cost[s], follows(e.day, s))
	enough := []solve.Entry{{Col: col, Value: 1}}
	for n, o := range st.Gives {
		for _, t := range e.touches[o.Item] {
			if gives := e.gives(s, n); t.Value < 0 && gives > 0 {
				enough = append(enough, solve.Entry{Col: t.Col, Value: t.Value / gives})
			}
		}
	}
	e.addRow(e.here(e.StepPos[s].Pos), name+" as needed", math.Inf(-1), st.Lot, merged(enough))
	e.uses(s, col, 0)
	for n, o := range st.Gives {
		e.touch(o.Item, col, e.gives(s, n))
	}
}

// inHalves tells whether a plan may make a run in half batches.
func (m *model) inHalves(r int) bool { return !m.held && m.Steps[m.sched.Batches[r].Step].Halves }

// halve makes the column of a run's batches a number of halves, by a column that counts them.
func (m *model) halve(r, col int) {
	c, run := &m.p.Columns[col], m.sched.Batches[r]
	c.Integer = false
	name := c.Name + ", in halves"
	m.halves[r] = m.wholeColumn(name, 2*c.Upper, 0, lights(run))
	m.addRow(about{item: none, pos: m.StepPos[run.Step].Pos}, name, 0, 0, []solve.Entry{{Col: col, Value: 2}, {Col: m.halves[r], Value: -1}})
}

// halved is a number of batches to the last half, as it is kept in a file.
func halved(batches float64) float64 { return math.Floor(2*(batches+whole)) / 2 }

// lots tells whether anything is made as needed, so that the walk may make more than the model.
func (m *model) lots() bool { return slices.ContainsFunc(m.g.Steps, graph.Step.AsNeeded) }
