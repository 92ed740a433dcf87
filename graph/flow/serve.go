package flow

// A service: portions up to their forecast, and who goes short when something is scarce.

import (
	"cmp"
	"math"
	"slices"
)

// whole is the share of a portion by which a count may miss a whole number and still be taken for it.
const whole = 1e-7

// serving is the part of a walker that serves. Its arrays are reused from service to service.
//
// For given portions, explode goes backwards over the steps made to order: what is needed of an item is netted against
// what is free on hand, and the rest asked of its step (material requirements planning). What is needed of every item is a
// convex, piecewise linear function of the common share of the forecasts, because netting takes a maximum with zero and
// a step with several outputs a maximum over them. So the share at which an item is used up is found by Newton's method
// from above: it never passes the stop, and ends on it after at most as many turns as there are pieces.
type serving struct {
	all    cone    // what the wants can need
	each   []*cone // by want: what it can need; nil until it is asked for
	wanted []int32 // the wants' items that all and each are of
	batch  []*cone // by place: what a batch can need; nil until it is asked for
	due    float64 // batches to do, when it is a batch that is fed

	need, rise []float64 // by item: wanted at the share tried, and its change with the share
	runs, pace []float64 // by place: batches to order, and their change with the share
	pick       []int32   // by line: the choice it is on; -1 when it goes without
	held       []int32   // by place: the item whose lack keeps the step from running; -1 when it can run
	dry        []bool    // by item: used up for this service

	start  []float64 // by item: on hand before the service
	used   []float64 // by item: used in the service
	share  []float64 // by want: portions so far
	size   []float64 // by want: how much of a portion goes out as one
	asks   []ask     // what is tried
	active []int32   // wants still rising
	rounds []round
	mix    []float64 // by choice: how lines are filled when work is directed; nil when it is not
	likes  []*Prefer // by line: what it is to have first; nil where nothing is said, and altogether where no line has any

	// What was done and is not entered in the outcome yet: rewind undoes it.
	did    []float64 // by place: batches made to order
	took   []float64 // by choice
	topped []float64 // by item: bought beyond what was there
}

// cone is all that some portions, or a batch, can need: items, and places of steps made to order, both ascending.
type cone struct {
	items, orders []int32
	batch         int32 // the place of the step whose batch it is, the last of orders; -1 for portions
}

// ask is an amount of an item that is asked for.
type ask struct {
	item   int32
	amount float64
}

// round is one rise of the common share.
type round struct {
	got  []float64 // by want: portions
	pick []int32   // by line: the choice it was on; -1 when it went without
}

func newServing(n *net) serving {
	items, places, lines := len(n.g.Items), len(n.step), len(n.optional)
	return serving{
		need: make([]float64, items), rise: make([]float64, items), runs: make([]float64, places), pace: make([]float64, places),
		pick: make([]int32, lines), held: make([]int32, places), dry: make([]bool, items),
		start: make([]float64, items), used: make([]float64, items), batch: make([]*cone, places),
		did: make([]float64, places), took: make([]float64, len(n.takes)), topped: make([]float64, items),
	}
}

// beginServing finds what the wants of a schedule can need.
func (w *Walker) beginServing(s *Schedule) {
	w.share, w.size = zeros(w.share, len(s.Wants)), zeros(w.size, len(s.Wants))
	if slices.EqualFunc(w.wanted, s.Wants, func(i int32, want Want) bool { return int(i) == want.Item }) {
		return
	}
	w.wanted = w.wanted[:0]
	for _, want := range s.Wants {
		w.wanted = append(w.wanted, int32(want.Item))
	}
	w.all = w.f.net.cone(w.wanted)
	w.each = make([]*cone, len(s.Wants))
}

