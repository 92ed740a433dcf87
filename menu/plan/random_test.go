package plan

// The law that a plan stands on, tried on random small kitchens: the walk sells what the plan sells, for the same money.

import (
	"context"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"path"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph/flow"
	"kettletree/graph/lawtest"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// TestPlanAgreesWithTheWalk plans any kitchen: Make itself tells where the walk parts from the plan. A plan may be out of
// reach, and then the wishes are named, and one without them is held against the walk.
func TestPlanAgreesWithTheWalk(t *testing.T) {
	lawtest.Few(t, 25)
	rapid.Check(t, func(t *rapid.T) {
		w, text := weektest.AnyPresent(t)
		holdsForPlan(t, w, text)
	})
}

// enough is how long the search goes on here: any plan that it finds has to agree, not only the best.
const enough = 10_000

// law is what both kinds of test can fail by.
type law interface {
	require.TestingT
	Context() context.Context
}

func holdsForPlan(t law, w *week.Week, text string) {
	plan, err := Make(t.Context(), w, Options{iterations: enough})
	if clash, ok := errors.AsType[*Clash](err); ok {
		require.NotEmpty(t, clash.Wishes, text)
		m, sol, err := find(t.Context(), w, limits{without: make([]bool, len(w.Kitchen.Dishes)), easy: true, seedless: true}, Options{iterations: enough})
		require.NoError(t, err, text)
		if sol.X != nil && len(m.seeds) == 0 && !m.lots() { // a stock that need not be carried on may part: see the package
			require.Empty(t, m.play(sol).Parted, "without its wishes\n%s", text)
		}
		return
	}
	require.NoError(t, err, text)
	if !plan.m.seedless && !plan.m.lots() {
		require.Empty(t, plan.Parted, text)
	}
	keeps(t, w, plan, text)
	require.NotContains(t, plan.Instead, "could not be trusted", text)
	if plan.Instead == "" {
		require.GreaterOrEqual(t, plan.Bound, plan.Contribution, text)
		if standing := plan.m.stands(); len(plan.m.unmet(standing, nil)) == 0 {
			require.GreaterOrEqual(t, plan.counts(), standing.counts()-0.01, text)
		}
	}
}

// keeps plays a plan that was kept and laid over its week again: it sells as much, for the same money.
func keeps(t law, w *week.Week, p *Plan, text string) {
	kept, err := p.Kept().Over(nil, weektest.Monday).Text()
	require.NoError(t, err, text)
	read, err := Read("kitchen.plan", kept)
	require.NoError(t, err, text)
	again, notes := Lay(read, w)
	require.Len(t, notes, 1, "%v\n%s", notes, text)
	o := again.Player().Play(again.Case, nil)
	was, p2 := p.AsKept()
	require.InDeltaSlice(t, was.Served, o.Served, 1e-6, text)
	is := p.m.worth.Books(again.Case, o)
	for _, money := range [][2]float64{{p2.Contribution, is.Contribution}, {p2.Sales, is.Sales}, {p2.Bought, is.Bought}, {p2.Labour, is.Labour}, {p2.Disposal, is.Disposal}, {p2.Stock, is.Stock}} {
		require.InDelta(t, money[0], money[1], agree*(1+p.Sales+p.Bought), "%v\n%s", is, text)
	}
}

// anyShocks draws up to three mishaps of a week.
func anyShocks(t *rapid.T, w *week.Week) (shocks []flow.Shock) {
	number := func(what string, most int) int { return rapid.IntRange(0, most).Draw(t, what) }
	share := func(what string) float64 { return float64(number(what, 4)) / 4 }
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
	return shocks
}

// TestBestAgreesWithTheWalk holds batches and orders after a mishap, and chooses only who gets what is scarce.
func TestBestAgreesWithTheWalk(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, text := weektest.AnyPresent(t)
		shocks := anyShocks(t, w)
		holdsForBest(t, w, shocks, fmt.Sprintf("%+v\n%s", shocks, text))
	})
}

