package shop

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph/flow"
	"kettletree/graph/lawtest"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/plan"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// needs reads what a banquet asks for.
func needs(t require.TestingT, w *week.Week, texts ...string) (list []Need) {
	for _, text := range texts {
		n, err := ReadNeed(w, text)
		require.NoError(t, err)
		list = append(list, n)
	}
	return list
}

// soupKitchen boils twice a week, and sells four bowls a day.
const soupKitchen = `
kitchen: Soup
services: {lunch: 11:30-14:30}
vessels:
  pot: {holds: 30 L}
bought:
  bones: {price: 2/kg, pack: 5 kg, arrives: mon thu, keeps: 9 days, allergens: [], from: butcher}
  roll:  {price: 0.50/each, keeps: 1 day, allergens: [wheat]}
  water: {price: 0/L, density: 1 kg/L, allergens: []}
steps:
  boil:
    vessel: pot
    starts: "06:00"
    takes:   [4 kg bones, 10 L water]
    gives:  ["8 L stock, out at 3 h", "0.5 kg fat, out at 3 h"]
    share cost by: worth
    costs:  3
    batches:   {mon thu: 1}
made:
  stock: {keeps: 4 days, worth: 1/L, density: 1 kg/L}
  fat:   {worth: 4/kg}
dishes:
  soup:    {price: 5, takes: [400 mL stock, 1 each roll], sells: {lunch: 4}}
  toast:   {price: 2, takes: [20 g fat, 1 each roll]}
`

func TestBuyPacks(t *testing.T) {
	list, err := ToBuy(t.Context(), weektest.SmallWeek(t, soupKitchen), BuyOptions{All: true})
	require.NoError(t, err)
	require.Len(t, list.Trips, 7)
	// Monday: the batch takes 4 kg of bones, which come in a pack of 5, and 4 rolls are eaten.
	assert.Equal(t, Trip{Date: "2026-11-23", Total: 12, Suppliers: []Supplier{
		{Name: "butcher", Total: 10, Items: []Purchase{{Item: "bones", Many: "bones", Unit: "kg", Needed: 4, Bought: 5, Packs: 1, Pack: 5,
			Over: 1, Price: 2, Cost: 10,
			For: []string{"boil"}}}},
		{Name: "", Total: 2, Items: []Purchase{{Item: "roll", Many: "rolls", Unit: "each", Needed: 4, Bought: 4, Price: 0.5, Cost: 2,
			For: []string{"soup"}}}},
	}}, list.Trips[0])
	// Tuesday: rolls only. Water is not on the list.
	require.Len(t, list.Trips[1].Suppliers, 1)
	// Thursday: 1 kg is left of Monday's pack, so 3 kg more are needed; a pack leaves 2 over.
	thu := list.Trips[3].Suppliers[0].Items[0]
	assert.Equal(t, Purchase{Item: "bones", Many: "bones", Unit: "kg", Needed: 3, Bought: 5, Packs: 1, Pack: 5, Over: 2, Price: 2,
		Cost: 10, OnHand: 1,
		For: []string{"boil"}}, thu)
	// Two packs at 10, seven days of rolls at 2.
	assert.InDelta(t, 34, list.Total, 1e-9)
}

