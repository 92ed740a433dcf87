package counter

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"kettletree/menu/week/weektest"
)

// By hand: nine plates want 9 L, nine tenths of a kettle. Filled up, it takes 100 g more leek and 1 kg more bones, which nobody will eat: 0.12 of 60 in
// hand at 1/kg of leek and 0.02/kg of bones. A cook fills the pot for that. At 9/kg of leek it is 0.92, more than a two-hundredth of 60, and the
// answer says so, with what there is of it.
func TestPotsAreFilledForATrifle(t *testing.T) {
	for price, full := range map[string]bool{"1": true, "9": false} {
		w := weektest.SmallWeek(t, strings.ReplaceAll(`
kitchen: Stew Cart
open: mon
services: {lunch: 11:30-14:30}
bought:
  bones: {price: 0.02/kg, keeps: 1 day, arrives: mon, allergens: []}
  leek:  {price: PRICE/kg, keeps: 1 day, arrives: mon, allergens: []}
steps:
  boil: {takes: [10 kg bones, 1 kg leek], gives: [10 L broth], batches: {mon: 1}, starts: "06:00"}
made:
  broth: {keeps: 1 day}
dishes:
  stew: {price: 9, takes: [1 L broth], sells: {lunch: 9}}
`, "PRICE", price))
		_, a := answer(t, w, 60, "bones=0.02/kg", "leek="+price+"/kg")
		bones, leek := &a.Lines[0], &a.Lines[1]
		if full {
			require.Empty(t, a.Cut)
			require.InDelta(t, 1, leek.Buy, 1e-9)
			require.InDelta(t, 10, bones.Buy, 1e-9)
			require.InDelta(t, 81-1-0.2, a.Brings, 1e-9)
			require.GreaterOrEqual(t, leek.UpTo, 1.0)
			continue
		}
		require.InDelta(t, 0.9, leek.Buy, 1e-9)
		require.Len(t, a.Cut, 1)
		cut := a.Cut[0]
		require.Equal(t, "broth", cut.Item)
		require.Equal(t, "L", cut.Unit)
		require.InDelta(t, 9, cut.Gives, 1e-9)
		require.InDelta(t, 10, cut.Of, 1e-9)
		require.InDelta(t, 0.92, cut.Loses, 1e-9)
		require.Equal(t, WhyPays, cut.Why)
	}
}

// stewCart sells nine plates of 1 L each, of a kettle of 10 L.
const stewCart = `
kitchen: Stew Cart
open: mon
services: {lunch: 11:30-14:30}
bought:
  bones: {price: 0.02/kg, keeps: 1 day, arrives: mon, allergens: []}
  leek:  {price: 1/kg, keeps: 1 day, arrives: mon, allergens: []}
steps:
  boil: {takes: [10 kg bones, 1 kg leek], gives: [10 L broth], batches: {mon: 1}, starts: "06:00"}
made:
  broth: {keeps: 1 day}
dishes:
  stew: {price: 9, takes: [1 L broth], sells: {lunch: 9}}
`

// Where a batch lacks what hangs there unbought, the answer says why. By hand: of 0.5 kg of leek half a kettle is made, and there is not more; 0.60 pays
// for half of one, with the bones; and so does a car for 6 kg carry the bones for half of one.
func TestWhyNoMoreOfWhatABatchLacks(t *testing.T) {
	for _, one := range []struct {
		why          string
		spend, carry float64
		leek         string
	}{{WhyFew, 60, 0, "leek=1/kg, 0.5 kg"}, {WhyMoney, 0.6, 0, "leek=1/kg, 40 kg"}, {WhyCar, 60, 6000, "leek=1/kg, 40 kg"}} {
		w := weektest.SmallWeek(t, stewCart)
		s, err := New(w, Options{Offers: offers(t, w, "bones=0.02/kg, 40 kg", one.leek), Spend: one.spend, Carry: one.carry})
		require.NoError(t, err)
		a, err := s.Answer(t.Context())
		require.NoError(t, err)
		require.Len(t, a.Cut, 1)
		require.InDelta(t, 0.5, a.Cut[0].Made, 1e-9, one.why)
		require.Equal(t, one.why, a.Cut[0].Why)
		require.False(t, a.Cut[0].Leave)
	}

	// A kettle that is not lit at all: at 60/kg the leek for it costs 54, the bones 0.18, and the plates at 5 bring 45.
	w := weektest.SmallWeek(t, strings.Replace(stewCart, "price: 9,", "price: 5,", 1))
	_, a := answer(t, w, 100, "bones=0.02/kg, 40 kg", "leek=60/kg, 40 kg")
	require.Zero(t, a.Costs)
	require.Len(t, a.Cut, 1)
	require.Zero(t, a.Cut[0].Made)
	require.Equal(t, WhyPays, a.Cut[0].Why)
	require.InDelta(t, 60+0.2-45, a.Cut[0].Loses, 1e-9)
}

