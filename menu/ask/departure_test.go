package ask

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

const rollHouse = `
kitchen: Rolls
open: mon-fri
services: {lunch: 12:00-14:00}
bought:
  shoulder:  {price: 6/kg, allergens: []}
  corn tostada: {price: 0.20/each, each: 20 g, arrives: mon, allergens: []}
  wheat roll: {price: 0.05/each, each: 60 g, allergens: [wheat], may contain: [sesame]}
  lime:      {price: 0.30/each, each: 60 g}
  tomatillo: {price: 3/kg, arrives: mon wed, keeps: 4 days, allergens: []}
steps:
  salsa:
    takes: [1 kg tomatillo]
    gives: [1 kg green salsa]
    batches: {mon: 1}
made: {green salsa: {keeps: 5 days}}
dishes:
  shoulder tostada: {price: 7, takes: [100 g shoulder, 1 each corn tostada or 1 each wheat roll, "50 g green salsa, optional"], sells: 10}
  green plate:      {price: 6, takes: [80 g shoulder, 60 g green salsa], sells: 5}
`

// A departure says what, instead of what, why, what it brings and what refusing it costs.
func TestADepartureIsTold(t *testing.T) {
	w := weektest.SmallWeek(t, rollHouse)
	a, err := WhatIf(t.Context(), w, weektest.Shocks(t, w, "short corn tostada=12 each"))
	require.NoError(t, err)
	require.NoError(t, a.Refuse(t.Context(), w))
	require.Len(t, a.Departures, 1, "what is left out in any case is not told of a change")
	d := a.Departures[0]
	assert.Equal(t, Substituted, d.Kind)
	assert.Equal(t, "shoulder tostada", d.In)
	assert.Equal(t, []string{"shoulder tostada"}, d.Dishes)
	assert.Equal(t, "corn tostada", d.For)
	assert.Equal(t, "wheat roll", d.Item)
	assert.InDelta(t, 12, d.Count, 1e-6)
	assert.InDelta(t, 12, d.Amount, 1e-6)
	assert.Equal(t, []string{"wheat"}, d.Allergens)
	assert.Equal(t, []string{"sesame"}, d.May)
	assert.Equal(t, "2026-11-26", d.From)
	assert.Equal(t, "2026-11-27", d.To)
	assert.Equal(t, []string{"out of corn tostada", "only 38 of the 50 corn tostadas ordered for Mon 23 Nov came"}, d.Because)
	// Twelve portions at 7, less 100 g of shoulder and a roll each; salsa is gone by then.
	assert.Equal(t, 12, d.Refusing.Portions)
	assert.InDelta(t, 12*(7-0.60-0.05), d.Refusing.Contribution, 1e-6)

	// As it stands, the week leaves the salsa out once it is gone. Of 1 kg, each day takes 10 x 50 g and 5 x 60 g.
	a, err = WhatIf(t.Context(), w, nil)
	require.NoError(t, err)
	require.Len(t, a.Departures, 1)
	d = a.Departures[0]
	assert.Equal(t, LeftOut, d.Kind)
	assert.Equal(t, "green salsa", d.For)
	assert.Empty(t, d.Item)
	assert.InDelta(t, d.Count*0.05, d.Amount, 1e-6)
	assert.Nil(t, d.Refusing, "that was not played")
}

// Kept to the card, a dish goes out as it is written or not at all, and so does all that goes into it; the others go on.
func TestKeptToTheCardADishGoesOutAsWritten(t *testing.T) {
	w := weektest.SmallWeek(t, rollHouse)
	shocks := weektest.Shocks(t, w, "short corn tostada=12 each")
	served := func(w *week.Week) (tostada, plate float64) {
		p, err := w.Play(t.Context(), shocks...)
		require.NoError(t, err)
		for at, n := range p.Outcome.Served {
			if at%2 == 0 {
				tostada += n
			} else {
				plate += n
			}
		}
		return tostada, plate
	}
	tostada, plate := served(w)
	assert.Equal(t, []float64{50, 6}, []float64{tostada, plate})
	for _, c := range []week.Card{{All: true}, {Dishes: []string{"shoulder tostada"}}} {
		kept, err := w.ToTheCard(c)
		require.NoError(t, err)
		tostada, _ = served(kept)
		assert.Less(t, tostada, 38.0, "salsa that is not there stops it too")
		p, err := kept.Play(t.Context(), shocks...)
		require.NoError(t, err)
		assert.Empty(t, p.Record.Departs)
		assert.Len(t, kept.Notes, 1)
	}
	kept, err := w.ToTheCard(week.Card{Dishes: []string{"green plate"}})
	require.NoError(t, err)
	tostada, _ = served(kept)
	assert.Equal(t, 50.0, tostada)
	_, err = w.ToTheCard(week.Card{Dishes: []string{"shoulder tostata"}})
	assert.ErrorContains(t, err, `did you mean "shoulder tostada"?`)
}

// Under --keep-to-the-card nothing departs; where all that anything takes can be had, nothing does either; and a week that departs
// from no card comes to the same when the cards are kept to.
func TestCardsAreKept(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, text := weektest.WildWeek(t)
		kept, err := w.ToTheCard(week.Card{All: true})
		require.NoError(t, err)
		play := func(w *week.Week, c flow.Case) (*flow.Record, *flow.Outcome) {
			rec := &flow.Record{Movements: true}
			return rec, c.Flow.Walk(c.Schedule, w.Rule.Ration(), rec)
		}
		rec, to := play(kept, kept.Case)
		require.Empty(t, rec.Departs, "%s", text)
		is, o := play(w, w.Case)
		if len(is.Departs) == 0 && !waits(w) {
			require.InDeltaSlice(t, o.Served, to.Served, 1e-6, "%s", text)
		}
		var all []flow.Shock
		for i := range w.Graph.Items {
			for d := range w.Days {
				all = append(all, flow.Bring{Item: i, Day: d, Amount: 1e7})
			}
		}
		rec, _ = play(w, w.Case.With(all...))
		if !slices.ContainsFunc(w.Graph.Steps, func(st graph.Step) bool { return st.Mode == graph.AllOf }) { // that takes without end
			require.Empty(t, rec.Departs, "%s", text)
		}
		if len(is.Departs) > 0 { // what is refused is refused
			d := is.Departs[rapid.IntRange(0, len(is.Departs)-1).Draw(t, "refused")]
			refused, c, err := w.Refusing(w.Case, d.Step, d.Line)
			require.NoError(t, err)
			rec, _ = play(refused, c)
			for _, x := range rec.Departs {
				require.False(t, x.Step == d.Step && x.Line == d.Line, "%s", text)
			}
		}
	})
}

// waits is for kitchens in which the cards alone tell another order of work: what a substitute comes of is waited for.
func waits(w *week.Week) bool {
	for _, st := range w.Graph.Steps {
		for _, l := range st.Takes {
			if len(l.Choices) > 1 && !l.Carried {
				return true
			}
		}
	}
	return false
}
