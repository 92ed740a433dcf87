package show

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/ask"
	"kettletree/menu/kitchen"
)

// What nobody knows wins a cell of the grid over what may be there; below it both are told.
func TestGridTellsBoth(t *testing.T) {
	k, faults := kitchen.Read("kitchen.yaml", []byte(`
bought: {masa: {price: 1/kg, allergens: [], may contain: [milk]}, salsa: {price: 2/kg}}
dishes: {tlayuda: {price: 5, takes: [100 g masa, 20 g salsa]}}
`))
	require.NoError(t, faults.Err())
	g := ask.Grid(k)
	assert.Equal(t, ask.Unknown, g.Dishes[0].Cells[0].Says)
	assert.Equal(t, []string{"may contain milk", "UNKNOWN: salsa. Read the package"}, Page{}.gridKinds(g, g.Dishes[0], false))
}
