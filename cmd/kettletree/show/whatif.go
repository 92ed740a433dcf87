package show

// What follows from shocks: the answer in a sentence, then what changes, service by service.

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"kettletree/menu/ask"
	"kettletree/menu/rescue"
	"kettletree/menu/tongue"
)

// WhatIf lays the answer out. A dish that sells what it sold before, and does not run short, is only counted.
func WhatIf(p Page, a rescue.WhatIf) string {
	m := MoneyOf(a.Money)
	if a.Chance != nil {
		return whatIfChance(p, a.Consequences, m)
	}
	var b strings.Builder
	b.WriteString(p.text(0, whatIfAnswer(a.Consequences, m)))
	section := func(s string) {
		if s != "" {
			b.WriteString("\n" + s)
		}
	}
	b.WriteString(full(p, a.Full))
	for _, e := range a.Elsewhere {
		b.WriteString(p.text(0, CanBeHad(e)))
	}
	off, loud := departures(p, a.Departures, m), slices.ContainsFunc(a.Departures, ask.Departure.Alarms)
	if loud {
		section(off)
	}
	section(dishChanges(p, a.Consequences))
	if !loud {
		section(off)
	}
	section(shares(p, a.Shares.Sentences()))
	section(itemChanges(p, a.Items))
	section(costChanges(p, a.Costs, m))
	section(totals(p, a.Totals, m))
	section(rescueText(p, a.Rescue, m))
	return b.String() + notes(p, a.Caution)
}

// mostFull is how many full services are named.
const mostFull = 3

// full says, a line each, which services are full.
func full[T fmt.Stringer](p Page, list []T) string {
	var b strings.Builder
	for _, f := range list[:min(len(list), mostFull)] {
		b.WriteString(p.text(0, f.String()+"."))
	}
	if more := len(list) - mostFull; more > 0 {
		b.WriteString(p.text(0, fmt.Sprintf("And %d more are full.", more)))
	}
	return b.String()
}

// mostWithout is how many lines tell what goes without something.
const mostWithout = 6

// without says, a line each, what goes without something that the file lets it go without.
func without(p Page, list []ask.Missing) string {
	var b strings.Builder
	for _, m := range list[:min(len(list), mostWithout)] {
		b.WriteString(p.text(0, Lacks(m)))
	}
	if more := len(list) - mostWithout; more > 0 {
		b.WriteString(p.text(0, fmt.Sprintf("And so do %d more.", more)))
	}
	return b.String()
}

// Lacks is what goes without something, in a sentence: "Tuesday's night kettle goes without 40 g bay leaf."
func Lacks(m ask.Missing) string {
	text := capital(m.In) + " goes without "
	if m.Amount < m.Of-dust {
		text += amount(m.Amount, m.Unit) + " of its " + things(m.Of, m.Unit, m.Item, m.Many)
	} else {
		text += things(m.Amount, m.Unit, m.Item, m.Many)
	}
	if m.From != m.To {
		text += ", " + weekday(m.From) + " to " + weekday(m.To)
	}
	return text + "."
}

// CanBeHad is who sells what falls short: "Garlic can be had: corner shop, within 30 min, 11/kg."
func CanBeHad(e ask.Elsewhere) string { return capital(e.Item) + " can be had: " + e.Words + "." }

// whatIfAnswer is the answer in a sentence or two.
func whatIfAnswer(a *ask.Consequences, m Money) string {
	t := a.Totals
	var parts []string
	switch fewer := t.PortionsBefore - t.PortionsAfter; {
	case len(a.Shocks) == 0:
		return fmt.Sprintf("As things stand, you sell %s and earn %s of contribution.",
			plural(t.PortionsAfter, "portion", "portions"), m.Name(t.ContributionAfter)) + runsOutFirst(a)
	case fewer > 0:
		parts = append(parts, "sell "+plural(fewer, "fewer portion", "fewer portions"))
	case fewer < 0:
		parts = append(parts, "sell "+plural(-fewer, "more portion", "more portions"))
	default:
		parts = append(parts, "sell the same number of portions")
	}
	switch lost := m.Units(t.ContributionBefore) - m.Units(t.ContributionAfter); {
	case lost > 0:
		parts = append(parts, "lose "+m.NameUnits(lost)+" of contribution")
	case lost < 0:
		parts = append(parts, "gain "+m.NameUnits(-lost)+" of contribution")
	default:
		parts = append(parts, "earn the same contribution")
	}
	return capital(circumstances(a.Shocks, a.From, a.Days)) + ", you " + list(parts) + "." + runsOutFirst(a)
}

