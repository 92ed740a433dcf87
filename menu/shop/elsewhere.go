package shop

// Orders with another than the usual supplier, as a rescue decides them: they stand on the list of their day, under who sells it.

import (
	"math"
	"slices"

	"kettletree/graph/flow"
	"kettletree/menu/plan"
)

// elsewhere are the orders of a schedule with others than the usual suppliers, on a day or, for -1, on all.
func elsewhere(c flow.Case, day int) (list []flow.Delivery) {
	for _, d := range c.Schedule.Deliveries {
		if d.Source > 0 && d.Amount > dust && (day < 0 || d.Day == day) {
			list = append(list, d)
		}
	}
	return list
}

// fromElsewhere is an order as a line of the list, with who sells it.
func (b *buyer) fromElsewhere(s *shopping, d flow.Delivery, there float64) (from string, p Purchase) {
	source, it := b.Sources[d.Item][d.Source-1], b.g.Items[d.Item]
	u := b.unit(d.Item, d.Amount, source.Pack)
	in := func(base float64) float64 { return rounded(base / u.Factor) }
	p = Purchase{Item: it.Name, Many: it.Many, Unit: u.Name, Needed: in(d.Amount), Bought: in(d.Amount), Pack: in(source.Pack), OnPack: b.OnPack(d.Item, source.Pack),
		Price: d.Price * u.Factor, Cost: d.Amount * d.Price, OnHand: in(there), Other: true,
		For: b.users(s, errand{day: d.Day, item: d.Item})}
	if source.Pack > 0 {
		p.Packs = int(min(math.Ceil(d.Amount/source.Pack-plan.Crumb), math.MaxInt32))
	}
	return source.From, p
}

// addElsewhere puts the orders with others than the usual suppliers on the list of a day: behind what else is bought of the same one,
// or under a head of their own.
func (b *buyer) addElsewhere(s *shopping, t *Trip, there []float64, day int) {
	for _, d := range elsewhere(s.c, day) {
		from, p := b.fromElsewhere(s, d, there[d.Item])
		at := slices.IndexFunc(t.Suppliers, func(x Supplier) bool { return x.Name == from })
		if at < 0 {
			at, t.Suppliers = len(t.Suppliers), append(t.Suppliers, b.supplier(from, day))
		}
		sup := &t.Suppliers[at]
		sup.Items = append(sup.Items, p)
		sup.Total += p.Cost
		t.Total += p.Cost
	}
}
