package plan

// The days behind the plan's own, in the same program: what they earn with what it leaves.

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu/plan/solve"
)

// tail is the standing week behind the plan's days, as a part of the model. It is coarser than they are, and never less than the walk
// can earn: portions come in fractions, batches may be smaller where something that they take can be wanting, what is bought can be had
// as it is needed, and what stands in for something is not held to the service that it is for.
type tail struct {
	*model
	sched *flow.Schedule // of all days: the runs that can be, then the batches of the standing week
	runs  []int          // by run: column
	at    int            // place in the row
	day   int            // that has begun last
	when  string
	last  map[[2]int]int // by day and item: the last place at which some of it comes that day

	stock   []solve.Entry         // by item: the column of what is on hand; none where there is only a fixed amount, or nothing
	fixed   []float64             // by item: that amount
	touches map[int][]solve.Entry // by item: what comes in and goes out until the next balance
	spared  map[int][]solve.Entry // ... and what need not go out, for something stands in for it
	used    [][]solve.Entry       // by item: what is taken of what can always be had, while what the plan leaves of it keeps
	until   []int                 // by item: the last day on which what the plan leaves of it can still be used
	came    []bool                // by item: some has come since a step took all there was
	taken   []int                 // items of which all there is has been taken since then
	ready   []bool                // by item: it can always be had
	seed    []bool                // by item: some of it may be held back for a later batch
	out     [][]solve.Entry       // by item: what is still in a pot at the very end, negative
}

// behind adds the days behind to the model, and values what is on hand when they end.
func (m *model) behind() {
	items := len(m.g.Items)
	t := &tail{model: m, stock: make([]solve.Entry, items), fixed: make([]float64, items), touches: map[int][]solve.Entry{}, spared: map[int][]solve.Entry{},
		used: make([][]solve.Entry, items), until: make([]int, items), came: slices.Repeat([]bool{true}, items), seed: make([]bool, items),
		out: make([][]solve.Entry, items), last: map[[2]int]int{}}
	for i := range m.shelf {
		if t.stock[i].Col = m.shelf[i].stock; t.stock[i].Col < 0 {
			t.fixed[i] = m.shelf[i].opening
		}
		if t.until[i] = m.onward.Week.Days; m.Terms.Keeps[i] > 0 {
			t.until[i] = m.Days + m.Terms.Keeps[i] - 2
		}
	}
	for _, st := range m.g.Steps {
		for _, l := range st.Takes {
			t.seed[l.Choices[0].Item] = t.seed[l.Choices[0].Item] || l.Carried
		}
	}
	t.readied()
	t.schedules()
	ends, over := m.sched.Ends(), m.onward.Week.Case.Schedule.Ends()
	var row []flow.Moment
	for _, mo := range m.Case.Flow.Moments(t.sched) {
		switch {
		case mo.Kind == flow.DayEnds && mo.Day < m.Days || mo.Kind != flow.DayEnds && mo.At < ends:
		case mo.At < over || mo.Kind == flow.DayEnds:
			row = append(row, mo)
		case mo.Kind == flow.Comes && mo.Pot < 0 && t.runs[mo.Run] >= 0:
			_, kept := m.given(t.sched.Batches[mo.Run], mo.Output)
			item := m.g.Steps[mo.Step].Gives[mo.Output].Item
			t.out[item] = append(t.out[item], solve.Entry{Col: t.runs[mo.Run], Value: -kept})
		}
	}
	t.lasts(row)
	t.day = m.Days - 1
	for t.at = range row {
		t.moment(row[t.at])
	}
	t.close()
}

// lasts finds when each item comes for the last time on each day: until then, what is on hand of it counts at each service, and from
// then on at the end of the day only.
func (t *tail) lasts(row []flow.Moment) {
	day, came := t.Days-1, slices.Clone(t.came)
	for k, mo := range row {
		comes := func(item int) { t.last[[2]int{day, item}], came[item] = k, true }
		switch {
		case mo.Kind == flow.DayStarts:
			day = mo.Day
		case mo.Kind == flow.Comes && mo.Pot >= 0:
			comes(t.sched.Pots[mo.Pot].Gives[mo.Line].Item)
		case mo.Kind == flow.Comes:
			comes(t.g.Steps[mo.Step].Gives[mo.Output].Item)
		case mo.Kind == flow.Works:
			st := t.g.Steps[mo.Step]
			if first := st.Takes[0].Choices[0].Item; mo.Run < 0 && !came[first] {
				break
			} else if mo.Run < 0 {
				came[first] = false
			}
			for _, o := range st.Gives {
				if o.OutAt == 0 || mo.Run < 0 {
					comes(o.Item)
				}
			}
		}
	}
}

