package flow

// A fork: a case walked from where it parts from a trunk.

import (
	"math"
	"slices"

	"kettletree/graph"
)

// fork is the walk of a case that parted from a trunk.
type fork struct {
	*Trunk
	parting
	away  []bool // by item: of a region that is not walked
	back  []bool // by item: of one that was walked until it stood where the trunk did; nil until one is
	since int32  // the day before which
	lacks int    // of the trunk's, those before the walk began
}

// Fork walks a case that differs from one walked before, and comes to what Walk comes to, but for the rounding of sums: from
// where the two part, with the regions that the difference reaches, until nothing of it is left. What it can't follow it walks
// from the beginning. With a record it walks all of the regions, and the record is of what they do and of what they share with
// others.
func (w *Walker) Fork(t *Trunk, c Case, rec *Record) *Outcome {
	d, ok := t.parts(c)
	if w.apart = [2]int{0, math.MaxInt}; !ok {
		return w.Walk(c.Schedule, t.rule, rec)
	}
	s, n := c.Schedule, w.f.net
	fk := &fork{Trunk: t, parting: d, away: make([]bool, len(t.region))}
	var wanted []int32
	for i, r := range t.region {
		fk.away[i] = r >= 0 && !d.regions[r]
	}
	for _, want := range s.Wants {
		if !fk.away[want.Item] {
			wanted = append(wanted, int32(want.Item))
		}
	}
	w.apart[0] = int(d.first)
	w.begin(s, rec)
	whole := w.all
	defer func() { w.fork, w.all = nil, whole }()
	w.fork = fk
	if len(wanted) < len(s.Wants) {
		w.all = n.cone(wanted)
	}
	from, resumed, ends := 0, s.OrdersFrom == nil, int32(s.Ends())
	if rec == nil {
		k := 0 // the last branch before they part
		for k+1 < len(t.at) && t.row[t.at[k+1].event].at < d.first {
			k++
		}
		w.restore(&t.at[k])
		from, resumed = t.at[k].event, resumed || t.c.Schedule.OrdersFrom != nil && t.at[k].resumed
	} else {
		for i, away := range fk.away {
			if away {
				w.lots[i].Clear()
				w.have[i] = 0
			}
		}
	}
	next, walked := 0, true // whether any region is still walked
	for k := from; k < len(t.row); k++ {
		e := t.row[k]
		if e.at >= ends && e.act != DayEnds {
			break
		}
		if w.now = e.at; !resumed && w.now >= int32(s.ResumedAt) {
			resumed = true
			w.findSources()
		}
		for ; next < len(t.at) && t.at[next].event < k; next++ {
		}
		if walked && rec == nil && e.act == DayStarts && e.at > d.last && next < len(t.at) && t.at[next].event == k && w.standsAt(&t.at[next]) {
			w.goesBack(&t.at[next])
			fk.since = e.index
			walked, w.apart[1] = false, int(e.at)
		}
		switch {
		case e.act == DayStarts, e.act == DayEnds, e.act == Arrives, walked && e.act == Serves, walked && (e.act == Works || e.act == Comes) && !w.goneAt(e):
			w.happens(e, t.rule)
		}
		for _, u := range t.uses[k] {
			if w.gone(n.gives[n.outputs[u.place]]) && !w.gone(u.item) {
				w.takesAgain(u)
			}
		}
	}
	w.buyAgain(t.buys, fk.never)
	o := w.end()
	w.fillIn(o)
	return o
}

// never tells whether an item is of a region that was never walked.
func (fk *fork) never(i int32) bool { return fk.away[i] && (fk.back == nil || !fk.back[i]) }

// Apart is from which minute on, and until which, the last fork went otherwise than its trunk, but for what can always be had.
func (w *Walker) Apart() (from, until int) { return w.apart[0], w.apart[1] }

// gone tells whether an item is of a region that is not walked.
func (w *Walker) gone(i int32) bool { return w.fork != nil && w.fork.away[i] }

// goneAt tells whether an event is of a region that is not walked.
func (w *Walker) goneAt(e event) bool {
	n := w.f.net
	switch {
	case e.act == Works:
		return w.gone(n.gives[n.outputs[e.place]])
	case e.index < 0: // of a pot
		pot, line := w.s.potLine(int(^e.index))
		return w.gone(int32(w.s.Pots[pot].Gives[line].Item))
	}
	return w.gone(n.gives[e.place])
}

