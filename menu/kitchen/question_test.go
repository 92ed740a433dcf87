package kitchen

import (
	"fmt"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/graph/flow"
	"kettletree/graph/measure"
)

func readOpen(t *testing.T, src string) *Kitchen {
	t.Helper()
	k, faults := Read("kitchen.yaml", []byte(src))
	require.NoError(t, faults.Err())
	return k
}

// asked is what a kitchen leaves open about something.
func (k *Kitchen) asked(t *testing.T, of, what string) Question {
	t.Helper()
	for _, q := range k.Questions {
		if q.Of == of && q.What == what {
			return q
		}
	}
	require.Fail(t, "not asked", "%s of %s in %+v", what, of, k.Questions)
	return Question{}
}

func TestNothingIsOpenInAWholeKitchen(t *testing.T) {
	k := readOpen(t, `
bought: {water: {price: 0/L, density: 1 kg/L, allergens: []}, pork: {price: 4/kg, allergens: []}}
steps: {boil: {takes: [5 kg pork, 9 L water], gives: [8 L broth, 2 kg meat], batches: {tue: 1}}}
made: {broth: {keeps: 3 days, density: 1 kg/L}, meat: {keeps: 3 days}}
dishes: {soup: {price: 6, takes: [300 mL broth, 80 g meat], sells: 9}}`)
	assert.Empty(t, k.Questions)
	assert.Empty(t, k.RestsOn(true))
}

// Densities that stand in are those of the table that the examples are held against: USDA SR28, see waters.
func TestDensityStandsIn(t *testing.T) {
	for name, want := range map[string]float64{"kettle stock": 1.01, "fish stock": 0.985, "chile oil": 0.92, "milk": 1.03, "hen broths": 1.01, "glaze": 1,
		"stockings": 1} {
		k := readOpen(t, fmt.Sprintf(`
bought: {pork: {price: 4/kg}}
steps: {boil: {takes: [9 kg pork], gives: [8 L %s, 2 kg meat], batches: {tue: 1}}}
dishes: {soup: {price: 6, takes: [300 g %[1]s, 80 g meat], sells: 9}}`, name))
		i, err := k.FindItem(name)
		require.NoError(t, err)
		assert.Equal(t, want, k.Graph.Items[i].Density, name)
		q := k.asked(t, name, "density")
		assert.True(t, q.Amounts, "300 g of it are so many millilitres")
		assert.Equal(t, measure.FormatNumber(want)+" kg/L", q.Proposal)
	}
}

// Only money rests on a density by which nothing but the bill is shared.
func TestDensityOfABillAlone(t *testing.T) {
	k := readOpen(t, `
bought: {pork: {price: 4/kg}}
steps: {boil: {takes: [9 kg pork], gives: [5 L stock, 2 kg meat], batches: {tue: 1}}}
made: {stock: {keeps: 3 days}, meat: {keeps: 3 days}}
dishes: {soup: {price: 6, takes: [300 mL stock, 80 g meat], sells: 9}}`)
	assert.Equal(t, "this rests on guesses: a litre of stock counts as 1.01 kg", k.RestsOn(true))
	assert.Empty(t, k.RestsOn(false))
}

// A bill that no weight shares falls on the first thing that a step gives, as open as anything.
func TestShareOfWhatHasNoWeight(t *testing.T) {
	k := readOpen(t, `
bought: {pig: {price: 400/each}}
steps: {split: {takes: [1 each pig], gives: [2 each ham, 30 kg meat], batches: {tue: 1}}}
dishes: {roast: {price: 9, takes: [200 g meat], sells: 9}}`)
	assert.Equal(t, flow.ByMain, k.Terms.Share[0])
	assert.Equal(t, "all of it on ham", k.asked(t, "split", "share").Counted)
}

