package counter

import (
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"kettletree/graph/flow"
	"kettletree/menu/week/weektest"
)

// shop cooks a bowl of shank, for which its card takes neck as well, and says what is in it.
const shop = `
kitchen: Shank Shop
open: mon
services: {lunch: 11:30-14:30}
bought:
  shank: {price: 10/kg, keeps: 2 days, arrives: mon, allergens: []}
  neck:  {price: 2/kg, keeps: 2 days, arrives: mon, allergens: [celery]}
  broth: {price: 1/L, keeps: 2 days, arrives: mon, allergens: []}
steps:
  braise:
    takes: [10 kg shank or 15 kg neck, "2 L broth, optional"]
    gives: [10 kg braise]
    batches: {mon: 1}
made:
  braise: {keeps: 1 day}
dishes:
  bowl: {price: 30, takes: [1 kg braise], sells: {lunch: 10}}
`

// By hand: ten kilos of shank for 100 keep to the card. Without any, fifteen of neck for 30 make the same ten bowls: that saves 70, and brings
// celery in. Less than all of the shank would make a batch of both, and save less.
func TestSwapByHand(t *testing.T) {
	w := weektest.SmallWeek(t, shop)
	_, a := answer(t, w, 200, "shank=10/kg, 20 kg", "neck=2/kg, 40 kg")
	require.InDelta(t, 10, a.Lines[0].Buy, 1e-9)
	require.Zero(t, a.Lines[1].Buy)
	require.Empty(t, a.Departs)

	// Each sum's row is the most it brings, stand-ins taken; the answer keeps to the cards, and says what they would bring.
	require.NotNil(t, a.Freely)
	require.InDelta(t, 70, a.Freely.Less, 1)
	require.InDelta(t, a.Freely.Less, a.Freely.More, 1e-6, "nothing else changes")
	require.True(t, a.Freely.Alarms)
	last := a.Curve[len(a.Curve)-1]
	require.True(t, last.Off)
	require.InDelta(t, a.Brings, last.ByCard, 1e-6)
	require.InDelta(t, a.Brings+a.Freely.More, last.Brings, 1e-6)

	require.NotEmpty(t, a.Swaps)
	is := a.Swaps[0]
	require.Equal(t, "shank", is.Less)
	require.Equal(t, "neck", is.Instead)
	require.InDelta(t, 10, is.By, 1e-9)
	require.InDelta(t, 15, is.More, 0.5, "to the cut that is told apart")
	require.InDelta(t, 70, is.Saves, 1)
	require.InDelta(t, is.Saves, is.Spends, 1e-6, "nothing else changes")
	require.Zero(t, is.Gone)
	require.True(t, is.Alarms)
	require.Equal(t, []string{"celery"}, is.Departs[0].Allergens)
}

// A plate of soup of a kilo of neck brings 1 and costs 2: with all the neck that is of use, ten of those would be made, too. What takes the place of the
// shank is what its card takes for it, and no more.
func TestSwapTakesNoMoreThanPays(t *testing.T) {
	w := weektest.SmallWeek(t, shop+"  soup: {price: 1, takes: [1 kg neck], sells: {lunch: 10}}\n")
	_, a := answer(t, w, 200, "shank=10/kg, 20 kg", "neck=2/kg, 40 kg")
	require.NotEmpty(t, a.Swaps)
	require.InDelta(t, 15, a.Swaps[0].More, 0.5, "to the cut that is told apart")
	require.InDelta(t, 70, a.Swaps[0].Saves, 1)
	require.GreaterOrEqual(t, a.Freely.More, a.Swaps[0].Saves-1e-6, "what brings most off the cards is no less than a swap")
}

// Two cards take shoulder: for the soup's neck, and with rump in its place. With less of it rump goes into the braise, and the soup has its neck as
// before: what goes in instead is what the cards are departed from with, whichever card was looked at first.
func TestSwapNamesWhatGoesIn(t *testing.T) {
	w := weektest.SmallWeek(t, `
kitchen: Two Cards
open: mon
services: {lunch: 11:30-14:30}
bought:
  shoulder: {price: 10/kg, keeps: 2 days, arrives: mon, allergens: []}
  neck:     {price: 2/kg, keeps: 2 days, arrives: mon, allergens: []}
  rump:     {price: 1/kg, keeps: 2 days, arrives: mon, allergens: []}
dishes:
  soup:   {price: 20, takes: [1 kg neck or 1 kg shoulder], sells: {lunch: 10}}
  braise: {price: 30, takes: [1 kg shoulder or 1 kg rump], sells: {lunch: 10}}
`)
	_, a := answer(t, w, 200, "neck=2/kg, 40 kg", "shoulder=10/kg, 40 kg")
	require.InDelta(t, 10, a.Lines[0].Buy, 1e-9)
	require.InDelta(t, 10, a.Lines[1].Buy, 1e-9)
	require.NotEmpty(t, a.Swaps)
	for _, is := range a.Swaps {
		require.Equal(t, "shoulder", is.Less)
		require.Equal(t, "rump", is.Instead)
		require.Equal(t, "rump", is.Departs[0].Item)
	}
}

