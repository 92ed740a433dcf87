package specials

// The specials, counted by hand on small kitchens; and their laws, on random ones.

import (
	"context"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph/flow"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// stew is a kitchen whose one batch, on Mondays, gives 1 kg of stew at 2.00 a kg that keeps until Tuesday.
const stew = `
money: USD
open: %s
services: {lunch: 11:30-14:30}
bought: {meat: {price: 2/kg, allergens: []}, roll: {price: 0.50/each, allergens: [wheat]}, leaf: {price: 0/kg}}
steps: {cook: {takes: [1 kg meat], gives: [1 kg stew], batches: {mon: 1}}}
made: {stew: {keeps: 2 days, worth: 1.50/kg%s}}
dishes: {bowl: {price: 4, takes: [100 g stew], sells: {%s}}}
%s`

// roll is a special that takes 100 g of stew and a roll: it costs 0.70, of which 0.50 beside the stew.
const roll = "specials: {stew roll: {price: 5, takes: [100 g stew, 1 each roll], %s}}"

// told is an answer in one line for each proposal, and one for each lot of the surplus.
func told(a *Offers) (lines []string) {
	for _, x := range a.Surplus {
		fate := "kept"
		if x.Binned != nil {
			fate = "binned " + *x.Binned
		}
		if x.Left {
			fate = "left, " + fate
		}
		lines = append(lines, fmt.Sprintf("%.3g %s %s of %s: %s; cost %.2f, value %.2f", x.Amount, x.Unit, x.Item,
			x.Made, fate, x.Cost, x.Value))
	}
	offer := func(o Offer) string {
		var b strings.Builder
		for _, s := range o.Services {
			fmt.Fprintf(&b, "%d %s %s, ", s.Portions, s.Date, s.Service)
		}
		for _, u := range o.Uses {
			fmt.Fprintf(&b, "uses %.3g %s, ", u.Amount, u.Item)
		}
		for _, x := range o.Takes {
			fmt.Fprintf(&b, "takes %d %s %s, ", x.Portions, x.Dish, x.Date)
		}
		for _, x := range o.Guests {
			fmt.Fprintf(&b, "guests %d %s %s, ", x.Portions, x.Dish, x.Date)
		}
		return fmt.Sprintf("%s%.2f", b.String(), o.Contribution)
	}
	for _, p := range a.Proposals {
		lines = append(lines, p.Dish+": "+offer(p.Offer))
		if p.More != nil {
			lines = append(lines, "more: "+offer(*p.More))
		}
	}
	return lines
}

// TestSpecialsByHand: where the bowl is not on sale on a day on which there is stew, it is proposed too: it brings 4
// for 100 g. Stew that would be left counts only where the days after use it.
func TestSpecialsByHand(t *testing.T) {
	cases := []struct {
		name, text string
		days       int
		want       []string
	}{
		{ // 6 bowls leave 400 g. Of 4 rolls, 3 sell at once; each brings 5 - 0.50, the stew being free: 13.50. On Tuesday a special rests.
			"binned", fmt.Sprintf(stew, "daily", "", "mon lunch: 6", fmt.Sprintf(roll, "sells: 3")), 3,
			[]string{"0.4 kg stew of 2026-11-23: binned 2026-11-24; cost 0.80, value 0.00",
				"bowl: 4 2026-11-24 lunch, uses 0.4 stew, 16.00",
				"stew roll: 3 2026-11-23 lunch, uses 0.3 stew, 13.50"},
		},
		{ // Tuesday is closed: only Monday's 3.
			"a closed day", fmt.Sprintf(stew, "mon wed-sun", "", "mon lunch: 6", fmt.Sprintf(roll, "sells: 3")), 3,
			[]string{"0.4 kg stew of 2026-11-23: binned 2026-11-24; cost 0.80, value 0.00",
				"stew roll: 3 2026-11-23 lunch, uses 0.3 stew, 13.50"},
		},
		{ // Monday alone: the stew is left, and counts for nothing, for nobody takes it on Tuesday.
			"left", fmt.Sprintf(stew, "daily", "", "mon lunch: 6", fmt.Sprintf(roll, "sells: 3")), 1,
			[]string{"0.4 kg stew of 2026-11-23: left, binned 2026-11-24; cost 0.80, value 0.00",
				"stew roll: 3 2026-11-23 lunch, uses 0.3 stew, 13.50"},
		},
		{ // Tuesday, outside the period, sells what Monday leaves: nothing may be taken from it but the 200 g to spare.
			"the day after", fmt.Sprintf(stew, "daily", "", "tue lunch: 8", fmt.Sprintf(roll, "sells: 6")), 1,
			[]string{"0.2 kg stew of 2026-11-23: left, binned 2026-11-24; cost 0.40, value 0.00",
				"0.8 kg stew of 2026-11-23: left, kept; cost 1.60, value 1.20",
				"stew roll: 2 2026-11-23 lunch, uses 0.2 stew, 9.00", "bowl: 2 2026-11-23 lunch, uses 0.2 stew, 8.00"},
		},
		{ // The kitchen wants 200 g left: of 400 g, 200 g may go.
			"par", fmt.Sprintf(stew, "daily", ", par: 200 g", "mon lunch: 6", fmt.Sprintf(roll, "sells: 3")), 1,
			[]string{"0.4 kg stew of 2026-11-23: left, binned 2026-11-24; cost 0.80, value 0.00",
				"stew roll: 2 2026-11-23 lunch, uses 0.2 stew, 9.00"},
		},
		{ // 8 bowls on Tuesday leave 200 g: 2 rolls, 9.00. 5 rolls on Monday take 3 bowls: 5 * 4.50 - 3 * 4 = 10.50.
			"more by taking", fmt.Sprintf(stew, "daily", "", "tue lunch: 8", fmt.Sprintf(roll, "sells: 5")), 2,
			[]string{"0.2 kg stew of 2026-11-23: binned 2026-11-24; cost 0.40, value 0.00",
				"stew roll: 2 2026-11-23 lunch, uses 0.2 stew, 9.00",
				"more: 5 2026-11-23 lunch, uses 0.2 stew, takes 3 bowl 2026-11-24, 10.50",
				"bowl: 2 2026-11-23 lunch, uses 0.2 stew, 8.00"},
		},
		{ // Fewer than 4 are not worth it, and there is stew for 2: 4 rolls less 2 bowls, 4 * 4.50 - 2 * 4 = 10.
			"at least", fmt.Sprintf(stew, "daily", "", "tue lunch: 8", fmt.Sprintf(roll, "at least: 4, sells: 4")), 2,
			[]string{"0.2 kg stew of 2026-11-23: binned 2026-11-24; cost 0.40, value 0.00",
				"stew roll: 4 2026-11-23 lunch, uses 0.2 stew, takes 2 bowl 2026-11-24, 10.00",
				"bowl: 2 2026-11-23 lunch, uses 0.2 stew, 8.00"},
		},
		{ // No "at most": half of the most bowls that a service sells, 6.
			"no bound", fmt.Sprintf(stew, "daily", "", "mon lunch: 6", fmt.Sprintf(roll, "rank: 1")), 2,
			[]string{"0.4 kg stew of 2026-11-23: binned 2026-11-24; cost 0.80, value 0.00",
				"bowl: 4 2026-11-24 lunch, uses 0.4 stew, 16.00",
				"stew roll: 3 2026-11-23 lunch, uses 0.3 stew, 13.50"},
		},
		{ // It is in place of the bowl for half of its guests: 4 rolls take 2 bowls, of which the stew is for 2 rolls more: 6 * 4.50 less 3 * 4 = 15.
			"in place of", fmt.Sprintf(stew, "daily", "", "mon lunch: 6", fmt.Sprintf(roll, "sells: 6, in place of: [bowl 50%]")), 1,
			[]string{"0.4 kg stew of 2026-11-23: left, binned 2026-11-24; cost 0.80, value 0.00",
				"stew roll: 6 2026-11-23 lunch, uses 0.3 stew, guests 3 bowl 2026-11-23, 15.00"},
		},
		{ // Without specials, the bowl itself on Tuesday, where it is not on sale, at most the 6 of Monday: 4 * 4 = 16.
			"a dish of the menu", fmt.Sprintf(stew, "daily", "", "mon lunch: 6", ""), 2,
			[]string{"0.4 kg stew of 2026-11-23: binned 2026-11-24; cost 0.80, value 0.00",
				"bowl: 4 2026-11-24 lunch, uses 0.4 stew, 16.00"},
		},
		{"a price below the cost of the rest", fmt.Sprintf(stew, "daily", "", "mon lunch: 6, tue lunch: 1",
			"specials: {dear roll: {price: 0.40, takes: [100 g stew, 1 each roll]}}"), 2,
			[]string{"0.3 kg stew of 2026-11-23: binned 2026-11-24; cost 0.60, value 0.00"}},
		{"no surplus", fmt.Sprintf(stew, "daily", "", "mon lunch: 6, tue lunch: 4", fmt.Sprintf(roll, "sells: 3")), 2,
			nil},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			a, err := Specials(t.Context(), weektest.SmallDays(t, c.text, c.days), nil, nil)
			require.NoError(t, err)
			assert.Equal(t, c.want, told(a))
		})
	}
}

