package ask

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph"
	"kettletree/graph/lawtest"
	"kettletree/graph/measure"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

func ask(tb testing.TB, w *week.Week, texts ...string) *Consequences {
	tb.Helper()
	a, err := WhatIf(tb.Context(), w, weektest.Shocks(tb, w, texts...))
	require.NoError(tb, err)
	return a
}

// at finds a dish at a service.
func (a *Consequences) at(tb testing.TB, dish, date, service string) DishAt {
	for _, d := range a.Dishes {
		if d.Name == dish && d.Date == date && d.Service == service {
			return d
		}
	}
	tb.Fatalf("no %s on %s at %s", dish, date, service)
	return DishAt{}
}

// Before any shock an example sells nearly all of its forecast; a week that doesn't work would teach nothing.
func TestExamplesWork(t *testing.T) {
	for _, name := range weektest.Examples {
		t.Run(name, func(t *testing.T) {
			a := ask(t, weektest.ExampleWeek(t, name))
			forecast, sold := 0, 0
			for _, d := range a.Dishes {
				forecast += d.Forecast
				sold += d.Before
				assert.Equal(t, d.Before, d.After, "no shock changes nothing: %+v", d)
			}
			assert.GreaterOrEqual(t, float64(sold), 0.99*float64(forecast))
			assert.Equal(t, a.Totals.ContributionBefore, a.Totals.ContributionAfter)
			assert.Positive(t, a.Totals.ContributionBefore)
		})
	}
}

// The answer that README promises.
func TestLosingTheNightKettle(t *testing.T) {
	a := ask(t, weektest.ExampleWeek(t, "three-kettles"), "lose night kettle@tue")
	// Counted too by a walk that was written apart from this program, from the kitchen file alone.
	assert.Equal(t, 1005, a.Totals.PortionsBefore)
	assert.Equal(t, 846, a.Totals.PortionsAfter)
	red := a.at(t, "red pozole", "2026-11-25", "dinner")
	assert.Equal(t, 0, red.After)
	require.NotNil(t, red.RunsOut)
	assert.Equal(t, "17:30", *red.RunsOut)
	assert.Equal(t, []string{"out of pozole broth", "kettle stock ran out",
		"Tuesday's night kettle was lost"}, red.Because)
	soup := a.at(t, "hen tortilla soup", "2026-11-25", "dinner")
	assert.Equal(t, soup.Forecast, soup.After, "goes on with its substitutes")
}

// SR28 yields (USDA National Nutrient Database for Standard Reference, Release 28, WEIGHT.txt: cooked meat from
// 1 lb raw, in grams, over 453.59237) against the yields that the examples write down, within two points of a hundred.
func TestExampleYieldsAgainstUSDA(t *testing.T) {
	for _, tc := range []struct {
		kitchen, step, out, in string
		want                   float64
	}{
		{"three-kettles", "night kettle", "pulled hen", "stewing hen", 0.3020},           // 05126 stewing hen, meat only, stewed
		{"three-kettles", "night kettle", "hen skin", "stewing hen", 0.3924 - 0.3020},    // 05124 less 05126
		{"three-kettles", "braise shoulder", "pulled shoulder", "shoulder meat", 0.5997}, // 17060 lamb cubed for stew, boneless: no row for pork
		{"first-pot", "poach chickens", "pulled chicken", "chicken", 0.3461},             // 05014 broiler, meat only, stewed
	} {
		t.Run(tc.kitchen+" "+tc.out, func(t *testing.T) {
			k := weektest.ExampleWeek(t, tc.kitchen).Kitchen
			s, err := k.FindStep(tc.step)
			require.NoError(t, err)
			var in, out float64
			for _, l := range k.Graph.Steps[s].Takes {
				if it := k.Graph.Items[l.Choices[0].Item]; it.Name == tc.in {
					in, _ = it.Grams(l.Choices[0].Amount)
				}
			}
			for _, o := range k.Graph.Steps[s].Gives {
				if it := k.Graph.Items[o.Item]; it.Name == tc.out {
					out, _ = it.Grams(o.Amount)
				}
			}
			require.Positive(t, in)
			assert.InDelta(t, tc.want, out/in, 0.02)
		})
	}
}

