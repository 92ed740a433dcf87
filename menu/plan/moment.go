package plan

// The events: what each touches, and the balance of every item that it touches.

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu/kitchen"
	"kettletree/menu/plan/solve"
)

// event is one moment while its columns are gathered.
type event struct {
	*model
	at      int // in the row
	now     int // minute
	day     int // of the calendar
	ofDay   int // the day that has begun last: after midnight, it may be that before
	when    string
	touches map[int][]solve.Entry // by item: what comes in and what goes out
	lacks   []lack                // of a step that takes all, what can keep it from doing so
	onlyNet []net
}

// net is an item of which more is made only when none is left, and the column that is 1 then.
type net struct{ item, zero int }

// lack is a line that can be used up: its items.
type lack []int

// here is what a row of the event stands for that is none of an item's balance.
func (e *event) here(pos kitchen.Pos) about { return about{item: none, when: e.when, pos: pos} }

// event is what happens at a place of the row.
func (m *model) event(at int) *event {
	now := m.row[at].At
	return &event{model: m, at: at, now: now, day: now / 1440, ofDay: m.begun[at]}
}

func (m *model) moment(at int, mo flow.Moment) {
	if mo.At >= m.sched.Ends() && mo.Kind != flow.DayEnds {
		switch {
		case m.onward != nil: // it comes on the days behind
		case mo.Pot >= 0:
			item, col, kept := m.comesOut(mo)
			m.pot[item] = append(m.pot[item], solve.Entry{Col: col, Value: -kept})
		case mo.Kind == flow.Comes && m.batch[mo.Run] >= 0: // still in a pot: on hand, as far as value goes
			o := m.g.Steps[mo.Step].Gives[mo.Output]
			_, kept := m.given(m.sched.Batches[mo.Run], mo.Output)
			m.pot[o.Item] = append(m.pot[o.Item], solve.Entry{Col: m.batch[mo.Run], Value: -kept})
		}
		if mo.Kind == flow.Works && mo.Run >= 0 && m.batch[mo.Run] >= 0 {
			m.p.Columns[m.batch[mo.Run]].Upper = 0
		}
		return
	}
	e := m.event(at)
	e.when, e.touches = m.Moment(mo.At), map[int][]solve.Entry{}
	switch mo.Kind {
	case flow.DayEnds:
		m.dayEnds(mo.Day)
	case flow.DayStarts:
		for _, sp := range m.sched.Spoils {
			if sp.Day == mo.Day {
				e.spoil(sp.Item)
			}
		}
		for _, d := range m.sched.Deliveries {
			if d.Day == mo.Day && m.late(d.Item) <= mo.At {
				e.deliver(d)
			}
		}
		for i, days := range m.packs {
			if days != nil && days[mo.Day] >= 0 && m.late(i) <= mo.At {
				e.touch(i, days[mo.Day], m.per(i, m.pack[i]))
			}
		}
		e.settle()
		if mo.Day == 0 {
			e.putIn(none)
		}
	case flow.Arrives:
		for _, d := range m.sched.Deliveries {
			if d.Item == mo.Item && d.Day <= e.ofDay && max(d.Day*1440, m.sched.From) < mo.At {
				e.deliver(d)
			}
		}
		for d, col := range m.packs[mo.Item] {
			if col >= 0 && d <= e.ofDay && max(d*1440, m.sched.From) < mo.At {
				e.touch(mo.Item, col, m.per(mo.Item, m.pack[mo.Item]))
			}
		}
		e.settle()
		e.putIn(mo.Item)
	case flow.Comes:
		if mo.Pot >= 0 {
			item, col, kept := m.comesOut(mo)
			e.touch(item, col, kept)
			e.settle()
			return
		}
		if mo.Run < 0 || m.batch[mo.Run] < 0 {
			return
		}
		_, kept := m.given(m.sched.Batches[mo.Run], mo.Output)
		e.touch(m.g.Steps[mo.Step].Gives[mo.Output].Item, m.batch[mo.Run], kept)
		e.settle()
	case flow.Works:
		if mo.Run >= 0 {
			e.run(mo)
		} else {
			e.takeAll(mo)
		}
	case flow.Serves:
		if m.sched.Slots[mo.Slot].Closed {
			return
		}
		e.when = m.SittingName(mo.Slot)
		for d, col := range m.portions[mo.Slot] {
			if col >= 0 {
				e.uses(len(m.Steps)+d, col, 0)
			}
		}
		e.makeToOrder()
		e.settle()
	}
}

