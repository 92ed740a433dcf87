package plan

// What a plan buys: packs and pieces that the model does not count, those that an order means, and trips.

// Packs and pieces: those that the model does not count, and those that an order means.

import (
	"cmp"
	"math"
	"slices"

	"kettletree/graph/measure"
)

// opened is what the packs and pieces of a plan can cost at most beyond what is used of them, where the model has them bought to the
// gram: one for each item and day.
func (m *model) opened(p *Plan) (money float64) {
	terms := p.Case.Flow.Terms()
	for _, d := range p.Outcome.Deliveries {
		if pack := terms.Pack[d.Item]; pack > 0 && m.pack[d.Item] == 0 {
			money += pack * (terms.Price[d.Item] + m.worth.Disposal(p.Case.Flow, d.Item))
		}
	}
	return money
}

// wholePacks is what an order means that was kept to so many decimals of a unit: whole packs where it is a grain from them.
func (l *laying) wholePacks(item int, amount float64, in measure.Unit) float64 {
	pack := l.Case.Flow.Terms().Pack[item]
	if pack == 0 {
		return amount
	}
	if packs := math.Round(amount/pack) * pack; math.Abs(packs-amount) <= 2*grain*in.Factor {
		return packs
	}
	return amount
}

// bySupplier puts purchases in the order of trips: by day, those of one supplier together, by the first of them.
func bySupplier(list []Buy) {
	first := map[[2]string]int{}
	for n, b := range list {
		if _, known := first[[2]string{b.Date, b.From}]; !known {
			first[[2]string{b.Date, b.From}] = n
		}
	}
	slices.SortStableFunc(list, func(x, y Buy) int {
		return cmp.Or(cmp.Compare(x.Date, y.Date), cmp.Compare(first[[2]string{x.Date, x.From}], first[[2]string{y.Date, y.From}]))
	})
}