// bestAfter is the rule best after shocks to a week whose orders are made.
func bestAfter(ctx context.Context, w *week.Week, shocks []flow.Shock) (*Plan, error) {
	after := *w
	after.Case = w.Case.Ordering(w.Case.Flow.Walk(w.Case.Schedule, flow.Fair, nil)).With(shocks...)
	return Make(ctx, &after, Options{Held: true, iterations: enough})
}

func holdsForBest(t law, w *week.Week, shocks []flow.Shock, text string) {
	plan, err := bestAfter(t.Context(), w, shocks)
	require.NoError(t, err, text)
	if !plan.m.lots() {
		require.Empty(t, plan.Parted, text)
	}
	require.NotContains(t, plan.Instead, "could not be trusted", text)
	fair := plan.m.worth.Books(plan.m.Case, plan.m.base).Contribution - plan.m.departed(plan.m.base)
	require.GreaterOrEqual(t, plan.counts(), fair-0.01, text)
	if plan.x != nil {
		require.GreaterOrEqual(t, plan.most, fair-1e-6*(1+math.Abs(fair)), "the fair walk is one of the ways to serve\n%s", text)
	}
}

// TestOddKitchens has what the package says that the model may not follow: then the figures are the walk's, a note says
// so, and no bound is claimed.
func TestOddKitchens(t *testing.T) {
	lawtest.Few(t, 25)
	rapid.Check(t, func(t *rapid.T) {
		w, text := weektest.OddPresent(t)
		plan, err := bestAfter(t.Context(), w, anyShocks(t, w))
		require.NoError(t, err, text)
		require.Equal(t, plan.m.worth.Books(plan.Case, plan.m.Player().Play(plan.Case, nil)), plan.Books, text)
		if len(plan.Parted) > 0 {
			require.Subset(t, plan.Notes, plan.Parted, text)
			require.True(t, math.IsInf(plan.Bound, 1) || plan.m.lots(), text)
		}
	})
}

// found are kitchens in which plan and walk once parted, or the solver gave up, and why.
//
//go:embed testdata/found
var found embed.FS

// TestFound tries both laws on them, and on every number of days up to five. The first line of a file says what was wrong.
func TestFound(t *testing.T) {
	files, err := fs.Glob(found, "testdata/found/*.yaml")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		t.Run(path.Base(file), func(t *testing.T) {
			src, err := found.ReadFile(file)
			require.NoError(t, err)
			onHand, err := found.ReadFile(strings.TrimSuffix(file, ".yaml") + ".csv")
			require.NoError(t, err)
			for days := 1; days <= 5; days++ {
				w := weektest.Stocked(t, string(src), string(onHand), week.Period{From: weektest.Monday, Days: days})
				holdsForPlan(t, w, file)
				holdsForBest(t, w, nil, file)
			}
		})
	}
}

// TestWhatIsTakenAllThereIsOfMayGoOff goes on in the middle of a day's last service: what a step takes all there is of was taken when
// the service began, and goes off at the day's end.
func TestWhatIsTakenAllThereIsOfMayGoOff(t *testing.T) {
	w := weektest.Stocked(t, `
kitchen: Dripping Bar
services: {dinner: 17:30-22:00}
bought:
  suet: {price: 2/kg}
steps:
  trim:   {takes: [1 kg suet], gives: [0.8 kg trimmings], batches: {tue: 1}}
  render: {takes: [1 kg trimmings], gives: [0.7 kg dripping], batches: all of it}
made:
  trimmings: {keeps: 3 days}
  dripping: {keeps: 7 days}
dishes:
  toast: {price: 3, takes: [20 g dripping], sells: 4}
`, "item,quantity,made\ntrimmings,1 kg,2026-11-21\n", week.Period{From: weektest.Monday, Days: 1})
	w = w.Continued(nil, func(s *flow.Schedule) { s.From = 19 * 60 })
	plan, err := Make(t.Context(), w, Options{Held: true})
	require.NoError(t, err)
	require.Empty(t, plan.Parted)
	require.Empty(t, plan.Instead)
}
