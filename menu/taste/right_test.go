package taste

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// Mass balances worked by hand.
func TestBalances(t *testing.T) {
	assert.InDelta(t, 18.6, Thin(62, 1.3, 1), 1e-9, "62 L at 1.3 % hold 0.806 kg: 80.6 L at 1 %")
	assert.Zero(t, Thin(62, 0.9, 1))
	assert.InDelta(t, 12.4, Reduce(62, 3, 3.75), 1e-9, "62 L at 3 hold 186: 49.6 L at 3.75")
	assert.Zero(t, Reduce(62, 4, 3.75))
	assert.InDelta(t, 0.2/0.99, Add(50, 0.006, 0.01), 1e-9, "0.3 kg in 50 kg; 0.3 + x = 1 % of 50 + x")
	assert.Equal(t, []float64{0.15, 7, 18}, []float64{kitchenRound(0.19), kitchenRound(7.4), kitchenRound(18.6)})
}

func TestBalancesHold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v, reads, aim := rapid.Float64Range(1, 200).Draw(t, "v"), rapid.Float64Range(0.1, 9).Draw(t, "reads"), rapid.Float64Range(0.1, 9).Draw(t, "aim")
		assert.InEpsilon(t, v*reads, (v+Thin(v, reads, aim)-Reduce(v, reads, aim))*aim, 1e-9, "what is dissolved stays")
		x := Add(v, reads/100, aim/100)
		if reads < aim {
			assert.InEpsilon(t, (v+x)*aim/100, v*reads/100+x, 1e-9)
		}
	})
}

func TestBlended(t *testing.T) {
	// 1.4 % and 0.6 %, aim 0.9 to 1.1: x 1.4 + (1-x) 0.6 = 0.9 at x = 0.375, = 1.1 at x = 0.625.
	least, most, ok := Blended([]float64{1.4}, []float64{0.6}, []float64{0.9}, []float64{1.1})
	assert.True(t, ok)
	assert.InDeltaSlice(t, []float64{0.375, 0.625}, []float64{least, most}, 1e-12)
	_, _, ok = Blended([]float64{1.4, 2}, []float64{0.6, 2}, []float64{0.9, 3}, []float64{1.1, 4.5})
	assert.False(t, ok, "the second can't be brought right")
	rapid.Check(t, func(t *rapid.T) {
		draw := rapid.SliceOfN(rapid.Float64Range(0, 5), 2, 2)
		first, second, low := draw.Draw(t, "first"), draw.Draw(t, "second"), draw.Draw(t, "low")
		high := []float64{low[0] + 1, low[1] + 1}
		fits := func(x float64) bool {
			for i := range first {
				if v := x*first[i] + (1-x)*second[i]; v < low[i]-1e-9 || v > high[i]+1e-9 {
					return false
				}
			}
			return true
		}
		least, most, ok := Blended(first, second, low, high)
		any := false
		for x := 0.0; x <= 1; x += 1.0 / 64 {
			if fits(x) {
				any = true
				assert.True(t, ok && x >= least-1e-9 && x <= most+1e-9)
			}
		}
		if ok {
			assert.True(t, fits(least) && fits(most))
		} else {
			assert.False(t, any)
		}
	})
}
