package week_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// larder is open daily but on Sundays, the last day of the week from Monday 23 November. Of what a day takes: 2 kg stew,
// 1 kg beans, 10 buns, 1 kg rice.
const larder = `
kitchen: Larder
open: mon-sat
services: {lunch: 11:30-14:00}
disposal: 0.50/kg
bought:
  shin:  {price: 4/kg, arrives: sat, keeps: 2 days}
  buns:  {price: 0.50/each, each: 100 g, keeps: 3 days}
  rice:  {price: 2/kg, keeps: 90 days}
  beans: {price: 3/kg, pack: 10 kg, keeps: 90 days}
steps:
  braise:
    starts: "15:00"
    takes: [5 kg shin]
    gives: [4 kg stew, 1 kg bones]
    share cost by: worth
    costs: 10
    batches: {sat: 2}
made:
  stew:  {keeps: 4 days, worth: 6/kg}
  bones: {keeps: 30 days, worth: 1/kg}
dishes:
  stew plate: {price: 12, takes: [500 g stew, 250 g beans, 250 g rice], sells: {lunch: 4}}
  stew roll:  {price: 8, takes: [500 g stew, 1 each buns], sells: 0}
  bun:        {price: 2, takes: [1 each buns], sells: {lunch: 10}}
  bone broth: {price: 3, takes: [1 kg bones], sells: 0}
`

// What counts of what is left, by hand. IAS 2 Inventories, paragraph 9, has the lower of cost and net realisable value; the
// limits are our own.
func TestWhatIsOnHandIsWorth(t *testing.T) {
	w := weektest.Replaced(t, larder)
	v, err := w.Worth()
	require.NoError(t, err)
	for _, c := range []struct {
		item string
		unit float64 // for a kilogram, or each
		most float64
	}{
		// A batch costs 30, shared 24 : 1: a kilogram of stew 7.20, above its worth of 6. Saturday's 8 kg keep until Tuesday:
		// Monday and Tuesday take 4.
		{"stew", 6, 4},
		// Bones cost 1.20, above their worth, and keep: the 2 kg that the week leaves.
		{"bones", 1, 2},
		// Sunday's keep until Tuesday.
		{"buns", 0.50, 20},
		// Bought as it is needed: what the week behind takes, two days with stew.
		{"rice", 2, 2},
		// Nine tenths of a pack.
		{"beans", 3, 9},
		// Sunday's is Monday's, when nothing takes it any more.
		{"shin", 4, 0},
	} {
		item, err := w.FindItem(c.item)
		require.NoError(t, err)
		factor := w.Graph.Items[item].Unit.Factor
		require.InDelta(t, c.unit, v.Unit(w.Case.Flow, item)*factor, 1e-9, c.item)
		require.InDelta(t, c.most, v.Counts(item)/factor, 1e-9, c.item)
		require.InDelta(t, c.most*c.unit, v.Fresh(w.Case.Flow, item, 1e9), 1e-9, c.item)
	}
	// 60 buns are sold at 2 and bought at 0.50; 10 kg shin are bought at 4, and two batches cost 10 each; 4 of the 8 kg of
	// stew count, and the bones.
	p, err := w.Play(t.Context())
	require.NoError(t, err)
	require.Equal(t, week.Books{Portions: 60, Sales: 120, Bought: 70, Labour: 20, Stock: 26, Contribution: 56}, p.Books)

	// A mishap does not change what things are worth. Half of the 10 kg that the batches give is lost: that is taken away at
	// the price of waste, as what is binned is.
	after, err := w.Play(t.Context(), weektest.Shocks(t, w, "lose braise=50%")...)
	require.NoError(t, err)
	require.InDelta(t, 2.50, after.Books.Disposal, 1e-9)
	require.InDelta(t, 4*6+1, after.Books.Stock, 1e-9)
	// What is bought for less is worth no more than that, even if it was bought before.
	after, err = w.Play(t.Context(), weektest.Shocks(t, w, "price buns=0.30/each")...)
	require.NoError(t, err)
	buns, err := w.FindItem("buns")
	require.NoError(t, err)
	require.InDelta(t, 0.30, v.Unit(after.Case.Flow, buns), 1e-9)
}

