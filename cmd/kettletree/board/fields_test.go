package board

import (
	"net/url"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/kitchen"
)

// However many fields a form has, each that says something is written: a stock-take has one for each thing that may be there.
func TestFieldedKeepsAllRows(t *testing.T) {
	src, err := os.ReadFile("../../../examples/three-kettles/kitchen.yaml")
	require.NoError(t, err)
	k, faults := kitchen.Read("kitchen.yaml", src)
	require.NoError(t, faults.Err())
	form := url.Values{"kind": {"counted"}}
	for n := range 150 {
		amount := ""
		if n == 109 || n == 140 {
			amount = strconv.Itoa(n)
		}
		form.Add("item", "lard")
		form.Add("unit", "g")
		form.Add("amount", amount)
	}
	texts, wrong := fielded(k, form)
	assert.Empty(t, wrong)
	assert.Equal(t, []string{"counted 109 g lard", "counted 140 g lard"}, texts)
}

// A depth has no amount before the vessel is looked up: it is not "nothing came".
func TestFieldedDepthIsNotNothing(t *testing.T) {
	src, err := os.ReadFile("../../../examples/three-kettles/kitchen.yaml")
	require.NoError(t, err)
	k, faults := kitchen.Read("kitchen.yaml", src)
	require.NoError(t, faults.Err())
	texts, _ := fielded(k, url.Values{"kind": {"received"}, "item": {"vegetable oil"}, "amount": {"23.5"}, "unit": {depthIn + "big kettle"}})
	assert.Equal(t, []string{"received vegetable oil 23.5 cm in big kettle"}, texts)
	texts, _ = fielded(k, url.Values{"kind": {"received"}, "item": {"vegetable oil"}, "amount": {"0"}, "amount-else": {"6"}, "unit": {"L"}})
	assert.Equal(t, []string{"did not come vegetable oil"}, texts)
}
