package rescue

// What can still be done, counted by hand in small kitchens, and laws that hold in any.

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph/flow"
	"kettletree/menu/ask"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

func rescue(tb testing.TB, w *week.Week, texts ...string) *Answer {
	tb.Helper()
	r, err := Find(context.Background(), w, weektest.Shocks(tb, w, texts...), nil)
	require.NoError(tb, err)
	return r
}

func (a *Answer) of(tb testing.TB, kind string) Move {
	tb.Helper()
	k := slices.IndexFunc(a.Moves, func(m Move) bool { return m.Kind == kind })
	require.GreaterOrEqual(tb, k, 0, "no %q among %+v", kind, a.Moves)
	return a.Moves[k]
}

// A pot gives 10 L of stock for 10.00, so 1.00 a litre, at 07:00 on Tuesday; ten soups of 1 L at 5.00, on Tuesday,
// are all there is. Lost with Tuesday's pot: 50.00 of sales; what it cost is spent either way.
const soupPot = `
kitchen: Soup Pot
services: {lunch: 12:00-14:00}
vessels: {pot: {holds: 20 L}}
bought:
  bones: {price: 1.00/kg, arrives: %s}
  water: {price: 0/L, density: 1 kg/L}
steps:
  boil:
    {vessel: pot, starts: "06:00", takes: [10 kg bones, 5 L water], gives: ["10 L stock, out at 1 h"], batches: {tue: 1}}
made: {stock: {density: 1 kg/L%s}}
dishes:
  soup: {price: 5.00, takes: [1 L stock], sells: {tue lunch: 10}%s}
%s`

func TestRescueByHand(t *testing.T) {
	for name, tc := range map[string]struct {
		arrives, made, soup, rest string
		shock                     string
		kind                      string
		want                      Move
		dishes                    string
	}{
		// Known at 07:00. One more pot, an hour before lunch at the latest, is 10 kg of bones at 1.00: 50 - 10. They
		// come on every day, so on Tuesday too. From 07:00 on it does as well.
		"another batch": {arrives: "daily", shock: "lose boil@tue", kind: "batch", dishes: "10 soup",
			want: Move{What: "make another batch of boil, started by Tue 24 Nov 11:00", From: "2026-11-24 07:00",
				By:     "2026-11-24 11:00",
				Gained: 40, Cash: 10, Portions: 10}},
		// The lost pot has its bones; those for another are fetched within an hour, at 1.50: 50 - 15.
		"another batch, of what is fetched": {arrives: "tue, also from: {corner shop: {price: 1.50/kg, within: 1 h}}", shock: "lose boil@tue", kind: "batch",
			dishes: "10 soup",
			want: Move{What: "make another batch of boil, started by Tue 24 Nov 11:00, with bones from corner shop, within 1 h, 1.50/kg: 10 kg on Tue 24 Nov",
				From: "2026-11-24 08:00", By: "2026-11-24 10:00", Gained: 35, Cash: 15, Portions: 10}},
		// 10 L at 1.50: 50 - 15.
		"bought in": {arrives: "tue", made: ", worth: 2/L, also from: {stock house: {price: 1.50/L, within: 1 h}}", shock: "lose boil@tue", kind: "buy in",
			dishes: "10 soup",
			want: Move{What: "buy in stock from stock house, within 1 h, 1.50/L: 10 L on Tue 24 Nov", By: "2026-11-24 11:00", Gained: 35, Cash: 15,
				Portions: 10}},
		// Half is lost: 5 L for 5 soups, or for 6 at 80%, which leaves 0.2 L: beside next
		// Tuesday's pot, that counts for nothing.
		"a smaller portion": {arrives: "tue", soup: ", smallest portion: 80%", shock: "lose boil@tue=50%",
			kind: "smaller portion", dishes: "1 soup",
			want: Move{What: "serve soup at 80% of the usual portion at Tue 24 Nov lunch", By: "2026-11-24 12:00",
				Gained: 5, Portions: 1}},
		// Ten guests get no soup; four toasts at 3.00 of bread at 0.50 are the most: 12 - 2.
		"a special": {arrives: "tue", shock: "lose boil@tue", kind: "special", dishes: "4 toast",
			rest: "specials: {toast: {price: 3.00, takes: [1 each bread], at least: 2, at most: 4}}",
			want: Move{What: "offer toast: 4 at Tue 24 Nov lunch", By: "2026-11-24 12:00", Gained: 10, Cash: 2,
				Portions: 4}},
	} {
		t.Run(name, func(t *testing.T) {
			src := fmt.Sprintf(soupPot, tc.arrives, tc.made, tc.soup, tc.rest)
			if tc.rest != "" {
				src = strings.Replace(src, "  water:", "  bread: {price: 0.50/each}\n  water:", 1)
			}
			a := rescue(t, weektest.SmallWeek(t, src), tc.shock)
			assert.Equal(t, "2026-11-24 07:00", a.Known)
			assert.Empty(t, a.Nothing)
			m := a.of(t, tc.kind)
			assert.Equal(t, tc.want.What, m.What)
			assert.Equal(t, tc.want.From, m.From)
			assert.Equal(t, tc.want.By, m.By)
			assert.InDelta(t, tc.want.Gained, m.Gained, 1e-6)
			assert.InDelta(t, tc.want.Cash, m.Cash, 1e-6)
			assert.Equal(t, tc.want.Portions, m.Portions)
			var sold []string
			for _, d := range m.Dishes {
				sold = append(sold, fmt.Sprintf("%d %s", d.Portions, d.Dish))
			}
			assert.Equal(t, tc.dishes, strings.Join(sold, ", "))
		})
	}
}

