package ask

// How strong the batches of a day are, as a derivation has it.

import (
	"fmt"
	"math"
	"strings"

	"kettletree/graph/batch"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
)

// strengths writes, for each bound of a step's lines, what each batch of a day comes to and what that is counted on: what is in
// the pot with the steam taken away, or the hours that the line is in and the litres that come of it.
func (y *deriving) strengths(a *Derivation, step, day int) {
	st := y.Graph.Steps[step]
	bounds := batch.BoundsOf(st)
	if len(bounds) == 0 {
		return
	}
	for _, b := range append(potsOf(y.Week, y.p), batchesOf(y.Week, y.p)...) {
		if b.step != step || y.dayOf(b) != day {
			continue
		}
		p := batch.Of(y.Graph.Items, st, b.batches, b.fills, gives(y.Week, y.p, b))
		of := ""
		if b.number > 0 {
			of = fmt.Sprintf("batch %d: ", b.number)
		}
		for _, on := range bounds {
			if p.Ins[on.Line].Grams == 0 {
				continue
			}
			s, value := p.Worst(on)
			what := y.filling(b, on.Line)
			if own := p.Ins[on.Line]; own.Alike != 1 {
				what += fmt.Sprintf(" (as strong as %s kg)", measure.FormatNumber(own.Grams*own.Alike/1000))
			}
			limit := on.Words() + " " + kitchen.FormatBounded(on, on.Limit)
			if on.Drawn {
				a.line(0, value, "g h/L", "%s%s in for %s, to each of %s L (%s)", of, what, measure.FormatDuration(s.To-s.From),
					measure.FormatNumber(p.Litres), limit)
				continue
			}
			a.line(0, value, "", "%s%s: %s of %s kg in the pot%s, less what has boiled off (%s)", of, what, kitchen.FormatPercent(math.Round(1000*value)/1000),
				measure.FormatNumber(p.All(on, s)/1000), s.Text(), limit)
		}
	}
}

// dayOf is the day of the period on which a batch was to begin, or on which other work is done.
func (y *deriving) dayOf(b filled) int {
	switch {
	case b.pot > 0:
		return y.p.Schedule.Pots[b.pot-1].Day
	case b.run >= 0:
		return y.p.Schedule.Batches[b.run].Day
	}
	return b.at / 1440
}

// filling is what fills a line of a batch: "2.5 kg ham bone 24 months and 5 kg ham bone 12 months".
func (y *deriving) filling(b filled, line int) string {
	var parts []string
	for n, c := range y.Graph.Steps[b.step].Takes[line].Choices {
		if part := b.fills[line][n]; part > little {
			parts = append(parts, y.Exactly(c.Item, part*c.Amount))
		}
	}
	return strings.Join(parts, " and ")
}
