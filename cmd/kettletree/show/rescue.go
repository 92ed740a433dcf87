package show

// What can still be done: each move with what it saves, what it costs and by when, and the best few together.

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"kettletree/menu/kitchen"
	"kettletree/menu/rescue"
)

// rescue lays the moves out; nothing when they were not asked for.
func rescueText(p Page, a *rescue.Answer, m Money) string {
	if a == nil {
		return ""
	}
	var b strings.Builder
	b.WriteString(p.heading("What can still be done from " + whenOf(a.Known)))
	if a.Nothing != "" {
		b.WriteString(p.text(2, capital(a.Nothing)+"."))
		return b.String()
	}
	if lost := m.Less(a.Before, a.Lost); lost > 0 {
		b.WriteString(p.text(0, fmt.Sprintf("%s of contribution was lost. Each move alone:", m.NameUnits(lost))))
	}
	for n, mv := range a.Moves {
		b.WriteString(p.numbered(n+1, mv.What))
		b.WriteString(p.moveLines(mv, m))
	}
	if t := a.Together; t != nil {
		b.WriteString("\n" + p.heading("Best together"))
		b.WriteString(p.text(0, fmt.Sprintf("These %d moves save %s and %s; as a set this %s.", len(t.Moves), m.Name(t.Gained),
			plural(t.Portions, "portion", "portions"), cash(t.Cash, m))))
		for n, mv := range t.Moves {
			b.WriteString(p.numbered(n+1, mv.What))
			b.WriteString(p.text(3, "adds "+m.Name(mv.Gained)+decided(mv))) // what it costs beside the others is said of the set
			b.WriteString(p.allergenLines(mv))
		}
		for _, o := range orders(t.Buy, m) {
			b.WriteString(p.text(0, capital(o)+"."))
		}
		for _, l := range t.Less {
			b.WriteString(p.text(0, "Then "+l+"."))
		}
	} else {
		b.WriteString(p.text(0, "Adding a second move to the first gains nothing worth the work."))
	}
	if len(a.Cautions) > 0 {
		b.WriteString("\n")
	}
	for _, c := range a.Cautions {
		b.WriteString(p.text(0, capital(c)+"."))
	}
	return b.String()
}

// moveLines is what stands below a move.
func (p Page) moveLines(mv rescue.Move, m Money) string {
	saves := "saves " + m.Name(mv.Gained)
	switch {
	case mv.Portions > 0:
		saves += " and " + plural(mv.Portions, "portion", "portions")
	case mv.Portions < 0:
		saves += ", selling " + plural(-mv.Portions, "portion fewer", "portions fewer")
	}
	text := p.text(3, saves+dishesSold(mv.Dishes)) + p.text(3, spends(mv, m))
	for _, o := range toOrder(mv, m) {
		text += p.text(3, o)
	}
	for _, l := range mv.Less {
		text += p.text(3, "then "+l)
	}
	if then := daysAfter(mv, m); then != "" {
		text += p.text(3, "then "+then)
	}
	return text + p.allergenLines(mv)
}

// spends is what a move costs, what must come for it, and by when it must be decided.
func spends(mv rescue.Move, m Money) string {
	return cash(mv.Cash, m) + decided(mv)
}

// decided is by when a move must be decided.
func decided(mv rescue.Move) string {
	text := "; decide " + deadline(mv.By)
	if mv.From != "" {
		text += " (works as well from " + whenOf(mv.From) + ")"
	}
	return text
}

// toOrder is what must come for a move, a line for each supplier and day: from whom, by when to order, and at what price. What is
// bought in says so itself.
func toOrder(mv rescue.Move, m Money) (lines []string) {
	if mv.Kind == "buy in" {
		return nil
	}
	return orders(mv.Buy, m)
}

func orders(all []rescue.ExtraOrder, m Money) (lines []string) {
	type trip struct{ date, from, by string }
	var trips []trip
	parts := map[trip][]string{}
	for _, o := range all {
		t := trip{o.Date, o.From, o.OrderBy}
		if parts[t] == nil {
			trips = append(trips, t)
		}
		parts[t] = append(parts[t], ordered(o)+" at "+UnitPrice(m, o.Price)+"/"+o.Unit)
	}
	slices.SortStableFunc(trips, func(a, b trip) int { return strings.Compare(a.date, b.date) })
	for _, t := range trips {
		from, by := "", ""
		if t.from != "" {
			from = " from " + t.from
		}
		if t.by != "" {
			by = ", order by " + whenOf(t.by)
		}
		lines = append(lines, "to order"+from+" for "+weekday(t.date)+by+": "+list(parts[t]))
	}
	return lines
}