func TestBuyBanquet(t *testing.T) {
	w := weektest.SmallWeek(t, soupKitchen)
	friday, err := w.SlotsNamed("fri lunch")
	require.NoError(t, err)
	list, err := ToBuy(t.Context(), w, BuyOptions{Need: needs(t, w, "soup=30"), At: friday, All: true})
	require.NoError(t, err)
	f := list.Banquet
	// Monday's 8 L keep until Thursday, when 1.6 L of them go to waste after four days at 1.6 L. Of Thursday's 8 L the
	// week takes 3 x 1.6 = 4.8 L from Friday to Sunday, so that 3.2 L are free; 30 bowls take 12 L. Missing are 8.8 L: two
	// batches. A batch fills 14 L of the 30 L pot, so Thursday has room for one more. With it, Friday's 13.6 L and
	// Saturday's 1.6 L can be served of 16 L, and 0.8 L are left for Sunday's 1.6 L: the latest day for the other is
	// Sunday.
	assert.Equal(t, []Further{
		{Date: "2026-11-26", Step: "boil", Batches: 1, Standing: 1, Starts: "06:00", Vessel: "pot"},
		{Date: "2026-11-29", Step: "boil", Batches: 1, Standing: 0, Starts: "06:00", Vessel: "pot"},
	}, f.Cook)
	// Thursday's bones: 3 batches take 12 kg, 1 kg is on hand, 11 kg are 3 packs in place of 1. Friday: 30 rolls more.
	assert.Equal(t, []plan.Buy{
		{Date: "2026-11-26", From: "butcher", Item: "bones", Quantity: 10, Unit: "kg", Packs: 2, Cost: 20},
		{Date: "2026-11-27", From: "", Item: "roll", Quantity: 30, Unit: "each", Cost: 15},
	}, f.Buy)
	// A batch costs 4 x 2 + 3 = 11, shared by worth 8 x 1 : 0.5 x 4 = 4 : 1. So stock costs 8.80 / 8 = 1.10, above its
	// worth of 1. Made are 16 L more, 12 are drunk, and the 3.2 L that would be binned on Sunday night, for they are
	// Thursday's, are drunk too: 7.2 L of Sunday's are left. They count for nothing, for Monday's batch is made anyway and
	// does for the days that they keep; nor does more fat than the week leaves without. Of the bones, 5 + 15 - 16 = 4 kg
	// are left in place of 5 + 5 - 8 = 2, and nine tenths of a pack count beside those.
	want := []Spare{
		{Item: "bones", Unit: "kg", Left: 2, Worth: 2, Credit: 4},
		{Item: "stock", Unit: "L", Left: 7.2, Binned: -3.2, Worth: 1, Credit: 0},
		{Item: "fat", Unit: "kg", Left: 1, Worth: 4, Credit: 0},
	}
	require.Len(t, f.Surplus, len(want))
	for n, x := range f.Surplus {
		assert.Equal(t, want[n].Item, x.Item)
		assert.InDeltaSlice(t, []float64{want[n].Left, want[n].Binned, want[n].Worth, want[n].Credit},
			[]float64{x.Left, x.Binned, x.Worth, x.Credit}, 1e-6, x.Item)
	}
	// A bowl costs 0.4 x 1.10 + 0.50 = 0.94.
	require.Len(t, f.Needs, 1)
	assert.InDeltaSlice(t, []float64{30, 0.94, 28.2}, []float64{f.Needs[0].Quantity, f.Needs[0].UnitCost,
		f.Needs[0].Cost}, 1e-9)
	// 20 + 15 are bought, two batches cost 3 each in labour; 4 is left.
	assert.InDeltaSlice(t, []float64{35, 6, 0, 41, 4, 37}, []float64{f.Bought, f.Labour, f.Disposal, f.Cash,
		f.Credit, f.Net}, 1e-6)
}

// TestBuyBanquetOfItems needs an amount of what steps give, and of what is bought.
func TestBuyBanquetOfItems(t *testing.T) {
	w := weektest.SmallWeek(t, soupKitchen)
	thursday, err := w.SlotsNamed("thu lunch")
	require.NoError(t, err)
	// Of Monday's 8 L, four days of soup leave 1.6 L on Thursday, their last day. Of Thursday's 8 L, Friday to Sunday take
	// 4.8 L. So 1.6 + 3.2 = 4.8 L are free, and 8 L of a further batch make 12.8.
	for amount, batches := range map[string]int{"stock=4.8 L": 0, "stock=4.9 L": 1, "stock=12.8 L": 1,
		"stock=12.9 L": 2, "stock=4800 g": 0} {
		list, err := ToBuy(t.Context(), w, BuyOptions{Need: needs(t, w, amount), At: thursday})
		require.NoError(t, err, amount)
		n := 0
		for _, c := range list.Banquet.Cook {
			n += c.Batches
		}
		assert.Equal(t, batches, n, amount)
	}
	list, err := ToBuy(t.Context(), w, BuyOptions{Need: needs(t, w, "roll=12 each", "roll=1 doz"), At: thursday})
	require.NoError(t, err)
	assert.Equal(t, []plan.Buy{{Date: "2026-11-26", Item: "roll", Quantity: 24, Unit: "each", Cost: 12}}, list.Banquet.Buy)
	assert.Empty(t, list.Banquet.Cook)
}

