package flow

// A trunk: a case walked once, so that cases that differ little from it can be walked from where they part, and only as far as
// the difference can reach.

import (
	"math"
	"slices"

	"kettletree/graph"
)

// Trunk is a case with its walk: where it stood before each day and service, and what parts of it have to do with each other.
// It never changes, and any number of walkers may fork from it at once.
//
// Items are parted into regions: two are in one when a step takes or gives both. Left out are bought items that can always be had
// when they are used: how much of one is there decides nothing, so that regions that share no more than those can be walked apart.
// What one region takes of them is noted by event, and taken again in the walks of others.
type Trunk struct {
	c       Case
	rule    Ration
	resumes bool
	out     Outcome
	row     []event
	starts  []int32  // by run: when it begins
	outs    []int32  // by run: when its last output comes
	uses    [][]use  // by event: what was taken of shared items
	buys    []bought // in order
	at      []branch // in order of the row

	always  []bool    // by item: can always be had, in cases forked from it too
	had     []bool    // by item: could always be had in the trunk
	region  []int32   // by item; -1 for what regions share
	regions int       // how many there are
	sharers [][]int32 // by item that is shared: the regions that use it
	bounded bool      // whether the walks of a region can be told from the others at all
}

// use is what the step at a place took of an item at an event.
type use struct {
	item, place int32
	amount      float64
}

// bought is what was bought beyond the deliveries, for a day.
type bought struct {
	item, day int32
	amount    float64
}

// branch is where a walk stood before an event.
type branch struct {
	event, buys, lacks, day           int
	have, kept                        []float64
	source                            []int32
	lots                              []onHand
	ends                              []int32 // by item: behind its last lot
	batches, made, binned, lost, used []float64
	spoiled, burnt, putIn             []float64
	held                              []int
	resumed                           bool
}

// NewTrunk walks a case. resumes says that cases forked from it may be such as are ordered for from a minute on ([Case.OrderingFrom]),
// the trunk being one to which all comes in any case that it needs ([Case.Ordering]).
func NewTrunk(c Case, rule Ration, resumes bool) *Trunk {
	w, n, s := NewWalker(c.Flow), c.Flow.net, c.Schedule
	t := &Trunk{c: c, rule: rule, resumes: resumes}
	w.trunk = t
	w.begin(s, nil)
	t.row, t.starts, t.uses = w.row, w.starts, make([][]use, len(w.row))
	t.always, t.had = t.candidates(), t.candidates()
	resumed, ends := s.OrdersFrom == nil, int32(s.Ends())
	for k, e := range w.row {
		if e.at >= ends && e.act != DayEnds {
			break
		}
		w.event = k
		if w.now = e.at; !resumed && w.now >= int32(s.ResumedAt) {
			resumed = true
			w.findSources()
		}
		if e.act == DayStarts || e.act == Serves {
			t.at = append(t.at, w.branch(k, resumed))
		}
		var in *cone
		switch {
		case e.act == Works:
			in = w.batchCone(e.place)
		case e.act == Serves && !s.Slots[e.index].Closed:
			in = &w.all
		}
		if in != nil {
			for _, i := range in.items {
				t.had[i] = t.had[i] && w.source[i] >= 0
				t.always[i] = t.always[i] && w.source[i] >= 0 && (!resumes || s.Daily(int(i)) && w.source[i] == w.day)
			}
		}
		w.happens(e, rule)
	}
	t.out = *w.end()
	w.trunk = nil
	t.part(n)
	t.bounded = s.Directions == nil // as which all or nothing is served
	if resumes {                    // what else is needed could then be bought in the trunk, and not in the case
		t.bounded = t.bounded && !slices.ContainsFunc(t.buys, func(b bought) bool { return !t.always[b.item] && b.amount > slack*t.out.Delivered(int(b.item)) })
	}
	for e, list := range t.uses {
		t.uses[e] = slices.DeleteFunc(list, func(u use) bool { return !t.had[u.item] })
	}
	return t
}

// candidates are, by item, those that may be such as can always be had: bought, and nothing else.
func (t *Trunk) candidates() []bool {
	n, s := t.c.Flow.net, t.c.Schedule
	list := make([]bool, len(n.g.Items))
	for i, it := range n.g.Items {
		list[i] = it.Role == graph.Bought && n.makers[i] == n.makers[i+1] && (s.Short == nil || !s.Short[i]) && (s.NotBefore == nil || s.NotBefore[i] <= s.From)
	}
	for _, i := range n.seeds {
		list[i] = false
	}
	for i, of := range n.eitherOf { // how much of it is on hand decides
		list[i] = list[i] && !of
	}
	for _, p := range n.alls {
		list[n.takes[n.choices[n.lines[p]]]] = false
	}
	for k := range s.Pots {
		for _, take := range s.Pots[k].Takes {
			list[take.Item] = false
		}
	}
	for _, sp := range s.Spoils {
		list[sp.Item] = false
	}
	return list
}