// TestSpecialsTell holds what is said beside the figures.
func TestSpecialsTell(t *testing.T) {
	specials := "specials: {stew roll: {price: 5, takes: [100 g stew, 1 each roll], sells: 4}, " +
		"stew and leaf: {price: 4, takes: [100 g stew, 10 g leaf], sells: 2}}"
	w := weektest.SmallDays(t, fmt.Sprintf(stew, "daily", "", "mon lunch: 6", specials), 2)
	a, err := Specials(t.Context(), w, nil, nil)
	require.NoError(t, err)
	require.Len(t, a.Proposals, 3)
	first, third := a.Proposals[0], a.Proposals[2] // 4 * 4.50, then 4 * 4 each
	assert.Equal(t, "uses 400 g stew that would be binned on Tue 24 Nov at midnight; costs the menu nothing",
		first.Reason)
	assert.InDelta(t, 0.70/0.30, first.TargetPrice, 1e-9, "30 % food cost where the file does not say")
	assert.Equal(t, []string{"wheat"}, first.Allergens)
	assert.Empty(t, first.Unstated)
	assert.Equal(t, "stew and leaf", third.Dish)
	assert.Equal(t, []string{"leaf"}, third.Unstated)
	assert.Contains(t, a.Notes, "each proposal is worked out alone; several use up stew, and would share it")

	d, err := w.FindDish("stew roll")
	require.NoError(t, err)
	a, err = Specials(t.Context(), w, []int{d}, nil)
	require.NoError(t, err)
	require.Len(t, a.Proposals, 2)
	assert.Equal(t, "bowl", a.Proposals[0].Dish)

	w = weektest.SmallDays(t, fmt.Sprintf(stew, "daily", "", "lunch: 3", ""), 2)
	a, err = Specials(t.Context(), w, nil, nil)
	require.NoError(t, err)
	assert.Empty(t, a.Proposals)
	assert.Equal(t, []string{`the kitchen file has no specials: write some under "specials" that use up stew (400 g)`},
		a.Notes)
}