// The densities that the examples write down, against SR28 portion weights, which are rounded to the gram
// and scoop-dependent: within 2 %.
func TestExampleDensitiesAgainstUSDA(t *testing.T) {
	want := map[string]float64{"water": 1.00174, "vegetable oil": 0.92143, "kettle stock": 1.01442, "heavy cream": 1.00597,
		"olive oil": 0.91298, "fumet": 0.98483, "fish fumet": 0.98483, "chicken stock": 1.01442, "milk": 1.03133}
	found := 0
	for _, name := range weektest.Examples {
		for _, it := range weektest.ExampleWeek(t, name).Graph.Items {
			if d, ok := want[it.Name]; ok && it.Density > 0 {
				found++
				assert.InEpsilon(t, d, it.Density, 0.03, "%s in %s", it.Name, name)
			}
		}
	}
	assert.GreaterOrEqual(t, found, 4)
}

// One such kettle feeds at least five dishes beside its soup (common practice, no source).
func TestOneKettleFeedsManyDishes(t *testing.T) {
	k := weektest.ExampleWeek(t, "three-kettles").Kitchen
	s, err := k.FindStep("night kettle")
	require.NoError(t, err)
	dishes := 0
	for _, n := range k.Graph.Downstream(k.Graph.Node(s)) {
		if n < len(k.Graph.Items) && k.Graph.Items[n].Role == graph.Sold {
			dishes++
		}
	}
	assert.GreaterOrEqual(t, dishes, 6)
}

// The bills of every example add up: what the outputs bear is the bill, and a plate costs what it is swayed by plus
// labour.
func TestBillsAddUp(t *testing.T) {
	for _, name := range weektest.Examples {
		w := weektest.ExampleWeek(t, name)
		c, err := Cost(t.Context(), w)
		require.NoError(t, err)
		for _, s := range c.Steps {
			sum := 0.0
			for _, sh := range s.Shares {
				sum += sh.Cost
			}
			assert.InDelta(t, s.Bill, sum, 1e-9*math.Max(1, s.Bill), "%s of %s", s.Name, name)
		}
	}
}

// A kitchen file shares a bill as the textbook does: Farmers' Dairy of Horngren, Datar and Rajan, Cost Accounting: A Managerial
// Emphasis, chapter 16 (results from memory, and plain arithmetic from the published inputs). No weight is known: gallons
// are set against gallons.
func TestFarmersDairyAsAKitchen(t *testing.T) {
	for rule, want := range map[string][2]float64{"weight": {100_000, 300_000}, "worth": {160_000, 240_000}} {
		w := weektest.SmallWeek(t, `
bought: {raw milk: {price: 400000 for 110000 gal}}
steps:
  separate: {takes: [110000 gal raw milk], gives: [25000 gal cream, 75000 gal skim], share cost by: `+rule+`}
made: {cream: {worth: 8/gal}, skim: {worth: 4/gal}}
`)
		c, err := Cost(t.Context(), w)
		require.NoError(t, err)
		for o, share := range c.Steps[0].Shares {
			assert.InDelta(t, want[o], share.Cost, 0.005, "%s by %s", share.Item, rule)
		}
	}
}

// Of each kilo bought, what is sold, left behind in work, lost, binned and left adds up to the kilo.
func TestKilosAddUp(t *testing.T) {
	for _, name := range weektest.Examples {
		a, err := Kilos(t.Context(), weektest.ExampleWeek(t, name))
		require.NoError(t, err)
		require.NotEmpty(t, a.Items)
		for _, k := range a.Items {
			sum := k.InWork + k.Lost + k.Binned + k.Left
			for _, d := range k.Dishes {
				sum += d.Share
			}
			assert.InDelta(t, 1, sum, 1e-9, "%s of %s", k.Item, name)
		}
	}
}