// takesAgain takes what a region that is not walked took of an item that others use too.
func (w *Walker) takesAgain(u use) {
	if more := u.amount - w.have[u.item]; more > 0 {
		w.bring(u.item, more, u.amount)
	}
	w.draw(u.item, u.amount)
	w.rec.note(w.now, Took, u.item, u.place, -1, u.amount)
}

// restore puts a walk that has begun where the trunk's stood.
func (w *Walker) restore(b *branch) {
	o, t := &w.out, w.fork.Trunk
	w.day = int32(b.day)
	copy(w.have, b.have)
	copy(w.kept, b.kept)
	copy(w.source, b.source)
	for i := range w.lots {
		if w.lots[i].Clear(); w.gone(int32(i)) {
			w.have[i] = 0
			continue
		}
		for _, l := range b.of(i) {
			w.lots[i].Put(l)
		}
	}
	for _, pair := range [][2][]float64{{o.Batches, b.batches}, {o.Made, b.made}, {o.Binned, b.binned}, {o.Lost, b.lost}, {o.Used, b.used},
		{o.Spoiled, b.spoiled}, {o.Burnt, b.burnt}, {o.PutIn, b.putIn}, {o.Served, t.out.Served}} {
		copy(pair[0], pair[1])
	}
	copy(o.Held, b.held)
	o.Lacks = append(o.Lacks[:0], t.out.Lacks[:b.lacks]...)
	w.fork.lacks = b.lacks
	copy(o.Ran, t.out.Ran)
	w.buyAgain(t.buys[:b.buys], func(i int32) bool { return !w.gone(i) })
}

// buyAgain enters what the trunk bought.
func (w *Walker) buyAgain(list []bought, which func(int32) bool) {
	for _, b := range list {
		if which(b.item) {
			at := int(b.item)*w.s.Days + int(b.day)
			w.came[at] += b.amount
			w.ordered[at] += b.amount
		}
	}
}

// standsAt tells whether all that is walked, but for what regions share, stands where the trunk stood.
func (w *Walker) standsAt(b *branch) bool {
	near := func(x, y float64) bool { return math.Abs(x-y) <= slack*max(x, y) }
	for i := range w.fork.region {
		if w.fork.always[i] || w.fork.away[i] {
			continue
		}
		if w.f.net.g.Items[i].Role == graph.Bought && !w.ordersAsBefore(int32(i)) {
			return false
		}
		lots, were := w.lots[i].Lots(), b.of(i)
		if w.fork.had[i] {
			if !covers(lots, were) {
				return false
			}
			continue
		}
		if !near(w.have[i], b.have[i]) || w.kept[i] != b.kept[i] || len(lots) != len(were) {
			return false
		}
		for k, l := range lots {
			if l.made != were[k].made || !near(l.amount, were[k].amount) {
				return false
			}
		}
	}
	for r := range w.s.Batches { // what is in a pot
		if w.fork.starts[r] < w.now && w.fork.outs[r] >= w.now && !near(w.out.Ran[r].Batches, w.fork.out.Ran[r].Batches) {
			return false
		}
	}
	return true
}

// ordersAsBefore tells whether more of an item can be had from today on as in the trunk: the last day on which it could come lies
// behind the one from which on it is ordered for.
func (w *Walker) ordersAsBefore(i int32) bool {
	s := w.s
	if s.OrdersFrom == nil || slices.Equal(s.OrdersFrom, w.fork.c.Schedule.OrdersFrom) {
		return true
	}
	last := int(w.now / 1440)
	for ; last >= s.OrdersFrom[i]; last-- {
		if s.Arrives == nil || s.Arrives[i] == nil || s.Arrives[i][last] {
			return true
		}
	}
	return false
}

// covers tells whether lots are as much and as fresh as others were, or more: from each day on.
func covers(lots, were []onHand) bool {
	k, spare := len(lots), 0.0
	for _, l := range slices.Backward(were) {
		for ; k > 0 && lots[k-1].made >= l.made; k-- {
			spare += lots[k-1].amount
		}
		if spare -= l.amount; spare < -slack*l.amount {
			return false
		}
		spare = max(spare, 0)
	}
	return true
}

