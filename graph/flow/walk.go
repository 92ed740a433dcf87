package flow

// The walk: a schedule played from first to last, lot by lot.

import (
	"math"
	"runtime"
	"slices"

	"kettletree/graph"
)

// slack is the share of an amount that a comparison may be off by: it guards against the rounding of sums of products,
// which for kitchens of any size stays far below it, and is far below what a scale shows.
const slack = 1e-9

// Outcome is what a schedule comes to. One that a [Walker] gives is valid until its next walk.
type Outcome struct {
	Asked      []float64  // portions that were asked for, by slot*len(Wants)+want: see [Schedule.Asked]
	Served     []float64  // portions, in the same way
	Batches    []float64  // by step of the graph
	Ran        []Ran      // by run
	Deliveries []Delivery // all that came in and was asked for, by day, then item
	Made       []float64  // by item, base units: given by steps; of pots, what comes beyond what Opening has of them, below 0 when less does
	Left       []float64  // by item: on hand, or still in a pot, at the end
	Potted     []float64  // by item: of that, what is still in a pot
	Binned     []float64  // by item: no longer kept, or found spoiled
	Lost       []float64  // by item: given by batches, and lost
	Used       []float64  // by choice, as numbered by [Flow.Choice]
	PutIn      []float64  // by the schedule's Pots, their Takes one after another: what of them was there
	Opening    []float64  // by item: on hand before day 0, or in a pot that was to give it
	Spoiled    []float64  // by the schedule's Spoils: the amount of it
	Burnt      []float64  // by the schedule's Burnt: batches of the step on the day
	Lacks      []Lack     // what work went without, as it says that it can, in the order of the work
	Held       []int      // by step of the graph without batches: the item that last kept it from giving all that it should to batches; -1 when none did

	// What is on hand at the end, by item, the oldest first, and under way: what was lit and is not all out. A [Walker] tells
	// it only with a record of movements, for it is played for many; else both are nil.
	Lots []Lot
	Pots []Pot
}

// Ran is what a run came to.
type Ran struct {
	Due     int     // when it was to begin, in minutes after the midnight before day 0
	Start   int     // when it begins: later than due when it is late, or waits for what is
	Batches float64 // done, at most what was due; of what nobody lights, what was due
	Limit   int     // the item that held it back; -1 when none did
}

// Lack is what batches, or portions, went without of a line that lets them (its Without).
type Lack struct {
	Step, Line int     // of the graph
	Run        int     // of the schedule; -1 when it is work without one
	At         int     // minutes after the midnight before day 0
	Batches    float64 // of the step, or portions
	Amount     float64 // base units of the line's first choice
}

// Delivered is how much of an item came in over the whole period.
func (o *Outcome) Delivered(item int) (amount float64) {
	for _, d := range o.Deliveries {
		if d.Item == item {
			amount += d.Amount
		}
	}
	return amount
}

// OnHand is what is on hand of an item at the end, in no pot.
func (o *Outcome) OnHand(item int) float64 { return o.Left[item] - o.Potted[item] }

// madeOf is how much an item's makers gave of it.
func (o *Outcome) madeOf(f *Flow, makers []int32) (amount float64) {
	for _, e := range makers {
		amount += o.Batches[f.net.step[f.net.owner[e]]] * f.gives[e]
	}
	return amount
}

// Choice numbers a choice of a step's line for [Outcome.Used].
func (f *Flow) Choice(step, line, choice int) int {
	return int(f.net.choices[f.net.lines[f.net.place[step]]+int32(line)]) + choice
}

// onHand is a lot on hand.
type onHand struct {
	amount float64
	made   int32 // day
	id     int32 // of the record; -1 without one
}

func (l *onHand) Left() *float64 { return &l.amount }

// Walker plays schedules of one flow, one after another, in memory of its own. It must not be shared between goroutines.
type Walker struct {
	f   *Flow
	s   *Schedule
	rec *Record
	out Outcome

	day       int32
	now       int32
	running   int32                    // the run that is being done; -1 when it is other work
	have      []float64                // by item: on hand
	kept      []float64                // by item: held back for the next batch of a perpetual stock
	lots      []Queue[onHand, *onHand] // by item
	source    []int32                  // by item: the day on which it could have been bought for today; -1 when it can't be had
	over      []float64                // by item: what came of it with the work that is being entered, in whole packs, and was not used
	elsewhere []bool                   // by item: that would be of another than its own supplier
	came      []float64                // by item*Days+day: deliveries and what was bought beyond them
	ordered   []float64                // by item*Days+day: what was asked for

	row    []event
	starts []int32   // by run: when it begins
	dues   []int32   // by run: when it was due to begin
	timed  *Schedule // the schedule that these are of

	trunk *Trunk // that is being noted, else nil
	event int    // of the trunk's row, that is being done
	fork  *fork  // that is being walked, else nil
	apart [2]int // see Apart
	host  host

	serving
}

