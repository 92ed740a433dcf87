package ask

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// standing is the standing week of a kitchen file.
func standing(t *testing.T, src string) *week.Week {
	t.Helper()
	k, faults := kitchen.Read("kitchen.yaml", []byte(src))
	require.NoError(t, faults.Err())
	w, err := week.Over(k, week.Period{From: time.Date(2026, 11, 23, 0, 0, 0, 0, time.UTC), Days: 7})
	require.NoError(t, err)
	return w
}

// What stands in for a price that nobody has said is shown as no price, and moves with no other dish's.
func TestStandInIsNoPrice(t *testing.T) {
	const dishes = "bought: {beans: {price: 2/kg}}\ndishes: {bowl: {takes: [90 g beans], sells: 3}, cup: {takes: [40 g beans], price: 6, sells: 3}}\n"
	ctx := context.Background()
	w := standing(t, dishes)
	sheet, err := Cost(ctx, w)
	require.NoError(t, err)
	assert.True(t, sheet.Dishes[0].Unpriced)
	assert.Nil(t, sheet.Dishes[0].FoodCostPct)
	assert.False(t, sheet.Dishes[1].Unpriced)
	ranked, err := Popularity(ctx, w, nil)
	require.NoError(t, err)
	assert.True(t, ranked.Dishes[0].Unpriced || ranked.Dishes[1].Unpriced)

	dearer := standing(t, "bought: {beans: {price: 2/kg}}\ndishes: {bowl: {takes: [90 g beans], sells: 3}, cup: {takes: [40 g beans], price: 8, sells: 3}}\n")
	d, err := Differ(ctx, w, dearer, nil)
	require.NoError(t, err)
	require.Len(t, d.Plates, 1)
	assert.Equal(t, "cup", d.Plates[0].Dish)

	priced := standing(t, "bought: {beans: {price: 2/kg}}\ndishes: {bowl: {takes: [90 g beans], price: 9, sells: 3}, cup: {takes: [40 g beans], price: 6, sells: 3}}\n")
	d, err = Differ(ctx, w, priced, nil)
	require.NoError(t, err)
	require.Len(t, d.Plates, 1)
	assert.Nil(t, d.Plates[0].PriceBefore)
	assert.Equal(t, 9.0, *d.Plates[0].PriceAfter)
	assert.Zero(t, d.Plates[0].Leaves())
}

// What is called otherwise was open before, and is open still.
func TestRenamedQuestionsStay(t *testing.T) {
	const before = "bought: {beans: {}}\ndishes: {bowl: {takes: [90 g beans], price: 9}}\n"
	const after = "bought: {black beans: {was: [beans]}}\ndishes: {bean bowl: {takes: [90 g black beans], price: 9, was: [bowl]}}\n"
	changes, err := kitchen.Alterations("a.yaml", []byte(before), "b.yaml", []byte(after))
	require.NoError(t, err)
	d, err := Differ(context.Background(), standing(t, before), standing(t, after), changes)
	require.NoError(t, err)
	assert.Empty(t, d.Asked)
	assert.Empty(t, d.Closed)
}
