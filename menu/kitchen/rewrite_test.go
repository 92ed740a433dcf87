package kitchen

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const rewritten = `kitchen: K
suppliers: {farm: {order by: "18:00 the day before"}}
vessels: {big pot: {holds: 60 L}}
bought:
  hen: {from: farm, each: 2 kg, guessed: [each]}
  water: {price: 0/L, density: 1 kg/L}
steps:
  kettle:
    takes: [10 each hen, 30 L water]
    gives:
      - 25 L stock   # strained
      - some kg hen meat, out at 2 h
    vessel: big pot
dishes:
  soup: {price: 7, takes: ["300 mL stock, guessed", 60 g hen meat], sells: 9}
  small soup: {price: 4, takes: [200 mL stock], sells: 3, in place of: [soup 40%]}
`

func TestFilled(t *testing.T) {
	text, err := Change("k", []byte(rewritten), Filled(InBought, "hen", "old hen",
		map[string]string{"each": "2 kg", "from": "farm", "price": "", "guessed": "each"},
		map[string]string{"each": "1.9 kg ", "from": "farm\r\n", "price": "9/each", "guessed": "each"})...)
	require.NoError(t, err)
	assert.Contains(t, string(text), "  old hen: {price: 9/each, from: farm, each: 1.9 kg}\n", "what is typed is known")
	assert.Contains(t, string(text), "takes: [10 each old hen, 30 L water]")
}

func TestEnter(t *testing.T) {
	text, err := Change("k", []byte(rewritten), Enter(InSteps, "reduce", map[string]string{"takes": "8 L stock\n10 g hen meat, to taste", "gives": "2 L glaze", "batches": "tue: 1", "costs": "3"}),
		Enter(InBought, "salt", map[string]string{"price": "1/kg", "allergens": "none"}), Enter(InDishes, "glazed", map[string]string{"price": "5", "takes": "30 mL glaze"}),
		Enter(InMade, "glaze", map[string]string{"keeps": "3 days"}))
	require.NoError(t, err)
	assert.Contains(t, string(text), `    vessel: big pot
  reduce:
    takes:
      - 8 L stock
      - 10 g hen meat, to taste
    gives:
      - 2 L glaze
    batches: {tue: 1}
    costs: 3
made: {glaze: {keeps: 3 days}}
dishes:
`)
	assert.Contains(t, string(text), "  salt: {price: 1/kg, allergens: []}\n")
	assert.Contains(t, string(text), "  glazed: {price: 5, takes: [30 mL glaze]}\n")
	assert.Contains(t, string(text), "made: {glaze: {keeps: 3 days}}\n")
	_, err = Change("k", []byte(rewritten), Enter(InBought, "salt, coarse", nil))
	assert.EqualError(t, err, `name "salt, coarse" can't hold ","`)
	_, err = Change("k", []byte(rewritten), Enter(InBought, "hen", nil))
	assert.EqualError(t, err, `"hen" stands under "bought" already`)
}

// Whoever takes all proposals has each of them in the file as a guess; whoever answers has none of them left.
func TestAnswers(t *testing.T) {
	text := []byte(rewritten)
	for range 4 { // an answer may open another question
		k := readOpen(t, string(text))
		var edits []Edit
		for _, q := range k.Questions {
			if q.Proposal != "" && !q.Guessed {
				edits = append(edits, q.Answer("", true)...)
			}
		}
		var err error
		text, err = Change("k", text, edits...)
		require.NoError(t, err)
	}
	k := readOpen(t, string(text))
	guessed := 0
	for _, q := range k.Questions {
		assert.True(t, q.Guessed || q.Proposal == "", "%+v", q)
		if q.Guessed {
			guessed++
		}
	}
	assert.Greater(t, guessed, 4)
	assert.Contains(t, string(text), "# strained")
	assert.Contains(t, string(text), "      - 6.04 kg hen meat, out at 2 h, guessed\n", "USDA SR28 05126: 0.302 of the raw hen")

	for _, q := range k.Questions {
		value := q.Proposal
		if value == "" {
			value = map[string]string{"price": "8/each", "allergens": "none"}[q.What]
		}
		var err error
		text, err = Change("k", text, q.Answer(value, false)...)
		require.NoError(t, err)
	}
	for _, q := range readOpen(t, string(text)).Questions {
		assert.False(t, q.Guessed, "%+v", q)
	}
	assert.NotContains(t, string(text), "guessed")

	q := readOpen(t, rewritten).asked(t, "hen meat", "yield")
	_, err := Change("k", []byte(rewritten), q.Answer("a lot", false)...)
	assert.Error(t, err)
	answered, err := Change("k", []byte(rewritten), q.Answer("5.5 kg", false)...)
	require.NoError(t, err)
	assert.Contains(t, string(answered), "      - 5.5 kg hen meat, out at 2 h\n")
}