// TestSpecialsStale tells what was stale before the first day, and proposes nothing for it.
func TestSpecialsStale(t *testing.T) {
	w := weektest.SmallDays(t, fmt.Sprintf(stew, "daily", "", "mon lunch: 10", fmt.Sprintf(roll, "sells: 3")), 2)
	p := w.Period
	p.OnHand = []flow.Lot{{Item: 3, Amount: 500, Made: -3}} // Friday's stew, which kept until Saturday
	w, err := week.Over(w.Kitchen, p)
	require.NoError(t, err)
	a, err := Specials(t.Context(), w, nil, nil)
	require.NoError(t, err)
	assert.Equal(t, []string{"0.5 kg stew of 2026-11-20: binned 2026-11-22; cost 1.00, value 0.00"}, told(a))
}

// TestSpecialsOfExamples wants the same answer twice, and an end when the context ends.
func TestSpecialsOfExamples(t *testing.T) {
	for _, name := range weektest.Examples {
		w := weektest.ExampleWeek(t, name)
		a, err := Specials(t.Context(), w, nil, nil)
		require.NoError(t, err)
		again, err := Specials(t.Context(), w, nil, nil)
		require.NoError(t, err)
		assert.Equal(t, a, again, name)
		holdSpecials(t, w, a)
	}
	ctx, stop := context.WithCancel(t.Context())
	stop()
	_, err := Specials(ctx, weektest.ExampleWeek(t, "three-kettles"), nil, nil)
	require.ErrorIs(t, err, context.Canceled)
}

