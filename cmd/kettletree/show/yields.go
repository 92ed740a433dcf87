package show

// Learned yields, and what they would change in the kitchen file.

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
)

// spread is a figure with how far it strays, of which there may be nothing.
func (p Page) spread(figure, spread float64) string {
	text := measure.FormatNumber(figure)
	if spread > 0 {
		text += " " + p.plusMinus() + " " + kitchen.FormatSpread(spread)
	}
	return text
}

func (p Page) plusMinus() string {
	if p.Plain {
		return "+-"
	}
	return "±"
}

// Yields lays out what was learned, step by step, and below each yield what is to be said about it.
func Yields(p Page, a *logbook.Yields) string {
	t := &table{columns: append(words("gives"), numbers("batches", "learned", "file", "off", "trend", "last")...)}
	for _, s := range a.Steps {
		t.heading(stepHeading(s))
		for _, y := range s.Outputs {
			yieldRow(p, t, &y)
		}
	}
	var b strings.Builder
	if len(a.Steps) == 0 {
		b.WriteString(p.text(0, "No batch is in the log book"+since(a)+"."))
	} else {
		b.WriteString(p.text(0, "For one batch of the kitchen file, by the batches that were measured"+since(a)+
			": mean "+p.plusMinus()+" one standard deviation."))
		b.WriteString("\n" + t.on(p))
	}
	for n, u := range a.Unused {
		if n == 0 {
			b.WriteString("\n")
		}
		b.WriteString(p.text(0, fmt.Sprintf("Nothing learned from %s (latest: entry %d): %s.",
			plural(u.Entries, "entry", "entries"), u.Latest, u.Why)))
	}
	return b.String()
}

func since(a *logbook.Yields) string {
	if a.Since == "" {
		return ""
	}
	return " since " + weekday(a.Since)
}

func stepHeading(s logbook.StepYields) string {
	text := s.Step
	if s.Of != "" {
		text += fmt.Sprintf(", of %s %s %s", measure.FormatNumber(s.Amount), s.Unit, s.Of)
	}
	return text + " (" + plural(s.Batches, "batch", "batches") + " in the log book)"
}

// offBy says how far off a share is.
func offBy(share float64) string {
	sign := ""
	if share > 0 {
		sign = "+"
	}
	return sign + percent(share)
}

func yieldRow(p Page, t *table, y *logbook.Learned) {
	mean, off, last := "", "", ""
	if y.Mean != nil {
		stray := 0.0
		if y.Spread != nil {
			stray = *y.Spread
		}
		mean, off, last = p.spread(*y.Mean, stray), offBy(*y.Off), measure.FormatNumber(*y.Last)
	}
	t.add(y.Output+", "+y.Unit, count(y.Batches), mean, p.spread(y.File, y.FileSpread), off, y.Trend, last)
	if y.Published != nil {
		t.remark(published(y))
	}
	if y.Batches > y.Weighed {
		t.remark(fmt.Sprintf("%s not weighed going in: counted by the number of batches in the entry",
			plural(y.Batches-y.Weighed, "batch was", "batches were")))
	}
	if y.Trend == "up" || y.Trend == "down" {
		t.remark(fmt.Sprintf("going %s by %s %s a batch (standard error %s)", y.Trend,
			kitchen.FormatSpread(math.Abs(*y.Slope)), y.Unit, kitchen.FormatSpread(*y.SlopeError)))
	}
	if y.OutOfLine == 0 {
		if y.Limits != nil {
			t.remark(fmt.Sprintf("all within the limits, %s to %s", measure.FormatNumber(max(0, y.Limits.Lower)), measure.FormatNumber(y.Limits.Upper)))
		}
		return
	}
	t.remark(fmt.Sprintf("%s out of line: limits %s to %s, %s from one batch to the next",
		plural(y.OutOfLine, "batch", "batches"), measure.FormatNumber(max(0, y.Limits.Lower)),
		measure.FormatNumber(y.Limits.Upper),
		measure.FormatNumber(y.Limits.RangeUpper)))
	for _, f := range y.Flagged {
		t.remark(flagged(y, f))
	}
}

