package week_test

// The days, minute by minute.

import (
	"cmp"
	"math"
	"slices"

	"kettletree/graph"
	"kettletree/graph/flow"
)

type plainRan struct {
	due, start int
	batches    number
}

type plainOutcome struct {
	served     [][]int // by sitting, by dish
	runs       []plainRan
	batches    []number // by step
	deliveries []plainDelivery
	made       []number // by item, as those below
	left       []number
	binned     []number
	lost       []number
	used       [][][]number // by step, line and choice
	lacks      [][]number   // by step and line: what work went without of it
	putIn      [][]number   // by pot and what it takes
}

// walk is a kitchen that is played.
type walk struct {
	*plain
	out   *plainOutcome
	order []int        // of the steps
	now   int          // minutes after the midnight before day 0
	today int          // the day that has begun last
	lots  [][]plainLot // by item, the oldest first
	kept  []number     // by item: what the next batch of a perpetual stock will take of it
}

const (
	dayEnds = iota
	dayStarts
	arrives
	comes
	works
	serves
)

// A plainEvent is one thing that happens; of those of one minute the lower kind first, and so on.
type plainEvent struct {
	at, kind, turn int
	run            int // works and comes; below 0 when it is a step that takes all there is, or a pot
	pot            int // comes
	output         int // comes
	item           int // arrives
	sitting        int // serves, and works of a step that takes all there is
	day            int // dayEnds and dayStarts
}

func (s *plain) play() *plainOutcome {
	items := len(s.Graph.Items)
	w := &walk{plain: s, order: s.order(), lots: make([][]plainLot, items), kept: nothing(items)}
	w.out = &plainOutcome{batches: nothing(len(s.Graph.Steps)), made: nothing(items), left: nothing(items), binned: nothing(items),
		lost: nothing(items), used: noneTaken(s.Graph), lacks: noneLacking(s.Graph)}
	for _, d := range s.ordered {
		if s.notBefore[d.item] >= s.days*1440 { // it does not come any more
			d.amount = whole(0)
		}
		w.out.deliveries = append(w.out.deliveries, d)
	}
	for _, pot := range s.pots {
		w.out.putIn = append(w.out.putIn, nothing(len(pot.takes)))
	}
	w.out.runs = s.starts(w.order)
	for r := range s.runs {
		w.out.runs[r].batches = whole(0)
	}
	for range s.sittings {
		w.out.served = append(w.out.served, make([]int, len(s.Dishes)))
	}
	for _, lot := range s.onHand {
		w.lots[lot.item] = append(w.lots[lot.item], lot)
	}
	for _, lots := range w.lots {
		slices.SortStableFunc(lots, func(a, b plainLot) int { return a.made - b.made })
	}
	w.binOld(-1)
	w.now = s.from
	w.keepSeeds(-1)

	row := w.events()
	end := s.days * 1440
	for _, sit := range s.sittings { // the last day goes on until its last service has begun
		if sit.end > s.from && max(sit.start, s.from) >= end {
			end = max(sit.start, s.from) + 1
		}
	}
	for _, e := range row {
		if w.now = e.at; e.at >= end && e.kind != dayEnds {
			break
		}
		switch e.kind {
		case dayEnds:
			w.binOld(e.day)
		case dayStarts:
			w.startDay(e.day)
		case arrives:
			w.arrive(e.item)
		case comes:
			if e.run >= 0 {
				w.come(e.run, e.output)
			} else {
				w.comeOfPot(e.pot, e.output, true)
			}
		case works:
			if e.run >= 0 {
				w.work(e.run)
			} else {
				w.takeAll(w.order[e.turn], e.sitting)
			}
		case serves:
			if !s.sittings[e.sitting].closed {
				w.serve(e.sitting)
			}
		}
		if s.after != nil {
			s.after(w)
		}
	}

	for i := range w.lots {
		w.out.left[i] = w.onHand(i)
	}
	for _, e := range row {
		if e.kind == comes && e.at >= end { // in the pot still
			if e.run < 0 {
				sumTo(&w.out.left[s.pots[e.pot].gives[e.output].item], w.comeOfPot(e.pot, e.output, false))
				continue
			}
			run := s.runs[e.run]
			item, amount := s.Graph.Steps[run.step].Gives[e.output].Item, w.given(e.run, e.output)
			lost := times(amount, run.lost)
			sumTo(&w.out.lost[item], lost)
			sumTo(&w.out.made[item], minus(amount, lost))
			sumTo(&w.out.left[item], minus(amount, lost))
		}
	}
	return w.out
}

