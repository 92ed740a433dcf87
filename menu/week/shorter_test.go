package week_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// The first days of a period are those of a shorter one.
func TestShorterIsOverFewerDays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, text := weektest.AnyWeek(t)
		days := rapid.IntRange(1, w.Days).Draw(t, "first days")
		p := w.Period
		p.Days = days
		fewer, err := week.Over(w.Kitchen, p)
		require.NoError(t, err)
		short := w.Shorter(days)
		a, err := fewer.Play(t.Context())
		require.NoError(t, err)
		b, err := short.Play(t.Context())
		require.NoError(t, err)
		assert.Equal(t, a.Outcome.Served, b.Outcome.Served, text)
		assert.Equal(t, a.Outcome.Left, b.Outcome.Left, text)
		assert.Equal(t, a.Books, b.Books, text)
		assert.Equal(t, fewer.Sittings, short.Sittings, text)
	})
}
