package board

// Costs: what a portion costs and leaves, sorted as one likes; how far prices move it, and how a figure was derived.

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"

	"kettletree/cmd/kettletree/show"
	"kettletree/graph"
	"kettletree/menu/ask"
	"kettletree/menu/week"
)

var costsPage = &page{Path: "/costs", Name: "Costs", File: "costs", Takes: []string{"sort", "why", "dearer", "by"}, Shocks: true, Answer: costs}

// costsAnswer is what the page shows.
type costsAnswer struct {
	Sort   string
	Sorts  []fact // what to sort by, and how it is said
	Rows   []costRow
	Notes  []string
	Bought []string
	Why    []derivation
	After  *Follows // nil when no change is asked about
}

type costRow struct {
	ask.DishCost
	FoodCost string
	After    string // plate cost after the changes, "" when it stays
	Sways    []swayLine
}

// swayLine is what a plate cost does when an item's price moves by a tenth.
type swayLine struct{ Item, Pays, Low, High string }

// derivation is how a figure was derived.
type derivation struct {
	Figure string
	Lines  []derivedLine
}

type derivedLine struct {
	Depth        int // 0 to mostDepth
	Figure, Text string
}

// First are the lines of the figure itself.
func (d derivation) First() (list []derivedLine) {
	for _, l := range d.Lines {
		if l.Depth <= 1 {
			list = append(list, l)
		}
	}
	return list
}

// All are all lines, down to what is bought, where there are more.
func (d derivation) All() []derivedLine {
	if len(d.First()) == len(d.Lines) {
		return nil
	}
	return d.Lines
}

// mostDepth is how far lines are set in.
const mostDepth = 6

// mostSways is how many items are said for a dish.
const mostSways = 3

var costSorts = []fact{{"contribution", "contribution"}, {"plate", "plate cost"}, {"food", "food cost"}, {"price", "price"}, {"name", "name"}}

func costs(ctx context.Context, a *asked) (any, error) {
	c := &costsAnswer{Sort: cmp.Or(a.Query.Get("sort"), costSorts[0].Name), Sorts: costSorts}
	if !slices.ContainsFunc(costSorts, func(s fact) bool { return s.Name == c.Sort }) {
		return nil, &Refusal{Msg: fmt.Sprintf("dishes can't be sorted by %q", c.Sort), Hint: "choose one of those on the Costs page"}
	}
	if err := a.makeDearer(); err != nil {
		return nil, err
	}
	shocks, err := a.Shocks()
	if err != nil {
		return nil, err
	}
	sheet, err := ask.Cost(ctx, a.Week)
	if err != nil {
		return nil, err
	}
	m := show.MoneyOf(sheet.Money)
	after := map[string]float64{}
	if len(shocks) > 0 {
		if c.After, err = a.Follow(ctx, shocks); err != nil {
			return nil, err
		}
		for _, x := range c.After.Costs {
			after[x.Dish] = x.After
		}
	}
	known := func(d ask.DishCost) int { // what stands in for a price comes last
		if d.Unpriced {
			return 1
		}
		return 0
	}
	slices.SortStableFunc(sheet.Dishes, func(x, y ask.DishCost) int {
		food := func(d ask.DishCost) float64 {
			if d.FoodCostPct == nil {
				return -1
			}
			return *d.FoodCostPct
		}
		switch c.Sort {
		case "plate":
			return cmp.Compare(y.PlateCost, x.PlateCost)
		case "food":
			return cmp.Compare(food(y), food(x))
		case "price":
			return cmp.Or(known(x)-known(y), cmp.Compare(y.Price, x.Price))
		case "name":
			return strings.Compare(x.Name, y.Name)
		}
		return cmp.Or(known(x)-known(y), cmp.Compare(y.Contribution, x.Contribution))
	})
	for _, d := range sheet.Dishes {
		row := costRow{DishCost: d, FoodCost: "no price"}
		if d.FoodCostPct != nil {
			row.FoodCost = show.Percent(*d.FoodCostPct / 100)
		}
		if x, ok := after[d.Name]; ok && m.Units(x) != m.Units(d.PlateCost) {
			row.After = m.Show(x)
		}
		for _, s := range d.Sways[:min(mostSways, len(d.Sways))] {
			row.Sways = append(row.Sways, swayLine{s.Item, show.Amount(s.PerPlate, s.Unit), m.Fine(d.PlateCost - s.TenDearer), m.Fine(d.PlateCost + s.TenDearer)})
		}
		c.Rows = append(c.Rows, row)
	}
	c.Notes = sheet.Notes
	for _, it := range a.Kitchen.Graph.Items {
		if it.Role == graph.Bought {
			c.Bought = append(c.Bought, it.Name)
		}
	}
	if figure := strings.TrimSpace(a.Query.Get("why")); figure != "" {
		c.Why, err = a.derive(ctx, figure, shocks)
	}
	return c, err
}

// makeDearer turns the fields of the form, an item and a share, into a change like those of links.
func (a *asked) makeDearer() error {
	item, by := strings.TrimSpace(a.Query.Get("dearer")), strings.TrimSpace(a.Query.Get("by"))
	a.Query.Del("dearer")
	a.Query.Del("by")
	if item == "" {
		return nil
	}
	by = cmp.Or(strings.TrimSpace(strings.TrimSuffix(by, "%")), "10")
	if by[0] != '-' && by[0] != '+' {
		by = "+" + by
	}
	change := item + "=" + by + "%"
	if _, err := a.Week.Shock("price", change); err != nil {
		return &Refusal{Msg: shockFault(err), Hint: "choose a bought item, and how much dearer it is, such as 10 or -5"}
	}
	a.Query["price"] = slices.DeleteFunc(a.Query["price"], func(v string) bool { return strings.HasPrefix(v, item+"=") })
	a.Query.Add("price", change)
	return nil
}

// derive is how a figure was derived.
func (a *asked) derive(ctx context.Context, figure string, shocks []week.Shock) (list []derivation, err error) {
	all, err := ask.Why(ctx, a.Week, figure, shocks)
	if err != nil {
		return nil, &Refusal{Msg: err.Error(), Hint: "tap a dish on the Costs page"}
	}
	for _, w := range all {
		m := show.MoneyOf(w.Money)
		d := derivation{Figure: w.Figure + ": " + m.Figure(w.Value, w.Unit)}
		for _, l := range w.Lines {
			d.Lines = append(d.Lines, derivedLine{min(l.Depth, mostDepth), m.Figure(l.Value, l.Unit), l.Text})
		}
		list = append(list, d)
	}
	return list, nil
}
