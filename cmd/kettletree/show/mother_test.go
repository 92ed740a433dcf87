package show

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// A measure that is 0.35 off the edge of its aim and moves by 0.01 a day leaves it in 35 days, not in 34: in binary the quotient is
// a little less.
func TestWholeDays(t *testing.T) {
	for days, want := range map[float64]int{35: 35, 34.99999999999999: 35, 34.9: 34, 1.2: 1, 0.3: 1} {
		assert.Equal(t, want, wholeDays(days), "%v", days)
	}
}
