package week_test

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

const bonePot = `
kitchen: Bones
open: mon-wed
services: {lunch: 12:00-14:00}
bought:
  water: {price: 0/L, density: 1 kg/L}
  neck bones: {price: 3/kg, keeps: 5 days, allergens: []}
  back bones: {price: 2/kg, keeps: 3 days, allergens: [celery]}
steps:
  boil:
    starts: "06:00"
    takes: [8 L water, either 4 kg neck bones or 4 kg back bones]
    gives: ["10 L stock, out at 4 h"]
    batches: {mon: 1, tue: 1}
made: {stock: {keeps: 4 days, density: 1 kg/L}}
dishes:
  soup:  {price: 5, takes: [1 L stock], sells: 5}
  knuckle plate: {price: 9, takes: [either 500 g neck bones or 400 g back bones], sells: 2}
`

// used is how much of an item all work took, in grams.
func used(p *week.Played, w *week.Week, name string) (grams float64) {
	item, err := w.FindItem(name)
	if err != nil {
		panic(err)
	}
	for s, st := range w.Graph.Steps {
		for l, line := range st.Takes {
			for c := range line.Choices {
				if line.Choices[c].Item == item {
					grams += p.Outcome.Used[p.Case.Flow.Choice(s, l, c)]
				}
			}
		}
	}
	return grams
}

// What the cook does not mind goes by what is on hand, of that by what must be used first, then by price; what is bought for less
// now goes before. None of it is off the card, and a plate is costed by the cheapest.
func TestEitherIsWhatThereIsThenTheCheapest(t *testing.T) {
	const batches, plates = 8000, 6.0
	for name, c := range map[string]struct {
		onHand     string
		shocks     []string
		neck, back float64
	}{
		"the cheaper":                       {"", nil, 0, batches + plates*400},
		"the cheaper once its price is":     {"", []string{"price back bones=4/kg"}, batches + plates*500, 0},
		"what is on hand, and no more":      {"neck bones,3 kg,2026-11-23\n", nil, 3000, batches - 3000 + plates*400},
		"what must be used first":           {"neck bones,20 kg,2026-11-22\nback bones,4 kg,2026-11-21\n", nil, batches - 4000 + plates*500, 4000},
		"what can be had":                   {"", []string{"short back bones=100%"}, batches + plates*500, 0},
		"for a dish too, a portion at once": {"neck bones,4.75 kg,2026-11-23\n", nil, 4750, 4000 + (plates-1.5)*400},
	} {
		t.Run(name, func(t *testing.T) {
			w := weektest.Stocked(t, bonePot, "item,quantity,made\n"+c.onHand, week.Period{From: weektest.Monday, Days: 3})
			p, err := w.Play(t.Context(), weektest.Shocks(t, w, c.shocks...)...)
			require.NoError(t, err)
			assert.InDelta(t, c.neck, used(p, w, "neck bones"), 1e-6, "neck bones")
			assert.InDelta(t, c.back, used(p, w, "back bones"), 1e-6, "back bones")
			assert.Equal(t, 21.0, p.Books.Portions)
			assert.Empty(t, p.Record.Departs)
			for _, e := range p.Record.Entries {
				assert.False(t, e.Substitute)
			}
			kept, err := w.ToTheCard(week.Card{All: true})
			require.NoError(t, err)
			same, err := kept.Play(t.Context(), weektest.Shocks(t, w, c.shocks...)...)
			require.NoError(t, err)
			assert.InDelta(t, p.Books.Contribution, same.Books.Contribution, 1e-6, "a card is kept to with any of them")
			if len(c.shocks) == 0 {
				assert.InDelta(t, 0.4*2, p.Costing.Unit[w.Kitchen.Dishes[1].Item], 1e-9)
			}
		})
	}
}

