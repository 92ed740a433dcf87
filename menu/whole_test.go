package menu_test

// What is bought comes whole, whoever is asked.

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph/flow"
	"kettletree/graph/lawtest"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/plan"
	"kettletree/menu/rescue"
	"kettletree/menu/shop"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// No pack is opened and no piece is cut by whoever sells it, in any answer.
func TestNothingIsBoughtInParts(t *testing.T) {
	lawtest.Few(t, 20)
	rapid.Check(t, func(t *rapid.T) {
		text, onHand := weektest.AnyKitchen(t)
		w := weektest.SmallWeek(t, text)
		lots, faults := kitchen.ReadOnHand("on-hand.csv", []byte(onHand), w.Kitchen, w.From)
		require.NoError(t, faults.Err())
		p := w.Period
		p.OnHand = lots
		w, err := week.Over(w.Kitchen, p)
		require.NoError(t, err)
		pack := w.Case.Flow.Terms().Pack
		whole := func(item int, amount float64, who string) {
			if pack[item] > 0 {
				packs := amount / pack[item]
				require.InDelta(t, math.Round(packs), packs, 1e-6*(1+packs), "%s: %s of %s\n%s", who, w.Quantity(item, amount), w.Graph.Items[item].Name, text)
			}
		}
		all := func(list []flow.Delivery, who string) {
			for _, d := range list {
				whole(d.Item, d.Amount, who)
			}
		}

		// The week, with a dish that sells more and a mishap, and what can be saved.
		var shocks []week.Shock
		for _, s := range []struct{ kind, change string }{{"sells", "dishes0=+30%"}, {"lose", w.Graph.Steps[0].Name}} {
			if shock, err := w.Shock(s.kind, s.change); err == nil {
				shocks = append(shocks, shock)
			}
		}
		before, after, err := w.Compare(t.Context(), shocks...)
		require.NoError(t, err)
		all(before.Outcome.Deliveries, "the week")
		all(after.Outcome.Deliveries, "what if")
		if saved, err := rescue.Find(t.Context(), w, shocks, nil); err == nil {
			for _, move := range saved.Moves {
				for _, x := range move.Buy {
					i, err := w.FindItem(x.Item)
					require.NoError(t, err)
					u, err := measure.UnitNamed(x.Unit)
					require.NoError(t, err)
					whole(i, x.Quantity*u.Factor, move.What)
				}
			}
		}

		// The list.
		listed := func(w *week.Week, who string) {
			list, err := shop.ToBuy(t.Context(), w, shop.BuyOptions{All: true})
			require.NoError(t, err)
			for _, trip := range list.Trips {
				for _, s := range trip.Suppliers {
					for _, x := range s.Items {
						i, err := w.FindItem(x.Item)
						require.NoError(t, err)
						u, err := measure.UnitNamed(x.Unit)
						require.NoError(t, err)
						whole(i, x.Bought*u.Factor, who)
					}
				}
			}
		}
		listed(w, "the list")

		// A plan, as it is told and as it is kept.
		planned, err := plan.Make(t.Context(), w, plan.Options{})
		if err != nil {
			return // no plan can be
		}
		all(planned.Outcome.Deliveries, "the plan")
		kept, _ := plan.Lay(planned.Kept(), w)
		listed(kept, "the kept plan")
	})
}