// Bones come on Tuesday and Wednesday. What Wednesday's batch takes must be ordered before Wednesday begins: midnight is when to
// decide, and no later. When the mishap is known at that midnight, the day has begun, and the batch's own start is the limit.
func TestDecideBeforeTheOrderOfTheDay(t *testing.T) {
	src := strings.Replace(fmt.Sprintf(soupPot, "tue wed", "", "", ""), "tue lunch", "wed lunch", 1)
	for shock, by := range map[string]string{"lose boil@tue": "2026-11-25 00:00", "spoil stock@wed": "2026-11-25 11:00"} {
		m := rescue(t, weektest.SmallWeek(t, src), shock).of(t, "batch")
		assert.Equal(t, "make another batch of boil, started by Wed 25 Nov 11:00", m.What, shock)
		require.Len(t, m.Buy, 1, shock)
		assert.Equal(t, "2026-11-25", m.Buy[0].Date, shock)
		assert.Equal(t, by, m.By, shock)
	}
}

func TestNothingToRescue(t *testing.T) {
	pot := func(arrives, rest string) *week.Week {
		return weektest.SmallWeek(t, fmt.Sprintf(soupPot, arrives, "", "", rest))
	}
	bread := strings.Replace(fmt.Sprintf(soupPot, "tue", "", "",
		"specials: {toast: {price: 3.00, takes: [1 each bread], at least: 11}}"), "  water:",
		"  bread: {price: 0.50/each}\n  water:", 1)
	for name, tc := range map[string]struct {
		week  *week.Week
		shock string
		want  string
	}{
		"bones have come for this week": {pot("tue", ""), "lose boil@tue",
			"nothing can be saved: whatever can still be done costs more than it saves"},
		"no dish is short": {pot("tue", ""), "price bones=+50%",
			"nothing needs saving: no dish runs short after that"},
		"too late for the only service": {pot("tue", ""), "late boil@tue=30 h",
			"nothing can be saved: whatever can still be done costs more than it saves"},
		"ten guests are too few for toasts": {weektest.SmallWeek(t, bread), "lose boil@tue",
			"nothing can be saved: whatever can still be done costs more than it saves"},
	} {
		t.Run(name, func(t *testing.T) {
			a := rescue(t, tc.week, tc.shock)
			assert.Empty(t, a.Moves)
			assert.Nil(t, a.Together)
			assert.Equal(t, tc.want, a.Nothing)
		})
	}
}

// Two dishes on one stock, which half is lost of: a plate of 1 L earns 9.00, a cup of 1 L 2.00. Struck off at lunch,
// the cup leaves the plate its 5 L.
func TestStrikeAndRation(t *testing.T) {
	w := weektest.SmallWeek(t, `
kitchen: Two Dishes
services: {lunch: 12:00-14:00}
bought: {bones: {price: 1.00/kg, arrives: tue}}
steps:
  boil: {starts: "06:00", takes: [10 kg bones], gives: ["10 L stock, out at 1 h"], batches: {tue: 1}}
made: {stock: {density: 1 kg/L}}
dishes:
  plate: {price: 9.00, takes: [1 L stock], sells: {tue lunch: 5}, rank: 1}
  cup:   {price: 2.00, takes: [1 L stock], sells: {tue lunch: 5}, rank: 2}`)
	a := rescue(t, w, "lose boil@tue=50%")
	// Fair: half of 5 each, 2 made whole, and the fifth to the plate: 3 plates, 2 cups. Struck or ranked: 5 plates,
	// 14 more.
	for _, kind := range []string{"strike", "ration"} {
		m := a.of(t, kind)
		assert.InDelta(t, 14, m.Gained, 1e-6)
		assert.Equal(t, []MoreSold{{"plate", 2}, {"cup", -2}}, m.Dishes)
	}
	assert.Nil(t, a.Together, "a second move adds nothing")
}

