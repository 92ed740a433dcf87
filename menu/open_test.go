package menu_test

import (
	"context"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu"
	"kettletree/menu/ask"
	"kettletree/menu/plan"
	"kettletree/menu/shop"
	"kettletree/menu/specials"
	"kettletree/menu/week"
)

// smokehouse has ham for ten plates in all, which two dishes share. What the roll earns needs a bun for each.
const smokehouse = `
kitchen: Smokehouse
money: USD
open: tue
services: {lunch: 11:30-14:00}
bought:
  ham:  {price: 10/kg, arrives: mon, keeps: 9 days}
  buns: {price: 0.50/each, arrives: tue, keeps: 2 days}
dishes:
  ham roll:  {price: 12, takes: [100 g ham, 1 each buns], sells: {lunch: 10}}
  ham plate: {price: 6, takes: [100 g ham], sells: {lunch: 10}}
specials:
  bun pudding: {price: 4, takes: [2 each buns], at most: 10}
`

const tenPlates = "item,quantity,made\nham,1 kg,2026-11-23\nbuns,30 each,2026-11-24\n"

var tuesday = time.Date(2026, 11, 24, 0, 0, 0, 0, time.UTC)

// opened opens the smokehouse on a Tuesday.
func opened(t *testing.T, kitchen, onHand string, rule week.Rule) *week.Week {
	t.Helper()
	o := menu.Options{Kitchen: menu.Source{Name: "kitchen.yaml", Text: []byte(kitchen)}, Rule: rule, From: tuesday, Days: 1, Now: tuesday}
	if onHand != "" {
		o.OnHand = menu.Source{Name: "on-hand.csv", Text: []byte(onHand)}
	}
	w, faults, err := menu.Open(t.Context(), o)
	require.NoError(t, err)
	require.NotNil(t, w, "%v", faults)
	return w
}

// Under a rule that plans, every answer goes by it: what is delivered in a what-if is what is to be bought, and what is left
// over is what a special can use.
func TestEveryAnswerGoesByTheRule(t *testing.T) {
	for _, c := range []struct {
		rule  week.Rule
		rolls int
	}{{week.Fair, 5}, {plan.Best, 10}} {
		t.Run(c.rule.String(), func(t *testing.T) {
			w := opened(t, smokehouse, "item,quantity,made\nham,1 kg,2026-11-23\n", c.rule)
			what, err := ask.WhatIf(t.Context(), w, nil)
			require.NoError(t, err)
			assert.Equal(t, c.rule.String(), what.Rule)
			assert.Equal(t, c.rolls, what.Dishes[0].After)
			for _, x := range what.Items {
				if x.Name == "buns" {
					assert.InDelta(t, c.rolls, x.MadeAfter, 1e-9, "delivered")
				}
			}
			list, err := shop.ToBuy(t.Context(), w, shop.BuyOptions{})
			require.NoError(t, err)
			require.Len(t, list.Trips, 1)
			assert.InDelta(t, c.rolls, list.Trips[0].Suppliers[0].Items[0].Bought, 1e-9, "bought")

			w = opened(t, smokehouse, tenPlates, c.rule)
			offers, err := specials.Specials(t.Context(), w, nil, nil)
			require.NoError(t, err)
			assert.Equal(t, c.rule.String(), offers.Rule)
			buns := 0.0
			for _, x := range offers.Surplus {
				if x.Item == "buns" {
					buns += x.Amount
				}
			}
			assert.InDelta(t, 30-c.rolls, buns, 1e-9, "buns that are left over")
		})
	}
}

// A study that would plan each of hundreds of weeks is refused, whoever asks for it.
func TestStudiesRefuseARuleThatPlans(t *testing.T) {
	w := opened(t, smokehouse, tenPlates, plan.Best)
	_, err := ask.Weak(t.Context(), w, nil)
	assert.EqualError(t, err, `weak plays thousands of weeks, and the rule "best" would plan each of them`)
	_, err = ask.Chance(t.Context(), w, nil, ask.Wager{Draws: 10}, nil)
	assert.ErrorAs(t, err, new(*week.SlowRuleError))
}

// Once a price is known to have changed, what sways a plate cost goes by the new price.
func TestSwaysGoByThePriceAsItIsNow(t *testing.T) {
	w := opened(t, smokehouse, "", nil)
	dearer, err := w.Shock("price", "ham=20/kg")
	require.NoError(t, err)
	sheet, err := ask.Cost(t.Context(), w.Knowing([]week.Shock{dearer}))
	require.NoError(t, err)
	assert.InDelta(t, 2.50, sheet.Dishes[0].PlateCost, 1e-9)
	require.Equal(t, "ham", sheet.Dishes[0].Sways[0].Item)
	assert.InDelta(t, 0.20, sheet.Dishes[0].Sways[0].TenDearer, 1e-9, "a tenth of the 2.00 of ham on the plate")
}

// An answer stops with whoever asked for it.
func TestPlayStopsWithItsContext(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	stop()
	for _, rule := range menu.Rules {
		_, err := opened(t, smokehouse, tenPlates, rule).Play(ctx)
		assert.ErrorIs(t, err, context.Canceled, rule.String())
	}
}

