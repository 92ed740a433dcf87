package taste

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
)

// Salt 1.3 and brix 5.6 of 62 L in a pot for 90: "add 30 L" and "add 18 L" once stood below each other, as if 48 L were to go in, and 92 L are more than
// the pot holds. Mass balance by hand: 62 L at 5.6 are 92.6 L at 3.75.
func TestTogetherAndWithinThePot(t *testing.T) {
	k, of := gumbo(t)
	item := liquidOf(k, of.Step).Item
	measures := []kitchen.Measure{
		{Name: "brix", Sort: kitchen.Gauged, Unit: "°Bx", Aim: &kitchen.Range{Low: 3, High: 4.5}}, {Name: "salt", Sort: kitchen.Gauged, Unit: "%", Aim: &kitchen.Range{Low: 0.9, High: 1.1}}}
	reads := func(litres, brix, salt float64) []Righting {
		return righted(k, of, measures, &logbook.Tasting{Batches: 1, Gave: map[int]float64{item: 1000 * litres},
			Tastes: []logbook.Taste{{Name: "brix", Value: &brix}, {Name: "salt", Value: &salt}}}, nil)
	}
	k.Steps[of.Step].Vessel = -1
	list := reads(62, 5.6, 1.3)
	require.Len(t, list, 3)
	both := together(list)
	require.Len(t, both, 2, "the water for the salt is part of that for the sugar")
	assert.Equal(t, "water", both[0].Do)
	assert.Equal(t, 30.0, both[0].Much)
	assert.Equal(t, "salt", both[1].Do)
	assert.Equal(t, 115.0, both[1].Much)

	k.Vessels, k.Steps[of.Step].Vessel = []kitchen.Vessel{{Name: "copper pot", Holds: 90_000}}, 0
	both = together(reads(62, 5.6, 1.3))
	require.Len(t, both, 2)
	for _, r := range both {
		assert.Equal(t, 1.5, r.TakeOut)
		assert.LessOrEqual(t, r.Then, 90.0)
	}
	assert.Equal(t, "copper pot", both[0].Pot)
	assert.InDelta(t, 5.6*60.5/both[0].Then, both[0].ComesTo, 1e-9)
	assert.InDelta(t, 1, both[1].ComesTo, 0.05, "the salt is for what is in the pot then")
	assert.Empty(t, together(reads(62, 3.75, 1.3)), "one thing is all")
	assert.Empty(t, together(reads(62, 2, 1.3)), "water and steam shut each other out")
}
