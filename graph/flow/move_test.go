package flow

// What moves change, and what they leave alone.

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph"
)

// A kettle gives 8 stock a day, for 6 soups and 4 steaks with a sauce of 1 stock. On day 0 both rise to 0.8 of their
// forecast: 4.8 soups and 3.2 sauces; then sauces go on with wine. Soups are made whole: 4, and the 0.8 stock which that frees
// goes into sauces before wine does.
const moved = `
buy bones 1 keeps 3 arrives 0
buy wine 2
batch kettle cost 3: 10 bones -> 8 stock @60
order reduce: 1 stock or 1 wine -> 1 sauce
dish soup 10 rank 2: 1 stock
dish steak 20 rank 1: 1 sauce
open 0 11:30
open 1 11:30
want soup 6 6
want steak 4 4
run kettle 0 x1
run kettle 1 x1
`

func TestMoves(t *testing.T) {
	kettle, reduce, soup, steak, stock := 0, 1, 0, 1, 2
	lost := Lose{kettle, 1, 1, false}
	for name, tc := range map[string]struct {
		moves []Shock
		want  []string
	}{
		// Day 1 has 8 stock as day 0 had.
		"another batch": {[]Shock{lost, Extra{Step: kettle, Day: 1, Start: 600, Batches: 1}},
			[]string{"ran 2: 1 at 1/10:00", "made stock: 16", "bought bones: 30 on 0", "served soup: 4 4",
				"served steak: 4 4"}},
		// Day 1 has none at its service, and the 8 are left.
		"another batch that is too late": {[]Shock{lost, Extra{Step: kettle, Day: 1, Start: 660, Batches: 1}},
			[]string{"ran 2: 1 at 1/11:00", "left stock: 8", "served soup: 4 0"}},
		"bought in as it is needed": {[]Shock{lost, Offer{Item: stock, Days: []bool{true, true, true, true}}},
			[]string{"served soup: 6 6", "served steak: 4 4", "bought stock: 2 on 0, 10 on 1"}},
		// Day 1 has 5: half of 6 soups and of 4 steaks.
		"bought in, so much": {[]Shock{lost, Bring{Item: stock, Day: 1, Amount: 5, Price: 2}},
			[]string{"served soup: 4 3", "bought stock: 5 on 1", "left stock: 0"}},
		"the substitute first": {[]Shock{Prefer{Step: reduce, Choice: 1, Line: 0}},
			[]string{"served soup: 6 6", "served steak: 4 4", "left stock: 4"}},
		"the substitute first, from day 1 on": {[]Shock{Prefer{Step: reduce, Choice: 1, Line: 0, From: 1440}},
			[]string{"served soup: 4 6", "served steak: 4 4", "left stock: 2"}},
		// Day 0 takes 3 + 2, day 1 has 3 for 6 + 2: 0.375 of 6 soups, 2, and of 4 small sauces. What the soups leave goes on into sauces.
		"smaller portions": {[]Shock{lost, Resize{Want: soup, Slots: []int{0}, Factor: 0.5}, Resize{Want: steak,
			Slots: []int{0, 1}, Factor: 0.5}},
			[]string{"served soup: 6 2", "served steak: 4 4", "left stock: 0"}},
		// Day 0 takes 1.5 + 4, day 1 takes 10 of 10.5.
		"smaller twice over": {[]Shock{Resize{Want: soup, Slots: []int{0}, Factor: 0.5}, Resize{Want: soup,
			Slots: []int{0}, Factor: 0.5}},
			[]string{"served soup: 6 6", "left stock: 0.5"}},
		// Day 1 has 8: 4 go into steaks first, 4 are left for soups.
		"by rank at one service": {[]Shock{Turn{Slots: []int{1}, Rule: First}},
			[]string{"served soup: 4 4", "share soup 1: 0.666667"}},
	} {
		t.Run(name, func(t *testing.T) {
			k := only(t, moved)
			c := k.compile()
			base := told(c.Flow.Walk(c.Schedule, Fair, nil))
			after := c.With(tc.moves...)
			rec := &Record{Movements: true}
			o := after.Flow.Walk(after.Schedule, Fair, rec)
			k.t, k.expected = t, tc.want
			k.judge(after, o, rec)
			require.Equal(t, base, told(c.Flow.Walk(c.Schedule, Fair, nil)), "the case itself is unchanged")
		})
	}
}