// part finds the regions.
func (t *Trunk) part(n *net) {
	always := t.always
	for r, run := range t.c.Schedule.Batches {
		out := 0
		for _, g := range n.g.Steps[run.Step].Gives {
			out = max(out, g.OutAt)
		}
		t.outs = append(t.outs, t.starts[r]+int32(out))
	}
	up := make([]int32, len(always)) // by item: another of its region; itself for one
	for i := range up {
		up[i] = int32(i)
	}
	find := func(i int32) int32 {
		for up[i] != i {
			up[i] = up[up[i]]
			i = up[i]
		}
		return i
	}
	touches := func(p int32, each func(int32)) {
		for c := n.choices[n.lines[p]]; c < n.choices[n.lines[p+1]]; c++ {
			each(n.takes[c])
		}
		for e := n.outputs[p]; e < n.outputs[p+1]; e++ {
			each(n.gives[e])
		}
	}
	join := func(first *int32, i int32) {
		if always[i] {
			return
		}
		if *first >= 0 {
			up[find(i)] = find(*first)
		}
		*first = i
	}
	for p := range int32(len(n.step)) {
		first := int32(-1)
		touches(p, func(i int32) { join(&first, i) })
	}
	for k := range t.c.Schedule.Pots {
		pot, first := &t.c.Schedule.Pots[k], int32(-1)
		touches(n.place[pot.Step], func(i int32) { join(&first, i) })
		for _, lines := range [][]PotLine{pot.Takes, pot.Gives} {
			for _, l := range lines {
				join(&first, int32(l.Item))
			}
		}
	}
	t.region, t.sharers = slices.Repeat([]int32{-1}, len(always)), make([][]int32, len(always))
	number := map[int32]int32{}
	for i := range up {
		if always[i] {
			continue
		}
		root := find(int32(i))
		if _, ok := number[root]; !ok {
			number[root] = int32(len(number))
		}
		t.region[i] = number[root]
	}
	for p := range int32(len(n.step)) {
		r := t.regionOf(p)
		touches(p, func(i int32) {
			if always[i] && r >= 0 && !slices.Contains(t.sharers[i], r) {
				t.sharers[i] = append(t.sharers[i], r)
			}
		})
	}
	for i, list := range t.sharers { // what only one uses is its own
		if always[i] && len(list) == 1 {
			t.region[i] = list[0]
		}
	}
	t.regions = len(number)
}

// regionOf is the region of the step at a place: that of what it gives.
func (t *Trunk) regionOf(p int32) int32 {
	n := t.c.Flow.net
	if n.outputs[p] == n.outputs[p+1] {
		return -1
	}
	return t.region[n.gives[n.outputs[p]]]
}

// Regions is the number of parts of the trunk that can be walked apart, and RegionOf that of an item; -1 for one that several
// share.
func (t *Trunk) Regions() int { return t.regions }

// RegionOf: see Regions.
func (t *Trunk) RegionOf(item int) int { return int(t.region[item]) }

// Had tells whether an item could always be had when it was used.
func (t *Trunk) Had(item int) bool { return t.had[item] }

// Sharers are the regions that an item has to do with.
func (t *Trunk) Sharers(item int) (list []int) {
	if r := t.region[item]; r >= 0 {
		return []int{int(r)}
	}
	for _, r := range t.sharers[item] {
		list = append(list, int(r))
	}
	return list
}

// Case is the trunk's own.
func (t *Trunk) Case() Case { return t.c }

// Outcome is that of the trunk's own walk. It must not be changed.
func (t *Trunk) Outcome() *Outcome { return &t.out }

// branch notes where a walk stands.
func (w *Walker) branch(event int, resumed bool) branch {
	o := &w.out
	b := branch{event: event, buys: len(w.trunk.buys), lacks: len(o.Lacks), day: int(w.day), resumed: resumed, have: slices.Clone(w.have), kept: slices.Clone(w.kept),
		source: slices.Clone(w.source), batches: slices.Clone(o.Batches), made: slices.Clone(o.Made), binned: slices.Clone(o.Binned),
		lost: slices.Clone(o.Lost), used: slices.Clone(o.Used), spoiled: slices.Clone(o.Spoiled), burnt: slices.Clone(o.Burnt),
		putIn: slices.Clone(o.PutIn), held: slices.Clone(o.Held), ends: make([]int32, len(w.lots))}
	for i := range w.lots {
		b.lots = append(b.lots, w.lots[i].Lots()...)
		b.ends[i] = int32(len(b.lots))
	}
	return b
}

// of are the lots of an item.
func (b *branch) of(i int) []onHand {
	from := int32(0)
	if i > 0 {
		from = b.ends[i-1]
	}
	return b.lots[from:b.ends[i]]
}

