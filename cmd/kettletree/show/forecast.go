package show

// The forecast from what was sold, beside the typed one, and how much to prepare.

import (
	"fmt"
	"strconv"

	"kettletree/menu/logbook"
)

// Forecast lays out each dish by weekday and service.
func Forecast(p Page, a *logbook.Forecast) string {
	m := MoneyOf(a.Money)
	when := "between " + weekday(a.From) + " and " + weekday(a.To)
	if a.From == a.To {
		when = "on " + weekday(a.From)
	}
	said := fmt.Sprintf("What sold at each service, and how many portions to have ready, from %s %s.", plural(a.Services, "service", "services"), when)
	if m.code != "" {
		said += " Money in " + m.code + "."
	}
	t := table{columns: append(words("service"),
		numbers("seen", "mean", "spread", "forecast", "enough for", "to have")...)}
	name := ""
	for _, d := range a.Dishes {
		if d.Name != name {
			name = d.Name
			t.heading(fmt.Sprintf("%s: one too few loses %s, one too many %s", name, m.Show(max(d.Brings, 0)), m.Show(d.Wastes)))
		}
		t.add(capital(d.Day)+" "+d.Service, seenTimes(d), decimal(d.Mean), decimal(d.Spread), whole(d.Typed), percent(d.Ratio),
			count(d.ToHave)+basis[d.By])
	}
	return p.text(0, said) + "\n" + t.on(p) +
		"\n" + p.text(0, "To have: the least that covers the share of services for which it pays, (one too few) "+
		"/ (one too few + one too many). ~ from mean and spread, with fewer than 20 services seen; * from the typed "+
		"forecast.") +
		notes(p, a.Notes)
}

// basis marks what the amount was taken from.
var basis = map[string]string{"seen": "  ", "spread": " ~", "mean": " ~", "typed": " *"}

// seenTimes is how often a dish was seen, and how often it ran out.
func seenTimes(d logbook.DishToPrepare) string {
	if d.RanOut > 0 {
		return fmt.Sprintf("%d, out %d", d.Seen, d.RanOut)
	}
	return strconv.Itoa(d.Seen)
}

func decimal(x *float64) string {
	if x == nil {
		return ""
	}
	return strconv.FormatFloat(*x, 'f', 1, 64)
}

func whole(n *int) string {
	if n == nil {
		return ""
	}
	return count(*n)
}

// ForecastSheet has a row for each dish, weekday and service.
func ForecastSheet(a *logbook.Forecast) (s Sheet) {
	s.add("dish", "day", "service", "forecast", "seen", "ran_out", "taken", "mean", "spread", "brings", "wastes", "ratio", "by",
		"to_have")
	for _, d := range a.Dishes {
		var typed *float64
		if d.Typed != nil {
			typed = new(float64(*d.Typed))
		}
		s.add(d.Name, d.Day, d.Service, typed, d.Seen, d.RanOut, d.Taken, d.Mean, d.Spread, d.Brings, d.Wastes, d.Ratio,
			d.By, d.ToHave)
	}
	return s
}