// Hours that nobody has said are said wherever they were left out.
func TestAnswerHours(t *testing.T) {
	text := []byte(`kitchen: K
bought: {bones: {price: 2/kg, allergens: []}, water: {price: 0/L, density: 1 kg/L, allergens: []}}
steps:
  kettle:
    takes: [9 kg bones, 30 L water]
    gives:
      - 25 L stock, out at some time   # strained
      - 2 kg meat, out at some time
    batches: {tue: 1}
    starts: some time
made: {stock: {keeps: 3 days, density: 1 kg/L}, meat: {keeps: 3 days}}
dishes: {soup: {price: 7, takes: [300 mL stock, 60 g meat], sells: 9}}
`)
	for what, value := range map[string]string{"starts": "22:30", "ends": "9 h"} {
		var err error
		text, err = Change("k", text, readOpen(t, string(text)).asked(t, "kettle", what).Answer(value, false)...)
		require.NoError(t, err)
	}
	assert.Contains(t, string(text), "- 25 L stock, out at 9 h         # strained\n      - 2 kg meat, out at 9 h\n")
	assert.Contains(t, string(text), "starts: 22:30\n")
	assert.Empty(t, readOpen(t, string(text)).Questions)
}

// How much water goes in at least is taken as it is proposed.
func TestAnswerWater(t *testing.T) {
	text := []byte("kitchen: K\nbought: {water: {price: 0/L}, pork: {price: 4/kg}}\nsteps: {boil: {takes: [5 kg pork], gives: [8 L broth, 2 kg meat], batches: {tue: 1}}}\n")
	q := readOpen(t, string(text)).asked(t, "boil", "water")
	require.Regexp(t, "^at least .* water$", q.Proposal)
	for _, value := range []string{q.Proposal, ""} {
		after, err := Change("k", text, q.Answer(value, true)...)
		require.NoError(t, err)
		assert.Regexp(t, `takes: \[5 kg pork, \d+ L water\]`, string(after))
	}
}

func TestHangsOn(t *testing.T) {
	for _, c := range []struct {
		list, name string
		want       []string
	}{
		{InBought, "hen", []string{"kettle takes 10 each hen"}},
		{InMade, "stock", []string{"soup takes 300 mL stock, guessed", "small soup takes 200 mL stock"}},
		{InSteps, "kettle", []string{"soup takes 300 mL stock, guessed", "soup takes 60 g hen meat", "small soup takes 200 mL stock"}},
		{InDishes, "soup", []string{"small soup takes guests from it"}},
		{InDishes, "small soup", nil},
		{"vessels", "big pot", []string{"kettle is made in it"}},
		{"suppliers", "farm", []string{"hen is from there"}},
	} {
		said, err := HangsOn("k", []byte(rewritten), c.list, c.name)
		require.NoError(t, err)
		assert.Equal(t, c.want, said, c.name)
	}
}

func TestKeyAt(t *testing.T) {
	for _, c := range []struct {
		edit       Edit
		list, name string
		want       string
	}{
		{Fill(InBought, "hen", "price", "nine"), InBought, "hen", "price"},
		{Fill(InBought, "hen", "each", "2 meters"), InBought, "hen", "each"},
		{Fill(InSteps, "kettle", "gives", "25 L stock\nsome kg hen meat\nbits"), InSteps, "kettle", "gives"},
		{Fill(InSteps, "kettle", "takes", "10 each hen\n30 L watr"), InSteps, "kettle", "takes"},
		{Fill(InDishes, "soup", "sells", "lunch: 9"), InDishes, "soup", "sells"},
		{Drop(InBought, "hen"), InBought, "water", ""},
	} {
		_, err := Change("k", []byte(rewritten), c.edit)
		var stuck *AmendError
		require.ErrorAs(t, err, &stuck)
		require.NotEmpty(t, stuck.Faults)
		assert.Equal(t, c.want, KeyAt("k", stuck.Text, c.list, c.name, stuck.Faults[0].Pos), c.edit.Says)
	}
}