// A fiftieth of a kettle is no batch: 200 mL for twenty tasters at 0.01 each, which bring 0.20 and cost 0.006. The answer says to leave it, and what that costs;
// where a taster is sold for 5, a cook makes it.
func TestATrifleIsLeft(t *testing.T) {
	for price, leave := range map[string]bool{"0.01": true, "5": false} {
		w := weektest.SmallWeek(t, strings.Replace(stewCart, "stew: {price: 9, takes: [1 L broth], sells: {lunch: 9}}", "taster: {price: "+price+", takes: [10 mL broth], sells: {lunch: 20}}", 1))
		_, a := answer(t, w, 60, "bones=0.02/kg, 40 kg", "leek=0.1/kg, pieces of 0.02 kg")
		require.Len(t, a.Cut, 1)
		require.InDelta(t, 0.02, a.Cut[0].Made, 1e-9)
		require.Equal(t, leave, a.Cut[0].Leave)
		if leave {
			require.InDelta(t, 0.2, a.Cut[0].Costs, 1e-9)
		}
	}
}

// What a cook had better leave is not to be cooked otherwise.
func TestWhatIsLeftIsNotCookedOtherwise(t *testing.T) {
	a := Answer{Batches: []Moved{{"2026-11-23", "boil", 0, 1}, {"2026-11-24", "boil", 1, 3}}, Cut: []Cut{{Date: "2026-11-23", Step: "boil", Batches: 1, Leave: true}, {Date: "2026-11-24", Step: "boil", Batches: 1, Leave: true}}}
	a.leave()
	require.Equal(t, []Moved{{"2026-11-24", "boil", 1, 2}}, a.Batches)
}

// Nor is a batch of which nothing is made: where it did not stand either, nobody looks for it, and it is not said to lack anything.
func TestWhatIsNotMadeIsNotCookedOtherwise(t *testing.T) {
	a := Answer{Batches: []Moved{{"2026-11-23", "boil", 0, 1}, {"2026-11-24", "boil", 1, 2}, {"2026-11-25", "boil", 0, 2}}, Cut: []Cut{
		{Date: "2026-11-23", Step: "boil", Batches: 1}, {Date: "2026-11-24", Step: "boil", Batches: 2}, {Date: "2026-11-25", Step: "boil", Batches: 2, Made: 1}, {Date: "2026-11-26", Step: "boil", Batches: 1}}}
	a.Batches, a.Cut = append(a.Batches, Moved{"2026-11-27", "boil", 1, 2}), append(a.Cut, Cut{Date: "2026-11-27", Step: "boil", Batches: 2, Made: 0.004}) // none of it, by what is said
	a.leave()
	require.Equal(t, []Moved{{"2026-11-24", "boil", 1, 0}, {"2026-11-25", "boil", 0, 2}, {"2026-11-27", "boil", 1, 0}}, a.Batches)
	require.Equal(t, []string{"2026-11-24", "2026-11-25", "2026-11-26"}, []string{a.Cut[0].Date, a.Cut[1].Date, a.Cut[2].Date})
}

