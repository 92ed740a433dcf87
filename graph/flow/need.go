package flow

// What portions, or a batch, need of every item, netted against what is there, and how far their share can rise.

import (
	"slices"
)

// cone is all that some portions, or a batch, can need: items, and places of steps made to order, both ascending.
type cone struct {
	items, orders []int32
	batch         int32   // the place of the step whose batch it is, the last of orders; -1 for portions
	ways          []int32 // lines of those steps that can be filled in more than one way, from the dish back
	lots          []int32 // places of those that are made as needed, from the dish back
	either        bool    // some of their lines have choices of which the cook does not mind
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
	back := slices.Clone(c.orders)
	slices.SortFunc(back, func(a, b int32) int { return int(n.turn[b] - n.turn[a]) })
	for _, p := range back {
		if n.lot[p] > 0 {
			c.lots = append(c.lots, p)
		}
		for line := n.lines[p]; line < n.lines[p+1]; line++ {
			if n.ways(line) > 1 {
				c.ways = append(c.ways, line)
			}
			c.either = c.either || n.alike(line) > 1
		}
	}
	return c
}

// ways is the number of ways to fill a line: its choices, and without it, where it is optional.
func (n *net) ways(line int32) int32 {
	ways := n.choices[line+1] - n.choices[line]
	if n.optional[line] {
		ways++
	}
	return ways
}

// way is a way to fill a line, the one that is liked best being number 0: the choice; -1 for without it.
func (w *Walker) way(line, number int32) int32 {
	first, count := w.f.net.choices[line], w.f.net.choices[line+1]-w.f.net.choices[line]
	p := w.preferred(line)
	switch {
	case number == count:
		return -1
	case p < 0 && number < w.f.net.alike(line) && w.f.net.alike(line) > 1:
		return w.nth(line, number)
	case p >= 0 && number == 0:
		return p
	case p >= 0 && first+number <= p: // it has gone before these
		number--
	}
	return first + number
}

// portions asks for so many portions of a want.
func (w *Walker) portions(k int32, n float64) ask { return ask{w.wanted[k], n * w.size[k]} }

// choose puts every line on the choice that liked says, or else the one that is preferred, or else the first, that is not used
// up, and finds the steps that can't run.
func (w *Walker) choose(in *cone, liked []int32) {
	n := w.f.net
	if n.either != nil {
		for _, i := range in.items {
			w.capped[i] = false
		}
	}
	for _, p := range in.orders {
		w.held[p] = -1
		for line := n.lines[p]; line < n.lines[p+1]; line++ {
			first, end := n.choices[line], n.choices[line+1]
			c := first
			if liked != nil && liked[line] >= 0 && !w.lacking(n.takes[liked[line]]) {
				c = liked[line]
			} else if p := w.preferred(line); p >= 0 && !w.lacking(n.takes[p]) {
				c = p
			} else if n.alike(line) > 1 {
				if c = w.any(line); c < 0 {
					c = first + n.alike(line)
				}
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
			case n.optional[line], w.filling && p == in.batch:
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
	return w.dry[i] || w.free(i) <= w.crumb(i)
}

// crumb is how much of an item is nothing: the dust that sums leave of what was there before the work, and of what was made and used
// in it.
func (w *Walker) crumb(i int32) float64 { return slack * (w.start[i] + w.used[i]) }

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
		runs, pace, takes := 0.0, 0.0, w.f.takes
		if p == in.batch {
			runs, pace, takes = w.due*share, w.due, w.rate
		} else if w.held[p] < 0 {
			for e := n.outputs[p]; e < n.outputs[p+1]; e++ {
				i, gives := n.gives[e], w.f.gives[e]
				over := w.need[i] - w.free(i)
				if over <= w.tolerance()*(w.start[i]+w.used[i]) { // it is there: a step must not be run, or found stuck, for the dust of a sum
					continue
				}
				if over > runs*gives && gives > 0 {
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
					w.need[n.takes[c]] += runs * share * takes[c]
					w.rise[n.takes[c]] += pace * share * takes[c]
				}
			} else if c := w.pick[line]; c >= 0 {
				w.need[n.takes[c]] += runs * takes[c]
				w.rise[n.takes[c]] += pace * takes[c]
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
			if (w.source[i] >= 0 || w.makes(i)) && (w.mix != nil || !w.capped[i]) {
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
		takes := w.f.takes
		if p == in.batch { // which gives when it is out
			takes = w.rate
		} else {
			w.did[p] += runs
			for e := n.outputs[p]; e < n.outputs[p+1]; e++ {
				w.have[n.gives[e]] += runs * w.f.gives[e]
			}
		}
		for line := n.lines[p]; line < n.lines[p+1]; line++ {
			if w.mix != nil {
				for c, share := range w.directed(line) {
					w.took[c] += runs * share * takes[c]
				}
			} else if c := w.pick[line]; c >= 0 {
				w.took[c] += runs * takes[c]
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
