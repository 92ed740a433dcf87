package ask

// What follows from a change of the kitchen file: one kitchen against another, over the same days.

import (
	"cmp"
	"context"
	"math"
	"slices"
	"time"

	"kettletree/graph"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// Difference is the answer to "what changes with this kitchen file, and what follows from that?". Money is unrounded.
type Difference struct {
	Before  string               `json:"before"` // the files, or "as it was at" and a time
	After   string               `json:"after"`
	From    string               `json:"from"` // 2006-01-02
	Days    int                  `json:"days"`
	Changes []kitchen.Alteration `json:"changes"`          // what is written otherwise
	Plates  []PlateChange        `json:"plates"`           // dishes that cost or sell for something else, largest change of what a plate leaves first
	Guests  []GuestChange        `json:"guests"`           // dishes of which guests with an allergy must hear something else
	Short   []ShortChange        `json:"short"`            // dishes that fall short of their forecast by other portions
	Totals  Totals               `json:"totals"`           // over the days
	Asked   []string             `json:"asked,omitempty"`  // questions that are open now and were not before
	Closed  []string             `json:"closed,omitempty"` // questions that were open and are not any more
	Money   string               `json:"money,omitempty"`
}

// PlateChange is a dish whose plate costs something else, or whose price is another; null for a dish that is not on that menu, and for a price
// that nobody has said.
type PlateChange struct {
	Dish        string   `json:"dish"`
	CostBefore  *float64 `json:"plate_cost_before"`
	CostAfter   *float64 `json:"plate_cost_after"`
	PriceBefore *float64 `json:"price_before"`
	PriceAfter  *float64 `json:"price_after"`
}

// Leaves is what a plate leaves after less before; a dish that is not on a menu leaves nothing there. Where a price is not known, it is what
// the plate costs less.
func (p PlateChange) Leaves() float64 {
	left := func(price, cost *float64) float64 {
		switch {
		case cost == nil:
			return 0
		case p.PriceAfter == nil && p.CostAfter != nil || p.PriceBefore == nil && p.CostBefore != nil:
			return -*cost
		}
		return *price - *cost
	}
	return left(p.PriceAfter, p.CostAfter) - left(p.PriceBefore, p.CostBefore)
}

// GuestChange is a dish with other allergens than before, as the file states them.
type GuestChange struct {
	Dish    string   `json:"dish"`
	Has     []string `json:"has"`         // allergens that it has now and had not
	May     []string `json:"may_contain"` // that it may contain now and was not said to
	Lost    []string `json:"lost"`        // that it has or may contain no longer
	Unknown []string `json:"unknown"`     // bought items behind it of which the file states nothing now, and of which it did or which were not there
}

// ShortChange is how many portions of a dish there are too few over the days, and where it runs out first.
type ShortChange struct {
	Dish        string `json:"dish"`
	ShortBefore int    `json:"short_before"`
	ShortAfter  int    `json:"short_after"`
	Date        string `json:"date"`    // when it first runs out, after the change or else before; 2006-01-02
	Service     string `json:"service"` // likewise
}

// dusty is a change of a plate's cost that nobody sees.
const dusty = 5e-4

// Differ answers what follows from a change of the kitchen file. Both weeks have the same days.
func Differ(ctx context.Context, before, after *week.Week, changes []kitchen.Alteration) (*Difference, error) {
	a := &Difference{Before: before.File, After: after.File, From: after.From.Format(time.DateOnly), Days: after.Days, Changes: changes,
		Plates: []PlateChange{}, Guests: []GuestChange{}, Short: []ShortChange{}, Money: after.Money}
	if changes == nil {
		a.Changes = []kitchen.Alteration{}
	}
	var sheets [2]*CostSheet
	var weeks [2]*Consequences
	for n, w := range []*week.Week{before, after} {
		var err error
		if sheets[n], err = Cost(ctx, w); err != nil {
			return nil, err
		}
		if weeks[n], err = WhatIf(ctx, w, nil); err != nil {
			return nil, err
		}
	}
	called := map[string]string{}
	for _, c := range changes {
		if c.Key == "" && c.Was != "" && c.Is != "" {
			called[c.Was] = c.Is
		}
	}
	for n := range sheets[0].Dishes {
		d := &sheets[0].Dishes[n]
		d.Name = cmp.Or(called[d.Name], d.Name)
	}
	for n := range weeks[0].Dishes {
		d := &weeks[0].Dishes[n]
		d.Name = cmp.Or(called[d.Name], d.Name)
	}
	a.plates(sheets[0], sheets[1], after)
	a.guests(Allergens(before.Kitchen), Allergens(after.Kitchen), called)
	a.short(weeks[0].Dishes, weeks[1].Dishes)
	was, is := weeks[0].Totals, weeks[1].Totals
	a.Totals = Totals{was.PortionsAfter, is.PortionsAfter, was.SalesAfter, is.SalesAfter, was.ContributionAfter, is.ContributionAfter}
	a.Asked, a.Closed = asksApart(after, before, nil, called), asksApart(before, after, called, nil)
	return a, nil
}

// names tells whether a kitchen has something of a name that can be asked about.
func names(w *week.Week, name string) bool {
	return slices.ContainsFunc(w.Graph.Items, func(it graph.Item) bool { return it.Name == name }) ||
		slices.ContainsFunc(w.Graph.Steps, func(s graph.Step) bool { return s.Name == name }) ||
		slices.ContainsFunc(w.Vessels, func(v kitchen.Vessel) bool { return v.Name == name })
}

// asksApart are the questions that one kitchen leaves open and another does not. What is called otherwise in the later one is the same thing;
// each kitchen comes with what its names have become, nil for the later one.
func asksApart(of, not *week.Week, ofCalled, notCalled map[string]string) (asks []string) {
	for _, q := range of.Questions {
		if name := cmp.Or(ofCalled[q.Of], q.Of); q.List != "" && notCalled == nil && !names(not, name) { // what is gone is not known now
			continue
		}
		same := func(o kitchen.Question) bool {
			return cmp.Or(notCalled[o.Of], o.Of) == cmp.Or(ofCalled[q.Of], q.Of) && o.What == q.What && o.List == q.List && o.Guessed == q.Guessed
		}
		if !slices.ContainsFunc(not.Questions, same) {
			asks = append(asks, q.Asks)
		}
	}
	return asks
}

// plates compares the dishes of two menus. Of a new dish nothing is said while it costs or sells for what nobody knows: what counts until
// then would read as money earned.
func (a *Difference) plates(was, is *CostSheet, after *week.Week) {
	at := map[string]int{}
	sells := func(d DishCost) *float64 {
		if d.Unpriced {
			return nil
		}
		return &d.Price
	}
	for _, d := range is.Dishes {
		at[d.Name] = len(a.Plates)
		a.Plates = append(a.Plates, PlateChange{Dish: d.Name, CostAfter: &d.PlateCost, PriceAfter: sells(d)})
	}
	for _, d := range was.Dishes {
		n, stays := at[d.Name]
		if !stays {
			n = len(a.Plates)
			a.Plates = append(a.Plates, PlateChange{Dish: d.Name})
		}
		a.Plates[n].CostBefore, a.Plates[n].PriceBefore = &d.PlateCost, sells(d)
	}
	a.Plates = slices.DeleteFunc(a.Plates, func(p PlateChange) bool {
		if d, err := after.FindDish(p.Dish); err == nil && p.CostBefore == nil && !(costed(after, d) && priced(after, d)) {
			return true
		}
		return p.CostBefore != nil && p.CostAfter != nil && math.Abs(*p.CostAfter-*p.CostBefore) < dusty && samePrice(p.PriceAfter, p.PriceBefore)
	})
	slices.SortStableFunc(a.Plates, func(p, q PlateChange) int { return cmp.Compare(math.Abs(q.Leaves()), math.Abs(p.Leaves())) })
}

// samePrice tells whether two prices are one; nil is one that nobody has said.
func samePrice(a, b *float64) bool {
	if a == nil || b == nil {
		return a == b
	}
	return *a == *b
}

// guests compares what guests with an allergy hear. A dish that is new is given whole where it stands in the grid.
func (a *Difference) guests(was, is *AllergenSheet, called map[string]string) {
	codes := func(list []AllergenWay) (all []string) {
		for _, w := range list {
			all = append(all, w.Allergen)
		}
		return all
	}
	unstated := func(list []Way) (all []string) {
		for _, w := range list {
			if !slices.Contains(all, w.Path[0]) {
				all = append(all, w.Path[0])
			}
		}
		return all
	}
	without := func(list []string, not ...[]string) []string {
		left := []string{}
		for _, x := range list {
			if !slices.ContainsFunc(not, func(n []string) bool { return slices.Contains(n, x) }) {
				left = append(left, x)
			}
		}
		return left
	}
	for _, d := range is.Dishes {
		n := slices.IndexFunc(was.Dishes, func(o DishAllergens) bool { return cmp.Or(called[o.Name], o.Name) == d.Name })
		if n < 0 {
			continue
		}
		o := was.Dishes[n]
		var before []string
		for _, name := range unstated(o.Unstated) {
			before = append(before, cmp.Or(called[name], name))
		}
		g := GuestChange{Dish: d.Name, Has: without(codes(d.Allergens), codes(o.Allergens)), May: without(codes(d.May), codes(o.May), codes(o.Allergens)),
			Lost: without(append(codes(o.Allergens), codes(o.May)...), codes(d.Allergens), codes(d.May)), Unknown: without(unstated(d.Unstated), before)}
		if len(g.Has)+len(g.May)+len(g.Lost)+len(g.Unknown) > 0 {
			a.Guests = append(a.Guests, g)
		}
	}
}

// short compares how many portions there are too few.
func (a *Difference) short(was, is []DishAt) {
	at := map[string]int{}
	for n, list := range [][]DishAt{is, was} {
		for _, d := range list {
			few := d.Forecast - d.After
			i, known := at[d.Name]
			if !known {
				i = len(a.Short)
				at[d.Name] = i
				a.Short = append(a.Short, ShortChange{Dish: d.Name})
			}
			s := &a.Short[i]
			if few > 0 && s.Date == "" {
				s.Date, s.Service = d.Date, d.Service
			}
			if n == 0 {
				s.ShortAfter += few
			} else {
				s.ShortBefore += few
			}
		}
	}
	a.Short = slices.DeleteFunc(a.Short, func(s ShortChange) bool { return s.ShortAfter == s.ShortBefore })
	slices.SortStableFunc(a.Short, func(p, q ShortChange) int {
		return cmp.Compare(q.ShortAfter-q.ShortBefore, p.ShortAfter-p.ShortBefore)
	})
}
