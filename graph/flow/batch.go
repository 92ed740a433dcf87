package flow

// A batch: what it takes, and how many of it that is enough for.

import (
	"math"

	"kettletree/graph"
)

// work takes what the step at place p needs for as many batches as it is enough for, at most due, and tells what holds it
// back; -1 when nothing does. A batch is fed as a dish is served: its inputs rise together, each line on its first choice
// until that is used up, and what is made to order is made.
func (w *Walker) work(p int32, due float64) (batches float64, limit int32) {
	n := w.f.net
	limit = -1
	for line := n.lines[p]; line < n.lines[p+1]; line++ {
		if !n.carried[line] {
			continue
		}
		can := 0.0
		for c := n.choices[line]; c < n.choices[line+1]; c++ {
			can += w.fromYesterday(n.takes[c]) / w.f.takes[c]
		}
		if can < due*(1-w.tolerance()) && !n.optional[line] {
			due, limit = can, n.takes[n.choices[line]]
		}
	}
	in := w.batchCone(p)
	for _, i := range in.items {
		w.start[i], w.used[i], w.dry[i] = w.have[i], 0, false
	}
	w.due = due
	share := 0.0
	for due > 0 {
		if w.mix != nil {
			w.freely(in)
		} else if w.choose(in, nil); w.held[p] >= 0 {
			limit = w.held[p]
			for q := n.toOrder[limit]; q >= 0 && w.held[q] >= 0; q = n.toOrder[w.held[q]] {
				w.out.Held[n.step[q]] = int(w.held[q])
			}
			break
		}
		step, short := w.rising(in, nil, 1-share)
		if step > 0 {
			w.move(in)
			share += step
		}
		if short < 0 {
			share = 1
			break
		}
		if w.mix != nil {
			w.mix = nil // it can't be done as directed
			continue
		}
		w.dry[short] = true
	}
	w.mix = nil
	w.enter(in)
	batches = due * share
	w.takeCarried(p, batches)
	w.out.Batches[n.step[p]] += batches
	return batches, limit
}

// fromYesterday is what a carried line can have of an item: of what steps give, only what an earlier day left; what can be
// bought, to begin a stock again, without end.
func (w *Walker) fromYesterday(i int32) float64 {
	switch {
	case w.source[i] >= 0:
		return math.Inf(1)
	case w.f.net.g.Items[i].Role == graph.Bought:
		return w.have[i]
	}
	return w.aged(i)
}

// takeCarried draws what so many batches take from yesterday.
func (w *Walker) takeCarried(p int32, batches float64) {
	n := w.f.net
	for line := n.lines[p]; line < n.lines[p+1]; line++ {
		if !n.carried[line] {
			continue
		}
		rest := batches
		for c := n.choices[line]; c < n.choices[line+1] && rest > 0; c++ {
			i := n.takes[c]
			part := min(rest, w.fromYesterday(i)/w.f.takes[c])
			if rest-part < rest*slack {
				part = rest
			}
			rest -= part
			amount := part * w.f.takes[c]
			if w.source[i] >= 0 && amount > w.have[i] {
				more := amount - w.have[i]
				w.put(i, more, w.day, w.buy(i, more))
			}
			w.draw(i, amount)
			w.out.Used[c] += amount
			w.rec.use(w.now, w.running, p, line, c, amount)
			w.rec.share(i, 0)
		}
	}
}

// batchCone is all that a batch of the step at place p can need, beside what it takes from yesterday.
func (w *Walker) batchCone(p int32) *cone {
	if w.batch[p] == nil {
		n := w.f.net
		var takes []int32
		for line := n.lines[p]; line < n.lines[p+1]; line++ {
			if !n.carried[line] {
				takes = append(takes, n.takes[n.choices[line]:n.choices[line+1]]...)
			}
		}
		c := n.cone(takes)
		c.batch, c.orders = p, append(c.orders, p) // it comes after all that makes what it takes
		w.batch[p] = &c
	}
	return w.batch[p]
}