// NewWalker makes a walker for a flow.
func NewWalker(f *Flow) *Walker {
	n := f.net
	items, places := len(n.g.Items), len(n.step)
	w := &Walker{f: f, have: make([]float64, items), kept: make([]float64, items),
		lots: make([]Queue[onHand, *onHand], items), source: make([]int32, items), over: make([]float64, items), elsewhere: make([]bool, items)}
	w.out = Outcome{Batches: make([]float64, places), Made: make([]float64, items), Left: make([]float64, items), Potted: make([]float64, items),
		Binned: make([]float64, items), Lost: make([]float64, items), Used: make([]float64, len(n.takes)),
		Opening: make([]float64, items), Held: make([]int, places)}
	w.serving = newServing(n)
	return w
}

// Walk plays a schedule.
func (f *Flow) Walk(s *Schedule, rule Ration, rec *Record) *Outcome {
	w := NewWalker(f)
	o := w.Walk(s, rule, rec)
	if o.Lots == nil {
		w.leave()
	}
	return o
}

// Walk plays a schedule under a rule for what is scarce. A record, when there is one, is filled with the reasons.
func (w *Walker) Walk(s *Schedule, rule Ration, rec *Record) *Outcome {
	w.begin(s, rec)
	resumed, ends := s.OrdersFrom == nil, int32(s.Ends())
	for _, e := range w.row {
		if e.at >= ends && e.act != DayEnds {
			break // what comes later is still in a pot
		}
		if w.now = e.at; !resumed && w.now >= int32(s.ResumedAt) {
			resumed = true
			w.findSources()
		}
		w.happens(e, rule)
	}
	return w.end()
}

// happens does what is due at an event.
func (w *Walker) happens(e event, rule Ration) {
	switch e.act {
	case DayStarts:
		w.startDay(e.index)
	case DayEnds:
		w.endDay(e.index)
		w.findSources() // for services of the day that are still to come
	case Arrives:
		w.arrive(e.index)
	case Comes:
		if e.index < 0 {
			w.comeOut(int(^e.index))
		} else {
			w.come(e)
		}
	case Works:
		if e.index < 0 {
			w.takeAll(e.place, int(^e.index))
		} else {
			w.run(e)
		}
	case Serves:
		if !w.s.Slots[e.index].Closed {
			w.serve(int(e.index), rule)
		}
	}
}

func (w *Walker) begin(s *Schedule, rec *Record) {
	runtime.Gosched() // whoever is quick goes first: a page of the board between the hundreds of walks of a study
	o := &w.out
	w.s, w.rec, w.day, w.running = s, rec, -1, -1
	for i := range w.source { // before the first day has begun, nothing can be bought
		w.source[i] = -1
	}
	rec.begin(w.f.net)
	w.now = 0
	for _, v := range [][]float64{w.have, w.kept, o.Batches, o.Made, o.Left, o.Binned, o.Lost, o.Used, o.Opening} {
		clear(v)
	}
	for i := range w.lots {
		w.lots[i].Clear()
	}
	o.Asked = s.asked(o.Asked, &w.host)
	o.Served, o.PutIn = zeros(o.Served, len(s.Slots)*len(s.Wants)), zeros(o.PutIn, s.potTakes())
	w.came, w.ordered = zeros(w.came, len(w.have)*s.Days), zeros(w.ordered, len(w.have)*s.Days)
	for _, d := range s.Deliveries {
		if s.NotBefore == nil || s.NotBefore[d.Item] < s.Days*1440 { // else it is late beyond the last day
			w.came[d.Item*s.Days+d.Day] += d.Amount
		}
		w.ordered[d.Item*s.Days+d.Day] += d.Ordered
	}
	for s := range o.Held {
		o.Held[s] = -1
	}
	o.Lacks = o.Lacks[:0]
	o.Spoiled, o.Burnt = zeros(o.Spoiled, len(s.Spoils)), zeros(o.Burnt, len(s.Burnt))
	o.Ran = slices.Grow(o.Ran[:0], len(s.Batches))[:len(s.Batches)]
	if w.timed == nil || !sameTimes(w.timed, s) {
		w.starts, w.dues = w.f.net.starts(s, w.starts, w.dues)
		w.row = w.f.net.events(s, w.starts, w.row)
	}
	w.timed = s
	for r := range o.Ran {
		o.Ran[r] = Ran{Due: int(w.dues[r]), Start: int(w.starts[r]), Limit: -1}
	}
	for _, l := range s.OnHand {
		o.Opening[l.Item] += l.Amount
		w.put(int32(l.Item), l.Amount, int32(l.Made), rec.lot(Lot{Item: l.Item, Amount: l.Amount, Made: l.Made, Aged: l.Aged,
			At: (l.Made + l.Aged) * 1440, Step: -1, Batch: -1, Pot: -1, Since: l.Since}))
	}
	for k := range s.Pots {
		for _, g := range s.Pots[k].Gives {
			o.Opening[g.Item] += g.Amount
		}
	}
	for i := range w.lots {
		if lots := w.lots[i].Lots(); len(lots) > 1 {
			slices.SortStableFunc(lots, func(a, b onHand) int { return int(a.made - b.made) })
		}
	}
	w.endDay(-1)
	w.now = int32(s.From)
	w.keepSeeds(-1)
	w.beginServing(s)
	w.prefer(s)
}

