package logbook

// The day 1 of lots that a log book tells of, worked by hand from the FDA Food Code 2022 as menu/clock's datechain_test.go cites it.

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/graph/flow"
	"kettletree/menu/kitchen"
)

const smokehouse = `kitchen: Smokehouse
services: {lunch: 11:30-14:30}
bought:
  fish heads: {price: 1/kg, raw: yes, allergens: [fish: pollock]}
  pollock:    {price: 8/kg, raw: yes, allergens: [fish: pollock]}
  cream:      {price: 4/L, density: 1 kg/L, allergens: [milk]}
steps:
  boil:    {takes: [10 kg fish heads], gives: ["8 kg fumet, out at 2 h"], cooks through: yes, starts: "08:00", batches: {tue: 1, thu: 1}}
  smoke:   {takes: [4 kg pollock], gives: [3 kg smoked fish], cooks through: yes, batches: {wed: 1}}
  reduce:  {takes: [4 kg fumet], gives: [1 kg glaze], reheats: yes, batches: {thu: 1}}
  chowder: {takes: [2 kg fumet, 1 kg smoked fish, 1 L cream], gives: ["4 kg chowder, out at 1 h"], starts: "15:00", batches: {thu: 1}}
  freeze:  {takes: [2 kg fumet], gives: [2 kg frozen fumet], batches: {wed: 1}}
  thaw:    {takes: [2 kg frozen fumet], gives: [2 kg thawed fumet], batches: {sat: 1}}
  brine:   {takes: [1 kg pollock], gives: [1 kg brined fish], cooks through: no, batches: {tue: 1}}
made: {frozen fumet: {frozen: yes}}
`

// dayOne is what is known of the day 1 of the lots of an item, by what is on hand.
func dayOne(k *kitchen.Kitchen, s *Stock, item string) (list []string) {
	for _, l := range s.Lots {
		if k.Graph.Items[l.Item].Name == item {
			text := "none"
			if l.Since.Known {
				text = dateOf(l.Since.Day).Format("Jan 2") + " " + k.Graph.Items[l.Since.Item].Name
			}
			list = append(list, text)
		}
	}
	return list
}

// jotted is an entry as somebody writes it.
type jotted struct {
	when time.Time
	kind Kind
	text string
}

func logged(t *testing.T, k *kitchen.Kitchen, list []jotted) (entries []Entry) {
	t.Helper()
	for _, e := range list {
		entries = append(entries, entry(t, k, e.when, e.kind, e.text))
	}
	return entries
}

func TestDayOnesOfALogBook(t *testing.T) {
	k := readKitchen(t, smokehouse)
	tue := func(day, hour int) time.Time { return at(day, hour) } // 24 November is a Tuesday
	entries := logged(t, k, []jotted{
		{tue(0, 7), Counted, "30 kg fish heads, 20 kg pollock, 9 L cream"},
		{tue(0, 8), Lit, "boil"},
		{tue(0, 9), Cooked, "brine: 1 kg pollock -> 1 kg brined fish"},
		{tue(0, 10), Out, "8 kg fumet lot F1"},
		{tue(1, 9), Cooked, "smoke: 4 kg pollock -> 3 kg smoked fish lot S1"},
		{tue(1, 16), Cooked, "freeze: 2 kg fumet -> 2 kg frozen fumet"},
		{tue(2, 8), Cooked, "boil: 10 kg fish heads -> 8 kg fumet lot F2"},
		{tue(2, 9), Cooked, "reduce: 4 kg fumet lot F1 -> 1 kg glaze"},
		{tue(2, 15), Lit, "chowder: 2 kg fumet lot F1, 1 kg smoked fish, 1 L cream"},
		{tue(2, 16), Out, "4 kg chowder"},
		{tue(4, 9), Cooked, "thaw: 2 kg frozen fumet -> 2 kg thawed fumet"},
		{tue(4, 10), Cooked, "reduce: 4 kg fumet lot F2 -> 1 kg glaze"},
		{tue(4, 11), Counted, "5 kg chowder"},
	})
	was := stretch
	defer func() { stretch = was }()
	for _, stretch = range []int{was, 2} { // also from what is kept in the file
		j := newLogBook(t)
		_, err := j.Append(t.Context(), settled(t, k, entries)...)
		require.NoError(t, err)
		for range 2 {
			for _, c := range []struct {
				asOf time.Time
				item string
				want []string
				why  string
			}{
				{tue(0, 12), "fumet", []string{"Nov 24 fumet"}, "raw heads, boiled through on the 24th (3-501.17(A))"},
				{tue(0, 12), "brined fish", []string{"none"}, "raw food carries none"},
				{tue(1, 20), "frozen fumet", []string{"Nov 24 fumet"}, "frozen on its day 2"},
				{tue(2, 20), "glaze", []string{"Nov 24 fumet"}, "of the lot that was named, the first in: reheating begins no new day 1 (3-501.17(C))"},
				{tue(2, 20), "chowder", []string{"Nov 24 fumet"}, "through a pot: of fumet of the 24th and fish of the 25th, the earlier"},
				{tue(4, 20), "thawed fumet", []string{"Nov 26 fumet"}, "frozen at the end of day 2, so that the 28th counts as day 3 and the 26th as day 1 (3-501.18)"},
				{tue(4, 20), "glaze", []string{"Nov 24 fumet", "Nov 26 fumet"}, "each lot has its own"},
				{tue(4, 20), "chowder", []string{"Nov 24 fumet", "Nov 24 fumet"}, "what a count finds beyond the book is as old as the oldest"},
			} {
				s, err := j.OnHand(t.Context(), k, c.asOf)
				require.NoError(t, err)
				assert.Equal(t, c.want, dayOne(k, s, c.item), "%s: %s", c.item, c.why)
				w := goingOn(t, j, k, c.asOf)
				for _, l := range w.OnHand {
					if w.Graph.Items[l.Item].Name == c.item && l.Since.Known {
						assert.Equal(t, c.want[0][:6], w.Date(l.Since.Day).Format("Jan 2"), "the week that goes on has the same")
						break
					}
				}
			}
			j.warm = nil // asked again, from the file
		}
	}
}