// What is brought is paid for at its price, and nothing else is.
func TestBringCosts(t *testing.T) {
	c := only(t, moved).compile()
	lost := c.With(Lose{0, EveryDay, 1, false}, Ask{Want: 1, Slots: []int{0, 1}})
	more := lost.With(Bring{Item: 2, Day: 0, Amount: 5, Price: 2.5})
	require.Equal(t, Delivery{Item: 2, Day: 0, Amount: 5, Ordered: 5, Price: 2.5}, more.Schedule.Deliveries[len(more.Schedule.Deliveries)-1])
	require.Zero(t, more.Flow.Price(2), "what comes of its batches, or of its own supplier, costs what it did")
}

// A case that has been played up to a minute served as it did before it; and goes on as it did where nothing is
// bought for other days than the one on which it comes.
func TestSettledGoesOnAsItDid(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := everything.draw(t)
		daily := rapid.Bool().Draw(t, "daily")
		if daily {
			clear(r.sched.Arrives)
		}
		t.Log(r)
		c := r.compile(t)
		minute := rapid.IntRange(0, c.Schedule.Days*1440-1).Draw(t, "minute")
		o := c.Flow.Walk(c.Schedule, r.rule, nil)
		settled := c.Resume(o, minute, nil)
		again := settled.Flow.Walk(settled.Schedule, r.rule, nil)
		for slot, sl := range c.Schedule.Slots {
			if at := slot * len(c.Schedule.Wants); daily || sl.Start < minute {
				require.Equal(t, o.Served[at:at+len(c.Schedule.Wants)], again.Served[at:at+len(c.Schedule.Wants)])
			}
		}
		for i := range r.items {
			if daily {
				require.InDelta(t, o.Delivered(i), again.Delivered(i), 1e-6*(1+o.Delivered(i)))
				require.InDelta(t, o.Left[i], again.Left[i], 1e-6*(1+o.Made[i]+o.Delivered(i)+o.Opening[i]))
			}
		}
	})
}

// After a settled minute nothing more comes before it, whatever is asked for. (What was topped up before is there
// from the day of its delivery, so that a lot found spoiled in between takes it along, and it is topped up again: no
// spoiled lots here.)
func TestNothingMoreComesBefore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := everything.draw(t)
		r.sched.Spoils = nil
		t.Log(r)
		c := r.compile(t)
		minute := rapid.IntRange(0, c.Schedule.Days*1440-1).Draw(t, "minute")
		o := c.Flow.Walk(c.Schedule, r.rule, nil)
		var asks []Shock
		for w := range c.Schedule.Wants {
			for slot, sl := range c.Schedule.Slots {
				if sl.Start >= minute && !sl.Closed {
					asks = append(asks, Ask{Want: w, Slots: []int{slot}, Factor: 1, More: 5})
				}
			}
		}
		more := c.Resume(o, minute, nil).With(asks...)
		again := more.Flow.Walk(more.Schedule, r.rule, nil)
		first := func(item int) int {
			if c.Schedule.Arrives[item] == nil {
				return minute / 1440
			}
			return (minute + 1439) / 1440
		}
		came := func(o *Outcome, item int) (amount float64) {
			for _, d := range o.Deliveries {
				if d.Item == item && d.Day < first(item) {
					amount += d.Amount
				}
			}
			return amount
		}
		for i := range r.items {
			require.InDelta(t, came(o, i), came(again, i), 1e-6*(1+came(o, i)), r.items[i].Name)
		}
	})
}

