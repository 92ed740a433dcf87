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
	day     int
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

func (m *model) moment(at int, mo flow.Moment) {
	if mo.At > m.Days*1440 || mo.At == m.Days*1440 && mo.Kind != flow.DayEnds {
		if mo.Pot >= 0 {
			item, col, kept := m.comesOut(mo)
			m.pot[item] = append(m.pot[item], solve.Entry{Col: col, Value: -kept})
		} else if mo.Kind == flow.Comes && m.batch[mo.Run] >= 0 { // still in a pot: on hand, as far as value goes
			o := m.g.Steps[mo.Step].Gives[mo.Output]
			_, kept := m.given(m.sched.Batches[mo.Run], mo.Output)
			m.pot[o.Item] = append(m.pot[o.Item], solve.Entry{Col: m.batch[mo.Run], Value: -kept})
		}
		if mo.Kind == flow.Works && mo.Run >= 0 && m.batch[mo.Run] >= 0 {
			m.p.Columns[m.batch[mo.Run]].Upper = 0
		}
		return
	}
	e := &event{model: m, at: at, now: mo.At, day: mo.At / 1440, when: m.Moment(mo.At), touches: map[int][]solve.Entry{}}
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
			if d.Item == mo.Item && max(d.Day*1440, m.sched.From) < mo.At {
				e.deliver(d)
			}
		}
		for d, col := range m.packs[mo.Item] {
			if col >= 0 && max(d*1440, m.sched.From) < mo.At {
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

func (e *event) run(mo flow.Moment) {
	col := e.batch[mo.Run]
	if col < 0 {
		return
	}
	if !e.loose {
		e.limit(mo.Run)
	}
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
		if c.anew >= 0 {
			e.addRow(at, name+" all taken before it is begun anew", math.Inf(-1), fresh+there,
				merged(append(aged, solve.Entry{Col: c.anew, Value: there})))
		}
	}
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
		if most := e.there(first.Item) / e.per(first.Item, first.Amount); most < c.Upper {
			c.Upper, e.limited[run] = max(c.Lower, most), true
		}
	}
}

// carriage is a line that takes an item from yesterday.
type carriage struct {
	item  int
	taken func() int // column that is 1 when some of it is taken
	anew  int        // column that is 1 when something bought stands in for it; -1 when nothing can
}

// carried adds what a line of a run takes from yesterday. Where it may be begun again with something bought, that stands in
// only for what is not there.
func (e *event) carried(mo flow.Moment, l int, line graph.Line) carriage {
	run, col, first := mo.Run, e.batch[mo.Run], line.Choices[0]
	c := carriage{item: first.Item, taken: func() int { return e.on(run) }, anew: -1}
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
	bought, anew := part(line.Choices[k+1])
	e.addRow(at, fmt.Sprintf("%s, line %d at %s", e.g.Steps[mo.Step].Name, l+1, e.when), 0, 0,
		[]solve.Entry{{Col: old, Value: 1}, {Col: bought, Value: 1}, {Col: col, Value: -1}})
	c.taken, c.anew = func() int { return some }, anew
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
		if b.Step == mo.Step && b.Day == e.day {
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
	for d := e.day; d >= from && (keeps == 0 || d+keeps-1 >= e.day); d-- {
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
		needed := !line.Optional
		if c := line.Choices[0]; e.g.Items[c.Item].Role == graph.Bought && e.source(c.Item) {
			needed = true // what can be bought is not left out to save money
		}
		if needed && len(line.Choices) == 1 {
			if c := line.Choices[0]; !e.take(c, runs) {
				e.p.Columns[runs].Upper = 0
			}
			continue
		}
		f := fill{moment: e.at, step: step, line: l, runs: runs}
		whole := []solve.Entry{{Col: runs, Value: -1}}
		for n, c := range line.Choices {
			upper := e.p.Columns[runs].Upper
			name := fmt.Sprintf("%s with %s at %s", e.g.Steps[step].Name, e.g.Items[c.Item].Name, e.when)
			col := e.column(name, upper, 0, follows(e.day, step))
			if n > 0 {
				e.prefer(col, -taste*float64(n))
			}
			if !needed {
				e.prefer(col, 2*taste)
			}
			if !e.take(c, col) {
				e.p.Columns[col].Upper = 0
			}
			f.choices = append(f.choices, col)
			whole = append(whole, solve.Entry{Col: col, Value: 1})
		}
		least := 0.0
		if !needed {
			least = math.Inf(-1)
		}
		e.addRow(e.here(e.StepPos[step].Takes[l]), fmt.Sprintf("%s, line %d at %s", e.g.Steps[step].Name, l+1, e.when), least, 0, whole)
		e.fills = append(e.fills, f)
	}
}

// prefer makes a column dearer or cheaper by a hair that is no money.
func (m *model) prefer(col int, by float64) {
	m.p.Columns[col].Cost += by
	m.left += math.Abs(by) * m.p.Columns[col].Upper
}

// take notes that a column takes a choice; false when there is none to be had.
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

// makeToOrder adds the work made to order for what the event takes so far.
func (e *event) makeToOrder() {
	for _, s := range e.order {
		st, most := e.g.Steps[s], 0.0
		for n, o := range st.Gives {
			for _, t := range e.touches[o.Item] {
				if gives := e.gives(s, n); t.Value < 0 && gives > 0 {
					most += -t.Value * e.p.Columns[t.Col].Upper / gives
				}
			}
		}
		if most == 0 {
			continue
		}
		name := fmt.Sprintf("%s at %s", st.Name, e.when)
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

// takesAllOn tells whether steps that take all there is work on a day: not where its services began before the week goes on, or
// nobody works.
func (m *model) takesAllOn(day int) bool {
	return slices.ContainsFunc(m.sched.Slots, func(s flow.Slot) bool { return s.Day == day && s.Start >= m.sched.From && !s.Idle })
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

// close values what is left, on the shelf and in the pots.
func (m *model) close() {
	f := m.Case.Flow
	for i, sh := range m.shelf {
		m.p.Constant -= m.worth.Opening(f, i)
		if par := m.per(i, m.Par[i]); par > 0 && !m.held && !m.easy {
			if sh.stock < 0 {
				sh.stock = m.column(m.g.Items[i].Name+" on hand at the end", sh.opening, 0, follows(none, none))
				m.p.Columns[sh.stock].Lower = sh.opening
			}
			m.addRow(about{item: none, when: "the end", pos: m.ItemPos[i], wish: true}, fmt.Sprintf("a par of %s of %s", m.Quantity(i, m.Par[i]), m.g.Items[i].Name),
				par, math.Inf(1), []solve.Entry{{Col: sh.stock, Value: 1}})
		}
		left := slices.Clone(m.pot[i])
		if sh.stock >= 0 {
			left = append(left, solve.Entry{Col: sh.stock, Value: -1})
		}
		switch {
		case sh.stock < 0 && sh.opening > 0 && len(left) == 0: // never touched
			m.p.Constant += m.worth.Left(f, i, sh.opening*m.g.Items[i].Unit.Factor)
		case len(left) > 0 && m.value(i) > 0:
			side := 0.0
			if sh.stock < 0 {
				side = sh.opening
			}
			name := m.g.Items[i].Name + " left"
			counted := m.column(name, min(m.per(i, m.worth.Counts(i)), endless), m.value(i), follows(m.Days-1, none))
			m.addRow(about{item: none, when: "the end", pos: m.ItemPos[i]}, name, math.Inf(-1), side, merged(append(left, solve.Entry{Col: counted, Value: 1})))
		}
	}
}
