package taste

// What a trial has told so far: which batch is next, and, once all are measured, how much each thing does.

import (
	"cmp"
	"context"
	"math"
	"slices"
	"time"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/combin"

	"kettletree/menu/clock"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
)

// Trialled is a trial under way.
type Trialled struct {
	Begun    string   `json:"begun"` // 2006-01-02
	Of       string   `json:"of"`    // the step
	Runs     []Run    `json:"runs"`
	Next     int      `json:"next"`     // the number of the next batch, from 1; 0 once all are begun
	Measured int      `json:"measured"` // batches of which something was measured
	Effects  []Effect `json:"effects"`  // the least likely chance first; none before all are measured
}

// Run is a batch of a trial.
type Run struct {
	Number int      `json:"number"`
	Levels []string `json:"levels"` // as a cook hears them: "onion less, 3.2 kg"
	Day    string   `json:"day"`    // 2006-01-02, on which it began; "" while it is still to come
	Other  []string `json:"other"`  // things that were done at the other level: they count as they were done

	Tried []clock.Tried `json:"-"` // what Levels say, in its parts
}

// Effect is how much a thing does to a measure: the mean of the batches with more of it, less the mean of those with less (NIST/SEMATECH
// e-Handbook of Statistical Methods, 5.3.3; from memory).
type Effect struct {
	Measure string   `json:"measure"`
	Unit    string   `json:"unit"`
	Top     float64  `json:"top"` // of a scale; 0 of what is read off an instrument
	Thing   string   `json:"thing"`
	Less    float64  `json:"less"`   // mean of the batches with less
	More    float64  `json:"more"`   // mean of those with more
	Effect  float64  `json:"effect"` // More - Less
	Chance  float64  `json:"chance"` // the share of all ways to part the batches that would show as much, either way
	Mixed   []string `json:"mixed"`  // what it can't be told apart from: these things all together

	of *kitchen.Measure
}

// Said is a value of the measure as it is said.
func (e *Effect) Said(v float64) string { return e.of.Value(v) }

// Plain tells whether chance alone would seldom show as much. Of eight batches in two halves no effect can be rarer than 2 in 70.
func (e *Effect) Plain() bool { return e.Chance <= plainChance }

const plainChance = 0.05

// Trialled tells how far the trial is.
func (t *Kept) Trialled(ctx context.Context, k *kitchen.Kitchen, book *logbook.Book, asOf time.Time) (*Trialled, error) {
	begun, err := time.Parse(time.DateTime, t.Begun)
	if err != nil {
		return nil, err
	}
	t = t.calledNow(k)
	a := &Trialled{Begun: begun.Format(time.DateOnly), Of: t.Of, Runs: []Run{}, Effects: []Effect{}}
	step, err := k.FindStep(t.Of)
	if err != nil {
		return nil, &FileError{Path(k.File), "it is of " + t.Of + ", which the kitchen file no longer has: give it up with --give-up"}
	}
	var days []time.Time
	var batches []logbook.Tasting
	if book != nil {
		if days, err = book.Begun(ctx, k, step, begun, asOf); err != nil {
			return nil, err
		}
		if batches, err = book.Tastings(ctx, k, step, -1, asOf); err != nil {
			return nil, err
		}
	}
	handling := k.Steps[step].Measures
	levels, measured := make([][]int, len(t.Batches)), make([]*logbook.Tasting, len(t.Batches))
	for n := range t.Batches {
		r := Run{Number: n + 1, Levels: []string{}, Tried: t.tried(t.Batches[n]), Other: []string{}}
		for _, one := range r.Tried {
			r.Levels = append(r.Levels, one.String())
		}
		levels[n] = slices.Clone(t.Batches[n])
		if n < len(days) {
			r.Day = days[n].Format(time.DateOnly)
			if at := slices.IndexFunc(batches, func(b logbook.Tasting) bool { return b.Begins.Equal(days[n]) }); at >= 0 {
				measured[n] = &batches[at]
				a.Measured++
				r.Other = t.asDone(handling, measured[n], levels[n])
			}
		} else if a.Next == 0 {
			a.Next = n + 1
		}
		a.Runs = append(a.Runs, r)
	}
	if a.Measured == len(t.Batches) {
		a.Effects = t.effects(k.Steps[step].Measures, measured, levels)
	}
	return a, nil
}

