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
	in     *island // what is being served
	whole  island  // all that are active, where they are served at once
	each   []*cone // by want: what it can need; a memo, nil until it is asked for
	wanted []int32 // the wants' items that all and each are of
	batch  []*cone // by place: what a batch can need; a memo, too
	due    float64 // batches to do, when it is a batch that is fed
	fed    float64 // batches that were done

	rate    []float64 // by choice: what a batch that is fed takes of it
	filling bool      // lines of the batch that can have no more go without

	need, rise []float64 // by item: wanted at the share tried, and its change with the share
	runs, pace []float64 // by place: batches to order, and their change with the share
	pick       []int32   // by line: the choice it is on; -1 when it goes without
	held       []int32   // by place: the item whose lack keeps the step from running; -1 when it can run
	dry        []bool    // by item: used up for this service; of what can still be bought, what was on hand of it
	capped     []bool    // by item: no more is taken of it just now than is on hand, though more can be bought or made

	start  []float64 // by item: on hand before the service
	used   []float64 // by item: used in the service
	share  []float64 // by want: portions so far
	size   []float64 // by want: how much of a portion goes out as one
	asks   []ask     // what is tried
	active []int32   // wants still rising
	rounds []round   // what was served, in order
	was    []round   // the same before it was served again
	mix    []float64 // by choice: how lines are filled when work is directed; nil when it is not
	likes  []*Prefer // by line: what it is to have first; nil where nothing is said, and altogether where no line has any

	holder  []int32             // by item: a want that can need it
	with    []int32             // by want: another want of its island; itself for the first
	ashore  []stand             // by item: where it stood before the island was served
	parted  map[string][]island // what was found before, by parting
	parting []byte              // each active want with the first of its island

	leads     []bool    // by item: the item that is short goes into it
	blamed    []bool    // by line: another choice of it might free what was short
	tries     int       // of a portion
	before    []float64 // took, before a part is taken back
	there     []int32   // by line: the first way to fill it of which something is left
	back      []float64 // by round: what is taken back of it
	didBefore []float64 // did, before a part is taken back

	// What was done and is not entered in the outcome yet: rewind undoes it.
	did    []float64 // by place: batches made to order
	took   []float64 // by choice
	topped []float64 // by item: bought beyond what was there
}

// ask is an amount of an item that is asked for.
type ask struct {
	item   int32
	amount float64
}

// round is one rise of the common share, or portions that were offered round.
type round struct {
	got   []float64 // by want: portions
	pick  []int32   // by line: the choice it was on; -1 when it went without
	held  []int32   // by place: the item whose lack kept the step from running; -1 when it could run
	alone int32     // the want that alone was offered something, plus 1; 0 for a rise
}

