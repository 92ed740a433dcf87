package ask

// What everything costs: unit costs, how each bill is shared, plate costs, and where the weight goes.

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/graph/measure"
	"kettletree/menu/week"
)

// CostSheet is the answer to "what does a portion really cost?". Money is unrounded.
type CostSheet struct {
	Items  []ItemCost `json:"items"`
	Steps  []StepBill `json:"steps"`
	Dishes []DishCost `json:"dishes"`
	Notes  []string   `json:"notes,omitempty"`
	Money  string     `json:"money,omitempty"`
}

// ItemCost is what one unit of an item costs.
type ItemCost struct {
	Name     string  `json:"name"`
	Unit     string  `json:"unit"`
	UnitCost float64 `json:"unit_cost"`
	Bought   bool    `json:"bought"`              // false for what steps give
	Pack     float64 `json:"pack,omitempty"`      // the least that is sold, in Unit
	OnPack   string  `json:"on_pack,omitempty"`   // what stands on it, where amounts are shown in other units than the file has them
	PackCost float64 `json:"pack_cost,omitempty"` // what that costs
	From     string  `json:"from,omitempty"`      // supplier
}

// StepBill is the cost of one batch and who bears it.
type StepBill struct {
	Name   string      `json:"name"`
	Bill   float64     `json:"bill"`
	Labour float64     `json:"labour"`    // labour and fuel, part of the bill
	Rule   string      `json:"shared_by"` // [RuleWords]
	Shares []BillShare `json:"shares"`    // what each output bears
}

// BillShare is what one output bears.
type BillShare struct {
	Item     string  `json:"item"`
	Quantity float64 `json:"quantity"`
	Unit     string  `json:"unit"`
	Cost     float64 `json:"cost"`      // below zero where an even margin asks it
	UnitCost float64 `json:"unit_cost"` // cost over quantity; where several steps give the item, its own unit cost is the mean over them
}

// DishCost is what a dish costs and brings.
type DishCost struct {
	Name         string   `json:"name"`
	Special      bool     `json:"special"`
	Price        float64  `json:"price"`
	PlateCost    float64  `json:"plate_cost"`
	FoodCostPct  *float64 `json:"food_cost_pct"`      // 100 * plate cost / price; null without a price, or where one stands in
	Contribution float64  `json:"contribution"`       // price less plate cost
	Unpriced     bool     `json:"unpriced,omitempty"` // nobody has said what it sells for: the price stands in, and what rests on it too
	Sways        []Sway   `json:"sways"`              // what moves the plate cost most, largest first
}

// Sway is what a bought item's price means to a plate.
type Sway struct {
	Item      string  `json:"item"`
	PerPlate  float64 `json:"per_plate"` // quantity paid for with one portion, in Unit
	Unit      string  `json:"unit"`
	TenDearer float64 `json:"ten_dearer"` // added to the plate cost when the item costs 10% more
}

// RuleWords are the ways to share a bill as the file writes them, by [flow.Rule].
var RuleWords = []string{"worth", "weight", "final value", "even margin", "main"}

// Cost answers what everything costs. Where several steps give an item, and for final value, the amounts of the week
// count; a kitchen without forecasts has no week, and each step counts as one batch.
func Cost(ctx context.Context, w *week.Week) (*CostSheet, error) {
	p, err := w.Play(ctx)
	if err != nil {
		return nil, err
	}
	c := p.Costing
	sheet := &CostSheet{Items: []ItemCost{}, Steps: []StepBill{}, Dishes: []DishCost{}, Money: w.Money}
	for i, it := range w.Graph.Items {
		if it.Role != graph.Sold {
			cost := ItemCost{Name: it.Name, Unit: it.Unit.Name, UnitCost: c.Unit[i] * it.Unit.Factor, Bought: it.Role == graph.Bought}
			if cost.Bought {
				b := w.Bought[i]
				cost.Pack, cost.OnPack, cost.PackCost, cost.From = b.Pack/it.Unit.Factor, w.OnPack(i, b.Pack), b.Pack*c.Unit[i], b.From
			}
			sheet.Items = append(sheet.Items, cost)
		}
	}
	for s := range w.Steps {
		st := w.Graph.Steps[s]
		bill := StepBill{Name: st.Name, Bill: c.Bill(s), Labour: w.Terms.Cost[s], Rule: RuleWords[w.Terms.Share[s]]}
		for o, out := range st.Gives {
			it := w.Graph.Items[out.Item]
			q, cost := out.Amount/it.Unit.Factor, c.Share(s, o)
			bill.Shares = append(bill.Shares, BillShare{it.Name, q, it.Unit.Name, cost, cost / q})
		}
		sheet.Steps = append(sheet.Steps, bill)
	}
	for _, d := range w.Dishes {
		line := DishCost{Name: d.Name, Special: d.Special, Price: d.Price, PlateCost: c.Unit[d.Item], Contribution: d.Price - c.Unit[d.Item], Unpriced: d.Unpriced}
		if d.Price > 0 && !d.Unpriced {
			line.FoodCostPct = new(100 * line.PlateCost / d.Price)
		}
		if line.Sways, err = sways(w, p, d.Item); err != nil {
			return nil, err
		}
		sheet.Dishes = append(sheet.Dishes, line)
	}
	for _, n := range c.Notes {
		sheet.Notes = append(sheet.Notes, costNote(w, n))
	}
	return sheet, nil
}

