package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/week/weektest"
)

// What is too much to be searched is the standing week, at once, and says what to ask instead.
func TestTooLongToSearch(t *testing.T) {
	w := weektest.SmallDays(t, weektest.Copies(t, 1), 190)
	p, err := Make(t.Context(), w, Options{})
	require.NoError(t, err)
	assert.Equal(t, "this is the standing week, as no plan was found: 190 days of so many dishes are too much to search at once; "+
		"ask for fewer, with --days", p.Instead)
	assert.Contains(t, p.Notes, p.Instead)
	played, err := w.Play(t.Context())
	require.NoError(t, err)
	assert.InEpsilon(t, played.Books.Contribution, p.Contribution, 1e-9)
}