// What is made and has no worth counts at what it costs: 8/10 a litre of broth, 8/10/10 more a litre of soup base, beside cartons at
// what they are bought at. A worth goes before that; and a base of base is costed by what its own line then takes.
func TestEitherOfMadeAndBoughtGoesByCost(t *testing.T) {
	const shop = `
kitchen: Cartons
open: mon-wed
services: {lunch: 12:00-14:00}
bought:
  water: {price: 0/L, density: 1 kg/L}
  bones: {price: 2/kg, keeps: 5 days}
  carton broth: {price: CARTON/L, density: 1 kg/L}
  carton base: {price: 0.88/L, density: 1 kg/L}
steps:
  boil: {takes: [8 L water, 4 kg bones], gives: [10 L broth], batches: to order}
  season: {takes: [either 10 L broth or 10 L carton broth], gives: [10 L base], batches: to order, costs: 1}
made: {broth: {density: 1 kg/L WORTH}, base: {density: 1 kg/L}}
dishes:
  soup:  {price: 5, takes: [either 1 L base or 1 L carton base], sells: 5}
`
	for name, c := range map[string]struct {
		carton, worth string
		shocks        []string
		cost          float64
		takes         string
	}{
		"cartons of base are cheapest":  {"0.85", "", nil, 0.88, "carton base"},
		"made of broth once bones fall": {"0.85", "", []string{"price bones=1.50/kg"}, 0.7, "bones"},
		"made of cartons of broth":      {"0.70", "", nil, 0.8, "carton broth"},
		"by its worth, made of cartons": {"0.70", ", worth: 0.75/L", nil, 0.8, "carton broth"},
		"by its worth, made of broth":   {"0.70", ", worth: 0.50/L", []string{"price bones=1/kg"}, 0.5, "bones"},
	} {
		t.Run(name, func(t *testing.T) {
			text := strings.NewReplacer("CARTON", c.carton, " WORTH", c.worth).Replace(shop)
			w := weektest.Stocked(t, text, "item,quantity,made\n", week.Period{From: weektest.Monday, Days: 1})
			p, err := w.Play(t.Context(), weektest.Shocks(t, w, c.shocks...)...)
			require.NoError(t, err)
			assert.InDelta(t, c.cost, p.Costing.Unit[w.Kitchen.Dishes[0].Item], 1e-9)
			assert.Positive(t, used(p, w, c.takes))
			assert.InDelta(t, 5*(5-c.cost), p.Books.Contribution, 1e-6, "it goes as it is costed")
		})
	}
}

// As substitutes in any order, what the cook does not mind changes nothing of what is there in all: nothing is overdrawn, work is
// filled in full, and a fork is the walk from the beginning.
func TestEitherInAnyKitchen(t *testing.T) {
	plain := regexp.MustCompile(`"([0-9.]+ k?g [a-z0-9]+ or [^",]+)((?:, (?:optional|to taste|give or take [0-9]+%))?")`) // what is not one yet
	rapid.Check(t, func(t *rapid.T) {
		_, text := weektest.WildWeek(t)
		text, onHand, _ := cutOnHand(text)
		text = plain.ReplaceAllString(text, `"either $1$2`)
		k, faults := kitchen.Read("kitchen.yaml", []byte(text))
		require.NotNil(t, k, "%v\n%s", faults, text)
		p := week.Period{From: weektest.Monday, Days: rapid.IntRange(1, 4).Draw(t, "days")}
		p.OnHand, _ = kitchen.ReadOnHand("on-hand.csv", []byte(onHand), k, p.From)
		w, err := week.Over(k, p)
		require.NoError(t, err)
		rec := &flow.Record{Movements: true}
		o := w.Case.Flow.Walk(w.Case.Schedule, flow.Fair, rec)
		for i, it := range w.Graph.Items {
			if it.Role == graph.Sold {
				continue
			}
			in := o.Opening[i] + o.Made[i] + o.Delivered(i)
			out := o.Left[i] + o.Binned[i]
			for s, st := range w.Graph.Steps {
				for l, line := range st.Takes {
					for c, choice := range line.Choices {
						if choice.Item == i {
							out += o.Used[w.Case.Flow.Choice(s, l, c)]
						}
					}
				}
			}
			require.InDelta(t, in, out, 1e-6*(1+in), "%s\n%s", it.Name, text)
		}
		for s, st := range w.Graph.Steps { // what is made has all that its cards ask for
			for l, line := range st.Takes {
				if line.Optional || line.Without > 0 || line.Carried {
					continue
				}
				filled := 0.0
				for c, choice := range line.Choices {
					filled += o.Used[w.Case.Flow.Choice(s, l, c)] / choice.Amount
				}
				require.InDelta(t, o.Batches[s], filled, 1e-6*(1+filled), "%s\n%s", st.Name, text)
			}
		}
		// The same whatever is walked before, and as a fork of the week without a shock.
		shocks := []flow.Shock{flow.Reprice{Item: 1, Price: 0.004}, flow.Scarce{Item: rapid.IntRange(0, len(k.Bought)-1).Draw(t, "short"), Day: 0, Share: 1}}
		from := rapid.IntRange(0, 1).Draw(t, "from")
		shocks = shocks[from:rapid.IntRange(from+1, 2).Draw(t, "to")]
		c := w.Case.With(shocks...)
		trunk := flow.NewTrunk(w.Case, flow.Fair, false)
		whole := c.Flow.Walk(c.Schedule, flow.Fair, nil)
		fork := flow.NewWalker(c.Flow).Fork(trunk, c, nil)
		require.InDeltaSlice(t, whole.Served, fork.Served, 1e-6, "%+v\n%s", shocks, text)
		require.InDeltaSlice(t, whole.Left, fork.Left, 1e-3, "%+v\n%s", shocks, text)
		again := c.Flow.Walk(c.Schedule, flow.Fair, nil)
		require.True(t, slices.Equal(whole.Used, again.Used))
	})
}