// Any shocks give an answer that is whole, within the forecast, and the same twice.
func TestAnyShocks(t *testing.T) {
	lawtest.Few(t, 25)
	w := weektest.ExampleWeek(t, "three-kettles")
	days := []string{"", "@tue", "@wed", "@2026-11-26", "@sat"}
	rapid.Check(t, func(rt *rapid.T) {
		var shocks []week.Shock
		for range rapid.IntRange(1, 4).Draw(rt, "shocks") {
			kind := rapid.SampledFrom(week.ShockKinds).Draw(rt, "kind").Name
			dish := rapid.SampledFrom(w.Dishes).Draw(rt, "dish").Name
			item := w.Graph.Items[rapid.IntRange(0, len(w.Bought)-1).Draw(rt, "item")]
			step := rapid.IntRange(0, len(w.Steps)-1).Draw(rt, "step")
			st := w.Graph.Steps[step]
			day := rapid.SampledFrom(days).Draw(rt, "day")
			percent := rapid.IntRange(0, 100).Draw(rt, "percent")
			text := map[string]string{
				"lose":  fmt.Sprintf("%s%s=%d%%", st.Name, day, percent),
				"short": fmt.Sprintf("%s%s=%d%%", item.Name, day, percent),
				"spoil": item.Name + day,
				"price": fmt.Sprintf("%s=+%d%%", item.Name, percent),
				"yield": fmt.Sprintf("%s%s/%s=-%d%%", st.Name, day, w.Graph.Items[st.Gives[0].Item].Name, percent),
				"late":  fmt.Sprintf("%s%s=%s", st.Name, day, measure.FormatDuration(1+percent*7)),
				"sells": fmt.Sprintf("%s%s=+%d%%", dish, day, percent), "strike": dish + day,
			}[kind]
			s, err := w.Shock(kind, text)
			if err != nil {
				continue // the step does not run that day, and so on: what is refused is tested elsewhere
			}
			shocks = append(shocks, s)
		}
		a, err := WhatIf(t.Context(), w, shocks)
		require.NoError(rt, err)
		sold := 0
		for _, d := range a.Dishes {
			sold += d.After
			assert.LessOrEqual(rt, d.After, d.Forecast)
			assert.GreaterOrEqual(rt, d.After, 0)
			assert.Equal(rt, d.After < d.Forecast, d.RunsOut != nil)
			assert.Equal(rt, d.After < d.Forecast, len(d.Because) > 0, "%+v", d)
		}
		assert.Equal(rt, a.Totals.PortionsAfter, sold)
		b, err := WhatIf(t.Context(), w, shocks)
		require.NoError(rt, err)
		first, err := json.Marshal(a)
		require.NoError(rt, err, "no NaN, no infinity")
		second, err := json.Marshal(b)
		require.NoError(rt, err)
		assert.Equal(rt, string(first), string(second))
	})
}

// A perpetual stock whose seed is gone begins again from a substitute that is bought, and then seeds itself.
func TestSeedBegunAnew(t *testing.T) {
	w := weektest.SmallWeek(t, `
services: {shop: 8:00-12:00}
bought: {flour: {price: 1/kg}, starter: {price: 5/kg}}
steps:
  feed:
    takes:
      - 1 kg sourdough or 1 kg starter, from yesterday
      - 4 kg flour
    gives: [5 kg sourdough]
    batches: {mon-sun: 1}
made: {sourdough: {keeps: 2 days}}
dishes: {loaf: {price: 6, takes: [800 g sourdough], sells: 3}}
`)
	a := ask(t, w, "lose feed@wed")
	assert.Equal(t, 7*3, a.Totals.PortionsBefore)
	starter := func(of func(ItemChange) float64) float64 {
		for _, it := range a.Items {
			if it.Name == "starter" {
				return of(it)
			}
		}
		return -1
	}
	assert.InDelta(t, 1, starter(func(it ItemChange) float64 { return it.MadeBefore }), 1e-9, "on Monday only")
	assert.InDelta(t, 2, starter(func(it ItemChange) float64 { return it.MadeAfter }), 1e-9,
		"and on Thursday, when what Tuesday gave is past its keeping")
	assert.Less(t, a.Totals.PortionsAfter, a.Totals.PortionsBefore)
}

// Weak points: what weak says of a loss is what whatif says of the same shock.
func TestWeakPointsAgreeWithWhatIf(t *testing.T) {
	w := weektest.ExampleWeek(t, "first-pot")
	a, err := Weak(context.Background(), w, nil)
	require.NoError(t, err)
	require.NotEmpty(t, a.Losses)
	for _, l := range a.Losses {
		kind, quoted, _ := strings.Cut(l.Shock, " ")
		b := ask(t, w, kind+" "+strings.Trim(quoted, `"`))
		assert.InDelta(t, b.Totals.ContributionBefore-b.Totals.ContributionAfter, l.ContributionLost, 1e-6, l.Name)
		assert.Equal(t, b.Totals.PortionsBefore-b.Totals.PortionsAfter, l.PortionsLost, l.Name)
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err = Weak(ctx, w, nil)
	assert.ErrorIs(t, err, context.Canceled)
}
