package taste

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// By hand. Of (0,0) (1,1) (2,2) (3,9) the slopes are 1, 1, 1, 3, 3.5 and 7: their middle is 2. A least-squares line has 2.8. Two ways: 1 2 9 against 4 5
// 6 differ by 3 4 5, 2 3 4, -5 -4 -3: the middle is 3.
func TestSlopeByHand(t *testing.T) {
	assert.InDelta(t, 2, slope([]float64{0, 1, 2, 3}, []float64{0, 1, 2, 9}), 1e-12)
	assert.InDelta(t, 3, slope([]float64{0, 0, 0, 1, 1, 1}, []float64{1, 2, 9, 4, 5, 6}), 1e-12)
	assert.Zero(t, slope([]float64{1, 1}, []float64{1, 2}))
}

// A straight line has its slope, though a quarter of the points are far out.
func TestSlopeWithSlips(t *testing.T) {
	for range 50 {
		r := rand.New(rand.NewPCG(rand.Uint64(), 1))
		rise := 4*r.Float64() - 2
		var x, y []float64
		for n := range 16 {
			x = append(x, 0.7+0.5*r.Float64())
			y = append(y, 3+rise*x[n])
			if n%4 == 3 {
				y[n] += 40 * (r.Float64() - 0.5)
			}
		}
		assert.InDelta(t, rise, slope(x, y), 1e-9)
	}
}
