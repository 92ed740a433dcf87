package counter

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/graph/lawtest"
	"kettletree/menu/ask"
	"kettletree/menu/plan"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

func offers(tb require.TestingT, w *week.Week, texts ...string) (list []Offer) {
	for _, text := range texts {
		o, err := ReadOffer(w, text)
		require.NoError(tb, err)
		list = append(list, o)
	}
	return list
}

func answer(tb require.TestingT, w *week.Week, spend float64, texts ...string) (*Search, *Answer) {
	s, err := New(w, Options{Offers: offers(tb, w, texts...), Spend: spend})
	require.NoError(tb, err)
	a, err := s.Answer(context.Background())
	require.NoError(tb, err)
	return s, a
}

// smokehouse has three cuts, each with a dish of its own and no other use: what to buy of them is a knapsack.
const smokehouse = `
kitchen: Smokehouse
open: mon
services: {lunch: 11:30-14:30}
bought:
  shank:   {price: 9/kg, keeps: 1 day, arrives: mon, allergens: []}
  brisket: {price: 9/kg, keeps: 1 day, arrives: mon, allergens: []}
  hock:    {price: 9/kg, keeps: 1 day, arrives: mon, allergens: []}
dishes:
  shank plate:   {price: 60, takes: [6 kg shank], sells: {lunch: 1}}
  brisket plate: {price: 100, takes: [10 kg brisket], sells: {lunch: 1}}
  hock plate:    {price: 120, takes: [15 kg hock], sells: {lunch: 1}}
`

// By hand: prices of 1 a kilo, pieces of 10, 20 and 30 kg with one plate in each, worth 60, 100 and 120 of sales, and 50 to spend. The two that
// fit best are the larger ones, 220 for 50; the greedy pick of the best for its weight, 60 and 100 for 30, is worse. The figures are those of the
// usual example of a knapsack in textbooks, from memory.
func TestKnapsackByHand(t *testing.T) {
	w := weektest.SmallWeek(t, strings.NewReplacer("6 kg shank", "10 kg shank", "10 kg brisket", "20 kg brisket", "15 kg hock", "30 kg hock").Replace(smokehouse))
	_, a := answer(t, w, 50, "shank=1/kg, pieces of 10 kg", "brisket=1/kg, pieces of 20 kg", "hock=1/kg, pieces of 30 kg")
	require.True(t, a.All)
	require.InDelta(t, 50, a.Costs, 1e-9)
	require.InDelta(t, 220-50, a.Brings, 1e-9)
	require.Zero(t, a.Lines[0].Buy)
	require.Equal(t, []float64{20}, a.Lines[1].Pieces)
	require.Equal(t, []float64{30}, a.Lines[2].Pieces)
	require.Equal(t, []Off{{Dish: "shank plate", Short: 1, Of: 1, Date: "2026-11-23", Service: "lunch", All: true, Empty: 1}}, a.Off)

	// Worth up to: with the brisket at p, both fit as long as 20 p + 30 <= 50. Beyond that the shank goes with the hock: 180 - 40. The hock is bought
	// 170 - 30 p, until that is no more than shank and brisket bring, 130. For the shank nothing is left at any price.
	require.InDelta(t, 1, a.Lines[1].UpTo, 1e-4)
	require.InDelta(t, 4.0/3, a.Lines[2].UpTo, 1e-4)
	require.InDelta(t, 0, a.Lines[0].MoreAt, 1e-4)

	// With 60 in hand all three fit at once, and no more is spent.
	_, a = answer(t, w, 60, "shank=1/kg, pieces of 10 kg", "brisket=1/kg, pieces of 20 kg", "hock=1/kg, pieces of 30 kg")
	require.InDelta(t, 280-60, a.Brings, 1e-9)
	require.InDelta(t, 60, a.Stops, 1e-9)
	require.Empty(t, a.Off)
	require.InDelta(t, 1, a.Lines[0].UpTo, 1e-4, "dearer, they do not all fit")

	// What the car carries binds like money.
	s, err := New(w, Options{Offers: offers(t, w, "shank=1/kg, pieces of 10 kg", "brisket=1/kg, pieces of 20 kg", "hock=1/kg, pieces of 30 kg"), Spend: 60, Carry: 30_000})
	require.NoError(t, err)
	a, err = s.Answer(t.Context())
	require.NoError(t, err)
	require.InDelta(t, 160-30, a.Brings, 1e-9)
	require.InDelta(t, 30, a.Weighs, 1e-9)
}