// Yields that nobody weighed: by USDA SR28 where a row fits what goes in and what comes out, see yields.
func TestYieldStandsIn(t *testing.T) {
	for _, c := range []struct {
		in, out string
		want    float64 // grams of 10 kg
		basis   string
	}{
		{"stewing hen", "pulled hen", 3020, "USDA SR28 05126: meat of a stewing hen, stewed"},
		{"chicken", "poached chicken meat", 3460, "USDA SR28 05014: meat of a broiler, stewed"},
		{"brisket", "braised brisket", 6920, "USDA SR28 13367: brisket, braised"},
		{"beef shank", "shank meat", 5000, "50% of the beef shank: common practice, no source"},
		{"kitchen scraps", "meat", 5000, "50% of the kitchen scraps: common practice, no source"},
	} {
		k := readOpen(t, fmt.Sprintf(`
bought: {water: {price: 0/L}, %s: {price: 4/kg}}
steps: {boil: {takes: [10 kg %[1]s, 20 L water], gives: [some L stock, some kg %s], batches: {tue: 1}}}`, c.in, c.out))
		assert.InDelta(t, c.want, k.Graph.Steps[0].Gives[1].Amount, 1e-9, c.out)
		assert.Equal(t, c.basis, k.asked(t, c.out, "yield").Basis)
		assert.InDelta(t, 16_000, k.Graph.Steps[0].Gives[0].Amount, 1e-9, "four fifths of the water")
	}
}

// A yield that was not weighed is written into the file when it is: the word gives way to the number.
func TestAmendUnweighed(t *testing.T) {
	src := []byte(`
bought: {water: {price: 0/L}, hen: {price: 4/kg}}
steps:
  boil:
    takes: [10 kg hen, 20 L water]
    gives:
      - some L stock, out at 3 h   # by the mark on the pot
      - some kg pulled hen         # picked warm
    batches: {tue: 1}
`)
	k := readOpen(t, string(src))
	text, err := k.Amend(src, Figure{0, 0, 15500, 0}, Figure{0, 1, 3100, 120})
	require.NoError(t, err)
	assert.Contains(t, string(text), "      - 15.5 L stock, out at 3 h   # by the mark on the pot\n")
	assert.Contains(t, string(text), "3.1 kg pulled hen ± 0.12 kg")
}

func TestForecastStandsIn(t *testing.T) {
	const head = `
open: tue-sat
services: {lunch: 12:00-14:00, dinner: 18:00-21:00}
bought: {pork: {price: 4/kg}}
steps: {boil: {takes: [90 kg pork], gives: [40 L stock, 20 kg meat], batches: {tue: 2, fri: 1}}}
dishes:
  soup: {price: 6, takes: [300 mL stock]}
`
	k := readOpen(t, head+"  bowl: {price: 9, takes: [500 mL stock, 80 g meat]}\n")
	// Three batches of 40 L for ten services: 12 L each, of which a soup and a bowl take 0.8 L together.
	assert.Equal(t, "15", k.asked(t, "soup", "forecast").Proposal)
	assert.Equal(t, 15, k.Dishes[1].Sells[2][1])
	assert.Equal(t, 0, k.Dishes[1].Sells[1][1], "closed on Mondays")

	k = readOpen(t, head+"  bowl: {price: 9, takes: [500 mL stock, 80 g meat], sells: 8}\n")
	assert.Nil(t, k.Dishes[0].Sells[2], "where one dish has a forecast, the others sell what they say: nothing")
	assert.Equal(t, "none", k.asked(t, "soup", "forecast").Counted)
}

func TestFree(t *testing.T) {
	k := readOpen(t, "bought: {water: {price: 0/L}, shank: {}, salt: {price: 1/kg}, marrow: {keeps: 2 days}}\n"+
		"dishes: {bowl: {takes: [300 mL water, 200 g shank, 1 g salt, 2 lb marrow]}}")
	for i, want := range []bool{true, false, false, false} {
		assert.Equal(t, want, k.Free(i), k.Graph.Items[i].Name)
	}
	assert.Equal(t, "kg", k.Graph.Items[1].Unit.Name)
	assert.Equal(t, "lb", k.Graph.Items[3].Unit.Name)
}

