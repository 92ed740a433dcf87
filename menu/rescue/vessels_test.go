package rescue

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph/flow"
	"kettletree/graph/lawtest"
	"kettletree/menu/plan"
	"kettletree/menu/shop"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// anyPots draws a kitchen with more work than pots: steps with and without a clock, and with and without times, in two
// vessels or none, some of which fit twice.
func anyPots(t *rapid.T) *week.Week {
	var b strings.Builder
	line := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	pick := func(what string, from ...string) string { return rapid.SampledFrom(from).Draw(t, what) }
	number := func(what string, least, most int) int { return rapid.IntRange(least, most).Draw(t, what) }
	line("services: {lunch: 11:30-14:00, dinner: 18:00-21:00}")
	line("vessels: {pot: {holds: %d L}, pan: %s}", number("pot", 10, 40), pick("pan", "{holds: 20 L}", "{}"))
	line("bought: {bones: {price: 1/kg, keeps: 3 days}}\nsteps:")
	steps := number("steps", 2, 4)
	for s := range steps {
		line("  step %d:\n    takes: [%d kg bones]\n    gives: [\"%d L stock %d%s\"]", s, number("takes", 5, 10), number("gives", 2, 5), s,
			pick("out", "", ", out at 1 h", ", out at 3 h", ", out at 9 h", ", out at 20 h"))
		line("    batches: {%s: %d}", pick("day", "mon", "tue", "daily"), number("batches", 1, 2))
		line("%s%s", pick("vessel", "    vessel: pot\n", "    vessel: pot\n", "    vessel: pan\n", ""),
			pick("starts", "", "    starts: \"05:00\"", "    starts: \"08:00\"", "    starts: \"22:00\""))
	}
	line("made:")
	for s := range steps {
		line("  stock %d: {keeps: %d days, worth: 1/L, density: 1 kg/L}", s, number("keeps", 1, 4))
	}
	line("dishes:")
	for s := range steps {
		line("  soup %d: {price: 8, takes: [500 mL stock %d], sells: %d}", s, s, number("sells", 0, 12))
	}
	w := weektest.SmallDays(t, b.String(), number("days", 2, 3))
	t.Log(b.String())
	return w
}

// together holds a schedule against the vessels minute by minute, apart from the calendar: at every minute one step, begun
// at one minute, and no more of it than the vessel holds; and as many minutes as work without a clock takes are free.
func together(t *rapid.T, w *week.Week, s *flow.Schedule) {
	type in struct{ vessel, minute int }
	works := map[in][3]int{} // step, start, batches
	fills := func(step int) (litres float64) {
		for _, l := range w.Graph.Steps[step].Takes {
			litres += w.Volume(l.Choices[0].Item, l.Choices[0].Amount) / 1000
		}
		return litres
	}
	free := map[[2]int]int{} // vessel, day: minutes that loose work takes before lunch
	for _, run := range s.Batches {
		v := w.Steps[run.Step].Vessel
		if v < 0 || run.Size == 0 || run.Day >= w.Days {
			continue
		}
		length, holds := w.Graph.Steps[run.Step].Length(), w.Vessels[v].Holds/1000
		start := max(run.Start, 0)
		if run.Start == flow.Untimed && length <= 11*60+30 {
			once := math.Inf(1)
			if holds > 0 {
				once = math.Floor(holds / fills(run.Step))
			}
			for left := run.Size; left > 0; left -= once {
				free[[2]int{v, run.Day}] += length
			}
			continue
		}
		for m := start; m < start+max(length, 1); m++ {
			at := in{v, run.Day*1440 + m}
			x, taken := works[at]
			require.True(t, !taken || x[0] == run.Step && x[1] == run.Day*1440+start, "two works in %s at %s", w.Vessels[v].Name,
				w.Moment(at.minute))
			works[at] = [3]int{run.Step, run.Day*1440 + start, x[2] + int(run.Size)}
			require.True(t, holds == 0 || float64(works[at][2])*fills(run.Step) <= holds, "%s is too full at %s", w.Vessels[v].Name,
				w.Moment(at.minute))
		}
	}
	for at, minutes := range free {
		for m := range 11*60 + 30 {
			if _, taken := works[in{at[0], at[1]*1440 + m}]; taken && minutes > 0 {
				minutes++
			}
		}
		require.LessOrEqual(t, minutes, 11*60+30, "%s on %s", w.Vessels[at[0]].Name, w.DayName(at[1]))
	}
}

