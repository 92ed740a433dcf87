package kitchen

// What things are bought in: packs, and whole pieces of what is counted.

import (
	"math"

	"kettletree/graph/measure"
)

// piece is what an item without packs is bought in whole multiples of, in base units: one of what is counted; 0 for any amount.
func piece(u measure.Unit) float64 {
	if u.Kind == measure.Count {
		return 1
	}
	return 0
}

// Pieces is what an item is bought in whole multiples of at another source than its usual one; 0 for any amount.
func (k *Kitchen) Pieces(item int, s Source) float64 {
	if s.Pack > 0 {
		return s.Pack
	}
	return piece(k.Graph.Items[item].Unit)
}

// wholePack is a pack of an item in base units; half a piece is not sold.
func (r *reader) wholePack(i int, pack measure.Quantity, where span) float64 {
	amount, ok := r.base(i, pack, where)
	if ok && pack.Unit.Kind == measure.Count && r.items[i].Unit.Kind == measure.Count && math.Abs(amount-math.Round(amount)) > 1e-9 {
		r.fault(where, "bad-pack", "write a whole number, or count the item in what is sold: \"half loaf\" instead of half a loaf",
			"a pack of %q is %s, and pieces are sold whole", r.items[i].Name, pack)
		return 0
	}
	return amount
}