// A soup that could take cream spares the stock for the stew, which can't; the cream's allergen is said.
func TestSubstituteThatTheWalkWouldNotTake(t *testing.T) {
	w := weektest.SmallWeek(t, `
kitchen: Cream
services: {lunch: 12:00-14:00}
bought: {bones: {price: 1.00/kg, arrives: tue}, cream: {price: 2.00/L, allergens: [milk]}}
steps:
  boil: {starts: "06:00", takes: [10 kg bones], gives: ["10 L stock, out at 1 h"], batches: {tue: 1}}
made: {stock: {density: 1 kg/L}}
dishes:
  soup: {price: 6.00, takes: [1 L stock or 1 L cream], sells: {tue lunch: 5}}
  stew: {price: 9.00, takes: [1 L stock], sells: {tue lunch: 5}}`)
	m := rescue(t, w, "lose boil@tue=50%").of(t, "substitute")
	assert.Equal(t, "use cream before stock in soup, from Tue 24 Nov 12:00", m.What)
	// Fair: 2.5 L each, 2 stews; the half litre that they leave goes into the soup that had half of each: 5 soups with 2 L cream. With
	// cream first: 5 stews for 27.00 more; 3 L of cream more at 2.00.
	assert.InDelta(t, 27-6, m.Gained, 1e-6)
	require.Len(t, m.Swaps, 1)
	assert.Equal(t, []string{"milk"}, m.Swaps[0].Allergens)
}

// A creamery's wash comes on Mondays only. Wednesday's culture is lost, so Wednesday and Thursday sell none of their five wheels; that the
// other wash would do is no help unless the file names who has it sooner, and then the buying is a move of its own: ten wheels at 20.00
// less 1 L each at 3.00; five where the dairy comes on Thursdays only.
func TestWhatComesSoonerIsAMove(t *testing.T) {
	for also, want := range map[string]struct {
		moves []string
		saves float64
	}{
		"": {},
		", also from: {corner dairy: {price: 3/L, within: 30 min}}": {[]string{"buy in brine wash from corner dairy, within 30 min, 3/L: 5 L on Wed 25 Nov, 5 L on Thu 26 Nov"}, 200 - 30},
		", also from: {corner dairy: {price: 3/L, arrives: thu}}":   {[]string{"buy in brine wash from corner dairy, thu, 3/L: 5 L on Thu 26 Nov"}, 100 - 15},
	} {
		w := weektest.SmallWeek(t, `
kitchen: Creamery
open: wed-thu
services: {market: 12:00-14:00}
bought:
  milk:       {price: 1/L, density: 1 kg/L, arrives: mon, keeps: 4 days}
  brine wash: {price: 2/L, density: 1 kg/L, arrives: mon, keeps: 9 days`+also+`}
steps:
  culture: {starts: "06:00", takes: [10 L milk], gives: ["10 L red wash, out at 1 h"], batches: {wed: 1}}
made: {red wash: {density: 1 kg/L, keeps: 2 days}}
dishes:
  wheel: {price: 20, takes: [1 L red wash or 1 L brine wash], sells: 5}
`)
		a := rescue(t, w, "lose culture@wed")
		assert.InDelta(t, 200, a.Lost, 1e-6, "nothing comes on Wednesday by itself")
		var moves []string
		for _, m := range a.Moves {
			moves = append(moves, m.What)
			assert.InDelta(t, want.saves, m.Gained, 1e-6)
		}
		assert.Equal(t, want.moves, moves)
	}
}

// natural mishaps of the examples.
var mishaps = map[string][]string{
	"three-kettles": {"lose night kettle@tue", "short stewing hen@thu=50%", "late night kettle@tue=5 h",
		"sells red pozole@fri=+60%"},
	"fish-house":       {"lose fillet cod@thu", "spoil shellfish oil", "short live lobster=4 lb"},
	"evergreen-braise": {"lose daily braise@wed", "lose daily braise@wed=40%"},
	"first-pot":        {"lose poach chickens@thu", "sells chicken soup=+30%"},
}