// On hand at first counts what keeps beyond the days behind, and of what does not, as much as is taken before its date.
func TestWhatIsOnHandAtFirstIsWorth(t *testing.T) {
	lots, faults := kitchen.ReadOnHand("on-hand.csv", []byte("item,quantity,made\n"+
		"stew,3 kg,2026-11-20\nstew,3 kg,2026-11-21\nstew,1 kg,2026-11-19\nbuns,5 each,2026-11-20\nrice,7 kg,2026-11-02\n"),
		weektest.Replaced(t, larder).Kitchen, weektest.Replaced(t, larder).From)
	require.NoError(t, faults.Err())
	w := weektest.Replaced(t, larder).Stocked(lots...)
	v, err := w.Worth()
	require.NoError(t, err)
	for item, want := range map[string]float64{
		"stew": 6 * 4, // Friday's keeps until Monday, which takes 2 of 3 kg; of Saturday's 3 kg, Tuesday takes 2
		"buns": 0,     // stale
		"rice": 2 * 7, // it keeps
	} {
		i, err := w.FindItem(item)
		require.NoError(t, err)
		require.InDelta(t, want, v.Opening(w.Case.Flow, i), 1e-9, item)
	}
}

// cupShop has 9 kg of broth of yesterday on hand, which keeps until Thursday: Tuesday to Thursday take 1.5 kg each. Of the pot of
// Friday it has nothing.
const cupShop = `
kitchen: Cup Shop
open: mon-sat
services: {dinner: 17:30-22:00}
bought:
  bones: {price: 2/kg, keeps: 3 days}
  water: {price: 0/kg}
steps:
  kettle: {starts: "08:00", takes: [5 kg bones, 10 kg water], gives: [10 kg broth], costs: 5, batches: {fri: 1}}
made:
  broth: {keeps: 4 days, worth: 4.50/kg}
dishes:
  cup:     {price: 3, takes: [300 g broth], sells: {tue wed thu dinner: 5, fri dinner: 5}}
  big cup: {price: 8, takes: [1 kg broth], sells: {fri dinner: 9}}
`

// A cook counts 4.5 kg when the day begins, and 3 kg when it ends with nothing come: by Thursday no more is taken. A kilogram costs 1.50.
func TestWhatLiesThereCountsAlikeAtBothEnds(t *testing.T) {
	tuesday := week.Period{From: weektest.Monday.AddDate(0, 0, 1), Days: 1}
	w := weektest.Stocked(t, cupShop, "item,quantity,made\nbroth,9 kg,2026-11-23\n", tuesday)
	p, err := w.Play(t.Context())
	require.NoError(t, err)
	require.InDelta(t, 15, p.Books.Sales, 1e-9)
	require.InDelta(t, 1.5*(3-4.5), p.Books.Stock, 1e-9)
	require.InDelta(t, 12.75, p.Books.Contribution, 1e-9)
}

