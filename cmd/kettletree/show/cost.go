package show

// Costs: the menu table, the bills and who bears them, unit costs, what sways a plate, and where each kilo goes.

import (
	"fmt"
	"slices"
	"strings"

	"kettletree/graph/measure"
	"kettletree/menu/ask"
)

// Menu is the menu table: what a portion costs and what it leaves.
func Menu(p Page, a *ask.CostSheet) string {
	m := MoneyOf(a.Money)
	var b strings.Builder
	b.WriteString(p.text(0, menuAnswer(a, m)))
	if len(a.Dishes) > 0 {
		b.WriteString("\n")
	}
	t := table{columns: append(words("dish"), numbers("price", "plate cost", "food cost", "contribution")...)}
	specials := slices.ContainsFunc(a.Dishes, func(d ask.DishCost) bool { return d.Special })
	if specials {
		t.heading("dishes")
	}
	special := false
	for _, d := range a.Dishes {
		if d.Special && !special {
			special = true
			t.heading("specials")
		}
		parts := m.Parts(d.PlateCost, d.Contribution)
		pct := "no price"
		if d.FoodCostPct != nil {
			pct = percent(*d.FoodCostPct / 100)
		}
		if d.Unpriced { // what stands in is no price, and what rests on it no figure
			t.add(d.Name, "", m.Show(d.PlateCost), pct, "")
			continue
		}
		t.add(d.Name, m.Show(d.Price), m.ShowUnits(parts[0]), pct, m.ShowUnits(parts[1]))
	}
	b.WriteString(t.on(p))
	return b.String() + notes(p, a.Notes)
}

// menuAnswer is the sentence before the menu table.
func menuAnswer(a *ask.CostSheet, m Money) string {
	var cheap, dear *ask.DishCost
	for i, d := range a.Dishes {
		if d.FoodCostPct == nil {
			continue
		}
		if cheap == nil || *d.FoodCostPct < *cheap.FoodCostPct {
			cheap = &a.Dishes[i]
		}
		if dear == nil || *d.FoodCostPct > *dear.FoodCostPct {
			dear = &a.Dishes[i]
		}
	}
	if cheap == nil {
		return "No dish has a price here. --items shows what each item costs, --steps what each batch costs."
	}
	if cheap == dear {
		return fmt.Sprintf("A portion of %s costs %s, %s of its price.", cheap.Name, m.Name(cheap.PlateCost),
			percent(*cheap.FoodCostPct/100))
	}
	said := ""
	if m.code != "" {
		said = " Money in " + m.code + "."
	}
	return fmt.Sprintf("Food cost runs from %s of the price (%s) to %s (%s).%s",
		percent(*cheap.FoodCostPct/100), cheap.Name, percent(*dear.FoodCostPct/100), dear.Name,
		said)
}

// notes is what to know, behind the figures.
func notes(p Page, texts []string) string {
	var b strings.Builder
	for i, n := range texts {
		if i == 0 {
			b.WriteString("\n")
		}
		b.WriteString(p.text(0, p.Voice.Say("Note: %[1]s.", n)))
	}
	return b.String()
}

// Bills are the steps' bills for one batch, and who bears how much of each.
func Bills(p Page, a *ask.CostSheet) string {
	m := MoneyOf(a.Money)
	t := table{columns: append(words("gives"), numbers("amount", "share", "bears", "for one")...)}
	for _, s := range a.Steps {
		head := fmt.Sprintf("%s: %s a batch", s.Name, m.Name(s.Bill))
		if s.Labour > 0 {
			head += fmt.Sprintf(", labour and fuel %s of it", m.Show(s.Labour))
		}
		if len(s.Shares) > 1 {
			head += ", shared by " + s.Rule
		}
		t.heading(head)
		costs := make([]float64, len(s.Shares))
		for i, sh := range s.Shares {
			costs[i] = sh.Cost
		}
		parts := m.Parts(costs...)
		for i, sh := range s.Shares {
			share := ""
			if s.Bill != 0 {
				share = percent(sh.Cost / s.Bill)
			}
			t.add(sh.Item, written(sh.Quantity, sh.Unit), share, m.ShowUnits(parts[i]), m.Rate(sh.UnitCost)+"/"+sh.Unit)
		}
	}
	return p.text(0, fmt.Sprintf("What a batch costs%s, and who bears it.", m.in())) + "\n" + t.on(p) + notes(p, a.Notes)
}

// UnitCosts are what one unit of each item costs.
func UnitCosts(p Page, a *ask.CostSheet) string {
	m := MoneyOf(a.Money)
	t := table{columns: append(words("item"), numbers("unit cost")...)}
	packs := slices.ContainsFunc(a.Items, func(it ask.ItemCost) bool { return it.Pack > 0 })
	if packs {
		t.columns = append(t.columns, numbers("a pack", "costs")...)
	}
	suppliers := slices.ContainsFunc(a.Items, func(it ask.ItemCost) bool { return it.From != "" })
	if suppliers {
		t.columns = append(t.columns, words("from")...)
	}
	for _, bought := range []bool{true, false} {
		heading := map[bool]string{true: "bought", false: "made"}[bought]
		for _, it := range a.Items {
			if it.Bought != bought {
				continue
			}
			if heading != "" {
				t.heading(heading)
				heading = ""
			}
			row := []string{it.Name, m.Rate(it.UnitCost) + "/" + it.Unit}
			switch {
			case it.Pack > 0:
				row = append(row, pack(it.Pack, it.Unit, it.OnPack), m.Show(it.PackCost))
			case packs:
				row = append(row, "", "")
			}
			if suppliers {
				row = append(row, it.From)
			}
			t.add(row...)
		}
	}
	return p.text(0, fmt.Sprintf("What one unit costs%s.", m.in())) + "\n" + t.on(p)
}

