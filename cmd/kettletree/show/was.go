package show

// Cost as it was: what was sold and what is left cost, and the variances against the kitchen file.

import (
	"fmt"
	"strings"

	"kettletree/menu/logbook"
)

// AsItWas lays out what was paid, where it went, and what it varies by.
func AsItWas(p Page, a *logbook.AsItWas) string {
	m, all := MoneyOf(a.Money), a.All
	sold := 0
	for _, it := range a.Items {
		sold += it.Sold
	}
	text := p.text(0, fmt.Sprintf("%s: %s, at an actual cost of %s, or %s by the file.", daysOf(a),
		plural(sold, "portion sold", "portions sold"), m.Name(all.Sold), m.Show(all.SoldBook)))
	for _, g := range a.Given {
		text += p.text(0, strings.TrimSpace(fmt.Sprintf("%s given away %s", plural(g.Portions, "portion", "portions"),
			strings.TrimSuffix("to "+g.To, "to ")))+fmt.Sprintf(", at a cost of %s.", m.Name(g.Cost)))
	}
	if t := soldAsItWas(m, a); len(t.rows) > 0 {
		text += "\n" + t.on(p)
	}
	went := wentWhere(m, a.All)
	text += "\n" + went.on(p)
	if t := variances(m, a); len(t.rows) > 0 {
		text += "\n" + t.on(p) + "\n" + p.text(0, heldSays(m, all))
	}
	return text + notes(p, a.Notes)
}

// daysOf are the days that an answer is about.
func daysOf(a *logbook.AsItWas) string {
	if a.From == a.To {
		return weekday(a.From)
	}
	return weekday(a.From) + " to " + weekday(a.To)
}

// soldAsItWas is each dish's cost.
func soldAsItWas(m Money, a *logbook.AsItWas) (t table) {
	t.columns = append(words("dish"), numbers("sold", "a portion", "cost", "by the file")...)
	for _, it := range a.Items {
		if it.Sold > 0 {
			t.add(it.Name, count(it.Sold), m.Show(it.SoldCost/float64(it.Sold)), m.Show(it.SoldCost), m.Show(it.SoldBook))
		}
	}
	return t
}

// wentWhere is what came in, and where it went; both add up to the same.
func wentWhere(m Money, all logbook.AllWas) (t table) {
	t.columns = append(words("first in, first out"), numbers("cost")...)
	type line struct {
		name string
		cost float64
	}
	in := []line{
		{"on hand before", all.Opening}, {"received", all.Received}, {"found at the first count", all.FirstCounted},
		{"found at counts", all.Found}, {"taken beyond the log book", all.Beyond},
		{"bought, not logged", all.Uncounted}, {"labour and fuel", all.Labour},
	}
	out := []line{
		{"sold", all.Sold}, {"given away", all.Gave}, {"dropped", all.Dropped}, {"binned", all.Binned},
		{"missing at counts", all.Missing}, {"lost in cooking", all.Lost}, {"left over", all.Left}, {"in pots under way", all.InPots},
	}
	for n, lines := range [][]line{in, out} {
		t.heading([]string{"in", "out"}[n])
		costs, total := make([]float64, len(lines)), 0.0
		for i, l := range lines {
			costs[i] = l.cost
			total += l.cost
		}
		for i, units := range m.Parts(costs...) {
			if units != 0 {
				t.add(lines[i].name, m.ShowUnits(units))
			}
		}
		t.add("total", m.Show(total))
	}
	return t
}

// variances is a row for each item that anything varies of. Rounded together, the cells add up to the total both ways.
func variances(m Money, a *logbook.AsItWas) (t table) {
	t.columns = append(words("over the file"), numbers("price", "yield", "usage", "total")...)
	var exact []float64
	for _, it := range a.Items {
		exact = append(exact, it.Price, it.Yield, it.Usage)
	}
	units := m.Parts(exact...)
	var sum [4]int64
	for i, it := range a.Items {
		cells := units[3*i : 3*i+3]
		if cells[0] == 0 && cells[1] == 0 && cells[2] == 0 {
			continue
		}
		row := []string{it.Name}
		all := int64(0)
		for c, u := range cells {
			row = append(row, m.Change(u))
			sum[c] += u
			all += u
		}
		sum[3] += all
		t.add(append(row, m.Change(all))...)
	}
	if len(t.rows) > 0 {
		t.add("total", m.Change(sum[0]), m.Change(sum[1]), m.Change(sum[2]), m.Change(sum[3]))
	}
	return t
}