// TestBuyFirstService finds when a banquet can first be.
func TestBuyFirstService(t *testing.T) {
	for _, c := range []struct{ name, from, to, date string }{
		{"at once", "", "", "2026-11-23"},
		// Monday's comes at 12:00, after lunch began
		{"after the batch is out", `starts: "06:00"`, `starts: "09:00"`, "2026-11-24"},
		{"once the rolls come", "keeps: 1 day, allergens: [wheat]", "keeps: 1 day, allergens: [wheat], arrives: wed",
			"2026-11-25"},
	} {
		t.Run(c.name, func(t *testing.T) {
			w := weektest.SmallWeek(t, strings.Replace(soupKitchen, c.from, c.to, 1))
			list, err := ToBuy(t.Context(), w, BuyOptions{Need: needs(t, w, "soup=12")})
			require.NoError(t, err)
			assert.Equal(t, c.date, list.Banquet.Date)
		})
	}
}

// TestBuyFromTheDayBefore leads a banquet back through what is picked of all there is, on a day that nothing comes for:
// the batch is Tuesday's, for its bones come on Tuesday alone, and the meat picked then keeps until Wednesday. What is
// short can be had as a substitute too.
func TestBuyFromTheDayBefore(t *testing.T) {
	for _, uses := range []string{"100 g meat", "100 g cheek or 100 g meat"} {
		w := weektest.SmallWeek(t, `
kitchen: Bones
services: {lunch: 11:30-14:30}
bought:
  bones: {price: 2/kg, arrives: tue, keeps: 1 day, allergens: []}
  head:  {price: 2/kg, arrives: sun, keeps: 1 day, allergens: []}
steps:
  boil:       {takes: [4 kg bones], gives: [3 kg boiled bones], batches: {tue: 1}}
  pick:       {takes: [3 kg boiled bones], gives: [1 kg meat], batches: all of it}
  pick cheek: {takes: [4 kg head], gives: [1 kg cheek], batches: {sun: 1}}
made:
  boiled bones: {keeps: 1 day}
  meat:         {keeps: 2 days}
  cheek:        {keeps: 2 days}
dishes:
  hash: {price: 5, takes: [`+uses+`], sells: {wed lunch: 4}}
`)
		at, err := w.SlotsNamed("wed")
		require.NoError(t, err)
		list, err := ToBuy(t.Context(), w, BuyOptions{Need: needs(t, w, "hash=12"), At: at}) // 1.2 kg of meat, and 0.4 kg for the week's
		require.NoError(t, err)
		assert.Equal(t, []Further{{Date: "2026-11-24", Step: "boil", Batches: 1, Standing: 1}}, list.Banquet.Cook)
		assert.Equal(t, []plan.Buy{{Date: "2026-11-24", Item: "bones", Quantity: 4, Unit: "kg", Cost: 8}}, list.Banquet.Buy)
	}
}

func TestBuyTooLate(t *testing.T) {
	for _, c := range []struct{ from, to, need, at, want string }{
		{`starts: "06:00"`, `starts: "09:00"`, "soup=12", "mon",
			"12 soup at Mon 23 Nov lunch can't be had: stock is too late: " +
				"another batch of boil gives it at Mon 23 Nov 12:00 at the earliest"},
		{"", "", "soup=60", "mon", // two batches are 16 L
			"60 soup at Mon 23 Nov lunch can't be had: there is no room to make more stock in time: " +
				"the pot holds 30 L: 2 batches of 14 L at a time; it is in use Mon 23 Nov 06:00 to 09:00"},
		{"keeps: 1 day, allergens: [wheat]", "keeps: 1 day, allergens: [wheat], arrives: wed", "soup=2", "mon",
			"2 soup at Mon 23 Nov lunch can't be had: roll can't be delivered in time: arrives wed, keeps 1 day"},
		{"arrives: mon thu, keeps: 9 days", "arrives: thu, keeps: 9 days", "stock=3 L", "mon",
			"3 L stock at Mon 23 Nov lunch can't be had: bones can't be delivered in time: arrives thu, keeps 9 days"},
	} {
		w := weektest.SmallWeek(t, strings.Replace(soupKitchen, c.from, c.to, 1))
		at, err := w.SlotsNamed(c.at)
		require.NoError(t, err)
		_, err = ToBuy(t.Context(), w, BuyOptions{Need: needs(t, w, c.need), At: at})
		require.EqualError(t, err, c.want)
	}
}

