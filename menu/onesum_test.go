package menu_test

import (
	"context"
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph/flow"
	"kettletree/graph/lawtest"
	"kettletree/menu/ask"
	"kettletree/menu/plan"
	"kettletree/menu/rescue"
	"kettletree/menu/specials"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// Whoever is asked what a week earns says the same: a what-if, a plan, the draws of chance, a loss, a rescue, a special,
// and a plan that was kept.
func TestOneSum(t *testing.T) {
	lawtest.Few(t, 25)
	rapid.Check(t, func(t *rapid.T) {
		w, text := weektest.AnyPresent(t)
		if rapid.Bool().Draw(t, "stocked") { // as a log book finds what nobody counted
			w = w.Stocked(flow.Lot{Item: rapid.IntRange(0, len(w.Bought)-1).Draw(t, "item"), Amount: 1000})
		}
		earns := earned(t, w)
		same := func(want, got float64, who string) {
			t.Helper()
			require.InDelta(t, want, got, 1e-6*(1+math.Abs(want)), "%s\n%s", who, text)
		}
		what, err := ask.WhatIf(t.Context(), w, nil)
		require.NoError(t, err)
		same(earns, what.Totals.ContributionBefore, "what if, before")
		same(earns, what.Totals.ContributionAfter, "what if, after")
		chance, err := ask.Chance(t.Context(), w, nil, ask.Wager{Draws: 1}, nil)
		require.NoError(t, err)
		same(earns, chance.Certain, "chance")
		same(earns, chance.Contribution.Mean, "a draw where nothing varies")

		p, err := plan.Make(t.Context(), w, plan.Options{})
		if _, clash := errors.AsType[*plan.Clash](err); !clash {
			require.NoError(t, err)
			same(earns, p.Answer().Standing, "the standing week beside a plan")
			kept, notes := plan.Lay(p.Kept(), w)
			require.Len(t, notes, 1, text)
			_, books := p.AsKept()
			same(books.Contribution, earned(t, kept), "a kept plan")
		}

		offers, err := specials.Specials(t.Context(), w, nil, nil)
		require.NoError(t, err)
		for _, x := range offers.Proposals {
			changes := []flow.Shock{}
			for _, s := range x.Offer.Services {
				d, err := w.FindDish(x.Dish)
				require.NoError(t, err)
				slots, err := w.SlotsNamed(s.Date + " " + s.Service)
				require.NoError(t, err)
				changes = append(changes, flow.Ask{Want: d, Slots: slots, Factor: 1, More: float64(s.Portions)})
			}
			same(earns+x.Offer.Contribution, earned(t, w.With(w.Case.With(changes...))), "a special")
		}
		losses, err := ask.Losses(t.Context(), w)
		require.NoError(t, err)
		shocks := []week.Shock{}
		for _, l := range losses {
			if l.Day != flow.EveryDay {
				lost, err := w.Shock("lose", l.Of+"@"+w.Date(l.Day).Format("2006-01-02"))
				require.NoError(t, err)
				shocks = []week.Shock{lost}
				after, err := w.Play(t.Context(), shocks...)
				require.NoError(t, err)
				same(earns-l.ContributionLost, after.Books.Contribution, "a loss")
			}
		}
		if len(shocks) > 0 {
			saved, err := rescue.Find(t.Context(), w, shocks, nil)
			require.NoError(t, err)
			stand := earns - saved.Lost
			before, after, err := w.Compare(t.Context(), shocks...)
			require.NoError(t, err)
			same(earns, before.Books.Contribution, "before a loss")
			same(after.Books.Contribution, stand, "a rescue, where nothing is done")
		}
	})
}

// earned is what a week earns as it stands.
func earned(t require.TestingT, w *week.Week) float64 {
	p, err := w.Play(context.Background())
	require.NoError(t, err)
	return p.Books.Contribution
}
