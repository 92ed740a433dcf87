package show

// How batches came out, and why.

import (
	"fmt"
	"math"
	"strings"
	"time"

	"kettletree/menu/kitchen"
	"kettletree/menu/taste"
)

// mostPhotosNamed is how many photos are named.
const mostPhotosNamed = 4

// Taste lays out what was measured: first what to do about the last batch, then each measure, then what goes with what, then what to try.
func Taste(p Page, a *taste.Answer) string {
	var b strings.Builder
	asOf, _ := time.Parse(time.DateTime, a.AsOf) // it was written by us
	t := Teller{Year: asOf.Year()}
	write := func(says ...string) {
		for _, one := range says {
			b.WriteString(p.text(0, one))
		}
	}
	if a.Batches == 0 {
		write(fmt.Sprintf("Nothing was measured of %s yet. The next batch: kettletree log measured %s: ...", a.Of, a.Of))
		if a.Mother != nil {
			b.WriteString("\n" + mother(p, t, a.Mother))
		}
		return b.String()
	}
	write(t.Head(a))
	write(t.Righted(a)...)
	if a.Mother != nil {
		b.WriteString("\n" + mother(p, t, a.Mother))
	}
	if a.Under != nil {
		b.WriteString("\n")
		write(t.Trialled(a.Under)...)
	}
	rest := false
	measures := &table{columns: append(words("measure"), numbers("last", "aim", "mean", "limits", "batches")...)}
	for i := range a.Measures {
		m := t.Measured(p, a, i)
		measures.add(m.Name, m.Last, m.Aim, m.Mean, m.Limits, m.Batches)
		for _, one := range m.Says {
			measures.remark(one)
		}
		if m.Rest != "" {
			measures.remark(m.Rest + ".")
			rest = true
		}
	}
	b.WriteString("\n" + measures.on(p) + "\n")
	if rest {
		write("--json has all of them.")
	}
	write(t.Why(a)...)
	switch {
	case a.Trial == nil || a.Under != nil && !a.Asked():
	case a.Asked():
		b.WriteString("\n" + trialTable(p, a.Trial))
	case !anyFound(a):
		write(fmt.Sprintf("Or find out in eight batches: kettletree taste %q --vary %q --vary %q.", a.Of, a.Trial.Things[0].Thing, a.Trial.Things[1].Thing))
	}
	if len(a.Photos) > 0 {
		names := []string{}
		for _, one := range a.Photos[:min(mostPhotosNamed, len(a.Photos))] {
			names = append(names, one.File)
		}
		text := "Photos: " + strings.Join(names, ", ")
		if n := len(a.Photos) - len(names); n > 0 {
			text += fmt.Sprintf(" and %d more", n)
		}
		b.WriteString("\n")
		write(text + ".")
	}
	if notes := t.Notes(a); notes != nil {
		b.WriteString("\n")
		write(notes...)
	}
	return b.String()
}

func anyFound(a *taste.Answer) bool {
	for _, m := range a.Measures {
		for _, g := range m.Goes {
			if g.Found {
				return true
			}
		}
	}
	return false
}

// TasteSheet has a row for each measured value.
func TasteSheet(a *taste.Answer) (s Sheet) {
	s.add("of", "day", "entry", "measure", "value", "unit", "aim_low", "aim_high", "side")
	for _, m := range a.Measures {
		aim := kitchen.Range{Low: math.NaN()}
		if m.Aim != nil {
			aim = *m.Aim
		}
		for _, pt := range m.Points {
			var low, high *float64
			if m.Aim != nil {
				low, high = &aim.Low, &aim.High
			}
			s.add(a.Of, pt.Day, int(pt.Entry), m.Name, pt.Value, m.Unit, low, high, pt.Side)
		}
	}
	return s
}