func zeros[T any](v []T, n int) []T {
	v = slices.Grow(v[:0], n)[:n]
	clear(v)
	return v
}

// sameTimes tells whether two schedules have the same row of events.
func sameTimes(a, b *Schedule) bool {
	return a.Days == b.Days && a.From == b.From && slices.Equal(a.Slots, b.Slots) && slices.Equal(a.NotBefore, b.NotBefore) &&
		slices.EqualFunc(a.Batches, b.Batches, func(x, y Batch) bool {
			return x.Step == y.Step && x.Day == y.Day && x.Start == y.Start && x.Late == y.Late
		}) && slices.EqualFunc(a.Pots, b.Pots, func(x, y Pot) bool {
		return x.Step == y.Step && x.Late == y.Late && slices.EqualFunc(x.Gives, y.Gives, func(p, q PotLine) bool {
			return p.Item == q.Item && p.Minute == q.Minute
		})
	})
}

// put adds a lot to what is on hand of an item.
func (w *Walker) put(i int32, amount float64, made, id int32) {
	if amount <= 0 {
		return
	}
	w.lots[i].Put(onHand{amount, made, id})
	w.have[i] += amount
}

// draw takes an amount of an item, oldest first. A crumb that sums of products leave is not left: a batch would be begun for it.
func (w *Walker) draw(i int32, amount float64) {
	crumb := slack * w.have[i]
	w.have[i] = max(w.have[i]-amount, 0)
	var drawn func(*onHand, float64)
	if w.rec.follows() {
		drawn = w.rec.hears
	}
	w.lots[i].Draw(amount, drawn)
	w.clearCrumb(i, crumb)
}

// clearCrumb takes what is left of an item for nothing when it is no more than a crumb.
func (w *Walker) clearCrumb(i int32, crumb float64) {
	if w.lots[i].Empty() || w.have[i] <= crumb {
		w.lots[i].Clear()
		w.have[i] = 0
	}
}

// startDay bins what was found spoiled, takes in the deliveries, finds what can be had for the day, and, where the walk begins,
// sets aside what the pots still take.
func (w *Walker) startDay(day int32) {
	w.day = day
	s := w.s
	for k, sp := range s.Spoils {
		if int32(sp.Day) == day && !w.gone(int32(sp.Item)) {
			w.out.Spoiled[k] = w.have[sp.Item]
			w.out.Binned[sp.Item] += w.have[sp.Item]
			w.draw(int32(sp.Item), w.have[sp.Item])
			w.rec.note(w.now, Spoiled, int32(sp.Item), -1, -1, w.out.Spoiled[k])
		}
	}
	for _, d := range s.Deliveries {
		if int32(d.Day) == day && !w.late(int32(d.Item)) && !w.gone(int32(d.Item)) {
			w.deliver(d)
		}
	}
	w.findSources()
	if day == 0 {
		w.putIn(-1)
	}
}

// deliver takes in a delivery.
func (w *Walker) deliver(d Delivery) {
	w.put(int32(d.Item), d.Amount, w.day, w.rec.came(w.now, int32(d.Item), -1, -1, -1, d.Amount))
}

// late tells whether none of an item comes in yet.
func (w *Walker) late(i int32) bool { return w.s.NotBefore != nil && int(w.now) < w.s.NotBefore[i] }

