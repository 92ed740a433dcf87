package plan

// Perpetual stocks: what a plan leaves of them.

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"kettletree/graph/flow"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// masterLiquor is a braise shop whose liquor feeds on itself on Tuesdays and Thursdays, so many days before it is binned. The guests
// come for something else, and each batch costs 1 in labour.
const masterLiquor = `
kitchen: Braise Shop
open: mon-thu
services: {lunch: 11:30-14:30, dinner: 17:30-22:00}
bought:
  cassia: {price: 0/kg}
  rice: {price: 0/kg}
steps:
  liquor: {takes: [1 kg cassia, "20 g master liquor, from yesterday"], gives: [0.1 kg master liquor], costs: 1, batches: BATCHES}
made:
  master liquor: {keeps: 3 days}
dishes:
  congee: {price: 1, takes: [100 g rice], sells: 1}
`

// TestPerpetualStockIsCarriedOn has liquor from Sunday, which is binned on Tuesday night: Thursday's batch takes of Tuesday's. Not to
// make Tuesday's would save 1, and the pot would be dead on Thursday: that is no plan, though what it earns lies above the bound.
func TestPerpetualStockIsCarriedOn(t *testing.T) {
	w := weektest.Stocked(t, strings.Replace(masterLiquor, "BATCHES", "{tue thu: 1}", 1), "item,quantity,made\nmaster liquor,1 kg,2026-11-22\n", week.Period{From: weektest.Monday, Days: 2})
	p, err := Make(t.Context(), w, Options{})
	require.NoError(t, err)
	require.Empty(t, p.m.dropped(p.Case))
	require.Empty(t, p.missed(nil).Wishes)
	require.InDelta(t, 1, p.Labour, 1e-6)
	require.Empty(t, p.Notes)

	lazy := *p.Case.Schedule
	lazy.Batches = slices.Clone(lazy.Batches)
	for r := range lazy.Batches {
		lazy.Batches[r].Size = 0
	}
	without := p.m.played(&lazy, p.m.Player().Play(flow.Case{Flow: w.Case.Flow, Schedule: &lazy}, nil))
	require.Greater(t, without.counts(), p.most+0.5)
	require.Equal(t, []string{"master liquor kept for Thu 26 Nov  kitchen.yaml:9:3"}, p.m.unmet(without, nil))
}

// TestStandingWeekLetsItDie has no batch on Tuesday: the liquor from Sunday is binned before Thursday's can begin. A plan carries it on,
// which costs more than it brings, and says so.
func TestStandingWeekLetsItDie(t *testing.T) {
	w := weektest.Stocked(t, strings.Replace(masterLiquor, "BATCHES", "{thu: 1}", 1), "item,quantity,made\nmaster liquor,1 kg,2026-11-22\n", week.Period{From: weektest.Monday, Days: 2})
	p, err := Make(t.Context(), w, Options{})
	require.NoError(t, err)
	require.Empty(t, p.m.dropped(p.Case))
	require.Positive(t, p.Labour)
	require.Equal(t, []string{"the standing week earns 2.00 more, and leaves too little master liquor for the batch after the last day: this plan carries it on"}, p.Notes)
}

// TestAllThatABatchGivesIsFresh has liquor that feeds on 20 g of itself every day and gives 50 g: on the days behind, 50 g of each day are
// fresh, not 30. With no batch on Monday the 100 g on hand are used from Tuesday on: played by hand, 60 g of them go off on Wednesday, then
// 30 g each on the five days from Thursday to the Monday after: 210 g for 0.30/kg.
func TestAllThatABatchGivesIsFresh(t *testing.T) {
	w := weektest.Stocked(t, `
kitchen: Braise Shop
disposal: 0.30/kg
services: {lunch: 11:30-14:30}
bought:
  cassia: {price: 0/kg}
  old liquor: {price: 9/kg}
  rice: {price: 0/kg}
steps:
  liquor: {takes: [1 kg cassia, "20 g master liquor or 20 g old liquor, from yesterday"], gives: [0.05 kg master liquor], batches: {daily: 1}}
made:
  master liquor: {keeps: 3 days, worth: 0/kg}
dishes:
  congee: {price: 1, takes: [100 g rice], sells: 1}
`, "item,quantity,made\nmaster liquor,100 g,2026-11-23\n", week.Period{From: weektest.Monday, Days: 1})
	p, err := Make(t.Context(), w, Options{})
	require.NoError(t, err)
	none := *p.Case.Schedule
	none.Batches = slices.Clone(none.Batches)
	for r := range none.Batches {
		if none.Batches[r].Day < w.Days {
			none.Batches[r].Size = 0
		}
	}
	other := p.m.played(&none, p.m.Player().Play(flow.Case{Flow: w.Case.Flow, Schedule: &none}, nil))
	require.Empty(t, p.m.unmet(other, nil))
	require.InDelta(t, 0.30*0.210, other.Onward.Disposal, 1e-9)
	require.GreaterOrEqual(t, p.most, other.counts()-1e-9)
}
