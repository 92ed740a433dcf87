package shop

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph/flow"
	"kettletree/graph/lawtest"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// jellyKitchen gives 4 lb of jelly, and 16 cups of stock, a pot.
const jellyKitchen = `
kitchen: Jelly
services: {lunch: 11:30-14:30}
bought:
  feet:  {price: 2/lb}
  water: {price: 0/L, density: 1 kg/L}
steps:
  set jelly: {takes: [3 lb feet, 2 L water], gives: [4 lb jelly], batches: {mon: 0}}
  boil:      {takes: [5 lb feet, 6 L water], gives: [16 cup stock], batches: {mon: 0}}
made:
  jelly: {keeps: 2 days}
  stock: {keeps: 2 days, density: 1 kg/L}
dishes:
  jelly plate: {price: 5, takes: [0.5 lb jelly]}
`

// TestNeedsAreNotRounded asks for what whole pots give to the last drop, in units of which no gram or millilitre is a whole number:
// 4 lb are a pot of jelly, and 10 gal are 160 cups, ten pots of 16.
func TestNeedsAreNotRounded(t *testing.T) {
	w := weektest.SmallWeek(t, jellyKitchen)
	at, err := w.SlotsNamed("mon")
	require.NoError(t, err)
	for need, batches := range map[string]int{
		"jelly=4 lb": 1, "jelly=64 oz": 1, "jelly=4.01 lb": 2, "jelly=0.3 g": 1, "jelly plate=8": 1, "jelly plate=9": 2,
		"stock=10 gal": 10, "stock=160 cup": 10, "stock=160.1 cup": 11, "stock=40 qt": 10,
	} {
		list, err := ToBuy(t.Context(), w, BuyOptions{Need: needs(t, w, need), At: at})
		require.NoError(t, err, need)
		n := 0
		for _, c := range list.Banquet.Cook {
			n += c.Batches
		}
		assert.Equal(t, batches, n, need)
	}
	list, err := ToBuy(t.Context(), w, BuyOptions{Need: needs(t, w, "jelly=1 lb", "jelly plate=4", "jelly=16 oz"), At: at})
	require.NoError(t, err, "two needs of one item add up, beside a dish of it: 1 lb, 2 lb, 1 lb")
	require.Len(t, list.Banquet.Cook, 1)
	assert.Equal(t, 1, list.Banquet.Cook[0].Batches)
	require.Empty(t, list.Banquet.Surplus)
}

// TestACutBatchTakesWhatComes counts by hand: a carcass gives 5.9 kg of bones, and the pot, which takes 6, makes do with them. Should
// there be more, it takes the other 0.1 kg: for 5.9 kg of bones beside it, a second carcass is not enough.
func TestACutBatchTakesWhatComes(t *testing.T) {
	w := weektest.SmallWeek(t, `
kitchen: Carvery
services: {lunch: 11:30-14:30}
bought:
  carcass: {price: 40/each, each: 9 kg}
  water:   {price: 0/L, density: 1 kg/L}
steps:
  carve: {takes: [1 each carcass], gives: [5.9 kg bones], batches: {mon: 1}}
  boil:  {takes: [6 kg bones, 10 L water], gives: [8 L stock], batches: {mon: 1}}
made:
  bones: {keeps: 2 days}
  stock: {keeps: 1 day, density: 1 kg/L}
dishes:
  soup: {price: 6, takes: [500 mL stock], sells: {mon: 15}}
`)
	at, err := w.SlotsNamed("mon")
	require.NoError(t, err)
	for need, batches := range map[string]int{"bones=5.8 kg": 1, "bones=5.9 kg": 2, "soup=1": 1} {
		list, err := ToBuy(t.Context(), w, BuyOptions{Need: needs(t, w, need), At: at})
		require.NoError(t, err, need)
		assert.Equal(t, []Further{{Date: "2026-11-23", Step: "carve", Batches: batches, Standing: 1}}, list.Banquet.Cook, need)
	}
}