// arrive takes in what was due of an item before it could come, and finds that more of it can be had.
func (w *Walker) arrive(i int32) {
	for _, d := range w.s.Deliveries {
		if d.Item == int(i) && !w.gone(i) && int32(d.Day) <= w.day && int32(max(d.Day*1440, w.s.From)) < w.now {
			w.deliver(d)
		}
	}
	w.findSources()
	w.putIn(i)
}

// findSources finds the day on which each item could have been bought for today.
func (w *Walker) findSources() {
	s, day, today := w.s, w.day, w.now/1440
	for i, it := range w.f.net.g.Items {
		w.elsewhere[i] = false
		if w.source[i] = -1; s.Offered != nil && s.Offered[i] != nil && w.now >= int32(s.ResumedAt) {
			w.source[i] = w.offered(i)
			w.elsewhere[i] = w.source[i] >= 0
		}
		if it.Role != graph.Bought || s.Short != nil && s.Short[i] || w.late(int32(i)) {
			continue
		}
		a, from := day, int32(0)
		if s.NotBefore != nil {
			from = int32(s.NotBefore[i] / 1440)
		}
		if s.OrdersFrom != nil && w.now >= int32(s.ResumedAt) {
			from = max(from, int32(s.OrdersFrom[i]))
		}
		if s.Arrives != nil && s.Arrives[i] != nil {
			for a >= 0 && !s.Arrives[i][a] {
				a--
			}
		}
		if k := w.f.terms.Keeps[i]; a >= from && (k == 0 || a+int32(k)-1 >= today) {
			w.source[i], w.elsewhere[i] = a, false
		}
	}
}

// offered is the last day on which an item could have been bought elsewhere for today; -1 when there is none.
func (w *Walker) offered(i int) int32 {
	for a := w.day; a >= 0; a-- {
		if k := w.f.terms.Keeps[i]; k > 0 && a+int32(k)-1 < w.day {
			break
		}
		if w.s.Offered[i][a] {
			return a
		}
	}
	return -1
}

// endDay bins what does not keep beyond the day.
func (w *Walker) endDay(day int32) {
	for i := range w.lots {
		q := &w.lots[i]
		if keeps := int32(w.f.terms.Keeps[i]); keeps > 0 {
			for !q.Empty() && q.Lots()[0].made+keeps-1 <= day {
				amount := q.Lots()[0].amount
				w.out.Binned[i] += amount
				w.draw(int32(i), amount)
				w.rec.note(w.now, Expired, int32(i), -1, -1, amount)
			}
		}
		if q.Empty() {
			w.have[i] = 0
		}
	}
}

// free is what can be taken of an item, beyond what is held back as a seed.
func (w *Walker) free(i int32) float64 { return max(w.have[i]-w.kept[i], 0) }

// aged is what was on hand of an item before today.
func (w *Walker) aged(i int32) (amount float64) {
	for _, l := range w.lots[i].Lots() {
		if l.made < w.now/1440 {
			amount += l.amount
		}
	}
	return amount
}

// run starts a run: its scale is the smallest of available over needed, at most what is due.
func (w *Walker) run(e event) {
	run := &w.s.Batches[e.index]
	if w.s.Directions != nil {
		w.direct(w.s.Directions.Run, int(e.index))
	}
	if run.Unlit {
		w.out.Ran[e.index].Batches = run.Size
		w.keepSeeds(e.index)
		return
	}
	w.running = e.index
	batches, limit := w.work(e.place, run.Size)
	w.running = -1
	w.out.Ran[e.index].Batches, w.out.Ran[e.index].Limit = batches, int(limit)
	for o, out := range w.f.net.g.Steps[run.Step].Gives {
		if out.OutAt == 0 {
			w.give(w.f.net.outputs[e.place]+int32(o), e.index, batches, run.Lost, run.factor(o))
		}
	}
	w.keepSeeds(e.index)
}

// come brings in an output of a run.
func (w *Walker) come(e event) {
	run, ran := &w.s.Batches[e.index], &w.out.Ran[e.index]
	if run.Unlit {
		return
	}
	w.give(e.place, e.index, ran.Batches, run.Lost, run.factor(int(e.place-w.f.net.outputs[w.f.net.owner[e.place]])))
}

// factor is what a run's output is multiplied with.
func (r *Batch) factor(o int) float64 {
	if r.Yields == nil {
		return 1
	}
	return r.Yields[o]
}