// deliver touches what comes of a delivery.
func (e *event) deliver(d flow.Delivery) {
	if d.Amount == 0 {
		return
	}
	name := fmt.Sprintf("%s due on %s", e.g.Items[d.Item].Name, e.DayName(d.Day))
	e.touch(d.Item, e.certain(name, d.Day, -d.Amount*e.Terms.Price[d.Item]), e.per(d.Item, d.Amount))
}

// certain is a column that is 1, whatever is chosen.
func (m *model) certain(name string, day int, money float64) int {
	col := m.column(name, 1, money, follows(day, none))
	m.p.Columns[col].Lower = 1
	return col
}

// comesOut is what comes of a batch under way, for one of a column that is certain.
func (m *model) comesOut(mo flow.Moment) (item, col int, kept float64) {
	p := m.sched.Pots[mo.Pot]
	item = p.Gives[mo.Line].Item
	all, kept := m.stillGives(p, mo.Line)
	name := fmt.Sprintf("%s of the %s under way", m.g.Items[item].Name, m.g.Steps[p.Step].Name)
	return item, m.certain(name, max(p.Day, 0), -m.disposal(item)*(all-kept)), kept
}

// putIn takes what goes into batches under way, before anyone else takes of it: of all items, or of one that was late.
func (e *event) putIn(only int) {
	e.touches = map[int][]solve.Entry{}
	for i, it := range e.g.Items {
		if amount := e.puts[[2]int{e.now, i}]; amount > 0 && (only == none || only == i) {
			e.take(graph.Choice{Item: i, Amount: amount}, e.certain(it.Name+" put in at "+e.when, e.day, 0))
		}
	}
	e.settle()
}

// touch notes that one of a column brings so much of an item, in its unit; below zero it takes it.
func (e *event) touch(item, col int, amount float64) {
	list := e.touches[item]
	for k := range list {
		if list[k].Col == col {
			list[k].Value += amount
			return
		}
	}
	e.touches[item] = append(list, solve.Entry{Col: col, Value: amount})
}

// source tells whether a bought item can be had for the day: some arrival day up to it brings what still keeps.
func (e *event) source(item int) bool {
	s := e.sched
	if s.Short != nil && s.Short[item] || e.now < e.late(item) {
		return false
	}
	from := e.late(item) / 1440
	if s.OrdersFrom != nil && e.now >= s.ResumedAt {
		from = max(from, s.OrdersFrom[item])
	}
	keeps := e.Terms.Keeps[item]
	for d := e.ofDay; d >= from && (keeps == 0 || d+keeps-1 >= e.day); d-- {
		if e.sched.Arrives[item] == nil || e.sched.Arrives[item][d] {
			return true
		}
	}
	return false
}

// uses adds what the work of a column takes by the lines of a step from one on, but what is carried.
func (e *event) uses(step, runs, from int) {
	for l, line := range e.g.Steps[step].Takes {
		if l < from || line.Carried {
			continue
		}
		needed := !line.Optional && line.Without == 0
		for _, c := range line.Choices[:max(1, line.Alike)] {
			if e.g.Items[c.Item].Role == graph.Bought && e.source(c.Item) {
				needed = true // what can be bought is not left out to save money
			}
		}
		if needed && len(line.Choices) == 1 {
			if c := line.Choices[0]; !e.take(c, runs) {
				e.p.Columns[runs].Upper = 0
			}
			continue
		}
		f := fill{moment: e.at, step: step, line: l, runs: runs}
		whole := []solve.Entry{{Col: runs, Value: -1}}
		for _, c := range line.Choices {
			upper := e.p.Columns[runs].Upper
			name := fmt.Sprintf("%s with %s at %s", e.g.Steps[step].Name, e.g.Items[c.Item].Name, e.when)
			col := e.column(name, upper, 0, follows(e.day, step))
			if !e.take(c, col) {
				e.p.Columns[col].Upper = 0
			}
			f.choices = append(f.choices, col)
			whole = append(whole, solve.Entry{Col: col, Value: 1})
		}
		e.counts(step, l, runs, f.choices)
		least := 0.0
		if !needed {
			least = math.Inf(-1)
		}
		at, name := e.here(e.StepPos[step].Takes[l]), fmt.Sprintf("%s, line %d at %s", e.g.Steps[step].Name, l+1, e.when)
		e.addRow(at, name, least, 0, whole)
		if !needed && line.Without < 1 && !line.Optional { // what the batch goes without before it is cut
			enough := slices.Clone(whole)
			enough[0].Value *= 1 - line.Without
			e.addRow(at, name+" at the least", 0, math.Inf(1), enough)
		}
		e.fills = append(e.fills, f)
	}
}