// cone is what can be needed for some items.
func (n *net) cone(from []int32) cone {
	c := cone{batch: -1}
	seen, steps := make([]bool, len(n.g.Items)), make([]bool, len(n.step))
	add := func(i int32) {
		if !seen[i] {
			seen[i] = true
			c.items = append(c.items, i)
		}
	}
	for _, i := range from {
		add(i)
	}
	for k := 0; k < len(c.items); k++ {
		p := n.toOrder[c.items[k]]
		if p < 0 || steps[p] {
			continue
		}
		steps[p] = true
		c.orders = append(c.orders, p)
		for k := n.choices[n.lines[p]]; k < n.choices[n.lines[p+1]]; k++ {
			add(n.takes[k])
		}
		for e := n.outputs[p]; e < n.outputs[p+1]; e++ {
			add(n.gives[e])
		}
	}
	slices.Sort(c.items)
	slices.Sort(c.orders)
	return c
}

// serve serves one slot: the common share of the forecasts rises (progressive filling: Bertsekas and Gallager, Data
// Networks, 2nd edition, section 6.5.2), portions are made whole, and what that freed is offered round.
func (w *Walker) serve(slot int, rule Ration) {
	for _, i := range w.all.items {
		w.start[i], w.used[i], w.dry[i] = w.have[i], 0, false
	}
	clear(w.share)
	w.rounds = w.rounds[:0]
	w.active = w.active[:0]
	for k, want := range w.s.Wants {
		if w.size[k] = 1; want.Size != nil {
			w.size[k] = want.Size[slot]
		}
		if want.Forecast[slot] > 0 {
			w.active = append(w.active, int32(k))
		}
	}
	if w.s.Rules != nil {
		rule = w.s.Rules[slot]
	}
	if w.s.Directions != nil {
		w.direct(w.s.Directions.Serve, slot)
		done := w.mix != nil && w.serveDirected(slot)
		if w.mix = nil; done {
			return
		}
	}
	if w.serveAll(slot, rule) {
		return
	}
	if rule == First {
		slices.SortStableFunc(w.active, func(a, b int32) int { return cmp.Compare(w.rank(a), w.rank(b)) })
	}
	for from, k := 0, 1; k <= len(w.active); k++ {
		if k == len(w.active) || rule == First && w.rank(w.active[k]) != w.rank(w.active[from]) {
			w.fill(slot, w.active[from:k])
			from = k
		}
	}
	for !w.s.Fractions && w.trim() { // with less of each dish, choices fall otherwise: see whether it can be done
		w.rewind()
		for _, r := range w.rounds {
			w.play(r)
		}
	}
	if !w.s.Fractions {
		w.offer(slot, rule)
	}
	copy(w.out.Served[slot*len(w.share):], w.share)
	w.settle(&w.all)
}

// serveAll serves, on most days all there is to do, every forecast of which anything can be had at all, if that can be done at
// once with the choices at hand and in whole portions.
func (w *Walker) serveAll(slot int, rule Ration) bool {
	w.choose(&w.all, nil)
	w.asks = w.asks[:0]
	lacking := false
	for _, k := range w.active {
		forecast := w.s.Wants[k].Forecast[slot]
		if forecast != math.Trunc(forecast) {
			return false
		}
		if w.lacking(w.wanted[k]) {
			lacking = true
		} else {
			w.asks = append(w.asks, w.portions(k, forecast))
		}
	}
	if _, short := w.rising(&w.all, w.asks, 1); short >= 0 {
		return false
	}
	for _, k := range w.active {
		if w.lacking(w.wanted[k]) {
			w.stop(slot, k, 0)
		} else {
			w.share[k] = w.s.Wants[k].Forecast[slot]
		}
	}
	w.move(&w.all)
	if lacking && !w.s.Fractions { // what the others' steps gave beside may make some after all
		w.offer(slot, rule)
	}
	copy(w.out.Served[slot*len(w.share):], w.share)
	w.settle(&w.all)
	return true
}

// portions asks for so many portions of a want.
func (w *Walker) portions(k int32, n float64) ask { return ask{w.wanted[k], n * w.size[k]} }

// rank is the place of a want under First; those without one come last.
func (w *Walker) rank(k int32) int { return cmp.Or(w.s.Wants[k].Rank, math.MaxInt) }

