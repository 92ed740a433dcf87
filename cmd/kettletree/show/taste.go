package show

// How batches came out, and why.

import (
	"fmt"
	"math"
	"strings"

	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
	"kettletree/menu/taste"
)

// mostPhotosNamed is how many photos are named.
const mostPhotosNamed = 4

// mostGoes is how many things that go with a measure are named.
const mostGoes = 5

// Taste lays out what was measured: first what to do about the last batch, then each measure, then what goes with what, then what to try.
func Taste(p Page, a *taste.Answer) string {
	var b strings.Builder
	if a.Batches == 0 {
		b.WriteString(p.text(0, fmt.Sprintf("Nothing was measured of %s yet. The next batch: kettletree log measured %s: ...", a.Of, a.Of)))
		if a.Mother != nil {
			b.WriteString("\n" + mother(p, a.Mother))
		}
		return b.String()
	}
	b.WriteString(p.text(0, tasteHead(a)))
	for _, text := range RightedAll(a) {
		b.WriteString(p.text(0, text))
	}
	if a.Under != nil {
		b.WriteString("\n" + trialled(p, a.Under))
	}
	t := &table{columns: append(words("measure"), numbers("last", "aim", "mean", "limits", "batches")...)}
	for i := range a.Measures {
		tasteRow(p, t, &a.Measures[i])
	}
	b.WriteString("\n" + t.on(p))
	b.WriteString("\n" + tasteGoes(p, a))
	if a.Mother != nil {
		b.WriteString("\n" + mother(p, a.Mother))
	}
	switch {
	case a.Trial == nil || a.Under != nil && !a.Asked():
	case a.Asked():
		b.WriteString("\n" + trialTable(p, a.Trial))
	case !anyFound(a):
		b.WriteString(p.text(0, fmt.Sprintf("Or find out in eight batches: kettletree taste %q --vary %q --vary %q.", a.Of, a.Trial.Things[0].Thing, a.Trial.Things[1].Thing)))
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
		b.WriteString("\n" + p.text(0, text+"."))
	}
	for n, note := range a.Notes {
		if n == 0 {
			b.WriteString("\n")
		}
		b.WriteString(p.text(0, weekday(note.Day)+": "+note.Text))
	}
	return b.String()
}

// tasteHead says how the last one came out.
func tasteHead(a *taste.Answer) string {
	var off, plain []string
	aims := false
	for i := range a.Measures {
		m := &a.Measures[i]
		if m.Handling || m.Last == nil || m.Points[len(m.Points)-1].Day != a.Last {
			continue
		}
		if m.Aim == nil || *m.Last >= m.Aim.Low && *m.Last <= m.Aim.High {
			aims = aims || m.Aim != nil
			plain = append(plain, m.Name+" "+m.Said(*m.Last))
			continue
		}
		side := "below"
		if *m.Last > m.Aim.High {
			side = "above"
		}
		off = append(off, fmt.Sprintf("%s %s is %s its aim, %s", m.Name, m.Said(*m.Last), side, m.AimText()))
	}
	head := capital(a.Of) + " of " + weekday(a.Last) + ": "
	switch {
	case len(off) == 0 && aims:
		return head + "as it should be: " + strings.Join(plain, ", ") + "."
	case len(off) == 0:
		return head + strings.Join(plain, ", ") + "; the kitchen file gives no aim."
	}
	return head + strings.Join(off, "; ") + "."
}

func tasteRow(p Page, t *table, m *taste.Measured) {
	figure := func(v *float64) string {
		if v == nil {
			return ""
		}
		return measure.FormatNumber(math.Round(*v*100) / 100)
	}
	name, limits, mean := m.Name, "", figure(m.Mean)
	if m.Unit != "" {
		name += ", " + m.Unit
	}
	if m.Spread != nil {
		mean = p.spread(math.Round(*m.Mean*100)/100, *m.Spread)
	}
	if m.Limits != nil {
		limits = figure(new(max(0, m.Limits.Lower))) + " to " + figure(&m.Limits.Upper)
	}
	t.add(name, figure(m.Last), m.AimFigures(), mean, limits, count(m.Batches))
	if m.Outside > 0 {
		t.remark(fmt.Sprintf("%s outside the aim", plural(m.Outside, "batch", "batches")))
	}
	for _, pt := range m.Points {
		if pt.Side == "" {
			continue
		}
		side := map[string]string{logbook.Above: "above its limits", logbook.Below: "below its limits", logbook.Jump: "too far from the one before"}[pt.Side]
		why := "nothing else was unusual, as far as it was written"
		if len(pt.Unusual) > 0 {
			why = strings.Join(pt.Unusual, "; ")
		}
		t.remark(fmt.Sprintf("%s: %s, %s; %s", weekday(pt.Day), m.Said(pt.Value), side, why))
	}
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

// tasteGoes says what goes with what, or that nothing can be told.
func tasteGoes(p Page, a *taste.Answer) string {
	var b strings.Builder
	switch {
	case a.Batches < a.Enough:
		return p.text(0, fmt.Sprintf("Not enough to tell why: %s measured, and it takes %d. Measure each batch, and log what goes in and when.",
			plural(a.Batches, "batch", "batches"), a.Enough))
	case a.Held == 0:
		return p.text(0, "Nothing can be told of why: the log book knows nothing that was not the same for nearly all batches. Log what is weighed in, and when.")
	case !anyFound(a):
		return p.text(0, fmt.Sprintf("Nothing explains it: of %s held against what was measured, none goes with it more than chance would.", plural(a.Held, "thing", "things")))
	}
	for _, m := range a.Measures {
		told := 0
		for _, g := range m.Goes {
			if told++; !g.Found || told > mostGoes {
				break
			}
			b.WriteString(p.text(0, capital(GoesWith(m.Name, g))))
		}
	}
	b.WriteString(p.text(0, fmt.Sprintf("Of %s held against what was measured. What goes together need not be the cause: a trial tells.", plural(a.Held, "thing", "things"))))
	return b.String()
}

// GoesWith says what goes with a measure.
func GoesWith(name string, g taste.Goes) string {
	higher, odds := "higher", "less than 1 in 1,000"
	if g.Rank < 0 {
		higher = "lower"
	}
	if g.Chance >= 0.001 {
		odds = fmt.Sprintf("%d in 1,000", int(math.Ceil(1000*g.Chance)))
	}
	return fmt.Sprintf("%s is %s %s (%d batches, rank correlation %+.2f; by chance %s).", name, higher, g.Clause(), g.Batches, g.Rank, odds)
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
