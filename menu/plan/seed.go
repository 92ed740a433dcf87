package plan

// Perpetual stocks: what is held back for the next batch, as the walk holds it back.

import (
	"fmt"
	"math"
	"slices"

	"kettletree/graph/flow"
	"kettletree/menu/kitchen"
	"kettletree/menu/plan/solve"
)

// seed is what the runs that begin at one moment take of an item from yesterday.
type seed struct {
	start int // minute of the period
	parts []part
}

// part is what one of these runs takes.
type part struct {
	run    int
	amount float64 // for one batch, in the item's unit
}

// seedsOf lists what is taken of an item from yesterday after an event of the row, by the moment at which that begins.
func (m *model) seedsOf(item, after int) (list []seed) {
	add := func(run, start int) {
		amount := 0.0
		for _, l := range m.g.Steps[m.sched.Batches[run].Step].Takes {
			if c := l.Choices[0]; l.Carried && c.Item == item {
				amount += m.per(item, c.Amount)
			}
		}
		if amount == 0 {
			return
		}
		k := slices.IndexFunc(list, func(s seed) bool { return s.start == start })
		if k < 0 {
			k = len(list)
			list = append(list, seed{start: start})
		}
		list[k].parts = append(list[k].parts, part{run, amount})
	}
	for _, mo := range m.row[after+1:] {
		if mo.Kind == flow.Works && mo.Run >= 0 {
			add(mo.Run, mo.At)
		}
	}
	for r, run := range m.sched.Batches {
		if run.Day >= m.Days && run.Size > 0 {
			add(r, run.Day*1440+max(run.Start, 0)+run.Late)
		}
	}
	slices.SortStableFunc(list, func(a, b seed) int { return a.start - b.start })
	return list
}

// sets tells whether runs that are no part of the plan take the seed: there is no later one then.
func (m *model) sets(s seed) bool {
	return slices.ContainsFunc(s.parts, func(t part) bool { return m.due[t.run] < 0 })
}

// takes is what is taken of a seed: the columns that take it, what is taken in any case, and the most that it can be.
func (m *model) takes(s seed) (entries []solve.Entry, fixed, most float64) {
	for _, t := range s.parts {
		if col := m.due[t.run]; col >= 0 {
			entries = append(entries, solve.Entry{Col: col, Value: t.amount})
			most += t.amount * float64(m.most[t.run])
		} else {
			fixed += t.amount * m.sched.Batches[t.run].Size
		}
	}
	return entries, fixed, most + fixed
}

