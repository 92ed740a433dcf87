package taste

// Each measure over the batches: its limits, what is out of line, and what was not as usual then.

import (
	"math"
	"slices"
	"time"

	"gonum.org/v1/gonum/stat"

	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
)

// overBatches is a measure over the batches, and its values by batch, not a number where it was not measured.
func overBatches(m *kitchen.Measure, batches []logbook.Tasting, known [][]logbook.Fact) (Measured, []float64) {
	a := Measured{Name: m.Name, Unit: m.Unit, Aim: m.Aim, Handling: m.Handling, Points: []Point{}, Goes: []Goes{}, of: m}
	if m.Sort == kitchen.Judged {
		a.Top = m.High
	}
	byBatch, values, at := make([]float64, len(batches)), []float64{}, []int{}
	for b := range batches {
		byBatch[b] = math.NaN()
		for _, t := range batches[b].Tastes {
			if t.Name != m.Name || t.Value == nil {
				continue
			}
			byBatch[b] = *t.Value
			values, at = append(values, *t.Value), append(at, b)
			a.Points = append(a.Points, Point{Entry: batches[b].Entry, Day: batches[b].When().Format(time.DateOnly), Value: *t.Value, Unusual: []string{}})
			if m.Aim != nil && (*t.Value < m.Aim.Low || *t.Value > m.Aim.High) {
				a.Outside++
			}
		}
	}
	if a.Batches = len(values); a.Batches == 0 {
		return a, byBatch
	}
	a.Mean, a.Last = new(stat.Mean(values, nil)), new(values[a.Batches-1])
	if a.Batches > 1 {
		a.Spread = new(stat.StdDev(values, nil))
	}
	if a.Batches < logbook.LeastBatches {
		return a, byBatch
	}
	l := logbook.LimitsOf(values)
	if l.Range == 0 { // all alike
		return a, byBatch
	}
	switch {
	case m.Sort == kitchen.Judged: // nothing is judged off the scale
		l.Lower, l.Upper = max(l.Lower, m.Low), min(l.Upper, m.High)
	case slices.Min(values) >= 0: // no salt is less than none
		l.Lower = max(l.Lower, 0)
	}
	a.Limits = &l
	out := 0
	for i := range a.Points {
		if a.Points[i].Side = l.Side(values, i); a.Points[i].Side != "" {
			out++
			a.Points[i].Odd = unusual(known, at[i], m.Name)
			for _, o := range a.Points[i].Odd {
				a.Points[i].Unusual = append(a.Points[i].Unusual, o.String())
			}
		}
	}
	if out > manyOut {
		a.Drift = moves(batches, at, values)
	}
	return a, byBatch
}

// manyOut is how many batches out of line are looked at one by one. Of more, it is asked whether the measure moves as a whole. Common practice, no source.
const manyOut = 5

// moves is how values move by day; nil where chance alone could bring it. at is the batch of each.
func moves(batches []logbook.Tasting, at []int, values []float64) *Drift {
	days := make([]float64, len(values))
	for i := range days {
		days[i] = batches[at[i]].When().Sub(batches[at[0]].When()).Hours() / 24
	}
	if len(values) < leastDrift || days[len(days)-1] <= 0 || Chance(days, values) > plainChance {
		return nil
	}
	_, slope := stat.LinearRegression(days, values, nil, false)
	return &Drift{Since: batches[at[0]].When().Format(time.DateOnly), ByDay: slope}
}

// A figure is not as usual when it lies farther from the median of all batches than three of their usual distances (the median absolute
// deviation, times 1.4826 of a normal draw), than a twentieth of it, and than a cook would mind: half an hour of the clock, a quarter of an hour of what lasts,
// half a day of age; a word, when fewer than a third of the batches have it. Common practice, no source.
const (
	farOff   = 3 * 1.4826
	leastOff = 0.05
	fewWords = 1.0 / 3
)

var leastMinded = map[string]float64{"o'clock": 0.5, "h": 0.25, "days": 0.5}

// knownOf is all that is known of how batches came about: by the log book, and by what was noted of how they were handled.
func knownOf(batches []logbook.Tasting, handling map[string]string) [][]logbook.Fact {
	known := make([][]logbook.Fact, len(batches))
	for b := range batches {
		known[b] = slices.Clone(batches[b].Facts)
		for _, t := range batches[b].Tastes {
			switch unit, is := handling[t.Name]; {
			case !is:
			case t.Value == nil:
				known[b] = append(known[b], logbook.Fact{Name: t.Name, Word: t.Word})
			default:
				known[b] = append(known[b], logbook.Fact{Name: t.Name, Value: *t.Value, Unit: unit})
			}
		}
	}
	return known
}

// unusual says what was not as usual with a batch, beside the measure that is out of line.
func unusual(known [][]logbook.Fact, of int, measure string) (list []Odd) {
	for _, f := range known[of] {
		if f.Name == measure {
			continue
		}
		var values []float64
		same, said := 0, 0
		for b := range known {
			for _, o := range known[b] {
				if o.Name != f.Name {
					continue
				}
				if values = append(values, o.Value); o.Word != "" {
					if said++; o.Word == f.Word {
						same++
					}
				}
			}
		}
		if f.Word != "" {
			if float64(same) < fewWords*float64(said) {
				list = append(list, Odd{Fact: f})
			}
			continue
		}
		if len(values) < logbook.LeastBatches {
			continue
		}
		usual := median(values)
		off := make([]float64, len(values))
		for i, v := range values {
			off[i] = math.Abs(v - usual)
		}
		if d := math.Abs(f.Value - usual); d > farOff*median(off) && d > leastOff*math.Abs(usual) && d >= leastMinded[f.Unit] {
			list = append(list, Odd{f, usual})
		}
	}
	return list
}

// median is the middle one of some values, or the mean of the middle two.
func median(values []float64) float64 {
	sorted := slices.Sorted(slices.Values(values))
	n := len(sorted)
	return (sorted[(n-1)/2] + sorted[n/2]) / 2
}