// hog is a shop that buys halves of hogs too, one step of which breaks them down.
const hog = `
kitchen: Hog Shop
open: mon
services: {lunch: 11:30-14:30}
bought:
  half hog: {price: 200/each, each: 38 kg, keeps: 3 days, arrives: mon, allergens: []}
  loin:     {price: 8/kg, keeps: 3 days, arrives: mon, allergens: []}
steps:
  break hog:
    takes: [1 each half hog]
    gives: [20 kg hog loin, 10 kg trim, 5 kg head]
    costs: 10
    batches: {mon: 1}
  grind:
    takes: [1 kg trim]
    gives: [1 kg sausage]
    batches: to order
dishes:
  chop:  {price: 12, takes: [500 g hog loin or 500 g loin], sells: {lunch: 30}}
  roll:  {price: 9, takes: [200 g sausage], sells: {lunch: 20}}
specials:
  terrine: {price: 20, takes: [1 kg head], at most: 5}
`

// By hand: the half gives 20 kg of loin, which are had for 8 at the file's price: 160 for what costs 190 and 10 of work; trim and head have no
// price as such. Of the loin 15 kg become chops, of the trim 4 kg sausage; the head has no use, and a special would use it.
func TestWholeByHand(t *testing.T) {
	w := weektest.SmallWeek(t, hog)
	for _, half := range []string{"half hog=190, 1.5 each", "half hog=190, 57 kg"} {
		_, err := ReadOffer(w, half)
		require.ErrorContains(t, err, "half hog is bought whole: write 1 or 2", half)
	}
	s, a := answer(t, w, 400, "half hog=190 each, 1")
	require.NoError(t, s.Deepen(t.Context(), a))
	require.Len(t, a.Wholes, 1)
	x := a.Wholes[0]
	require.True(t, x.Bought)
	require.Equal(t, "break hog", x.Step)
	require.InDelta(t, 200, x.Costs, 1e-9)
	require.InDelta(t, 160, x.Worth, 1e-9)
	require.Equal(t, 2, x.Blank)
	require.InDelta(t, 20, x.Parts[0].Amount, 1e-9)
	require.Equal(t, "loin", x.Parts[0].Like)
	require.Equal(t, "chop", x.Parts[0].Goes[0].In)
	require.InDelta(t, 15, x.Parts[0].Goes[0].Amount, 1e-9)
	require.Equal(t, "grind", x.Parts[1].Goes[0].In)
	require.InDelta(t, 4, x.Parts[1].Goes[0].Amount, 1e-9)
	require.Empty(t, x.Parts[2].Goes)
	require.Equal(t, "terrine", x.Parts[2].Use)

	// Tonight's price of what takes the place of a part counts before the file's.
	s, a = answer(t, w, 400, "half hog=190 each, 1", "loin=10/kg, 40 kg")
	require.NoError(t, s.Deepen(t.Context(), a))
	require.InDelta(t, 200, a.Wholes[0].Worth, 1e-9)
	require.True(t, a.Wholes[0].Parts[0].Offer)
}

// By hand: a roll takes a bun, too, of which four are there. They take 800 g of the trim; 16 rolls go short, and of the rest of the trim it can't be said
// that no dish would use it.
func TestWhatAPartWaitsFor(t *testing.T) {
	src := strings.NewReplacer("takes: [200 g sausage]", "takes: [200 g sausage, 1 each bun]", "dishes:", "made:\n  trim: {keeps: 2 days}\ndishes:", "  loin:  ", "  bun:      {price: 0.50/each, keeps: 3 days, arrives: mon, allergens: [wheat]}\n  loin:  ").Replace(hog)
	s, a := answer(t, weektest.SmallWeek(t, src), 400, "half hog=190 each, 1", "bun=0.50/each, 4")
	require.NoError(t, s.Deepen(t.Context(), a))
	trim := a.Wholes[0].Parts[1]
	require.InDelta(t, 0.8, trim.Goes[0].Amount, 1e-9)
	require.Equal(t, []string{"roll", "bun"}, []string{trim.Short, trim.Lacks})
	require.Empty(t, a.Wholes[0].Parts[2].Short, "no dish takes the head")
}