func TestOpenRefuses(t *testing.T) {
	folder := t.TempDir()
	file := filepath.Join(folder, "kitchen.yaml")
	require.NoError(t, os.WriteFile(file, []byte(smokehouse), 0o600))
	open := func(change func(*menu.Options)) (*week.Week, error) {
		o := menu.Options{Kitchen: menu.File(file), Now: tuesday}
		change(&o)
		w, _, err := menu.Open(t.Context(), o)
		return w, err
	}
	w, err := open(func(*menu.Options) {})
	require.NoError(t, err)
	assert.Equal(t, time.Date(2026, 11, 23, 0, 0, 0, 0, time.UTC), w.From, "Monday of this week")
	assert.Equal(t, 7, w.Days)

	_, err = open(func(o *menu.Options) { o.Kitchen = menu.File(filepath.Join(folder, "none.yaml")) })
	assert.ErrorIs(t, err, os.ErrNotExist)
	_, err = open(func(o *menu.Options) { o.Days = week.MostDays + 1 })
	assert.ErrorAs(t, err, new(*menu.OptionError))
	_, err = open(func(o *menu.Options) { o.Plan = menu.Source{Name: "kitchen.plan", Text: []byte("{}")} })
	assert.ErrorContains(t, err, "kitchen.plan: ")
	_, err = open(func(o *menu.Options) { o.Plan = menu.File(filepath.Join(folder, "kitchen.plan")) })
	assert.NoError(t, err, "none is kept")

	w, err = open(func(o *menu.Options) {
		o.OnHand = menu.Source{Name: "on-hand.csv", Text: []byte("item,quantity,made\nhamm,1 kg,2026-11-23\n")}
	})
	require.NoError(t, err)
	assert.Nil(t, w, "what is on hand names something that the kitchen has not")
}

// What can still be done is asked about from now on, be there no log book: what has begun is under way or done as it was planned, what was served
// is served, and no day of the week that is past is cooked for. A day that is asked about on another day is asked about whole.
func TestFromNowOnWithoutALogBook(t *testing.T) {
	const cured = `
kitchen: Cure House
money: EUR
open: tue-sat
services: {lunch: 12:00-14:00, supper: 18:00-22:00}
bought:
  pollock: {price: 8/kg, arrives: tue-sat, keeps: 2 days}
steps:
  brine:
    takes: [4 kg pollock]
    gives: ["4 kg cured pollock, out at 2 h"]
    batches: {fri: 1, sat: 1}
    starts: "10:00"
  smoke:
    takes: [2 kg pollock]
    gives: ["2 kg smoked pollock, out at 14 h"]
    batches: {fri: 1}
    starts: "11:00"
made:
  cured pollock: {keeps: 3 days}
  smoked pollock: {keeps: 3 days}
dishes:
  plate: {price: 12, takes: [200 g cured pollock], sells: {lunch: 5, supper: 5}}
  board: {price: 14, takes: [200 g smoked pollock], sells: {lunch: 5}}
`
	friday := time.Date(2026, 11, 27, 0, 0, 0, 0, time.UTC)
	open := func(o menu.Options) *week.Week {
		o.Kitchen, o.FromNow = menu.Source{Name: "kitchen.yaml", Text: []byte(cured)}, true
		w, faults, err := menu.Open(t.Context(), o)
		require.NoError(t, err)
		require.NotNil(t, w, "%v", faults)
		return w
	}
	cured1 := func(w *week.Week) (kilos float64) {
		for _, l := range w.Case.Schedule.OnHand {
			if w.Graph.Items[l.Item].Name == "cured pollock" {
				kilos += l.Amount / 1000
			}
		}
		return kilos
	}
	night := friday.Add(22*time.Hour + 5*time.Minute)
	for name, o := range map[string]menu.Options{"no day": {Now: night}, "today": {Now: night, From: friday}} {
		w := open(o)
		assert.Equal(t, friday, w.From, name)
		assert.Equal(t, 22*60+5, w.Now, name)
		for _, b := range w.Case.Schedule.Batches {
			assert.False(t, b.Day == 0 && b.Size > 0, "%s: what was to begin at 10:00 is not begun at 22:05", name)
		}
		require.Len(t, w.Case.Schedule.Pots, 1, "%s: the smoker goes on until 01:00", name)
		assert.InDelta(t, 2, cured1(w), 1e-9, "%s: ten plates of the four kilos are sold", name)
		for slot, sit := range w.Sittings {
			assert.Equal(t, sit.Day == 0, w.Case.Schedule.Slots[slot].Closed && sit.Service >= 0, "%s: slot %d", name, slot)
		}
		assert.Contains(t, w.Presumes[0], "without a log book, all is taken to have gone as planned until now, Fri 27 Nov 22:05")
	}

	// A list is of now, or of the morning of the day that is named.
	list := menu.Source{Name: "on-hand.csv", Text: []byte("item,quantity,made\ncured pollock,1 kg,2026-11-26\n")}
	assert.InDelta(t, 1, cured1(open(menu.Options{Now: night, OnHand: list})), 1e-9)
	assert.InDelta(t, 3, cured1(open(menu.Options{Now: night, OnHand: list, From: friday})), 1e-9)

	// Another day than today begins at its midnight.
	w := open(menu.Options{Now: night, From: friday.AddDate(0, 0, 1)})
	assert.Zero(t, w.Now)
	assert.False(t, w.Case.Schedule.Slots[0].Closed)
}
