package plan

// Perpetual stocks: what is held back for the next batch, as the walk holds it back.

import (
	"fmt"
	"math"

	"kettletree/graph/flow"
	"kettletree/menu/plan/solve"
)

// seed is a run that takes an item from yesterday.
type seed struct {
	run    int
	start  int     // minute of the period
	amount float64 // for one batch, in the item's unit
}

// seedsOf lists the runs that take an item from yesterday after a moment of the row, by start.
func (m *model) seedsOf(item, after int) (list []seed) {
	add := func(run, start int) {
		amount := 0.0
		for _, l := range m.g.Steps[m.sched.Batches[run].Step].Takes {
			if c := l.Choices[0]; l.Carried && c.Item == item {
				amount += m.per(item, c.Amount)
			}
		}
		if amount > 0 {
			list = append(list, seed{run, start, amount})
		}
	}
	for _, mo := range m.row[after+1:] {
		if mo.Kind == flow.Works && mo.Run >= 0 {
			add(mo.Run, mo.At)
		}
	}
	for r, run := range m.sched.Batches {
		if run.Day >= m.Days {
			add(r, run.Day*1440+max(run.Start, 0))
		}
	}
	return list
}

// keepSeed holds back, of an item that the event takes, what the next run takes of it from yesterday. Which run is the
// next hangs on the plan: for each, the row lets go when an earlier one is done, and when the event takes nothing.
func (e *event) keepSeed(item int, entries []solve.Entry) {
	if mo := e.row[e.at]; mo.Run >= 0 {
		for _, l := range e.g.Steps[mo.Step].Takes {
			if l.Carried && l.Choices[0].Item == item {
				return // it takes the seed itself
			}
		}
	}
	list := e.seedsOf(item, e.at)
	if len(list) == 0 {
		return
	}
	what := fmt.Sprintf("%s taken at %s", e.g.Items[item].Name, e.when)
	taken, used := e.column(what, 1, 0, true, solve.Hint{Group: 1, When: e.day, What: -1}), 0.0
	takes := []solve.Entry{}
	for _, t := range entries {
		if t.Value < 0 {
			takes = append(takes, solve.Entry{Col: t.Col, Value: -t.Value})
			used += -t.Value * e.p.Columns[t.Col].Upper
		}
	}
	used = min(used, e.able[item])
	at := about{item: -1, when: e.when, pos: e.ItemPos[item]}
	e.addRow(at, what, math.Inf(-1), 0, append(takes, solve.Entry{Col: taken, Value: -used}))
	earlier := []solve.Entry{}
	for _, s := range list {
		name := fmt.Sprintf("%s kept at %s for %s", e.g.Items[item].Name, e.when, e.Moment(s.start))
		kept := []solve.Entry{{Col: e.shelf[item].stock, Value: 1}}
		side, most := 0.0, 0.0
		if col := e.batch[s.run]; col >= 0 {
			kept = append(kept, solve.Entry{Col: col, Value: -s.amount})
			most = s.amount * float64(e.most[s.run])
		} else {
			side = s.amount * e.sched.Batches[s.run].Size
			most = side
		}
		side -= most
		kept = append(kept, solve.Entry{Col: taken, Value: -most})
		for _, x := range earlier {
			kept = append(kept, solve.Entry{Col: x.Col, Value: most})
		}
		e.addRow(at, name, side, math.Inf(1), kept)
		if e.batch[s.run] < 0 {
			break
		}
		earlier = append(earlier, solve.Entry{Col: e.batch[s.run]})
	}
}

// leaveSeeds asks for what the first run after the period takes from yesterday, where a pot is alive when the period
// begins and can live so long.
func (m *model) leaveSeeds() {
	for i := range m.g.Items {
		sh := &m.shelf[i]
		list := m.seedsOf(i, len(m.row)-1)
		if len(list) == 0 || sh.opening == 0 || sh.stock < 0 {
			continue
		}
		run, keeps := m.sched.Batches[list[0].run], m.Terms.Keeps[i]
		from := 0
		if keeps > 0 {
			from = run.Day - keeps + 1 // the first day whose lots still keep then
		}
		if from >= m.Days {
			continue
		}
		seed, what := list[0].amount*run.Size, m.DayName(run.Day)
		name := fmt.Sprintf("%s kept for %s", m.g.Items[i].Name, what)
		at := about{item: -1, when: "the end", pos: m.StepPos[run.Step].Pos, wish: true}
		m.seeds = append(m.seeds, m.g.Items[i].Name)
		m.addRow(at, name, seed, math.Inf(1), []solve.Entry{{Col: sh.stock, Value: 1}})
		if from <= 0 {
			continue
		}
		var came []solve.Entry
		for d := from; d < m.Days; d++ {
			came = append(came, sh.came[d]...)
		}
		m.addRow(at, name+", of what still keeps then", seed, math.Inf(1), merged(came))
	}
}