// fill lets the common share of a group rise until each of its wants is served in full or stopped. It only tries: what it
// finds stands in rounds.
func (w *Walker) fill(slot int, group []int32) {
	share := 0.0
	for {
		w.choose(&w.all, nil)
		group = slices.DeleteFunc(group, func(k int32) bool {
			if !w.lacking(int32(w.s.Wants[k].Item)) {
				return false
			}
			w.stop(slot, k, share)
			return true
		})
		if len(group) == 0 {
			return
		}
		w.asks = w.asks[:0]
		for _, k := range group {
			w.asks = append(w.asks, w.portions(k, w.s.Wants[k].Forecast[slot]))
		}
		step, short := w.rising(&w.all, w.asks, 1-share)
		if step > 0 {
			w.move(&w.all)
			share += step
			w.keepRound(slot, group, step)
		}
		if short < 0 {
			return
		}
		w.dry[short] = true
	}
}

// rewind undoes what was tried.
func (w *Walker) rewind() {
	n := w.f.net
	for _, i := range w.all.items {
		w.have[i], w.used[i], w.topped[i], w.dry[i] = w.start[i], 0, 0, false
	}
	for _, p := range w.all.orders {
		w.did[p] = 0
		clear(w.took[n.choices[n.lines[p]]:n.choices[n.lines[p+1]]])
	}
}

// play serves what a round got, with the choices that it was found with as far as they go: what rounding left of a first
// choice is for those who have no other. A want that comes to less than it got has its share lowered.
func (w *Walker) play(r round) {
	w.active = w.active[:0]
	for k, portions := range r.got {
		if portions > 0 {
			w.active = append(w.active, int32(k))
		}
	}
	for share := 0.0; ; {
		w.choose(&w.all, r.pick)
		w.active = slices.DeleteFunc(w.active, func(k int32) bool {
			if !w.lacking(w.wanted[k]) {
				return false
			}
			w.share[k] -= r.got[k] * (1 - share)
			return true
		})
		if len(w.active) == 0 {
			return
		}
		w.asks = w.asks[:0]
		for _, k := range w.active {
			w.asks = append(w.asks, w.portions(k, r.got[k]))
		}
		step, short := w.rising(&w.all, w.asks, 1-share)
		if step > 0 {
			w.move(&w.all)
			share += step
		}
		if short < 0 {
			return
		}
		w.dry[short] = true
	}
}

func (w *Walker) keepRound(slot int, group []int32, step float64) {
	if len(w.rounds) < cap(w.rounds) {
		w.rounds = w.rounds[:len(w.rounds)+1]
	} else {
		w.rounds = append(w.rounds, round{})
	}
	r := &w.rounds[len(w.rounds)-1]
	r.got, r.pick = zeros(r.got, len(w.share)), append(r.pick[:0], w.pick...)
	for _, k := range group {
		r.got[k] = w.s.Wants[k].Forecast[slot] * step
		w.share[k] += r.got[k]
	}
}

// choose puts every line on the choice that liked says, or else the one that is preferred, or else the first, that is not used
// up, and finds the steps that can't run.
func (w *Walker) choose(in *cone, liked []int32) {
	n := w.f.net
	for _, p := range in.orders {
		w.held[p] = -1
		for line := n.lines[p]; line < n.lines[p+1]; line++ {
			first, end := n.choices[line], n.choices[line+1]
			c := first
			if liked != nil && liked[line] >= 0 && !w.lacking(n.takes[liked[line]]) {
				c = liked[line]
			} else if p := w.preferred(line); p >= 0 && !w.lacking(n.takes[p]) {
				c = p
			}
			for c < end && w.lacking(n.takes[c]) {
				c++
			}
			switch {
			case n.carried[line], // taken apart: see takeCarried
				liked != nil && liked[line] < 0:
				w.pick[line] = -1
			case c < end:
				w.pick[line] = c
			case n.optional[line]:
				w.pick[line] = -1
			default:
				w.pick[line] = first
				if w.held[p] < 0 {
					w.held[p] = n.takes[first]
				}
			}
		}
	}
}

// lacking tells whether no more can be had of an item: it can't be bought, none is free on hand, and its step, if it is
// made to order, can't run. Steps before its user must have been looked at.
func (w *Walker) lacking(i int32) bool {
	if w.source[i] >= 0 {
		return false
	}
	p := w.f.net.toOrder[i]
	if p >= 0 && w.held[p] < 0 {
		return false
	}
	return w.dry[i] || w.free(i) <= slack*w.start[i]
}