// More of a thing belongs to the best set from that price down at which two pieces take the place of one, and not only where one more is
// added. By hand, as below.
func TestMoreInOtherPieces(t *testing.T) {
	w := weektest.SmallWeek(t, `
kitchen: Lamb Pot
open: mon
services: {lunch: 11:30-14:30}
bought:
  shank: {price: 9/kg, keeps: 1 day, arrives: mon, allergens: []}
dishes:
  platter: {price: 66, takes: [7.4 kg shank], sells: {lunch: 1}}
  bowl:    {price: 42, takes: [6.4 kg shank], sells: {lunch: 1}}
`)
	_, a := answer(t, w, 500, "shank=6.80/kg, pieces of 7.0 7.4 6.8 kg")
	require.True(t, a.All)
	// 7.4 kg make the platter: 66 - 50.32. With 13.8 kg, the other two pieces, both are made: 108 - 13.8 p beats 66 - 7.4 p below 42/6.4.
	require.Equal(t, []float64{7.4}, a.Lines[0].Pieces)
	require.InDelta(t, 42/6.4, a.Lines[0].MoreAt, 1e-4)
	require.InDelta(t, 6.4, a.Lines[0].More, 1e-6)
	require.InDelta(t, 66/7.4, a.Lines[0].UpTo, 1e-4)
}

// night is what hangs at a market in front of the three kettles.
var night = []string{"pork trotters=3.60/kg, 60 kg, packs of 5 kg", "pork shoulder=4.80/kg, pieces of 8.6 9.1 9.4 8.8 9.0 9.7 8.9 9.2 kg", "pork neck bones=2.40/kg, 40 kg",
	"stewing hen=8.90/each, 40 each", "smoked ham bones=5.00/kg, 12 kg, pieces of 2.4 2.6 2.2 2.8 kg", "epazote=9.50/kg, 3 kg", "avocado=0.90/each, 80 each", "cilantro=6/kg, 4 kg"}

// What is told is what any question asked of the week with the purchase has, to the cent, and what the days behind make of it.
func TestAnswerIsPlayed(t *testing.T) {
	w := weektest.ExampleWeek(t, "three-kettles")
	s, a := answer(t, w, 900, night...)
	played, err := a.Week().Play(t.Context())
	require.NoError(t, err)
	require.InDelta(t, played.Books.Contribution, a.Contribution, 1e-9)
	asked, err := ask.WhatIf(t.Context(), a.Week(), nil)
	require.NoError(t, err)
	require.InDelta(t, a.Contribution, asked.After.Books.Contribution, 1e-6)

	on, err := w.Onward()
	require.NoError(t, err)
	nothing, _ := on.Play(s.base)
	with, _ := on.Play(a.Week().Case)
	require.InDelta(t, with.Contribution-nothing.Contribution, a.Brings, 1e-6)
	require.LessOrEqual(t, a.Costs, 900.0)
	sum := 0.0
	for _, l := range a.Lines {
		sum += l.Costs
		require.InDelta(t, l.Price*l.Buy, l.Costs, 1e-6)
	}
	require.InDelta(t, a.Costs, sum, 1e-9)

	// So is what each swap saves.
	require.NotEmpty(t, a.Swaps, "the ham bones are to taste")
	for _, swap := range a.Swaps {
		at := slices.Clone(a.set.at)
		for n, o := range s.o.Offers {
			it := w.Graph.Items[o.Item]
			if it.Name == swap.Less {
				at[n] -= swap.By * it.Unit.Factor
			}
			if it.Name == swap.Instead {
				at[n] += swap.More * it.Unit.Factor
			}
		}
		is, _ := on.Play(s.with(at, true))
		require.InDelta(t, swap.Saves, is.Contribution-with.Contribution, 1e-6, swap.Less)
	}
}