// TestBanquetsAsPlayed plays banquets in random kitchens as they are said, with what is needed bought as it is needed, and with the second
// choices that they name: all that was promised is served, all that the week serves without them, and it costs what is said.
func TestBanquetsAsPlayed(t *testing.T) {
	lawtest.Few(t, 25)
	rapid.Check(t, func(t *rapid.T) {
		w, text := weektest.AnyPresent(t)
		if rapid.Bool().Draw(t, "pies") { // where second choices are worth it
			w, text = anyPieShop(t)
		}
		slot := rapid.IntRange(0, len(w.Sittings)-1).Draw(t, "slot")
		if w.Sittings[slot].Service < 0 {
			return
		}
		portions := rapid.IntRange(1, 30).Draw(t, "portions")
		list, err := ToBuy(context.Background(), w, BuyOptions{Need: needs(t, w, fmt.Sprintf("dishes0=%d", portions)), At: []int{slot}})
		if err != nil {
			return
		}
		alone := w.Player().Play(w.Case, nil)
		s := *w.Case.Schedule
		s.Batches, s.Wants = slices.Clone(s.Batches), slices.Clone(s.Wants)
		for _, c := range list.Banquet.Cook {
			step, err := w.FindStep(c.Step)
			require.NoError(t, err)
			day, err := w.DaysNamed(c.Date)
			require.NoError(t, err)
			s.Batches = append(s.Batches, flow.Batch{Step: step, Day: day[0], Start: w.Steps[step].Starts, Size: float64(c.Batches)})
			if at := slices.IndexFunc(s.Batches, func(b flow.Batch) bool { return b.Step == step && b.Day == day[0] }); at < len(s.Batches)-1 {
				require.Equal(t, c.Standing, s.Batches[at].Size, text)
				s.Batches[at].Size += float64(c.Batches)
				s.Batches = s.Batches[:len(s.Batches)-1]
			}
		}
		dish, err := w.FindDish("dishes0")
		require.NoError(t, err)
		for d := range s.Wants {
			s.Wants[d].Forecast = make([]float64, len(s.Slots))
			for k := range s.Slots {
				s.Wants[d].Forecast[k] = alone.Served[k*len(s.Wants)+d]
			}
		}
		s.Wants[dish].Forecast[slot] += float64(portions)
		s.Directions = asSecond(t, w, slot, list.Banquet.Second)
		s.Settle() // who comes to a banquet needs no seat of the house, and orders nothing else
		o := w.Player().Play(flow.Case{Flow: w.Case.Flow, Schedule: &s}, nil)
		for at, served := range o.Served {
			require.InDelta(t, s.Wants[at%len(s.Wants)].Forecast[at/len(s.Wants)], served, 1e-6, "%s at %d of %d of %d portions, with %v\n%s",
				w.Dishes[at%len(s.Wants)].Name, at/len(s.Wants), slot, portions, list.Banquet.Cook, text)
		}
		if list.Banquet.Second != nil { // what is filled otherwise than directed would not save what is said
			worth, err := w.Worth()
			require.NoError(t, err)
			is, was := worth.Books(flow.Case{Flow: w.Case.Flow, Schedule: &s}, o), worth.Books(w.Case, alone)
			require.InDelta(t, list.Banquet.Cash, is.Spent()-was.Spent(), 1e-6*(1+is.Spent()), "%+v\n%s", list.Banquet, text)
		}
	})
}

// asSecond directs the lines of a service as a banquet says of its second choices; nil where it has none.
func asSecond(t require.TestingT, w *week.Week, slot int, seconds []Second) *flow.Directions {
	if seconds == nil {
		return nil
	}
	mix := make([]float64, w.Case.Flow.Choices())
	for s, st := range w.Graph.Steps {
		for l, line := range st.Takes {
			mix[w.Case.Flow.Choice(s, l, 0)] = 1
			for c, choice := range line.Choices {
				for _, x := range seconds {
					if c > 0 && st.Name == x.In && w.Graph.Items[line.Choices[0].Item].Name == x.For && w.Graph.Items[choice.Item].Name == x.Item {
						mix[w.Case.Flow.Choice(s, l, 0)] -= x.Share
						mix[w.Case.Flow.Choice(s, l, c)] += x.Share
					}
				}
			}
		}
	}
	d := &flow.Directions{Serve: make([][]float64, len(w.Case.Schedule.Slots))}
	d.Serve[slot] = mix
	return d
}

