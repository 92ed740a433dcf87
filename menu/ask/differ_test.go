package ask

import (
	"context"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/kitchen"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// A price that is written otherwise moves plates and contribution just as the same rise does that is only asked about.
func TestDifferAgainstWhatIf(t *testing.T) {
	const file = "../../examples/three-kettles/kitchen.yaml"
	src, err := os.ReadFile(file)
	require.NoError(t, err)
	text, err := kitchen.Change(file, src, kitchen.Set(kitchen.InBought, "pork shoulder", "price", "6.12/kg")) // 5.10 and a fifth more
	require.NoError(t, err)
	open := func(src []byte) *week.Week {
		k, faults := kitchen.Read(file, src)
		require.NoError(t, faults.Err())
		w, err := week.Over(k, week.Period{From: weektest.Monday, Days: 7})
		require.NoError(t, err)
		return w
	}
	before, after := open(src), open(text)
	changes, err := kitchen.Alterations(file, src, file, text)
	require.NoError(t, err)
	a, err := Differ(context.Background(), before, after, changes)
	require.NoError(t, err)
	shock, err := before.Shock("price", "pork shoulder=+20%")
	require.NoError(t, err)
	c, err := WhatIf(context.Background(), before, []week.Shock{shock})
	require.NoError(t, err)

	require.Len(t, a.Changes, 1)
	require.NotEmpty(t, a.Plates)
	moved := map[string]CostChange{}
	for _, cost := range c.Costs {
		moved[cost.Dish] = cost
	}
	for _, p := range a.Plates {
		assert.InDelta(t, moved[p.Dish].Before, *p.CostBefore, 1e-9, p.Dish)
		assert.InDelta(t, moved[p.Dish].After, *p.CostAfter, 1e-9, p.Dish)
	}
	assert.Equal(t, "crisp shoulder tacos", a.Plates[0].Dish, "the largest change first")
	assert.Equal(t, c.Totals.PortionsAfter, a.Totals.PortionsAfter)
	assert.InDelta(t, c.Totals.SalesAfter, a.Totals.SalesAfter, 1e-6)
	assert.InDelta(t, c.Totals.ContributionBefore, a.Totals.ContributionBefore, 1e-6)
	lost := c.Totals.ContributionBefore - c.Totals.ContributionAfter
	assert.InEpsilon(t, lost, a.Totals.ContributionBefore-a.Totals.ContributionAfter, 0.05, "but for what is left, which the file values at its new price")
	assert.Empty(t, a.Short)
}

// A new dish of which nobody knows what it costs or sells for earns nothing that could be told yet; once both are known, it is told.
func TestDifferLeavesOutUnknownPlates(t *testing.T) {
	open := func(extra string) *week.Week {
		k, faults := kitchen.Read("kitchen.yaml", []byte("kitchen: Shed\nbought: {cream: {price: 5/L}, rice: {}}\ndishes:\n  tart: {price: 6, takes: [50 mL cream], sells: 3}\n"+extra))
		require.NotNil(t, k, faults)
		w, err := week.Over(k, week.Period{From: weektest.Monday, Days: 7})
		require.NoError(t, err)
		return w
	}
	before := open("")
	for extra, want := range map[string]int{
		"  pudding: {price: 5, takes: [80 g rice], sells: 2}\n":  0,
		"  posset: {takes: [80 mL cream], sells: 2}\n":           0,
		"  posset: {price: 5, takes: [80 mL cream], sells: 2}\n": 1,
	} {
		a, err := Differ(context.Background(), before, open(extra), nil)
		require.NoError(t, err)
		assert.Len(t, a.Plates, want, extra)
	}
}
