package flow

// What shocks change, and what they leave alone.

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

const shocked = `
buy bones 1 keeps 3 arrives 0
batch kettle: 10 bones -> 8 stock + 2 fat
all render: 1 fat -> 0.5 lard
dish soup 10: 1 stock
dish bun 4: 0.5 lard
open 0 11:30
open 1 11:30
want soup 8 8
want bun 2 2
run kettle 0 x1
run kettle 1 x1
`

func TestShocks(t *testing.T) {
	kettle, render := 0, 1
	for name, tc := range map[string]struct {
		shocks []Shock
		want   []string
	}{
		"a batch lost on a day": {[]Shock{Lose{kettle, 1, 0.5, false}},
			[]string{"served soup: 8 4", "lost stock: 4", "because soup 1: stock used up; kettle of 1 lost 4 of 8 stock"}},
		"lost twice over": {[]Shock{Lose{kettle, 1, 0.5, false}, Lose{kettle, 1, 0.5, false}}, []string{"served soup: 8 2"}},
		"on every day":    {[]Shock{Lose{kettle, EveryDay, 1, false}}, []string{"served soup: 0 0"}},
		"a step that takes all loses a share": {[]Shock{Lose{render, 1, 0.5, false}},
			[]string{"served bun: 2 1", "because bun 1: lard used up; render of 1 lost 0.5 of 1 lard"}},
		"a share of each delivery": {[]Shock{Scarce{Item: 0, Day: EveryDay, Share: 0.25}},
			[]string{"bought bones: 15 of 20 on 0", "ran 1: 0.5 at 1/00:00 for lack of bones", "served soup: 8 4",
				"because soup 1: stock used up; kettle of 1 did 0.5 of 1 for lack of bones; 15 of 20 bones came on 0"}},
		"an amount in all":                  {[]Shock{Scarce{Item: 0, Day: EveryDay, Amount: 12}}, []string{"bought bones: 8 of 20 on 0", "served soup: 6 0"}},
		"more than there is":                {[]Shock{Scarce{Item: 0, Day: EveryDay, Amount: 99}}, []string{"bought bones: 0 of 20 on 0"}},
		"not on that day":                   {[]Shock{Scarce{Item: 0, Day: 1, Amount: 12}}, []string{"served soup: 8 8"}},
		"spoilt on the second":              {[]Shock{Spoil{0, 1}}, []string{"binned bones: 10", "served soup: 8 8", "bought bones: 30 on 0"}},
		"found spoilt twice on one morning": {[]Shock{Spoil{0, 1}, Spoil{0, 1}}, []string{"binned bones: 10", "served soup: 8 8", "bought bones: 30 on 0"}},
		"a yield on a day": {[]Shock{Yield{kettle, 0, 1, 0.75}},
			[]string{"served soup: 8 6", "made fat: 4", "because soup 1: stock used up; kettle of 1 gave 2 of 8 less stock"}},
		"a yield on every day": {[]Shock{Yield{kettle, 0, EveryDay, 0.75}}, []string{"served soup: 6 6"}},
		"the yield of a step that takes all": {[]Shock{Yield{render, 0, EveryDay, 0.5}},
			[]string{"served bun: 1 1", "because bun 0: lard used up; render gave 1 of 2 less lard"}},
		"no yield at all": {[]Shock{Yield{kettle, 0, EveryDay, 0}},
			[]string{"served soup: 0 0", "because soup 0: stock used up; kettle of 0 gave 8 of 8 less stock"}},
		"late": {[]Shock{Delay{kettle, 1, 900}},
			[]string{"served soup: 8 0", "because soup 1: stock used up; kettle of 1 late with stock until 1/15:00"}},
		"more asked":  {[]Shock{Ask{Want: 0, Slots: []int{1}, Factor: 1.3}}, []string{"served soup: 8 8", "share soup 1: 0.8"}},
		"some more":   {[]Shock{Ask{Want: 1, Slots: []int{0}, Factor: 1, More: -9}}, []string{"served bun: 0 2", "left lard: 1"}},
		"struck off":  {[]Shock{Ask{Want: 0, Slots: []int{0, 1}}}, []string{"served soup: 0 0", "left stock: 16"}},
		"two at once": {[]Shock{Lose{kettle, 0, 1, false}, Ask{Want: 0, Slots: []int{0}}}, []string{"served soup: 0 8"}},
	} {
		t.Run(name, func(t *testing.T) {
			k := only(t, shocked)
			c := k.compile()
			base := told(c.Flow.Walk(c.Schedule, Fair, nil))
			standing := c.With()
			standing.Schedule.Deliveries = slices.Clone(c.Flow.Walk(c.Schedule, Fair, nil).Deliveries)
			after := standing.With(tc.shocks...)
			rec := &Record{Movements: true}
			o := after.Flow.Walk(after.Schedule, Fair, rec)
			k.t, k.expected = t, tc.want
			k.judge(after, o, rec)
			require.Equal(t, base, told(c.Flow.Walk(c.Schedule, Fair, nil)), "the case itself is unchanged")
		})
	}
}

// A price is not felt by the walk, and by the cost to the full.
func TestReprice(t *testing.T) {
	k := only(t, shocked)
	c := k.compile()
	dearer := c.With(Reprice{Item: 0, Price: 3})
	require.Equal(t, told(c.Flow.Walk(c.Schedule, Fair, nil)), told(dearer.Flow.Walk(dearer.Schedule, Fair, nil)))
	before, err := c.Flow.Cost(nil)
	require.NoError(t, err)
	after, err := dearer.Flow.Cost(nil)
	require.NoError(t, err)
	for i := range k.items {
		require.InDelta(t, 3*before.Unit[i], after.Unit[i], 1e-9)
	}
}

// An output of which nothing comes any more leaves numbers finite: what made it to order makes none, and its cost is what it
// was when there was some.
func TestNoYieldAtAll(t *testing.T) {
	k := only(t, `
buy hog 10
hand loin 3 made 0
order carve cost 2 by weight: 1 hog -> 2 loin + 1 belly
dish chop 20: 1 loin
dish roll 9: 1 belly
open 0 11:30
want chop 9
want roll 4`)
	k.t, k.expected = t, []string{"served chop: 3", "served roll: 4", "batches carve: 4", "left loin: 0"}
	c := k.compile().With(Yield{Step: 0, Output: 0, Day: EveryDay, Factor: 0})
	o := c.Flow.Walk(c.Schedule, Fair, nil)
	k.judge(c, o, nil)
	costing, err := c.Flow.Cost(o)
	require.NoError(t, err)
	require.InDelta(t, 0, costing.Unit[k.itemAt["loin"]], 1e-12)
	require.InDelta(t, 12, costing.Unit[k.itemAt["belly"]], 1e-12)

	c = c.With(Yield{Step: 0, Output: 1, Day: EveryDay, Factor: 0})
	costing, err = c.Flow.Cost(c.Flow.Walk(c.Schedule, Fair, nil))
	require.NoError(t, err)
	require.InDelta(t, 3, costing.Unit[k.itemAt["loin"]], 1e-12)
	require.InDelta(t, 6, costing.Unit[k.itemAt["belly"]], 1e-12)
}
