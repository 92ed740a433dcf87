package show

// Where dishes and batches are not as their cards have them, in one list.

import (
	"fmt"
	"math"
	"strings"

	"kettletree/menu/ask"
	"kettletree/menu/tongue"
)

// mostDepartures is how many departures are written out in full; those that bring allergens all are.
const mostDepartures = 6

const checkLabels = "Check a substitute's allergens against its label and your local rules before you serve it. Only what the kitchen file states is known here."

// sameReason stands for a chain of causes that was told already.
const sameReason = "for the same reason"

// departures lists them, the loudest first.
func departures(p Page, all []ask.Departure, m Money) string {
	if len(all) == 0 {
		return ""
	}
	var b strings.Builder
	b.WriteString(p.heading("Off the card"))
	more, replaced, reasons := 0, false, map[string]bool{}
	for n, d := range all {
		replaced = replaced || d.Item != ""
		if n >= mostDepartures && !d.Alarms() {
			more++
			continue
		}
		if why := chain(d.Because); len(d.Because) > 2 && reasons[why] {
			d.Because = []string{sameReason}
		} else {
			reasons[why] = true
		}
		b.WriteString(p.text(2, Departs(d, m)))
	}
	if more > 0 {
		b.WriteString(p.text(2, fmt.Sprintf("And %d more, without allergens that the file states; --json has them all.", more)))
	}
	if replaced {
		b.WriteString(p.text(2, checkLabels))
	}
	return b.String()
}

// Departs is a departure in words: what, instead of what, why, the allergens that it adds, and what sticking to the card costs.
func Departs(d ask.Departure, m Money) string {
	who := capital(d.In)
	if d.Portions {
		who += ", " + plural(max(1, int(math.Round(d.Count))), "portion", "portions") // of the last portion it may be a part
	}
	if d.Batches && d.Count > 1 {
		who += ", " + ask.Batches(d.Count)
	}
	if d.From != d.To {
		who += ", " + weekday(d.From) + " to " + weekday(d.To)
	} else if d.Portions || !strings.Contains(d.In, "'s ") && !strings.Contains(d.In, " of ") {
		who += ", " + weekday(d.From)
	}
	text := who + ": " + departs(d)
	switch why := d.Because; {
	case len(why) == 0:
	case why[0] == sameReason:
		text += ", " + sameReason
	default:
		if why[0] == "out of "+d.For && len(why) > 1 {
			why = why[1:]
		}
		text += ", because " + strings.TrimPrefix(chain(why), "out of ")
	}
	text += "."
	if len(d.Allergens) > 0 {
		text += " ADDS ALLERGENS: " + strings.ToUpper(strings.Join(d.Allergens, ", ")) + "."
	}
	if len(d.May) > 0 {
		text += " MAY CONTAIN: " + strings.ToUpper(strings.Join(d.May, ", ")) + "."
	}
	if len(d.Unstated) > 0 {
		text += " ALLERGENS " + tongue.Voice{}.Unknown(d.Unstated) + "."
	}
	if d.Alarms() && !d.Portions && len(d.Dishes) > 0 {
		text += " In " + list(d.Dishes) + "."
	}
	return text + refusing(d.Refusing, m)
}

// departs is what goes in and what does not: "6 kg pork neck bones instead of shoulder bones", "without 40 g bay leaf".
func departs(d ask.Departure) string {
	switch d.Kind {
	case ask.Substituted:
		text := weighedOut(d.Amount, d.Unit, d.Item, d.Many) + " instead of " + d.For
		if d.Tastes != "" {
			text += " (" + d.Tastes + ")"
		}
		return text
	case ask.RunsShort:
		return weighed(d.Amount, d.Unit) + " short of its " + weighedOut(d.Of, d.Unit, d.For, d.Many)
	}
	return "without " + weighedOut(d.Amount, d.Unit, d.For, d.Many)
}

// refusing is what sticking to the card costs.
func refusing(r *ask.Refusing, m Money) string {
	if r == nil {
		return ""
	}
	money := m.Units(r.Contribution)
	var costs, brings []string
	for _, x := range []struct {
		units int
		text  string
	}{{r.Portions, plural(max(r.Portions, -r.Portions), "portion", "portions")}, {int(money), m.NameUnits(max(money, -money))}} {
		switch {
		case x.units > 0:
			costs = append(costs, x.text)
		case x.units < 0:
			brings = append(brings, x.text)
		}
	}
	switch {
	case costs == nil && brings == nil:
		return " Sticking to the card costs nothing."
	case costs == nil:
		return " Sticking to the card brings " + list(brings) + "."
	case brings == nil:
		return " Sticking to the card costs " + list(costs) + "."
	}
	return " Sticking to the card costs " + list(costs) + " and brings " + list(brings) + "."
}
