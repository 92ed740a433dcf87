package week_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// The house is shut on the Monday that is asked about: on the days behind it, seven of ten guests find a seat all the same.
func TestDaysBehindAShutDayHaveSeats(t *testing.T) {
	w := weektest.Stocked(t, `
kitchen: Shut Mondays
open: tue-fri
seats: 7
services: {lunch: 12:00-14:00}
bought: {beans: {price: 1/kg}}
dishes:
  bean bowl: {price: 5, takes: [100 g beans], sells: 10}
`, "item,quantity,made\n", week.Period{From: weektest.Monday, Days: 1})
	long, err := w.Longer(2)
	require.NoError(t, err)
	is, err := long.Play(t.Context())
	require.NoError(t, err)
	require.Equal(t, []float64{0, 7, 7}, is.Outcome.Served)
}