// daysAfter is what a move takes from days: portions of some, and of what is on hand at the end.
func daysAfter(mv rescue.Move, m Money) string {
	var parts []string
	for _, f := range mv.Fewer {
		parts = append(parts, plural(f.Portions, "portion", "portions")+" fewer on "+weekday(f.Date))
	}
	if less := -m.Units(mv.LeftOver); less > 0 && -mv.LeftOver > worthSaying*mv.Gained {
		parts = append(parts, m.NameUnits(less)+" less on hand at the end, for the days after")
	}
	return list(parts)
}

// worthSaying is the part of what a move brings from which on it is said that less is left for the days after.
const worthSaying = 0.05

// numbered is a line of a list, its number hanging out.
func (p Page) numbered(n int, what string) string {
	return fmt.Sprintf("%-3s", fmt.Sprintf("%d.", n)) + strings.TrimPrefix(p.text(3, capital(what)), "   ")
}

// allergenLines are the allergens that a move brings, what goes without something by it, and the bounds on shares that it breaks.
func (p Page) allergenLines(mv rescue.Move) string {
	var b strings.Builder
	for _, s := range mv.Swaps {
		if alarm(s) > 0 || s.Tastes != "" {
			b.WriteString(p.text(3, swapText(s)))
		}
	}
	for _, s := range mv.Without {
		b.WriteString(p.text(3, Lacks(s)))
	}
	for _, s := range mv.Breaks {
		b.WriteString(p.text(3, "STRENGTH: "+s))
	}
	if said := (kitchen.Stated{Has: mv.Allergens, May: mv.May, Unknown: mv.Unstated}); !said.None() {
		b.WriteString(p.text(3, "ALLERGENS: "+AllergensText(said)))
	}
	return b.String()
}

// dishesSold is ": 12 red pozole, 8 white pozole", with what is sold less of behind.
func dishesSold(dishes []rescue.MoreSold) string {
	var more, less []string
	for _, d := range dishes {
		if d.Portions > 0 {
			more = append(more, fmt.Sprintf("%d %s", d.Portions, d.Dish))
		} else {
			less = append(less, fmt.Sprintf("%d %s", -d.Portions, d.Dish))
		}
	}
	text := ""
	if len(more) > 0 {
		text = ": " + strings.Join(more, ", ")
	}
	if len(less) > 0 {
		text += "; " + strings.Join(less, ", ") + " fewer"
	}
	return text
}

// cash is what is spent more, or less.
func cash(more float64, m Money) string {
	switch units := m.Units(more); {
	case units > 0:
		return "costs " + m.NameUnits(units) + " in cash"
	case units < 0:
		return "saves " + m.NameUnits(-units) + " in cash"
	}
	return "costs no cash"
}

// ordered is how much is ordered: of what is counted, whole ones.
func ordered(o rescue.ExtraOrder) string {
	if o.Unit == "each" {
		return things(math.Ceil(o.Quantity-dust), o.Unit, o.Item, o.Many)
	}
	return things(o.Quantity, o.Unit, o.Item, o.Many)
}

// deadline is by when something must be decided; what hangs on an order, before the day of its delivery.
func deadline(stamp string) string {
	if date, clock, _ := strings.Cut(stamp, " "); clock == "00:00" {
		return "before " + weekday(date) + ", in time for its delivery"
	}
	return "by " + whenOf(stamp)
}

// listed is each name once, in a cell.
func listed(names []string) string {
	slices.Sort(names)
	return strings.Join(slices.Compact(names), "; ")
}

// rescueSheet has a row for each move, and then one for each move of the best combination.
func rescueSheet(a *rescue.Answer) (s Sheet) {
	s.add("set", "kind", "what", "by", "gained", "cash", "portions", "dishes", "buy", "allergens", "may_contain", "allergens_unstated")
	row := func(set string, mv rescue.Move) {
		var dishes, buy []string
		allergens, may, unstated := slices.Clone(mv.Allergens), slices.Clone(mv.May), slices.Clone(mv.Unstated)
		for _, d := range mv.Dishes {
			dishes = append(dishes, fmt.Sprintf("%s %+d", d.Dish, d.Portions))
		}
		for _, o := range mv.Buy {
			buy = append(buy, fmt.Sprintf("%s %s %s", o.Date, amount(o.Quantity, o.Unit), o.Item))
		}
		for _, sw := range mv.Swaps {
			allergens, may, unstated = append(allergens, sw.Allergens...), append(may, sw.May...), append(unstated, sw.Unstated...)
		}
		s.add(set, mv.Kind, mv.What, mv.By, mv.Gained, mv.Cash, mv.Portions, strings.Join(dishes, "; "),
			strings.Join(buy, "; "),
			listed(allergens), listed(may), listed(unstated))
	}
	for _, mv := range a.Moves {
		row("single", mv)
	}
	if a.Together != nil {
		for _, mv := range a.Together.Moves {
			row("together", mv)
		}
	}
	return s
}