// cutOnHand parts the text of a drawn week into its kitchen file and its list of what is on hand.
func cutOnHand(text string) (file, onHand string, found bool) {
	at := regexp.MustCompile(`(?m)^item,quantity,made$`).FindStringIndex(text)
	if at == nil {
		return text, "item,quantity,made\n", false
	}
	return text[:at[0]], text[at[0]:], true
}

// Two that cost the same to make go as they are written, whatever the sums round to: of 6 of paunch and some labour come 6 kg of tripe; 6
// more and as much labour again make seven of one of them.
func TestEqualCostsGoAsTheyAreWritten(t *testing.T) {
	for labour := range 20 {
		w := weektest.SmallDays(t, fmt.Sprintf(`
kitchen: Offal Counter
services: {lunch: 12:00-14:00}
bought: {paunch: {price: 1/kg}, water: {price: 0/kg}}
steps:
  scald: {takes: [6 kg paunch], gives: [6 kg tripe], costs: %d, batches: {mon: 1}}
  press: {takes: [1 kg tripe, 6 kg water], gives: [7 kg tongue], costs: %d, batches: {mon: 1}}
made: {tripe: {keeps: 1 day}, tongue: {keeps: 1 day}}
dishes:
  plate: {price: 9, takes: [either 200 g tripe or 200 g tongue], sells: {mon: 20}}
  board: {price: 9, takes: [either 200 g tongue or 200 g tripe], sells: {mon: 20}}
`, labour, labour+6), 1)
		assert.InDelta(t, 5000, used(played(t, w), w, "tripe"), 1e-6, "20 plates, and the kilo that is pressed, at %d", labour)
		assert.InDelta(t, 4000, used(played(t, w), w, "tongue"), 1e-6)
	}
}

// Trout trimmed to order gives skin beside. Of the fillet that the first rank takes nothing is left but the dust of a sum, and that is not
// on hand: so the next rank takes the skin.
func TestDustOfASumIsNotOnHand(t *testing.T) {
	for plates := 1; plates <= 30; plates++ {
		w := weektest.SmallDays(t, fmt.Sprintf(`
kitchen: Smokery
open: mon-sun
services: {lunch: 12:00-14:00}
bought:
  trout: {price: 3/kg}
  brine: {price: 0/kg}
steps:
  trim: {takes: [5 kg trout, 6 kg brine], gives: [6 kg skin, 5 kg fillet], batches: to order}
  cure: {takes: [either 2 kg skin or 1 kg fillet or 1 kg trout], gives: [1 kg cured], batches: to order}
made:
  skin:   {keeps: 1 day, worth: 2/kg}
  fillet: {keeps: 1 day, worth: 2/kg}
  cured:  {keeps: 4 days}
dishes:
  cured plate: {price: 5, takes: [400 g cured], sells: %d, rank: 1}
  cured bite:  {price: 5, takes: [200 g cured], sells: 1}
`, plates), 1).By(week.First)
		p, err := w.Play(t.Context())
		require.NoError(t, err)
		assert.InDelta(t, 400*float64(plates), used(p, w, "fillet"), 1e-3, "%d plates", plates)
		assert.InDelta(t, 400, used(p, w, "skin"), 1e-3, "%d plates", plates)
	}
}

// A dish is made of whey as long as that is there, and of milk then. That another, which takes neither, runs out half way is no moment
// at which its cook looks again.
func TestWhatAnotherDishRunsOutOfChangesNoChoice(t *testing.T) {
	creamery := `
kitchen: Creamery
open: mon-sun
services: {lunch: 12:00-14:00}
bought:
  milk: {price: 0/kg}
  bread: {price: 1/kg, arrives: tue}
steps:
  set curd: {takes: [2 kg milk], gives: [1 kg curd, 1 kg whey], batches: to order}
dishes:
  cheese plate: {price: 5, takes: [either 100 g curd or 100 g whey], sells: 4}
  toast:        {price: 5, takes: [100 g bread], sells: 6}
`
	for _, bread := range []string{"0.3", "0.6", "5"} { // none of it is short with the last
		w := weektest.Stocked(t, creamery, "item,quantity,made\nbread,"+bread+" kg,2026-11-23\n", week.Period{From: weektest.Monday, Days: 1})
		p, err := w.Play(t.Context())
		require.NoError(t, err)
		assert.InDelta(t, 400, used(p, w, "curd"), 1e-3, "%s kg of bread", bread)
		assert.InDelta(t, 0, used(p, w, "whey"), 1e-3, "%s kg of bread", bread)
	}
}

