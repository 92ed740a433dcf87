package flow

// A batch: what it takes, and how many of it that is enough for.

import (
	"math"

	"kettletree/graph"
)

// work takes what the step at place p needs for as many batches as it is enough for, at most due, and tells what holds it
// back; -1 when nothing does. A batch is fed as a dish is served: its inputs rise together, each line on its first choice
// until that is used up, and what is made to order is made. Lines that it goes without in part are fed to their least, and
// filled up once the batch is as large as it will be.
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
	w.due, w.rate = due, w.f.takes
	if w.mix == nil {
		w.leastOf(p)
	}
	share, directed := 0.0, 0.0
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
			w.mix, directed = nil, share // it can't be done as directed
			w.leastOf(p)
			continue
		}
		w.dry[short] = true
	}
	batches = due * share
	if n.spares[p] && w.mix == nil {
		w.fillUp(in, due*(share-directed))
	}
	w.mix, w.fed = nil, batches
	w.enter(in)
	w.takeCarried(p, batches)
	w.out.Batches[n.step[p]] += batches
	return batches, limit
}

// leastOf feeds the batch at place p with the least that its lines can have.
func (w *Walker) leastOf(p int32) {
	if w.f.net.spares[p] {
		w.rate = w.f.least
	}
}

// fillUp fills the lines that so many batches were fed the least of, as far as there is more.
func (w *Walker) fillUp(in *cone, batches float64) {
	w.due, w.rate, w.filling = batches, w.f.extra, true
	for rest := 1.0; batches > 0; {
		w.choose(in, nil)
		step, short := w.rising(in, nil, rest)
		if step > 0 {
			w.move(in)
			rest -= step
		}
		if short < 0 {
			break
		}
		w.dry[short] = true
	}
	w.filling = false
}

// missed notes what so many batches, or portions, of the step at place p went without, before what they took is entered.
func (w *Walker) missed(p, run int32, batches float64) {
	n := w.f.net
	for line := n.lines[p]; line < n.lines[p+1]; line++ {
		if n.without[line] == 0 || n.carried[line] {
			continue
		}
		lacks := batches
		for c := n.choices[line]; c < n.choices[line+1]; c++ {
			lacks -= w.took[c] / w.f.takes[c]
		}
		if lacks > batches*whole {
			w.out.Lacks = append(w.out.Lacks, Lack{Step: int(n.step[p]), Line: int(line - n.lines[p]), Run: int(run), At: int(w.now),
				Amount: lacks * w.f.takes[n.choices[line]], Batches: batches})
		}
	}
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
				w.bring(i, amount-w.have[i], amount)
			}
			w.draw(i, amount)
			w.out.Used[c] += amount
			w.rec.use(w.now, w.running, p, line, c, amount)
			w.rec.share(i, 0, 0)
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
