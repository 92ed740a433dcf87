package flow

// What is made as needed: whole batches, or halves, of what was asked for.

import "math"

// makeLots makes whole what was made of a batch for the work that is done, before that is entered: of each step that is made as
// needed, what takes something before what makes it, the rest of the last batch, as far as there is enough of what it takes. All
// that the work itself needed has been had by then. What the rest gives stays on hand.
func (w *Walker) makeLots(in *cone) {
	if len(in.lots) == 0 {
		return
	}
	mix := w.mix
	w.mix = nil // what is over is made by the card
	for _, p := range in.lots {
		if w.did[p] > 0 {
			w.makeRest(p, rest(w.did[p], w.f.net.lot[p]))
		}
	}
	w.mix = mix
}

// rest is what so many batches lack of whole lots.
func rest(batches, lot float64) float64 {
	return max(math.Ceil(batches/lot-whole)*lot-batches, 0)
}

// makeRest makes so many batches more of the step at place p, or what there is enough for, with what is there when the work is done.
func (w *Walker) makeRest(p int32, batches float64) {
	n, in := w.f.net, w.batchCone(p)
	for _, i := range in.items {
		w.dry[i] = false
	}
	w.due, w.rate = batches, w.f.takes
	done := 0.0
	for done < 1 && batches > 0 {
		if w.choose(in, nil); w.held[p] >= 0 {
			break
		}
		step, short := w.rising(in, nil, 1-done)
		if step > 0 {
			w.move(in)
			done += step
		}
		if short < 0 {
			break
		}
		w.dry[short] = true
	}
	w.did[p] += batches * done
	for e := n.outputs[p]; e < n.outputs[p+1]; e++ {
		w.have[n.gives[e]] += batches * done * w.f.gives[e]
	}
}