// OrderingFrom is a copy of a case that differs from the trunk, in which from a minute on more than what comes in any case can only
// be had on days that begin then or later, as [Case.OrderingFrom] has it, of all that the difference can reach. The rest goes as
// it does in the trunk.
func (t *Trunk) OrderingFrom(c Case, minute int) Case {
	d, ok := t.parts(c)
	if c = c.OrderingFrom(minute); ok && t.c.Schedule.OrdersFrom == nil {
		for i, r := range t.region {
			if r >= 0 && !d.regions[r] {
				c.Schedule.OrdersFrom[i] = 0
			}
		}
	}
	return c
}

// parting is what a case differs from its trunk in.
type parting struct {
	regions []bool // that it can reach
	first   int32  // the minute from which on it does
	last    int32  // the minute of the last thing that differs
	any     bool
}

// parts finds what a case differs from the trunk in; not ok when that is more than a fork follows.
func (t *Trunk) parts(c Case) (d parting, ok bool) {
	d = parting{regions: make([]bool, t.regions), first: math.MaxInt32, last: -1}
	f, n, a, b := c.Flow, c.Flow.net, t.c.Schedule, c.Schedule
	if !t.bounded || n.g != t.c.Flow.net.g || !f.sameChoice(t.c.Flow) || len(a.Spoils) > len(b.Spoils) || !slices.Equal(f.terms.Keeps, t.c.Flow.terms.Keeps) ||
		a.Fractions != b.Fractions || a.Directions != b.Directions || len(a.Wants) != len(b.Wants) || len(a.Deliveries) != len(b.Deliveries) ||
		len(a.Burnt) > len(b.Burnt) || !sameTimes(a, b) || !slices.Equal(a.OnHand, b.OnHand) || !slices.Equal(a.Spoils, b.Spoils[:len(a.Spoils)]) ||
		!slices.EqualFunc(a.Offered, b.Offered, slices.Equal) || !slices.Equal(a.OfferedIn, b.OfferedIn) || !slices.Equal(a.Prefers, b.Prefers) || !slices.Equal(a.Rules, b.Rules) || a.House != b.House {
		return d, false
	}
	touch := func(item int, first, last int32) {
		d.any, d.first, d.last = true, min(d.first, first), max(d.last, last)
		if r := t.region[item]; r >= 0 {
			d.regions[r] = true
			return
		}
		for _, r := range t.sharers[item] {
			d.regions[r] = true
		}
	}
	const end = math.MaxInt32
	for e, gives := range f.gives {
		if gives != t.c.Flow.gives[e] {
			touch(int(n.gives[e]), 0, end)
		}
	}
	for i, p := range n.toOrder {
		if p != t.c.Flow.net.toOrder[i] {
			touch(i, 0, end)
		}
	}
	for _, sp := range b.Spoils[len(a.Spoils):] {
		touch(sp.Item, int32(sp.Day)*1440, end)
	}
	asked := b.Asked()
	for k := range a.Wants {
		x, y := &a.Wants[k], &b.Wants[k]
		if x.Item != y.Item || x.Rank != y.Rank || !slices.Equal(x.Size, y.Size) {
			return d, false
		}
		for slot := range a.Slots {
			if at := slot*len(a.Wants) + k; t.out.Asked[at] != asked[at] {
				at := int32(a.ServedAt(slot))
				touch(x.Item, at, at)
			}
		}
	}
	for r := range a.Batches {
		x, y := &a.Batches[r], &b.Batches[r]
		if x.Size != y.Size || x.Unlit != y.Unlit {
			return d, false
		}
		if x.Lost == y.Lost && slices.Equal(x.Yields, y.Yields) {
			continue
		}
		last := t.outs[r]
		if last >= int32(a.Days)*1440 {
			last = end
		}
		for _, out := range n.g.Steps[x.Step].Gives {
			touch(out.Item, t.starts[r], last)
		}
	}
	for k := range a.Pots {
		x, y := &a.Pots[k], &b.Pots[k]
		if x.Lost == y.Lost && slices.Equal(x.Yields, y.Yields) {
			continue
		}
		for _, g := range x.Gives {
			touch(g.Item, 0, end)
		}
	}
	for k, x := range a.Deliveries {
		if y := b.Deliveries[k]; x.Item != y.Item || x.Day != y.Day {
			return d, false
		} else if x != y {
			touch(x.Item, 0, end)
		}
	}
	for i := range n.g.Items {
		if (a.Short != nil && a.Short[i]) != (b.Short != nil && b.Short[i]) {
			touch(i, 0, end)
		}
	}
	for _, burnt := range b.Burnt[len(a.Burnt):] {
		for _, out := range n.g.Steps[burnt.Step].Gives {
			touch(out.Item, int32(burnt.Day)*1440, int32(burnt.Day+1)*1440)
		}
	}
	if slices.Equal(a.OrdersFrom, b.OrdersFrom) {
		return d, a.ResumedAt == b.ResumedAt || a.OrdersFrom == nil
	}
	d.first = min(d.first, int32(b.ResumedAt))
	return d, t.resumes && a.OrdersFrom == nil
}