// give puts an output of so many batches of a run, or of other work (-1), on hand, less the share that is lost.
func (w *Walker) give(e, run int32, batches, lost, factor float64) {
	i := w.f.net.gives[e]
	amount := batches * w.f.gives[e] * factor
	w.out.Made[i] += amount * (1 - lost)
	w.out.Lost[i] += amount * lost
	w.put(i, amount*(1-lost), w.now/1440, w.rec.came(w.now, i, w.f.net.owner[e], run, -1, amount*(1-lost)))
	if lost > 0 {
		w.rec.note(w.now, Failed, i, w.f.net.owner[e], -1, amount*lost)
	}
}

// takeAll runs a step on all there is of its first input at a slot.
func (w *Walker) takeAll(p int32, slot int) {
	n := w.f.net
	c := n.choices[n.lines[p]]
	all := w.free(n.takes[c]) / w.f.takes[c]
	if all <= 0 {
		return
	}
	if w.s.Directions != nil {
		w.direct(w.s.Directions.All, slot)
	}
	batches, limit := w.work(p, all)
	w.out.Held[n.step[p]] = int(limit)
	lost := 0.0
	for k, b := range w.s.Burnt {
		if b.Step == int(n.step[p]) && b.Day == int(w.day) {
			w.out.Burnt[k] += batches
			lost = 1 - (1-lost)*(1-b.Share)
		}
	}
	for e := n.outputs[p]; e < n.outputs[p+1]; e++ {
		w.give(e, -1, batches, lost, 1)
	}
}

// keepSeeds holds back what the next run of each perpetual stock takes of it. done is the run that has just taken its
// inputs, -1 at the beginning.
func (w *Walker) keepSeeds(done int32) {
	n := w.f.net
	if len(n.seeds) == 0 {
		return
	}
	for _, i := range n.seeds {
		w.kept[i] = 0
	}
	from, turn := int32(-1), int32(-1)
	if done >= 0 {
		from, turn = w.starts[done], n.turn[n.place[w.s.Batches[done].Step]]
	}
	for _, i := range n.seeds {
		next := int32(math.MaxInt32)
		for r, run := range w.s.Batches {
			at, p := w.starts[r], n.place[run.Step]
			if run.Unlit || at < from || at == from && (n.turn[p] < turn || n.turn[p] == turn && int32(r) <= done) || at > next {
				continue
			}
			need := 0.0
			for line := n.lines[p]; line < n.lines[p+1]; line++ {
				if c := n.choices[line]; n.carried[line] && n.takes[c] == i {
					need += run.Size * w.f.takes[c]
				}
			}
			switch {
			case need == 0:
			case at < next:
				next, w.kept[i] = at, need
			default:
				w.kept[i] += need
			}
		}
	}
}

// end closes the books.
func (w *Walker) end() *Outcome {
	o := &w.out
	copy(o.Left, w.have)
	clear(o.Potted)
	over := int32(w.s.Ends())
	n := w.f.net
	for _, e := range w.row {
		if e.act == Comes && e.at >= over && !w.goneAt(e) { // in the pot when the last day ends
			if e.index < 0 {
				i, kept, lost := w.potGives(int(^e.index))
				o.Potted[i] += kept
				o.Lost[i] += lost
				continue
			}
			run, ran := &w.s.Batches[e.index], &o.Ran[e.index]
			if run.Unlit {
				continue
			}
			i := n.gives[e.place]
			amount := ran.Batches * w.f.gives[e.place] * run.factor(int(e.place-n.outputs[n.owner[e.place]]))
			o.Potted[i] += amount * (1 - run.Lost)
			o.Made[i] += amount * (1 - run.Lost)
			o.Lost[i] += amount * run.Lost
		}
	}
	for i, potted := range o.Potted {
		o.Left[i] += potted
	}
	w.sweep()
	if o.Lots, o.Pots = nil, nil; w.rec.follows() {
		w.leave()
	}
	o.Deliveries = o.Deliveries[:0]
	for d := range w.s.Days {
		for i := range w.have {
			if at := i*w.s.Days + d; w.came[at] > 0 || w.ordered[at] > 0 {
				o.Deliveries = append(o.Deliveries, Delivery{Item: i, Day: d, Amount: w.came[at], Ordered: w.ordered[at]})
			}
		}
	}
	return o
}

// sweep takes out what sums of products leave of an amount that should be nothing.
func (w *Walker) sweep() {
	o := &w.out
	for i := range w.have {
		all := o.Opening[i] + o.Made[i] + o.Lost[i]
		for d := range w.s.Days {
			all += w.came[i*w.s.Days+d]
		}
		for _, v := range [][]float64{o.Left, o.Binned} {
			if v[i] < slack*all {
				v[i] = 0
			}
		}
	}
}
