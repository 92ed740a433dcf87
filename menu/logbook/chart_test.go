package logbook

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2, the example of flow rates. The ten values are from memory;
// mean 50.81, mean moving range 1.8778 and limits 55.8041 and 45.8159 are as the handbook prints them.
func TestLimitsOfTheHandbook(t *testing.T) {
	l := LimitsOf([]float64{49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1})
	assert.InDelta(t, 50.81, l.Mean, 5e-3)
	assert.InDelta(t, 1.8778, l.Range, 5e-5)
	assert.InDelta(t, 55.8041, l.Upper, 6e-5) // printed with the mean range rounded to 1.8778
	assert.InDelta(t, 45.8159, l.Lower, 6e-5)
	assert.InDelta(t, 3.267*1.8778, l.RangeUpper, 2e-4)
}

func TestSide(t *testing.T) {
	l := Limits{Mean: 10, Upper: 12, Lower: 8, Range: 0.5, RangeUpper: 1.6}
	values := []float64{10, 12.1, 10, 8.5, 7.9, 10, 12, 10.4, 8.8}
	want := []string{"", Above, "", "", Below, "", Jump, "", ""}
	values[7], want[7] = 10.5, "" // 1.5 below the one before
	values[8], want[8] = 8.8, Jump
	for at := range values {
		assert.Equal(t, want[at], l.Side(values, at), "place %d", at)
	}
	assert.Empty(t, LimitsOf([]float64{3, 3, 3}).Side([]float64{3, 3, 3}, 2), "all alike")
}

// Limits keep their place when all values move or grow.
func TestLimitsMoveWithTheValues(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		values := rapid.SliceOfN(rapid.Float64Range(0, 1000), 2, 30).Draw(t, "values")
		by, more := rapid.Float64Range(0.1, 10).Draw(t, "by"), rapid.Float64Range(0, 100).Draw(t, "more")
		moved := make([]float64, len(values))
		for i, v := range values {
			moved[i] = v*by + more
		}
		was, is := LimitsOf(values), LimitsOf(moved)
		assert.InDelta(t, was.Mean*by+more, is.Mean, 1e-7)
		assert.InDelta(t, was.Upper*by+more, is.Upper, 1e-7)
		assert.InDelta(t, was.Lower*by+more, is.Lower, 1e-7)
		assert.InDelta(t, was.RangeUpper*by, is.RangeUpper, 1e-7)
	})
}