// Guesses are told in the words of what they are about.
func TestGuessesAreAsked(t *testing.T) {
	k := readOpen(t, `
bought:
  water: {price: 0/L, density: 1 kg/L, allergens: []}
  hen:   {price: 9/each, each: 1.9 kg, pack: 6 each, allergens: [], guessed: [price, each, pack]}
vessels: {kettle: {holds: 60 L, guessed: holds}}
steps:
  boil: {vessel: kettle, takes: ["9 each hen, guessed", 30 L water], gives: [30 L stock], batches: {tue: 1}, starts: "08:00", costs: 5, guessed: [batches, starts, costs]}
made: {stock: {keeps: 4 days, worth: 2/L, density: 1.01 kg/L, guessed: [keeps, worth, density]}}
dishes: {soup: {price: 6, takes: [300 mL stock], sells: {service: 9}, guessed: [price, sells]}}`)
	var asks []string
	for _, q := range k.Questions {
		asks = append(asks, q.Asks)
		assert.True(t, q.Guessed)
		assert.NotEmpty(t, q.Matters, q.Asks)
	}
	assert.Equal(t, []string{"Is the price of hen 9/each?", "Hen: does one come to 1.9 kg?", "Is 6 each the smallest amount of hen that is sold?", "Is 60 L the most that the kettle can hold?",
		"Is it 9 each hen that goes into boil?", "Is this how often a batch of boil is made: {tue: 1}?", "Does a batch of boil start at 08:00?", "Do labour and fuel for a batch of boil cost 5?",
		"Can stock be kept 4 days?", "Would stock cost 2/L if bought in?", "Is the weight of stock 1.01 kg/L?", "Does a portion of soup sell for 6?",
		"Will soup sell {service: 9}?"}, asks)
}

// What a file says is not known yet is asked for; no hour stands in for it.
func TestHoursAreAsked(t *testing.T) {
	k := readOpen(t, `
bought: {pork: {}}
steps: {boil: {starts: some time, takes: [90 kg pork], gives: ["40 L stock, out at some time", "20 kg meat, out at some time"], batches: {tue: 2}}}
dishes: {soup: {price: 6, takes: [300 mL stock], sells: 9}}`)
	assert.Equal(t, Unsaid{Start: true, Out: true}, k.Steps[0].Unsaid)
	assert.Equal(t, "When does a batch of boil start?", k.asked(t, "boil", "starts").Asks)
	assert.Equal(t, "After how many hours can you take stock and meat out of boil?", k.asked(t, "boil", "ends").Asks)
	assert.Equal(t, "UNKNOWN, and guests hear that", k.asked(t, "pork", "allergens").Counted)
	assert.Contains(t, k.RestsOn(false), "the start of boil is not said")
	assert.Contains(t, k.asked(t, "stock", "keeps").Counted, "its label says 7 days all the same")

	k = readOpen(t, "kitchen: Nothing Yet")
	assert.Equal(t, "What is bought, cooked and sold?", k.asked(t, "Nothing Yet", "dishes").Asks)
}

// A question fits any name, be it of one or of many: "What does one onions cost?" is no English.
func TestQuestionsFitAnyName(t *testing.T) {
	k := readOpen(t, `
bought:
  onions: {}
  lemons: {price: 1/each, each: 90 g, guessed: [price, each]}
steps:
  pickles: {takes: [10 each onions, "9 each lemons, guessed"], gives: [some kg pickled onions, "2 kg preserved lemons, out at some time"], starts: some time}
dishes:
  tacos: {takes: [40 g pickled onions]}
  plates: {takes: [40 g preserved lemons], price: 9, sells: 4, guessed: sells}
`)
	of := regexp.MustCompile(`\b([Dd]oes|[Ii]s|are|one) (onions|lemons|pickles|pickled onions|preserved lemons|tacos|plates)\b`)
	for _, q := range k.Questions {
		assert.NotRegexp(t, of, q.Asks)
		assert.NotRegexp(t, of, q.note())
	}
	assert.Equal(t, "Onions: what does one cost?", k.asked(t, "onions", "price").Asks)
	assert.Equal(t, "How long can pickled onions be kept?", k.asked(t, "pickled onions", "keeps").Asks)
}