// By hand: with trim worth 4 and head worth 1.50 a kilo by the file, the half's parts come to 160 + 40 + 7.50, and nothing is without a value. A price
// tonight that is below what a part is said to be worth counts instead.
func TestWholeByWorth(t *testing.T) {
	w := weektest.SmallWeek(t, strings.Replace(hog, "dishes:", "made:\n  trim: {worth: 4/kg}\n  head: {worth: 1.50/kg}\n  hog loin: {worth: 9/kg}\ndishes:", 1))
	s, a := answer(t, w, 400, "half hog=190, 1") // what is counted is had one by one
	require.NoError(t, s.Deepen(t.Context(), a))
	x := a.Wholes[0]
	require.Zero(t, x.Blank)
	require.InDelta(t, 207.5, x.Worth, 1e-9)
	require.Equal(t, []bool{false, true, true}, []bool{x.Parts[0].Worth, x.Parts[1].Worth, x.Parts[2].Worth}, "loin is had for 8")
	require.InDelta(t, 4, x.Parts[1].Price, 1e-9)
	require.Equal(t, "terrine", x.Parts[2].Use)
}

// A newsvendor: 20 guests, give or take 6, each with a fish for 5 that sells for 8 and is worth nothing next day. The best order lies where the
// share of days on which it does is (8-5)/8, three eighths (Brandimarte, "Numerical Methods in Finance and Economics"; the rule is in any
// textbook of operations): 0.319 deviations below the mean, at 18.1. For the certain forecast 20 are bought.
func TestRegretsLeast(t *testing.T) {
	w := weektest.SmallWeek(t, `
kitchen: Stall
open: mon
services: {lunch: 11:30-14:30}
bought:
  fish: {price: 5/each, keeps: 1 day, arrives: mon, allergens: [fish]}
dishes:
  grilled fish: {price: 8, takes: [1 each fish], sells: {lunch: 20 ± 6}}
`)
	s, err := New(w, Options{Offers: offers(t, w, "fish=5/each, 60 each"), Spend: 200, Draws: 800})
	require.NoError(t, err)
	a, err := s.Answer(t.Context())
	require.NoError(t, err)
	require.InDelta(t, 20, a.Lines[0].Buy, 1e-9)
	require.NoError(t, s.Deepen(t.Context(), a))
	r := a.Risk
	require.False(t, r.Same)
	require.InDelta(t, 18.1, r.Least[0].Amount, 1)
	require.Positive(t, r.Gains)
	require.Less(t, r.Lesser, r.Mean)
	require.InDelta(t, 0.106, r.Nothing, 0.04, "twenty cost what twelve and a half bring: 1.25 deviations below the mean")
	require.Greater(t, r.Regrets, r.Nothing)

	// The least of the greatest regrets is a set, too, and no set that was played has a lesser one.
	s, err = New(w, Options{Offers: offers(t, w, "fish=5/each, 60 each"), Spend: 200, Draws: 800, Regret: AtWorst})
	require.NoError(t, err)
	b, err := s.Answer(t.Context())
	require.NoError(t, err)
	require.NoError(t, s.Deepen(t.Context(), b))
	require.LessOrEqual(t, b.Risk.Least1, r.Worst)
	require.LessOrEqual(t, b.Risk.Least1, r.Least1)
}

// By hand: 20 bowls at 10, of 1 kg each for 3, and 5 kg on hand that nobody has counted since: 15 are bought. With 4 there one bowl less is sold, for 7;
// with 6 there one kilo is binned, for 3. So it is worth 7 to count.
func TestAsksFirst(t *testing.T) {
	w := weektest.SmallWeek(t, `
kitchen: Bowls
open: mon
services: {lunch: 11:30-14:30}
bought:
  beef: {price: 3/kg, keeps: 1 day, arrives: mon, allergens: []}
dishes:
  bowl: {price: 10, takes: [1 kg beef], sells: {lunch: 20}}
`)
	beef, err := w.FindItem("beef")
	require.NoError(t, err)
	s, a := answer(t, w.Stocked(flow.Lot{Item: beef, Amount: 5000}), 100, "beef=3/kg, 40 kg, packs of 1 kg")
	require.InDelta(t, 15, a.Lines[0].Buy, 1e-9)
	require.NoError(t, s.Deepen(t.Context(), a))
	require.NotEmpty(t, a.Doubts)
	d := a.Doubts[0]
	require.Equal(t, Doubt{Item: "beef", Unit: "kg", What: OfOnHand, Now: 5, If: 4, Loses: d.Loses, Less: true, Buy: []Step{{Item: "beef", Unit: "kg", Was: 15, Would: 16, Many: "beef"}}}, d)
	require.InDelta(t, 7, d.Loses, 1e-6)
}