// mostSways is how many bought items are shown for a dish.
const mostSways = 3

// Sways are what moves each plate's cost most.
func Sways(p Page, a *ask.CostSheet) string {
	if len(a.Dishes) == 0 {
		return p.text(0, "This kitchen has no dishes.")
	}
	m := MoneyOf(a.Money)
	t := table{columns: append(words("if 10% dearer"), numbers("plate pays for", "plate cost")...)}
	for _, d := range a.Dishes {
		t.heading(fmt.Sprintf("%s: plate cost %s", d.Name, m.Show(d.PlateCost)))
		for _, s := range d.Sways[:min(mostSways, len(d.Sways))] {
			t.add(s.Item, written(s.PerPlate, s.Unit), m.FineChange(s.TenDearer))
		}
	}
	return p.text(0, fmt.Sprintf("What moves each plate's cost most%s: the bought items behind it, each at a price "+
		"10%% higher.", m.in())) + "\n" + t.on(p)
}

// Kilos says where each bought kilo goes.
func Kilos(p Page, a *ask.KiloSheet) string {
	if len(a.Items) == 0 {
		return p.text(0, "Nothing is bought in these days: give steps batches, or dishes a forecast.")
	}
	t := table{columns: append(words("of each kilo"), numbers("share")...)}
	for _, k := range a.Items {
		t.heading(fmt.Sprintf("%s, %s kg", k.Item, measure.FormatNumber(k.Came)))
		for _, d := range k.Dishes {
			t.add(d.Dish, percent(d.Share))
		}
		for _, end := range kiloEnds(k) {
			if end.share >= 0.0005 { // what is shown as 0.0% is not worth a line
				t.add(end.name, percent(end.share))
			}
		}
	}
	return p.text(0, "Where the weight of each bought item goes: the dish it is sold on, or how it is lost.") +
		"\n" + t.on(p) + notes(p, a.Notes)
}

type kiloEnd struct {
	name  string
	share float64
}

// kiloEnds are the ways in which weight ends other than on a dish.
func kiloEnds(k ask.KiloFate) []kiloEnd {
	return []kiloEnd{
		{"(trim, skimming, steam)", k.InWork}, {"(lost)", k.Lost}, {"(binned)", k.Binned}, {"(left on hand)", k.Left},
	}
}

// MenuSheet has a row for each dish.
func MenuSheet(a *ask.CostSheet) (s Sheet) {
	s.add("name", "special", "price", "plate_cost", "food_cost_pct", "contribution")
	for _, d := range a.Dishes {
		price, leaves := &d.Price, &d.Contribution
		if d.Unpriced {
			price, leaves = nil, nil
		}
		s.add(d.Name, d.Special, price, d.PlateCost, d.FoodCostPct, leaves)
	}
	return s
}

// BillSheet has a row for each output of each step.
func BillSheet(a *ask.CostSheet) (s Sheet) {
	s.add("step", "bill", "labour", "shared_by", "item", "quantity", "unit", "cost", "unit_cost")
	for _, st := range a.Steps {
		for _, sh := range st.Shares {
			s.add(st.Name, st.Bill, st.Labour, st.Rule, sh.Item, sh.Quantity, sh.Unit, sh.Cost, sh.UnitCost)
		}
	}
	return s
}

// UnitCostSheet has a row for each item.
func UnitCostSheet(a *ask.CostSheet) (s Sheet) {
	s.add("name", "unit", "unit_cost", "bought", "pack", "pack_cost", "from")
	for _, it := range a.Items {
		s.add(it.Name, it.Unit, it.UnitCost, it.Bought, it.Pack, it.PackCost, it.From)
	}
	return s
}

// SwaySheet has a row for each bought item behind each dish.
func SwaySheet(a *ask.CostSheet) (s Sheet) {
	s.add("dish", "item", "per_plate", "unit", "ten_dearer")
	for _, d := range a.Dishes {
		for _, sw := range d.Sways {
			s.add(d.Name, sw.Item, sw.PerPlate, sw.Unit, sw.TenDearer)
		}
	}
	return s
}

// KiloSheet has a row for each end of each bought item.
func KiloSheet(a *ask.KiloSheet) (s Sheet) {
	s.add("item", "came_kg", "end", "dish", "share")
	for _, k := range a.Items {
		for _, d := range k.Dishes {
			s.add(k.Item, k.Came, "dish", d.Dish, d.Share)
		}
		for i, end := range kiloEnds(k) {
			s.add(k.Item, k.Came, []string{"in_work", "lost", "binned", "left"}[i], "", end.share)
		}
	}
	return s
}
