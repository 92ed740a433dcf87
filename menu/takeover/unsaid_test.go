package takeover

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/ask"
	"kettletree/menu/kitchen"
)

const toastShop = `kitchen: Corner
bought:
  butter: {price: 9/kg, allergens: [milk]}
  flour: {price: 1/kg, allergens: [wheat, gluten]}
  water: {price: 0/L}
dishes:
  toast: {price: 6, takes: [20 g butter, 60 g flour, 10 mL water]}
`

// allergensOf are those of a dish, as the file states them.
func allergensOf(t *testing.T, text, dish string) (has []string) {
	k, faults := kitchen.Read("kitchen.yaml", []byte(text))
	require.NotNil(t, k, "%v", faults)
	for _, d := range ask.Allergens(k).Dishes {
		if d.Name == dish {
			for _, w := range d.Allergens {
				has = append(has, w.Allergen)
			}
		}
	}
	return has
}

// Issue 17: "some" in the place of an amount deleted the flour, and with it the gluten, from a card that had both.
func TestNoAmountTakesNothingOffACard(t *testing.T) {
	for _, amount := range []string{"some,g", "a few,", ",", "0,g", "2,case", "2,each", "-1 kg,", "to taste,"} {
		taking, text := taken(t, toastShop, "c.csv", []byte("dish,ingredient,amount,unit\ntoast,butter,25,g\ntoast,flour,"+amount+"\n"), Manner{})
		assert.Contains(t, text, "takes: [25 g butter, 60 g flour]", amount)
		assert.Equal(t, allergensOf(t, toastShop, "toast"), allergensOf(t, text, "toast"), amount)
		require.Len(t, taking.Unsaid, 1, "%s %v", amount, taking.Left)
		assert.Equal(t, "60 g flour", taking.Unsaid[0].Line, amount)
	}
	twice := strings.Replace(toastShop, "60 g flour", "60 g flour, 5 g flour", 1)
	_, text := taken(t, twice, "c.csv", []byte("dish,ingredient,amount,unit\ntoast,butter,25,g\ntoast,flour,some,g\n"), Manner{})
	assert.Contains(t, text, "takes: [25 g butter, 60 g flour, 5 g flour]", "all lines of it stay")
}

// What goes in without an amount goes in: its allergens count, and its amount is an open question, until somebody says it.
func TestLinesWithoutAnAmount(t *testing.T) {
	src := strings.Replace(toastShop, "  water", "  soy sauce: {price: 4/L, allergens: [soy]}\n  water", 1)
	file := "dish,ingredient,amount,unit\nnoodle salad,noodles,120,g\n,soy sauce,to taste,\n,peanuts,,\n,\"flour, to taste\",,\n,lamb,some,kg\n,noodles,a few,\n"
	taking, text := taken(t, src, "c.csv", []byte(file), Manner{})
	assert.Contains(t, text, "  noodle salad: {takes: [120 g noodles, some mL soy sauce, some g peanuts, some g flour, some kg lamb]}\n")
	assert.Empty(t, taking.Left)
	assert.Len(t, taking.Unsaid, 5)
	assert.Subset(t, allergensOf(t, text, "noodle salad"), []string{"soy", "wheat"})
	k, _ := kitchen.Read("kitchen.yaml", []byte(text))
	var asks []string
	for _, q := range k.Questions {
		if q.What == "amount" {
			asks = append(asks, q.Asks+" "+q.Counted)
		}
	}
	assert.Equal(t, []string{"How much soy sauce goes into noodle salad? 1 mL", "How much peanuts goes into noodle salad? 1 g", "How much flour goes into noodle salad? 1 g",
		"How much lamb goes into noodle salad? 1 kg"}, asks)
	again, same := taken(t, text, "c.csv", []byte(file), Manner{})
	assert.Equal(t, text, same)
	assert.Equal(t, []string{"120 g noodles", "some mL soy sauce"}, []string{again.Unsaid[0].Line, again.Unsaid[1].Line})
	_, said := taken(t, text, "c.csv", []byte(strings.Replace(file, "soy sauce,to taste,", "soy sauce,1,mL", 1)), Manner{})
	assert.Contains(t, said, "120 g noodles, 1 mL soy sauce, some g peanuts", "said now, be it what was counted")
	at := slices.IndexFunc(k.Questions, func(q kitchen.Question) bool { return q.What == "amount" && q.Of == "peanuts" })
	answered, err := kitchen.Change("kitchen.yaml", []byte(text), k.Questions[at].Answer("15 g", false)...)
	require.NoError(t, err)
	assert.Contains(t, string(answered), "some mL soy sauce, 15 g peanuts")
}

// In a recipe a sheet, too; headings and sentences are no ingredients.
func TestAloneInARow(t *testing.T) {
	_, text := taken(t, "", "c.csv", []byte("Satay\n\nIngredient,Amount\nchicken,150 g\npeanuts,\nFor the sauce:,\nlime,1\nMethod,\nGrill it over hot coals.,\n"), Manner{})
	assert.Contains(t, text, "  Satay: {takes: [150 g chicken, some g peanuts, 1 each lime]}\n")
}

// A price list's names are ours only where they are the same; what is near is asked about, and remembered.
func TestPricesOfOtherGoods(t *testing.T) {
	const src = `kitchen: Fish house
bought:
  butter: {price: 9/kg}
  oil: {price: 3/L}
  potatoes: {price: 1/kg}
  crab meat: {price: 30/kg}
  egg: {price: 0.30/each}
  water: {price: 0/L, allergens: []}
  gambas: {price: 12/kg, also: {en: prawns}}
dishes:
  plate: {price: 20, takes: [10 g butter, 10 mL oil, 100 g potatoes, 80 g crab meat, 1 each egg, 50 mL water, 50 g gambas]}
`
	near := "item,price,unit\nPeanut butter,8,kg\nSesame oil,9,L\n\"Oil, sesame\",9,L\nPotato crisps,7,kg\nSparkling water,2.20,L\nWater,1.10,L\nNapkins,3,each\nFoil,4,each\n"
	taking, text := prices(t, src, near, PriceManner{})
	assert.Equal(t, src, text)
	assert.Empty(t, taking.Prices)
	var whys []string
	for _, l := range taking.Left {
		whys = append(whys, l.Why)
	}
	assert.Equal(t, []string{"it may be butter", "it may be oil", "it may be oil", "it may be potatoes", "it may be water",
		"water costs nothing in the kitchen file: if that has changed, write its price there"}, whys)
	assert.Contains(t, taking.Notes, "2 other rows of the list are of nothing that the kitchen buys: Napkins and Foil")
	assert.Contains(t, taking.Alike, Alike{"Peanut butter", []string{"butter"}})

	taking, text = prices(t, src, "item,price,unit\nBUTTER 25 kg,10,kg\nOil (6 x 750 mL),4,L\nPotato,2,kg\nCrabmeat,33,kg\n\"Eggs, large, grade A\",0.40,each\nPrawn,14,kg\n", PriceManner{})
	for _, line := range []string{"butter: {price: 10.00/kg", "  oil: {price: 4.00/L", "potatoes: {price: 2.00/kg", "crab meat: {price: 33.00/kg", "egg: {price: 0.40/each", "gambas: {price: 14.00/kg"} {
		assert.Contains(t, text, line)
	}
	assert.Empty(t, taking.Left)

	taking, text = prices(t, src, "item,price,unit\nbutter,0,kg\noil,0.00,L\nwater,0,L\n", PriceManner{})
	assert.Equal(t, src, text)
	require.Len(t, taking.Left, 2)
	assert.Contains(t, taking.Left[0].Why, "0 is no price")
}