// What stands in for a price is said to stand in: it is one figure, and no price.
func TestStandInPrice(t *testing.T) {
	k := readOpen(t, "bought: {beans: {price: 2/kg}}\ndishes: {bowl: {takes: [90 g beans]}}\n")
	assert.Equal(t, "10.00, a stand-in as long as no dish has a price", k.asked(t, "bowl", "price").Counted)
	assert.Contains(t, k.RestsOn(true), "no price for bowl, 10.00 stands in")
	assert.True(t, k.Dishes[0].Unpriced)
	k = readOpen(t, "bought: {beans: {price: 2/kg}}\ndishes: {bowl: {takes: [90 g beans]}, cup: {takes: [40 g beans], price: 6}}\n")
	assert.Equal(t, "6.00, a stand-in: the mean of the dishes that have a price", k.asked(t, "bowl", "price").Counted)
	assert.False(t, k.Dishes[1].Unpriced)
}

// What goes in raw, and whether it is cooked through: asked where check asks, once, at the step before which nothing is unsaid.
func TestHeatIsAsked(t *testing.T) {
	const src = `
bought: {tripe: {raw: yes}, hen: {raw: yes}, egg: {raw: yes, price: 0.3/each}, roll: {}}
steps:
  pot: {takes: [9 kg tripe, 3 kg hen], gives: [6 L broth, 5 kg boiled tripe], batches: {tue: 1}%s}
  press: {takes: [2 kg boiled tripe], gives: [2 kg terrine]}
dishes:
  soup: {takes: [300 mL broth, 1 each roll]}
  slice: {takes: [100 g terrine]}
  egg cup: {takes: [1 each egg, 200 mL broth]}
  fried slice: {takes: [100 g terrine], cooks through: yes}
`
	heat := func(k *Kitchen) (asks, matters []string) {
		for _, q := range k.Questions {
			if q.What == "cooks through" {
				asks, matters = append(asks, q.Asks), append(matters, q.Matters)
				assert.Empty(t, q.Proposal, "nobody guesses at that")
				assert.Equal(t, []string{"yes", "no"}, q.Words)
			}
		}
		return asks, matters
	}
	warned := func(text string) (of []string) {
		_, faults := Read("kitchen.yaml", []byte(text))
		for _, f := range faults {
			if f.ID == "raw-or-cooked" {
				of = append(of, f.Msg)
			}
		}
		return of
	}
	unsaid := fmt.Sprintf(src, "")
	k := readOpen(t, unsaid)
	asks, matters := heat(k)
	assert.Equal(t, []string{"Does a batch of pot cook tripe and hen through?", "Do you serve egg cup with egg cooked through?"}, asks)
	assert.Equal(t, []string{"the day from which date marks run, and what counts as raw in soup, slice and egg cup", "what counts as raw in egg cup"}, matters)
	assert.Equal(t, []string{`"pot" takes "tripe" and "hen", which are raw, and does not say whether it cooks through`,
		`"egg cup" takes "egg", which is raw, and does not say whether it cooks through`}, warned(unsaid))

	// The answer is written behind the file's own key. "no" leaves the next step to be asked.
	for word, want := range map[string][]string{
		"yes": {"Do you serve egg cup with egg cooked through?"},
		"no":  {"Does a batch of press cook boiled tripe through?", "Do you serve soup with broth cooked through?", "Do you serve egg cup with egg and broth cooked through?"},
	} {
		edits := k.asked(t, "pot", "cooks through").Answer(word, false)
		assert.Equal(t, "pot, cooks through: "+word, edits[0].Says)
		text, err := Change("kitchen.yaml", []byte(unsaid), edits...)
		require.NoError(t, err)
		assert.Equal(t, fmt.Sprintf(src, ", cooks through: "+word), string(text))
		asks, _ = heat(readOpen(t, string(text)))
		assert.ElementsMatch(t, want, asks)
		assert.Len(t, warned(string(text)), len(want))
	}
}
