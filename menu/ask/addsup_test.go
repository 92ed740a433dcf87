package ask

import (
	"context"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/graph/lawtest"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// addsUp holds the items of an answer against what was used, which the walk counts by itself.
func addsUp(t require.TestingT, w *week.Week, a *Consequences, text string) {
	before, err := w.Play(context.Background())
	require.NoError(t, err)
	used := func(o *flow.Outcome) []float64 {
		list := make([]float64, len(w.Graph.Items))
		for s, st := range w.Graph.Steps {
			for l, line := range st.Takes {
				for c, choice := range line.Choices {
					list[choice.Item] += o.Used[w.Case.Flow.Choice(s, l, c)]
				}
			}
		}
		n := 0
		for _, pot := range w.Case.Schedule.Pots {
			for _, l := range pot.Takes {
				list[l.Item] += o.PutIn[n]
				n++
			}
		}
		return list
	}
	wasUsed, isUsed := used(before.Outcome), used(a.After.Outcome)
	at := 0
	for i, it := range w.Graph.Items {
		if it.Role == graph.Sold {
			continue
		}
		x, factor, opening := a.Items[at], it.Unit.Factor, before.Outcome.Opening[i]
		at++
		require.Equal(t, it.Name, x.Name)
		slack := 1e-6 * (1 + (opening+wasUsed[i]+isUsed[i])/factor)
		require.InDelta(t, opening/factor+x.MadeBefore, wasUsed[i]/factor+x.LeftBefore+x.BinnedBefore, slack, "%s before\n%s", x.Name, text)
		require.InDelta(t, opening/factor+x.MadeAfter, isUsed[i]/factor+x.LeftAfter+x.BinnedAfter, slack, "%s after\n%s", x.Name, text)
	}
}

// TestItemsAddUp: what was on hand and was made is what was used, is left, and was binned, whatever is lost, late or spoiled.
func TestItemsAddUp(t *testing.T) {
	lawtest.Few(t, 25)
	rapid.Check(t, func(t *rapid.T) {
		w, text := weektest.AnyPresent(t)
		number := func(name string, most int) int { return rapid.IntRange(0, most).Draw(t, name) }
		var shocks []week.Shock
		for range number("shocks", 3) {
			step, day := number("step", len(w.Steps)-1), number("day", w.Days-1)
			change := []flow.Shock{
				flow.Lose{Step: step, Day: day, Share: float64(number("lost", 4)) / 4},
				flow.Spoil{Item: number("item", len(w.Bought)-1), Day: day},
				flow.Scarce{Item: number("item", len(w.Bought)-1), Day: flow.EveryDay, Share: float64(number("short", 4)) / 4},
				flow.Delay{Step: step, Day: day, Minutes: 60 * number("late", 30)},
			}[number("change", 3)]
			shocks = append(shocks, week.Shock{Kind: "change", Changes: []flow.Shock{change}})
		}
		a, err := WhatIf(t.Context(), w, shocks)
		require.NoError(t, err)
		addsUp(t, w, a, text)
	})
}

// TestLostIsMadeAndBinned counts by hand: the smoke kettle gives 26 L twice, of which a lunch takes 8 L, and all of Thursday's is lost. A batch that was lit
// before the week counts as on hand until it is lost.
func TestLostIsMadeAndBinned(t *testing.T) {
	w := weektest.SmallWeek(t, weektest.SmokeHouse)
	lost, err := w.Shock("lose", "smoke kettle@thu")
	require.NoError(t, err)
	a, err := WhatIf(t.Context(), w, []week.Shock{lost})
	require.NoError(t, err)
	addsUp(t, w, a, "")
	stock := func(a *Consequences) ItemChange {
		for _, x := range a.Items {
			if x.Name == "smoke stock" {
				return x
			}
		}
		return ItemChange{}
	}
	require.InDelta(t, 52, stock(a).MadeBefore, 1e-9)
	require.InDelta(t, 52, stock(a).MadeAfter, 1e-9)
	require.InDelta(t, 12, stock(a).BinnedBefore, 1e-9, "Thursday's 26 L less 6 L on Friday, behind Tuesday's last 2 L, and 8 L on Saturday")
	require.InDelta(t, 26, stock(a).BinnedAfter, 1e-9)

	item, err := w.FindItem("smoke stock")
	require.NoError(t, err)
	s := *w.Case.Schedule
	s.Pots = []flow.Pot{{Step: 0, Day: -1, Start: -60, Batches: 1, Gives: []flow.PotLine{{Item: item, Amount: 26_000, Minute: 180}}}}
	w = w.Continued(nil, func(on *flow.Schedule) { *on = s })
	pot := week.Shock{Kind: "lose", Changes: []flow.Shock{flow.Lose{Step: 0, Day: -1, Share: 0.5}}}
	a, err = WhatIf(t.Context(), w, []week.Shock{pot})
	require.NoError(t, err)
	addsUp(t, w, a, "")
	require.InDelta(t, stock(a).MadeBefore, stock(a).MadeAfter, 1e-9)
}