func TestNobodyOverfillsAPot(t *testing.T) {
	lawtest.Few(t, 25)
	rapid.Check(t, func(t *rapid.T) {
		w := anyPots(t)
		sound := func(s *flow.Schedule) {
			require.Empty(t, w.Calendar(s, nil, nil).Clashes())
			together(t, w, s)
		}
		p, err := plan.Make(t.Context(), w, plan.Options{})
		require.NoError(t, err)
		sound(p.Case.Schedule)
		if len(w.Faults()) > 0 { // what is added to a week that cannot be cannot be either
			return
		}
		sound(w.Case.Schedule)

		// What a banquet adds is no clash, and no plan refuses it.
		dish := rapid.IntRange(0, len(w.Dishes)-1).Draw(t, "dish")
		need, err := shop.ReadNeed(w, fmt.Sprintf("%s=%d", w.Dishes[dish].Name, rapid.IntRange(1, 80).Draw(t, "guests")))
		require.NoError(t, err)
		if list, err := shop.ToBuy(t.Context(), w, shop.BuyOptions{Need: []shop.Need{need}}); err == nil {
			s := *w.Case.Schedule
			s.Batches = append([]flow.Batch{}, s.Batches...)
			var fixes []plan.Fix
			for _, f := range list.Banquet.Cook {
				step, err := w.FindStep(f.Step)
				require.NoError(t, err)
				days, err := w.DaysNamed(f.Date)
				require.NoError(t, err)
				s.Batches = append(s.Batches, flow.Batch{Step: step, Day: days[0], Start: w.Steps[step].Starts, Size: float64(f.Batches)})
				fix, err := plan.ReadFix(w, fmt.Sprintf("%s@%s=%v", f.Step, f.Date, float64(f.Batches)+f.Standing))
				require.NoError(t, err)
				fixes = append(fixes, fix)
			}
			require.Empty(t, w.Calendar(&s, nil, nil).Clashes())
			if _, err := plan.Make(t.Context(), w, plan.Options{Fix: fixes}); err != nil {
				require.NotContains(t, err.Error(), "at a time", "a plan refuses what a banquet adds")
			}
		}

		// Nor is what a rescue proposes, alone or together.
		lost := rapid.IntRange(0, len(w.Steps)-1).Draw(t, "lost")
		shock, err := w.Shock("lose", fmt.Sprintf("step %d", lost))
		if err != nil { // it does not run in these days
			return
		}
		before, after, err := w.Compare(t.Context(), shock)
		require.NoError(t, err)
		worth, err := w.Worth()
		require.NoError(t, err)
		r := &rescuing{Week: w, before: before, worth: worth, known: w.KnownAt(after.Case, before.Outcome, shock.Changes)}
		r.stand, err = w.PlayCase(t.Context(), after.Case.Resume(after.Outcome, r.known, w.OrdersFrom(r.known)), before.Outcome)
		require.NoError(t, err)
		r.look([]week.Shock{shock})
		var chosen []*move
		vessels := r.inVessels()
		for _, m := range r.find() {
			if m.kind != aBatch {
				continue
			}
			st := w.Stay(m.run.Step, m.run.Day, m.run.Start, m.run.Batches)
			require.Empty(t, r.inVessels().With(st).Clashes())
			require.GreaterOrEqual(t, m.start, r.known)
			if m.run.Start == w.Steps[m.run.Step].Starts {
				require.LessOrEqual(t, m.run.Batches, w.Most(m.run.Step, m.run.Day))
			}
			if r.goTogether(m, chosen) {
				chosen = append(chosen, m)
				vessels.Put(st)
				require.Empty(t, vessels.Clashes())
			}
		}
	})
}

// A batch beside one that is planned begins with it, not at any time before.
func TestABatchBesideAnother(t *testing.T) {
	w := weektest.SmallWeek(t, `
services: {breakfast: 05:00-06:00, lunch: 11:00-14:00}
vessels: {pot: {holds: 20 L}}
bought: {bones: {price: 1/kg}}
steps:
  boil: {vessel: pot, starts: "08:00", takes: [10 kg bones], gives: ["5 L stock, out at 3 h"], batches: {daily: 1}}
made: {stock: {keeps: 1 day, density: 1 kg/L, worth: 1/L}}
dishes: {soup: {price: 8, takes: [500 mL stock], sells: {lunch: 10}}}
`)
	a, err := Find(t.Context(), w, weektest.Shocks(t, w, "sells soup@wed lunch=+10"), nil)
	require.NoError(t, err)
	k := slices.IndexFunc(a.Moves, func(m Move) bool { return m.Kind == MoveKinds[aBatch] })
	require.GreaterOrEqual(t, k, 0, "%v", a.Moves)
	require.Equal(t, []string{"2026-11-25 08:00", ""}, []string{a.Moves[k].By, a.Moves[k].From})
}