// On days on which nothing is made, bought or sold, whatever lies there and whatever the days behind take of it, a kitchen earns nothing,
// and pays to have taken away what spoils.
func TestAShutKitchenEarnsNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		number := func(what string, least, most int) int { return rapid.IntRange(least, most).Draw(t, what) }
		days := number("days", 1, 3)
		var closed []string
		for d := range days {
			closed = append(closed, weektest.Monday.AddDate(0, 0, d).Format(time.DateOnly))
		}
		keeps := func() string {
			return rapid.SampledFrom([]string{"1 day", "2 days", "3 days", "5 days", "8 days", "12 days", "60 days"}).Draw(t, "keeps")
		}
		text := fmt.Sprintf(`
kitchen: Shut
services: {dinner: 17:30-22:00}
closed: [%s]
disposal: 0.50/kg
bought:
  bones: {price: 2/kg, keeps: %s, arrives: %s}
  water: {price: 0/kg}
steps:
  kettle: {starts: "08:00", takes: [5 kg bones, 10 kg water], gives: [10 kg broth], costs: 5, batches: {%s: 1}}
made:
  broth: {keeps: %s, worth: 4.50/kg}
dishes:
  cup:   {price: 3, takes: [300 g broth], sells: %d}
  feast: {price: 8, takes: [1 kg broth, 300 g bones], sells: {%s dinner: %d}}
`, strings.Join(closed, ", "), keeps(), rapid.SampledFrom([]string{"daily", "thu", "sat sun"}).Draw(t, "arrives"),
			rapid.SampledFrom([]string{"thu", "fri", "sat", "thu sun"}).Draw(t, "batches"), keeps(), number("cups", 0, 9),
			rapid.SampledFrom([]string{"thu", "fri", "sun"}).Draw(t, "feast"), number("feasts", 0, 9))
		lots := "item,quantity,made\n"
		for range number("lots", 0, 5) {
			lots += fmt.Sprintf("%s,%d kg,%s\n", rapid.SampledFrom([]string{"broth", "bones"}).Draw(t, "item"), number("kg", 1, 9),
				weektest.Monday.AddDate(0, 0, -number("days ago", 1, 9)).Format(time.DateOnly))
		}
		p, err := weektest.Stocked(t, text, lots, week.Period{From: weektest.Monday, Days: days}).Play(t.Context())
		require.NoError(t, err)
		require.Zero(t, p.Books.Sales+p.Books.Bought+p.Books.Labour, text+lots)
		require.InDelta(t, 0, p.Books.Stock, 1e-9, text+lots)
		require.InDelta(t, -p.Books.Disposal, p.Books.Contribution, 1e-9, text+lots)
	})
}

// Whatever is left and happens: the books add up, nothing counts for more than its cost, its worth, and all there is, and a
// week that is shut and empty earns nothing.
func TestBooksAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, text := weektest.AnyPresent(t)
		v, err := w.Worth()
		require.NoError(t, err)
		p, err := w.Play(t.Context())
		require.NoError(t, err)
		terms, b, o := w.Case.Flow.Terms(), p.Books, p.Outcome
		require.InDelta(t, b.Sales-b.Bought-b.Labour-b.Disposal+b.Stock, b.Contribution, 1e-9)
		require.InDelta(t, b.Spent(), b.Bought+b.Labour+b.Disposal, 1e-9)
		sales, stock := 0.0, 0.0
		for at, n := range o.Served {
			sales += n * w.Kitchen.Dishes[at%len(w.Kitchen.Dishes)].Price
		}
		require.InDelta(t, sales, b.Sales, 1e-6, text)
		for i, it := range w.Graph.Items {
			unit := v.Unit(w.Case.Flow, i)
			require.GreaterOrEqual(t, unit, 0.0)
			require.LessOrEqual(t, unit, max(p.Costing.Unit[i], 0)*(1+1e-9)+1e-12, it.Name)
			if it.Role == graph.Sold {
				require.Zero(t, unit)
				continue
			}
			if worth := terms.Worth[i]; worth >= 0 {
				require.LessOrEqual(t, unit, worth)
			}
			require.LessOrEqual(t, v.Left(w.Case.Flow, i, o), unit*o.Left[i]*(1+1e-9))
			require.LessOrEqual(t, v.Opening(w.Case.Flow, i), unit*o.Opening[i]*(1+1e-9))
			stock += v.Left(w.Case.Flow, i, o) - v.Opening(w.Case.Flow, i)
		}
		require.InDelta(t, stock, b.Stock, 1e-6, text)
		for _, shock := range []flow.Shock{flow.Spoil{Item: 0, Day: 0}, flow.Lose{Step: 0, Day: flow.EveryDay, Share: 1}} {
			other, err := w.With(w.Case.With(shock)).Worth()
			require.NoError(t, err)
			require.Same(t, v, other, "what goes wrong does not change what things are worth")
		}
	})
}
