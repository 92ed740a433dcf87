package taste

// What is said of a measure.

import (
	"fmt"
	"strings"

	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
)

// Said is a value as it is said: "4 of 5".
func (m *Measured) Said(v float64) string { return m.of.Value(v) }

// Kind is the measure as the kitchen file has it.
func (m *Measured) Kind() *kitchen.Measure { return m.of }

// AimText is the aim as it is said: "3 to 4 of 5"; "" where there is none.
func (m *Measured) AimText() string { return m.of.AimText() }

// AimFigures is the aim without its unit: "3 to 4"; "" where there is none.
func (m *Measured) AimFigures() string {
	switch {
	case m.Aim == nil:
		return ""
	case m.Aim.Low == m.Aim.High:
		return measure.FormatNumber(m.Aim.High)
	}
	return measure.FormatNumber(m.Aim.Low) + " to " + measure.FormatNumber(m.Aim.High)
}

// Clause says what a measure goes with, behind "is higher": "the more marrow bones go in".
func (g *Goes) Clause() string {
	form, puts := g.ClauseForm()
	args := make([]any, len(puts))
	for i, p := range puts {
		args[i] = p
	}
	return fmt.Sprintf(form, args...)
}

// ClauseForm is the clause as a form, and what is put into it.
func (g *Goes) ClauseForm() (form string, puts []string) {
	ends := func(tail string) bool { return strings.HasSuffix(g.Thing, tail) }
	item := func(form, tail string) (string, []string) { return form, []string{strings.TrimSuffix(g.Thing, tail)} }
	switch {
	case g.Word != "" && ends(logbook.WentIn):
		return "where %[1]s goes in for %[2]s", []string{g.Word, strings.TrimSuffix(g.Thing, logbook.WentIn)}
	case g.Word != "" && ends(" from"):
		return "with %[1]s from %[2]s", []string{strings.TrimSuffix(g.Thing, " from"), g.Word}
	case g.Word != "":
		return "with %[1]s %[2]s", []string{g.Thing, g.Word}
	case ends(logbook.Drawn) && g.Unit == "g h/L":
		return item("the more is drawn from %[1]s", logbook.Drawn)
	case ends(" in at"):
		return item("the later %[1]s goes in", " in at")
	case ends(" in for"):
		return item("the longer %[1]s stays in", " in for")
	case ends(" out") && g.Unit == ofTheCard:
		return item("the more %[1]s comes out", " out")
	case strings.HasPrefix(g.Thing, "age of "):
		return "the older %[1]s is when it goes in", []string{strings.TrimPrefix(g.Thing, "age of ")}
	case g.Thing == "lit at":
		return "the later it is lit", nil
	case g.Thing == "time on the fire":
		return "the longer it is on the fire", nil
	case g.Thing == "batches":
		return "the more batches are made at once", nil
	case g.Thing == "date":
		return "as time goes on", nil
	case g.Unit == ofTheCard:
		return item("the more %[1]s goes in", "")
	case g.Unit == "min":
		return item("with more minutes %[1]s", "")
	case g.Unit == "h":
		return item("with more hours %[1]s", "")
	}
	return item("with more %[1]s", "")
}
