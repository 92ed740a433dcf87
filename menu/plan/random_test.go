package plan

// The law that a plan stands on, tried on random small kitchens: the walk sells what the plan sells, for the same money.

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph/flow"
	"kettletree/menu/week/weektest"
)

// TestPlanAgreesWithTheWalk plans any kitchen: Make itself tells where the walk parts from the plan. A plan may be out of
// reach, and then the wishes are named.
func TestPlanAgreesWithTheWalk(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, text := weektest.AnyWeek(t)
		plan, err := Make(t.Context(), w, Options{})
		if clash, ok := errors.AsType[*Clash](err); ok {
			require.NotEmpty(t, clash.Wishes, text)
			return
		}
		if err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
		require.Empty(t, plan.Parted, text)
		require.GreaterOrEqual(t, plan.Bound, plan.Contribution)
	})
}

// TestBestAgreesWithTheWalk holds batches and orders after a mishap, and chooses only who gets what is scarce.
func TestBestAgreesWithTheWalk(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, text := weektest.AnyWeek(t)
		number := func(what string, most int) int { return rapid.IntRange(0, most).Draw(t, what) }
		share := func(what string) float64 { return float64(number(what, 4)) / 4 }
		c := w.Case.Ordering(w.Case.Flow.Walk(w.Case.Schedule, flow.Fair, nil))
		shocks := []flow.Shock{}
		for range number("shocks", 3) {
			step, day := number("step", len(w.Steps)-1), number("day", w.Days-1)
			item := number("item", len(w.Bought)-1)
			switch number("kind", 5) {
			case 0:
				shocks = append(shocks, flow.Lose{Step: step, Day: day, Share: share("lost")})
			case 1:
				shocks = append(shocks, flow.Scarce{Item: item, Day: day, Share: share("short")})
			case 2:
				shocks = append(shocks, flow.Spoil{Item: item, Day: day})
			case 3:
				shocks = append(shocks, flow.Yield{Step: step, Output: 0, Day: day, Factor: share("yield")})
			case 4:
				shocks = append(shocks, flow.Delay{Step: step, Day: day, Minutes: 90 * number("late", 9)})
			case 5:
				shocks = append(shocks, flow.Reprice{Item: item, Price: 0.001 * float64(number("price", 9))})
			}
		}
		after := *w
		after.Case = c.With(shocks...)
		plan, err := Make(t.Context(), &after, Options{Held: true})
		if err != nil {
			t.Fatalf("%v\n%+v\n%s", err, shocks, text)
		}
		require.Empty(t, plan.Parted, "%+v\n%s", shocks, text)
		fair := after.Case.Flow.Walk(after.Case.Schedule, flow.Fair, nil)
		require.GreaterOrEqual(t, plan.Bound, plan.m.reckon(fair).Contribution-1e-6, "the fair walk is one of the ways to serve\n%+v\n%s", shocks, text)
	})
}
