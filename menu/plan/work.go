package plan

// Batches and steps that take all there is, at one moment of the model.

import (
	"fmt"
	"math"
	"slices"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu/plan/solve"
)

func (e *event) run(mo flow.Moment) {
	col := e.batch[mo.Run]
	if col < 0 {
		return
	}
	if !e.loose {
		e.limit(mo.Run)
	}
	ways := e.cutting(mo)
	col = e.batch[mo.Run]
	var carried []carriage
	for l, line := range e.g.Steps[mo.Step].Takes {
		if line.Carried {
			carried = append(carried, e.carried(mo, l, line))
		}
	}
	e.settle()
	for _, c := range carried { // taken, if anything is, from what is left of earlier days: all that came today is still there
		aged := []solve.Entry{{Col: e.shelf[c.item].stock, Value: 1}}
		for _, t := range e.shelf[c.item].came[e.day] {
			aged = append(aged, solve.Entry{Col: t.Col, Value: -t.Value})
		}
		fresh, there := 0.0, e.there(c.item)
		if e.day == 0 {
			fresh = e.shelf[c.item].fresh
		}
		today := fresh // at most
		for _, t := range e.shelf[c.item].came[e.day] {
			today += max(t.Value, 0) * e.p.Columns[t.Col].Upper
		}
		at := e.here(e.StepPos[mo.Step].Pos)
		name := fmt.Sprintf("%s from yesterday at %s", e.g.Items[c.item].Name, e.when)
		if len(aged) > 1 || fresh > 0 {
			e.addRow(at, name, fresh-today, math.Inf(1), merged(append(slices.Clone(aged), solve.Entry{Col: c.taken(), Value: -today})))
		}
		if c.afresh >= 0 {
			e.addRow(at, name+" all taken before it is started again", math.Inf(-1), fresh+there,
				merged(append(aged, solve.Entry{Col: c.afresh, Value: there})))
		}
	}
	e.cutCarried(mo.Run, ways)
	e.touches = map[int][]solve.Entry{}
	e.uses(mo.Step, col, 0)
	e.makeToOrder()
	for n, o := range e.g.Steps[mo.Step].Gives {
		if o.OutAt == 0 {
			_, kept := e.given(e.sched.Batches[mo.Run], n)
			e.touch(o.Item, col, kept)
		}
	}
	e.settle()
	e.cutOthers(mo.Run, ways)
}

// there is the most that can be on hand of an item now.
func (m *model) there(item int) float64 {
	if m.loose {
		return m.able[item]
	}
	return m.shelf[item].most
}

// limit lowers the most that a run can be to what can be there of the items that it can't do without. A perpetual stock
// must not be begun with what a solver lets pass for nothing: it could grow from that, a hundredfold a day.
func (e *event) limit(run int) {
	c := &e.p.Columns[e.batch[run]]
	for _, l := range e.g.Steps[e.sched.Batches[run].Step].Takes {
		first := l.Choices[0]
		if len(l.Choices) > 1 || l.Optional || e.kinds[first.Item] != stocked || e.maker[first.Item] >= 0 {
			continue
		}
		if most := e.there(first.Item) / e.per(first.Item, first.Amount*(1-l.Without)); most < c.Upper {
			c.Upper, e.limited[run] = max(c.Lower, most), true
		}
	}
}

// carriage is a line that takes an item from yesterday.
type carriage struct {
	item   int
	taken  func() int // column that is 1 when some of it is taken
	afresh int        // column that is 1 when something bought stands in for it; -1 when nothing can
}