// TestBuyAsPurchased: 3 lb of pared cucumber are 3.57 lb as purchased at a factor of 1.19 (worked in the table of
// conversion factors from edible portion to as purchased, Armed Forces Recipe Service, general card M).
func TestBuyAsPurchased(t *testing.T) {
	w := weektest.SmallWeek(t, `
kitchen: Cold
services: {lunch: 11:30-14:30}
bought:
  cucumber: {price: 1/lb, arrives: mon, keeps: 9 days, allergens: []}
steps:
  pare: {takes: [1.19 lb cucumber], gives: [1 lb pared cucumber], batches: to order}
dishes:
  cucumber salad: {price: 4, takes: [4 oz pared cucumber], sells: {wed lunch: 12}}
`)
	list, err := ToBuy(t.Context(), w, BuyOptions{})
	require.NoError(t, err)
	x := list.Trips[0].Suppliers[0].Items[0]
	assert.Equal(t, "lb", x.Unit)
	assert.InDelta(t, 3.57, x.Needed, 1e-9)
	assert.InDelta(t, 3.57, x.Cost, 1e-9)
	assert.Equal(t, []string{"pare"}, x.For)
}

func TestOnScale(t *testing.T) {
	for _, c := range []struct {
		amount float64
		unit   string
		want   float64
	}{
		{1.2341, "kg", 1.24}, {1.24, "kg", 1.24}, {15.21, "kg", 15.3}, {1521, "kg", 1530}, {0.1371, "kg", 0.138},
		{0.0371, "kg", 0.038}, // no fraction of a gram
		{37.1, "g", 38}, {4.231, "g", 4.24}, {0.0912, "L", 0.092},
		{2.341, "lb", 2.35}, {0.0523, "lb", 0.837 / 16}, // 0.8368 oz
		{0.2371, "gal", 0.24}, {0.528, "qt", 0.53}, {1.057, "qt", 1.06}, {1.8, "gal", 1.8}, {2.85, "qt", 2.85},
		{0.375, "qt", 0.375}, {0.36, "qt", 11.6 / 32}, // 12 fl oz; 11.52
		{3.2, "each", 4}, {4, "each", 4}, {2.01, "doz", 25.0 / 12},
	} {
		u, err := measure.UnitNamed(c.unit)
		require.NoError(t, err)
		assert.InDelta(t, c.want, onScale(c.amount*u.Factor, u)/u.Factor, 1e-9, "%v %s", c.amount, c.unit)
	}
}

func TestReadNeed(t *testing.T) {
	w := weektest.SmallWeek(t, soupKitchen)
	for text, want := range map[string]string{
		"x":      `--need "x": of what, and how much? write it as "soup=200" or "stock=80 L"`,
		"soup=":  `--need "soup=": of what, and how much? write it as "soup=200" or "stock=80 L"`,
		"soop=3": `--need "soop=3": no item or dish is named "soop": did you mean "soup"?`,
		"soup=2.5": `--need "soup=2.5": "2.5" is not a number of portions: ` +
			"write a whole number from 1 to 100000",
		"soup=0": `--need "soup=0": "0" is not a number of portions: ` +
			"write a whole number from 1 to 100000",
		"soup=9999999": `--need "soup=9999999": "9999999" is not a number of portions: ` +
			"write a whole number from 1 to 100000",
		"stock=3":      `--need "stock=3": a unit is missing: write a unit such as g, kg, mL, L or each after the number`,
		"stock=0 L":    `--need "stock=0 L": "0 L" is nothing: write how much is needed`,
		"stock=3 each": `--need "stock=3 each": 3 each of "stock" can't be turned into L: give it in L`,
		"stock=-3 L":   `--need "stock=-3 L": number "-3" has a sign: numbers here are zero or more, without a sign`,
		"stock=NaN L": `--need "stock=NaN L": "NaN" is not a number that can be measured: ` +
			`write a number such as 450 or 1.5`,
		"stock=1e99999": `--need "stock=1e99999": no unit after the number in "1e99999": ` +
			`write "1 each e99999" to count, or a unit such as g, kg, mL or L`,
	} {
		_, err := ReadNeed(w, text)
		assert.EqualError(t, err, want)
	}
}

