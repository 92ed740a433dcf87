package show

// Tonight: what to sell, then what that draws on.

import (
	"fmt"
	"slices"
	"strings"

	"kettletree/menu/plan"
)

// Tonight lays out what to sell at one service.
func Tonight(p Page, t *plan.Tonight) string {
	m := MoneyOf(t.Money)
	var b strings.Builder
	text := weekday(t.Date) + ", " + t.Service + ": nothing to sell"
	if slices.ContainsFunc(t.Sell, func(s plan.Sale) bool { return s.Portions > 0 }) {
		text = fmt.Sprintf("%s, %s: serving this earns %s of contribution", weekday(t.Date), t.Service, m.Name(t.Contribution))
	}
	if more := m.Units(t.Contribution) - m.Units(t.Fair); more > 0 && t.Scarce {
		text += fmt.Sprintf(", %s more than sharing shortages equally", m.NameUnits(more))
	}
	b.WriteString(p.text(0, text+"."))
	sell := table{columns: append(words("dish"), numbers("sell", "forecast", "price"+m.in())...)}
	for _, s := range t.Sell {
		name, forecast := s.Dish, count(s.Forecast)
		if s.Special {
			name += " (special)"
		}
		price := m.Show(s.Price)
		if s.Unpriced {
			price = "no price"
		}
		sell.add(name, count(s.Portions), forecast, price)
		if s.Because != "" {
			sell.remark(s.Because)
		}
	}
	b.WriteString("\n" + sell.on(p))
	if t.Apart != nil {
		b.WriteString("\n" + apart(p, t.Apart, m))
	}
	if off := departures(p, t.Departures, m); off != "" {
		b.WriteString("\n" + off)
	}
	if breaks := shares(p, t.Breaks); breaks != "" {
		b.WriteString("\n" + breaks)
	}
	used := table{over: true, columns: append(words("on hand"), numbers("used", "left over", "binned", "use by")...)}
	for _, d := range t.Used {
		left := amount(d.Left, d.Unit)
		if d.UsedUp {
			left = "USED UP"
		} else if d.Left <= dust {
			left = ""
		}
		used.add(d.Item, orNothing(d.Used, d.Unit), left, orNothing(d.Binned, d.Unit), weekday(d.Until))
	}
	if len(t.Used) > 0 {
		b.WriteString("\n" + used.on(p))
	}
	if len(t.Store) > 0 {
		store := table{over: true, columns: append(words("from the store, or still to come"), numbers("amount")...)}
		for _, d := range t.Store {
			store.add(d.Item, amount(d.Used, d.Unit))
		}
		b.WriteString("\n" + store.on(p))
	}
	if binds := binding(p, t.Binds, m); binds != "" {
		b.WriteString("\n" + binds)
	}
	return b.String() + notes(p, []string{"before you serve what is used up, check its date mark, and follow your local code"})
}

// orNothing is an amount, nothing when there is none.
func orNothing(v float64, unit string) string {
	if v <= dust {
		return ""
	}
	return amount(v, unit)
}

// TonightSheet has a row for each dish.
func TonightSheet(t *plan.Tonight) (s Sheet) {
	s.add("date", "service", "dish", "special", "portions", "forecast", "price", "because")
	for _, x := range t.Sell {
		s.add(t.Date, t.Service, x.Dish, x.Special, x.Portions, x.Forecast, x.Price, x.Because)
	}
	return s
}