// What is counted with no lot before it carries the oldest day 1 that the kitchen file lets it carry, and it is marked as presumed. By hand, from
// the FDA Food Code 2022, 24 November a Tuesday: shanks of Wednesday the 18th go into the filling of Wednesday and Friday (those of the 11th
// were past their five days), the filling of Wednesday or Friday is frozen on Friday the 20th. So 18, 19 and 20 are used, and of seven days
// four are left; thawed on the 24th, that is until Friday the 27th (3-501.17(C)).
func TestCountedCarriesTheOldest(t *testing.T) {
	k := readKitchen(t, `kitchen: Pie shop
services: {lunch: 11:30-14:30}
bought: {shanks: {price: 3/kg, raw: yes, keeps: 3 days, allergens: []}, ale: {price: 3/L, density: 1 kg/L, allergens: []}}
steps:
  simmer: {takes: [14 kg shanks], gives: ["3 kg pulled shank, out at 6 h"], starts: "22:30", cooks through: yes, batches: {tue: 1}}
  fill:   {takes: [600 g pulled shank, 2.4 L ale], gives: [3 kg filling], cooks through: no, batches: {wed: 1, fri: 1}}
  freeze: {takes: [1.5 kg filling], gives: [1.5 kg frozen filling], cooks through: no, batches: {fri: 1}}
  thaw:   {takes: [0.5 kg frozen filling], gives: [0.5 kg thawed filling], cooks through: no, batches: {sun: 1}}
made: {pulled shank: {keeps: 5 days}, filling: {keeps: 7 days}, frozen filling: {keeps: 60 days, frozen: yes}, thawed filling: {keeps: 7 days}}
`)
	j := newLogBook(t)
	_, err := j.Append(t.Context(), settled(t, k, logged(t, k, []jotted{
		{at(0, 8), Counted, "1 kg frozen filling"},
		{at(0, 9), Cooked, "thaw: 500 g frozen filling -> 500 g thawed filling"},
		{at(0, 10), Counted, "2 kg filling"},
	}))...)
	require.NoError(t, err)
	for range 2 {
		s, err := j.OnHand(t.Context(), k, at(0, 12))
		require.NoError(t, err)
		for item, want := range map[string]string{"frozen filling": "Nov 18 pulled shank", "filling": "Nov 18 pulled shank", "thawed filling": "Nov 21 pulled shank"} {
			assert.Equal(t, []string{want}, dayOne(k, s, item), "%s", item)
		}
		for _, l := range s.Lots {
			assert.True(t, l.Since.Presumed, "%s", k.Graph.Items[l.Item].Name)
			if k.Graph.Items[l.Item].Name == "thawed filling" {
				assert.Equal(t, "Nov 18", dateOf(l.Since.Began()).Format("Jan 2"))
				last, ok := k.DayOnes().Last(l.Item, dayNumber(l.Made), l.Since)
				assert.True(t, ok)
				assert.Equal(t, "Nov 27", dateOf(last).Format("Jan 2"))
			}
		}
		j.warm = nil // asked again, from the file
	}
}

