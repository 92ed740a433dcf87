package week_test

// The walk of kettletree/graph/flow, held against the reference in random kitchens.

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph/flow"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// A reader who knows no more than the documents comes to the same week, with and without changes.
func TestWalkIsTheReference(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, text := rapid.SampledFrom([]func(*rapid.T) (*week.Week, string){weektest.AnyWeek, weektest.OddWeek, weektest.WildWeek}).Draw(t, "kitchens")(t)
		rankFirst := rapid.Bool().Draw(t, "first")
		if rankFirst {
			w = w.By(week.First)
		}
		var shocks []week.Shock
		var foreseen, mishaps []flow.Shock
		for range rapid.IntRange(0, 3).Draw(t, "shocks") {
			kind, change := anyChange(t, w)
			s, err := w.Shock(kind.Name, change)
			if err != nil {
				continue // it strikes nothing: a step that is not cooked, say
			}
			text += "\n" + s.String()
			shocks = append(shocks, s)
			if kind.Foreseen {
				foreseen = append(foreseen, s.Changes...)
			} else {
				mishaps = append(mishaps, s.Changes...)
			}
		}
		before, after, err := w.Compare(t.Context(), shocks...)
		require.NoError(t, err, text)
		plain := layOut(w.Kitchen, w.Period, rankFirst)
		assertSame(t, before, plain, plain.play(), text+"\nbefore")
		if len(shocks) > 0 {
			assertSame(t, after, plain, plain.whatIf(foreseen, mishaps), text+"\nafter")
		}
	})
}

// anyChange draws a change of something in a kitchen.
func anyChange(t *rapid.T, w *week.Week) (kind week.ShockKind, change string) {
	pick := func(what string, from ...string) string { return rapid.SampledFrom(from).Draw(t, what) }
	kind = rapid.SampledFrom(week.ShockKinds).Draw(t, "kind")
	item := w.Graph.Items[rapid.IntRange(0, len(w.Graph.Items)-len(w.Dishes)-1).Draw(t, "item")]
	step := w.Graph.Steps[rapid.IntRange(0, len(w.Steps)-1).Draw(t, "step")]
	dish := w.Dishes[rapid.IntRange(0, len(w.Dishes)-1).Draw(t, "dish")].Name
	day := pick("day", "", "@mon", "@tue", "@wed", "@thu")
	switch kind.Name {
	case "lose":
		change = step.Name + day + pick("share", "", "=40%", "=100%")
	case "short":
		change = item.Name + day + pick("less", "=30%", "=100%", "=2 kg")
	case "spoil":
		change = item.Name + day
	case "price":
		change = item.Name + "=+10%"
	case "yield":
		out := rapid.IntRange(0, len(step.Gives)-1).Draw(t, "output")
		change = step.Name + day + "/" + w.Graph.Items[step.Gives[out].Item].Name + pick("yield", "=-10%", "=+25%", "=-100%")
	case "late":
		change = step.Name + day + pick("late", "=45 min", "=7 h", "=30 h")
	case "sells":
		change = dish + day + pick("service", "", " dinner") + pick("sells", "=+50%", "=-30%", "=+7")
	case "strike":
		change = dish + day + pick("service", "", " lunch")
	}
	return kind, change
}

// assertSame holds an outcome against the reference's.
func assertSame(t require.TestingT, is *week.Played, s *plain, wanted *plainOutcome, text string) {
	o, k := is.Outcome, is.Case.Flow
	// The walk takes a count for whole that misses a whole number by a ten millionth, and an item for used up of which a
	// thousand millionth is left: a milligram, and a millionth of a batch, are beneath that.
	near := func(wanted number, is, least float64, what string, args ...any) {
		if w := float(wanted); math.Abs(w-is) > least+1e-6*w {
			require.InDelta(t, w, is, least+1e-6*w, fmt.Sprintf(what, args...)+"\n"+text)
		}
	}
	same := func(wanted number, is float64, what string, args ...any) { near(wanted, is, 1e-3, what, args...) }
	for slot, portions := range wanted.served {
		for d, n := range portions {
			is := o.Served[slot*len(portions)+d]
			require.True(t, float64(n) == is, "portions of %s at service %d: %d by the reference, not %g\n%s", s.Dishes[d].Name, slot, n, is, text)
		}
	}
	for r, b := range is.Schedule.Batches {
		at := slices.IndexFunc(s.runs, func(run plainRun) bool { return run.step == b.Step && run.day == b.Day })
		what := fmt.Sprintf("%s of day %d", s.Graph.Steps[b.Step].Name, b.Day)
		require.GreaterOrEqual(t, at, 0, "%s\n%s", what, text)
		near(wanted.runs[at].batches, o.Ran[r].Batches, 1e-6, "batches: %s", what)
		require.True(t, wanted.runs[at].due == o.Ran[r].Due && wanted.runs[at].start == o.Ran[r].Start, "start of %s: %v by the reference, not %v\n%s",
			what, wanted.runs[at], o.Ran[r], text)
	}
	came := make([][]number, len(s.Graph.Items))
	for i := range came {
		came[i] = nothing(s.days)
	}
	for _, d := range wanted.deliveries {
		sumTo(&came[d.item][d.day], d.amount)
	}
	brought := make([]float64, len(came)*s.days)
	for _, d := range o.Deliveries {
		brought[d.Item*s.days+d.Day] = d.Amount
	}
	for i, it := range s.Graph.Items {
		for day, amount := range came[i] {
			same(amount, brought[i*s.days+day], "delivery of %s on day %d", it.Name, day)
		}
		same(wanted.made[i], o.Made[i], "made of %s", it.Name)
		same(wanted.left[i], o.Left[i], "left of %s", it.Name)
		same(wanted.binned[i], o.Binned[i], "binned of %s", it.Name)
		same(wanted.lost[i], o.Lost[i], "lost of %s", it.Name)
	}
	for p, st := range s.Graph.Steps {
		near(wanted.batches[p], o.Batches[p], 1e-6, "batches of %s", st.Name)
		for l, line := range st.Takes {
			for c := range line.Choices {
				same(wanted.used[p][l][c], o.Used[k.Choice(p, l, c)], "used by %s, line %d, choice %d", st.Name, l, c)
			}
		}
	}
}
