package plan

// Batches that are cut, and what no bound may be under: the standing week, and any other schedule that is played.

import (
	"errors"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph/flow"
	"kettletree/graph/lawtest"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// TestLeftoversSaveWhatTheyWouldCost has broth on hand that the file calls worth 1/kg and that costs 10/kg to make as it is needed: what
// the days behind take of it saves them that. Counted by hand, ten portions sell for 10, the last six of them are made for 1 each, and
// of the 0.4 kg that were taken before that, 0.4 are off what is on hand: 3.60, which the standing week earns, so no bound lies below.
func TestLeftoversSaveWhatTheyWouldCost(t *testing.T) {
	w := weektest.Stocked(t, `
kitchen: Chowder Hatch
open: mon-thu
services: {lunch: 11:30-14:30, dinner: 17:30-22:00}
bought:
  crab shells: {price: 0/kg}
steps:
  crab broth: {takes: [1 kg crab shells], gives: [0.1 kg broth], costs: 1, batches: as needed}
made:
  broth: {keeps: 2 days, worth: 1/kg}
dishes:
  crab cup: {price: 1, takes: [100 g broth], sells: 1}
`, "item,quantity,made\nbroth,1 kg,2026-11-23\n", week.Period{From: weektest.Monday, Days: 1})
	p, err := Make(t.Context(), w, Options{})
	require.NoError(t, err)
	require.InDelta(t, 3.60, p.counts(), 1e-9)
	require.GreaterOrEqual(t, p.most, 3.60)
	require.Equal(t, nothingBetter, p.Instead)
}

// TestRestOfABatchAsNeededIsTaken has a step that takes all there is of what is made as needed: the rest of a batch, of which a portion
// takes a ninth. Counted by hand, each of the six services behind two days, of which one is closed, makes 0.9 kg of stock, sells 0.1 kg of
// it, and of the rest 0.4 kg of aspic in one plate for 12: no bound lies below what the standing week earns by that.
func TestRestOfABatchAsNeededIsTaken(t *testing.T) {
	w := weektest.Stocked(t, `
kitchen: Aspic Counter
open: mon-thu
services: {lunch: 11:30-14:30, dinner: 17:30-22:00}
closed: [2026-11-24]
bought:
  trotters: {price: 0/kg}
steps:
  stock: {takes: [3 kg trotters], gives: [0.9 kg trotter stock], batches: as needed}
  jelly: {takes: [1 kg trotter stock], gives: [0.5 kg aspic, 0.4 kg fat], batches: all of it}
made:
  trotter stock: {keeps: 1 day}
  aspic: {keeps: 2 days}
  fat: {keeps: 2 days}
dishes:
  cup: {price: 1, takes: [100 g trotter stock], sells: 1}
  plate: {price: 12, takes: [400 g aspic], sells: 12}
`, "", week.Period{From: weektest.Monday, Days: 2})
	p, err := Make(t.Context(), w, Options{})
	require.NoError(t, err)
	standing := p.m.stands()
	require.Greater(t, standing.Onward.Sales, 50.0)
	require.GreaterOrEqual(t, p.most, standing.counts())
}

// TestMadeAsNeededOnAClosedDay boils a ham each day, shut or not, in brine that is made as needed, of which a step takes the rest: Sunday's
// ham is sold on Monday, and no bound lies below what that earns.
func TestMadeAsNeededOnAClosedDay(t *testing.T) {
	w := weektest.SmallDays(t, `
kitchen: Ham Hatch
open: mon-thu
services: {lunch: 11:30-14:30}
bought:
  salt: {price: 0/kg}
steps:
  brine: {takes: [4 kg salt], gives: [4 kg brine], batches: as needed}
  ham kettle: {takes: [3 kg brine], gives: ["1 kg ham, out at 3 h"], starts: "13:00", batches: {daily: 1}}
  pickle: {takes: [6 kg brine], gives: [1 kg pickle], batches: all of it}
made:
  brine: {keeps: 2 days}
  ham: {keeps: 2 days}
  pickle: {keeps: 1 day}
dishes:
  ham plate: {price: 10, takes: [100 g ham], sells: 10}
`, 4)
	p, err := Make(t.Context(), w, Options{})
	require.NoError(t, err)
	standing := p.m.stands()
	require.Greater(t, standing.Onward.Sales, standing.Sales)
	require.GreaterOrEqual(t, p.most, standing.counts())
}

// TestTakenBeforeMoreComes renders, on a shut Saturday at noon, Friday's back fat; Saturday's comes later that day, and is there on Sunday: no bound
// lies below what a plan earns by it on Monday.
func TestTakenBeforeMoreComes(t *testing.T) {
	w := weektest.SmallDays(t, `
kitchen: Lard Hatch
open: mon-thu
services: {lunch: 11:30-14:30, dinner: 17:30-22:00}
bought:
  pork belly: {price: 0/kg}
steps:
  trim: {takes: [1 kg pork belly], gives: [0.6 kg back fat, "0.1 kg skin, out at 14 h"], batches: {daily: 1}}
  render: {takes: [1 kg back fat], gives: [0.2 kg lard], costs: 4, batches: all of it}
made:
  back fat: {keeps: 2 days}
  skin: {keeps: 1 day}
  lard: {keeps: 3 days}
dishes:
  toast: {price: 8, takes: [100 g lard], sells: 19}
`, 2)
	p, err := Make(t.Context(), w, Options{})
	require.NoError(t, err)
	require.GreaterOrEqual(t, p.most+0.001, p.counts())
}

// TestParIsOnHand lights a kettle on the last evening, which gives nothing before the next day: what is in it is left, but it is no par.
func TestParIsOnHand(t *testing.T) {
	w := weektest.SmallDays(t, `
kitchen: Late Kettle
open: mon-thu
services: {lunch: 11:30-14:30}
bought:
  fish frames: {price: 1/kg}
steps:
  night kettle: {takes: [4 kg fish frames], gives: ["3 kg fumet, out at 14 h"], starts: "22:30", batches: {tue: 1}}
made:
  fumet: {keeps: 4 days, par: 1 kg}
dishes:
  soup: {price: 5, takes: [300 g fumet], sells: 2}
`, 2)
	p, err := Make(t.Context(), w, Options{})
	require.NoError(t, err)
	standing := p.m.stands()
	fumet, err := w.Kitchen.FindItem("fumet")
	require.NoError(t, err)
	require.Equal(t, []float64{3000, 0}, []float64{standing.Outcome.Left[fumet], standing.Outcome.OnHand(fumet)})
	require.Len(t, p.m.unmet(standing, nil), 1)
	require.GreaterOrEqual(t, p.Outcome.OnHand(fumet), 1000.0)
}

// TestNoScheduleAboveTheBound plans any kitchen, then plays its standing week and batches made up at random, with what comes in
// packs bought whole: what meets all that is asked of a plan never earns more than the bound, with the days behind it and less what
// it counts off the cards.
func TestNoScheduleAboveTheBound(t *testing.T) {
	lawtest.Few(t, 25)
	rapid.Check(t, func(t *rapid.T) {
		w, text := weektest.AnyPresent(t)
		p, err := Make(t.Context(), w, Options{iterations: enough})
		if _, clash := errors.AsType[*Clash](err); clash {
			return
		}
		require.NoError(t, err, text)
		if len(p.Parted) > 0 || p.most == 0 && p.x == nil && p.Instead != "" { // no plan of the model to speak of
			return
		}
		below := func(other *Plan, what string) {
			if len(p.m.unmet(other, nil)) == 0 && len(p.m.Calendar(other.Case.Schedule, nil, nil).Clashes()) == 0 {
				require.LessOrEqual(t, other.counts(), p.most+agree*(1+other.Onward.Sales+other.Onward.Bought), "%s\n%s", what, text)
			}
		}
		below(p.m.played(p.m.Case.Schedule, p.m.base), "the standing week")
		for range 3 {
			s := *p.m.sched
			s.Batches = slices.Clone(s.Batches)
			for r, run := range s.Batches {
				if run.Day < w.Days && p.m.due[r] >= 0 {
					s.Batches[r].Size = float64(rapid.IntRange(0, p.m.most[r]).Draw(t, "batches"))
				}
			}
			below(p.m.played(&s, p.m.Player().Play(flow.Case{Flow: w.Case.Flow, Schedule: &s}, nil)), "batches made up")
		}
	})
}