// runsOutFirst says what is the first to run out, and why; "" where nothing is.
func runsOutFirst(a *ask.Consequences) string {
	d := firstOut(a)
	if d == nil {
		return ""
	}
	text := fmt.Sprintf(" First to run out: %s, %s, %s.", d.Name, sitting(d), *d.RunsOut)
	if len(d.Because) > 0 {
		text += " " + capital(chain(d.Because)) + "."
	}
	return text
}

// chain is a chain of causes: the first thing lacking, then what lies behind it.
func chain(links []string) string { return strings.Join(links, ", because ") }

// firstOut is the first dish that sells less than before, or where nothing is asked about, less than its forecast; nil when none does.
func firstOut(a *ask.Consequences) *ask.DishAt {
	var first *ask.DishAt
	for i := range a.Dishes {
		d, would := &a.Dishes[i], a.Dishes[i].Before
		if len(a.Shocks) == 0 {
			would = d.Forecast
		}
		if d.After >= would || d.RunsOut == nil {
			continue
		}
		if first != nil && (d.Date != first.Date || d.Service != first.Service) {
			break // services stand in order
		}
		if first == nil || *d.RunsOut < *first.RunsOut {
			first = d
		}
	}
	return first
}

// sitting is when a service is: "Wed 25 Nov at lunch".
func sitting(d *ask.DishAt) string { return weekday(d.Date) + " at " + d.Service }

// dishChanges lists the dishes that change or run short, by service; those that share a cause stand together above it.
func dishChanges(p Page, a *ask.Consequences) string {
	t := table{columns: append(words("dish"), numbers("forecast", "before", "after", "runs out")...)}
	untouched, told := 0, map[string]bool{}
	for at := 0; at < len(a.Dishes); {
		end := at + 1
		for end < len(a.Dishes) && sitting(&a.Dishes[end]) == sitting(&a.Dishes[at]) {
			end++
		}
		service := a.Dishes[at:end]
		at = end
		changed := slices.DeleteFunc(slices.Clone(service), func(d ask.DishAt) bool {
			return d.Before == d.After && d.After >= d.Forecast
		})
		if len(changed) == 0 {
			untouched++
			continue
		}
		t.heading(weekday(service[0].Date) + ", " + service[0].Service)
		for _, group := range byCause(changed) {
			for _, d := range group {
				out := ""
				if d.RunsOut != nil {
					out = *d.RunsOut
				}
				t.add(d.Name, count(d.Forecast), count(d.Before), count(d.After), out)
			}
			if links := group[0].Because; len(links) > 0 {
				whole := chain(links)
				if told[whole] && len(links) > 1 {
					t.remark(links[0] + ", as above")
				} else {
					t.remark(whole)
				}
				told[whole] = true
			}
		}
		switch rest := len(service) - len(changed); {
		case rest == 1:
			t.remark("1 other dish sells as forecast")
		case rest > 1:
			t.remark(fmt.Sprintf("%d other dishes sell as forecast", rest))
		}
	}
	if len(t.rows) == 0 {
		return ""
	}
	text := t.on(p)
	if untouched > 0 {
		text += p.text(0, plural(untouched, "other service runs as forecast.", "other services run as forecast."))
	}
	return text
}

// byCause groups dishes with the same chain of causes, by the first of each group.
func byCause(dishes []ask.DishAt) (groups [][]ask.DishAt) {
	for _, d := range dishes {
		g := slices.IndexFunc(groups, func(g []ask.DishAt) bool { return slices.Equal(g[0].Because, d.Because) })
		if g < 0 {
			groups = append(groups, nil)
			g = len(groups) - 1
		}
		groups[g] = append(groups[g], d)
	}
	return groups
}

// swapText is a substitute with what it brings.
func swapText(s ask.Swap) string {
	text := fmt.Sprintf("%s: %s instead of %s", s.In, more(s.Amount, s.Unit, s.Item, s.Many), s.For)
	if s.Tastes != "" {
		text += " (" + s.Tastes + ")"
	}
	if len(s.Allergens) > 0 {
		text += ". ADDS ALLERGENS: " + strings.ToUpper(strings.Join(s.Allergens, ", "))
	}
	if len(s.May) > 0 {
		text += ". MAY CONTAIN: " + strings.ToUpper(strings.Join(s.May, ", "))
	}
	if len(s.Unstated) > 0 {
		text += ". ALLERGENS " + tongue.Voice{}.Unknown(s.Unstated)
	}
	return text
}

