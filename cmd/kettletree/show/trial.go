package show

// Trials: what is laid out, which batch is next, and what it told.

import (
	"fmt"
	"math"
	"strings"

	"kettletree/graph/measure"
	"kettletree/menu/taste"
)

// trialTable lays out a trial.
func trialTable(p Page, trial *taste.Trial) string {
	var names []string
	for _, v := range trial.Things {
		names = append(names, v.Thing)
	}
	t := &table{columns: append(numbers("batch"), words(names...)...)}
	for n, levels := range trial.Batches {
		cells := []string{count(n + 1)}
		for at, level := range levels {
			if v := trial.Things[at]; level > 0 {
				cells = append(cells, "more: "+v.More)
			} else {
				cells = append(cells, "less: "+v.Less)
			}
		}
		t.add(cells...)
	}
	return p.text(0, "To find out, vary these in the next eight batches, in this order, and keep all else as it is (--begin keeps it, and tells each batch in its turn):") + "\n" + t.on(p)
}

// trialled tells how far a trial is: the next batch first, then what it told.
func trialled(p Page, t *taste.Trialled) string {
	var b strings.Builder
	head := fmt.Sprintf("Trial of %s, begun %s: ", plural(len(t.Runs), "batch", "batches"), weekday(t.Begun))
	begun := 0
	for _, r := range t.Runs {
		if r.Day != "" {
			begun++
		}
	}
	switch {
	case t.Next > 0:
		b.WriteString(p.text(0, head+fmt.Sprintf("%d begun. Next, batch %d: %s.", begun, t.Next, strings.Join(t.Runs[t.Next-1].Levels, "; "))))
	case t.Measured < len(t.Runs):
		b.WriteString(p.text(0, head+fmt.Sprintf("all begun, %d measured. Measure the rest, and it tells.", t.Measured)))
	case len(t.Effects) == 0:
		b.WriteString(p.text(0, head+"all measured, but nothing was measured of all of them, so it tells nothing."))
	default:
		b.WriteString(p.text(0, head+"all measured."))
		b.WriteString(trialEffects(p, t))
	}
	for _, r := range t.Runs {
		if len(r.Other) > 0 {
			b.WriteString(p.text(0, fmt.Sprintf("Batch %d (%s) was made otherwise in %s, and counts as it was made.", r.Number, weekday(r.Day), measure.FormatList(r.Other))))
		}
	}
	return b.String()
}

// trialEffects says what each thing does.
func trialEffects(p Page, t *taste.Trialled) string {
	var b strings.Builder
	plain := 0
	for i := range t.Effects {
		e := &t.Effects[i]
		if !e.Plain() {
			continue
		}
		plain++
		side := "higher"
		if e.Effect < 0 {
			side = "lower"
		}
		text := fmt.Sprintf("%s: %s %s with more %s (mean %s, against %s); by chance %d in 100.", capital(e.Measure), twoDigits(math.Abs(e.Effect)), side, e.Thing,
			twoDigits(e.More), twoDigits(e.Less), int(math.Ceil(100*e.Chance)))
		if len(e.Mixed) > 0 {
			text += fmt.Sprintf(" Not told apart from %s acting together.", measure.FormatList(e.Mixed))
		}
		b.WriteString(p.text(0, text))
	}
	rest := len(t.Effects) - plain
	switch {
	case plain == 0:
		b.WriteString(p.text(0, fmt.Sprintf("Nothing it varied shows more than chance would, of %s looked at.", plural(rest, "effect", "effects"))))
	case rest > 0:
		b.WriteString(p.text(0, fmt.Sprintf("Of %s more, none shows more than chance would. Of twenty looked at, chance shows one.", plural(rest, "effect", "effects"))))
	}
	return b.String()
}

func twoDigits(v float64) string { return measure.FormatNumber(math.Round(v*100) / 100) }