// A portion of a share of its size takes what a dish does whose lines are all so much smaller.
func TestSmallerPortionIsASmallerDish(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := everything.draw(t)
		t.Log(r)
		factor := rapid.SampledFrom([]float64{0.5, 0.75}).Draw(t, "factor")
		c := r.compile(t)
		var slots []int
		for slot := range c.Schedule.Slots {
			slots = append(slots, slot)
		}
		resized := c.With(Resize{Want: 0, Slots: slots, Factor: factor})
		got := resized.Flow.Walk(resized.Schedule, r.rule, nil)

		small := *r
		small.steps = slices.Clone(r.steps)
		for s, st := range small.steps {
			if st.Gives[0].Item == c.Schedule.Wants[0].Item {
				st.Takes = slices.Clone(st.Takes)
				for l := range st.Takes {
					st.Takes[l].Choices = slices.Clone(st.Takes[l].Choices)
					for n := range st.Takes[l].Choices {
						st.Takes[l].Choices[n].Amount *= factor
					}
				}
				small.steps[s] = st
			}
		}
		cut := small.compile(t)
		want := cut.Flow.Walk(cut.Schedule, r.rule, nil)
		require.Equal(t, want.Served, got.Served)
		for i, it := range r.items {
			if it.Role != graph.Sold {
				require.InDelta(t, want.Left[i], got.Left[i],
					1e-6*(1+want.Made[i]+want.Delivered(i)+want.Opening[i]), it.Name)
			}
		}
	})
}

// The rule of every service turned is the other rule, and no rule turned is the same.
func TestEveryServiceTurned(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := everything.draw(t)
		t.Log(r)
		c := r.compile(t)
		var slots []int
		for slot := range c.Schedule.Slots {
			slots = append(slots, slot)
		}
		turned := c.With(Turn{Slots: slots, Rule: First, Else: Fair})
		require.Equal(t, c.Flow.Walk(c.Schedule, First, nil).Served, turned.Flow.Walk(turned.Schedule, Fair,
			nil).Served)
		same := c.With(Turn{Rule: First, Else: Fair})
		require.Equal(t, c.Flow.Walk(c.Schedule, Fair, nil).Served, same.Flow.Walk(same.Schedule, Fair, nil).Served)
	})
}

// Moves leave the law of what comes and goes alone, and an offered item is never what stops a dish.
func TestMovesMakeNothingFromNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := everything.draw(t)
		t.Log(r)
		c := r.compile(t)
		made := slices.DeleteFunc(upTo(len(r.items)), func(i int) bool { return r.items[i].Role != graph.Made })
		item := rapid.SampledFrom(made).Draw(t, "item")
		day := rapid.IntRange(0, c.Schedule.Days-1).Draw(t, "day")
		moves := []Shock{Offer{Item: item, Days: slices.Repeat([]bool{true}, c.Schedule.Days)}, Bring{Item: rapid.SampledFrom(made).Draw(t, "brought"),
			Day: day, Amount: 7},
			Resize{Want: 0, Slots: []int{0}, Factor: 0.6}}
		for s, st := range r.steps {
			if st.Mode == graph.OnDays {
				moves = append(moves, Extra{Step: s, Day: day, Start: 400, Batches: 1})
			}
			for l, line := range st.Takes {
				if len(line.Choices) > 1 {
					moves = append(moves, Prefer{Step: s, Line: l, Choice: 1, From: day * 1440})
				}
			}
		}
		moved := c.With(moves...)
		rec := &Record{}
		o := moved.Flow.Walk(moved.Schedule, r.rule, rec)
		for _, st := range rec.Stops {
			require.NotContains(t, st.Items, item)
		}
		for i, it := range r.items {
			if it.Role == graph.Sold {
				continue
			}
			in := o.Opening[i] + o.Made[i] + o.Delivered(i)
			require.InDelta(t, in, usedOf(moved, o, i)+o.Binned[i]+o.Left[i], 1e-6*(1+in), it.Name)
			require.GreaterOrEqual(t, o.Left[i], 0.0)
		}
	})
}