// goesBack leaves the rest to the trunk: what is walked goes on as it did.
func (w *Walker) goesBack(b *branch) {
	fk, o, n := w.fork, &w.out, w.f.net
	fk.back = make([]bool, len(fk.away))
	for i, away := range fk.away {
		fk.back[i] = !away && !fk.had[i] // of the rest what is taken and bought goes on to be counted
	}
	was := &fk.out
	for i, back := range fk.back {
		if back {
			o.Made[i] += was.Made[i] - b.made[i]
			o.Binned[i] += was.Binned[i] - b.binned[i]
			o.Lost[i] += was.Lost[i] - b.lost[i]
		}
	}
	for p := range int32(len(n.step)) {
		if s := n.step[p]; fk.back[n.gives[n.outputs[p]]] {
			o.Batches[s] += was.Batches[s] - b.batches[s]
			o.Held[s] = was.Held[s]
			for c := n.choices[n.lines[p]]; c < n.choices[n.lines[p+1]]; c++ {
				o.Used[c] += was.Used[c] - b.used[c]
			}
		}
	}
	o.Lacks = append(o.Lacks, slices.DeleteFunc(slices.Clone(was.Lacks[b.lacks:]), func(l Lack) bool { return !fk.back[n.givenBy(l.Step)] })...)
	w.buyAgain(fk.buys[b.buys:], func(i int32) bool { return fk.back[i] })
	for i, back := range fk.back {
		if back {
			fk.away[i] = true
			w.lots[i].Clear()
			w.have[i] = 0
		}
	}
}

// givenBy is the first item that a step of the graph gives.
func (n *net) givenBy(step int) int32 { return n.gives[n.outputs[n.place[step]]] }

// fillIn fills in what was not walked, as it went in the trunk.
func (w *Walker) fillIn(o *Outcome) {
	fk, n, s := w.fork, w.f.net, w.s
	was := &fk.out
	for i := range int32(len(fk.away)) {
		if fk.away[i] {
			o.Left[i], o.Potted[i] = was.Left[i], was.Potted[i]
		}
		if fk.never(i) {
			o.Made[i], o.Binned[i], o.Lost[i] = was.Made[i], was.Binned[i], was.Lost[i]
		}
	}
	for p := range int32(len(n.step)) {
		if st := n.step[p]; n.outputs[p] < n.outputs[p+1] && fk.never(n.gives[n.outputs[p]]) {
			o.Batches[st], o.Held[st] = was.Batches[st], was.Held[st]
			copy(o.Used[n.choices[n.lines[p]]:n.choices[n.lines[p+1]]], was.Used[n.choices[n.lines[p]]:n.choices[n.lines[p+1]]])
		}
	}
	for r := range s.Batches {
		if fk.never(n.givenBy(s.Batches[r].Step)) {
			o.Ran[r] = was.Ran[r]
		}
	}
	for k, want := range s.Wants {
		if fk.never(int32(want.Item)) {
			for slot := range s.Slots {
				o.Served[slot*len(s.Wants)+k] = was.Served[slot*len(s.Wants)+k]
			}
		}
	}
	for _, l := range was.Lacks[fk.lacks:] {
		if fk.never(n.givenBy(l.Step)) {
			o.Lacks = append(o.Lacks, l)
		}
	}
	slices.SortStableFunc(o.Lacks, func(a, b Lack) int { return a.At - b.At })
	put := 0
	for k := range s.Pots {
		for range s.Pots[k].Takes {
			if fk.never(n.givenBy(s.Pots[k].Step)) {
				o.PutIn[put] = was.PutIn[put]
			}
			put++
		}
	}
	for k, sp := range s.Spoils[:len(was.Spoiled)] {
		if i := int32(sp.Item); fk.never(i) || fk.away[i] && int32(sp.Day) >= fk.since {
			o.Spoiled[k] = was.Spoiled[k]
		}
	}
	for k, burnt := range s.Burnt[:len(was.Burnt)] {
		if i := n.givenBy(burnt.Step); fk.never(i) || fk.away[i] && int32(burnt.Day) >= fk.since {
			o.Burnt[k] = was.Burnt[k]
		}
	}
}