// schedules lays the standing week behind the runs that can be, and adds columns for its batches. Those for which all can be bought
// are as they are; of the others, less may be made.
func (t *tail) schedules() {
	long := t.onward.Week
	s := *long.Case.Schedule
	s.Batches = nil
	for r, run := range t.model.sched.Batches {
		if run.Day < t.Days {
			s.Batches, t.runs = append(s.Batches, run), append(t.runs, t.batch[r])
		}
	}
	ran := t.onward.Stands.Ran
	for r, run := range long.Case.Schedule.Batches {
		if run.Day < t.Days {
			continue
		}
		col := -1
		if run.Day < long.Days && run.Size > 0 {
			st := t.g.Steps[run.Step]
			col = t.column(fmt.Sprintf("%s of %s", st.Name, long.DayName(run.Day)), run.Size, -t.Terms.Cost[run.Step]-t.wasted(run), follows(run.Day, run.Step))
			if !slices.ContainsFunc(st.Takes, func(l graph.Line) bool { return t.canLack(l, run.Day) }) {
				t.p.Columns[col].Lower, t.p.Columns[col].Upper = ran[r].Batches, ran[r].Batches
			}
		}
		s.Batches, t.runs = append(s.Batches, run), append(t.runs, col)
	}
	t.sched = &s
}

// canLack tells whether a line can be wanting on a day: nothing can be bought for it on the days behind.
func (t *tail) canLack(l graph.Line, day int) bool {
	return !l.Optional && l.Without < 1 && !slices.ContainsFunc(l.Choices, func(c graph.Choice) bool { return t.comes(c.Item, day) })
}

// comes tells whether an item, or all that it is made of to order, can be had on a day by what comes on the days behind.
func (t *tail) comes(item, day int) bool {
	switch s := t.maker[item]; {
	case !t.ready[item]:
		return false
	case t.g.Items[item].Role != graph.Bought:
		return !slices.ContainsFunc(t.g.Steps[s].Takes, func(l graph.Line) bool { return !t.comes(l.Choices[0].Item, day) })
	}
	arrives, keeps := t.onward.Week.Case.Schedule.Arrives[item], t.Terms.Keeps[item]
	for d := day; d >= t.Days && (keeps == 0 || d+keeps-1 >= day); d-- {
		if arrives == nil || arrives[d] {
			return true
		}
	}
	return false
}

func (t *tail) moment(mo flow.Moment) {
	long := t.onward.Week
	switch mo.Kind {
	case flow.DayStarts:
		t.day = mo.Day
	case flow.Comes:
		if mo.Pot >= 0 {
			item, col, kept := t.comesOut(mo)
			t.touch(item, col, kept)
		} else if col := t.runs[mo.Run]; col >= 0 {
			_, kept := t.given(t.sched.Batches[mo.Run], mo.Output)
			t.touch(t.g.Steps[mo.Step].Gives[mo.Output].Item, col, kept)
		}
	case flow.Works:
		t.when = long.Moment(mo.At)
		if mo.Run < 0 {
			t.allOf(mo)
		} else if run := t.sched.Batches[mo.Run]; t.runs[mo.Run] >= 0 && run.Day >= t.Days {
			t.bound(mo.Step, t.runs[mo.Run])
			t.works(mo.Step, 1, t.runs[mo.Run])
			for n, o := range t.g.Steps[mo.Step].Gives {
				if _, kept := t.given(run, n); o.OutAt == 0 {
					t.touch(o.Item, t.runs[mo.Run], kept)
				}
			}
		}
	case flow.Serves:
		if t.sched.Slots[mo.Slot].Closed {
			return
		}
		t.when = long.SittingName(mo.Slot)
		for d, want := range long.Case.Schedule.Wants {
			if asked := want.Forecast[mo.Slot]; asked > 0 {
				dish := t.Kitchen.Dishes[d]
				t.works(len(t.Steps)+d, 1, t.column(dish.Name+" at "+t.when, asked, dish.Price, follows(t.day, len(t.Steps)+d)))
			}
		}
		t.makes()
		t.settle(false)
	case flow.DayEnds:
		t.when = "the end of " + long.DayName(mo.Day)
		t.dayEnds(mo.Day)
	}
}

