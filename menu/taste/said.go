package taste

// What is said of a measure.

import (
	"strings"

	"kettletree/graph/measure"
)

// Said is a value as it is said: "4 of 5".
func (m *Measured) Said(v float64) string { return m.of.Value(v) }

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
	cut := func(tail string) (string, bool) { return strings.CutSuffix(g.Thing, tail) }
	if g.Word != "" {
		return "with " + g.Thing + " " + g.Word
	}
	if item, is := cut(" in at"); is {
		return "the later " + item + " goes in"
	}
	if item, is := cut(" in for"); is {
		return "the longer " + item + " stays in"
	}
	if item, is := cut(" out"); is && g.Unit == "of the card" {
		return "the more " + item + " comes out"
	}
	if item, is := strings.CutPrefix(g.Thing, "age of "); is {
		return "the older " + item + " is when it goes in"
	}
	switch {
	case g.Thing == "lit at":
		return "the later it is lit"
	case g.Thing == "time on the fire":
		return "the longer it is on the fire"
	case g.Thing == "batches":
		return "the more batches are made at once"
	case g.Thing == "date":
		return "as time goes on"
	case g.Unit == "of the card":
		return "the more " + g.Thing + " goes in"
	case g.Unit == "min":
		return "with more minutes " + g.Thing
	case g.Unit == "h":
		return "with more hours " + g.Thing
	}
	return "with more " + g.Thing
}
