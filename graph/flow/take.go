package flow

// What was really sold or cooked, played against what is on hand.

// Taker finds what is taken of what is on hand when an item is used or sold. It must not be shared between goroutines.
type Taker struct {
	w     *Walker
	cones []*cone // by item; nil until it is asked for
	moved []Moved
	extra []Moved // see Beside
	cost  float64 // see Beside
}

// Moved is a change of what is on hand of an item, in base units: below zero what was taken, above zero what a step that was
// run to order gave beyond what was asked for.
type Moved struct {
	Item   int
	Amount float64
}

// NewTaker makes a taker for a flow.
func NewTaker(f *Flow) *Taker {
	return &Taker{w: NewWalker(f), cones: make([]*cone, len(f.net.g.Items))}
}

// Take says what is no longer on hand when so much of an item is used or sold. What is on hand of an item is taken first,
// and the rest asked of its step where it has one that runs to order, as in a [Walker]; what is made as needed is made whole, as
// far as there is enough. A line stays on its first choice while there is any, then goes on with its substitutes. What happened happened: where all of them are used up,
// the first choice is taken all the same, so that more is taken than have holds, and optional lines do without.
//
// have is what is on hand by item, at least 0. Items that are uncounted are taken to be there and do not move. The list
// is in the order of the items and valid until the next call.
func (t *Taker) Take(item int, amount float64, have []float64, uncounted []bool) []Moved {
	w := t.w
	if t.cones[item] == nil {
		c := w.f.net.cone([]int32{int32(item)})
		t.cones[item] = &c
	}
	in := t.cones[item]
	for _, i := range in.items {
		w.have[i], w.start[i], w.dry[i], w.source[i] = have[i], have[i], false, -1
		if uncounted[i] {
			w.source[i] = 0
		}
		w.topped[i] = 0
	}
	for _, p := range in.orders {
		w.did[p] = 0
	}
	w.asks = append(w.asks[:0], ask{int32(item), amount})
	share := 0.0
	for share < 1 {
		w.choose(in, nil)
		if w.lacking(int32(item)) {
			break
		}
		step, short := w.rising(in, w.asks, 1-share)
		if step > 0 {
			w.move(in)
			share += step
		}
		if short < 0 {
			share = 1
			break
		}
		w.dry[short] = true
	}
	if share < 1 {
		w.overdraw(in, 1-share)
	}
	w.makeLots(in)
	w.makeLots(in)
	t.moved, t.extra, t.cost = t.moved[:0], t.extra[:0], 0
	for _, i := range in.items {
		by := w.have[i] - have[i]
		switch {
		case uncounted[i] && by != w.topped[i]:
			t.extra = append(t.extra, Moved{int(i), by - w.topped[i]})
		case by != 0 && !uncounted[i]:
			t.moved = append(t.moved, Moved{int(i), by})
		}
	}
	for _, p := range in.orders {
		t.cost += w.did[p] * w.f.cost[p]
	}
	return t.moved
}

// Beside is what the last Take took beside its list: of uncounted items, below zero as there, and the labour and fuel
// of the steps that it ran to order. The list is valid until the next Take.
func (t *Taker) Beside() (uncounted []Moved, labour float64) { return t.extra, t.cost }

// overdraw takes a share of the asks on first choices, whether they are there or not.
func (w *Walker) overdraw(in *cone, share float64) {
	n := w.f.net
	for _, p := range in.orders {
		w.held[p] = -1
		for line := n.lines[p]; line < n.lines[p+1]; line++ {
			if w.pick[line] = n.choices[line]; n.optional[line] {
				w.pick[line] = -1
			}
		}
	}
	w.explode(in, w.asks, share)
	for _, p := range in.orders {
		w.did[p] += w.runs[p]
		for e := n.outputs[p]; e < n.outputs[p+1]; e++ {
			w.have[n.gives[e]] += w.runs[p] * w.f.gives[e]
		}
	}
	for _, i := range in.items {
		w.have[i] -= w.need[i]
	}
}
