package logbook

// The book of money, against published examples and its own balance.

import (
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph"
	"kettletree/menu/kitchen"
)

func readKitchen(t testing.TB, text string) *kitchen.Kitchen {
	t.Helper()
	k, faults := kitchen.Read("kitchen.yaml", []byte(text))
	require.NoError(t, faults.Err())
	return k
}

// bookOf plays entries with book of money and sales.
func bookOf(t testing.TB, k *kitchen.Kitchen, entries []Entry, asOf time.Time) *books {
	t.Helper()
	p, err := newTill(t.Context(), k)
	require.NoError(t, err)
	list := slices.DeleteFunc(Standing(entries), func(e Entry) bool { return e.At.After(asOf) })
	slices.SortStableFunc(list, func(a, b Entry) int { return a.At.Compare(b.At) })
	for i := range list {
		p.play(&list[i])
	}
	return p.books(asOf)
}

// of finds an item of an answer.
func (a *AsItWas) of(t testing.TB, name string) ItemWas {
	t.Helper()
	at := slices.IndexFunc(a.Items, func(it ItemWas) bool { return it.Name == name })
	require.GreaterOrEqual(t, at, 0, name)
	return a.Items[at]
}

// OpenStax, Principles of Accounting, Volume 1: Financial Accounting, sections 10.2 and 10.3, first in, first out: of
// 585 sets for 16,155 those sold cost 7,200 (2,520 + 630 + 4,050), and those left 8,955 (75 at 27, 210 at 33).
func TestFirstInFirstOut(t *testing.T) {
	k := readKitchen(t, `kitchen: Counter
services: {lunch: 11:00-14:00}
bought: {spy set: {price: 25/each}}
dishes: {set: {price: 36, takes: [1 each spy set], sells: {lunch: 1}}}
`)
	entries := typed(t, k, `
		0/07 received 150 each spy set for 3150
		1/12 sold 120 set
		2/07 received 225 each spy set for 6075
		3/12 sold 180 set
		4/07 received 210 each spy set for 6930`)
	a := bookOf(t, k, entries, at(6, 0)).asItWas(at(0, 0), at(6, 0))
	assert.InDelta(t, 16155, a.All.Received, 1e-9)
	assert.InDelta(t, 7200, a.All.Sold, 1e-9)
	assert.InDelta(t, 8955, a.All.Left, 1e-9)
	assert.InDelta(t, 285, a.of(t, "spy set").Left, 1e-9)
	first := bookOf(t, k, entries, at(6, 0)).asItWas(at(0, 0), at(2, 0))
	assert.InDelta(t, 2520, first.All.Sold, 1e-9)
	assert.InDelta(t, 30*21, first.All.Left, 1e-9)
	second := bookOf(t, k, entries, at(6, 0)).asItWas(at(2, 0), at(4, 0))
	assert.InDelta(t, 30*21, second.All.Opening, 1e-9)
	assert.InDelta(t, 630+4050, second.All.Sold, 1e-9)
	assert.InDelta(t, 75*27, second.All.Left, 1e-9)
}

// The same shop by specific identification: of the second sale 20 are named from the first delivery and 160 from the
// second, so what was sold cost 7,260 and what is left 8,895.
func TestSpecificIdentification(t *testing.T) {
	k := readKitchen(t, `kitchen: Counter
services: {lunch: 11:00-14:00}
bought: {spy set: {price: 25/each}}
dishes: {set: {price: 36, takes: [1 each spy set], sells: {lunch: 1}}}
`)
	entries := typed(t, k, `
		0/07 received 150 each spy set for 3150 lot A
		1/12 sold 120 set
		2/07 received 225 each spy set for 6075 lot B
		3/12 sold 160 set lot B
		3/13 sold 20 set lot A
		4/07 received 210 each spy set for 6930`)
	a := bookOf(t, k, entries, at(6, 0)).asItWas(at(0, 0), at(6, 0))
	assert.InDelta(t, 7260, a.All.Sold, 1e-9)
	assert.InDelta(t, 8895, a.All.Left, 1e-9)
}