func TestBuyNothingOn(t *testing.T) {
	w := weektest.ExampleWeek(t, "first-pot")
	days, err := w.DaysNamed("mon")
	require.NoError(t, err)
	_, err = ToBuy(t.Context(), w, BuyOptions{Days: days})
	require.EqualError(t, err,
		"there is nothing to buy on Mon 23 Nov, but there is on Tue 24 Nov, Wed 25 Nov, Thu 26 Nov, Fri 27 Nov, Sat 28 Nov")
}

// TestBuyExamples buys for the week of each example kitchen.
func TestBuyExamples(t *testing.T) {
	for _, name := range weektest.Examples {
		w := weektest.ExampleWeek(t, name)
		soundList(t, w, w.Case)
	}
}

// TestBuyPlan buys for a plan, whose packs are bought already.
func TestBuyPlan(t *testing.T) {
	w := weektest.ExampleWeek(t, "first-pot")
	p, err := plan.Make(t.Context(), w, plan.Options{})
	require.NoError(t, err)
	planned := *w
	planned.Case = p.Case
	soundList(t, &planned, p.Case)
	list, err := ToBuy(t.Context(), &planned, BuyOptions{All: true})
	require.NoError(t, err)
	assert.InDelta(t, p.Bought, list.Total, 1e-6)
}

// soundList holds the list of all days against the laws that it stands on.
func soundList(t require.TestingT, w *week.Week, c flow.Case) {
	list, err := ToBuy(context.Background(), w, BuyOptions{All: true})
	require.NoError(t, err)
	total := 0.0
	for _, trip := range list.Trips {
		all := 0.0
		for _, sup := range trip.Suppliers {
			sum := 0.0
			for _, x := range sup.Items {
				if u, err := measure.UnitNamed(x.Unit); err == nil && x.Packs == 0 && u.Kind == measure.Count {
					require.InDelta(t, math.Round(x.Bought*u.Factor), x.Bought*u.Factor, 1e-6, "%s is bought in parts", x.Item)
				}
				require.InDelta(t, x.Bought*x.Price, x.Cost, 1e-6*(1+x.Cost))
				require.InDelta(t, x.Bought, x.Needed+x.Over, 1e-9*(1+x.Bought))
				require.GreaterOrEqual(t, x.Over, 0.0)
				if x.Packs > 0 {
					require.InDelta(t, float64(x.Packs)*x.Pack, x.Bought, 1e-9*x.Bought+1e-9)
					require.Greater(t, x.Needed, float64(x.Packs-1)*x.Pack*(1-1e-12))
				}
				sum += x.Cost
			}
			require.InDelta(t, sum, sup.Total, 0.005)
			all += sup.Total
		}
		require.InDelta(t, all, trip.Total, 0.005)
		total += trip.Total
	}
	require.InDelta(t, total, list.Total, 0.005)
	bought := map[[2]int]float64{} // by item and day
	for _, trip := range list.Trips {
		date, err := time.Parse(time.DateOnly, trip.Date)
		require.NoError(t, err)
		day := int(date.Sub(w.From).Hours()) / 24
		for _, sup := range trip.Suppliers {
			for _, x := range sup.Items {
				i, err := w.FindItem(x.Item)
				require.NoError(t, err)
				u, err := measure.UnitNamed(x.Unit)
				require.NoError(t, err)
				bought[[2]int{i, day}] += x.Bought * u.Factor
			}
		}
	}
	for _, d := range w.Player().Play(c, nil).Deliveries { // the list is what the walk buys, as a scale shows it
		at := [2]int{d.Item, d.Day}
		switch name := w.Graph.Items[d.Item].Name; {
		case w.Terms.Price[d.Item] == 0 || d.Amount <= dust:
		case w.Case.Flow.Terms().Pack[d.Item] > 0:
			require.InDelta(t, d.Amount, bought[at], 1e-6*d.Amount, name)
		default:
			require.InDelta(t, onScale(d.Amount, w.Graph.Items[d.Item].Unit), bought[at], 1e-6*d.Amount, name)
		}
		delete(bought, at)
	}
	require.Empty(t, bought, "on the list, and not bought")
}

