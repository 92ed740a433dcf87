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
func overBatches(m *kitchen.Measure, batches []logbook.Tasting) (Measured, []float64) {
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
	if m.Sort == kitchen.Judged { // nothing is judged off the scale
		l.Lower, l.Upper = max(l.Lower, m.Low), min(l.Upper, m.High)
	}
	a.Limits = &l
	for i := range a.Points {
		if a.Points[i].Side = l.Side(values, i); a.Points[i].Side != "" {
			a.Points[i].Unusual = unusual(batches, at[i])
		}
	}
	return a, byBatch
}

// A figure is not as usual when it lies farther from the median of all batches than three of their usual distances (the median absolute
// deviation, times 1.4826 of a normal draw) and than a twentieth of it; a word, when fewer than a third of the batches have it. Common
// practice, no source.
const (
	farOff   = 3 * 1.4826
	leastOff = 0.05
	fewWords = 1.0 / 3
)

// unusual says what was not as usual with a batch.
func unusual(batches []logbook.Tasting, of int) []string {
	list := []string{}
	for _, f := range batches[of].Facts {
		var values []float64
		same, said := 0, 0
		for b := range batches {
			for _, o := range batches[b].Facts {
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
				list = append(list, f.String())
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
		if d := math.Abs(f.Value - usual); d > farOff*median(off) && d > leastOff*math.Abs(usual) {
			list = append(list, f.Said(usual))
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
