package week_test

// Rules of the walk that random kitchens seldom come upon: a small kitchen for each, with figures found by hand, played by
// the walk and by the reference.

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/graph/flow"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// twice plays some days of a kitchen with changes by both walks.
func twice(t *testing.T, text, onHand string, days int, changes ...string) *week.Played {
	t.Helper()
	w := weektest.Stocked(t, text, onHand, week.Period{From: weektest.Monday, Days: days})
	shocks := weektest.Shocks(t, w, changes...)
	_, after, err := w.Compare(t.Context(), shocks...)
	require.NoError(t, err)
	reference := layOut(w.Kitchen, w.Period, false)
	var mishaps []flow.Shock
	for _, s := range shocks {
		mishaps = append(mishaps, s.Changes...)
	}
	wanted := reference.play()
	if len(mishaps) > 0 {
		wanted = reference.whatIf(nil, mishaps)
	}
	assertSame(t, after, reference, wanted, text)
	return after
}

// Two batches that begin at one minute both have their seed: of 2 kg, 1 kg is held back.
func TestSeedsOfOneMinute(t *testing.T) {
	is := twice(t, `
kitchen: Seeds
services: {lunch: 12:00-14:00}
bought: {water: {price: 0/kg}}
steps:
  old: {takes: [9 kg water], gives: [2 kg stock], starts: "06:00", batches: {mon: 1}}
  dark: {takes: [9 kg water, "500 g stock, from yesterday"], gives: [1 kg dark glaze], starts: "06:00", batches: {tue: 1}}
  pale: {takes: [9 kg water, "500 g stock, from yesterday"], gives: [1 kg pale glaze], starts: "06:00", batches: {tue: 1}}
made: {stock: {keeps: 9 days}, dark glaze: {keeps: 1 day}, pale glaze: {keeps: 1 day}}
dishes:
  broth: {price: 5, takes: [100 g stock], sells: {mon: 20}}
  glazed: {price: 5, takes: [100 g dark glaze, 100 g pale glaze], sells: {tue: 5}}
`, "", 2)
	assert.Equal(t, []float64{10, 0, 0, 5}, is.Outcome.Served)
}

// A step without a clock waits for what was due on the day before where it comes by the first service, and for nothing later.
func TestLateFromTheDayBefore(t *testing.T) {
	const text = `
kitchen: Late
services: {lunch: 12:00-14:00}
bought: {water: {price: 0/kg}}
steps:
  kettle: {takes: [9 kg water], gives: ["2 kg stock, out at 3 h"], starts: "20:00", batches: {mon: 1}}
  reduce: {takes: [2 kg stock], gives: [1 kg glaze], batches: {tue: 1}}
made: {stock: {keeps: 9 days}, glaze: {keeps: 9 days}}
dishes:
  glazed: {price: 5, takes: [100 g glaze], sells: {tue: 5}}
`
	assert.Equal(t, flow.Ran{Due: 1440, Start: 1440, Batches: 1, Limit: -1}, twice(t, text, "", 2).Outcome.Ran[1])
	assert.Equal(t, flow.Ran{Due: 1440, Start: 1440 + 4*60, Batches: 1, Limit: -1}, twice(t, text, "", 2, "late kettle=5 h").Outcome.Ran[1])
	is := twice(t, text, "", 2, "late kettle=20 h").Outcome
	assert.Equal(t, 1440, is.Ran[1].Start)
	assert.Zero(t, is.Ran[1].Batches)
	assert.Equal(t, []float64{0, 0}, is.Served)
}

// Render lets press go first, for both want skins. Boil can't let pick go first as well, for pick needs what render gives: so
// boil takes all bones, and pick gets none.
func TestWaitsThatCannotBothBe(t *testing.T) {
	is := twice(t, `
kitchen: Waits
services: {lunch: 12:00-14:00}
bought: {water: {price: 0/kg}}
steps:
  bone out: {takes: [9 kg water], gives: [1 kg skins, 1 kg bones]}
  render: {takes: [1 kg skins], gives: [1 kg lard], batches: all of it}
  boil:   {takes: [1 kg bones], gives: [1 kg stock], batches: all of it}
  press:  {takes: [1 kg skins, 1 kg stock], gives: [1 kg brawn], starts: "12:00", batches: {mon: 1}}
  pick:   {takes: [1 kg bones, 1 kg lard], gives: [1 kg pickings], starts: "12:00", batches: {mon: 1}}
made: {skins: {}, bones: {}, lard: {}, stock: {}, brawn: {}, pickings: {}}
dishes:
  plate: {price: 5, takes: [100 g brawn, "100 g pickings, optional"], sells: 5}
`, "item,quantity,made\nskins,3 kg,2026-11-23\nbones,3 kg,2026-11-23\n", 1)
	assert.Equal(t, []float64{0, 2, 3, 1, 0}, is.Outcome.Batches[:5], "bone out, render, boil, press, pick")
}

