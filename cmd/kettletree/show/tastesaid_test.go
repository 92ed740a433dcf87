package show

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"kettletree/menu/taste"
)

// What a pot's own part says of its salt is not said again beside the measure.
func TestDriftOnce(t *testing.T) {
	points := []taste.Point{{Day: "2026-11-24", Value: 1.2, Side: "above"}}
	salt := &taste.Measured{Name: "salt", Unit: "%", Points: points, Drift: &taste.Drift{Since: "2026-10-01", ByDay: 0.01}}
	says, _, _ := Teller{}.outOfLine(salt, &taste.Mother{Drifts: []taste.MotherDrift{{Measure: "salt", Batches: 60, ByDay: 0.01, Chance: 0.001}}})
	assert.Empty(t, says)
}