func noneLacking(g *graph.Graph) (lacks [][]number) {
	for _, st := range g.Steps {
		lacks = append(lacks, nothing(len(st.Takes)))
	}
	return lacks
}

func noneTaken(g *graph.Graph) (took [][][]number) {
	for _, st := range g.Steps {
		var lines [][]number
		for _, line := range st.Takes {
			lines = append(lines, nothing(len(line.Choices)))
		}
		took = append(took, lines)
	}
	return took
}

// dayBegins is when the deliveries of a day come, and work without a clock can begin: not before the last service of the day before.
func (s *plain) dayBegins(day int) int {
	begins := day * 1440
	for _, sit := range s.sittings {
		if sit.day == day-1 && sit.end > s.from {
			begins = max(begins, sit.start+1, s.from+1)
		}
	}
	return begins
}

func (w *walk) events() (row []plainEvent) {
	for day := range w.days {
		row = append(row, plainEvent{at: max(w.dayBegins(day), w.from), kind: dayStarts, day: day}, plainEvent{at: (day + 1) * 1440, kind: dayEnds, day: day})
	}
	for i, at := range w.notBefore {
		if at > w.from {
			row = append(row, plainEvent{at: at, kind: arrives, item: i})
		}
	}
	for k, sit := range w.sittings {
		if sit.start < w.from { // it is over, or goes on: then the guests who are still to come are served at once
			if sit.end > w.from {
				row = append(row, plainEvent{at: w.from, kind: serves, sitting: k})
			}
			continue
		}
		row = append(row, plainEvent{at: sit.start, kind: serves, sitting: k})
		for turn, p := range w.order {
			if w.Graph.Steps[p].Mode == graph.AllOf && !sit.idle {
				row = append(row, plainEvent{at: sit.start, kind: works, turn: turn, run: -1, sitting: k})
			}
		}
	}
	for r, run := range w.runs {
		if run.day >= w.days {
			continue
		}
		turn := slices.Index(w.order, run.step)
		row = append(row, plainEvent{at: w.out.runs[r].start, kind: works, turn: turn, run: r})
		for o, out := range w.Graph.Steps[run.step].Gives {
			if out.OutAt > 0 { // what is out at once comes with the work
				row = append(row, plainEvent{at: w.out.runs[r].start + out.OutAt, kind: comes, turn: turn, run: r, output: o})
			}
		}
	}
	for n, pot := range w.pots {
		for o, part := range pot.gives {
			row = append(row, plainEvent{at: max(part.minute+pot.late, w.from), kind: comes, run: -1, pot: n, output: o})
		}
	}
	slices.SortStableFunc(row, func(a, b plainEvent) int {
		return cmp.Or(a.at-b.at, a.kind-b.kind, a.turn-b.turn, a.run-b.run, a.output-b.output)
	})
	return row
}

// What is on hand.

func (w *walk) onHand(item int) number {
	sum := whole(0)
	for _, lot := range w.lots[item] {
		sumTo(&sum, lot.amount)
	}
	return sum
}

func (w *walk) put(item int, amount number) { w.shelve(item, amount, w.now/1440) }