// anyPieShop draws a kitchen of which the kettle leaves meat that is as good in a pie as what is braised for it.
func anyPieShop(t *rapid.T) (*week.Week, string) {
	number := func(what string, from ...int) int { return rapid.SampledFrom(from).Draw(t, what) }
	text := fmt.Sprintf(`
kitchen: Pie Shop
services: {lunch: 11:30-14:30}
bought:
  hen:   {price: 8/kg, keeps: 3 days, allergens: []}
  shin:  {price: 10/kg, keeps: 3 days, allergens: []}
  water: {price: 0/L, density: 1 kg/L, allergens: []}
steps:
  kettle: {takes: [6 kg hen, 20 L water], gives: [20 L stock, %d kg hen meat], batches: {daily: 1}}
  braise: {takes: [3 kg shin], gives: [%d kg shin meat], costs: 5, batches: {mon wed: 1}}
made:
  stock:     {keeps: 1 day, worth: 2/L, density: 1 kg/L}
  hen meat:  {keeps: %d days, worth: 8/kg}
  shin meat: {keeps: %d days, worth: 15/kg}
dishes:
  dishes0: {price: 9, takes: [100 g shin meat or 100 g hen meat, 50 mL stock], sells: %d}
  broth:   {price: 3, takes: [400 mL stock], sells: %d}
  hash:    {price: 7, takes: [%d g shin meat], sells: %d}
`, number("hen meat", 1, 2, 3), number("shin meat", 1, 2), number("hen keeps", 1, 2), number("shin keeps", 1, 2, 3), number("pies", 0, 3, 10, 15),
		number("broths", 0, 20), number("hash takes", 100, 150), number("hash", 0, 3, 7))
	return weektest.SmallDays(t, text, number("days", 1, 2, 3)), text
}

// The kettle that is on all the same leaves 2 kg of hen that nobody takes, and pie is as good with hen: no beef is braised for it, as
// far as there is hen.
func TestBanquetTakesWhatTheKettleLeaves(t *testing.T) {
	const kitchen = `
kitchen: Pie Shop
services: {lunch: 11:30-14:30}
bought:
  hen:   {price: 8/kg, keeps: 3 days, allergens: []}
  shin:  {price: 10/kg, keeps: 3 days, allergens: []}
  water: {price: 0/L, density: 1 kg/L, allergens: []}
steps:
  kettle: {takes: [6 kg hen, 20 L water], gives: [20 L stock, 2 kg hen meat], batches: {daily: 1}}
  braise: {takes: [3 kg shin], gives: [1.5 kg shin meat], costs: 5, batches: {daily: 1}}
made:
  stock:     {keeps: 1 day, worth: 2/L, density: 1 kg/L}
  hen meat:  {keeps: 1 day, worth: 8/kg}
  shin meat: {keeps: 1 day, worth: 15/kg}
dishes:
  broth: {price: 3, takes: [400 mL stock], sells: 40}
  pie:   {price: 9, takes: [100 g shin meat or 100 g hen meat], sells: 10}
  hash:  {price: 7, takes: [100 g shin meat], sells: 3}
`
	w := weektest.SmallWeek(t, kitchen)
	at, err := w.SlotsNamed("mon lunch")
	require.NoError(t, err)
	// 22 pies and 3 plates of hash take 2.5 kg, of 1.5 kg of shin and 2 kg of hen: there is enough as it is.
	list, err := ToBuy(t.Context(), w, BuyOptions{Need: needs(t, w, "pie=12"), At: at})
	require.NoError(t, err)
	require.Empty(t, list.Banquet.Cook)
	require.InDelta(t, 0, list.Banquet.Cash, 1e-6)
	// Now 3 kg of shin are braised every other day, and keep for two. Monday's 22 pies would take 2.2 kg of it, and leave 0.8 kg for
	// Tuesday's hash, which takes 1.3: another braise, of 3 kg at 10 and 5 of labour. With hen in pies, there is enough.
	longer := strings.NewReplacer("shin meat: {keeps: 1 day", "shin meat: {keeps: 2 days", "gives: [1.5 kg shin meat], costs: 5, batches: {daily: 1}", "gives: [3 kg shin meat], costs: 5, batches: {mon wed fri sun: 1}",
		"100 g shin meat or 100 g hen meat], sells: 10", "100 g shin meat or 100 g hen meat], sells: {mon tue wed thu fri sat sun lunch: 10}", "takes: [100 g shin meat], sells: 3", "takes: [100 g shin meat], sells: {tue lunch: 13}").Replace(kitchen)
	w = weektest.SmallWeek(t, longer)
	list, err = ToBuy(t.Context(), w, BuyOptions{Need: needs(t, w, "pie=12"), At: at})
	require.NoError(t, err)
	require.Empty(t, list.Banquet.Cook)
	require.Len(t, list.Banquet.Second, 1)
	s := list.Banquet.Second[0]
	require.Equal(t, "hen meat in place of shin meat in pie", s.Item+" in place of "+s.For+" in "+s.In)
	require.Equal(t, 22, s.Of)
	require.Equal(t, 1, s.Batches)
	require.InDelta(t, 30+5, s.Saves, 1e-6)
}
