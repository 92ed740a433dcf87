package show

// A stock that is carried from batch to batch.

import (
	"math"
	"strings"

	"kettletree/graph/measure"
	"kettletree/menu/taste"
)

// mother lays out what is said of a mother stock.
func mother(p Page, say Teller, m *taste.Mother) string {
	said := say.Mother(m)
	var b strings.Builder
	for _, one := range said.Says {
		b.WriteString(p.text(0, one))
	}
	if len(said.Parts) > 0 {
		t := &table{columns: append(words("in the pot"), numbers("went in", "still there", "share", "from the last 7 days")...)}
		for _, part := range said.Parts {
			t.add(part[:]...)
		}
		b.WriteString("\n" + t.on(p) + "\n")
	}
	for _, one := range said.Then {
		b.WriteString(p.text(0, one))
	}
	return b.String()
}

// MotherSaid tells of a mother stock: its age and how it drifts, what is in it, and what it takes to begin again.
type MotherSaid struct {
	Says  []string
	Parts [][5]string // what went in, how much of it, how much is still there, the share of that, and the share of the last week in it
	Then  []string
}

// Mother says it.
func (t Teller) Mother(m *taste.Mother) *MotherSaid {
	s := &MotherSaid{}
	head := t.Say("Each batch is %[1]s new.", t.Figure(percent(m.Exchanged)))
	switch {
	case m.Age != nil && m.Again:
		head = t.Sentences(t.Say("The pot was begun again on %[1]s: %[2]s since, on average %[3]s old.", t.day(m.Since), t.batches(m.Batches), t.aged(*m.Age)), head)
		if m.Left > 0 {
			head = t.Sentences(head, t.Say("It tastes as before after %[1]s more.", t.batches(m.Left)))
		}
	case m.Age != nil:
		head = t.Sentences(t.Say("The pot since %[1]s: %[2]s in the log book, on average %[3]s old.", t.day(m.Since), t.batches(m.Batches), t.aged(*m.Age)), head,
			t.Say("Of what it held on that day, %[1]s is left.", t.Figure(percent(*m.First))))
	}
	s.Says = append(s.Says, head)
	for i := range m.Drifts {
		s.Says = append(s.Says, t.drifts(&m.Drifts[i]))
	}
	for _, part := range m.Parts {
		s.Parts = append(s.Parts, [5]string{t.name(part.Item), t.Amount(threeDigits(part.In) + " " + part.Unit), t.Amount(threeDigits(part.There) + " " + part.Unit),
			t.Figure(percent(part.Share)), t.Figure(percent(part.Week))})
	}
	var cooked []string
	for _, c := range m.Cooked {
		text := t.Amount(threeDigits(c.In)+" "+c.Unit) + " " + t.name(c.Item)
		if c.Week > 0 && c.Week < c.In {
			text = t.Say("%[1]s (%[2]s of it in the last 7 days)", text, t.Amount(threeDigits(c.Week)+" "+c.Unit))
		}
		cooked = append(cooked, text)
	}
	if cooked != nil {
		s.Then = append(s.Then, t.Say("Cooked in it and taken out again: %[1]s.", t.list(cooked)))
	}
	s.Then = append(s.Then, t.restart(m))
	return s
}

// restart says what it takes to begin again.
func (t Teller) restart(m *taste.Mother) string {
	var needs []string
	for _, l := range m.Restart.Takes {
		needs = append(needs, t.Amount(measure.FormatNumber(l.Amount)+" "+l.Unit)+" "+t.name(l.Item))
	}
	says := []string{t.Say("To begin it again: %[1]s, for %[2]s after %[3]s.", t.list(needs), t.Amount(measure.FormatNumber(m.Restart.Makes)+" "+m.Unit), t.Lasts(int(math.Round(60*m.Restart.Hours))))}
	if m.Restart.ToTaste {
		says = append(says, t.Say("The pot is only topped up, so its card does not say how much a whole one needs of what seasons it: that is the card's, for one batch. Taste, and add."))
	}
	if len(m.Restart.Waits) > 0 {
		says = append(says, t.Say("Until then these wait: %[1]s.", t.list(t.names(m.Restart.Waits))))
	}
	switch {
	case m.Restart.Batches > 0 && m.Restart.Days > 0:
		says = append(says, t.Say("It tastes as before after %[1]s, about %[2]s, when less than a twentieth of the difference is left.", t.batches(m.Restart.Batches), t.Days(m.Restart.Days)))
	case m.Restart.Batches > 0:
		says = append(says, t.Say("It tastes as before after %[1]s, when less than a twentieth of the difference is left.", t.batches(m.Restart.Batches)))
	}
	return t.Sentences(says...)
}

// wholeDays are the days that are whole before something happens, one at the least. What a slope is rounded by takes none off: 35 are not 34.
func wholeDays(days float64) int {
	const rounding = 1e-6
	return max(1, int(days+rounding))
}

// drifts says how a measure moves by day.
func (t Teller) drifts(d *taste.MotherDrift) string {
	name := capital(t.name(d.Measure))
	if !d.Plain() {
		return t.Say("%[1]s: no drift that chance would not bring, over %[2]s.", name, t.batches(d.Batches))
	}
	form := "%[1]s rises by %[2]s a day (%[3]s; by chance %[4]s in 1,000)"
	if d.ByDay < 0 {
		form = "%[1]s falls by %[2]s a day (%[3]s; by chance %[4]s in 1,000)"
	}
	text := t.Say(form, name, t.value(d.Kind(), math.Abs(significant(d.ByDay))), t.batches(d.Batches), count(int(math.Ceil(1000*d.Chance))))
	if d.Days != nil {
		return t.Say("%[1]s: at this pace it leaves its aim in %[2]s.", text, t.Days(wholeDays(*d.Days)))
	}
	return text + t.Say(".")
}

// aged is an age: "9 h" below two days, else in days.
func (t Teller) aged(days float64) string {
	if days < 2 {
		return t.of(math.Round(24*days), "h")
	}
	return t.of(math.Round(10*days)/10, "days")
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
