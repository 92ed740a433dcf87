package plan

// A week that feeds itself: what it earns is what a kitchen earns that goes by it, week after week.

import (
	"errors"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph/lawtest"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

const brothBar = `
kitchen: Broth Bar
services: {dinner: 17:30-22:00}
bought:
  bones: {price: 2/kg}
  water: {price: 0/L, density: 1 kg/L}
steps:
  boil: {takes: [5 kg bones, 12 L water], gives: [10 L broth], costs: 8, batches: {mon: 1, wed: 1, fri: 1}}
made:
  broth: {keeps: 7 days, density: 1 kg/L}
dishes:
  bowl: {price: 6, takes: [1 L broth], sells: {dinner: 3}}
`

// TestRepeatByHand counts by hand: 21 bowls are asked for in a week, and a batch is ten of them, for 18.00. Three batches earn 126.00
// less 54.00, two sell 20 bowls for 120.00 less 36.00, one earns 42.00. Of the two, the second is boiled when the first ends: ten bowls
// after Monday's, on Thursday. What is on hand at first, of which a single week could live, changes nothing.
func TestRepeatByHand(t *testing.T) {
	for _, onHand := range []string{"", "broth,30 L,2026-11-23\n"} {
		w := weektest.Stocked(t, brothBar, "item,quantity,made\n"+onHand, week.Period{From: weektest.Monday, Days: 7})
		p, err := Repeat(t.Context(), w, Options{})
		require.NoError(t, err)
		require.InDelta(t, 120-36, p.Repeats.Earns, 1e-6)
		require.InDelta(t, 126-54, p.Repeats.Standing, 1e-6)
		require.Empty(t, p.Repeats.Falls)
		a := p.Answer()
		require.InDelta(t, 120-36, a.Contribution, 1e-6)
		require.InDelta(t, 0, a.Stock, 1e-6)
		made := 0.0
		for _, c := range a.Cook {
			made += c.Batches
		}
		require.Equal(t, 2.0, made)
	}
}

// TestRepeatsAsWritten writes the week that was found as the standing week of the kitchen, and plays that for a month: its last two
// weeks earn what was said, and no less than those of the standing week as it was.
func TestRepeatsAsWritten(t *testing.T) {
	lawtest.Few(t, 20)
	rapid.Check(t, func(t *rapid.T) {
		any, text := weektest.AnyPresent(t)
		over := func(batches batches7, days int) *week.Week {
			k := *any.Kitchen.Usual()
			k.Steps = slices.Clone(k.Steps)
			for step := range batches {
				k.Steps[step].Batches = batches[step]
			}
			w, err := week.Over(&k, week.Period{From: weektest.Monday, Days: days, OnHand: seeds(any), Rule: any.Rule})
			require.NoError(t, err, text)
			return w
		}
		w := over(nil, 7)
		p, err := Repeat(t.Context(), w, Options{iterations: enough / 10})
		if _, clash := errors.AsType[*Clash](err); clash {
			return
		}
		require.NoError(t, err, text)
		found := make(batches7, len(w.Steps))
		for _, d := range p.Kept().Days {
			for _, b := range d.Batches {
				step, err := w.FindStep(b.Step)
				require.NoError(t, err)
				found[step][d.Date.Weekday()] = b.Batches
			}
		}
		money := func(batches batches7, days int) (sum float64) {
			long := over(batches, days)
			o := long.Player().Play(long.Case, nil)
			b := p.m.worth.Books(long.Case, o)
			sum = b.Sales - b.Spent()
			for i := range long.Bought {
				sum += o.Left[i] * p.m.worth.Unit(long.Case.Flow, i)
			}
			return sum
		}
		earns := (money(found, 28) - money(found, 14)) / 2
		require.InDelta(t, p.Repeats.Earns, earns, 1e-6*(1+p.Sales+p.Bought), text)
		require.InDelta(t, p.Repeats.Standing, (money(nil, 28)-money(nil, 14))/2, 1e-6*(1+p.Sales+p.Bought), text)
	})
}