func newServing(n *net) serving {
	items, places, lines := len(n.g.Items), len(n.step), len(n.optional)
	return serving{
		need: make([]float64, items), rise: make([]float64, items), runs: make([]float64, places), pace: make([]float64, places),
		pick: make([]int32, lines), held: make([]int32, places), dry: make([]bool, items), capped: make([]bool, items),
		start: make([]float64, items), used: make([]float64, items), batch: make([]*cone, places),
		did: make([]float64, places), didBefore: make([]float64, places), took: make([]float64, len(n.takes)), topped: make([]float64, items),
		leads: make([]bool, items), blamed: make([]bool, lines), before: make([]float64, len(n.takes)),
		there: make([]int32, lines), holder: make([]int32, items), ashore: make([]stand, items),
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
	w.each, w.with, w.parted = make([]*cone, len(s.Wants)), make([]int32, len(s.Wants)), nil
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
		if w.asked(int32(k), slot) > 0 && !w.gone(int32(want.Item)) {
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
	w.whole.cone, w.whole.wants = w.all, append(w.whole.wants[:0], w.active...)
	w.land(&w.whole)
	if !w.serveAll(slot, rule, false) {
		from := 0
		if w.rec != nil {
			from = len(w.rec.Stops)
		}
		list := w.islands()
		for k := range list {
			w.land(&list[k])
			if w.active = append(w.active[:0], w.in.wants...); !w.serveAll(slot, rule, true) {
				w.ration(slot, rule)
			}
		}
		if len(list) > 1 {
			w.inOrder(rule, from)
		}
	}
	for k, share := range w.share {
		if !w.gone(w.wanted[k]) {
			w.out.Served[slot*len(w.share)+k] = share
		}
	}
	w.enter(&w.all)
}

// ration serves an island of which not every forecast can be served.
func (w *Walker) ration(slot int, rule Ration) {
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
		w.rounds, w.was = w.was[:0], w.rounds
		for _, r := range w.was {
			w.play(r)
		}
	}
	if !w.s.Fractions {
		w.handOut(slot, rule)
	}
}

// serveAll serves every forecast of an island, on most days all there is to do, if that can be done at once with the choices at
// hand and in whole portions. Those of which nothing can be had go without, where some may.
func (w *Walker) serveAll(slot int, rule Ration, someWithout bool) bool {
	if rule == First && w.in.either { // what a rank leaves, or makes beside, may say what the next is made of
		return false
	}
	w.choose(&w.in.cone, nil)
	w.asks = w.asks[:0]
	lacking := false
	for _, k := range w.active {
		forecast := w.asked(k, slot)
		if forecast != math.Trunc(forecast) {
			return false
		}
		if w.lacking(w.wanted[k]) {
			if lacking = true; !someWithout {
				return false
			}
		} else {
			w.asks = append(w.asks, w.portions(k, forecast))
		}
	}
	if _, short := w.rising(&w.in.cone, w.asks, 1); short >= 0 {
		return false
	}
	for _, k := range w.active {
		if w.lacking(w.wanted[k]) {
			w.stop(slot, k, 0)
		} else {
			w.share[k] = w.asked(k, slot)
		}
	}
	w.move(&w.in.cone)
	if lacking && !w.s.Fractions { // what the others' steps gave beside may make some after all
		r := w.newRound()
		for _, k := range w.in.wants {
			r.got[k] = w.share[k]
		}
		w.handOut(slot, rule)
	}
	return true
}

// asked is how many portions of a want are asked for at a slot.
func (w *Walker) asked(k int32, slot int) float64 { return w.out.Asked[slot*len(w.s.Wants)+int(k)] }

// rank is the place of a want under First; those without one come last.
func (w *Walker) rank(k int32) int { return cmp.Or(w.s.Wants[k].Rank, math.MaxInt) }

// fill lets the common share of a group rise until each of its wants is served in full or stopped. It only tries: what it
// finds stands in rounds.
func (w *Walker) fill(slot int, group []int32) {
	share := 0.0
	for {
		w.choose(&w.in.cone, nil)
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
			w.asks = append(w.asks, w.portions(k, w.asked(k, slot)))
		}
		step, short := w.rising(&w.in.cone, w.asks, 1-share)
		if step > 0 {
			w.move(&w.in.cone)
			share += step
			r := w.newRound()
			for _, k := range group {
				r.got[k] = w.asked(k, slot) * step
				w.share[k] += r.got[k]
			}
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
	for _, i := range w.in.items {
		was := w.ashore[i]
		w.have[i], w.used[i], w.topped[i], w.dry[i] = was.have, was.used, was.topped, false
	}
	for _, p := range w.in.orders {
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
		w.choose(&w.in.cone, r.pick)
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
		step, short := w.rising(&w.in.cone, w.asks, 1-share)
		if step > 0 {
			w.move(&w.in.cone)
			share += step
			part := w.newRound()
			for _, k := range w.active {
				part.got[k] = r.got[k] * step
			}
		}
		if short < 0 {
			return
		}
		w.dry[short] = true
	}
}

// newRound is a further round, of nothing yet, made with the choices at hand.
func (w *Walker) newRound() *round {
	if len(w.rounds) < cap(w.rounds) {
		w.rounds = w.rounds[:len(w.rounds)+1]
	} else {
		w.rounds = append(w.rounds, round{})
	}
	r := &w.rounds[len(w.rounds)-1]
	r.got, r.pick, r.alone = zeros(r.got, len(w.share)), append(r.pick[:0], w.pick...), 0
	r.held = append(r.held[:0], w.held...)
	return r
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

// enter enters what was done in the outcome, and brings the lots on hand in line with what was used and left over.
func (w *Walker) enter(in *cone) {
	w.makeLots(in)
	n, follows := w.f.net, w.rec.follows()
	orders := in.orders
	if follows { // what is taken is to be there before it is taken, and of two that take it the earlier has the older lots
		orders = slices.Clone(orders)
		slices.SortFunc(orders, func(a, b int32) int { return cmp.Compare(n.turn[a], n.turn[b]) })
		for _, i := range in.items {
			if w.topped[i] > 0 {
				over, lot := w.top(i)
				w.over[i] = over
				w.rec.comesWith(lot)
			}
		}
	}
	for _, p := range orders {
		run, work := int32(-1), w.did[p]
		if p == in.batch {
			run, work = w.running, w.fed
		}
		if n.spares[p] {
			w.missed(p, run, work)
		}
		if follows {
			w.departs(p, run, work)
		}
		if runs := w.did[p]; runs > 0 {
			w.out.Batches[n.step[p]] += runs
			for e := n.outputs[p]; e < n.outputs[p+1]; e++ {
				w.out.Made[n.gives[e]] += runs * w.f.gives[e]
				if follows {
					w.rec.comesWith(w.rec.came(w.now, n.gives[e], p, -1, -1, runs*w.f.gives[e]))
				}
			}
			w.did[p] = 0
		}
		for line := n.lines[p]; line < n.lines[p+1]; line++ {
			for c := n.choices[line]; c < n.choices[line+1]; c++ {
				if w.took[c] == 0 {
					continue
				}
				w.out.Used[c] += w.took[c]
				if w.trunk != nil {
					w.trunk.uses[w.event] = append(w.trunk.uses[w.event], use{n.takes[c], p, w.took[c]})
				}
				if follows {
					w.rec.use(w.now, run, p, line, c, w.took[c])
				}
				w.took[c] = 0
			}
		}
	}
	for _, i := range in.items {
		if w.topped[i] > 0 {
			w.over[i], _ = w.top(i)
		}
		if w.used[i] == 0 && w.have[i] == w.start[i] {
			continue
		}
		left, from := w.have[i], min(w.used[i], w.start[i])
		w.have[i] = w.start[i]
		if from > 0 {
			w.draw(i, from)
		}
		crumb := w.crumb(i)
		rest := left - (w.start[i] - from)
		if rest <= crumb {
			rest = 0
		}
		over := w.over[i]
		w.over[i] = 0
		if follows {
			for _, part := range w.rec.share(i, rest, over) {
				w.put(i, part.Amount, w.rec.madeOn(part.Lot, w.now/1440), int32(part.Lot))
			}
		} else {
			if over > 0 {
				w.put(i, over, w.source[i], -1)
			}
			if rest > 0 {
				w.put(i, rest, w.now/1440, -1)
			}
		}
		w.have[i] = left + over
		w.clearCrumb(i, crumb)
	}
}
