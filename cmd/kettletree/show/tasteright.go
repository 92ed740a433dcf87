package show

// What puts the last batch right.

import (
	"fmt"
	"math"
	"strings"

	"kettletree/graph/measure"
	"kettletree/menu/taste"
)

// RightedAll says what puts the measures right, one by one; where water puts one right and steam another, neither is said.
func RightedAll(a *taste.Answer) (says []string) {
	var strong, weak []string
	for _, r := range a.Right {
		switch r.Do {
		case "water":
			strong = append(strong, r.Measure)
		case "steam":
			weak = append(weak, r.Measure)
		}
		says = append(says, capital(Righted(r)))
	}
	blend := Blended(a.Blend)
	if strong != nil && weak != nil {
		says = []string{fmt.Sprintf("Neither water nor boiling puts it right: water would thin the %s further, boiling would bring up the %s.",
			measure.FormatList(weak), measure.FormatList(strong))}
		if blend == "" {
			says[0] += fmt.Sprintf(" Mix it with a batch that lacks %s, or leave %s out of what is made of it.", measure.FormatList(strong), measure.FormatList(strong))
		}
		blend = strings.TrimPrefix(blend, "Or ")
	}
	if blend != "" {
		says = append(says, capital(blend))
	}
	return says
}

// Righted says what puts a measure right.
func Righted(r taste.Righting) string {
	how := "by the card"
	if r.Weighed {
		how = "as measured"
	}
	then := fmt.Sprintf(" (%s %s %s, %s)", tenths(r.Amount), r.In, r.Of, how)
	switch r.Do {
	case "water":
		text := fmt.Sprintf("%s: add %s %s water or unsalted stock%s; then taste again.", r.Measure, measure.FormatNumber(r.Much), r.In, then)
		var as []string
		for _, u := range r.Use {
			as = append(as, fmt.Sprintf("%s (leave out %s of its %s %s %s)", u.For, measure.FormatNumber(u.LeaveOut), measure.FormatNumber(u.Of), u.In, u.Salt))
		}
		if as != nil {
			text += " Or use it as it is for " + measure.FormatList(as) + "."
		}
		return text
	case "salt":
		return fmt.Sprintf("%s: add %s %s %s%s; then taste again.", r.Measure, measure.FormatNumber(r.Much), r.MuchIn, r.Measure, then)
	}
	text := fmt.Sprintf("%s: boil off %s %s%s", r.Measure, measure.FormatNumber(r.Much), r.In, then)
	if r.Minutes != nil {
		text += fmt.Sprintf(", about %s at this pot's %s %s/h", measure.FormatDuration(max(5, int(5*math.Round(*r.Minutes/5)))), tenths(*r.Rate), r.In)
		if text += " by the card"; r.Dips > 0 {
			text = strings.TrimSuffix(text, " by the card") + " by " + plural(r.Dips, "pair", "pairs") + " of dips"
		}
	}
	return text + "; then measure again."
}

// Blended says what to mix; "" where nothing is to be mixed.
func Blended(b *taste.Blend) string {
	if b == nil {
		return ""
	}
	var with, reads []string
	for n, part := range b.Parts {
		switch amount := tenths(part.Amount) + " " + b.In; {
		case n == 0:
		case part.Day == "":
			with = append(with, amount+" water")
		default:
			with = append(with, amount+" of "+weekday(part.Day))
		}
	}
	for _, r := range b.Reads {
		figure := measure.FormatNumber(math.Round(r.Value*100) / 100)
		if r.Unit != "%" {
			figure += " "
		}
		reads = append(reads, strings.TrimSpace(r.Measure+" "+figure+r.Unit))
	}
	text := fmt.Sprintf("Or blend %s %s of it with %s: %s %s, %s.", tenths(b.Parts[0].Amount), b.In, measure.FormatList(with), tenths(b.Makes), b.In, strings.Join(reads, ", "))
	text += " It keeps the date of its oldest part."
	if b.Left >= 0.5 {
		text += fmt.Sprintf(" %s %s are left as they are.", tenths(b.Left), b.In)
	}
	return text
}

func tenths(v float64) string { return measure.FormatNumber(math.Round(v*10) / 10) }
