package logbook

// The control chart of a yield: individual batches and their moving range.

import (
	"math"
)

// Factors of a chart of individuals whose spread is judged by ranges of two, NIST/SEMATECH e-Handbook of Statistical
// Methods, 6.3.2.2: the mean range of two is d2 standard deviations, and the upper limit of a range is D4 mean ranges.
const (
	d2 = 1.128
	d4 = 3.267
)

// Limits are those within which the batches of a step lie as long as nothing is different, NIST/SEMATECH e-Handbook of
// Statistical Methods, 6.3.2.2: the mean, three standard deviations to either side of it, with the standard deviation
// taken from the mean moving range. They are in the unit of the values.
type Limits struct {
	Mean       float64 `json:"mean"`
	Upper      float64 `json:"upper"`
	Lower      float64 `json:"lower"` // may be below nothing
	Range      float64 `json:"range"` // mean difference between a batch and the one before
	RangeUpper float64 `json:"range_upper"`
}

// LimitsOf are the limits of at least two values, in the order of time.
func LimitsOf(values []float64) Limits {
	l := Limits{Mean: values[0]}
	for i, v := range values[1:] {
		l.Mean += v
		l.Range += math.Abs(v - values[i])
	}
	l.Mean /= float64(len(values))
	l.Range /= float64(len(values) - 1)
	reach := 3 * l.Range / d2
	l.Upper, l.Lower, l.RangeUpper = l.Mean+reach, l.Mean-reach, d4*l.Range
	return l
}

// What puts a batch out of line.
const (
	Above = "above" // the upper limit
	Below = "below" // the lower limit
	Jump  = "jump"  // too far from the batch before it, though within the limits itself
)

// Side tells what puts the batch at a place of values out of line; "" when nothing does. What follows a batch beyond
// the limits is no jump: it is the way back.
func (l Limits) Side(values []float64, at int) string {
	hair := slack * math.Abs(l.Mean) // the rounding of sums puts nothing out of line
	beyond := func(v float64) string {
		switch {
		case v > l.Upper+hair:
			return Above
		case v < l.Lower-hair:
			return Below
		}
		return ""
	}
	side := beyond(values[at])
	if side == "" && at > 0 && beyond(values[at-1]) == "" && math.Abs(values[at]-values[at-1]) > l.RangeUpper+hair {
		return Jump
	}
	return side
}
