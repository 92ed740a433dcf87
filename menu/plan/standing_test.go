package plan

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"kettletree/menu/plan/solve"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// dayOf is the Tuesday of a kitchen written in a test, with what is on hand.
func dayOf(t *testing.T, text, onHand string) *week.Week {
	t.Helper()
	return weektest.Stocked(t, text, "item,quantity,made\n"+onHand, week.Period{From: weektest.Monday.AddDate(0, 0, 1), Days: 1})
}

const carvery = `
kitchen: Carvery
services: {dinner: 17:30-22:00}
bought:
  carcass: {price: 40/each, each: 9 kg, pack: 1 each}
  water: {price: 0/L, density: 1 kg/L}
steps:
  carve: {takes: [1 each carcass], gives: [5.9 kg bones], batches: {tue: 1}}
  boil:  {takes: [6 kg bones, 10 L water], gives: [8 L stock], batches: {tue: 1}}
made:
  bones: {keeps: 2 days}
  stock: {keeps: 1 day, density: 1 kg/L}
dishes:
  soup: {price: 6, takes: [500 mL stock], sells: 15}
`

// TestNeverBelowTheStandingWeek counts by hand: 5.9 kg of bones are enough for 59/60 of the pot, 7.87 L, which is 15 soups. A
// whole pot would ask for a second carcass.
func TestNeverBelowTheStandingWeek(t *testing.T) {
	p, err := Make(t.Context(), dayOf(t, carvery, ""), Options{})
	require.NoError(t, err)
	require.InDelta(t, 15*6-40, p.Contribution, 1e-6)
	require.Equal(t, nothingBetter, p.Instead)
	require.Empty(t, p.Parted)
	a := p.Answer()
	require.True(t, a.Proven)
	require.InDelta(t, a.Contribution, *a.Bound, 2e-3)
	require.InDelta(t, a.Standing, a.Contribution, 1e-6)
	boil := a.Cook[1]
	require.Equal(t, 1.0, boil.Batches)
	require.InDelta(t, 59.0/60, boil.Made, 1e-9)
	require.Contains(t, a.Notes, "boil on Tue 24 Nov is cut: bones for 0.98 of 1 batch")

	day := p.Kept().Days[0]
	require.Equal(t, []KeptOrder{{"carcass", 1, "each"}}, day.Orders)
	require.Empty(t, day.AtMost)
}

// TestNothingEarned sells at what it costs: a bound above nothing is no share of nothing.
func TestNothingEarned(t *testing.T) {
	w := dayOf(t, strings.Replace(carvery, "price: 6,", "price: 0.1,", 1), "")
	p, err := Make(t.Context(), w, Options{})
	require.NoError(t, err)
	require.InDelta(t, 0, p.Contribution, 1e-6)
	a := p.Answer()
	require.Nil(t, a.Gap)
	require.NotNil(t, a.Bound)

	p.Contribution, p.Bound = 0, 0.00036
	require.Nil(t, p.Answer().Gap)
	p.Contribution, p.Bound = -20, -10 // a loss that might be half as large
	require.InDelta(t, 0.5, *p.Answer().Gap, 1e-12)
}

// TestStandingWeekKeepsWishes does not fall back on a week in which a step is not done as often as asked.
func TestStandingWeekKeepsWishes(t *testing.T) {
	w := dayOf(t, carvery, "")
	fix, err := ReadFix(w, "carve@tue=2")
	require.NoError(t, err)
	p, err := Make(t.Context(), w, Options{Fix: []Fix{fix}})
	require.NoError(t, err)
	require.Empty(t, p.Instead)
	require.InDelta(t, 15*6-80, p.Contribution, 1e-6)
}

// TestNoPlanFound gives the standing week, and says why, when the search comes to nothing; a wish that it does not meet is named.
func TestNoPlanFound(t *testing.T) {
	w := dayOf(t, carvery, "stock,1 L,2026-11-24\n")
	p, err := Make(t.Context(), w, Options{iterations: 1})
	require.NoError(t, err)
	require.Equal(t, "this is the standing week, as no plan was found: none was found within the work that is allowed for", p.Instead)
	require.Contains(t, p.Notes, p.Instead)
	require.InDelta(t, p.Answer().Standing, p.Contribution, 1e-6)

	p.giveUp(false, solve.Infeasible, []string{"a par of 3 kg of bones"})
	require.Equal(t, "this is the standing week, as no plan was found: none can meet all that is wished for; it does not meet a par of 3 kg of bones", p.Instead)
	require.Empty(t, p.Parted)

	p, err = Make(t.Context(), w, Options{Held: true, iterations: 1})
	require.NoError(t, err)
	require.Equal(t, "what is scarce is shared out fairly, as no better way was found: none was found within the work that is allowed for", p.Instead)
	require.Empty(t, p.Parted)

	p.giveUp(true, solve.Limit, []string{"a par of 3 kg of bones"})
	require.Equal(t, "what is scarce is shared out fairly, as no better way was found: the search for one came to figures that could not be trusted; "+
		"it does not meet a par of 3 kg of bones", p.Instead)
}

// A plan that has to lose 40 bins nothing: the bones are left. No note says otherwise.
func TestNothingInTheBinOfALoss(t *testing.T) {
	w := dayOf(t, strings.NewReplacer("sells: 15", "sells: 0", "bones: {", "bones: {worth: 1/kg, ").Replace(carvery), "")
	carve, err := ReadFix(w, "carve@tue=1")
	require.NoError(t, err)
	boil, err := ReadFix(w, "boil@tue=0")
	require.NoError(t, err)
	p, err := Make(t.Context(), w, Options{Fix: []Fix{carve, boil}})
	require.NoError(t, err)
	a := p.Answer()
	require.Negative(t, a.Contribution)
	require.NotEmpty(t, a.Items)
	for _, it := range a.Items {
		require.Zero(t, it.Binned)
	}
	for _, note := range a.Notes {
		require.NotContains(t, note, "in the bin")
	}
}