// more is an amount beyond what was taken before: "14 more stewing hens", "2 kg more lard".
func more(x float64, unit, name, many string) string {
	if unit != "each" {
		return amount(x, unit) + " more " + name
	}
	return strings.Replace(things(x, unit, name, many), " ", " more ", 1)
}

// alarm ranks a substitute by how much it must be told.
func alarm(s ask.Swap) int {
	switch {
	case len(s.Allergens) > 0:
		return 2
	case len(s.May)+len(s.Unstated) > 0:
		return 1
	}
	return 0
}

// itemChanges lists the items of which more or less is made, left or binned. What was bought and is merely not used up is
// told in one sentence behind the table.
func itemChanges(p Page, items []ask.ItemChange) string {
	t := table{columns: append(words("item"), numbers("made or delivered", "left over", "binned")...)}
	var over []string
	for _, it := range items {
		made, left, binned := differ(it.MadeBefore, it.MadeAfter), differ(it.LeftBefore, it.LeftAfter),
			differ(it.BinnedBefore, it.BinnedAfter)
		if !made && !left && !binned {
			continue
		}
		if it.Bought && !made && !binned && it.LeftAfter > it.LeftBefore {
			over = append(over, things(it.LeftAfter-it.LeftBefore, it.Unit, it.Name, it.Many))
			continue
		}
		t.add(it.Name, p.change(it.MadeBefore, it.MadeAfter, it.Unit), p.change(it.LeftBefore, it.LeftAfter, it.Unit),
			p.change(it.BinnedBefore, it.BinnedAfter, it.Unit))
	}
	text := ""
	if len(t.rows) > 0 {
		text = t.under(p, "Items, before and after")
	}
	if len(over) > 0 {
		text += p.text(0, "Left over from what was bought: "+strings.Join(over, ", ")+".")
	}
	return text
}

// differ says whether two amounts differ when they are shown.
func differ(a, b float64) bool {
	return number(a) != number(b) && math.Abs(a-b) > dust
}

// change shows an amount that changes, or one that stays, and nothing for nothing.
func (p Page) change(before, after float64, unit string) string {
	switch {
	case differ(before, after):
		if shown, unit := onScale(unit, before, after); shown[0] != shown[1] {
			return shown[0] + " " + p.arrow() + " " + shown[1] + " " + unit
		}
	case math.Abs(after) <= dust:
		return ""
	}
	return amount(after, unit)
}

// costChanges lists the dishes whose plate cost moves.
func costChanges(p Page, costs []ask.CostChange, m Money) string {
	t := table{columns: append(words("plate cost"+m.in()), numbers("before", "after", "change")...)}
	for _, c := range costs {
		if change := m.Units(c.After) - m.Units(c.Before); change != 0 {
			t.add(c.Dish, m.Show(c.Before), m.Show(c.After), m.Change(change))
		}
	}
	return t.on(p)
}

func totals(p Page, a ask.Totals, m Money) string {
	t := table{columns: append(words("total"), numbers("before", "after", "change")...)}
	change := count(a.PortionsAfter - a.PortionsBefore)
	if a.PortionsAfter > a.PortionsBefore {
		change = "+" + change
	}
	t.add("portions", count(a.PortionsBefore), count(a.PortionsAfter), change)
	money := func(name string, before, after float64) {
		t.add(name+m.in(), m.Show(before), m.Show(after), m.Change(m.Units(after)-m.Units(before)))
	}
	money("sales", a.SalesBefore, a.SalesAfter)
	money("contribution", a.ContributionBefore, a.ContributionAfter)
	return t.on(p)
}

// WhatIfSheet has a row for each dish at each service; where moves are asked for, one for each move; where chance is, the rows
// of [ChanceSheet].
func WhatIfSheet(a rescue.WhatIf) (s Sheet) {
	if a.Chance != nil {
		return ChanceSheet(a.Chance)
	}
	if a.Rescue != nil {
		return rescueSheet(a.Rescue)
	}
	s.add("name", "date", "service", "forecast", "before", "after", "runs_out", "because")
	for _, d := range a.Dishes {
		s.add(d.Name, d.Date, d.Service, d.Forecast, d.Before, d.After, d.RunsOut, strings.Join(d.Because, "; "))
	}
	return s
}
