package counter

import (
	"testing"

	"github.com/stretchr/testify/require"

	"kettletree/menu/week/weektest"
)

// A second search before the same counter begins with what the first has found, and plays none of it again.
func TestTwinBeginsWithWhatWasFound(t *testing.T) {
	w := weektest.ExampleWeek(t, "first-pot")
	s, a := answer(t, w, 60, "chicken=8.20/each, 12 each")
	twin, err := s.Twin(t.Context())
	require.NoError(t, err)
	was := len(twin.played)
	require.Len(t, s.pool, was)
	twin.look(t.Context())
	require.Len(t, twin.played, was)
	b, err := twin.Answer(t.Context())
	require.NoError(t, err)
	a.set, a.week, b.set, b.week = nil, nil, nil, nil
	require.Equal(t, a, b)
}
