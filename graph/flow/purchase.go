package flow

// Purchases: what is bought as it is needed, in whole packs and pieces.

import (
	"math"

	"kettletree/graph/measure"
)

// buy tops an item up from its last arrival day by what is needed at the least, of all that is wanted just then, and numbers the
// lot. What comes is whole packs or pieces, where it is bought in such; nothing, where no more than the rounding of sums asks for it.
func (w *Walker) buy(i int32, least, wanted float64) (came float64, lot int32) {
	came = least
	if p := w.pack(i); p > 0 {
		came = math.Ceil(least/p-w.tolerance()*(1+wanted/p)) * p
	}
	if came <= 0 {
		return 0, -1
	}
	at := int(i)*w.s.Days + int(w.source[i])
	w.came[at] += came
	w.ordered[at] += came
	if w.trunk != nil {
		w.trunk.buys = append(w.trunk.buys, bought{i, w.source[i], came})
	}
	return came, w.rec.bought(w.now, i, w.source[i], came)
}

// pack is what an item is bought in where it would come from now; 0 for any amount.
func (w *Walker) pack(i int32) float64 {
	if w.elsewhere[i] {
		return w.s.OfferedIn[i]
	}
	if w.f.terms.Pack == nil {
		return 0
	}
	return w.f.terms.Pack[i]
}

// bring tops an item up as buy does, and puts what comes on hand.
func (w *Walker) bring(i int32, least, wanted float64) {
	came, lot := w.buy(i, least, wanted)
	w.put(i, came, w.source[i], lot)
}

// top buys what was used of an item beyond what was there, and numbers the lot; over is what of it was not used.
func (w *Walker) top(i int32) (over float64, lot int32) {
	came, lot := w.buy(i, w.topped[i], w.used[i])
	over = max(came-w.topped[i], 0)
	if over <= slack*came {
		over = 0
	}
	w.topped[i] = 0
	return over, lot
}

// pieces rounds what comes of an item down to whole ones, where it is counted.
func pieces(u measure.Unit, amount float64) float64 {
	if u.Kind != measure.Count {
		return amount
	}
	return math.Floor(amount + whole)
}
