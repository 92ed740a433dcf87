package weektest

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// Houses that share nothing sell what one sells by itself, each.
func TestCopiesSellAlike(t *testing.T) {
	one := SmallWeek(t, Copies(t, 1))
	src := Copies(t, 3)
	_, faults := kitchen.Read("kitchen.yaml", []byte(src))
	require.Empty(t, faults)
	three := SmallWeek(t, src)
	require.Len(t, three.Dishes, 3*len(one.Dishes))
	sold := func(w *week.Week) (total float64) {
		p, err := w.Play(t.Context())
		require.NoError(t, err)
		return p.Books.Sales
	}
	assert.Positive(t, sold(one))
	assert.InDelta(t, 3*sold(one), sold(three), 1e-6*sold(three))
	played, err := ExampleWeek(t, "three-kettles").Play(t.Context())
	require.NoError(t, err)
	assert.Greater(t, played.Books.Sales, 0.9*sold(one), "it is the example, but for what that has on hand")
}