// draw takes an amount off the oldest lots.
func (w *walk) draw(item int, amount number) {
	for amount.Sign() > 0 {
		lot := &w.lots[item][0] // that it is there was seen to
		part := lesser(lot.amount, amount)
		amount, lot.amount = minus(amount, part), minus(lot.amount, part)
		if lot.amount.Sign() == 0 {
			w.lots[item] = w.lots[item][1:]
		}
	}
}

// binOld bins what does not keep beyond a day.
func (w *walk) binOld(day int) {
	for i := range w.lots {
		keeps := w.Terms.Keeps[i]
		w.lots[i] = slices.DeleteFunc(slices.Clone(w.lots[i]), func(lot plainLot) bool {
			old := keeps > 0 && lot.made+keeps-1 <= day
			if old {
				sumTo(&w.out.binned[i], lot.amount)
			}
			return old
		})
	}
}

func (w *walk) startDay(day int) {
	w.today = day
	for _, spoilt := range w.spoils {
		if spoilt.Day == day {
			sumTo(&w.out.binned[spoilt.Item], w.onHand(spoilt.Item))
			w.lots[spoilt.Item] = nil
		}
	}
	for _, d := range w.ordered {
		if d.day == day && w.now >= w.notBefore[d.item] {
			w.put(d.item, d.amount)
		}
	}
	if day == 0 {
		for item := range w.lots {
			w.putIn(item)
		}
	}
}

// arrive takes in what was to have come of an item that could not come before.
func (w *walk) arrive(item int) {
	for _, d := range w.ordered {
		if d.item == item && d.day <= w.today && max(d.day*1440, w.from) < w.now {
			w.put(item, d.amount)
		}
	}
	w.putIn(item)
}

// putIn sets aside what pots still take of an item: what is there, then what can be bought. What is missing when the walk
// begins goes in later only if the item was late and comes in time.
func (w *walk) putIn(item int) {
	for n, pot := range w.pots {
		for k, part := range pot.takes {
			if part.item != item || w.now > w.from && part.minute < w.now {
				continue
			}
			missing := minus(part.amount, w.out.putIn[n][k])
			if lacks := minus(missing, w.onHand(item)); lacks.Sign() > 0 && w.comesOn(item) >= 0 {
				w.bring(item, lacks)
			}
			goesIn := lesser(missing, w.onHand(item))
			w.draw(item, goesIn)
			sumTo(&w.out.putIn[n][k], goesIn)
		}
	}
}

// comeOfPot brings in what comes out of a pot. It was counted as on hand from the beginning, so only what differs is made.
func (w *walk) comeOfPot(n, k int, out bool) (amount number) {
	pot := w.pots[n]
	part := pot.gives[k]
	all := times(part.amount, pot.yields[k])
	lost := times(all, pot.lost)
	amount = minus(all, lost)
	sumTo(&w.out.lost[part.item], lost)
	sumTo(&w.out.made[part.item], minus(amount, part.amount))
	if out {
		w.put(part.item, amount)
	}
	return amount
}

// comesOn is the day on which an item could have been bought for today: the last one that its keeping allows; below 0 when
// it can't be had.
func (w *walk) comesOn(item int) int {
	if day := w.fromUsual(item); day >= 0 {
		return day
	}
	return w.fromElsewhere(item)
}

// fromUsual is that day with those who bring it as a rule.
func (w *walk) fromUsual(item int) int {
	if item >= len(w.Bought) || w.short[item] || w.now < w.notBefore[item] {
		return -1
	}
	from := w.notBefore[item] / 1440
	if w.now >= w.knownAt {
		from = max(from, w.moreFrom[item])
	}
	for day := w.today; day >= from; day-- {
		if keeps := w.Terms.Keeps[item]; keeps > 0 && day+keeps-1 < w.now/1440 {
			break
		}
		if w.arrives[item][day] {
			return day
		}
	}
	return -1
}