func TestSpecialsByLaw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text, onHand := weektest.AnyKitchen(t)
		bound := regexp.MustCompile(`at most: (\d+)(?:, at least: 1)?`)
		text = bound.ReplaceAllStringFunc(text, func(most string) string {
			n, err := strconv.Atoi(bound.FindStringSubmatch(most)[1])
			require.NoError(t, err)
			return fmt.Sprintf("at least: %d, at most: %d", rapid.IntRange(1, n).Draw(t, "at least"), n)
		})
		k, faults := kitchen.Read("kitchen.yaml", []byte(text))
		require.NotNil(t, k, "%v\n%s", faults, text)
		p := week.Period{From: time.Date(2026, 11, 23, 0, 0, 0, 0, time.UTC),
			Days: rapid.IntRange(1, 5).Draw(t, "days"),
			Rule: rapid.SampledFrom([]week.Rule{week.Fair, week.First}).Draw(t, "rule")}
		p.OnHand, faults = kitchen.ReadOnHand("on-hand.csv", []byte(onHand), k, p.From)
		require.NoError(t, faults.Err())
		w, err := week.Over(k, p)
		require.NoError(t, err)
		a, err := Specials(t.Context(), w, nil, nil)
		require.NoError(t, err)
		holdSpecials(t, w, a)
	})
}