// prefer makes a column dearer or cheaper by a hair that is no money.
func (m *model) prefer(col int, by float64) {
	m.p.Columns[col].Cost += by
	m.left += math.Abs(by) * m.p.Columns[col].Upper
}

// take notes that a column takes a choice; false when there is none.
func (e *event) take(c graph.Choice, col int) bool {
	amount := e.per(c.Item, c.Amount)
	if e.kinds[c.Item] == bought && e.shelf[c.Item].opening+e.shelf[c.Item].due == 0 {
		if !e.source(c.Item) {
			return false
		}
		e.cost[col] -= c.Amount * e.Terms.Price[c.Item]
		return true
	}
	e.touch(c.Item, col, -amount)
	return true
}

// runsFor is how often a step runs at most for what is taken of what it gives.
func (m *model) runsFor(step int, touches map[int][]solve.Entry) (most float64) {
	for n, o := range m.g.Steps[step].Gives {
		for _, t := range touches[o.Item] {
			if gives := m.gives(step, n); t.Value < 0 && gives > 0 {
				most += -t.Value * m.p.Columns[t.Col].Upper / gives
			}
		}
	}
	return most
}

// makeToOrder adds the work made to order for what the event takes so far.
func (e *event) makeToOrder() {
	for _, s := range e.order {
		st, most := e.g.Steps[s], e.runsFor(s, e.touches)
		if most == 0 {
			continue
		}
		name := fmt.Sprintf("%s at %s", st.Name, e.when)
		if st.AsNeeded() {
			e.makeAsNeeded(s, name, most)
			continue
		}
		col := e.column(name, most, -e.Terms.Cost[s], follows(e.day, s))
		e.uses(s, col, 0)
		kept := []solve.Entry{}
		for n, o := range st.Gives {
			e.touch(o.Item, col, e.gives(s, n))
			if e.kinds[o.Item] == stocked {
				z := e.yesNo(fmt.Sprintf("%s used up at %s", e.g.Items[o.Item].Name, e.when), follows(e.day, s))
				kept = append(kept, solve.Entry{Col: z, Value: -most})
				e.onlyNet = append(e.onlyNet, net{o.Item, z})
			}
		}
		if len(kept) > 0 { // no more is made than is asked for: something that it gives is used up
			e.addRow(e.here(e.StepPos[s].Pos), name+" as asked for", math.Inf(-1), 0, append(kept, solve.Entry{Col: col, Value: 1}))
		}
	}
}

// settle closes the balances of all items that the event touches.
func (e *event) settle() {
	for _, i := range slices.Sorted(maps.Keys(e.touches)) {
		if entries := e.touches[i]; e.kinds[i] == onOrder {
			e.addRow(about{item: i, when: e.when, pos: e.ItemPos[i]}, fmt.Sprintf("%s at %s", e.g.Items[i].Name, e.when), 0, 0, entries)
			continue
		}
		e.balance(i, e.touches[i])
	}
	for _, n := range e.onlyNet {
		e.addRow(e.here(e.ItemPos[n.item]), e.g.Items[n.item].Name+" left only when none is made", math.Inf(-1), e.there(n.item),
			append(e.free(n.item), solve.Entry{Col: n.zero, Value: e.there(n.item)}))
	}
}

// balance closes the balance of one item.
func (e *event) balance(i int, entries []solve.Entry) {
	sh, takes := &e.shelf[i], false
	for _, t := range entries {
		if t.Value > 0 {
			sh.came[e.day] = append(sh.came[e.day], t)
		}
		takes = takes || t.Value < 0
	}
	row := slices.Clone(entries)
	if e.kinds[i] == bought && takes && e.source(i) { // beyond what is on hand, it is bought as it is needed
		name := fmt.Sprintf("%s bought for %s", e.g.Items[i].Name, e.when)
		buy := e.column(name, endless, -e.Terms.Price[i]*e.g.Items[i].Unit.Factor, follows(e.day, none))
		row = append(row, solve.Entry{Col: buy, Value: 1})
	}
	most := e.able[i]
	if e.kinds[i] == bought {
		most = sh.opening + sh.due
	}
	e.about[e.carry(i, row, most, e.when)].served = takes && e.row[e.at].Kind == flow.Serves
	if takes {
		e.keepSeed(i, entries)
	}
}