// allOf lets a step take all there is: any part of that, where something else that it takes can be wanting, or some is held back.
func (t *tail) allOf(mo flow.Moment) {
	lines := t.g.Steps[mo.Step].Takes
	first := lines[0].Choices[0]
	if !t.came[first.Item] {
		return
	}
	most := t.there(first.Item) / t.per(first.Item, first.Amount)
	if most == 0 {
		return
	}
	t.came[first.Item] = false
	col := t.column(t.g.Steps[mo.Step].Name+" at "+t.when, min(most, endless), 0, follows(t.day, mo.Step))
	t.works(mo.Step, 1, col)
	t.cost[col] -= t.Terms.Cost[mo.Step]
	for n, o := range t.g.Steps[mo.Step].Gives {
		t.touch(o.Item, col, t.gives(mo.Step, n))
	}
	if !slices.ContainsFunc(lines[1:], func(l graph.Line) bool { return t.canLack(l, t.day) }) && !t.seed[first.Item] {
		t.taken = append(t.taken, first.Item)
	}
}

// bound lowers the most that a batch can be to what can be there of what it can't do without: see [event.limit].
func (t *tail) bound(step, runs int) {
	c := &t.p.Columns[runs]
	for _, l := range t.g.Steps[step].Takes {
		if first := l.Choices[0]; len(l.Choices) == 1 && !l.Optional && l.Without < 1 && !t.ready[first.Item] && t.maker[first.Item] < 0 {
			c.Upper = max(c.Lower, min(c.Upper, t.there(first.Item)/t.per(first.Item, first.Amount*(1-l.Without))))
		}
	}
}

// there is the most that can be on hand of an item now.
func (t *tail) there(item int) float64 {
	most := t.fixed[item]
	if c := t.stock[item].Col; c >= 0 {
		most = t.p.Columns[c].Upper
	}
	for _, list := range [][]solve.Entry{t.touches[item], t.spared[item]} {
		for _, e := range list {
			most += max(e.Value, 0) * t.p.Columns[e.Col].Upper
		}
	}
	return most
}

// works adds what so much of a step takes for each of a column: of each line the first choice, in place of which a column of its own may
// take another, or nothing. What is bought is not left out to save money.
func (t *tail) works(step int, part float64, runs int) {
	for l, line := range t.g.Steps[step].Takes {
		first := line.Choices[0]
		if t.take(first.Item, part*first.Amount, runs); t.comes(first.Item, t.day) {
			continue
		}
		name, most := fmt.Sprintf("%s, line %d at %s", t.g.Steps[step].Name, l+1, t.when), t.p.Columns[runs].Upper
		o := t.offs[step][l]
		if line.Carried { // what stands in for it is no departure
			o.choices = make([]float64, len(line.Choices))
		}
		for n, c := range line.Choices[1:] {
			col := t.column(fmt.Sprintf("%s with %s", name, t.g.Items[c.Item].Name), most, 0, follows(t.day, step))
			t.spare(first.Item, part*first.Amount, col)
			t.take(c.Item, part*c.Amount, col)
			t.offCard = append(t.offCard, solve.Entry{Col: col, Value: part * o.choices[n+1]})
		}
		if line.Optional || line.Without > 0 {
			without := line.Without
			if line.Optional {
				without = 1
			}
			col := t.column(name+" left out", most*without, 0, follows(t.day, step))
			t.spare(first.Item, part*first.Amount, col)
			t.offCard = append(t.offCard, solve.Entry{Col: col, Value: part * o.without})
		}
	}
}

// take notes that a column takes so much of an item, in its base unit; what is made to order is made.
func (t *tail) take(item int, amount float64, col int) {
	s := t.maker[item]
	switch {
	case t.ready[item]:
		t.pays(item, amount, col)
	case t.kinds[item] == onOrder:
		batches := amount / t.Case.Flow.Gives(s, 0)
		t.cost[col] -= batches * t.Terms.Cost[s]
		t.works(s, batches, col)
	default:
		t.touch(item, col, -t.per(item, amount))
	}
}

