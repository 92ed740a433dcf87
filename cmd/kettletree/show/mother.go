package show

// A stock that is carried from batch to batch.

import (
	"fmt"
	"math"
	"strings"

	"kettletree/graph/measure"
	"kettletree/menu/taste"
)

// mother tells of a mother stock: its age and how it drifts, what is in it, and what it takes to begin again.
func mother(p Page, m *taste.Mother) string {
	var b strings.Builder
	head := fmt.Sprintf("Each batch is %s new.", percent(m.Exchanged))
	if m.Age != nil {
		head = fmt.Sprintf("The pot since %s: %s in the log book, on average %s old. %s Of what it held on that day, %s is left.", weekday(m.Since),
			plural(m.Batches, "batch", "batches"), aged(*m.Age), head, percent(*m.First))
	}
	b.WriteString(p.text(0, head))
	for i := range m.Drifts {
		b.WriteString(p.text(0, drifts(&m.Drifts[i])))
	}
	if len(m.Parts) > 0 {
		t := &table{columns: append(words("in the pot"), numbers("went in", "still there", "share", "from the last 7 days")...)}
		for _, part := range m.Parts {
			t.add(part.Item, threeDigits(part.In)+" "+part.Unit, threeDigits(part.There)+" "+part.Unit, percent(part.Share), percent(part.Week))
		}
		b.WriteString("\n" + t.on(p) + "\n")
	}
	var cooked []string
	for _, c := range m.Cooked {
		text := threeDigits(c.In) + " " + c.Unit + " " + c.Item
		if c.Week > 0 && c.Week < c.In {
			text += fmt.Sprintf(" (%s %s of it in the last 7 days)", threeDigits(c.Week), c.Unit)
		}
		cooked = append(cooked, text)
	}
	if cooked != nil {
		b.WriteString(p.text(0, "Cooked in it and taken out again: "+measure.FormatList(cooked)+"."))
	}
	var needs []string
	for _, l := range m.Restart.Takes {
		needs = append(needs, measure.FormatNumber(l.Amount)+" "+l.Unit+" "+l.Item)
	}
	text := fmt.Sprintf("To begin it again: %s, for %s %s after %s.", measure.FormatList(needs), measure.FormatNumber(m.Restart.Makes), m.Unit,
		measure.FormatDuration(int(math.Round(60*m.Restart.Hours))))
	if m.Restart.ToTaste {
		text += " The pot is only topped up, so its card does not say how much a whole one needs of what seasons it: that is the card's, for one batch. Taste, and add."
	}
	if len(m.Restart.Waits) > 0 {
		text += " Until then these wait: " + measure.FormatList(m.Restart.Waits) + "."
	}
	if m.Restart.Batches > 0 {
		text += fmt.Sprintf(" It tastes as before after %s", plural(m.Restart.Batches, "batch", "batches"))
		if m.Restart.Days > 0 {
			text += ", about " + plural(m.Restart.Days, "day", "days")
		}
		text += ", when less than a twentieth of the difference is left."
	}
	b.WriteString(p.text(0, text))
	return b.String()
}

// drifts says how a measure moves by day.
func drifts(d *taste.MotherDrift) string {
	if !d.Plain() {
		return fmt.Sprintf("%s: no drift that chance would not bring, over %s.", capital(d.Measure), plural(d.Batches, "batch", "batches"))
	}
	way := "rises"
	if d.ByDay < 0 {
		way = "falls"
	}
	text := fmt.Sprintf("%s %s by %s a day (%s; by chance %d in 1,000)", capital(d.Measure), way, d.Said(math.Abs(significant(d.ByDay))), plural(d.Batches, "batch", "batches"),
		int(math.Ceil(1000*d.Chance)))
	if d.Days != nil {
		return text + fmt.Sprintf(": at this pace it leaves its aim in %s.", plural(max(1, int(*d.Days)), "day", "days"))
	}
	return text + "."
}

// aged is an age: "9 h" below two days, else in days.
func aged(days float64) string {
	if days < 2 {
		return measure.FormatNumber(math.Round(24*days)) + " h"
	}
	return measure.FormatNumber(math.Round(10*days)/10) + " days"
}

func threeDigits(v float64) string { return measure.FormatNumber(round3(v)) }

// significant keeps two digits, for slopes are small.
func significant(v float64) float64 {
	if v == 0 {
		return 0
	}
	unit := math.Pow(10, math.Floor(math.Log10(math.Abs(v)))-1)
	return math.Round(v/unit) * unit
}

func round3(v float64) float64 {
	if v == 0 {
		return 0
	}
	unit := math.Pow(10, max(-3, math.Floor(math.Log10(math.Abs(v)))-2))
	return math.Round(v/unit) * unit
}
