package plan

// What of a kept plan still fits a kitchen file that has changed.

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

const potKitchen = `
kitchen: Pot Kitchen
services: {lunch: 11:30-14:30, dinner: 17:30-22:00}
vessels: {big pot: {holds: 40 L}}
bought:
  bones: {price: 2/kg, pack: 5 kg}
  water: {price: 0/L, density: 1 kg/L}
steps:
  boil: {vessel: big pot, starts: "06:00", takes: [5 kg bones, 10 L water], gives: ["8 L stock, out at 4 h"], batches: {mon-fri: 1}}
made:
  stock: {keeps: 3 days, density: 1 kg/L}
dishes:
  soup: {price: 6, takes: [500 mL stock], sells: 12}
specials:
  broth cup: {price: 3, takes: [300 mL stock], at most: 10}
`

const keptForPots = `
kitchen: Pot Kitchen
rule: fair
days:
  2026-11-24:
    kept: 2026-11-22 21:00
    batches:
      boil: 2
    specials:
      dinner:
        broth cup: 8
    at most:
      lunch:
        soup: 9
    orders:
      bones: 10 kg
  2026-11-25:
    kept: 2026-11-22 21:00
    batches:
      boil: 0
`

// A plan is laid as it was kept, and of a changed file all that still fits; what does not is said.
func TestLay(t *testing.T) {
	for _, c := range []struct {
		name        string
		change      []string // pairs of what stands in the file and what takes its place
		says        []string
		batches     [2]float64 // of Tuesday and Wednesday
		cups, soups float64    // on Tuesday, asked for at dinner and at lunch
		bones       float64    // ordered for Tuesday, in grams
	}{
		{"as it was", nil, nil, [2]float64{2, 0}, 8, 9, 10_000},
		{"a step is gone", []string{"boil:", "simmer:"}, []string{`the plan for Tue 24 Nov: there is no step "boil" any more, so its batches are left out`}, [2]float64{1, 1}, 8, 9, 10_000},
		{"a step is made to order", []string{"batches: {mon-fri: 1}", "batches: to order"}, []string{`the plan for Tue 24 Nov: "boil" is not made on set days any more, so its batches are left out`}, [2]float64{0, 0}, 8, 9, 10_000},
		{"the vessel is too small", []string{"holds: 40 L", "holds: 20 L"}, []string{`the plan for Tue 24 Nov: the big pot has room for 1 batch of "boil", so it is 1, not 2`}, [2]float64{1, 0}, 8, 9, 10_000},
		{"nobody works", []string{"services: {", "works: thu-mon\nopen: thu-mon\nservices: {", "mon-fri: 1", "thu-fri: 1"}, []string{
			"the plan for Tue 24 Nov: nobody works then, so its batches are left out", "the plan for Tue 24 Nov: there is no dinner, so broth cup is not offered",
			"the plan for Tue 24 Nov: no bones arrives on a Tuesday any more, so the order for 10 kg is left out"}, [2]float64{0, 0}, -1, -1, 0},
		{"a service is gone", []string{", dinner: 17:30-22:00", ""}, []string{"the plan for Tue 24 Nov: there is no dinner, so broth cup is not offered"}, [2]float64{2, 0}, -1, 9, 10_000},
		{"a special is gone", []string{"broth cup:", "big cup:"}, []string{`the plan for Tue 24 Nov: there is no special "broth cup" any more`}, [2]float64{2, 0}, 0, 9, 10_000},
		{"fewer can be offered", []string{"at most: 10", "at most: 5"}, []string{"the plan for Tue 24 Nov: at most 5 broth cup can be offered, not 8"}, [2]float64{2, 0}, 5, 9, 10_000},
		{"fewer guests than the plan holds to", []string{"sells: 12", "sells: 4"}, nil, [2]float64{2, 0}, 8, 4, 10_000},
		{"an item is gone", []string{"bones", "necks"}, []string{`the plan for Tue 24 Nov: "bones" is not bought any more, so the order for 10 kg is left out`}, [2]float64{2, 0}, 8, 9, 0},
		{"an item is counted", []string{"bones: {price: 2/kg, pack: 5 kg}", "bones: {price: 2/each, pack: 4 each, each: 250 g}"}, nil, [2]float64{2, 0}, 8, 9, 40},
		{"in another unit", []string{"price: 2/kg, pack: 5 kg", "price: 2/lb, pack: 10 lb"}, nil, [2]float64{2, 0}, 8, 9, 10_000},
	} {
		t.Run(c.name, func(t *testing.T) {
			kept, err := Read("kitchen.plan", []byte(keptForPots))
			require.NoError(t, err)
			src := strings.NewReplacer(c.change...).Replace(potKitchen)
			laid, notes := Lay(kept, weektest.SmallWeek(t, src))
			require.NotEmpty(t, notes)
			assert.Equal(t, "by the plan kept Sun 22 Nov 21:00 for Tue 24 Nov to Wed 25 Nov", notes[0])
			assert.Equal(t, append([]string{}, c.says...), append([]string{}, notes[1:]...))

			var batches [2]float64
			for _, b := range laid.Case.Schedule.Batches {
				if b.Day == 1 || b.Day == 2 {
					batches[b.Day-1] += b.Size
				}
			}
			assert.Equal(t, c.batches, batches)
			asked := func(dish int, service string) float64 {
				slots, err := laid.SlotsNamed("2026-11-24 " + service)
				if err != nil {
					return -1
				}
				return laid.Case.Schedule.Wants[dish].Forecast[slots[0]]
			}
			assert.Equal(t, c.cups, asked(1, "dinner"), "cups")
			assert.Equal(t, c.soups, asked(0, "lunch"), "soups")
			bones := 0.0
			for _, d := range laid.Case.Schedule.Deliveries {
				require.Equal(t, 1, d.Day)
				bones += d.Amount
			}
			assert.InDelta(t, c.bones, bones, 1e-6)
			_, err = laid.Play(t.Context())
			require.NoError(t, err)
		})
	}
}