// spare notes that a column stands in for so much of an item.
func (t *tail) spare(item int, amount float64, col int) {
	s := t.maker[item]
	switch {
	case t.ready[item]:
		t.pays(item, -amount, col)
	case t.kinds[item] == onOrder:
		batches := amount / t.Case.Flow.Gives(s, 0)
		t.cost[col] += batches * t.Terms.Cost[s]
		for _, l := range t.g.Steps[s].Takes {
			t.spare(l.Choices[0].Item, batches*l.Choices[0].Amount, col)
		}
	default:
		t.spared[item] = append(t.spared[item], solve.Entry{Col: col, Value: t.per(item, amount)})
	}
}

// pays adds what so much costs, in its base unit, of what can always be had, and notes that it is used.
func (t *tail) pays(item int, amount float64, col int) {
	if t.costs(item, amount, col); t.day <= t.until[item] {
		t.used[item] = append(t.used[item], solve.Entry{Col: col, Value: t.per(item, amount)})
	}
}

// costs adds what it costs to buy so much, or to have it made of what is bought.
func (t *tail) costs(item int, amount float64, col int) {
	if t.g.Items[item].Role == graph.Bought {
		t.cost[col] -= amount * t.Terms.Price[item]
		return
	}
	s := t.maker[item]
	batches := amount / t.Case.Flow.Gives(s, 0)
	t.cost[col] -= batches * t.Terms.Cost[s]
	for _, l := range t.g.Steps[s].Takes {
		t.pays(l.Choices[0].Item, batches*l.Choices[0].Amount, col)
	}
}

// readied marks what can always be had: what is bought, and what is made to order, or as needed, of nothing else. Of what is made as
// needed, a step that takes all there is may find the rest of a batch: that is followed.
func (t *tail) readied() {
	t.ready = make([]bool, len(t.g.Items))
	for i, it := range t.g.Items {
		t.ready[i] = it.Role == graph.Bought
	}
	for _, s := range slices.Backward(t.order) {
		st := t.g.Steps[s]
		if o := st.Gives[0].Item; len(st.Gives) == 1 && t.maker[o] == s && !t.alls[o] && (t.kinds[o] == onOrder || st.AsNeeded()) {
			t.ready[o] = !slices.ContainsFunc(st.Takes, func(l graph.Line) bool { return !t.ready[l.Choices[0].Item] })
		}
	}
}

func (t *tail) touch(item, col int, amount float64) {
	if amount > 0 {
		t.came[item] = true
	}
	t.touches[item] = append(t.touches[item], solve.Entry{Col: col, Value: amount})
}

// makes has made as needed what was taken since the last balance.
func (t *tail) makes() {
	for _, s := range t.order {
		st, most := t.g.Steps[s], t.runsFor(s, t.touches)
		if most == 0 {
			continue
		}
		col := t.column(st.Name+" at "+t.when, min(most+st.Lot, endless), -t.Terms.Cost[s], follows(t.day, s))
		t.works(s, 1, col)
		for n, o := range st.Gives {
			t.touch(o.Item, col, t.gives(s, n))
		}
	}
}

// settle closes the balances of the items of which more comes later in the day, or of all that were touched.
func (t *tail) settle(all bool) {
	for _, i := range slices.Sorted(maps.Keys(t.touches)) {
		if all || t.last[[2]int{t.day, i}] > t.at || t.maker[i] >= 0 {
			t.balance(i, none)
		}
	}
	if all {
		for _, i := range slices.Sorted(maps.Keys(t.spared)) {
			t.balance(i, none)
		}
	}
}

// balance closes the balance of an item; bin is the column of what is thrown away, or none.
func (t *tail) balance(i, bin int) {
	for _, e := range t.touches[i] { // of a batch that takes what was there, all that it gives has come, not what it gives more
		if e.Value > 0 {
			t.shelf[i].came[t.day] = append(t.shelf[i].came[t.day], e)
		}
	}
	row := merged(slices.Clone(t.touches[i]))
	most := min(t.there(i), endless)
	row = append(row, t.spared[i]...)
	if bin != none {
		row = append(row, solve.Entry{Col: bin, Value: -1})
	}
	side := 0.0
	if t.stock[i].Col >= 0 {
		row = append(row, solve.Entry{Col: t.stock[i].Col, Value: 1})
	} else {
		side = -t.fixed[i]
	}
	if slices.Contains(t.taken, i) {
		if t.taken = slices.DeleteFunc(t.taken, func(o int) bool { return o == i }); !t.came[i] { // else what came later that day is left
			most = 0
		}
	}
	name := fmt.Sprintf("%s at %s", t.g.Items[i].Name, t.when)
	t.stock[i].Col = t.column(name+" on hand", most, 0, follows(none, none))
	t.addRow(about{item: none}, name, side, side, merged(append(row, solve.Entry{Col: t.stock[i].Col, Value: -1})))
	delete(t.touches, i)
	delete(t.spared, i)
}

