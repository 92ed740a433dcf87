package week_test

// The walk of kettletree/graph/flow, held against the reference in random kitchens.

import (
	"fmt"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/graph/lawtest"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// A reader who knows no more than the documents comes to the same week, with and without changes, be it from its beginning
// or from a minute on. -rapid.checks=2000 tries 2,000 kitchens.
func TestWalkIsTheReference(t *testing.T) {
	lawtest.Few(t, 25)
	var examples []*week.Week
	for _, name := range weektest.Examples {
		examples = append(examples, weektest.ExampleWeek(t, name))
	}
	example := func(t *rapid.T) (*week.Week, string) {
		w := rapid.SampledFrom(examples).Draw(t, "example")
		return w, w.Name
	}
	kitchens := []func(*rapid.T) (*week.Week, string){weektest.AnyWeek, weektest.OddWeek, weektest.WildWeek}
	kitchens = append(slices.Repeat(kitchens, 8), example) // which takes long
	rapid.Check(t, func(t *rapid.T) {
		w, text := rapid.SampledFrom(kitchens).Draw(t, "kitchens")(t)
		rankFirst := rapid.Bool().Draw(t, "first")
		if rankFirst {
			w = w.By(week.First)
		}
		wanted, long := layOut(w.Kitchen, w.Period, rankFirst), layOut(w.Kitchen, behind(w.Kitchen, w.Period), false)
		if rapid.IntRange(0, 2).Draw(t, "goes on") == 0 {
			on := goingOn(t, w)
			w, wanted = w.Continued(nil, func(s *flow.Schedule) { *s = *on }), wanted.goingOn(on)
			long = long.goingOn(on)
			text += fmt.Sprintf("\nfrom %d, not before %v, pots %+v", on.From, on.NotBefore, on.Pots)
		}
		var shocks []week.Shock
		var foreseen, mishaps []flow.Shock
		for range rapid.IntRange(0, 3).Draw(t, "shocks") {
			kind, change := anyChange(t, w)
			s, err := w.Shock(kind.Name, change)
			if err != nil {
				continue // it strikes nothing: a step that is not cooked, say
			}
			for n, c := range s.Changes {
				if lose, ok := c.(flow.Lose); ok && rapid.Bool().Draw(t, "before it is lit") {
					lose.Unlit = true
					s.Changes[n] = lose
				}
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
		was, worth := wanted.play(), wanted.worth(long)
		assertSame(t, before, wanted, was, text+"\nbefore")
		assertMoney(t, before, wanted, was, was, worth, nil, text+"\nbefore")
		if len(shocks) > 0 {
			is, all := wanted.whatIf(foreseen, mishaps), slices.Concat(foreseen, mishaps)
			assertSame(t, after, wanted, is, text+"\nafter")
			assertMoney(t, after, wanted.with(all), is, was, worth, all, text+"\nafter")
		}
	})
}

// So does one who knows what was decided: another choice first, what is scarce given out otherwise at some services, buying elsewhere,
// and lines of a service, a batch or a step that takes all there is filled as somebody directed.
func TestMovesAreTheReference(t *testing.T) {
	kitchens := []func(*rapid.T) (*week.Week, string){weektest.AnyWeek, weektest.OddWeek, weektest.WildWeek}
	rapid.Check(t, func(t *rapid.T) {
		w, text := rapid.SampledFrom(kitchens).Draw(t, "kitchens")(t)
		wanted := layOut(w.Kitchen, w.Period, false)
		c := w.Case
		for range rapid.IntRange(1, 4).Draw(t, "moves") {
			m := anyMove(t, w)
			if m == nil {
				continue
			}
			text += fmt.Sprintf("\n%T %+v", m, m)
			c = c.With(m)
			switch m := m.(type) {
			case flow.Prefer:
				wanted.prefers = append(wanted.prefers, m)
			case flow.Turn:
				wanted.turns = append(wanted.turns, m)
			case flow.Offer:
				wanted.offers = append(wanted.offers, m)
			}
		}
		if rapid.IntRange(0, 2).Draw(t, "directed") == 0 {
			s := *c.Schedule
			s.Directions = &flow.Directions{Serve: make([][]float64, len(s.Slots))}
			wanted.mixes = map[int][]number{}
			for k := range s.Slots {
				s.Directions.Serve[k], wanted.mixes[k] = anyMix(t, w)
			}
			if rapid.Bool().Draw(t, "batches too") {
				s.Directions.Run, wanted.inRuns = make([][]float64, len(s.Batches)), map[[2]int][]number{}
				for r, b := range s.Batches {
					s.Directions.Run[r], wanted.inRuns[[2]int{b.Step, b.Day}] = anyMix(t, w)
				}
				s.Directions.All, wanted.inAll = make([][]float64, len(s.Slots)), map[int][]number{}
				for k := range s.Slots {
					s.Directions.All[k], wanted.inAll[k] = anyMix(t, w)
				}
			}
			c.Schedule = &s
			text += fmt.Sprintf("\ndirected %+v", *s.Directions)
		}
		is, err := w.PlayCase(t.Context(), c, nil)
		require.NoError(t, err, text)
		assertSame(t, is, wanted, wanted.play(), text)
	})
}

// anyMove draws something that is decided; nil where there is nothing of the kind.
func anyMove(t *rapid.T, w *week.Week) flow.Shock {
	switch rapid.IntRange(0, 2).Draw(t, "move") {
	case 0:
		var can []flow.Prefer
		for p, st := range w.Graph.Steps {
			for l, line := range st.Takes {
				for c := range line.Choices {
					if c > 0 && line.Alike < 2 && !line.Carried {
						can = append(can, flow.Prefer{Step: p, Line: l, Choice: c})
					}
				}
			}
		}
		if can == nil {
			return nil
		}
		m := rapid.SampledFrom(can).Draw(t, "prefer")
		m.From = rapid.SampledFrom([]int{0, 0, 900, 1440 + 700}).Draw(t, "from")
		return m
	case 1:
		m := flow.Turn{Rule: flow.First, Else: flow.Fair}
		for k := range w.Case.Schedule.Slots {
			if rapid.Bool().Draw(t, "turned") {
				m.Slots = append(m.Slots, k)
			}
		}
		return m
	}
	m := flow.Offer{Item: rapid.IntRange(0, len(w.Graph.Items)-len(w.Dishes)-1).Draw(t, "offered"), Pack: rapid.SampledFrom([]float64{0, 0, 500, 2000}).Draw(t, "pack")}
	for range w.Days {
		m.Days = append(m.Days, rapid.Bool().Draw(t, "on"))
	}
	return m
}

// anyMix draws what part of each line its choices fill.
func anyMix(t *rapid.T, w *week.Week) (mix []float64, as []number) {
	mix = make([]float64, w.Case.Flow.Choices())
	for p, st := range w.Graph.Steps {
		for l, line := range st.Takes {
			first := float64(rapid.IntRange(0, 4).Draw(t, "first")) / 4
			if len(line.Choices) == 1 || line.Carried {
				first = 1
			} else {
				mix[w.Case.Flow.Choice(p, l, 1)] = 1 - first
			}
			mix[w.Case.Flow.Choice(p, l, 0)] = first
			for c := range line.Choices {
				as = append(as, exact(mix[w.Case.Flow.Choice(p, l, c)]))
			}
		}
	}
	return mix, as
}

// goingOn draws a schedule that goes on from a minute, with batches under way and what comes no earlier.
func goingOn(t *rapid.T, w *week.Week) *flow.Schedule {
	s := *w.Case.Schedule
	number := func(what string, from ...int) int { return rapid.SampledFrom(from).Draw(t, what) }
	s.From = number("from", 0, 1, 300, 690, 700, 1000, 1439)
	others := len(w.Graph.Items) - len(w.Dishes) // bought, then made
	lines := func(what string, first int) (list []flow.PotLine) {
		for range rapid.IntRange(0, 2).Draw(t, what) {
			list = append(list, flow.PotLine{Item: rapid.IntRange(first, others-1).Draw(t, "item"), Amount: 1000 * float64(number("amount", 1, 2, 5)),
				Minute: s.From + number("minute", -700, -1, 0, 60, 400, 900, 3000)})
		}
		return list
	}
	for p := range w.Steps {
		if w.Graph.Steps[p].Mode != graph.OnDays || rapid.Bool().Draw(t, "not under way") {
			continue
		}
		pot := flow.Pot{Step: p, Day: -rapid.IntRange(0, 2).Draw(t, "began"), Batches: 1, Takes: lines("still takes", 0), Gives: lines("still gives", len(w.Bought))}
		pot.Start = pot.Day*1440 + 60
		s.Pots = append(s.Pots, pot)
	}
	for k, slot := range s.Slots {
		for d := range s.Wants {
			if slot.Day == 0 && slot.Start < s.From && slot.End > s.From {
				s.House = s.House.Having(d, k, float64(number("gone out", 0, 0, 1, 4)))
			}
		}
	}
	s.NotBefore = make([]int, len(w.Graph.Items))
	for i := range w.Bought {
		s.NotBefore[i] = number("not before", 0, 0, 0, 400, 1000, 1440, 2000)
	}
	return &s
}

// anyChange draws a change of something in a kitchen.
func anyChange(t *rapid.T, w *week.Week) (kind week.ShockKind, change string) {
	pick := func(what string, from ...string) string { return rapid.SampledFrom(from).Draw(t, what) }
	kind = rapid.SampledFrom(week.ShockKinds).Draw(t, "kind")
	item := w.Graph.Items[rapid.IntRange(0, len(w.Graph.Items)-len(w.Dishes)-1).Draw(t, "item")]
	step := w.Graph.Steps[rapid.IntRange(0, len(w.Steps)-1).Draw(t, "step")]
	dish := w.Dishes[rapid.IntRange(0, len(w.Dishes)-1).Draw(t, "dish")].Name
	day := pick("day", "", "@mon", "@tue", "@wed", "@thu", "@sun")
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

// assertMoney holds what an outcome earned and what plates cost against the reference, which counts by the amounts of another.
func assertMoney(t require.TestingT, is *week.Played, s *plain, o, by *plainOutcome, worth *plainWorth, changes []flow.Shock, text string) {
	price := s.prices(changes)
	wanted := s.money(o, price)
	for what, pair := range map[string][2]float64{"sales": {wanted.sales, is.Books.Sales}, "bought": {wanted.bought, is.Books.Bought},
		"labour": {wanted.labour, is.Books.Labour}, "disposal": {wanted.disposal, is.Books.Disposal}} {
		require.InDelta(t, pair[0], pair[1], 1e-4+1e-6*math.Abs(pair[0]), "%s\n%s", what, text)
	}
	b := is.Books
	require.InDelta(t, b.Sales-b.Bought-b.Labour-b.Disposal+b.Stock, b.Contribution, 1e-9*(1+b.Sales+b.Bought), text)
	for _, rule := range s.Terms.Share {
		if rule == flow.ByFinalValue || rule == flow.ByEvenMargin {
			return // these look downstream, which the reference does not
		}
	}
	stock, all := worth.change(s, o, price)
	require.InDelta(t, stock, b.Stock, 1e-4+1e-6*all, "change of inventory\n%s", text)
	for i, cost := range s.costs(price, by) {
		require.InDelta(t, cost, is.Costing.Unit[i], 1e-9+1e-6*math.Abs(cost), "unit cost of %s\n%s", s.Graph.Items[i].Name, text)
	}
}

// assertSame holds an outcome against the reference's.
func assertSame(t require.TestingT, is *week.Played, s *plain, wanted *plainOutcome, text string) {
	o, k := is.Outcome, is.Case.Flow
	// The walk takes a count for whole that misses a whole number by a ten millionth, and an item for used up of which a
	// thousand millionth is left: a milligram, and a millionth of a batch, are beneath that.
	near := func(wanted number, is, least float64, what string, args ...any) {
		if w := float(wanted); math.Abs(w-is) > least+1e-6*math.Abs(w) {
			require.InDelta(t, w, is, least+1e-6*math.Abs(w), fmt.Sprintf(what, args...)+"\n"+text)
		}
	}
	came := make([][]number, len(s.Graph.Items))
	for i := range came {
		came[i] = nothing(s.days)
	}
	for _, d := range wanted.deliveries {
		sumTo(&came[d.item][d.day], d.amount)
	}
	flowed := make([]float64, len(came)) // by item: all that came of it
	for i, days := range came {
		flowed[i] = float(wanted.made[i])
		for _, amount := range days {
			flowed[i] += float(amount)
		}
	}
	same := func(item int, wanted number, is float64, what string, args ...any) {
		near(wanted, is, 1e-3+2e-9*flowed[item], what, args...) // some random weeks feed themselves until their amounts are finer than a float
	}
	for slot, portions := range wanted.served {
		for d, n := range portions {
			is := o.Served[slot*len(portions)+d]
			require.True(t, float64(n) == is, "portions of %s at service %d: %d by the reference, not %g\n%s", s.Dishes[d].Name, slot, n, is, text)
		}
	}
	n := 0
	for k, took := range wanted.putIn {
		for _, amount := range took {
			near(amount, o.PutIn[n], 1e-3, "put into pot %d", k)
			n++
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
	brought := make([]float64, len(came)*s.days)
	for _, d := range o.Deliveries {
		brought[d.Item*s.days+d.Day] = d.Amount
	}
	for i, it := range s.Graph.Items {
		for day, amount := range came[i] {
			same(i, amount, brought[i*s.days+day], "delivery of %s on day %d", it.Name, day)
		}
		same(i, wanted.made[i], o.Made[i], "made of %s", it.Name)
		same(i, wanted.left[i], o.Left[i], "left of %s", it.Name)
		same(i, wanted.binned[i], o.Binned[i], "binned of %s", it.Name)
		same(i, wanted.lost[i], o.Lost[i], "lost of %s", it.Name)
	}
	for p, st := range s.Graph.Steps {
		near(wanted.batches[p], o.Batches[p], 1e-6, "batches of %s", st.Name)
		for l, line := range st.Takes {
			lacks := 0.0
			for _, k := range o.Lacks {
				if k.Step == p && k.Line == l {
					lacks += k.Amount
				}
			}
			same(line.Choices[0].Item, wanted.lacks[p][l], lacks, "gone without by %s, line %d", st.Name, l)
			for c, choice := range line.Choices {
				same(choice.Item, wanted.used[p][l][c], o.Used[k.Choice(p, l, c)], "used by %s, line %d, choice %d", st.Name, l, c)
			}
		}
	}
}