// In the examples, each saving is the difference of two walks, no move lies before the mishap is known, and the best
// few together save at least as much as the best one.
func TestRescueOfExamples(t *testing.T) {
	for _, name := range weektest.Examples {
		w := weektest.ExampleWeek(t, name)
		for k, text := range mishaps[name] {
			if testing.Short() && k > 0 {
				break
			}
			t.Run(name+" "+text, func(t *testing.T) {
				a := rescue(t, w, text)
				lawful(t, w, a)
				what, err := ask.WhatIf(t.Context(), w, weektest.Shocks(t, w, text))
				require.NoError(t, err)
				assert.InDelta(t, what.Totals.ContributionBefore-what.Totals.ContributionAfter, a.Lost, 1e-6,
					"the week as it stands is the week with the mishap")
				assert.Equal(t, a, rescue(t, w, text), "the same question has the same answer")
			})
		}
	}
}

func lawful(t require.TestingT, w *week.Week, a *Answer) {
	require.LessOrEqual(t, len(a.Moves), mostMoves)
	require.Equal(t, len(a.Moves) == 0, a.Nothing != "")
	for k, m := range a.Moves {
		require.GreaterOrEqual(t, m.By, a.Known, m.What)
		require.Contains(t, MoveKinds, m.Kind)
		require.GreaterOrEqual(t, m.Gained, leastGain, m.What)
		if m.From != "" {
			require.GreaterOrEqual(t, m.From, a.Known, m.What)
		}
		for _, s := range m.Services {
			require.GreaterOrEqual(t, s.Date, a.Known[:10], m.What)
		}
		for _, o := range m.Buy {
			require.Positive(t, o.Quantity, m.What)
		}
		if k > 0 {
			require.GreaterOrEqual(t, a.Moves[k-1].Gained, m.Gained)
		}
		sum := 0
		for _, d := range m.Dishes {
			sum += d.Portions
		}
		require.Equal(t, m.Portions, sum, m.What)
	}
	if a.Together != nil {
		require.GreaterOrEqual(t, a.Together.Gained, a.Moves[0].Gained)
		require.LessOrEqual(t, len(a.Together.Moves), mostTogether)
		sum := 0.0
		for _, m := range a.Together.Moves {
			sum += m.Gained
			require.GreaterOrEqual(t, m.By, a.Known, m.What)
		}
		require.InDelta(t, a.Together.Gained, sum, 1e-6*(1+math.Abs(sum)))
	}
}