// asDone puts the levels of a batch right where the log book knows that a thing was nearer to the other one, and names it.
func (t *Kept) asDone(measures []kitchen.Measure, b *logbook.Tasting, levels []int) []string {
	other := []string{}
	for at, v := range t.Things {
		value := math.NaN()
		for _, f := range b.Facts {
			if f.Name == v.Thing && f.Unit == v.Unit {
				value = f.Value
			}
		}
		for i := range measures {
			if measures[i].Handling && measures[i].Name == v.Thing {
				if read := readOf(b, v.Thing); read != nil {
					value = *read
				}
			}
		}
		done := 0
		switch middle := (v.Lower + v.Upper) / 2; {
		case v.unread():
		case value < middle:
			done = -1
		case value > middle:
			done = 1
		}
		if done != 0 && done != levels[at] {
			levels[at] = done
			other = append(other, v.Thing)
		}
	}
	return other
}

// effects are those of each thing on each measure of how the batches came out.
func (t *Kept) effects(measures []kitchen.Measure, batches []*logbook.Tasting, levels [][]int) []Effect {
	list := []Effect{}
	for i := range measures {
		m := &measures[i]
		if m.Handling || m.Sort == kitchen.InWords {
			continue
		}
		var values []float64
		for _, b := range batches {
			if v := readOf(b, m.Name); v != nil {
				values = append(values, *v)
			}
		}
		if len(values) < len(batches) { // one that is missing unbalances all
			continue
		}
		for at, v := range t.Things {
			signs := make([]int, len(levels))
			for n := range levels {
				signs[n] = levels[n][at]
			}
			less, more, chance := MainEffect(values, signs)
			if math.IsNaN(chance) {
				continue
			}
			e := Effect{Measure: m.Name, Unit: m.Unit, Thing: v.Thing, Less: less, More: more, Effect: more - less, Chance: chance, Mixed: []string{}, of: m}
			if m.Sort == kitchen.Judged {
				e.Top = m.High
			}
			if len(t.Things) == MostVaried { // the half fraction: each is the product of the other three
				for o, other := range t.Things {
					if o != at {
						e.Mixed = append(e.Mixed, other.Thing)
					}
				}
			}
			list = append(list, e)
		}
	}
	slices.SortStableFunc(list, func(a, b Effect) int { return cmp.Compare(a.Chance, b.Chance) })
	return list
}

// MainEffect gives the means of the values at the lower and the higher level, and how likely chance alone would set them as far apart: the
// share of all ways to part the values into two groups of these sizes that do (a permutation test, all orders counted). It is not a
// number where one of the levels has none.
func MainEffect(values []float64, signs []int) (less, more, chance float64) {
	var low, high []float64
	for n, v := range values {
		if signs[n] < 0 {
			low = append(low, v)
		} else {
			high = append(high, v)
		}
	}
	if len(low) == 0 || len(high) == 0 {
		return math.NaN(), math.NaN(), math.NaN()
	}
	less, more = stat.Mean(low, nil), stat.Mean(high, nil)
	const hair = 1e-9
	sum := stat.Mean(values, nil) * float64(len(values))
	as, all := 0, 0
	for _, group := range combin.Combinations(len(values), len(high)) {
		part := 0.0
		for _, n := range group {
			part += values[n]
		}
		all++
		if math.Abs(part/float64(len(high))-(sum-part)/float64(len(low))) >= math.Abs(more-less)-hair {
			as++
		}
	}
	return less, more, float64(as) / float64(all)
}