// Days that neither have in common change nothing, and nothing is said.
func TestLayOverOtherDays(t *testing.T) {
	kept, err := Read("kitchen.plan", []byte(keptForPots))
	require.NoError(t, err)
	k := weektest.Read(t, potKitchen)
	for _, ahead := range []int{-9, 2, 3, 30} {
		w, err := week.Over(k, week.Period{From: weektest.Monday.AddDate(0, 0, ahead), Days: 1})
		require.NoError(t, err)
		laid, notes := Lay(kept, w)
		if ahead == 2 {
			assert.NotEmpty(t, notes)
			continue
		}
		assert.Empty(t, notes)
		assert.Same(t, w, laid)
	}
}

// Of plans kept one after the other, the later has its own days; what lies weeks back is let go.
func TestPlansKeptOneAfterTheOther(t *testing.T) {
	monday := weektest.Monday
	of := func(days ...int) *Kept {
		k := &Kept{Kitchen: "K", Rule: "fair"}
		for _, d := range days {
			k.Days = append(k.Days, KeptDay{Date: monday.AddDate(0, 0, d), Batches: []KeptBatches{{"boil", float64(len(days))}}})
		}
		return k
	}
	k := of(2, 3).Over(of(-40, 0, 1, 2, 4).Over(nil, monday), monday.AddDate(0, 0, 1))
	var dates []string
	for _, d := range k.Days {
		dates = append(dates, d.Date.Format("01-02")+" "+plainly(d.Batches[0].Batches))
	}
	assert.Equal(t, []string{"11-23 5", "11-24 5", "11-25 2", "11-26 2", "11-27 5"}, dates)
	assert.Equal(t, []string{"by the plan kept Mon 23 Nov 00:00 for Mon 23 Nov to Tue 24 Nov", "by the plan kept Tue 24 Nov 00:00 for Wed 25 Nov to Thu 26 Nov",
		"by the plan kept Mon 23 Nov 00:00 for Fri 27 Nov"}, told(k.Days))
	assert.Equal(t, "Mon 23 Nov to Fri 27 Nov", k.Span())
	at, has := k.Has(of(2, 3))
	assert.True(t, has)
	assert.Equal(t, monday.AddDate(0, 0, 1), at)
	_, has = k.Has(of(2, 3, 4))
	assert.False(t, has)
}