// The laws in kitchens of all kinds: a small one whose yields, forecasts, prices and mishap are drawn. Each saving is
// played again with the move's own changes, apart from the search.
func TestRescueOfAnyPot(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		number := func(name string, least, most int) int { return rapid.IntRange(least, most).Draw(t, name) }
		src := fmt.Sprintf(`
kitchen: Any Pot
services: {lunch: 12:00-14:00, dinner: 18:00-21:00}
vessels: {pot: {holds: 40 L}}
bought:
  bones: {price: %d.00/kg, arrives: %s, keeps: 2 days}
  cream: {price: %d.00/L, arrives: daily}
  bread: {price: 0.50/each}
steps:
  boil:
    {vessel: pot, starts: "%02d:00", takes: [10 kg bones], gives: ["%d L stock, out at 3 h", "1 kg meat, out at 1 h"],
     batches: {daily: 1}}
made: {stock: {density: 1 kg/L, keeps: 2 days, worth: %d.50/L}, meat: {keeps: %d days, worth: 6.00/kg}}
dishes:
  soup: {price: 6.00, takes: [500 mL stock or 500 mL cream], sells: {lunch: %d, dinner: %d}, rank: 2,
    smallest portion: 80%%}
  stew: {price: 9.00, takes: [500 mL stock, 100 g meat], sells: {lunch: %d, dinner: 5}, rank: 1}
specials:
  toast: {price: 3.00, takes: [1 each bread, 20 g meat], at least: %d, at most: 5}`,
			number("bones", 0, 4), rapid.SampledFrom([]string{"daily", "tue thu", "wed sat"}).Draw(t, "arrives"),
			number("cream", 1, 9),
			number("starts", 5, 23), number("yield", 3, 9), number("worth", 0, 9), number("keeps", 1, 3),
			number("lunch", 0, 9),
			number("dinner", 0, 9), number("stew", 0, 9), number("at least", 1, 5))
		w := weektest.SmallDays(t, src, number("days", 2, 4))
		var mishaps []week.Shock // those that this kitchen can have
		for _, text := range []string{"lose boil@tue", "lose boil@mon=50%", "short bones@tue=60%", "late boil@mon=6 h",
			"yield boil/stock=-30%", "sells stew=+50%", "strike stew@tue", "spoil stock@tue"} {
			kind, rest, _ := strings.Cut(text, " ")
			if s, err := w.Shock(kind, rest); err == nil {
				mishaps = append(mishaps, s)
			}
		}
		require.NotEmpty(t, mishaps)
		s := mishaps[rapid.IntRange(0, len(mishaps)-1).Draw(t, "mishap")]
		a, err := Find(context.Background(), w, []week.Shock{s}, nil)
		require.NoError(t, err)
		lawful(t, w, a)

		before, after, err := w.Compare(context.Background(), s)
		require.NoError(t, err)
		known := w.KnownAt(after.Case, before.Outcome, s.Changes)
		stand := after.Case.Resume(after.Outcome, known, w.OrdersFrom(known))
		worth, err := w.Worth()
		require.NoError(t, err)
		r := &rescuing{Week: w, before: before, worth: worth, known: known}
		r.stand, err = w.PlayCase(context.Background(), stand, before.Outcome)
		require.NoError(t, err)
		r.look([]week.Shock{s})
		for _, m := range r.find() {
			fit := m.fit(r, w.Player(), stand)
			moved := stand.With(fit.changes...)
			rec := &flow.Record{Movements: true}
			o := w.Player().Play(moved, rec)
			for slot, sl := range stand.Schedule.Slots {
				if n := len(w.Dishes); sl.Start < known {
					require.Equal(t, r.stand.Outcome.Served[slot*n:(slot+1)*n], o.Served[slot*n:(slot+1)*n],
						"a move lies before the mishap: %s", fit.what)
				}
				guests := 0.0
				for d := range w.Dishes {
					guests += o.Served[slot*len(w.Dishes)+d]
				}
				if m.kind == aSpecial { // one who went without before may be served now, by what the special's guests leave
					without := guestsAsked(before.Case, slot) - guestsServed(before.Outcome, slot, len(w.Dishes))
					require.LessOrEqual(t, guests, max(r.guests[slot], guestsServed(r.stand.Outcome, slot,
						len(w.Dishes)))+without, "guests who never came")
				}
			}
			gained := worth.Books(moved, o).Contribution - r.stand.Books.Contribution
			for _, told := range a.Moves {
				if told.What == fit.what {
					require.InDelta(t, gained, told.Gained, 1e-6*(1+math.Abs(gained)))
				}
			}
		}
	})
}

func guestsAsked(c flow.Case, slot int) (n float64) {
	for _, want := range c.Schedule.Wants {
		n += want.Forecast[slot]
	}
	return n
}

func guestsServed(o *flow.Outcome, slot, dishes int) (n float64) {
	for d := range dishes {
		n += o.Served[slot*dishes+d]
	}
	return n
}

func TestRescueStopsWhenAsked(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	stop()
	w := weektest.ExampleWeek(t, "three-kettles")
	_, err := Find(ctx, w, weektest.Shocks(t, w, "lose night kettle@tue"), nil)
	require.ErrorIs(t, err, context.Canceled)
	_, err = Find(t.Context(), w, nil, nil)
	require.Error(t, err)
}

// An extra batch takes the bones that the next one needs: the move says so.
func TestRescueTellsOfShares(t *testing.T) {
	w := weektest.Replaced(t, weektest.SmokeHouse, "hens:         {price: 4.00/kg, arrives: tue,", "hens:         {price: 4.00/kg, arrives: tue-sat,",
		"smoked bones: {price: 5.00/kg, arrives: tue,", "smoked bones: {price: 5.00/kg, arrives: tue-sat,")
	a, err := Find(t.Context(), w, weektest.Shocks(t, w, "lose smoke kettle@tue"), nil)
	require.NoError(t, err)
	require.NotEmpty(t, a.Moves)
	k := slices.IndexFunc(a.Moves, func(m Move) bool { return m.Kind == "batch" })
	require.GreaterOrEqual(t, k, 0)
	assert.Equal(t, []string{"smoked bones is 6.75% of Thursday's smoke kettle by weight from 2 h to 3 h, and should be at most 6%: " +
		"0.75 points too much, because veal bones is missing; put in 2.381 kg at most, not 2.7 kg"}, a.Moves[k].Breaks)
}
