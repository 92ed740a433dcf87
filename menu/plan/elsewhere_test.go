package plan

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"kettletree/menu/week/weektest"
)

// The market brings limes on Monday, and they keep for the day. On six other days the corner shop has them, two for ten ceviches at 9
// each, or at 100 a lime, which is too dear.
func TestAPlanSaysWhatAnotherSells(t *testing.T) {
	const kitchen = `
kitchen: Ceviche Bar
services: {lunch: 11:30-14:30}
bought:
  fish: {price: 20/kg, allergens: [fish]}
  lime: {price: 0.20/each, arrives: mon, keeps: 1 day, allergens: [], also from: {corner shop: {price: 0.45/each, within: 20 min}}}
dishes:
  ceviche: {price: 9, takes: [100 g fish, 0.2 each lime], sells: 10}
`
	p, err := Make(t.Context(), weektest.SmallWeek(t, kitchen), Options{})
	require.NoError(t, err)
	require.InDelta(t, 10*9-10*2-2*0.20, p.Contribution, 1e-6)
	says := "lime from corner shop, within 20 min, 0.45/each would bring 414.60 more: 2 each on Tue 24 Nov, " // 6 x (90 - 20 - 0.90)
	require.True(t, strings.HasPrefix(strings.Join(p.Notes, "\n"), says), p.Notes)

	p, err = Make(t.Context(), weektest.SmallWeek(t, strings.Replace(kitchen, "0.45/each", "100/each", 1)), Options{})
	require.NoError(t, err)
	require.Empty(t, p.Notes)
}