// published sets the published range beside what was learned.
func published(y *logbook.Learned) string {
	text := fmt.Sprintf("published: %s to %s %s", measure.FormatNumber(y.Published.Low),
		measure.FormatNumber(y.Published.High), y.Unit)
	switch {
	case y.Mean == nil:
		return text
	case *y.Mean < y.Published.Low:
		return text + "; yours is below"
	case *y.Mean > y.Published.High:
		return text + "; yours is above"
	}
	return text + "; yours is within"
}

// flagged tells of a batch out of line.
func flagged(y *logbook.Learned, f logbook.OutOfLine) string {
	side := map[string]string{logbook.Above: "above the limits", logbook.Below: "below the limits",
		logbook.Jump: "too far from the one before"}[f.Side]
	text := fmt.Sprintf("entry %d, %s: %s %s, %s", f.Entry, whenOf(f.At),
		measure.FormatNumber(f.Value), y.Unit, side)
	var parts []string
	for _, d := range f.Inputs {
		parts = append(parts, fmt.Sprintf("%s was %s of the recipe, usually %s", d.Item, percent(d.Share),
			percent(d.Usual)))
	}
	for _, item := range f.Beside {
		parts = append(parts, item+" went in, which is not in the recipe")
	}
	if len(parts) == 0 {
		parts = append(parts, "what went in was as usual, as far as it was weighed")
	}
	for _, d := range f.Outputs {
		parts = append(parts, fmt.Sprintf("%s came out at %s of the file, usually %s", d.Item, percent(d.Share),
			percent(d.Usual)))
	}
	return text + "; " + strings.Join(parts, "; ")
}

// YieldsSheet has a row for each yield.
func YieldsSheet(a *logbook.Yields) (s Sheet) {
	s.add("step", "of", "amount", "of_unit", "output", "unit", "file", "file_spread", "published_low", "published_high", "batches", "weighed", "mean",
		"spread", "off", "slope", "slope_error", "trend", "last", "last_at", "lower", "upper", "range_upper", "out_of_line")
	for _, st := range a.Steps {
		for _, y := range st.Outputs {
			var lower, upper, moved, low, high *float64
			if y.Published != nil {
				low, high = &y.Published.Low, &y.Published.High
			}
			if y.Limits != nil {
				lower, upper, moved = &y.Limits.Lower, &y.Limits.Upper, &y.Limits.RangeUpper
			}
			s.add(st.Step, st.Of, st.Amount, st.Unit, y.Output, y.Unit, y.File, y.FileSpread, low, high, y.Batches, y.Weighed, y.Mean,
				y.Spread, y.Off, y.Slope, y.SlopeError, y.Trend, y.Last, y.LastAt, lower, upper, moved, y.OutOfLine)
		}
	}
	return s
}

// Proposal lays out the change of the kitchen file. The difference stands as it is, so that it can be used.
func Proposal(p Page, a *logbook.Proposal) string {
	var b strings.Builder
	for _, c := range a.Changes {
		b.WriteString(p.text(0, fmt.Sprintf("%s of %s: %s %s, was %s, by %s%s", c.Output, c.Step,
			p.spread(c.Becomes, c.Spread), c.Unit, measure.FormatNumber(c.Was),
			plural(c.Batches, "batch", "batches"), unsteady(c))))
	}
	for _, l := range a.Left {
		b.WriteString(p.text(0, fmt.Sprintf("%s of %s stays: %s", l.Output, l.Step, l.Why)))
	}
	if a.Diff != "" {
		b.WriteString("\n" + a.Diff)
	}
	return b.String()
}

// unsteady is what should be known before a mean is taken over.
func unsteady(c logbook.Change) (text string) {
	if c.Trend == "up" || c.Trend == "down" {
		text += "; it is going " + c.Trend + ", so the mean lags: --since takes only the latest batches"
	}
	if c.OutOfLine > 0 {
		text += "; " + strconv.Itoa(c.OutOfLine) + " out of line, still counted"
	}
	return text
}

// Applied tells whether the change of a kitchen file was made, where there was any.
func Applied(p Page, file string, changes, written bool) string {
	switch {
	case written:
		return p.text(0, file+" changed.")
	case !changes:
		return p.text(0, "No change to "+file+".")
	}
	return p.text(0, "Nothing is written yet. To write it, add --yes.")
}
