package show

// Cost as it was: what was sold and what is left cost, and the variances against the kitchen file.

import (
	"fmt"

	"kettletree/menu/logbook"
)

// AsItWas lays out what was paid, where it went, and what it varies by.
func AsItWas(p Page, a *logbook.AsItWas) string {
	m, all := MoneyOf(a.Money), a.All
	sold := 0
	for _, it := range a.Items {
		sold += it.Sold
	}
	text := p.text(0, fmt.Sprintf("%s to %s: %s, at an actual cost of %s, or %s by the file.", weekday(a.From), weekday(a.To),
		plural(sold, "portion sold", "portions sold"), m.Name(all.Sold), m.Show(all.SoldBook)))
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
		{"sold", all.Sold}, {"binned", all.Binned}, {"missing at counts", all.Missing}, {"lost in cooking", all.Lost},
		{"left over", all.Left},
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
	return fmt.Sprintf("Price: what was paid against the file's price. Yield: what should have come out of the pots, "+
		"less what did. Usage: binned, missing at counts, substitutes. Of the total, %s is in what is left over and %s in "+
		"what went out.", m.Change(parts[0]), m.Change(parts[1]))
}

// AsItWasSheet has a row for each item and dish.
func AsItWasSheet(a *logbook.AsItWas) (s Sheet) {
	s.add("name", "kind", "unit", "came", "paid", "at_file", "sold", "sold_cost", "sold_book", "binned", "missing", "left",
		"left_cost", "left_book", "price", "yield", "usage", "variance")
	for _, it := range a.Items {
		s.add(it.Name, it.Kind, it.Unit, it.Came, it.Paid, it.AtFile, it.Sold, it.SoldCost, it.SoldBook, it.Binned,
			it.Missing, it.Left, it.LeftCost, it.LeftBook, it.Price, it.Yield, it.Usage, it.Variance)
	}
	return s
}
