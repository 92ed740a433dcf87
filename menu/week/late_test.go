package week_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// TestLateAtATime: a time of day is when a batch starts, a duration by how much later. Broth is to start on Monday at 22:00, dashi
// on Tuesday at 07:00; sauce and glaze have no clock, and start as early as can be.
func TestLateAtATime(t *testing.T) {
	w := weektest.SmallWeek(t, brothHouse)
	for clock, duration := range map[string]string{
		"broth@mon=23:30": "broth@mon=1 h 30 min",
		"broth@mon=00:40": "broth@mon=2 h 40 min", // of the night
		"broth@mon=24:40": "broth@mon=2 h 40 min",
		"broth@mon=10:00": "broth@mon=12 h",
		"broth=22:00":     "broth=0 min",
		"dashi=09:00":     "dashi@tue=2 h",
		"sauce@wed=13:00": "sauce@wed=13 h",
		"glaze@thu=00:30": "glaze@thu=30 min",
	} {
		at, err := w.Shock("late", clock)
		require.NoError(t, err, clock)
		by, err := w.Shock("late", duration)
		require.NoError(t, err, duration)
		one, err := w.Play(t.Context(), at)
		require.NoError(t, err)
		other, err := w.Play(t.Context(), by)
		require.NoError(t, err)
		assert.Equal(t, other.Outcome.Ran, one.Outcome.Ran, clock)
	}

	known, err := w.Shock("late", "dashi@tue=2 h")
	require.NoError(t, err)
	later := w.Knowing([]week.Shock{known})
	_, err = later.Shock("late", "dashi@tue=08:30")
	require.EqualError(t, err, `--late "dashi@tue=08:30": Tuesday's dashi starts on Tue 24 Nov 09:00: 08:30 is not later`)

	for text, want := range map[string]string{
		"broth@mon=21:00": `Monday's broth starts on Mon 23 Nov 22:00: 21:00 is not later`,
		"broth@mon=7:00x": `"7:00x" is not a time of day: write it as 22:30; after midnight goes on to 30:00`,
		"broth@mon=soon":  `"soon" is not a duration: write by how much, as 45 min or 4 h 30 min, or when it starts, as 23:30`,
	} {
		_, err := w.Shock("late", text)
		require.EqualError(t, err, `--late "`+text+`": `+want)
	}
}