// few is a kitchen of two or three things that are bought, cooked together or alone, and what is on offer of them, in few pieces.
func few(t *rapid.T) (w *week.Week, texts []string, spend float64) {
	number := func(what string, least, most int) int { return rapid.IntRange(least, most).Draw(t, what) }
	var b strings.Builder
	b.WriteString("kitchen: Few\nopen: mon-wed\nservices: {lunch: 11:30-14:30}\nbought:\n")
	n := number("bought", 2, 3)
	for k := range n {
		fmt.Fprintf(&b, "  b%d: {price: %d/kg, keeps: %d days, arrives: mon, allergens: []}\n", k, number("usual", 2, 9), number("keeps", 1, 4))
		switch price := number("price", 1, 9); number("kind", 0, 2) {
		case 0:
			texts = append(texts, fmt.Sprintf("b%d=%d/kg, %d kg, packs of %d kg", k, price, number("there", 4, 8), number("pack", 1, 3)))
		default:
			text := fmt.Sprintf("b%d=%d/kg, pieces of", k, price)
			for range number("pieces", 1, 3) {
				text += fmt.Sprintf(" %.1f", float64(number("piece", 10, 50))/10)
			}
			texts = append(texts, text+" kg")
		}
	}
	dishes := number("dishes", 1, 3)
	if number("pot", 0, 1) == 1 {
		fmt.Fprintf(&b, "steps:\n  pot: {takes: [%d kg b0, %d kg b1], gives: [2 kg soup], costs: %d, batches: {mon: 1, tue: 1}}\nmade:\n  soup: {keeps: %d days}\n",
			number("of b0", 1, 3), number("of b1", 1, 3), number("costs", 0, 3), number("soup keeps", 1, 3))
		fmt.Fprintf(&b, "dishes:\n  bowl: {price: %d, takes: [500 g soup], sells: {lunch: %d}}\n", number("bowl", 2, 12), number("bowls", 1, 6))
	} else {
		b.WriteString("dishes:\n")
	}
	for d := range dishes {
		x, y := number("first", 0, n-1), number("second", 0, n-1)
		fmt.Fprintf(&b, "  d%d: {price: %d, takes: [%d g b%d", d, number("sold at", 2, 14), 100*number("of first", 1, 9), x)
		if x != y {
			fmt.Fprintf(&b, "%s %d g b%d", rapid.SampledFrom([]string{",", " or"}).Draw(t, "how"), 100*number("of second", 1, 9), y)
		}
		fmt.Fprintf(&b, "], sells: {lunch: %d}}\n", number("sells", 1, 8))
	}
	t.Log(b.String(), texts)
	return weektest.SmallWeek(t, b.String()), texts, float64(number("spend", 5, 60))
}

// Every set of every small kitchen, played by hand of a test, is what the search is held against: the best for the money, and the prices up to
// which things are worth it.
func TestAgainstAllSets(t *testing.T) {
	lawtest.Few(t, 25)
	rapid.Check(t, func(t *rapid.T) {
		w, texts, spend := few(t)
		s, err := New(w, Options{Offers: offers(t, w, texts...), Spend: spend})
		require.NoError(t, err)
		a, err := s.Answer(context.Background())
		require.NoError(t, err)
		if !a.All {
			t.Skip("too many sets to try by hand")
		}

		// All sets, of pieces by masks and of packs by numbers, each played once.
		on, err := w.Onward()
		require.NoError(t, err)
		off, err := plan.Cards(w, w.Player().Play(w.Case, nil))
		require.NoError(t, err)
		type played struct {
			at    []float64
			earns float64
		}
		var all []played
		var each func(at []float64)
		each = func(at []float64) {
			if n := len(at); n < len(s.o.Offers) {
				for _, amount := range amounts(s.o.Offers[n]) {
					each(append(at[:n:n], amount))
				}
				return
			}
			var brings []flow.Shock
			paid := 0.0
			for n, o := range s.o.Offers {
				if at[n] > 0 {
					brings = append(brings, flow.Bring{Item: o.Item, Amount: at[n], Price: o.Price})
					paid += at[n] * o.Price
				}
			}
			books, o := on.Play(s.base.With(brings...))
			all = append(all, played{at, books.Contribution + paid - off(o)})
		}
		each(nil)
		best := func(prices []float64) (b *played) {
			cost := func(p *played) (sum float64) {
				for n, amount := range p.at {
					sum += amount * prices[n]
				}
				return sum
			}
			for k := range all {
				p := &all[k]
				if cost(p) > spend+1e-6 {
					continue
				}
				if b == nil || p.earns-cost(p) > b.earns-cost(b)+1e-6 || p.earns-cost(p) > b.earns-cost(b)-1e-6 && cost(p) < cost(b)-1e-6 {
					b = p
				}
			}
			return b
		}
		var prices []float64
		for _, o := range s.o.Offers {
			prices = append(prices, o.Price)
		}
		is := best(prices)
		require.InDelta(t, is.earns-spent(is.at, prices), s.best(spend).counts, 1e-6)

		// At all prices from the one asked to that up to which it is worth it, so much of it belongs there, and a little above it does not. Of the
		// prices up to the one asked, that up to which more is worth it is the highest at which the best set holds more, in whatever pieces.
		for n, l := range a.Lines {
			holds := func(price float64) float64 {
				other := slices.Clone(prices)
				other[n] = price / 1000
				return best(other).at[n] / 1000
			}
			if l.Buy > 0 {
				for k := range 50 {
					price := l.Price + (l.UpTo-0.005-l.Price)*float64(k)/49
					require.True(t, price < l.Price || holds(price) >= l.Buy-1e-6, "%s: %v at %v", l.Item, l.Buy, price)
				}
				require.False(t, holds(l.UpTo+0.005) >= l.Buy-1e-6, "%s: %v at more than %v", l.Item, l.Buy, l.UpTo)
			}
			for k := range 400 {
				if price := l.Price * float64(k+1) / 400; price > l.MoreAt+0.005 {
					require.LessOrEqual(t, holds(price), l.Buy+1e-6, "%s: more than %v at %v, not up to %v", l.Item, l.Buy, price, l.MoreAt)
				}
			}
			if l.MoreAt > 0.01 {
				require.InDelta(t, l.Buy+l.More, holds(l.MoreAt-1e-4), 1e-6, "%s: %v more at %v", l.Item, l.More, l.MoreAt)
			}
		}
	})
}

