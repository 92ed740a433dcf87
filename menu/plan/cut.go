package plan

// Batches that are cut: of a batch, the walk makes what there is enough for, and so may the model.

import (
	"fmt"
	"math"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu/plan/solve"
)

// shortage is a way in which a batch can be cut short: all of these items are used up.
type shortage struct {
	items   []int
	carried bool // of what was on hand before today
	col     int  // that is 1 when they are
}

// cutting lets the last batch of a run be cut, where anything that it takes can run short of a whole one: what is made is
// then a column of its own, at most what is due, and less than that by a part of one batch only if something is used up.
// What is wished for is made whole. A vessel is as full as if the batch was whole, and as much is held back for it.
func (e *event) cutting(mo flow.Moment) (ways []shortage) {
	due, run := e.due[mo.Run], e.sched.Batches[mo.Run]
	if ways = e.shorts[mo.Run]; len(ways) == 0 || e.p.Columns[due].Upper == 0 {
		return nil
	}

	// What is made, and what is due: whole batches, no more of them than it takes.
	c, name := &e.p.Columns[due], e.p.Columns[due].Name
	upper, money := c.Upper, e.cost[due]
	least := e.Steps[mo.Step].Least()
	c.Upper, e.cost[due] = math.Ceil((upper-whole)/least)*least, 0
	e.prefer(due, -taste)
	made := e.column(name+", made", upper, money, follows(run.Day, mo.Step))
	cut := e.yesNo(name+", cut", lights(run))
	e.batch[mo.Run], e.cut[mo.Run] = made, cut
	at := e.here(e.StepPos[mo.Step].Pos)
	e.addRow(at, name+", no more than is due", math.Inf(-1), 0, []solve.Entry{{Col: made, Value: 1}, {Col: due, Value: -1}})
	e.addRow(at, name+", less only when it is cut", math.Inf(-1), 0, []solve.Entry{{Col: due, Value: 1}, {Col: made, Value: -1}, {Col: cut, Value: -least}})

	// It is cut only in one of these ways.
	if len(ways) == 1 {
		ways[0].col = cut
		return ways
	}
	any := []solve.Entry{{Col: cut, Value: 1}}
	for k := range ways {
		ways[k].col = e.yesNo(fmt.Sprintf("%s short of %s", name, e.g.Items[ways[k].items[0]].Name), follows(run.Day, mo.Step))
		any = append(any, solve.Entry{Col: ways[k].col, Value: -1})
	}
	e.addRow(at, name+" cut only when short", math.Inf(-1), 0, any)
	return ways
}

// shortages finds for each run in which ways it can be cut, and what is no longer binned at will since a batch may be cut when it
// is used up.
func (m *model) shortages() {
	m.shorts = map[int][]shortage{}
	for at, mo := range m.row {
		if mo.Kind != flow.Works || mo.Run < 0 || mo.At >= m.sched.Ends() || m.held || m.fixed(m.sched.Batches[mo.Run]).Text != "" {
			continue
		}
		e := m.event(at)
		var ways []shortage
		for _, l := range m.g.Steps[mo.Step].Takes {
			if l.Carried {
				ways = append(ways, e.carriedShort(l)...)
				continue
			}
			for _, items := range e.shortOf(l) {
				if !e.comes(items) {
					ways = append(ways, shortage{items: items})
				}
			}
		}
		for _, w := range ways {
			for _, i := range w.items {
				m.urges[i] = true
			}
		}
		m.shorts[mo.Run] = ways
	}
}

// carriedShort are the ways in which a line that takes from yesterday can be short: one, or none where something can be
// bought for it.
func (e *event) carriedShort(l graph.Line) []shortage {
	way := shortage{carried: true}
	for _, c := range l.Choices {
		if e.g.Items[c.Item].Role == graph.Bought && e.source(c.Item) {
			return nil
		}
		way.items = append(way.items, c.Item)
	}
	if l.Optional {
		return nil
	}
	return []shortage{way}
}

// comes tells whether one of some items can be bought in packs just then: nothing is cut for lack of that, as the walk buys
// another pack.
func (e *event) comes(items []int) bool {
	for _, i := range items {
		if e.g.Items[i].Role == graph.Bought && e.source(i) {
			return true
		}
	}
	return false
}

// cutCarried lets a run be cut for lack of what it takes from yesterday only when that is all taken. What came today is still
// on hand.
func (e *event) cutCarried(run int, ways []shortage) {
	for _, w := range ways {
		if !w.carried {
			continue
		}
		for n, i := range w.items {
			sh, there := &e.shelf[i], e.there(i)
			if sh.stock < 0 || there <= 0 {
				continue
			}
			fresh, aged := 0.0, []solve.Entry{{Col: sh.stock, Value: 1}, {Col: w.col, Value: there}}
			if n == 0 { // the others are bought
				for _, t := range sh.came[e.day] {
					aged = append(aged, solve.Entry{Col: t.Col, Value: -t.Value})
				}
				if e.day == 0 {
					fresh = sh.fresh
				}
			}
			e.onlyWhenGone(run, i, there+fresh, aged)
		}
	}
}

// cutOthers lets a run be cut for lack of anything else only when none of that is left.
func (e *event) cutOthers(run int, ways []shortage) {
	for _, w := range ways {
		if w.carried {
			continue
		}
		for _, i := range w.items {
			switch there := e.there(i); {
			case e.shelf[i].stock < 0 && e.shelf[i].opening > 0: // there is some, and nothing takes it
				e.p.Columns[w.col].Upper = 0
			case e.shelf[i].stock >= 0 && there > 0:
				e.onlyWhenGone(run, i, there, append(e.free(i), solve.Entry{Col: w.col, Value: there}))
			}
		}
	}
}

func (e *event) onlyWhenGone(run, item int, most float64, row []solve.Entry) {
	name := fmt.Sprintf("%s cut only when %s is used up", e.p.Columns[e.due[run]].Name, e.g.Items[item].Name)
	e.addRow(e.here(e.StepPos[e.sched.Batches[run].Step].Pos), name, math.Inf(-1), most, merged(row))
}

// stand puts a run as the standing week has it into a point.
func (m *model) stand(run int, made float64, put func(col int, v float64)) {
	least := 1.0
	if m.inHalves(run) {
		least = m.Steps[m.sched.Batches[run].Step].Least()
	}
	cut, can := m.cut[run]
	due := math.Floor(made/least+whole) * least
	if can {
		due = math.Ceil(made/least-whole) * least
		put(m.batch[run], made)
	}
	put(m.due[run], due)
	if c, ok := m.halves[run]; ok {
		put(c, 2*due)
	}
	if can && due-made > whole {
		put(cut, 1)
	}
}