// dayEnds bins what does not keep beyond a day, once there is what that day's batches took after its services, or on a day without any.
func (t *tail) dayEnds(day int) {
	t.makes()
	for i, it := range t.g.Items {
		sh, keeps := &t.shelf[i], t.Terms.Keeps[i]
		if t.ready[i] || keeps == 0 || t.kinds[i] == onOrder || t.stock[i].Col < 0 && t.fixed[i] == 0 && t.touches[i] == nil && t.spared[i] == nil {
			continue
		}
		from := day - keeps + 2 // the first day whose lots still keep
		if from <= 0 && sh.until[day] == sh.opening {
			continue
		}
		t.balance(i, t.column(t.g.Items[i].Name+" binned at "+t.when, endless, -t.disposal(i), follows(none, none)))
		row := []solve.Entry{{Col: t.stock[i].Col, Value: 1}}
		for d := max(from, 0); d <= day; d++ {
			for _, e := range sh.came[d] {
				row = append(row, solve.Entry{Col: e.Col, Value: -e.Value})
			}
		}
		t.addRow(about{item: none}, fmt.Sprintf("%s that keeps beyond %s", it.Name, t.when), math.Inf(-1), sh.until[day], merged(row))
	}
	t.settle(true)
}

// early is the share of its price by which something must save money to be bought, or thrown away, before it needs to be.
const early = 1e-5

// close values what is on hand when the days behind have ended, and what they take of what the plan leaves in place of buying it or having
// it made: by what that saves, which is more than it is worth where the file says that it is worth less.
func (t *tail) close() {
	f, worth := t.Case.Flow, t.onward.Worth()
	saved := make([]int, len(t.g.Items))
	for i, it := range t.g.Items {
		if saved[i] = none; len(t.used[i]) > 0 && t.leaves(i) > 0 {
			saved[i] = t.column(it.Name+" left that is used", t.leaves(i), 0, follows(t.Days-1, none))
			t.costs(i, -it.Unit.Factor, saved[i])
			t.prefer(saved[i], -early*t.cost[saved[i]]) // what is not needed today is bought when it is
		}
	}
	for i, it := range t.g.Items {
		t.p.Constant -= worth.Opening(f, i)
		left, side, end := t.out[i], 0.0, about{item: none, when: "the end", pos: t.ItemPos[i]}
		if c := t.stock[i].Col; c >= 0 {
			left = append(left, solve.Entry{Col: c, Value: -1})
		} else {
			side = t.fixed[i]
		}
		if most := min(t.leaves(i), t.per(i, worth.Counts(i))); most > 0 && worth.Unit(f, i) > 0 {
			counted := t.column(it.Name+" left", most, worth.Unit(f, i)*it.Unit.Factor, follows(t.Days-1, none))
			left = append(left, solve.Entry{Col: counted, Value: 1})
			if t.ready[i] {
				t.prefer(counted, -early*t.cost[counted])
			}
		}
		if saved[i] != none {
			left = append(left, solve.Entry{Col: saved[i], Value: 1})
			used := []solve.Entry{{Col: saved[i], Value: 1}}
			for _, e := range t.used[i] {
				used = append(used, solve.Entry{Col: e.Col, Value: -e.Value})
			}
			t.addRow(end, it.Name+" left that is used", math.Inf(-1), 0, merged(used))
		}
		if slices.ContainsFunc(left, func(e solve.Entry) bool { return e.Value > 0 }) {
			t.addRow(end, it.Name+" left", math.Inf(-1), side, merged(left))
		}
	}
}

// leaves is the most that can be left of an item at the very end, in a pot or on hand.
func (t *tail) leaves(item int) float64 {
	most := t.fixed[item]
	if c := t.stock[item].Col; c >= 0 {
		most = t.p.Columns[c].Upper
	}
	for _, e := range t.out[item] {
		most -= e.Value * t.p.Columns[e.Col].Upper
	}
	return min(most, endless)
}