const typedAt = `kitchen: Cantina
bought:
  onions: {allergens: []}
  yoghurt: {allergens: []}
  hominy: {price: 2/kg, pack: 5 kg, allergens: []}
steps:
  cook: {takes: [3 kg onions, 2 tbsp yoghurt, 4 kg hominy], gives: [6 kg base], batches: {tue: 1}}
made: {base: {keeps: 3 days}}
dishes:
  bowl: {price: 9, takes: [200 g base], sells: 9}
`

// Numbers as thumbs type them: with a comma, with the sign of the money, and a price of what was asked for.
func TestTypedNumbers(t *testing.T) {
	for _, c := range []struct{ list, name, key, typed, want string }{
		{InBought, "onions", "price", "1.10", "onions: {price: 1.10/kg, "},
		{InBought, "onions", "price", "1,10", "onions: {price: 1.10/kg, "},
		{InBought, "onions", "price", "€1,1/kg", "onions: {price: 1.1/kg, "},
		{InBought, "onions", "price", "22,50 for 25 kg", "onions: {price: 22.50 for 25 kg, "},
		{InBought, "yoghurt", "price", "3,20", "yoghurt: {price: 3.20/L, "},
		{InBought, "hominy", "pack", "2,5 kg", "pack: 2.5 kg"},
		{InMade, "base", "density", "1,05 kg/L", "density: 1.05 kg/L"},
		{InDishes, "bowl", "price", "8,50", "price: 8.50"},
		{InDishes, "bowl", "takes", "250,5 g base", "takes: [250.5 g base]"},
		{InDishes, "bowl", "also sold as", "1,5 bowls", "also sold as: ['1,5 bowls']"},
	} {
		text, err := Change("k", []byte(typedAt), Fill(c.list, c.name, c.key, c.typed))
		require.NoError(t, err, "%+v", c)
		assert.Contains(t, strings.ReplaceAll(string(text), `"`, "'"), c.want, "%+v", c)
	}
	k := readOpen(t, typedAt)
	for _, q := range readOpen(t, strings.Replace(typedAt, "keeps: 3 days", "density: 1 kg/L", 1)).Questions {
		assert.NotEqual(t, "for ever", q.Counted, "%+v", q)
	}
	q := k.asked(t, "yoghurt", "price")
	assert.Equal(t, "What does 1 L of yoghurt cost?", q.Asks, "nobody buys it by the spoon")
	text, err := Change("k", []byte(typedAt), q.Answer("3,20", false)...)
	require.NoError(t, err)
	assert.Contains(t, string(text), "yoghurt: {price: 3.20/L, ")
	_, err = Change("k", []byte(typedAt), Fill(InBought, "onions", "price", "1,100"))
	assert.Error(t, err, "it may be eleven hundred")
}

// What a card takes and the file does not know is bought from now on, but for a slip.
func TestChangeAdding(t *testing.T) {
	add := func(lines string) ([]byte, error) {
		return ChangeAdding("k", []byte(typedAt), Fill(InDishes, "bowl", "takes", "200 g base\n"+lines))
	}
	text, err := add("2 each naan\n5 g cress")
	require.NoError(t, err)
	assert.Contains(t, string(text), "takes: [200 g base, 2 each naan, 5 g cress]")
	k := readOpen(t, string(text))
	k.asked(t, "naan", "price")
	k.asked(t, "naan", "allergens")
	k.asked(t, "cress", "price")
	_, err = add("2 g onionss")
	assert.Error(t, err, "a slip")
	_, err = add("2 each naan\na lot of cress")
	require.Error(t, err)
	again, err := ChangeAdding("k", text, Fill(InDishes, "bowl", "price", "10"))
	require.NoError(t, err)
	assert.Contains(t, string(again), "price: 10")
}