func TestListServesTheWeek(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text, onHand := weektest.AnyKitchen(t)
		w := weektest.SmallWeek(t, text)
		lots, faults := kitchen.ReadOnHand("on-hand.csv", []byte(onHand), w.Kitchen, w.From)
		require.NoError(t, faults.Err())
		p := w.Period
		p.OnHand = lots
		w, err := week.Over(w.Kitchen, p)
		require.NoError(t, err)
		soundList(t, w, w.Case)
	})
}

// TestBanquetTakesNothingAway tries banquets in random kitchens: what the week serves it still serves, no batch could
// be left out for less, and the money adds up.
func TestBanquetTakesNothingAway(t *testing.T) {
	lawtest.Few(t, 25)
	rapid.Check(t, func(t *rapid.T) {
		text, _ := weektest.AnyKitchen(t)
		w := weektest.SmallWeek(t, text)
		slot := rapid.IntRange(0, len(w.Sittings)-1).Filter(func(k int) bool { return w.Sittings[k].Service >= 0 }).Draw(t,
			"slot")
		need := needs(t, w, fmt.Sprintf("dishes0=%d", rapid.IntRange(1, 30).Draw(t, "portions")))
		c := newCatering(t.Context(), &buyer{Week: w, g: w.Graph}, need, slot)
		if err := c.cook(); err != nil {
			require.NotEmpty(t, err.Error())
			return
		}
		was, ok := c.cooked()
		c.cheaper()
		is, still := c.cooked()
		require.True(t, still || !ok, text)
		require.LessOrEqual(t, is.cash, was.cash+coin, text)
		f, err := c.feast()
		require.NoError(t, err)
		a := f.answer
		require.InDelta(t, a.Cash-a.Credit, a.Net, 1e-9)
		require.InDelta(t, a.Bought+a.Labour+a.Disposal, a.Cash, 1e-9)
		wants := len(w.Case.Schedule.Wants)
		for at, served := range f.with.o.Served {
			require.GreaterOrEqual(t, served, c.due(at/wants, at%wants)-1e-6, text)
		}
		for _, k := range slices.Clone(c.order) {
			if c.more[k] == 0 {
				continue
			}
			c.more[k]--
			way, ok := c.cooked()
			require.False(t, ok && c.better(way, is), "a batch of %s on day %d is not needed\n%s", c.g.Steps[k.step].Name, k.day, text)
			c.more[k]++
		}
	})
}

// What must come in cold is said with the code's limit where it has one, and with common practice where it has none.
func TestBuyInCold(t *testing.T) {
	const src = `
kitchen: Quay
food code: %s
services: {lunch: 11:30-14:30}
bought:
  mackerel:    {price: 9/kg, raw: yes, keeps: 1 day, allergens: [fish: mackerel]}
  canned tuna: {price: 9/kg, keeps: 90 days, allergens: [fish: tuna]}
  cod:         {price: 12/kg, raw: yes, keeps: 1 day, allergens: [fish: cod]}
dishes:
  plate: {price: 14, takes: [200 g mackerel, 50 g canned tuna, 100 g cod], cooks through: yes, sells: {lunch: 4}}
`
	for code, want := range map[string]*InCold{
		"US FDA Food Code 2022": {Items: []string{"mackerel"}, At: 41, Scale: "F", Section: "US FDA Food Code 2022, 3-202.11(A)"}, // from memory
		"UK":                    {Items: []string{"mackerel"}, At: 5, Scale: "C"},                                                 // held cold at 8 °C there, which is too warm for such fish
		"Codex":                 {Items: []string{"mackerel"}, At: 4, Scale: "C"},
	} {
		list, err := ToBuy(t.Context(), weektest.SmallWeek(t, fmt.Sprintf(src, code)), BuyOptions{})
		require.NoError(t, err)
		assert.Equal(t, want, list.InCold, code)
	}
}
