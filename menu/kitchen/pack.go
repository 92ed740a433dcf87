package kitchen

// What things are bought in: packs, and whole pieces of what is counted.

import (
	"math"
	"slices"

	"kettletree/graph"
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

// Cut tells whether pieces of what is counted are ever cut: some card takes or gives a part of one, as half a lime, or a weight of it.
func (k *Kitchen) Cut(item int) bool {
	part := func(i int, base float64) bool { return i == item && math.Abs(base-math.Round(base)) > 1e-9 }
	return slices.ContainsFunc(k.Graph.Steps, func(st graph.Step) bool {
		return slices.ContainsFunc(st.Gives, func(o graph.Output) bool { return part(o.Item, o.Amount) }) ||
			slices.ContainsFunc(st.Takes, func(l graph.Line) bool {
				return slices.ContainsFunc(l.Choices, func(c graph.Choice) bool { return part(c.Item, c.Amount) })
			})
	})
}

// Shown is how many pieces of an item a kitchen speaks of: quarters of what is ever cut. Of what is not, whole ones: as many as were
// made, or the nearest number of those that go in.
func (k *Kitchen) Shown(item int, pieces float64, made bool) float64 {
	switch {
	case k.Cut(item):
		return measure.Quantity{Amount: pieces, Unit: measure.Each}.OnScale().Amount
	case made:
		return math.Floor(pieces + 1e-6)
	case pieces > 0:
		return max(1, math.Round(pieces))
	}
	return 0
}