// holdSpecials plays every offer once more, and holds what is said of it against the two walks.
func holdSpecials(t require.TestingT, w *week.Week, a *Offers) {
	before := w.Player().Play(w.Case, nil)
	worth, err := w.Worth()
	require.NoError(t, err)
	earned := worth.Books(w.Case, before).Contribution
	binned, over := make([]float64, len(w.Graph.Items)), map[string]float64{}
	for _, x := range a.Surplus {
		over[fmt.Sprint(x.Item, x.Left, orLater(x.Binned))] += x.Amount
		if !x.Left {
			binned[x.item] += x.Amount * w.Graph.Items[x.item].Unit.Factor
		}
	}
	for i, it := range w.Graph.Items {
		require.InDelta(t, before.Binned[i], binned[i], 1e-6*it.Unit.Factor*(1+before.Binned[i]),
			"all that is binned is told: %s", it.Name)
	}
	require.LessOrEqual(t, len(a.Proposals), mostProposals)
	seen := map[string]bool{}
	for _, p := range a.Proposals {
		require.False(t, seen[p.Dish], "each is another dish")
		seen[p.Dish] = true
		d, err := w.FindDish(p.Dish)
		require.NoError(t, err)
		offers := []Offer{p.Offer}
		if p.More != nil {
			offers = append(offers, *p.More)
			require.NotEmpty(t, p.More.Takes)
			require.Greater(t, p.More.Contribution, p.Offer.Contribution)
		}
		for _, o := range offers {
			require.Positive(t, o.Contribution)
			require.NotEmpty(t, o.Uses)
			c := w.Case
			asked := map[int]float64{}
			for _, s := range o.Services {
				slot := placeOf(w, s)
				asked[slot] = float64(s.Portions)
				require.Zero(t, w.Case.Schedule.Wants[d].Forecast[slot], "it is not on sale there")
				require.GreaterOrEqual(t, s.Portions, max(1, w.Kitchen.Dishes[d].AtLeast))
				if most := w.Kitchen.Dishes[d].AtMost; most > 0 {
					require.LessOrEqual(t, s.Portions, most)
				}
				c = c.With(flow.Ask{Want: d, Slots: []int{slot}, Factor: 1, More: float64(s.Portions)})
			}
			after := w.Player().Play(c, nil)
			lost, goes, wants := 0.0, 0.0, len(w.Kitchen.Dishes)
			for at := range before.Served {
				if slot, want := at/wants, at%wants; want == d && asked[slot] > 0 {
					require.Equal(t, asked[slot], after.Served[at], "all that is offered can be served")
					continue
				}
				gone := before.Served[at] - after.Served[at]
				if less := min(gone, before.Asked[at]-after.Asked[at]); less > 0 { // its guests order something else
					goes, gone = goes+less, gone-less
				}
				if len(o.Takes) == 0 {
					require.Zero(t, gone, "nothing is taken away")
				}
				lost += max(0, gone)
			}
			taken := 0
			for _, x := range o.Takes {
				taken += x.Portions
			}
			require.InDelta(t, lost, float64(taken), 1e-6)
			for _, x := range o.Guests {
				goes -= float64(x.Portions)
			}
			require.InDelta(t, 0, goes, 1e-6)
			require.InDelta(t, worth.Books(c, after).Contribution-earned, o.Contribution, 1e-6)
			used := map[string]float64{}
			for _, u := range o.Uses {
				used[fmt.Sprint(u.Item, u.Left, orLater(u.Binned))] += u.Amount
			}
			for key, amount := range used {
				require.LessOrEqual(t, amount, over[key]*(1+1e-9), key)
			}
			// The seven days after sell what they sold.
			long := w.Period
			long.Days += 7
			l, err := week.Over(w.Kitchen, long)
			require.NoError(t, err)
			with := l.Case
			for slot, n := range asked {
				with = with.With(flow.Ask{Want: d, Slots: []int{slot}, Factor: 1, More: n})
			}
			was, is := l.Player().Play(l.Case, nil), l.Player().Play(with, nil)
			for at := len(before.Served); at < len(was.Served); at++ {
				require.GreaterOrEqual(t, is.Served[at], was.Served[at], "nothing is taken from the days after")
			}
		}
	}
}

// placeOf finds a service.
func placeOf(w *week.Week, s Serving) int {
	for slot, sit := range w.Sittings {
		day := w.Date(sit.Day).Format(time.DateOnly)
		if sit.Service >= 0 && day == s.Date && w.Services[sit.Service].Name == s.Service {
			return slot
		}
	}
	return -1
}

// What is left after the days of a kept plan, or of a week that was changed, is followed on from what that week leaves: 20 L
// are made on Tuesday, and 4 sold; of the 16 left, Wednesday sells 4, and the other 12 are binned that night.
func TestWhatIsLeftIsFollowedFromTheWeekAsItIs(t *testing.T) {
	w := weektest.SmallDays(t, `
kitchen: Broth Bar
money: USD
open: mon-sun
services: {lunch: 11:30-14:00}
bought: {bones: {price: 1/kg}, water: {price: 0/L}}
steps: {boil: {takes: [5 kg bones, 10 L water], gives: [10 L broth], batches: {daily: 1}}}
made: {broth: {keeps: 2 days, density: 1 kg/L}}
dishes: {bowl: {price: 5, takes: [1 L broth], sells: {lunch: 4}}}
specials: {cup: {price: 3, takes: [500 mL broth], at most: 4}}
`, 1)
	binned := func(w *week.Week) (litres float64) {
		a, err := Specials(t.Context(), w, nil, nil)
		require.NoError(t, err)
		for _, x := range a.Surplus {
			if x.Binned != nil {
				litres += x.Amount
			}
		}
		return litres
	}
	assert.InDelta(t, 2, binned(w), 1e-9, "as the file has it")
	twice := w.With(w.Case.With(flow.Extra{Step: 0, Day: 0, Start: flow.Untimed, Batches: 1}))
	assert.InDelta(t, 12, binned(twice), 1e-9, "with a second batch")
}