// sways lists the bought items that a portion pays for, by what their price means to it.
func sways(w *week.Week, p *week.Played, item int) ([]Sway, error) {
	weights, err := p.Costing.Sensitivity(item)
	if err != nil {
		return nil, w.Named(err)
	}
	list := []Sway{}
	for i, per := range weights.Bought {
		it, price := w.Graph.Items[i], p.Case.Flow.Price(i) // as it is by now, not as the file has it
		if per*price != 0 {
			list = append(list, Sway{it.Name, per / it.Unit.Factor, it.Unit.Name, per * price / 10})
		}
	}
	slices.SortStableFunc(list, func(a, b Sway) int { return cmp.Compare(b.TenDearer, a.TenDearer) })
	return list, nil
}

func costNote(w *week.Week, n flow.CostNote) string {
	st := w.Graph.Steps[n.Step]
	item := w.Graph.Items[st.Gives[n.Output].Item].Name
	switch n.Kind {
	case flow.BelowZero:
		return fmt.Sprintf("%s of %s brings less downstream than it costs to finish: it counts as zero and bears none of the bill", item, st.Name)
	case flow.Capped:
		it := w.Graph.Items[st.Gives[n.Output].Item]
		per := func(base float64) string { return rate(w.Money, base*it.Unit.Factor) + "/" + it.Unit.Name }
		return fmt.Sprintf("%s of %s would bring %s downstream, but costs %s to buy in: it counts at that", item, st.Name, per(n.Amount),
			per(w.Terms.Worth[st.Gives[n.Output].Item]))
	case flow.Negative:
		if w.Terms.Share[n.Step] == flow.ByMain {
			return fmt.Sprintf("%s of %s bears less than nothing: the others are worth more than the bill", item, st.Name)
		}
		return fmt.Sprintf("%s of %s bears less than nothing: its dishes earn less than the even margin", item, st.Name)
	default:
		return fmt.Sprintf("nothing that %s gives has a value by its rule: the bill is shared by weight", st.Name)
	}
}

// KiloSheet is the answer to "where does each bought kilo go?", over the period.
type KiloSheet struct {
	Items []KiloFate `json:"items"`
	Notes []string   `json:"notes,omitempty"`
}

// KiloFate says where the weight of a bought item went.
type KiloFate struct {
	Item   string     `json:"item"`
	Came   float64    `json:"came_kg"` // on hand at first, and delivered
	Dishes []DishKilo `json:"dishes"`  // largest first
	InWork float64    `json:"in_work"` // share that ends as trimmings, skimmings, steam
	Lost   float64    `json:"lost"`    // share lost with batches
	Binned float64    `json:"binned"`  // share binned
	Left   float64    `json:"left"`    // share left on hand
}

// DishKilo is the share of an item's weight that is sold on a dish.
type DishKilo struct {
	Dish  string  `json:"dish"`
	Share float64 `json:"share"`
}

// Kilos answers where each bought kilo goes.
func Kilos(ctx context.Context, w *week.Week) (*KiloSheet, error) {
	p, err := w.Play(ctx)
	if err != nil {
		return nil, err
	}
	fates, err := w.Case.Flow.Fates(w.Case.Schedule, p.Outcome)
	if err != nil {
		return nil, w.Named(err)
	}
	a := &KiloSheet{Items: []KiloFate{}}
	for i := range w.Bought {
		it := w.Graph.Items[i]
		grams, ok := it.Grams(p.Outcome.Opening[i] + p.Outcome.Delivered(i))
		if !ok && it.Unit.Kind == measure.Volume {
			grams = p.Outcome.Opening[i] + p.Outcome.Delivered(i) // as water
		}
		if fates.Of[i] == nil || grams == 0 {
			continue
		}
		k := KiloFate{Item: it.Name, Came: grams / 1000, InWork: fates.End(i, flow.InWork), Lost: fates.End(i, flow.InLoss),
			Binned: fates.End(i, flow.InBin), Left: fates.End(i, flow.OnShelf), Dishes: []DishKilo{}}
		for d, dish := range w.Dishes {
			if share := fates.On(i, d); share > 0 {
				k.Dishes = append(k.Dishes, DishKilo{dish.Name, share})
			}
		}
		slices.SortStableFunc(k.Dishes, func(a, b DishKilo) int { return cmp.Compare(b.Share, a.Share) })
		a.Items = append(a.Items, k)
	}
	for _, i := range fates.Unweighed {
		how := "is left out of the weights: add \"each\" to it"
		if w.Graph.Items[i].Unit.Kind == measure.Volume {
			how = "is taken to weigh what water does, 1 kg/L: add \"density\" to it"
		}
		a.Notes = append(a.Notes, fmt.Sprintf("%s %s", w.Graph.Items[i].Name, how))
	}
	return a, nil
}
