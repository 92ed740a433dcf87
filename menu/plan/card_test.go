package plan

import (
	"errors"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/graph/lawtest"
	"kettletree/menu/ask"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// A plan in a week that is kept to its cards goes off none; nor does one where all that anything takes can be had.
func TestPlansKeepToTheCards(t *testing.T) {
	lawtest.Few(t, 25)
	rapid.Check(t, func(t *rapid.T) {
		w, text := weektest.AnyWeek(t)
		off := func(w *week.Week) []ask.Departure {
			p, err := Make(t.Context(), w, Options{iterations: enough / 10})
			if _, clash := errors.AsType[*Clash](err); clash {
				return nil
			}
			require.NoError(t, err, text)
			list, err := ask.DeparturesIn(t.Context(), p.m.Week, p.Case)
			require.NoError(t, err, text)
			return list
		}
		kept, err := w.ToTheCard(week.Card{All: true})
		require.NoError(t, err)
		require.Empty(t, off(kept), text)
		if slices.ContainsFunc(w.Graph.Steps, func(st graph.Step) bool { return st.Mode == graph.AllOf }) {
			return // that takes without end
		}
		var all []flow.Shock
		for i := range w.Graph.Items {
			for d := range w.Days {
				all = append(all, flow.Bring{Item: i, Day: d, Amount: 3e5})
			}
		}
		require.Empty(t, off(w.With(w.Case.With(all...))), text)
	})
}

// A plan makes a batch for what a dish may leave out, buys the dearer first choice, and sells what has none off the card.
func TestPlansSaveNothingOnTheCard(t *testing.T) {
	const tacos = `
kitchen: Tacos
open: mon tue
services: {lunch: 12:00-14:00}
bought:
  shank:     {price: 8/kg}
  brisket:   {price: 2/kg}
  tomatillo: {price: 3/kg}
  tortilla:  {price: 0.10/each, each: 30 g}
steps:
  salsa:
    takes: [2 kg tomatillo]
    gives: [2 kg green salsa]
    costs: 9
    batches: {mon: 1}
made: {green salsa: {keeps: 2 days}}
dishes:
  taco: {price: 6, takes: [100 g shank or 100 g brisket, 2 each tortilla, "40 g green salsa, optional"], sells: 20}
`
	w := weektest.SmallDays(t, tacos, 2)
	p, err := Make(t.Context(), w, Options{})
	require.NoError(t, err)
	a := p.Answer()
	assert.Empty(t, a.Departures)
	assert.InDelta(t, 40*(6-0.8-0.2)-6-9, a.Contribution, 1e-6, "what is left of the salsa is worth nothing on Wednesday")

	struck := w.With(w.Case.With(flow.Scarce{Item: 0, Share: 1})) // no shank comes
	p, err = Make(t.Context(), struck, Options{})
	require.NoError(t, err)
	a = p.Answer()
	require.Len(t, a.Departures, 1)
	assert.Equal(t, "brisket", a.Departures[0].Item)
	assert.Equal(t, 40.0, a.Departures[0].Count)
	assert.Equal(t, 40, a.Departures[0].Refusing.Portions)
}

// TestStepsOffTheCardLetDishesSell counts by hand: the stock of a kilo of shin costs 20 a plate, for which the plate sells, and of neck
// a plate still brings 18.80. The standing week sells 2 with stock and 8 with neck, 10 x 20 - 40 - 8 x 1.20.
func TestStepsOffTheCardLetDishesSell(t *testing.T) {
	p, err := Make(t.Context(), weektest.SmallDays(t, `
kitchen: Stew Corner
open: mon-sun
services: {lunch: 12:00-14:00}
bought:
  shin: {price: 8/kg, keeps: 2 days, arrives: mon}
  neck: {price: 6/kg, keeps: 2 days, arrives: mon}
steps:
  pot:    {takes: [5 kg shin], gives: [0.4 kg stock], batches: {mon: 1}}
  finish: {takes: ["200 g stock or 200 g neck"], gives: [100 g gravy], batches: to order}
made:
  gravy: {keeps: 1 day}
  stock: {keeps: 1 day, worth: 2/kg}
dishes:
  stew: {price: 20, takes: [100 g gravy], sells: {mon: 10}}
`, 1), Options{})
	require.NoError(t, err)
	a := p.Answer()
	require.InDelta(t, 150.40, a.Standing, 1e-6)
	require.GreaterOrEqual(t, a.Contribution, a.Standing-1e-6)
	require.Equal(t, 10, a.Sell[0].Portions)
}