// Leek comes on Tuesdays: what is bought on a Monday stands in for the next day's, and no more comes within the week that is asked about. As usual
// it comes on the Tuesday after, not on the Monday on which the days asked about are over. Bones come on any day, but nobody works on Sundays.
func TestAsUsualFromADelivery(t *testing.T) {
	w := weektest.SmallWeek(t, strings.NewReplacer("open: mon", "open: mon-sat\nworks: mon-sat", "keeps: 1 day, arrives: mon", "keeps: 9 days, arrives: tue", "{price: 0.02/kg, keeps: 1 day, arrives: mon,", "{price: 0.02/kg, keeps: 9 days,").Replace(stewCart))
	for until, want := range map[int][]string{0: {"2026-11-24", "2026-12-01"}, 6: {"2026-11-30", "2026-12-01"}} {
		s, err := New(w, Options{Offers: offers(t, w, "bones=0.02/kg, 40 kg", "leek=1/kg, 4 kg"), Spend: 60, Until: until})
		require.NoError(t, err)
		a, err := s.Answer(t.Context())
		require.NoError(t, err)
		require.Equal(t, want, []string{a.Lines[0].Until, a.Lines[1].Until})
	}
}

// Pieces that come to less than was said leave others to be weighed; by less than half a piece it was rounded when it was said.
func TestPiecesOfLessThanWasSaid(t *testing.T) {
	w := weektest.SmallWeek(t, stewCart)
	for text, want := range map[string][2]float64{"bones=1/kg, 40 kg, pieces of 7 7.4 kg": {25.6, 0}, "bones=1/kg, 15 kg, pieces of 7 7.4 kg": {0, 0.6}, "bones=1/kg, 14.4 kg, pieces of 7 7.4 kg": {0, 0}} {
		_, a := answer(t, w, 60, text)
		require.InDelta(t, want[0], a.Lines[0].Loose, 1e-9, text)
		require.InDelta(t, want[1], a.Lines[0].Scant, 1e-9, text)
	}
}

// By hand: nine plates want nine tenths of a braise, 7.2 kg of shank and 3.6 L of broth, and six cups 6 L: 9.6 kg of bones. A full braise takes 0.8 kg more of
// shank, 1.60, and 0.4 L of the cups' broth. With 0.4 kg more bones, 0.04, no cup for 5 is lost: all of the batch brings 1.64 less, not 6.60.
func TestAFullBatchTakesFromNoOther(t *testing.T) {
	w := weektest.SmallWeek(t, `
kitchen: Braise Shop
open: mon
services: {lunch: 11:30-14:30}
bought:
  bones: {price: 0.10/kg, keeps: 1 day, arrives: mon, allergens: []}
  shank: {price: 2/kg, keeps: 1 day, arrives: mon, allergens: []}
steps:
  boil:   {takes: [20 kg bones], gives: [20 L broth], batches: {mon: 1}, starts: "06:00"}
  braise: {takes: [8 kg shank, 4 L broth], gives: [10 kg braise meat], batches: {mon: 1}, starts: "07:00"}
made:
  broth: {keeps: 1 day}
  braise meat: {keeps: 1 day}
dishes:
  cup: {price: 5, takes: [1 L broth], sells: {lunch: 6}}
  plate: {price: 9, takes: [1 kg braise meat], sells: {lunch: 9}}
`)
	_, a := answer(t, w, 60, "bones=0.10/kg, 30 kg, packs of 0.2 kg", "shank=2/kg, 12 kg, packs of 0.4 kg")
	require.InDelta(t, 9.6, a.Lines[0].Buy, 1e-9)
	require.InDelta(t, 7.2, a.Lines[1].Buy, 1e-9)
	require.Len(t, a.Cut, 2)
	require.Equal(t, []string{"braise", WhyPays}, []string{a.Cut[1].Step, a.Cut[1].Why})
	require.InDelta(t, 1.64, a.Cut[1].Loses, 1e-9)
}