// What is made of garlic in oil keeps the oil's day 1 in the log book too: on hand until the oil's day 4, and past its date from then on,
// from whatever is kept of the entries. 24 November is day 1; frozen at the end of the 25th and thawed on the 28th, that is day 3.
func TestOilKeepsItsDay(t *testing.T) {
	k := readKitchen(t, `kitchen: Trattoria
services: {lunch: 11:30-14:30}
bought: {garlic: {price: 9/kg, allergens: []}, olive oil: {price: 9/kg, allergens: []}, walnuts: {price: 9/kg, allergens: []}}
steps:
  confit: {takes: [2 kg garlic, 4 kg olive oil], gives: [6 kg confit], batches: {mon: 1}}
  pound:  {takes: [1 kg confit, 0.5 kg walnuts], gives: [1.5 kg pesto], batches: {mon: 1}}
  freeze: {takes: [1 kg confit], gives: [1 kg frozen confit], batches: {mon: 1}}
  thaw:   {takes: [1 kg frozen confit], gives: [1 kg thawed confit], batches: {mon: 1}}
made: {frozen confit: {frozen: yes}, confit: {keeps: 4 days, date mark: no}}
`)
	entries := logged(t, k, []jotted{
		{at(0, 7), Counted, "9 kg garlic, 20 kg olive oil, 9 kg walnuts"},
		{at(0, 9), Cooked, "confit: 2 kg garlic, 4 kg olive oil -> 6 kg confit"},
		{at(1, 9), Cooked, "freeze: 1 kg confit -> 1 kg frozen confit"},
		{at(2, 9), Cooked, "pound: 1 kg confit, 0.5 kg walnuts -> 1.5 kg pesto"},
		{at(4, 9), Cooked, "thaw: 1 kg frozen confit -> 1 kg thawed confit"},
	})
	was := stretch
	defer func() { stretch = was }()
	for _, stretch = range []int{was, 2} {
		j := newLogBook(t)
		_, err := j.Append(t.Context(), settled(t, k, entries)...)
		require.NoError(t, err)
		for range 2 {
			for _, c := range []struct {
				asOf       time.Time
				item, last string
				past       bool
			}{
				{at(2, 12), "pesto", "2026-11-27", false},
				{at(3, 23), "pesto", "2026-11-27", false},
				{at(4, 6), "pesto", "2026-11-27", true},
				{at(4, 12), "thawed confit", "2026-11-29", false},
				{at(6, 6), "thawed confit", "2026-11-29", true},
			} {
				s, err := j.OnHand(t.Context(), k, c.asOf)
				require.NoError(t, err)
				days, seen := k.DayOnes(), false
				for _, l := range s.Lots {
					if k.Graph.Items[l.Item].Name != c.item {
						continue
					}
					seen = true
					last, ok := days.Last(l.Item, dayNumber(l.Made), l.Since)
					require.True(t, ok, c.item)
					assert.Equal(t, c.last, dateOf(last).Format(time.DateOnly), "%s at %s", c.item, c.asOf)
					gone, past := l.past(days, k, k.DayAt(c.asOf))
					assert.Equal(t, c.past, past, "%s at %s", c.item, c.asOf)
					if past {
						assert.Equal(t, c.last, gone.Last.Format(time.DateOnly), c.item)
					}
				}
				assert.True(t, seen, c.item)
			}
			j.warm = nil
		}
	}
}

// A lot has one day 1, whenever it is asked for, written down or counted as planned.
func TestADayOneStaysWithItsLot(t *testing.T) {
	k := readKitchen(t, smokehouse)
	j := newLogBook(t)
	_, err := j.Append(t.Context(), entry(t, k, at(0, 6), Counted, "60 kg fish heads, 40 kg pollock, 20 L cream"),
		entry(t, k, at(0, 9), Cooked, "brine"), entry(t, k, at(0, 10), Cooked, "boil"),
		entry(t, k, at(1, 9), Cooked, "smoke: 4 kg pollock -> 3 kg smoked fish"), entry(t, k, at(1, 10), Cooked, "freeze"))
	require.NoError(t, err)
	seen := map[string]flow.Since{}
	for hour := 7; hour < 60; hour += 3 {
		w := goingOn(t, j, k, at(0, hour))
		o, rec := w.Case, &flow.Record{Movements: true}
		o.Flow.Walk(o.Schedule, flow.Fair, rec)
		dates := w.Dates(o.Schedule, rec)
		for n, l := range rec.Lots {
			since := dates.Of(n)
			if !since.Known {
				continue
			}
			since = since.Later(dayNumber(w.From))
			lot := fmt.Sprintf("%s of %s", k.Graph.Items[l.Item].Name, w.Date(l.Made).Format(time.DateOnly))
			if was, ok := seen[lot]; ok {
				assert.Equal(t, was, since, "%s, at hour %d", lot, hour)
			}
			seen[lot] = since
		}
	}
	assert.GreaterOrEqual(t, len(seen), 7)
	assert.Equal(t, "2026-11-24", dateOf(seen["chowder of 2026-11-26"].Day).Format(time.DateOnly))
	assert.Equal(t, "2026-11-24", dateOf(seen["glaze of 2026-11-26"].Day).Format(time.DateOnly))
}