func spent(at, prices []float64) (sum float64) {
	for n, amount := range at {
		sum += amount * prices[n]
	}
	return sum
}

// amounts are what can be bought of an offer.
func amounts(o Offer) (list []float64) {
	if o.Pieces == nil {
		for at := 0.0; at <= o.Limit+1e-6; at += o.Pack {
			list = append(list, at)
		}
		return list
	}
	for mask := range 1 << len(o.Pieces) {
		sum := 0.0
		for k, p := range o.Pieces {
			if mask>>k&1 == 1 {
				sum += p
			}
		}
		list = append(list, sum)
	}
	slices.Sort(list)
	return slices.CompactFunc(list, func(a, b float64) bool { return math.Abs(a-b) < 1e-6 })
}

// The curve never falls, nothing in it costs more than there is to spend, and the answer is its row less what it keeps to the cards for.
func TestCurveLaws(t *testing.T) {
	lawtest.Few(t, 25)
	rapid.Check(t, func(t *rapid.T) {
		w, texts, spend := few(t)
		s, a := answer(t, w, spend, texts...)
		for n, x := range a.Curve {
			require.LessOrEqual(t, x.Costs, x.Spend+1e-6)
			if n == 0 {
				require.Zero(t, x.Costs)
				require.Zero(t, x.Brings)
				continue
			}
			was := a.Curve[n-1]
			require.GreaterOrEqual(t, x.Brings, was.Brings-1e-6)
			require.InDelta(t, x.Brings-was.Brings, x.More, 1e-6)
			require.GreaterOrEqual(t, x.Brings, x.ByCard-1e-6)
			require.Equal(t, x.Brings > x.ByCard+cent, x.Off)
			require.False(t, x.Off && !choices(w), "without choices there is no card to keep to")
		}
		require.InDelta(t, 2*spend, a.Curve[len(a.Curve)-1].Spend, 1e-9)
		require.InDelta(t, a.Brings, s.brings(s.best(spend), s.none()), hair*spend+1e-9, "a pot may be filled for a hair")
		for _, l := range a.Lines {
			require.False(t, l.Buy > 0 && l.UpTo < l.Price, "what is bought is worth its price: %+v", l)
		}
		more := 0.0
		if a.Freely != nil {
			more = a.Freely.More
		}
		require.InDelta(t, a.Brings+more, s.brings(s.mostOf(spend), s.none()), worthSaying*spend+1e-9, "by less, nothing is said")
	})
}

// choices tells whether any line has more than one.
func choices(w *week.Week) bool {
	return slices.ContainsFunc(w.Graph.Steps, func(st graph.Step) bool {
		return slices.ContainsFunc(st.Takes, func(l graph.Line) bool { return len(l.Choices) > 1 })
	})
}

// A purse of whole pieces always keeps a little over: that more money would not pay is said only where a step of the curve is left.
func TestWhereMoreMoneyStops(t *testing.T) {
	require.False(t, (&Answer{Spend: 300, Stops: 599.79}).Ends())
	require.True(t, (&Answer{Spend: 300, Stops: 540}).Ends())
}
