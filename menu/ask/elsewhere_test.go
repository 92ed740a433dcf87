package ask

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/week/weektest"
)

const spicedPot = `
kitchen: Spiced
open: mon-fri
services: {lunch: 12:00-14:00}
bought:
  water: {price: 0/L, density: 1 kg/L}
  bones: {price: 2/kg, arrives: mon thu, keeps: 4 days, also from: {corner shop: {price: 4/kg, within: 2 h}}}
  onion: {price: 1/kg, arrives: mon, keeps: 9 days, also from: {corner shop: {price: 3/kg, within: 30 min}}}
  leaf: {price: 20/kg, arrives: mon, also from: {corner shop: {price: 30/kg, arrives: fri}}}
  salt: {price: 1/kg}
steps:
  boil:
    starts: "%s"
    takes: [12 L water, 10 kg bones, "1 kg onion, give or take 20%%", "40 g leaf, to taste", 50 g salt]
    gives: ["10 L stock, out at 4 h"]
    batches: {mon: 1, thu: 1}
made: {stock: {keeps: 3 days, density: 1 kg/L}}
dishes:
  soup: {price: 5, takes: [500 mL stock], sells: 6}
`

// Half the onions: the pot is cut to what four fifths of them are enough for. No leaf: nothing is cut.
func TestWhatIsMissingIsTold(t *testing.T) {
	w := weektest.Replaced(t, spicedPot, "%s", "06:00", "%%", "%")
	a, err := WhatIf(t.Context(), w, weektest.Shocks(t, w, "short leaf=100%", "short onion@mon=10%"))
	require.NoError(t, err)
	assert.Equal(t, a.Totals.PortionsBefore, a.Totals.PortionsAfter)
	require.Len(t, a.Departures, 2)
	for n, want := range []struct {
		kind, in, item string
		amount, of     float64
	}{{LeftOut, "boil", "leaf", 0.08, 0.08}, {RunsShort, "Thursday's boil", "onion", 0.2, 1}} {
		is := a.Departures[n]
		assert.Equal(t, want.kind, is.Kind)
		assert.Equal(t, want.in, is.In)
		assert.Equal(t, want.item, is.For)
		assert.InDelta(t, want.amount, is.Amount, 1e-6)
		assert.InDelta(t, want.of, is.Of, 1e-6)
		assert.Equal(t, []string{"soup"}, is.Dishes)
	}
	assert.Equal(t, "2026-11-23", a.Departures[0].From)
	assert.Equal(t, "2026-11-26", a.Departures[0].To)
	// The leaf of Friday comes too late for Thursday's pot; the onion does not.
	require.Len(t, a.Elsewhere, 1)
	assert.Equal(t, Elsewhere{Item: "onion", From: "corner shop", Words: "corner shop, within 30 min, 3/kg", Price: 3, Unit: "kg", Within: 30,
		Comes: "2026-11-23 00:30"}, a.Elsewhere[0])
}

// Bones that are missed when Monday begins can be there two hours later: in time for a pot at six, not for one at one. Free water
// and a leaf to taste are no weak points; salt, for which the file names neither days nor a supplier, comes last like what can be had elsewhere.
func TestWeakPointsThatCanBeReplacedComeLast(t *testing.T) {
	bought := func(starts string) (order []string, elsewhere map[string]string) {
		w := weektest.Replaced(t, spicedPot, "%s", starts, "%%", "%")
		losses, err := Losses(t.Context(), w)
		require.NoError(t, err)
		elsewhere = map[string]string{}
		for _, l := range losses {
			order = append(order, l.Of)
			elsewhere[l.Of] = l.Elsewhere
		}
		return order, elsewhere
	}
	order, elsewhere := bought("06:00")
	assert.ElementsMatch(t, []string{"bones", "onion", "salt"}, order[len(order)-3:])
	assert.Equal(t, "any day, from anyone", elsewhere["salt"])
	assert.NotContains(t, order, "leaf")
	assert.NotContains(t, order, "water")
	assert.Contains(t, order, "salt")
	assert.Equal(t, "corner shop, within 2 h, 4/kg", elsewhere["bones"])
	_, elsewhere = bought("01:00")
	assert.Empty(t, elsewhere["bones"])
	assert.NotEmpty(t, elsewhere["onion"])
}
