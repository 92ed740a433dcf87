package shop

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// jellyKitchen gives 4 lb of jelly, and 16 cups of stock, a pot.
const jellyKitchen = `
kitchen: Jelly
services: {lunch: 11:30-14:30}
bought:
  feet:  {price: 2/lb}
  water: {price: 0/L, density: 1 kg/L}
steps:
  set jelly: {takes: [3 lb feet, 2 L water], gives: [4 lb jelly], batches: {mon: 0}}
  boil:      {takes: [5 lb feet, 6 L water], gives: [16 cup stock], batches: {mon: 0}}
made:
  jelly: {keeps: 2 days}
  stock: {keeps: 2 days, density: 1 kg/L}
dishes:
  jelly plate: {price: 5, takes: [0.5 lb jelly]}
`

// TestNeedsAreNotRounded asks for what whole pots give to the last drop, in units of which no gram or millilitre is a whole number:
// 4 lb are a pot of jelly, and 10 gal are 160 cups, ten pots of 16.
func TestNeedsAreNotRounded(t *testing.T) {
	w := weekOf(t, jellyKitchen)
	at, err := w.SlotsNamed("mon")
	require.NoError(t, err)
	for need, batches := range map[string]int{
		"jelly=4 lb": 1, "jelly=64 oz": 1, "jelly=4.01 lb": 2, "jelly=0.3 g": 1, "jelly plate=8": 1, "jelly plate=9": 2,
		"stock=10 gal": 10, "stock=160 cup": 10, "stock=160.1 cup": 11, "stock=40 qt": 10,
	} {
		list, err := ToBuy(t.Context(), w, BuyOptions{Need: needs(t, w, need), At: at})
		require.NoError(t, err, need)
		n := 0
		for _, c := range list.Banquet.Cook {
			n += c.Batches
		}
		assert.Equal(t, batches, n, need)
	}
	list, err := ToBuy(t.Context(), w, BuyOptions{Need: needs(t, w, "jelly=1 lb", "jelly plate=4", "jelly=16 oz"), At: at})
	require.NoError(t, err, "two needs of one item add up, beside a dish of it: 1 lb, 2 lb, 1 lb")
	require.Len(t, list.Banquet.Cook, 1)
	assert.Equal(t, 1, list.Banquet.Cook[0].Batches)
	require.Empty(t, list.Banquet.Surplus)
}