// explode finds what the asks, times share, need of every item, with the change of it by share.
func (w *Walker) explode(in *cone, asks []ask, share float64) {
	n := w.f.net
	for _, i := range in.items {
		w.need[i], w.rise[i] = 0, 0
	}
	for _, a := range asks {
		w.need[a.item] += a.amount * share
		w.rise[a.item] += a.amount
	}
	for k := len(in.orders) - 1; k >= 0; k-- {
		p := in.orders[k]
		runs, pace := 0.0, 0.0
		if p == in.batch {
			runs, pace = w.due*share, w.due
		} else if w.held[p] < 0 {
			for e := n.outputs[p]; e < n.outputs[p+1]; e++ {
				i, gives := n.gives[e], w.f.gives[e]
				if over := w.need[i] - w.free(i); over > runs*gives && gives > 0 {
					runs, pace = over/gives, w.rise[i]/gives
				}
			}
		}
		w.runs[p], w.pace[p] = runs, pace
		if runs == 0 {
			continue
		}
		for line := n.lines[p]; line < n.lines[p+1]; line++ {
			if w.mix != nil {
				for c, share := range w.directed(line) {
					w.need[n.takes[c]] += runs * share * w.f.takes[c]
					w.rise[n.takes[c]] += pace * share * w.f.takes[c]
				}
			} else if c := w.pick[line]; c >= 0 {
				w.need[n.takes[c]] += runs * w.f.takes[c]
				w.rise[n.takes[c]] += pace * w.f.takes[c]
			}
		}
	}
}

// rising is how far, at most limit, the common share of the asks can rise, and the item that stops it; -1 when none does.
// It leaves the needs at that share.
func (w *Walker) rising(in *cone, asks []ask, limit float64) (step float64, short int32) {
	step, short = limit, -1
	for {
		w.explode(in, asks, step)
		next := step
		for _, i := range in.items {
			if w.source[i] >= 0 || w.makes(i) {
				continue
			}
			free := w.free(i)
			if over := w.need[i] - free; over > w.tolerance()*max(free, w.start[i]) {
				if t := step - over/w.rise[i]; t < next {
					next, short = t, i
				}
			}
		}
		if next == step {
			return step, short
		}
		if step = next; step <= 0 {
			return 0, short
		}
	}
}

// makes tells whether an item is made to order by a step that can run.
func (w *Walker) makes(i int32) bool {
	p := w.f.net.toOrder[i]
	return p >= 0 && w.held[p] < 0
}

// move makes and uses what explode found.
func (w *Walker) move(in *cone) {
	n := w.f.net
	for _, p := range in.orders {
		runs := w.runs[p]
		if runs == 0 {
			continue
		}
		if p != in.batch { // which gives when it is out
			w.did[p] += runs
			for e := n.outputs[p]; e < n.outputs[p+1]; e++ {
				w.have[n.gives[e]] += runs * w.f.gives[e]
			}
		}
		for line := n.lines[p]; line < n.lines[p+1]; line++ {
			if w.mix != nil {
				for c, share := range w.directed(line) {
					w.took[c] += runs * share * w.f.takes[c]
				}
			} else if c := w.pick[line]; c >= 0 {
				w.took[c] += runs * w.f.takes[c]
			}
		}
	}
	for _, i := range in.items {
		if w.need[i] == 0 {
			continue
		}
		w.have[i] -= w.need[i]
		w.used[i] += w.need[i]
		if w.have[i] < 0 {
			if w.source[i] >= 0 {
				w.topped[i] -= w.have[i]
			}
			w.have[i] = 0
		}
	}
}

// trim takes what is over a whole portion out of the last rounds, and tells whether there was any.
func (w *Walker) trim() (cut bool) {
	for k, share := range w.share {
		over := -math.Floor(share + whole)
		w.share[k] = -over
		for _, r := range w.rounds {
			over += r.got[k]
		}
		cut = cut || over > whole
		for r := len(w.rounds) - 1; r >= 0 && over > 0; r-- {
			part := min(over, w.rounds[r].got[k])
			w.rounds[r].got[k] -= part
			over -= part
		}
	}
	return cut
}

