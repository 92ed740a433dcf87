package show

// What changes from one kitchen file to another, and what follows from that.

import (
	"fmt"
	"strings"

	"kettletree/menu/ask"
)

// DifferenceAnswer is what follows from a change of the kitchen file, in a sentence or two.
func DifferenceAnswer(a *ask.Difference) string {
	m := MoneyOf(a.Money)
	if len(a.Changes) == 0 {
		return "Both say the same. If anything differs, it is layout and remarks."
	}
	var parts []string
	t := a.Totals
	switch fewer := t.PortionsBefore - t.PortionsAfter; {
	case fewer > 0:
		parts = append(parts, "sell "+plural(fewer, "fewer portion", "fewer portions"))
	case fewer < 0:
		parts = append(parts, "sell "+plural(-fewer, "more portion", "more portions"))
	}
	switch less := m.Units(t.ContributionBefore) - m.Units(t.ContributionAfter); {
	case less > 0:
		parts = append(parts, "earn "+m.NameUnits(less)+" less")
	case less < 0:
		parts = append(parts, "earn "+m.NameUnits(-less)+" more")
	}
	days := fmt.Sprintf("over %s from %s", plural(a.Days, "day", "days"), weekday(a.From))
	if parts == nil {
		parts = []string{"sell and earn what you did before"}
	}
	text := capital(days) + " you " + list(parts) + "."
	if len(a.Guests) > 0 {
		text = guestsAnswer(a.Guests) + " " + text
	}
	if len(a.Plates) > 0 {
		text += " " + plateAnswer(a.Plates[0], m)
	}
	if len(a.Short) > 0 {
		text += " " + shortAnswer(a.Short[0])
	}
	return text
}

// guestsAnswer is the same of several dishes, of which the others are listed below.
func guestsAnswer(list []ask.GuestChange) string {
	more := ""
	if n := len(list) - 1; n > 0 {
		more = " And " + plural(n, "other dish", "other dishes") + ", below."
	}
	return guestAnswer(list[0]) + more + " Tell whoever takes the orders."
}

// guestChanges lists it.
func guestChanges(p Page, list []ask.GuestChange) (text string) {
	for _, g := range list {
		text += p.text(0, guestAnswer(g))
	}
	return text
}

// guestAnswer is what guests with an allergy must hear of a dish from now on.
func guestAnswer(g ask.GuestChange) string {
	var says []string
	for _, part := range []struct {
		says string
		of   []string
	}{{"now has ", g.Has}, {"may now contain ", g.May}, {"no longer has ", g.Lost}, {"is now UNKNOWN for ", g.Unknown}} {
		if len(part.of) > 0 {
			says = append(says, part.says+list(part.of))
		}
	}
	return "ALLERGENS: " + g.Dish + " " + strings.Join(says, "; ") + ", by the file."
}

// plateAnswer is a change of a plate in a sentence.
func plateAnswer(p ask.PlateChange, m Money) string {
	switch {
	case p.CostBefore == nil:
		return fmt.Sprintf("A plate of %s costs %s and sells for %s.", p.Dish, m.Show(*p.CostAfter), m.Show(*p.PriceAfter))
	case p.CostAfter == nil:
		return capital(p.Dish) + " is off the menu."
	case p.PriceBefore == nil && p.PriceAfter != nil:
		return fmt.Sprintf("A portion of %s sells for %s, which was not said before.", p.Dish, m.Show(*p.PriceAfter))
	case p.PriceAfter == nil && p.PriceBefore != nil:
		return fmt.Sprintf("What a portion of %s sells for is not said any more.", p.Dish)
	}
	change := m.Units(*p.CostAfter) - m.Units(*p.CostBefore)
	if m.Units(*p.CostBefore) == 0 && change != 0 { // it had no cost before
		return fmt.Sprintf("A plate of %s costs %s.", p.Dish, m.Show(*p.CostAfter))
	}
	if p.PriceAfter == nil && change != 0 {
		return fmt.Sprintf("A plate of %s costs %s, was %s.", p.Dish, m.Show(*p.CostAfter), m.Show(*p.CostBefore))
	}
	if p.PriceAfter == nil {
		return fmt.Sprintf("A plate of %s costs %s, was %s.", p.Dish, m.Fine(*p.CostAfter), m.Fine(*p.CostBefore))
	}
	switch price := m.Units(*p.PriceAfter) - m.Units(*p.PriceBefore); {
	case price != 0 && change == 0:
		return fmt.Sprintf("%s sells for %s, was %s.", capital(p.Dish), m.Show(*p.PriceAfter), m.Show(*p.PriceBefore))
	case change == 0:
		return fmt.Sprintf("A plate of %s costs %s, was %s.", p.Dish, m.Fine(*p.CostAfter), m.Fine(*p.CostBefore))
	}
	return fmt.Sprintf("A plate of %s costs %s, was %s.", p.Dish, m.Show(*p.CostAfter), m.Show(*p.CostBefore))
}

