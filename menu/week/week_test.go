package week_test

import (
	"context"
	"reflect"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph/flow"
	"kettletree/menu/plan"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// Days behind a standing week are the standing week's: the longer week is the one that was opened over all of them.
func TestLongerIsTheStandingWeek(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, text := weektest.AnyWeek(t)
		more := rapid.IntRange(1, 9).Draw(t, "more")
		long, err := w.Longer(more)
		require.NoError(t, err)
		p := w.Period
		p.Days += more
		opened, err := week.Over(w.Kitchen, p)
		require.NoError(t, err)
		assert.Equal(t, opened.Sittings, long.Sittings)
		is, wanted := played(t, long), played(t, opened)
		assert.Equal(t, wanted.Outcome.Served, is.Outcome.Served, text)
		assert.InDelta(t, wanted.Books.Contribution, is.Books.Contribution, 1e-6, text)
	})
}

// What is known of a week, and what a kept plan has, holds on its own days when days are put behind it; those sell as the
// week does.
func TestLongerFollowsTheCase(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, text := weektest.AnyPresent(t)
		if rapid.IntRange(0, 9).Draw(t, "planned") == 0 { // planning takes long
			p, err := plan.Make(t.Context(), w, plan.Options{})
			if err != nil {
				t.Skip("no plan can exist")
			}
			w = p.Week()
		} else {
			dish := rapid.IntRange(0, len(w.Dishes)-1).Draw(t, "dish")
			w = w.With(w.Case.With(flow.Ask{Want: dish, Slots: []int{0}}, flow.Reprice{Item: 0, Price: 0.001}))
		}
		long, err := w.Longer(3)
		require.NoError(t, err)
		// The days behind may take seed or buy in advance, but what is sold on the week's own days is decided.
		for d := range w.Dishes {
			assert.Equal(t, w.Case.Schedule.Wants[d].Forecast, long.Case.Schedule.Wants[d].Forecast[:len(w.Sittings)], text)
		}
		assert.Equal(t, w.Case.Flow, long.Case.Flow, "prices as they are known")
		is := played(t, long)
		assert.Len(t, is.Outcome.Served, len(long.Sittings)*len(w.Dishes))
	})
}

// A week never changes: whoever plays it finds it as it was, also many at once.
func TestAWeekNeverChanges(t *testing.T) {
	w := weektest.ExampleWeek(t, "three-kettles")
	was := *w.Case.Schedule
	first := played(t, w)
	shocks := weektest.Shocks(t, w, "lose night kettle@tue", "price smoked ham bones=+20%", "strike red pozole@fri")
	var all sync.WaitGroup
	for range 8 {
		all.Go(func() {
			after, err := w.Play(t.Context(), shocks...)
			if assert.NoError(t, err) {
				assert.NotEqual(t, first.Books.Contribution, after.Books.Contribution)
			}
			_, err = w.Longer(7)
			assert.NoError(t, err)
			_ = w.Knowing(shocks)
			again, err := w.Play(t.Context())
			if assert.NoError(t, err) {
				assert.Equal(t, first.Outcome.Served, again.Outcome.Served)
			}
		})
	}
	all.Wait()
	assert.True(t, reflect.DeepEqual(was, *w.Case.Schedule))
}

// A player that goes from case to case plays each as a walk of its own would.
func TestPlayerGoesFromCaseToCase(t *testing.T) {
	w := weektest.ExampleWeek(t, "fish-house")
	player := w.Player()
	for _, change := range []flow.Shock{flow.Spoil{Item: 0}, flow.Yield{Step: 0, Output: 0, Day: flow.EveryDay, Factor: 0},
		flow.Yield{Step: 0, Output: 0, Day: flow.EveryDay, Factor: 0.5}, flow.Reprice{Item: 0, Price: 9}, flow.Lose{Step: 0, Day: flow.EveryDay, Share: 1}} {
		c := w.Case.With(change)
		assert.Equal(t, w.Player().Play(c, nil).Served, player.Play(c, nil).Served, "%#v", change)
	}
	assert.PanicsWithValue(t, "mistake: a player under the rule best, which plans each case", func() { w.By(plan.Best).Player() })
}

func played(t require.TestingT, w *week.Week) *week.Played {
	p, err := w.Play(context.Background())
	require.NoError(t, err)
	return p
}

// After a mishap nothing comes on days without deliveries: cheese that spoils on Wednesday can be had again on Friday only.
// What can come every day is there the same day.
func TestArrivesBindsAfterAMishap(t *testing.T) {
	const kitchen = `
kitchen: Cheese Counter
money: USD
open: mon-sun
services: {lunch: 12:00-14:00}
bought:
  cheese: {price: 8/kg, arrives: tue fri, keeps: 9 days}
  bread:  {price: 1/each, keeps: 2 days}
dishes:
  cheese plate: {price: 9, takes: [100 g cheese], sells: {lunch: 10}}
  bread plate:  {price: 4, takes: [1 each bread], sells: {lunch: 10}}
`
	w := weektest.SmallWeek(t, kitchen)
	sold := func(dish int, shock string) (list []float64) {
		before, after, err := w.Compare(t.Context(), weektest.Shocks(t, w, shock)...)
		require.NoError(t, err)
		for slot, sit := range w.Sittings {
			if n := after.Outcome.Served[slot*len(w.Dishes)+dish]; sit.Day > 0 {
				list = append(list, n)
			}
		}
		for _, d := range after.Outcome.Deliveries {
			if d.Item == 0 {
				assert.Contains(t, []int{1, 4}, d.Day, "Tuesday and Friday")
			}
		}
		assert.LessOrEqual(t, after.Books.Contribution, before.Books.Contribution)
		return list
	}
	assert.Equal(t, []float64{10, 0, 0, 10, 10, 10}, sold(0, "spoil cheese@wed"))
	assert.Equal(t, []float64{10, 10, 10, 10, 10, 10}, sold(1, "spoil bread@wed"))
}

// Nor does what stands in for something else: bouillon comes on Mondays, so that on the Wednesday on which the pot is lost there is none, be
// it as good, and the soup falls short until stock is boiled again on Friday.
func TestASubstituteComesOnItsOwnDaysOnly(t *testing.T) {
	w := weektest.SmallWeek(t, `
kitchen: Soup Counter
open: wed-fri
services: {lunch: 12:00-14:00}
bought:
  bones:    {price: 1/kg}
  bouillon: {price: 6/kg, arrives: mon, keeps: 9 days}
steps:
  boil: {starts: "06:00", takes: [10 kg bones], gives: ["5 kg stock, out at 1 h"], batches: {wed fri: 1}}
made: {stock: {keeps: 2 days}}
dishes:
  soup: {price: 6, takes: [200 g stock or 200 g bouillon], sells: 10}
`)
	_, after, err := w.Compare(t.Context(), weektest.Shocks(t, w, "lose boil@wed")...)
	require.NoError(t, err)
	var sold []float64
	for slot, sit := range w.Sittings {
		if sit.Service >= 0 {
			sold = append(sold, after.Outcome.Served[slot])
		}
	}
	assert.Equal(t, []float64{0, 0, 10}, sold)
	for _, d := range after.Outcome.Deliveries {
		assert.NotEqual(t, "bouillon", w.Graph.Items[d.Item].Name)
	}
}