// What comes on every day still comes on the day on which a mishap is known, in a week with a day on which nobody works too.
func TestComesTheSameDay(t *testing.T) {
	for _, calendar := range []string{"", "works: mon-sat\nopen: mon-sat\n"} {
		is := twice(t, "kitchen: Fetch\n"+calendar+`
services: {lunch: 12:00-14:00}
bought: {water: {price: 0/kg}, eggs: {price: 3/kg}}
steps:
  boil: {takes: [1 kg eggs, 1 kg water], gives: ["1 kg boiled eggs, out at 1 h"], starts: "08:00", batches: {mon: 1}}
made: {boiled eggs: {keeps: 3 days}}
dishes:
  eggs on toast: {price: 5, takes: [100 g boiled eggs or 100 g eggs], sells: {mon: 10}}
`, "", 7, "lose boil@mon")
		assert.InDelta(t, 10, is.Outcome.Served[0], 0, "Monday's eggs are lost at nine: more are fetched for lunch")
	}
}

// What is still in a pot when the last day ends counts as made and as left, less what of it is lost.
func TestInThePotAtTheEnd(t *testing.T) {
	is := twice(t, `
kitchen: Night
services: {lunch: 12:00-14:00}
bought: {water: {price: 0/kg}}
steps:
  kettle: {takes: [9 kg water], gives: ["5 kg stock, out at 3 h"], starts: "21:00", batches: {mon: 1}}
made: {stock: {keeps: 2 days}}
dishes:
  broth: {price: 5, takes: [100 g stock], sells: 20}
`, "", 1, "lose kettle=40%")
	assert.InDeltaSlice(t, []float64{3000, 3000, 2000}, []float64{is.Outcome.Made[1], is.Outcome.Left[1], is.Outcome.Lost[1]}, 1e-6)
}

// What is there for a portion is enough for it, however it was summed up: with 180 g of fond taken for the mash that shares rose
// by, 200 g are left for the braise, and the fond that nobody can reduce meanwhile is not looked for.
func TestTheLastOfWhatCanBeMade(t *testing.T) {
	is := twice(t, `
kitchen: Last
services: {lunch: 12:00-14:00}
bought: {water: {price: 0/kg}, roots: {price: 1/kg}}
steps:
  kettle: {takes: [1 kg water], gives: [1 kg stock], starts: "13:00", batches: {mon: 2}}
  reduce: {takes: [5 kg stock], gives: [2.5 kg fond], batches: to order}
  mash:   {takes: [2 kg fond or 1 kg roots, 8 kg water], gives: [2 kg mash], batches: to order}
made: {stock: {}, fond: {}, mash: {}}
dishes:
  mashed:  {price: 5, takes: [150 g mash], sells: 3}
  braised: {price: 5, takes: [300 g mash, 200 g fond], sells: 1}
`, "item,quantity,made\nfond,380 g,2026-11-22\n", 1)
	assert.Equal(t, []float64{3, 1}, is.Outcome.Served)
}

// When a batch has taken all there is, nothing is left to begin another one on, not even the crumb of a sum.
func TestNoBatchOfACrumb(t *testing.T) {
	is := twice(t, `
kitchen: Crumb
services: {lunch: 12:00-14:00}
bought: {water: {price: 0/kg}}
steps:
  bone out: {takes: [9 kg water], gives: [1 kg bones]}
  kettle:   {takes: [5 kg bones, 9 kg water], gives: [1 kg stock], starts: "06:00", batches: {mon: 2}}
  pan:      {takes: [1 kg bones, 9 kg water], gives: [1 kg stock], starts: "07:00", batches: {mon: 1}}
made: {stock: {}, bones: {}}
dishes:
  broth: {price: 5, takes: [100 g stock], sells: 2}
`, "item,quantity,made\nbones,1 kg,2026-11-23\nbones,1 kg,2026-11-22\n", 1)
	assert.InDelta(t, 0.4, is.Outcome.Ran[0].Batches, 1e-9)
	assert.Zero(t, is.Outcome.Ran[1].Batches)
	assert.Equal(t, []float64{2}, is.Outcome.Served)
}
