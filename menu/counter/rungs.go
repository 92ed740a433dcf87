package counter

// The amounts of an offer that can be bought, as rungs of a ladder.

import (
	"cmp"
	"math"
	"slices"
)

// rung is an amount that can be bought, in base units, and the pieces that it is made of, by place in the offer.
type rung struct {
	amount float64
	pieces []int
}

// mostRungs bounds a ladder: a search does not tell more amounts of one thing apart.
const mostRungs = 240

// ladder are the rungs of an offer, from none on; of what comes by the scale or in packs, no more than most, or 24 packs.
func (o Offer) ladder(most, unit float64) []rung {
	if o.Pieces != nil {
		return sums(o.Pieces)
	}
	most = min(max(most, 24*o.Pack), o.Limit)
	step := o.Pack
	if step == 0 {
		step = handy(most/mostRungs/unit) * unit
	}
	n := int(math.Floor(most/step + nearly))
	every := max(1, (n+mostRungs-1)/mostRungs)
	list := []rung{{}}
	for k := every; k <= n; k += every {
		list = append(list, rung{amount: float64(k) * step})
	}
	if n > 0 && n%every > 0 {
		list = append(list, rung{amount: float64(n) * step})
	}
	return list
}

// handy is a step of a scale that is no less than an amount: 0.05, 0.1, 0.25, 0.5, 1, 2, 4 ...
func handy(x float64) float64 {
	step := 0.05
	for _, by := range []float64{2, 2.5, 2} {
		if step < x {
			step *= by
		}
	}
	for step < x {
		step *= 2
	}
	return step
}

// sums are the weights that can be made of whole pieces.
func sums(pieces []float64) []rung {
	list := []rung{{}}
	for p, weight := range pieces {
		more := list
		for _, r := range list {
			more = append(more[:len(more):len(more)], rung{r.amount + weight, append(slices.Clone(r.pieces), p)})
		}
		slices.SortStableFunc(more, func(a, b rung) int { return cmp.Compare(a.amount, b.amount) })
		list = thinned(slices.CompactFunc(more, func(a, b rung) bool { return math.Abs(b.amount-a.amount) <= nearly*b.amount }))
	}
	return list
}

// thinned leaves out rungs that lie nearest to others, but for the first and the last.
func thinned(list []rung) []rung {
	if len(list) <= mostRungs {
		return list
	}
	out, last := []rung{list[0]}, list[len(list)-1]
	width := last.amount / (mostRungs - 2)
	for _, r := range list[1 : len(list)-1] {
		if math.Floor(r.amount/width) > math.Floor(out[len(out)-1].amount/width) {
			out = append(out, r)
		}
	}
	return append(out, last)
}

// floor is the highest rung that is no more than an amount.
func floor(ladder []rung, amount float64) int {
	n, found := slices.BinarySearchFunc(ladder, amount*(1+nearly), func(r rung, a float64) int { return cmp.Compare(r.amount, a) })
	if found {
		return n
	}
	return max(n-1, 0)
}
