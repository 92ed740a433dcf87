package shop

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"kettletree/menu/week/weektest"
)

// creamery sells from a counter on every day; the dairyman comes on Monday and Thursday.
const creamery = `
kitchen: Creamery
services: {lunch: 11:30-14:30}
suppliers:
  dairyman: {delivers: mon thu, order by: "18:00 the day before", least order: 50}
bought:
  milk:   {price: 1.20/L, density: 1.03 kg/L, from: dairyman, keeps: 4 days, allergens: [milk]}
  butter: {price: 9/kg, pack: 1 kg, from: dairyman, keeps: 30 days, allergens: [milk], also from: {corner shop: {price: 12/kg, within: 30 min}}}
dishes:
  curds:  {price: 4, takes: [500 mL milk], sells: {lunch: 2}}
  toast:  {price: 3, takes: [100 g butter], sells: {thu fri sat lunch: 10}}
`

func TestOrderThatIsTooSmall(t *testing.T) {
	order := func(replace ...string) Supplier {
		w := weektest.SmallWeek(t, strings.NewReplacer(replace...).Replace(creamery))
		list, err := ToBuy(t.Context(), w, BuyOptions{})
		require.NoError(t, err)
		require.Len(t, list.Trips[0].Suppliers, 1)
		return list.Trips[0].Suppliers[0]
	}
	// Monday: 3 L of milk do until Wednesday, 3.60. Thursday's butter, 3 kg of it, keeps; Thursday's milk does not.
	s := order()
	require.InDelta(t, 50-3.60, s.Short, 1e-9)
	require.Nil(t, s.Add, "27.00 of butter are not enough")
	require.Empty(t, s.Waits, "the milk is needed today")
	require.Empty(t, s.Else, "milk is sold by nobody else")

	s = order("least order: 50", "least order: 20")
	require.Len(t, s.Add, 1)
	require.InDelta(t, 27, s.Add[0].Cost, 1e-9)
	s.Add[0].Cost = 27
	require.Equal(t, []Added{{Item: "butter", Many: "butter", Quantity: 3, Unit: "kg", Date: "2026-11-26", Cost: 27}}, s.Add)

	require.Zero(t, order("least order: 50", "least order: 3").Short)

	// Butter alone, on Monday, for the toast of Monday: it can be fetched elsewhere.
	s = order("[500 mL milk], sells: {lunch: 2}", "[1 mL milk], sells: {sun lunch: 1}", "thu fri sat lunch", "mon")
	require.Equal(t, []Else{{"butter", "corner shop, within 30 min, 12/kg"}}, s.Else)

	// Herbs that the brine does without can wait for Thursday.
	s = order("bought:", `bought:
  water:  {price: 0/L, density: 1 kg/L, allergens: []}
  herbs:  {price: 30/kg, from: dairyman, keeps: 9 days, allergens: []}`, "dishes:", `steps:
  brine: {takes: [5 L water, "20 g herbs, to taste"], gives: [5 L brine], batches: {mon: 1}}
made:
  brine: {density: 1 kg/L}
dishes:
  pickle: {price: 2, takes: [100 mL brine], sells: {mon lunch: 3}}`, "sells: {lunch: 2}", "sells: {sun lunch: 2}", "thu fri sat lunch: 10", "sun lunch: 1")
	require.Equal(t, "2026-11-26", s.Waits)
}
