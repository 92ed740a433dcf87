package show

// The cooling log: what each limit shows, then reading by reading.

import (
	"fmt"
	"strings"

	"kettletree/menu/clock"
)

// Cooling lays out a judged log.
func Cooling(p Page, a *clock.Cooling) string {
	var b strings.Builder
	head := "By " + a.Code
	if a.Air != nil {
		head += ", in air at " + degrees(*a.Air, a.Scale)
	}
	b.WriteString(p.text(0, head+"."))
	for _, c := range a.Items {
		b.WriteString("\n" + p.heading(c.Item))
		limits := table{columns: words("limit", "recorded", "because")}
		for _, v := range c.Stages {
			limits.add(limitWords(v, a.Scale), strings.ToUpper(v.State), v.Says)
			limits.remark(v.Section)
		}
		b.WriteString(limits.on(p))
		readings := table{columns: append(append(words("read at"), numbers("reading", "°"+a.Scale, "after")...), words("meets or breaks")...)}
		for _, r := range c.Readings {
			after := ""
			if r.Minutes != nil {
				after = lasted(*r.Minutes)
			}
			readings.add(whenOf(r.Time), r.Written, degrees(r.Temperature, ""), after, strings.Join(r.Says, "; "))
		}
		b.WriteString("\n" + readings.on(p))
		for n, j := range c.Projected {
			if n == 0 {
				b.WriteString("\n")
			}
			b.WriteString(p.text(0, capital(j.Says)+"."))
		}
		if len(c.Projected) > 0 {
			b.WriteString(p.text(0, "A projection carries on from the last two readings (Newton's law of cooling). It does not replace a "+
				"reading."))
		} else if c.NoProjection != "" {
			b.WriteString("\n" + p.text(0, "No projection: "+c.NoProjection+"."))
		}
	}
	b.WriteString(notes(p, a.Says))
	b.WriteString("\n" + p.text(0, a.Caution))
	return b.String()
}

// degrees is a temperature to a tenth, with its scale unless that is "".
func degrees(t float64, scale string) string {
	s := strings.TrimSuffix(fmt.Sprintf("%.1f", t), ".0")
	if s == "-0" {
		s = "0"
	}
	if scale == "" {
		return s
	}
	return s + " °" + scale
}

// limitWords says what a limit asks for.
func limitWords(v clock.Verdict, scale string) string {
	text := both(v.From, scale) + " to " + both(v.To, scale)
	if v.Within > 0 {
		text += " within " + lasted(v.Within)
	}
	return text
}

// CoolingSheet has a row for each limit and each reading.
func CoolingSheet(a *clock.Cooling) (s Sheet) {
	s.add("item", "row", "time", "written", "temperature", "scale", "minutes", "limit", "section", "due", "state", "says")
	for _, c := range a.Items {
		for _, r := range c.Readings {
			minutes := ""
			if r.Minutes != nil {
				minutes = fmt.Sprint(*r.Minutes)
			}
			s.add(c.Item, "reading", r.Time, r.Written, r.Temperature, a.Scale, minutes, "", "", "", "", strings.Join(r.Says, "; "))
		}
		for _, v := range c.Stages {
			s.add(c.Item, "limit", "", "", "", a.Scale, v.Within, v.To, v.Section, v.Due, v.State, v.Says)
		}
		for _, j := range c.Projected {
			s.add(c.Item, "projection", j.Time, "", "", a.Scale, j.Minutes, j.To, j.Section, "", "", j.Says)
		}
	}
	return s
}
