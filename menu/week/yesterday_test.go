package week_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"kettletree/graph/flow"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// Begun again with what is bought elsewhere, a batch takes what there is of today too: of 5 kg it lacks the 4 kg beyond that kilogram, two
// packs of 2 kg, not three. Where nobody sells it, that kilogram is none of yesterday's, and nothing is made.
func TestNoMorePacksThanAreNeededToBeginAgain(t *testing.T) {
	w := weektest.Stocked(t, `
kitchen: Vinegar House
services: {dinner: 17:30-22:00}
bought: {cider: {price: 1/L, density: 1 kg/L}}
steps:
  vinegar: {takes: [20 kg cider, "5 kg mother, from yesterday"], gives: [18 kg vinegar, 6 kg mother], batches: {mon: 1}}
made:
  vinegar: {keeps: 90 days}
  mother: {keeps: 9 days}
dishes:
  shrub: {price: 5, takes: [100 g vinegar], sells: 10}
`, "item,quantity,made\nmother,1 kg,2026-11-23\n", week.Period{From: weektest.Monday, Days: 1})
	mother, err := w.Kitchen.FindItem("mother")
	require.NoError(t, err)
	is, err := w.PlayCase(t.Context(), w.Case.With(flow.Offer{Item: mother, Days: []bool{true}, Pack: 2000}), nil)
	require.NoError(t, err)
	require.InDelta(t, 4000, is.Outcome.Delivered(mother), 1e-6)
	require.InDelta(t, 1, is.Outcome.Ran[0].Batches, 1e-9)

	is, err = w.PlayCase(t.Context(), w.Case, nil)
	require.NoError(t, err)
	require.Zero(t, is.Outcome.Ran[0].Batches)
}