// Counted by hand. Of 250 g mussels, bisque and pot have 125 g each for 1.25 portions; then the mussels are gone, the other 0.75 bisque is
// made with cockles, and the pot, which needs mussels, is whole at one: 25 g are over, too little for 75 g. Of 400 g white crab there
// are 25 g for the second part, which asks for 75 g of it for the bisque and 150 g for the salad: 200 g more, of 400 g of the chilled crab,
// for no live one is to be had. Brown crab comes beside, and the bisque is as good with that: made again, after the salad, its 0.75 takes
// 75 g of it, and the salad asks for 125 g white, of 250 g crab. So less goes off the crab's first choice, though the cockles stay.
func TestAPortionMadeAgainSparesASubstituteBehindIt(t *testing.T) {
	const house = `
kitchen: Crab
open: mon
services: {lunch: 12:00-14:00}
bought:
  live crab: {price: 9/kg, arrives: fri, keeps: 1 day}
  chilled crab: {price: 8/kg}
  cockles: {price: 6/kg}
  mussels: {price: 5/kg, arrives: fri, keeps: 7 days}
steps:
  pick: {takes: [2 kg live crab or 2 kg chilled crab], gives: [1 kg white crab, 1 kg brown crab], batches: to order}
made: {white crab: {keeps: 2 days, worth: 1/kg}, brown crab: {keeps: 2 days, worth: 2/kg}}
dishes:
  bisque: {price: 12, takes: [100 g mussels or 100 g cockles, either 100 g white crab or 100 g brown crab], sells: 2}
  salad: {price: 11, takes: [100 g white crab], sells: 4}
  pot: {price: 10, takes: [100 g mussels], sells: 2}
`
	w := weektest.Stocked(t, house, "item,quantity,made\nmussels,250 g,2026-11-23\nwhite crab,400 g,2026-11-23\n", week.Period{From: weektest.Monday, Days: 1})
	p, err := w.Play(t.Context())
	require.NoError(t, err)
	assert.Equal(t, []float64{2, 4, 1}, p.Outcome.Served)
	for name, grams := range map[string]float64{"mussels": 225, "cockles": 75, "live crab": 0, "chilled crab": 250, "white crab": 525, "brown crab": 75} {
		assert.InDelta(t, grams, used(p, w, name), 1e-6, name)
	}
	brown, err := w.FindItem("brown crab")
	require.NoError(t, err)
	assert.InDelta(t, 50, p.Outcome.Left[brown], 1e-6)
	assertSame(t, p, layOut(w.Kitchen, w.Period, false), layOut(w.Kitchen, w.Period, false).play(), "crab")
}

// Counted by hand. Of 200 g stock for Tuesday's plates 58 g are boiled of the bones there are; 142 g are of a pack of 500 g of Monday's.
// What is over, 358 g, is all of that pack, so none of it outlives Tuesday, though some stock was boiled that day.
func TestWhatIsOverOfAPackIsOfItsDayBesideWhatIsMade(t *testing.T) {
	w := weektest.Stocked(t, `
kitchen: Broth
open: tue-wed
services: {lunch: 12:00-14:00}
bought:
  bones: {price: 1/kg, arrives: fri, keeps: 7 days}
steps:
  boil: {takes: [1 kg bones], gives: [1 kg stock], batches: to order}
made: {stock: {keeps: 2 days}}
dishes:
  plate: {price: 5, takes: [100 g stock], sells: 2}
`, "item,quantity,made\nbones,58 g,2026-11-23\n", week.Period{From: weektest.Monday, Days: 2})
	stock, err := w.FindItem("stock")
	require.NoError(t, err)
	p, err := w.PlayCase(t.Context(), w.Case.With(flow.Offer{Item: stock, Days: []bool{true, false}, Pack: 500}), nil)
	require.NoError(t, err)
	assert.InDelta(t, 58, used(p, w, "bones"), 1e-6)
	assert.InDelta(t, 358, p.Outcome.Binned[stock], 1e-6)
	assert.InDelta(t, 0, p.Outcome.Left[stock], 1e-6)
}