// offer gives what rounding freed, a portion at a time, to whoever has the smallest share (under First, to the first rank
// that is short). A portion is made with one choice for each line.
func (w *Walker) offer(slot int, rule Ration) {
	for changed := true; changed; {
		changed = false
		w.active = w.active[:0]
		for k, want := range w.s.Wants {
			if w.share[k]+1 <= want.Forecast[slot]+whole {
				w.active = append(w.active, int32(k))
			}
		}
		order := func(a, b int32) int {
			byRank := 0
			if rule == First {
				byRank = cmp.Compare(w.rank(a), w.rank(b))
			}
			x, y := w.s.Wants[a].Forecast[slot], w.s.Wants[b].Forecast[slot]
			return cmp.Or(byRank, cmp.Compare(w.share[a]/x, w.share[b]/y), cmp.Compare(a, b))
		}
		for len(w.active) > 0 {
			best := 0
			for k := range w.active {
				if order(w.active[k], w.active[best]) < 0 {
					best = k
				}
			}
			k := w.active[best]
			if w.onePortion(k) {
				w.share[k]++
				changed = true
				if w.share[k]+1 <= w.s.Wants[k].Forecast[slot]+whole {
					continue
				}
			}
			w.active = slices.Delete(w.active, best, best+1)
		}
	}
}

// onePortion serves one more portion of a want if it can.
func (w *Walker) onePortion(k int32) bool {
	if w.each[k] == nil {
		c := w.f.net.cone([]int32{w.wanted[k]})
		w.each[k] = &c
	}
	in := w.each[k]
	for _, i := range in.items {
		w.dry[i] = false
	}
	w.asks = append(w.asks[:0], w.portions(k, 1))
	for {
		w.choose(in, nil)
		if w.lacking(int32(w.s.Wants[k].Item)) {
			return false
		}
		w.explode(in, w.asks, 1)
		short := int32(-1)
		for _, i := range in.items {
			if w.source[i] < 0 && !w.makes(i) && w.need[i] > w.free(i)+slack*w.start[i] {
				short = i
				break
			}
		}
		if short < 0 {
			w.move(in)
			return true
		}
		if w.dry[short] {
			return false
		}
		w.dry[short] = true
	}
}

// stop records why a want rises no further: the chain from its portion to the item that is used up.
func (w *Walker) stop(slot int, k int32, share float64) {
	if w.rec == nil {
		return
	}
	st := Stop{Slot: slot, Want: int(k), Share: share}
	for i := int32(w.s.Wants[k].Item); ; {
		p := w.f.net.toOrder[i]
		if p < 0 || w.held[p] < 0 {
			break
		}
		i = w.held[p]
		st.Items = append(st.Items, int(i))
	}
	w.rec.Stops = append(w.rec.Stops, st)
}

// settle enters what was done in the outcome, and brings the shelves in line with what was used and left over.
func (w *Walker) settle(in *cone) {
	n := w.f.net
	for _, p := range in.orders {
		if runs := w.did[p]; runs > 0 {
			w.out.Batches[n.step[p]] += runs
			for e := n.outputs[p]; e < n.outputs[p+1]; e++ {
				w.out.Made[n.gives[e]] += runs * w.f.gives[e]
				w.rec.note(w.now, Came, n.gives[e], p, runs*w.f.gives[e])
			}
			w.did[p] = 0
		}
		for line := n.lines[p]; line < n.lines[p+1]; line++ {
			for c := n.choices[line]; c < n.choices[line+1]; c++ {
				if w.took[c] > 0 {
					w.out.Used[c] += w.took[c]
					w.rec.use(w.now, p, line, c, w.took[c])
					w.took[c] = 0
				}
			}
		}
	}
	for _, i := range in.items {
		if w.topped[i] > 0 {
			w.buy(i, w.topped[i])
			w.topped[i] = 0
		}
		if w.used[i] == 0 && w.have[i] == w.start[i] {
			continue
		}
		left, from := w.have[i], min(w.used[i], w.start[i])
		w.have[i] = w.start[i]
		w.draw(i, from)
		w.put(i, left-(w.start[i]-from), w.now/1440)
		w.have[i] = left
	}
}
