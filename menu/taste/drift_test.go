package taste

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
)

// A perpetual stock that grows saltier by a hundredth a day was told as hundreds of batches out of line; it is one drift. What swings about is none.
func TestDriftOfMany(t *testing.T) {
	over := func(value func(day int) float64) Measured {
		var batches []logbook.Tasting
		for day := range 60 {
			batches = append(batches, logbook.Tasting{Begins: first.AddDate(0, 0, day), Tastes: []logbook.Taste{{Name: "salt", Value: new(value(day))}}})
		}
		m, _ := overBatches(&kitchen.Measure{Name: "salt", Sort: kitchen.Gauged, Unit: "%"}, batches, make([][]logbook.Fact, len(batches)))
		return m
	}
	rising := over(func(day int) float64 { return 1 + 0.01*float64(day) })
	require.NotNil(t, rising.Drift)
	assert.InDelta(t, 0.01, rising.Drift.ByDay, 1e-9)
	assert.Equal(t, "2026-10-01", rising.Drift.Since)

	swings := over(func(day int) float64 { return []float64{1, 3, 3, 1}[day/15] })
	out := 0
	for _, p := range swings.Points {
		if p.Side != "" {
			out++
		}
	}
	require.Greater(t, out, manyOut)
	assert.Nil(t, swings.Drift, "no drift, however many are out of line")
	assert.Nil(t, over(func(int) float64 { return 1 }).Drift)
}