// buy enters what is bought as it is needed, in whole packs and pieces, and tells what comes.
func (w *walk) buy(item int, lacks number) (comes number) {
	comes = lacks
	pack := w.packNow(item)
	if pack.Sign() > 0 {
		comes = times(pack, roundedUp(over(lacks, pack)))
	}
	w.out.deliveries = append(w.out.deliveries, plainDelivery{item, w.comesOn(item), comes, comes})
	return comes
}

// bring buys what is lacking, and puts what comes on hand.
func (w *walk) bring(item int, lacks number) { w.shelve(item, w.buy(item, lacks), w.comesOn(item)) }

// shelve puts an amount that came on a day on hand.
func (w *walk) shelve(item int, amount number, made int) {
	if amount.Sign() > 0 {
		w.lots[item] = append(w.lots[item], plainLot{item, amount, made})
	}
}

// keepSeeds holds back what is taken from yesterday by the runs that begin next of those that do so, once a run (-1 at the
// beginning) has taken what it takes.
func (w *walk) keepSeeds(done int) {
	later := func(r int) bool {
		at := func(r int) (int, int, int) {
			return w.out.runs[r].start, slices.Index(w.order, w.runs[r].step), r
		}
		if done < 0 {
			return true
		}
		start, turn, _ := at(r)
		doneStart, doneTurn, _ := at(done)
		return cmp.Or(start-doneStart, turn-doneTurn, r-done) > 0
	}
	for item := range w.kept {
		next := math.MaxInt
		w.kept[item] = whole(0)
		for r, run := range w.runs {
			need := whole(0)
			for _, line := range w.Graph.Steps[run.step].Takes {
				if line.Carried && line.Choices[0].Item == item {
					sumTo(&need, times(run.size, exact(line.Choices[0].Amount)))
				}
			}
			switch start := w.out.runs[r].start; {
			case run.unlit || need.Sign() == 0 || !later(r) || start > next:
			case start < next:
				next, w.kept[item] = start, need
			default:
				sumTo(&w.kept[item], need)
			}
		}
	}
}

// Batches.

// work lets a run take what it takes.
func (w *walk) work(r int) {
	run := w.runs[r]
	if run.unlit {
		w.out.runs[r].batches = run.size
		w.keepSeeds(r)
		return
	}
	w.out.runs[r].batches = w.feed(run.step, run.size, w.inRuns[[2]int{run.step, run.day}])
	for o, out := range w.Graph.Steps[run.step].Gives {
		if out.OutAt == 0 {
			w.come(r, o)
		}
	}
	w.keepSeeds(r)
}

// given is what a run gives of an output, with what of it is lost.
func (w *walk) given(r, output int) number {
	run := w.runs[r]
	if run.unlit {
		return whole(0)
	}
	return times(times(w.out.runs[r].batches, w.gives[run.step][output]), run.yields[output])
}

func (w *walk) come(r, output int) {
	w.give(w.Graph.Steps[w.runs[r].step].Gives[output].Item, w.given(r, output), w.runs[r].lost)
}

func (w *walk) give(item int, amount, lost number) {
	gone := times(amount, lost)
	sumTo(&w.out.lost[item], gone)
	sumTo(&w.out.made[item], minus(amount, gone))
	w.put(item, minus(amount, gone))
}

// takeAll lets a step work on all there is of its first input.
func (w *walk) takeAll(step, sitting int) {
	first := w.Graph.Steps[step].Takes[0].Choices[0]
	all := over(greater(minus(w.onHand(first.Item), w.kept[first.Item]), whole(0)), exact(first.Amount))
	if all.Sign() == 0 {
		return
	}
	batches, lost := w.feed(step, all, w.inAll[sitting]), whole(0)
	for _, b := range w.burnt {
		if b.Step == step && (b.Day == flow.EveryDay || b.Day == w.sittings[sitting].day) {
			lost = lostToo(lost, b.Share)
		}
	}
	for o, out := range w.Graph.Steps[step].Gives {
		w.give(out.Item, times(batches, w.gives[step][o]), lost)
	}
}

