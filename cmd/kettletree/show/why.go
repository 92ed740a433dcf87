package show

// How figures were derived.

import (
	"math"
	"strings"

	"kettletree/graph/measure"
	"kettletree/menu/ask"
)

// Why lays derivations out: numbers in a column, what they are beside them, deeper where they rest on each other.
func Why(p Page, all []*ask.Derivation) string {
	var texts []string
	for _, a := range all {
		texts = append(texts, p.why(a))
	}
	return strings.Join(texts, "\n")
}

func (p Page) why(a *ask.Derivation) string {
	m := MoneyOf(a.Money)
	var b strings.Builder
	number, unit := m.figure(a.Value, a.Unit)
	title := p.said(a.Figure) + ": " + strings.TrimSpace(number+" "+p.said(unit))
	if len(a.Shocks) > 0 {
		title = p.said(circumstances(a.Shocks, "", 0)) + ", " + title
	}
	for _, line := range wrap(capital(title), max(p.Width, leastWidth)) {
		b.WriteString(p.bold(line) + "\n")
	}
	numbers, units := 0, 0
	for _, l := range a.Lines {
		number, unit := m.figure(l.Value, l.Unit)
		unit = p.said(unit)
		numbers, units = max(numbers, width(number)), max(units, width(unit))
	}
	room := p.Width - numbers - 1 - units - 2*gap
	for _, l := range a.Lines {
		indent := strings.Repeat("  ", l.Depth)
		number, unit := m.figure(l.Value, l.Unit)
		unit = p.said(unit)
		if room < 40 { // the number behind the words, for lack of a column
			text := p.said(l.Text)
			if number != "" {
				text += ": " + number + " " + unit
			}
			for i, line := range wrap(text, max(p.Width-width(indent)-2, leastWidth)) {
				b.WriteString(indent + []string{"", "  "}[min(i, 1)] + line + "\n")
			}
			continue
		}
		for i, line := range wrap(p.said(l.Text), max(room-width(indent), leastWidth)) {
			if i > 0 {
				number, unit = "", ""
			}
			b.WriteString(pad(number, gap+numbers, true) + " " + pad(unit, units+gap, false) + indent + line + "\n")
		}
	}
	return b.String()
}

// figure shows a number and its unit; money as it is paid, small money finer.
func (m Money) figure(x float64, unit string) (number, in string) {
	money, per, isRate := strings.Cut(unit, "/")
	switch {
	case unit == "":
		return "", ""
	case money != m.code && money != "money":
		if unit == "portion" || unit == "batch" {
			unit = many(x, unit)
		}
		if u, err := measure.UnitNamed(unit); err == nil {
			x = measure.Quantity{Amount: x, Unit: u}.Derived().Amount
		}
		return measure.FormatNumber(x), unit
	case isRate:
		return m.small(x), m.code + "/" + per
	}
	return m.small(x), m.code
}

// small is an amount with the decimals of the currency, with two more where it is below ten of its last unit: 0.10 USD.
func (m Money) small(amount float64) string {
	if units := math.Abs(amount) * math.Pow10(m.decimals); units > 0 && units < 10-1e-8 {
		return m.Fine(amount)
	}
	return m.Show(amount)
}

// many is a word for a number of things.
func many(x float64, word string) string {
	switch {
	case x == 1:
		return word
	case word == "batch":
		return "batches"
	}
	return word + "s"
}

// WhySheet has a row for each reason.
func WhySheet(all []*ask.Derivation) (s Sheet) {
	s.add("figure", "depth", "text", "value", "unit")
	for _, a := range all {
		for _, l := range a.Lines {
			s.add(a.Figure, l.Depth, l.Text, l.Value, l.Unit)
		}
	}
	return s
}