// keepSeed holds back, of an item that the event takes, what the next run takes of it from yesterday. Which run is the
// next hangs on the plan: for each, the row lets go when an earlier one is done, and when the event takes nothing.
func (e *event) keepSeed(item int, entries []solve.Entry) {
	mo := e.row[e.at]
	if mo.Kind == flow.DayStarts || mo.Kind == flow.Arrives {
		return // what goes into a batch under way goes before
	}
	if mo.Run >= 0 {
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
	taken, used := e.yesNo(what, solve.Hint{Group: offering, When: e.day, What: none}), 0.0
	takes := []solve.Entry{}
	for _, t := range entries {
		if t.Value < 0 {
			takes = append(takes, solve.Entry{Col: t.Col, Value: -t.Value})
			used += -t.Value * e.p.Columns[t.Col].Upper
		}
	}
	if e.kinds[item] != bought { // else more can be bought for the event itself
		used = min(used, e.there(item))
	}
	at := e.here(e.ItemPos[item])
	e.addRow(at, what, math.Inf(-1), 0, append(takes, solve.Entry{Col: taken, Value: -used}))
	earlier := []solve.Entry{}
	for _, s := range list {
		name := fmt.Sprintf("%s kept at %s for %s", e.g.Items[item].Name, e.when, e.Moment(s.start))
		kept := []solve.Entry{{Col: e.shelf[item].stock, Value: 1}}
		asked, fixed, most := e.takes(s)
		for _, t := range asked {
			kept = append(kept, solve.Entry{Col: t.Col, Value: -t.Value})
		}
		kept = append(kept, solve.Entry{Col: taken, Value: -most})
		for _, x := range earlier {
			kept = append(kept, solve.Entry{Col: x.Col, Value: most})
		}
		e.addRow(at, name, fixed-most, math.Inf(1), kept)
		if e.sets(s) {
			break
		}
		earlier = append(earlier, asked...)
	}
}

// free is what is on hand of an item after the event beyond what is held back of it; never less, so that "used up" may hang
// on it.
func (e *event) free(item int) []solve.Entry {
	stock := solve.Entry{Col: e.shelf[item].stock, Value: 1}
	list := e.seedsOf(item, e.at)
	if len(list) == 0 || e.able[item] <= 0 {
		return []solve.Entry{stock}
	}
	name := fmt.Sprintf("%s held back at %s", e.g.Items[item].Name, e.when)
	held := e.column(name, e.able[item], 0, follows(e.day, none))
	at := e.here(e.ItemPos[item])
	earlier := []solve.Entry{} // columns that are 1 when one of them is done: what is held back is for it
	for _, s := range list {
		asked, fixed, _ := e.takes(s)
		row := append([]solve.Entry{{Col: held, Value: 1}}, earlier...)
		for _, t := range asked {
			row = append(row, solve.Entry{Col: t.Col, Value: -t.Value})
		}
		if e.sets(s) {
			e.addRow(at, name+" for the batch after the last day", math.Inf(-1), fixed, merged(row))
			return []solve.Entry{stock, {Col: held, Value: -1}}
		}
		for _, t := range s.parts {
			lit := e.on(t.run)
			e.addRow(at, fmt.Sprintf("%s for %s of %s", name, e.g.Steps[e.sched.Batches[t.run].Step].Name, e.Moment(s.start)), math.Inf(-1), e.able[item],
				merged(append(slices.Clone(row), solve.Entry{Col: lit, Value: e.able[item]})))
			earlier = append(earlier, solve.Entry{Col: lit, Value: -e.able[item]})
		}
	}
	e.addRow(at, name+" for no batch", math.Inf(-1), 0, append([]solve.Entry{{Col: held, Value: 1}}, earlier...))
	return []solve.Entry{stock, {Col: held, Value: -1}}
}

// carried is a perpetual stock that the first batch after the period asks for.
type carried struct {
	item   int
	amount float64 // that it takes, in base units
	from   int     // the first day whose lots still keep then, if there is one in the period
	name   string  // of the wish that it is
	pos    kitchen.Pos
}

// leaveSeeds asks for what the first run after the period takes from yesterday, where a pot is alive when the period
// begins and can live so long.
func (m *model) leaveSeeds() {
	for i := range m.g.Items {
		sh := &m.shelf[i]
		list := m.seedsOf(i, len(m.row)-1)
		if len(list) == 0 || sh.opening+sh.due == 0 || sh.stock < 0 {
			continue
		}
		run, keeps := m.sched.Batches[list[0].parts[0].run], m.Terms.Keeps[i]
		_, seed, _ := m.takes(list[0])
		from := 0
		if keeps > 0 {
			from = run.Day - keeps + 1
		}
		if from >= m.Days {
			continue
		}
		name := fmt.Sprintf("%s kept for %s", m.g.Items[i].Name, m.DayName(run.Day))
		c := carried{item: i, amount: seed * m.g.Items[i].Unit.Factor, from: from, name: name, pos: m.StepPos[run.Step].Pos}
		at := about{item: none, when: "the end", pos: c.pos, wish: true}
		m.seeds = append(m.seeds, c)
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

// dropped are the perpetual stocks of which a case, as it is played, leaves too little for the batch after the period.
func (m *model) dropped(c flow.Case) (list []carried) {
	if len(m.seeds) == 0 {
		return nil
	}
	lots := m.Player().Play(c, &flow.Record{Movements: true}).Lots
	for _, s := range m.seeds {
		left := 0.0
		for _, l := range lots {
			if l.Item == s.item && (s.from <= 0 || l.Made >= s.from) {
				left += l.Amount
			}
		}
		if left < s.amount*(1-agree) {
			list = append(list, s)
		}
	}
	return list
}

// carriesOn says which perpetual stocks the standing week lets die, where carrying them on is what makes a plan earn less.
func (m *model) carriesOn(p *Plan) (notes []string) {
	if len(m.seeds) == 0 {
		return nil
	}
	stands := m.stands()
	less := stands.counts() - p.counts()
	if less < least {
		return nil
	}
	for _, s := range m.dropped(stands.Case) {
		notes = append(notes, fmt.Sprintf("the standing week earns %.2f more, and leaves too little %s for the batch after the last day: this plan carries it on",
			less, m.g.Items[s.item].Name))
	}
	return notes
}