// feed takes what a step needs for as many batches as there is enough for, at most due: first as somebody directed, if anybody did.
func (w *walk) feed(step int, due number, mix []number) number {
	st := w.Graph.Steps[step]
	for _, line := range st.Takes {
		if line.Carried && !line.Optional {
			due = lesser(due, w.fromYesterday(line, due))
		}
	}
	// What it takes of today rises together, as a dish's does at a service.
	// Of lines that the batch goes without in part, it first takes the least that they can have.
	t := w.layFor(step)
	asked := asking{step: step, batches: due, of: func(line graph.Line) number { return minus(whole(1), exact(line.Without)) }}
	done, directed := whole(0), whole(0) // shares of due
	if mix != nil && due.Sign() > 0 {
		how, full := t.directed(mix), asking{step: step, batches: due, of: func(graph.Line) number { return whole(1) }}
		directed = t.rise(how, full, whole(1))
		t.move(how, full, directed)
		done = directed
	}
	for due.Sign() > 0 && done.Cmp(whole(1)) < 0 {
		how := t.firstChoices(nil)
		if how.stuck[step] {
			break
		}
		part := t.rise(how, asked, minus(whole(1), done))
		t.move(how, asked, part)
		sumTo(&done, part)
	}
	batches := times(due, done)
	t.fillUp(step, times(due, minus(done, directed)))
	t.tell(step, batches)
	t.enter()
	sumTo(&w.out.batches[step], batches)
	for l, line := range st.Takes {
		if line.Carried {
			w.takeFromYesterday(step, l, batches)
		}
	}
	return batches
}

// fillUp gives such lines of so many batches the rest of what they ask for, as far as there is more.
func (t *table) fillUp(step int, batches number) {
	asked := asking{step: step, batches: batches, of: func(line graph.Line) number { return exact(line.Without) }}
	for rest := whole(1); batches.Sign() > 0 && rest.Sign() > 0; {
		how, more := t.firstChoices(nil), false
		for l, line := range t.Graph.Steps[step].Takes {
			if c := how.choice[step][l]; c >= 0 && (line.Without == 0 || t.usedUp(line.Choices[c].Item, how)) {
				how.choice[step][l] = -1
			}
			more = more || how.choice[step][l] >= 0
		}
		if !more {
			return
		}
		part := t.rise(how, asked, rest)
		t.move(how, asked, part)
		rest = minus(rest, part)
	}
}

// olderThan is how much of an item a carried line can take: of what steps give only what an earlier day left.
func (w *walk) carriedOver(item int) number {
	sum := whole(0)
	for _, lot := range w.lots[item] {
		if lot.made < w.now/1440 || w.Graph.Items[item].Role == graph.Bought {
			sumTo(&sum, lot.amount)
		}
	}
	return sum
}

// fromYesterday is for how many batches a carried line can be filled, at most due.
func (w *walk) fromYesterday(line graph.Line, due number) number {
	can := whole(0)
	for _, c := range line.Choices {
		if w.comesOn(c.Item) >= 0 {
			return due
		}
		sumTo(&can, over(w.carriedOver(c.Item), exact(c.Amount)))
	}
	return lesser(can, due)
}

func (w *walk) takeFromYesterday(step, l int, batches number) {
	for n, c := range w.Graph.Steps[step].Takes[l].Choices {
		need := times(batches, exact(c.Amount))
		can := w.carriedOver(c.Item)
		if w.comesOn(c.Item) >= 0 { // bought to begin again: as what is bought does, so does what there is of today
			if lacks := minus(need, w.onHand(c.Item)); lacks.Sign() > 0 {
				w.bring(c.Item, lacks)
			}
			can = need
		}
		amount := lesser(need, can)
		w.draw(c.Item, amount)
		sumTo(&w.out.used[step][l][n], amount)
		batches = minus(batches, over(amount, exact(c.Amount)))
	}
}