// A batch's cost goes to what came of it as the file says, whatever amounts came.
func TestABatchIsShared(t *testing.T) {
	const shop = `kitchen: Shop
bought: {pork: {price: 5/kg}, water: {price: 0/L, density: 1 kg/L}}
steps:
  braise:
    takes:  [10 kg pork]
    gives: [6 kg meat, 1 kg fat]
    costs: 4
    share cost by: %s
made: {meat: {worth: 12/kg}, fat: {worth: 2/kg}}
`
	for _, c := range []struct {
		rule      string
		meat, fat float64
	}{
		// 8 kg at 6 a kilo, and eight tenths of a batch's 4 for work, are 51.20; 5 kg of meat and 2 kg of fat came
		{"worth", 51.2 * 60. / 64, 51.2 * 4. / 64},
		{"weight", 51.2 * 5. / 7, 51.2 * 2. / 7},
		{"main", 47.2, 4},
	} {
		k := readKitchen(t, fmt.Sprintf(shop, c.rule))
		a := bookOf(t, k, typed(t, k, `
			0/07 received 10 kg pork for 60
			0/08 cooked braise: 8 kg pork -> 5 kg meat, 2 kg fat`), at(1, 0)).asItWas(at(0, 0), at(1, 0))
		assert.InDelta(t, c.meat, a.of(t, "meat").LeftCost, 1e-9, c.rule)
		assert.InDelta(t, c.fat, a.of(t, "fat").LeftCost, 1e-9, c.rule)
		assert.InDelta(t, 12, a.of(t, "pork").LeftCost, 1e-9, c.rule)
		assert.InDelta(t, 10, a.All.Price, 1e-9)
	}
}

// TestLabourGoesByWhatWentIn: labour and fuel are those of as many batches as the main input is enough for, whether the entry
// says how many or not; where it does not tell the main input, of as many as it says.
func TestLabourGoesByWhatWentIn(t *testing.T) {
	k := readKitchen(t, `kitchen: Shop
bought: {pork: {price: 5/kg}, veal: {price: 6/kg}, salt: {price: 1/kg}, water: {price: 0/L, density: 1 kg/L}}
steps:
  braise:
    takes: ["0.1 kg salt, optional", 10 kg pork or 8 kg veal, 20 L water]
    gives: [6 kg meat]
    costs: 4
made: {meat: {worth: 12/kg}}
`)
	for entry, labour := range map[string]float64{
		"braise":                               4,
		"braise x2":                            8,
		"braise: 20 kg pork, 40 L water":       8,
		"braise x2: 20 kg pork, 40 L water":    8,
		"braise: 5 kg pork, 4 kg veal":         4, // half a batch of the one, and half of the other
		"braise: 4 kg pork -> 2 kg meat":       1.6,
		"braise x3: 18 L water -> 2 kg meat":   12, // no word of what it is made of
		"braise: 20 kg pork -> 9 kg meat":      8,
		"braise: 25 lb pork -> 6 kg meat":      4 * 25 * 0.45359237 / 10,
		"braise x0.5":                          2,
		"braise x0.5: 10 kg pork -> 5 kg meat": 4,
	} {
		a := bookOf(t, k, typed(t, k, "\n0/07 received 100 kg pork\n0/07 received 20 kg veal\n0/08 cooked "+entry), at(1, 0)).asItWas(at(0, 0), at(1, 0))
		assert.InDelta(t, labour, a.All.Labour, 1e-9, entry)
	}
}

func TestWithoutAPriceTheFileHasOne(t *testing.T) {
	k := someKitchen(t)
	a := bookOf(t, k, typed(t, k, `
		0/07 received 10 kg pork shoulder
		0/08 received 2 kg pork shoulder for 11
		0/09 binned 11 kg pork shoulder`), at(1, 0)).asItWas(at(0, 0), at(1, 0))
	assert.InDelta(t, 51, a.All.Unpriced, 1e-9)
	assert.InDelta(t, 62, a.All.Received, 1e-9)
	assert.InDelta(t, 51+5.50, a.All.Binned, 1e-9)
	assert.Equal(t, []string{
		"no price was logged for some deliveries (pork shoulder), so they take the file's"}, a.Notes)
}