// carried adds what a line of a run takes from yesterday. Where it may be begun again with something bought, that stands in
// only for what is not there.
func (e *event) carried(mo flow.Moment, l int, line graph.Line) carriage {
	run, col, first := mo.Run, e.batch[mo.Run], line.Choices[0]
	c := carriage{item: first.Item, taken: func() int { return e.on(run) }, afresh: -1}
	k := slices.IndexFunc(line.Choices[1:], func(c graph.Choice) bool { return e.g.Items[c.Item].Role == graph.Bought })
	if k < 0 {
		e.touch(first.Item, col, -e.per(first.Item, first.Amount))
		return c
	}
	most, hint := e.p.Columns[col].Upper, follows(e.day, mo.Step)
	at := e.here(e.StepPos[mo.Step].Takes[l])
	part := func(c graph.Choice) (amount, some int) {
		name := fmt.Sprintf("%s with %s from yesterday at %s", e.g.Steps[mo.Step].Name, e.g.Items[c.Item].Name, e.when)
		amount, some = e.column(name, most, 0, hint), e.yesNo(name+" at all", hint)
		e.addRow(at, name+" at all", math.Inf(-1), 0, []solve.Entry{{Col: amount, Value: 1}, {Col: some, Value: -most}})
		if !e.take(c, amount) {
			e.p.Columns[amount].Upper = 0
		}
		return amount, some
	}
	old, some := part(first)
	bought, afresh := part(line.Choices[k+1])
	e.addRow(at, fmt.Sprintf("%s, line %d at %s", e.g.Steps[mo.Step].Name, l+1, e.when), 0, 0,
		[]solve.Entry{{Col: old, Value: 1}, {Col: bought, Value: 1}, {Col: col, Value: -1}})
	c.taken, c.afresh = func() int { return some }, afresh
	return c
}

// takeAll empties the shelf of the first line of a step that takes all there is; something stays on it only when another
// line is used up.
func (e *event) takeAll(mo flow.Moment) {
	st := e.g.Steps[mo.Step]
	first := st.Takes[0].Choices[0]
	most := e.there(first.Item) / e.per(first.Item, first.Amount)
	if most <= 0 {
		return
	}
	name := fmt.Sprintf("%s at %s", st.Name, e.when)
	col := e.column(name, most, -e.Terms.Cost[mo.Step], follows(e.day, mo.Step))
	e.take(first, col)
	e.settle() // by itself: none of it is made for this
	free, there := e.free(first.Item), e.there(first.Item)
	e.touches = map[int][]solve.Entry{}
	e.uses(mo.Step, col, 1)
	e.makeToOrder()
	lost := 0.0
	for _, b := range e.sched.Burnt {
		if b.Step == mo.Step && b.Day == e.ofDay {
			lost = 1 - (1-lost)*(1-b.Share)
		}
	}
	for n, o := range st.Gives {
		e.touch(o.Item, col, e.gives(mo.Step, n)*(1-lost))
		e.cost[col] -= e.disposal(o.Item) * e.gives(mo.Step, n) * lost
	}
	for _, l := range st.Takes[1:] {
		e.lacks = append(e.lacks, e.shortOf(l)...)
	}
	if len(e.lacks) > 0 || len(free) > 1 {
		e.alls[first.Item] = false // some of it may be left on the shelf, and go off
	}
	e.settle()
	leaves := free
	for _, items := range e.lacks {
		z := e.yesNo(fmt.Sprintf("%s short of %s", name, e.g.Items[items[0]].Name), follows(e.day, mo.Step))
		leaves = append(leaves, solve.Entry{Col: z, Value: -there})
		for _, i := range items {
			if most := e.there(i); e.shelf[i].stock >= 0 && most > 0 {
				e.addRow(e.here(e.StepPos[mo.Step].Pos), name+" only short of what is used up", math.Inf(-1), most,
					append(e.free(i), solve.Entry{Col: z, Value: most}))
			}
		}
	}
	e.addRow(e.here(e.StepPos[mo.Step].Pos), name+" takes all", math.Inf(-1), 0, merged(leaves))
}

// shortOf lists the ways in which a line can be short: for each, the items that are all used up then. There is none when
// the line can do without, or can buy.
func (e *event) shortOf(l graph.Line) []lack {
	if l.Optional {
		return nil
	}
	ways := []lack{nil}
	for _, c := range l.Choices { // each choice must be lacking, in one way or another
		var more []lack
		for _, way := range ways {
			for _, w := range e.without(c.Item) {
				more = append(more, slices.Concat(way, w))
			}
		}
		ways = more
	}
	return ways
}

// without lists the ways in which no more can be had of an item: of what is made to order, when none is left and a line of
// its step is short.
func (e *event) without(item int) (ways []lack) {
	switch maker := e.maker[item]; {
	case e.kinds[item] == bought && e.source(item):
		return nil
	case maker >= 0:
		for _, l := range e.g.Steps[maker].Takes {
			for _, w := range e.shortOf(l) {
				ways = append(ways, append(w, item))
			}
		}
		return ways
	}
	return []lack{{item}}
}
