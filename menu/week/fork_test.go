package week_test

// A fork comes to what a walk from the beginning comes to.

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// changes are what a fork may be asked about: batches lost wholly or in part, short deliveries, portions asked for.
func changes(t *rapid.T, w *week.Week) (list []flow.Shock, mishap bool) {
	s := w.Case.Schedule
	mishap = rapid.Bool().Draw(t, "mishap")
	for range rapid.IntRange(1, 2).Draw(t, "changes") {
		switch kind := rapid.IntRange(0, 3).Draw(t, "kind"); {
		case !mishap:
			list = append(list, flow.Ask{Want: rapid.IntRange(0, len(s.Wants)-1).Draw(t, "want"),
				Slots: []int{rapid.IntRange(0, len(s.Slots)-1).Draw(t, "slot")}, Factor: 1, More: float64(rapid.IntRange(1, 9).Draw(t, "more"))})
		case kind == 3:
			item := rapid.IntRange(0, len(w.Bought)+len(w.Steps)-1).Draw(t, "missing")
			list = append(list, w.Missing(item).Changes...)
		case kind == 0 || len(s.Batches) == 0:
			list = append(list, flow.Scarce{Item: rapid.IntRange(0, len(w.Bought)-1).Draw(t, "short"), Day: flow.EveryDay, Share: 1})
		default:
			b := rapid.SampledFrom(s.Batches).Draw(t, "lost")
			list = append(list, flow.Lose{Step: b.Step, Day: b.Day, Share: rapid.SampledFrom([]float64{1, 0.5}).Draw(t, "share"),
				Unlit: rapid.Bool().Draw(t, "before it is lit")})
		}
	}
	return list, mishap
}

func sameOutcome(t require.TestingT, w *week.Week, walked, forked *flow.Outcome, text string) {
	near := func(x, y []float64, what string) {
		require.Len(t, y, len(x))
		for k := range x {
			if math.Abs(x[k]-y[k]) > 1e-6*(1+math.Abs(x[k])) {
				require.InDelta(t, x[k], y[k], 1e-6, "%s %d\n%s", what, k, text)
			}
		}
	}
	near(walked.Served, forked.Served, "served")
	near(walked.Batches, forked.Batches, "batches of step")
	near(walked.Made, forked.Made, "made")
	near(walked.Left, forked.Left, "left")
	near(walked.Binned, forked.Binned, "binned")
	near(walked.Lost, forked.Lost, "lost")
	near(walked.Used, forked.Used, "used")
	require.Equal(t, len(walked.Lacks), len(forked.Lacks), text)
	near(walked.PutIn, forked.PutIn, "put in")
	came := func(o *flow.Outcome) []float64 {
		list := make([]float64, len(w.Graph.Items)*w.Days)
		for _, d := range o.Deliveries {
			list[d.Item*w.Days+d.Day] = d.Amount
		}
		return list
	}
	near(came(walked), came(forked), "came")
	ran := func(o *flow.Outcome) (list []float64) {
		for _, r := range o.Ran {
			list = append(list, r.Batches)
		}
		return list
	}
	near(ran(walked), ran(forked), "ran")
}

func TestForkIsWalk(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, text := weektest.AnyHouses(t)
		c := w.Case
		if rapid.Bool().Draw(t, "first") {
			w = w.By(week.First)
		}
		shocks, mishap := changes(t, w)
		if len(c.Schedule.Slots) == 0 {
			return
		}
		player := w.Player()
		var changed flow.Case
		if mishap {
			base := w.Trunk(c, false).Outcome()
			c, changed = c.Ordering(base), w.Struck(c, base, shocks...)
		} else {
			changed = c.With(shocks...)
		}
		trunk := w.Trunk(c, mishap)
		walked := *w.Player().Play(changed, nil)
		sameOutcome(t, w, &walked, player.Fork(trunk, changed, nil), text+fmt.Sprintf("\n%#v regions %d", shocks, trunk.Regions()))
		sameOutcome(t, w, &walked, player.Fork(trunk, changed, &flow.Record{Movements: true}), text+fmt.Sprintf("\n%#v recorded", shocks))
		again := *w.Player().Play(c, nil)
		sameOutcome(t, w, &again, player.Play(c, nil), text+"\nafter a fork")
	})
}

// In the example nothing but what can always be had is shared, and every loss is tried.
func TestForkOfCopies(t *testing.T) {
	w := weektest.SmallWeek(t, weektest.Copies(t, 2))
	base := w.Trunk(w.Case, false)
	assert.Equal(t, 2*w.Trunk(weektest.SmallWeek(t, weektest.Copies(t, 1)).Case, false).Regions(), base.Regions())
	trunk, player := w.Trunk(w.Case.Ordering(base.Outcome()), true), w.Player()
	for n, b := range w.Case.Schedule.Batches {
		if n%3 > 0 || b.Day >= w.Days {
			continue
		}
		c := w.Struck(w.Case, base.Outcome(), flow.Lose{Step: b.Step, Day: b.Day, Share: 1})
		walked := *w.Player().Play(c, nil)
		sameOutcome(t, w, &walked, player.Fork(trunk, c, nil), w.Graph.Steps[b.Step].Name)
	}
	for i, it := range w.Graph.Items {
		if it.Role == graph.Bought && i%5 == 0 {
			c := w.Struck(w.Case, base.Outcome(), flow.Scarce{Item: i, Day: flow.EveryDay, Share: 1})
			walked := *w.Player().Play(c, nil)
			sameOutcome(t, w, &walked, player.Fork(trunk, c, nil), it.Name)
		}
	}
}

// What is delivered otherwise is played with the days behind as the whole week is.
func TestArrivingIsPlay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, text := weektest.AnyHouses(t)
		c, with := *w.Case.Schedule, *w.Case.Schedule
		c.Deliveries, with.Deliveries = slices.Clone(c.Deliveries), slices.Clone(with.Deliveries)
		c.OrdersFrom, c.ResumedAt = make([]int, len(w.Graph.Items)), c.From
		for range rapid.IntRange(1, 3).Draw(t, "deliveries") {
			d := flow.Delivery{Item: rapid.IntRange(0, len(w.Bought)-1).Draw(t, "item")}
			c.OrdersFrom[d.Item] = rapid.IntRange(0, w.Days).Draw(t, "orders from")
			c.Deliveries = append(c.Deliveries, d)
			d.Amount = float64(rapid.IntRange(0, 20000).Draw(t, "amount"))
			d.Ordered, d.Price = d.Amount, rapid.SampledFrom([]float64{0, 0.01}).Draw(t, "price")
			with.Deliveries = append(with.Deliveries, d)
		}
		with.OrdersFrom, with.ResumedAt = c.OrdersFrom, c.ResumedAt
		on, err := w.Onward()
		if err != nil {
			return // it stands in for itself without end
		}
		arriving := on.Arriving(flow.Case{Flow: w.Case.Flow, Schedule: &c}).Beside()
		books, o := on.Play(flow.Case{Flow: w.Case.Flow, Schedule: &with})
		walked := *o
		again, forked := arriving.Play(with.Deliveries)
		sameOutcome(t, on.Week, &walked, forked, text)
		require.InDelta(t, books.Contribution, again.Contribution, 1e-6*(1+books.Bought), text)
	})
}
