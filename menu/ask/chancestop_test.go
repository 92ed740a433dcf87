package ask

import (
	"context"
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/week/weektest"
)

// Who stops it has the draws that were played by then, and what they come to.
func TestChanceStopped(t *testing.T) {
	w := weektest.ExampleWeek(t, "three-kettles")
	ctx, stop := context.WithCancelCause(t.Context())
	calls := 0
	a, err := Chance(ctx, w, nil, Wager{Draws: 4000, Seed: 1}, func(float64) {
		if calls++; calls == 50 {
			stop(fmt.Errorf("enough"))
		}
	})
	require.ErrorContains(t, err, "enough")
	require.Len(t, a.Notes, 1)
	assert.Equal(t, fmt.Sprintf("stopped: %d of 4000 draws were played", a.Draws), a.Notes[0])
	assert.Greater(t, a.Draws, 49)
	assert.Less(t, a.Draws, 4000)
	certain, err := Chance(t.Context(), w, nil, Wager{Draws: 400, Seed: 1}, nil)
	require.NoError(t, err)
	assert.Empty(t, certain.Notes)
	assert.InEpsilon(t, certain.Contribution.Mean, a.Contribution.Mean, 0.2)
	for _, d := range a.Dishes {
		assert.LessOrEqual(t, d.P90, d.P10)
	}
}

// Over many days each draw takes long: there are fewer, and that is said. Who asks for a number gets it.
func TestFewerDrawsOverMoreDays(t *testing.T) {
	w := weektest.SmallDays(t, weektest.Copies(t, 1), 7)
	rows := 0
	for range w.Dishes {
		rows += len(w.Sittings)
	}
	assert.Less(t, rows*UsualDraws, usualServings, "a week of an example is drawn as often as is usual")
	long := weektest.SmallDays(t, weektest.Copies(t, 1), 200)
	ctx, stop := context.WithCancel(t.Context())
	a, err := Chance(ctx, long, nil, Wager{}, func(float64) { stop() })
	require.ErrorIs(t, err, context.Canceled)
	require.Len(t, a.Notes, 2)
	assert.Regexp(t, `^\d+ draws instead of 10000, for each takes long; --draws asks for more$`, a.Notes[0])
}