// shortAnswer is a change of what runs out in a sentence.
func shortAnswer(s ask.ShortChange) string {
	switch {
	case s.ShortAfter == 0:
		return capital(s.Dish) + " no longer runs out."
	case s.ShortBefore == 0:
		return fmt.Sprintf("%s runs out on %s, %s: %s short.", capital(s.Dish), weekday(s.Date), s.Service, plural(s.ShortAfter, "portion", "portions"))
	}
	return fmt.Sprintf("%s is %s short, was %s.", capital(s.Dish), plural(s.ShortAfter, "portion", "portions"), count(s.ShortBefore))
}

// Difference lays out what changes, and what follows.
func Difference(p Page, a *ask.Difference) string {
	m := MoneyOf(a.Money)
	var b strings.Builder
	b.WriteString(p.text(0, DifferenceAnswer(a)))
	if len(a.Changes) == 0 {
		return b.String()
	}
	b.WriteString("\n")
	for _, c := range a.Changes {
		b.WriteString(p.text(0, c.String()))
	}
	section := func(s string) {
		if s != "" {
			b.WriteString("\n" + s)
		}
	}
	section(guestChanges(p, a.Guests))
	section(plateChanges(p, a.Plates, m))
	section(shortChanges(p, a.Short))
	section(totals(p, a.Totals, m))
	questions := func(head string, asks []string) {
		if len(asks) > 0 {
			section(p.text(0, p.bold(head)))
			for _, q := range asks {
				b.WriteString(p.text(2, q))
			}
		}
	}
	questions("Not known yet:", a.Asked)
	questions("Known now:", a.Closed)
	return b.String()
}

// plateChanges lists the dishes that cost or sell for something else.
func plateChanges(p Page, list []ask.PlateChange, m Money) string {
	t := table{columns: append(words("plate"+m.in()), numbers("cost was", "cost is", "price was", "price is", "leaves")...)}
	show := func(x *float64) string {
		if x == nil {
			return ""
		}
		return m.Show(*x)
	}
	for _, c := range list {
		if cost, price := [2]string{show(c.CostBefore), show(c.CostAfter)}, [2]string{show(c.PriceBefore), show(c.PriceAfter)}; cost[0] == cost[1] && price[0] == price[1] {
			continue // nobody sees it
		}
		t.add(c.Dish, show(c.CostBefore), show(c.CostAfter), show(c.PriceBefore), show(c.PriceAfter), m.Change(m.Units(c.Leaves())))
	}
	return t.on(p)
}

// shortChanges lists the dishes that fall short by other portions.
func shortChanges(p Page, list []ask.ShortChange) string {
	t := table{columns: append(words("portions short of the forecast"), append(numbers("was", "is"), words("first")...)...)}
	for _, s := range list {
		t.add(s.Dish, count(s.ShortBefore), count(s.ShortAfter), weekday(s.Date)+", "+s.Service)
	}
	return t.on(p)
}

// DifferenceSheet has a row for each change, then for each plate and each dish that falls short.
func DifferenceSheet(a *ask.Difference) (s Sheet) {
	s.add("kind", "list", "of", "key", "part", "was", "is")
	for _, c := range a.Changes {
		s.add("change", c.List, c.Of, c.Key, c.Part, c.Was, c.Is)
	}
	for _, c := range a.Plates {
		s.add("plate", "", c.Dish, "plate cost", "", c.CostBefore, c.CostAfter)
		s.add("plate", "", c.Dish, "price", "", c.PriceBefore, c.PriceAfter)
	}
	for _, c := range a.Short {
		s.add("short", "", c.Dish, "portions", c.Date, c.ShortBefore, c.ShortAfter)
	}
	return s
}

// Amendment is a change of the kitchen file that is proposed, with what follows from it.
type Amendment struct {
	*ask.Difference
	Diff    string `json:"diff"`    // unified; "" when nothing changes
	Written bool   `json:"written"` // whether the file was changed
}

// Amended lays out a proposed change, and what follows. The difference stands as it is, so that it can be used.
func Amended(p Page, a *Amendment) string {
	text := Difference(p, a.Difference)
	if a.Diff != "" {
		text += "\n" + a.Diff
	}
	return text
}

// Unwritten says how a change that was only asked about is written.
func Unwritten(p Page, file string, changes bool) string {
	if !changes {
		return p.text(0, "No change to "+file+".")
	}
	return p.text(0, "Nothing is written yet. To write it, add --into-file.")
}
