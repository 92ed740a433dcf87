package show

// The cooling log: what each limit shows, then reading by reading.

import (
	"fmt"
	"strings"

	"kettletree/menu/clock"
	"kettletree/menu/tongue"
)

// Cooling lays out a judged log.
func Cooling(p Page, a *clock.Cooling) string {
	var b strings.Builder
	v := p.Voice
	head := v.Say("By %[1]s.", a.Code)
	if a.Air != nil {
		head = v.Say("By %[1]s, in air at %[2]s.", a.Code, v.Figure(degrees(*a.Air, a.Scale)))
	}
	b.WriteString(p.text(0, head))
	for _, c := range a.Items {
		b.WriteString("\n" + p.heading(c.Item))
		limits := table{columns: words(v.Word("limit"), v.Word("recorded"), v.Word("because"))}
		for _, s := range c.Stages {
			limits.add(limitWords(v, s, a.Scale), stateWord(v, s.State), s.Says)
			limits.remark(s.Section)
		}
		b.WriteString(limits.on(p))
		if len(c.Readings) == 0 {
			continue
		}
		readings := table{columns: append(append(words(v.Word("read at")), numbers(v.Word("reading"), "°"+a.Scale, v.Word("after"))...), words(v.Word("meets or breaks"))...)}
		for _, r := range c.Readings {
			after := ""
			if r.Minutes != nil {
				after = v.Lasts(*r.Minutes)
			}
			readings.add(a.Moment(v, r.At), v.Figure(r.Written), v.Figure(degrees(r.Temperature, "")), after, strings.Join(r.Says, v.Say("; ")))
		}
		b.WriteString("\n" + readings.on(p))
		for n, j := range c.Projected {
			if n == 0 {
				b.WriteString("\n")
			}
			b.WriteString(p.text(0, capital(j.Says)+v.Say(".")))
		}
		if len(c.Projected) > 0 {
			b.WriteString(p.text(0, v.Say("A projection carries on from the last two readings (Newton's law of cooling). It does not replace a reading.")))
		} else if c.NoProjection != "" {
			b.WriteString("\n" + p.text(0, v.Say("No projection: %[1]s.", c.NoProjection)))
		}
	}
	b.WriteString(notes(p, a.Says))
	b.WriteString("\n" + p.text(0, a.Caution))
	if !v.English() {
		b.WriteString(p.text(0, v.Say(tongue.Unreviewed)))
	}
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
func limitWords(v tongue.Voice, s clock.Verdict, scale string) string {
	from, to := v.Figure(both(s.From, scale)), v.Figure(both(s.To, scale))
	if s.Within > 0 {
		return v.Say("%[1]s to %[2]s within %[3]s", from, to, v.Lasts(s.Within))
	}
	return v.Say("%[1]s to %[2]s", from, to)
}

// stateWord is what is recorded of a limit, in capitals: it must be seen.
func stateWord(v tongue.Voice, state string) string { return v.Word(strings.ToUpper(state)) }

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