// randomEntries are entries of the braise shop, in the order of time.
func randomEntries(t *rapid.T, k *kitchen.Kitchen) []Entry {
	items := []string{"pork shoulder", "hen", "tortilla", "pulled shoulder", "shoulder broth", "braise fat", "soup base"}
	units := map[string]string{"hen": "each", "tortilla": "each", "shoulder broth": "L", "soup base": "L"}
	var list []Entry
	hour := 0
	for n := range rapid.IntRange(1, 40).Draw(t, "entries") {
		amount := func(label string) float64 { return float64(rapid.IntRange(1, 4000).Draw(t, label)) / 100 }
		some := func(from []string) string {
			item := rapid.SampledFrom(from).Draw(t, "item")
			unit := units[item]
			if unit == "" {
				unit = "kg"
			}
			return fmt.Sprintf("%g %s %s", amount("amount"), unit, item)
		}
		kind := rapid.SampledFrom([]Kind{Received, Cooked, Sold, Binned, Counted, Lit, PutIn, Out, Done, Lost, Gave, Dropped}).Draw(t, "kind")
		text := ""
		switch kind {
		case Received:
			if text = some(items[:3]); rapid.Bool().Draw(t, "priced") {
				text += fmt.Sprintf(" for %g", amount("paid"))
			}
		case Cooked:
			text = rapid.SampledFrom([]string{"braise x2", "season broth x0.4",
				"braise: 6 kg pork shoulder, 7 L water -> 3 kg pulled shoulder, 5 L shoulder broth",
				"braise x0.3: 2 kg pork shoulder, 1 L soup base -> 0.2 kg braise fat, 0.5 L soup base",
			}).Draw(t, "step")
		case Lit:
			text = rapid.SampledFrom([]string{"braise", "braise x2", "braise: 5 kg pork shoulder", "braise x3: 0 kg pork shoulder"}).Draw(t, "lit")
		case PutIn:
			text = rapid.SampledFrom([]string{"1 kg pork shoulder", "2 L water", "1 each hen"}).Draw(t, "in") + " of braise"
		case Out:
			text = rapid.SampledFrom([]string{"3 kg pulled shoulder", "4.2 L shoulder broth", "0.3 kg braise fat", "0 kg braise fat",
				"1 kg pulled shoulder, 2 L shoulder broth"}).Draw(t, "out") + " of braise"
		case Done:
			text = "braise"
		case Lost:
			text = rapid.SampledFrom([]string{"braise", "30% of braise"}).Draw(t, "lost")
		case Sold, Gave, Dropped:
			text = fmt.Sprintf("%d %s", rapid.IntRange(1, 60).Draw(t, "portions"),
				rapid.SampledFrom([]string{"tacos", "soup"}).Draw(t, "dish"))
		default:
			text = some(items)
		}
		e, err := Parse(k, kind, text)
		if err != nil {
			t.Fatalf("%s: %v", text, err)
		}
		if hour += rapid.IntRange(0, 20).Draw(t, "hours"); kind == Lit {
			e.Batches = max(e.Batches, 1)
			e.Takes = takenByCard(k, k.Graph.Steps[0], e.Batches, e.Takes, byFirst, func(graph.Line) bool { return true })
		}
		if kind == Done && rapid.Bool().Draw(t, "rest") {
			e.Gives = givenByCard(k, k.Graph.Steps[0], 1, nil)
		}
		e.ID, e.At = int64(n+1), tuesday.Add(time.Duration(hour)*time.Hour)
		list = append(list, e)
	}
	return list
}

// Cost in is cost sold, binned, missing and left; the variances add up to the total; and the parts of a period to the
// whole.
func TestBooksBalance(t *testing.T) {
	k := someKitchen(t)
	end := at(40, 0)
	rapid.Check(t, func(r *rapid.T) {
		entries := randomEntries(r, k)
		b := bookOf(t, k, entries, end)
		cut := at(rapid.IntRange(0, 30).Draw(r, "cut"), 0)
		whole, first, second := b.asItWas(tuesday, end), b.asItWas(tuesday, cut), b.asItWas(cut, end)
		const cent = 0.005
		for _, a := range []*AsItWas{whole, first, second} {
			all := a.All
			in := all.Opening + all.Received + all.FirstCounted + all.Found + all.Beyond + all.Uncounted + all.Labour
			out := all.Sold + all.Gave + all.Dropped + all.Binned + all.Missing + all.Lost + all.Left + all.InPots
			assert.InDelta(r, in, out, cent)
			assert.InDelta(r, all.Variance, all.Price+all.Yield+all.Usage, cent)
			var items, left, sold, binned float64
			for _, it := range a.Items {
				items += it.Variance
				left += it.LeftCost
				sold += it.SoldCost
				binned += it.Binned
			}
			assert.InDelta(r, all.Variance, items, cent)
			assert.InDelta(r, all.Left, left, cent)
			assert.InDelta(r, all.Sold, sold, cent)
			assert.InDelta(r, all.Binned, binned, cent)
			// What went out cost its book, and the variances that are not still in what is left.
			went := all.Sold + all.Gave + all.Dropped + all.Binned + all.Missing + all.Lost
			assert.InDelta(r, all.SoldBook+all.GaveBook+all.DroppedBook+all.Variance-all.Held, went-all.Found, cent)
			var used, opening, given float64
			for _, g := range a.Close {
				used += g.Used
				opening += g.Opening
				assert.InDelta(r, g.Used, g.Opening+g.Purchases-g.Closing, cent)
			}
			assert.InDelta(r, went, used, cent, "what the groups used is what went out")
			assert.InDelta(r, all.Opening+all.FirstCounted, opening, cent)
			for _, g := range a.Given {
				given += g.Cost
			}
			assert.InDelta(r, all.Gave, given, cent)
		}
		assert.InDelta(r, whole.All.Sold, first.All.Sold+second.All.Sold, cent)
		assert.InDelta(r, whole.All.Variance, first.All.Variance+second.All.Variance, cent)
		assert.InDelta(r, first.All.Left+first.All.InPots, second.All.Opening, cent)

		// Money changes nothing about amounts, and the lots left carry all of it.
		stock, err := Play(k, entries, end)
		require.NoError(r, err)
		dear := b.till.p.shown()
		require.Len(r, dear.Lots, len(stock.Lots))
		left := 0.0
		for i, l := range dear.Lots {
			left += l.Cost
			l.Cost = 0
			assert.Equal(r, stock.Lots[i], l)
		}
		assert.InDelta(r, whole.All.Left, left, cent)
	})
}

