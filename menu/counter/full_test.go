package counter

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"kettletree/menu/week/weektest"
)

// By hand: nine plates want 9 L, nine tenths of a kettle. Filled up, it takes 100 g more leek and 1 kg more bones, which nobody will eat: 0.12 of 60 in
// hand at 1/kg of leek and 0.02/kg of bones. A cook fills the pot for that. At 9/kg of leek it is 0.92, more than a two-hundredth of 60, and the
// answer says so, with what there is of it.
func TestPotsAreFilledForATrifle(t *testing.T) {
	for price, full := range map[string]bool{"1": true, "9": false} {
		w := weektest.SmallWeek(t, strings.ReplaceAll(`
kitchen: Stew Cart
open: mon
services: {lunch: 11:30-14:30}
bought:
  bones: {price: 0.02/kg, keeps: 1 day, arrives: mon, allergens: []}
  leek:  {price: PRICE/kg, keeps: 1 day, arrives: mon, allergens: []}
steps:
  boil: {takes: [10 kg bones, 1 kg leek], gives: [10 L broth], batches: {mon: 1}, starts: "06:00"}
made:
  broth: {keeps: 1 day}
dishes:
  stew: {price: 9, takes: [1 L broth], sells: {lunch: 9}}
`, "PRICE", price))
		_, a := answer(t, w, 60, "bones=0.02/kg", "leek="+price+"/kg")
		bones, leek := &a.Lines[0], &a.Lines[1]
		if full {
			require.Empty(t, a.Cut)
			require.InDelta(t, 1, leek.Buy, 1e-9)
			require.InDelta(t, 10, bones.Buy, 1e-9)
			require.InDelta(t, 81-1-0.2, a.Brings, 1e-9)
			require.GreaterOrEqual(t, leek.UpTo, 1.0)
			continue
		}
		require.InDelta(t, 0.9, leek.Buy, 1e-9)
		require.Len(t, a.Cut, 1)
		cut := a.Cut[0]
		require.Equal(t, "broth", cut.Item)
		require.Equal(t, "L", cut.Unit)
		require.InDelta(t, 9, cut.Gives, 1e-9)
		require.InDelta(t, 10, cut.Of, 1e-9)
		require.InDelta(t, 0.92, cut.Loses, 1e-9)
	}
}
