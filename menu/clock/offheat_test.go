package clock

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/tongue"
	"kettletree/menu/week/weektest"
)

const steeped = `
services: {lunch: 12:00-14:00}
bought: {egg: {price: 0.2/each, raw: yes, allergens: [egg]}, pork: {price: 4/kg, raw: yes, allergens: []}}
steps:
  steep:  {takes: [10 each egg], gives: ["10 each brown egg, out at 16 h"], OFFcooks through: yes, starts: "15:30", batches: {mon: 1}}
  render: {takes: [2 kg pork], gives: [1 kg lard, 0.2 kg meat], cooks through: yes, batches: {mon: 1}}
made: {lard: {keeps: 7 days, date mark: no}}
dishes: {plate: {price: 9, takes: [2 each brown egg, 10 g lard, 10 g meat], sells: {tue lunch: 2}}}
`

// 3-501.14(A) counts from when cooked food is at 135 °F on its way down: what steeps overnight off the heat has cooled, or not, hours
// before it is out.
func TestCoolingBeginsOffTheHeat(t *testing.T) {
	for off, want := range map[string]struct {
		begins, first, second string
		hot                   bool
	}{
		"":                   {"07:30", "2026-11-24 09:30", "2026-11-24 13:30", true},
		"off heat: 20 min, ": {"15:50", "2026-11-23 17:50", "2026-11-23 21:50", false},
		"off heat: 16 h, ":   {"07:30", "2026-11-24 09:30", "2026-11-24 13:30", true},
	} {
		w := weektest.SmallDays(t, replaceOnce(t, steeped, "OFF", off), 2)
		l := labelsOf(t, w, "brown egg")[0]
		require.Len(t, l.Cool, 2, off)
		assert.Equal(t, []string{want.begins, want.first, want.second}, []string{l.Cools, *l.Cool[0].By, *l.Cool[1].By}, off)
		a, err := Of(t.Context(), w, nil)
		require.NoError(t, err)
		var limits, read []string
		hot := false
		for _, r := range a.Rows {
			if r.Step == "steep" && r.Do == TakeOut {
				hot = len(r.Heat) > 0
			}
			for _, c := range r.Limits {
				if r.Step == "steep" && r.Do == Read {
					read = append(read, r.At)
				} else if r.Step == "steep" {
					limits = append(limits, *c.By)
				}
			}
		}
		assert.Equal(t, []string{want.first, want.second}, limits, off)
		assert.Equal(t, []string{want.first[:10] + "T" + want.first[11:], want.second[:10] + "T" + want.second[11:]}, read, off)
		assert.Equal(t, want.hot, hot, "%q: what comes out cold is neither cooled nor held hot", off)
	}
}

// What needs no time and temperature control has no limits on cooling; what came out of the same pan and does need it has.
func TestNoCoolingWithoutDateMark(t *testing.T) {
	w := weektest.SmallDays(t, replaceOnce(t, steeped, "OFF", ""), 2)
	a, err := LabelsOn(t.Context(), w, []int{0}, tongue.Voice{})
	require.NoError(t, err)
	cools := map[string]int{}
	for _, l := range a.Labels {
		cools[l.Item] = len(l.Cool)
	}
	assert.Equal(t, map[string]int{"lard": 0, "meat": 2}, cools)
}

// 3-501.17(A): the day of preparation is day 1. Eggs that are off the heat on Monday and steep until Tuesday are ready food from Monday
// on (the prudent reading): their seven days are Monday to Sunday. Those that are kept on the heat until they are out begin on Tuesday.
func TestDayOneIsTheDayOffTheHeat(t *testing.T) {
	for off, want := range map[string][3]string{
		"":                   {"2026-11-24", "2026-11-30", "7 days, day 1 being the day made (US FDA Food Code 2022, 3-501.17(A))"},
		"off heat: 20 min, ": {"2026-11-23", "2026-11-29", "7 days, day 1 being the day on which it was off the heat (US FDA Food Code 2022, 3-501.17(A))"},
		"off heat: 9 h, ":    {"2026-11-24", "2026-11-30", "7 days, day 1 being the day made (US FDA Food Code 2022, 3-501.17(A))"}, // past midnight
	} {
		l := labelsOf(t, weektest.SmallDays(t, replaceOnce(t, steeped, "OFF", off), 2), "brown egg")[0]
		require.NotNil(t, l.UseBy, off)
		assert.Equal(t, "2026-11-24", l.Made, off)
		assert.Equal(t, want, [3]string{l.DayOne, *l.UseBy, l.Because}, off)
	}
}

// Food that is off the heat before it is out of its pot is cooled once it is out, though the code counts from off the heat.
func TestNothingIsCooledBeforeItIsOut(t *testing.T) {
	a := of(t, weektest.SmallDays(t, `
services: {dinner: "17:30-21:00"}
hands: {"06:00-22:00": [cook]}
vessels: {pan: {holds: 30 L}}
bought: {water: {price: 0/L}, crab: {price: 9/kg, raw: yes}}
steps:
  boil crab:
    vessel: pan
    starts: "08:00"
    off heat: 45 min
    takes: [10 L water, 5 kg crab]
    gives: ["1.2 kg crab meat, out at 1 h 30 min"]
    cooks through: yes
    batches: {mon: 1}
made: {crab meat: {keeps: 3 days}}
dishes: {plate: {price: 20, takes: [100 g crab meat], sells: {mon dinner: 6}}}
`, 1))
	out := slices.IndexFunc(a.Rows, func(r Row) bool { return r.Do == TakeOut && len(r.Out) > 0 })
	cool := slices.IndexFunc(a.Rows, func(r Row) bool { return r.Act == "cool" && r.Do == Work })
	require.Positive(t, out)
	require.Positive(t, cool)
	assert.Equal(t, "2026-11-23T09:30", a.Rows[out].At)
	assert.Equal(t, "2026-11-23T09:45", a.Rows[cool].At)
	assert.Equal(t, "2026-11-23 10:45", *a.Rows[cool].Limits[0].By, "2 h from off the heat (FDA Food Code 2022, 3-501.14(A)(1))")
	assert.Empty(t, a.Conflicts)
}
