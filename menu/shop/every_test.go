package shop

// Banquets against every set of further batches.

import (
	"context"
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph"
	"kettletree/menu/week/weektest"
)

// mostSets bounds the sets of further batches that are tried for one banquet.
const mostSets = 3000

// Every set of up to two further batches of each step that goes into what is asked for, and each day up to that of the banquet, is cooked,
// walked and paid for: none that serves all costs less than what the search found by more than a tenth and two efforts. Other batches would change what
// the week itself costs, which is for a plan to say. The search does not always find the best set: held tighter, it lay 1% and 3% above it
// where that failed.
func TestNoSetOfBatchesIsCheaper(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, text := weektest.AnyPresent(t)
		slot := rapid.IntRange(0, len(w.Sittings)-1).Draw(t, "slot")
		if w.Sittings[slot].Service < 0 {
			return
		}
		need := needs(t, w, fmt.Sprintf("dishes0=%d", rapid.IntRange(1, 40).Draw(t, "portions")))
		b := &buyer{Week: w, g: w.Graph}
		c, price := newCatering(t.Context(), b, need, slot), math.Inf(1)
		done := c.cook() == nil
		if !done {
			c.walks = 0
			var way cooked
			way, done = c.few(cooked{}, false)
			c.more, c.order = way.more, way.order
		}
		if done {
			c.cheaper()
			way, ok := c.cooked()
			require.True(t, ok, text)
			price = c.price(way)
		}
		every := newCatering(t.Context(), b, need, slot)
		every.effort = c.effort
		best, found := every.everySet()
		if found && (!math.IsInf(price, 1) || best.batches <= 2) { // it can fail to see how three or more do together
			require.LessOrEqual(t, price, every.price(best)+0.1*math.Abs(best.cash)+2*c.effort+coin, "%v is cheaper\n%s", best.more, text)
		}
	})
}

// everySet is the cheapest of all sets that serve all; not found where there is none, or there are too many.
func (c *catering) everySet() (best cooked, found bool) {
	var all []batch
	sets := 1
	for s, st := range c.g.Steps {
		into := slices.ContainsFunc(c.need, func(n Need) bool { return slices.Contains(c.g.Upstream(n.item), c.g.Node(s)) })
		for day := 0; day <= c.Sittings[c.slot].Day && into && st.Mode == graph.OnDays; day++ {
			if _, alone := c.Unattended(s, day, c.Steps[s].Starts); !alone || c.standing(batch{s, day}) > 0 {
				all = append(all, batch{s, day})
				sets *= 3
			}
		}
	}
	if sets > mostSets {
		return best, false
	}
	c.order = all
	var try func(n int)
	try = func(n int) {
		if n == len(all) {
			if way, ok := c.cooked(); ok && (!found || c.better(way, best)) {
				best, found = way, true
			}
			return
		}
		for k := all[n]; ; c.more[k]++ {
			try(n + 1)
			if c.more[k] == 2 || c.room(k, c.vessels()) != "" {
				c.more[k] = 0
				return
			}
		}
	}
	try(0)
	return best, found
}

// Whoever stops the search for a cheaper way has the one that was found.
func TestStoppedBanquetIsToldSo(t *testing.T) {
	w := weektest.SmallWeek(t, jellyKitchen)
	at, err := w.SlotsNamed("mon")
	require.NoError(t, err)
	ctx, stop := context.WithCancel(t.Context())
	list, err := ToBuy(ctx, w, BuyOptions{Need: needs(t, w, "jelly=5 lb"), At: at, Trying: func(float64) { stop() }})
	require.NoError(t, err)
	require.Equal(t, 2, list.Banquet.Cook[0].Batches)
	require.Contains(t, list.Notes, "the search was stopped: there may be a cheaper way to cook it")
	_, err = ToBuy(ctx, w, BuyOptions{Need: needs(t, w, "jelly=5 lb"), At: at})
	require.ErrorIs(t, err, context.Canceled)
}
