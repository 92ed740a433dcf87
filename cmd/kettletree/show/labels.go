package show

// Labels: as a table, and as a page to print.

import (
	"bytes"
	"cmp"
	_ "embed"
	"html/template"
	"strings"
	"time"

	"kettletree/graph/measure"
	"kettletree/menu/clock"
)

// Labels lays the labels out as a table, day by day.
func Labels(p Page, a *clock.Labels) string {
	var b strings.Builder
	t := table{columns: words("made", "item", "amount", "use by", "allergens", "lot")}
	day := ""
	for _, l := range a.Labels {
		if l.Made != day {
			day = l.Made
			t.heading(weekday(day))
		}
		t.add(labelTime(l), l.Item, labelAmount(l), lastDay(l), labelAllergens(l), cmp.Or(l.Lot, blankLot))
		t.remark(brief(a, capital(l.Because)))
		if l.From != "" {
			t.remark("Day 1 is " + labelDay(l.DayOne) + ", from " + l.From)
		}
		if cool := coolWords(l); cool != "" {
			t.remark(brief(a, cool))
		}
	}
	if len(a.Labels) == 0 {
		b.WriteString(p.text(0, "Nothing is made that day."))
	}
	b.WriteString(t.on(p))
	b.WriteString(notes(p, a.Says))
	b.WriteString("\n" + p.text(0, a.Code+". "+a.Caution))
	return b.String()
}

// labelDay is a date as a label shows it: "Tue 24 Nov".
func labelDay(date string) string {
	t, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return date
	}
	return measure.FormatDay(t)
}

// lastDay is until when a lot may be used.
func lastDay(l clock.Label) string {
	switch {
	case l.UseBy != nil:
		return labelDay(*l.UseBy)
	case l.Frozen:
		return "frozen"
	}
	return "NOT KNOWN"
}

func labelAllergens(l clock.Label) string {
	return allergens(strings.ToUpper(strings.Join(l.Allergens, ", ")), l.Unstated)
}

// labelTime is when a lot is made.
func labelTime(l clock.Label) string {
	if l.ToOrder {
		return "to order"
	}
	return l.At
}

// blankLot is what stands for the lot of what is not written down yet.
const blankLot = "____"

// labelAmount is how much there is of a lot.
func labelAmount(l clock.Label) string {
	text := amount(l.Quantity, l.Unit)
	if l.Card {
		text += " by the card"
	}
	return text
}

// brief leaves the title of the code out where it stands on the same page.
func brief(a *clock.Labels, text string) string { return strings.ReplaceAll(text, a.Code+", ", "") }

// coolWords say what limits on cooling there are, and when they are due.
func coolWords(l clock.Label) string {
	var parts []string
	for _, c := range l.Cool {
		text := degrees(c.From, c.Scale) + " to " + degrees(c.To, c.Scale) + " within " + lasted(c.Within)
		if c.By != nil {
			text += ", by " + (*c.By)[11:] + " if cooling begins at " + l.At
		}
		parts = append(parts, text+" ("+c.Section+")")
	}
	if len(parts) == 0 {
		return ""
	}
	return "To cool: " + strings.Join(parts, "; ")
}

// LabelSheet has a row for each label.
func LabelSheet(a *clock.Labels) (s Sheet) {
	s.add("item", "lot", "quantity", "unit", "by_card", "made", "at", "to_order", "day_one", "day_one_of", "use_by", "because", "frozen", "days_left_when_thawed",
		"allergens", "allergens_unstated")
	for _, l := range a.Labels {
		left := ""
		if l.LeftDays != nil {
			left = count(*l.LeftDays)
		}
		s.add(l.Item, l.Lot, l.Quantity, l.Unit, l.Card, l.Made, l.At, l.ToOrder, l.DayOne, l.From, l.UseBy, l.Because, l.Frozen, left,
			strings.Join(l.Allergens, "; "), strings.Join(l.Unstated, "; "))
	}
	return s
}

//go:embed page/labels.html
var labelHTML string

var labelPage = template.Must(template.New("labels").Parse(labelHTML))

// printedLabel is a label in words.
type printedLabel struct {
	Item, Amount, Lot, Made, DayOne, Last, Allergens, Unstated, Because string
	Cool                                                                string
}

// LabelPage is one HTML page with a label for each lot, which needs nothing else and prints without a browser's help.
func LabelPage(a *clock.Labels) ([]byte, error) {
	page := struct {
		Kitchen, Code, Caution string
		Says                   []string
		Labels                 []printedLabel
	}{a.Kitchen, a.Code, a.Caution, nil, nil}
	for _, s := range a.Says {
		page.Says = append(page.Says, capital(s)+".")
	}
	for _, l := range a.Labels {
		v := printedLabel{Item: l.Item, Amount: labelAmount(l), Lot: cmp.Or(l.Lot, "________"), Made: strings.TrimSpace(labelDay(l.Made) + " " + labelTime(l)),
			Because: capital(l.Because), Cool: coolWords(l), Last: "Use by " + lastDay(l)}
		if l.UseBy != nil {
			v.Last += ", end of day"
		}
		if l.Frozen {
			v.Last = "Frozen; " + strings.ToLower(v.Last[:1]) + v.Last[1:]
			if l.LeftDays != nil {
				v.Last += "; once thawed " + plural(*l.LeftDays, "day", "days") + ", that day counted"
			}
			if l.UseBy == nil {
				v.Last = strings.Replace(v.Last, "; use by frozen", "", 1)
			}
		}
		if l.From != "" {
			v.DayOne = "Day 1: " + labelDay(l.DayOne) + " (" + l.From + ")"
		}
		switch {
		case len(l.Allergens) == 0 && len(l.Unstated) == 0:
			v.Allergens = "Allergens: " + noAllergens
		case len(l.Allergens) > 0:
			v.Allergens = "ALLERGENS: " + strings.ToUpper(strings.Join(l.Allergens, ", "))
		}
		if len(l.Unstated) > 0 {
			v.Unstated = "Allergens not stated for " + list(l.Unstated)
		}
		page.Labels = append(page.Labels, v)
	}
	var b bytes.Buffer
	err := labelPage.Execute(&b, page)
	return b.Bytes(), err
}