// heldSays is where the variance stands.
func heldSays(m Money, all logbook.AllWas) string {
	parts := m.Parts(all.Held, all.Variance-all.Held)
	return fmt.Sprintf("Price: what was paid against the file's price. Yield: what should have come out of the pots, for as much as "+
		"went in of the main input, less what did. Usage: binned, missing at counts, substitutes, more or less of the rest than the "+
		"card has. Of the total, %s is in what is left over and %s in "+
		"what went out.", m.Change(parts[0]), m.Change(parts[1]))
}

// Close lays out a period's close: what was on hand before and after by group, what came in, and what was used.
func Close(p Page, a *logbook.AsItWas) string {
	m := MoneyOf(a.Money)
	t := &table{columns: append(words("inventory"), numbers("opening", "purchases", "closing", "used")...)}
	var exact []float64
	for _, g := range a.Close {
		exact = append(exact, g.Opening, g.Purchases, -g.Closing)
	}
	units := m.Parts(exact...)
	var sum [3]int64
	for i, g := range a.Close {
		cells := units[3*i : 3*i+3]
		t.add(g.Group, m.ShowUnits(cells[0]), m.ShowUnits(cells[1]), m.ShowUnits(-cells[2]), m.ShowUnits(cells[0]+cells[1]+cells[2]))
		for c, u := range cells {
			sum[c] += u
		}
	}
	used := sum[0] + sum[1] + sum[2]
	t.add("total", m.ShowUnits(sum[0]), m.ShowUnits(sum[1]), m.ShowUnits(-sum[2]), m.ShowUnits(used))
	text := p.text(0, fmt.Sprintf("%s: cost of goods sold %s, opening + purchases - closing.", daysOf(a), m.NameUnits(used)))
	text += "\n" + t.on(p)
	went := &table{columns: append(words("of that"), numbers("cost")...)}
	lines := []struct {
		name string
		cost float64
	}{{"sold", a.All.Sold}, {"given away", a.All.Gave}, {"dropped", a.All.Dropped}, {"binned", a.All.Binned},
		{"missing at counts", a.All.Missing}, {"lost in cooking", a.All.Lost}}
	costs := make([]float64, len(lines))
	for i, l := range lines {
		costs[i] = l.cost
	}
	for i, u := range m.Parts(costs...) {
		if u != 0 {
			went.add(lines[i].name, m.ShowUnits(u))
		}
	}
	if len(went.rows) > 0 {
		text += "\n" + went.on(p)
	}
	text += "\n" + p.text(0, "Bought items go by who sells them. What is made, and what is in pots, stands at what went into "+
		"it, labour and fuel too; below zero, more was made than used. What a first count finds counts as opening.")
	return text + notes(p, a.Notes)
}

// CloseSheet has a row for each group.
func CloseSheet(a *logbook.AsItWas) (s Sheet) {
	s.add("group", "opening", "purchases", "closing", "used")
	for _, g := range a.Close {
		s.add(g.Group, g.Opening, g.Purchases, g.Closing, g.Used)
	}
	return s
}

// AsItWasSheet has a row for each item and dish.
func AsItWasSheet(a *logbook.AsItWas) (s Sheet) {
	s.add("name", "kind", "unit", "came", "paid", "at_file", "sold", "sold_cost", "sold_book", "gave", "gave_cost",
		"dropped", "dropped_cost", "binned", "missing", "left",
		"left_cost", "left_book", "price", "yield", "usage", "variance")
	for _, it := range a.Items {
		s.add(it.Name, it.Kind, it.Unit, it.Came, it.Paid, it.AtFile, it.Sold, it.SoldCost, it.SoldBook, it.Gave, it.GaveCost, it.Dropped,
			it.DroppedCost, it.Binned,
			it.Missing, it.Left, it.LeftCost, it.LeftBook, it.Price, it.Yield, it.Usage, it.Variance)
	}
	return s
}