// twoDays boils bones on Tuesday, and sells soup on Monday as well.
const twoDays = `
kitchen: Two Days
open: mon tue
services: {lunch: 11:30-14:30}
bought:
  bones: {price: 2/kg, keeps: 2 days, arrives: mon, allergens: []}
steps:
  boil: {takes: [10 kg bones], gives: [10 L stock], batches: {tue: 1}, starts: "06:00"}
made:
  stock: {keeps: 2 days}
dishes:
  soup: {price: 9, takes: [1 L stock], sells: {mon lunch: 10 ± 1, tue lunch: 10 ± 1}}
`

// The answer is by the best batches that are found, and all that stands beside it is by the same.
func TestOtherBatches(t *testing.T) {
	s, a := answer(t, weektest.SmallWeek(t, twoDays), 100, "bones=1/kg, 40 kg, packs of 10 kg")
	// As it stands nothing is boiled on Monday: ten soups, 90 for 10.
	require.False(t, a.Planned)
	require.InDelta(t, 10, a.Lines[0].Buy, 1e-9)
	require.InDelta(t, 80, a.Brings, 1e-6)

	// With a batch on Monday as well and twenty kilos, twenty soups: 180 for 20.
	require.NoError(t, s.Plan(t.Context()))
	a, err := s.Answer(t.Context())
	require.NoError(t, err)
	require.True(t, a.Planned)
	require.Equal(t, []Moved{{"2026-11-23", "boil", 0, 1}}, a.Batches)
	require.InDelta(t, 20, a.Lines[0].Buy, 1e-9)
	require.InDelta(t, 160, a.Brings, 1e-6)
	require.InDelta(t, 70, a.Stand, 1e-6, "the same twenty kilos, of which one batch takes ten")

	// The week with it, played on its own, brings that; the curve holds the answer, and ends where it does.
	on, err := s.Week.Onward()
	require.NoError(t, err)
	nothing, _ := on.Play(s.ways[0].base)
	with, _ := on.Play(a.Week().Case)
	require.InDelta(t, 160, with.Contribution-nothing.Contribution, 1e-6)
	require.InDelta(t, 20, a.Stops, 1e-9)
	last := a.Curve[len(a.Curve)-1]
	require.InDelta(t, 160, last.Brings, 1e-6)
	require.InDelta(t, 20, last.Costs, 1e-9)

	// A batch of ten kilos makes 90 of them: worth up to 9 a kilo while two can be paid for, 5; no more of them belongs there at any price.
	require.InDelta(t, 5, a.Lines[0].UpTo, 1e-4)
	require.Zero(t, a.Lines[0].MoreAt)

	// What is looked at beyond is the same purchase, cooked so: ten soups and ten are hardly ever not sold, and buying nothing never is better.
	require.NoError(t, s.Deepen(t.Context(), a))
	require.NotNil(t, a.Risk)
	require.Zero(t, a.Risk.Nothing)
	require.True(t, a.Risk.Same, "%+v", a.Risk)
	for _, d := range a.Doubts {
		for _, step := range d.Buy {
			require.InDelta(t, 20, step.Was, 1e-9, "asked first of the same purchase")
		}
	}

	// Another price is answered by them at once, and as if it had been asked first.
	o := Options{Offers: offers(t, s.Week, "bones=6/kg, 40 kg, packs of 10 kg"), Spend: 100}
	require.NoError(t, s.At(o))
	b, err := s.Answer(t.Context())
	require.NoError(t, err)
	fresh, err := New(s.Week, o)
	require.NoError(t, err)
	require.NoError(t, fresh.Plan(t.Context()))
	c, err := fresh.Answer(t.Context())
	require.NoError(t, err)
	b.set, b.week, c.set, c.week = nil, nil, nil, nil
	require.Equal(t, c, b)
	require.InDelta(t, 10, b.Lines[0].Buy, 1e-9, "two cost 120")
	require.InDelta(t, 30, b.Brings, 1e-6)

	// A search that is stopped says that it goes by the batches as they stand.
	stopped, stop := context.WithCancel(t.Context())
	stop()
	s, err = New(s.Week, o)
	require.NoError(t, err)
	require.NoError(t, s.Plan(stopped))
	d, err := s.Answer(stopped)
	require.NoError(t, err)
	require.False(t, d.Planned)
	require.NotEmpty(t, d.Notes)
}
