package kitchen

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Common practice, no source: a lime is cut, a fish cake is not; 29.75 fish cakes are 29, and 2.75 eggs are 3.
func TestPieces(t *testing.T) {
	k, faults := Read("kitchen.yaml", []byte(`
services: {lunch: 12:00-14:00}
bought:
  lime: {price: 0.3/each}
  egg:  {price: 0.2/each}
  loaf: {price: 4/each, each: 800 g}
  cod:  {price: 9/kg}
steps:
  shape: {takes: [1 kg cod, 3 each egg], gives: [22 each fish cake], batches: as needed}
dishes:
  plate: {price: 9, takes: [2 each fish cake, 0.5 each lime, 100 g loaf], sells: 2}
`))
	require.NoError(t, faults.Err())
	for name, want := range map[string]struct{ made, taken float64 }{"fish cake": {29, 30}, "egg": {29, 30}, "lime": {29.75, 29.75}, "loaf": {29.75, 29.75}} {
		for i, it := range k.Graph.Items {
			if it.Name == name {
				assert.Equal(t, want.made, k.Shown(i, 29.75, true), name)
				assert.Equal(t, want.taken, k.Shown(i, 29.75, false), name)
				assert.Equal(t, want.made >= 29.5, k.Cut(i), name)
				assert.Equal(t, 30.0, k.Shown(i, 30-1e-9, true), name)
			}
		}
	}
}