// Asked again, the log book goes on from where it was, and says the same as from the beginning.
func TestBooksGoOn(t *testing.T) {
	k := someKitchen(t)
	file := filepath.Join(t.TempDir(), "kitchen.logbook")
	j := open(t, file)
	shop := typed(t, k, `
		0/07 received 60 kg pork shoulder for 312.40
		0/09 cooked braise x10: 60 kg pork shoulder, 60 L water -> 36 kg pulled shoulder, 45 L shoulder broth
		0/12 sold 3 tacos at lunch
		0/13 binned 200 g pulled shoulder
		0/14 counted 32 kg pulled shoulder`)
	rnd := rand.New(rand.NewPCG(1, 2))
	for day := range 12 {
		for _, e := range shop {
			e.ID, e.At = 0, e.At.AddDate(0, 0, day)
			_, err := j.Append(t.Context(), e)
			require.NoError(t, err)
		}
		if rnd.IntN(3) == 0 { // lies further back
			e := shop[0]
			e.ID = 0
			_, err := j.Append(t.Context(), e)
			require.NoError(t, err)
		}
		if rnd.IntN(3) == 0 {
			_, err := j.Undo(t.Context(), int64(2+day), at(day, 23))
			require.NoError(t, err)
		}
		asOf := at(day+1, 0)
		cold := open(t, file)
		want, err := cold.AsItWas(t.Context(), k, asOf, at(1, 0), asOf)
		require.NoError(t, err)
		got, err := j.AsItWas(t.Context(), k, asOf, at(1, 0), asOf)
		require.NoError(t, err)
		assert.Equal(t, want, got)
		g, err := cold.Forecast(t.Context(), k, asOf, time.Time{})
		require.NoError(t, err)
		f, err := j.Forecast(t.Context(), k, asOf, time.Time{})
		require.NoError(t, err)
		assert.Equal(t, g, f)
	}
}

// BenchmarkBooks asks for costs and forecast after a million entries, seven hundred a day: the first time, and
// again after each that is added.
func BenchmarkBooks(b *testing.B) {
	const entries = 1_000_000
	file := filepath.Join(b.TempDir(), "kitchen.logbook")
	j := open(b, file)
	list := many(b, entries)
	for i := range list {
		list[i].At = tuesday.AddDate(0, 0, i/700).Add(time.Duration(7+i%700/60) * time.Hour)
	}
	_, err := j.Append(b.Context(), list...)
	require.NoError(b, err)
	k := someKitchen(b)
	later := tuesday.AddDate(5, 0, 0)
	ask := func(j *Book) {
		_, err := j.AsItWas(b.Context(), k, later, later.AddDate(0, 0, -30), later)
		require.NoError(b, err)
		_, err = j.Forecast(b.Context(), k, later, time.Time{})
		require.NoError(b, err)
	}
	b.Run("first", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			ask(open(b, file))
		}
		b.ReportMetric(entries*float64(b.N)/b.Elapsed().Seconds(), "entries/s")
	})
	b.Run("again", func(b *testing.B) {
		one := many(b, 1)
		one[0].At = later
		ask(j)
		for b.Loop() {
			_, err := j.Append(b.Context(), one...)
			require.NoError(b, err)
			ask(j)
		}
	})
}
