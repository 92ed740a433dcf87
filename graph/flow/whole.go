package flow

// Whole portions: what is over one is cut off, and what that frees is offered round, a portion at a time.

import (
	"cmp"
	"math"
	"slices"
)

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
