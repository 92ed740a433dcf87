package menu_test

import (
	"context"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu"
)

const fishTable = `kitchen: Fish
bought: {whole cod: {price: 5/kg}, salt: {price: 1/kg}}
steps:
  fillet:
    takes: [6 kg whole cod]
    gives: [2.4 kg fillet, 2.4 kg frames, 0.3 kg cheeks]     # the card
    share cost by: RULE
    batches: {tue: 1}
made: {fillet: {worth: 20/kg}, frames: {worth: 5/kg}, cheeks: {worth: 10/kg}}
dishes: {cod: {price: 9, takes: [180 g fillet, 10 g frames, 1 g cheeks], sells: 3}}
`

// By hand, as Horngren, Datar and Rajan share a joint cost. The whole costs 30. By weight 5 kg come to 6.00 a kilo. By sales value at
// split-off they bear 30 in the ratio of their worths; the main product bears all less the worth of the others.
func TestBreakDown(t *testing.T) {
	for rule, want := range map[string][3]float64{
		"weight": {6, 6, 6},
		// 2 kg at 20, 2.5 kg at 5, 0.5 kg at 10: 40 + 12.5 + 5 = 57.5 of worth bear 30.
		"worth": {20 * 30 / 57.5, 5 * 30 / 57.5, 10 * 30 / 57.5},
		// 30 less 12.5 and 5 is 12.5, on 2 kg.
		"main": {6.25, 5, 10},
	} {
		src := []byte(strings.ReplaceAll(fishTable, "RULE", rule))
		b, text, err := menu.BreakDown(context.Background(), menu.Options{Kitchen: menu.Source{Name: "kitchen.yaml", Text: src}},
			menu.Cut{Step: "fillet", Whole: "6 kg", Parts: []string{"2 kg fillet", "1.5 kg frames", "1 kg frames", "0.5 kg cheeks"}})
		require.NoError(t, err)
		for n, p := range b.Parts {
			assert.InDelta(t, want[n], p.Each, 1e-9, "%s of %s by %s", p.Name, b.Step, rule)
			assert.False(t, p.Card)
		}
		assert.InDelta(t, 1000, b.Trim, 1e-9, "6 kg less 5")
		assert.InDelta(t, 1, b.Batches, 1e-12)
		assert.Contains(t, string(text), "    gives: [2 kg fillet, 2.5 kg frames, 0.5 kg cheeks]       # the card\n", "the comment stays in its column")
		assert.Equal(t, "fillet x1: 6 kg whole cod gives 2 kg fillet, 2.5 kg frames, 0.5 kg cheeks", b.Entry, "as a log book takes it")
	}
}

// Another piece than the card's is so much of a batch; what is not weighed yet is by the card.
func TestBreakDownFills(t *testing.T) {
	src := []byte(strings.ReplaceAll(fishTable, "RULE", "weight"))
	o := menu.Options{Kitchen: menu.Source{Name: "kitchen.yaml", Text: src}}
	b, text, err := menu.BreakDown(context.Background(), o, menu.Cut{Step: "fillet", Whole: "3 kg whole cod", Price: "10/kg", Parts: []string{"1 kg fillet"}})
	require.NoError(t, err)
	assert.InDelta(t, 0.5, b.Batches, 1e-12)
	assert.True(t, b.Parts[1].Card)
	assert.InDelta(t, 30/2.35, b.Parts[0].Each, 1e-9, "1 kg and, by the card, 1.2 and 0.15")
	assert.Contains(t, string(text), "gives: [2 kg fillet, 2.4 kg frames, 0.3 kg cheeks]")
	assert.Contains(t, string(text), "whole cod: {price: 5/kg}", "the price of the day is not the file's")

	for want, c := range map[string]menu.Cut{
		"the parts weigh 0.5 kg more than the whole":       {Step: "fillet", Whole: "3 kg", Parts: []string{"3.5 kg fillet"}},
		`"fillet" gives no salt`:                           {Step: "fillet", Whole: "3 kg", Parts: []string{"1 kg salt"}},
		"the step breaks down whole cod, not salt":         {Step: "fillet", Whole: "3 kg salt"},
		`"0 kg" is nothing`:                                {Step: "fillet", Whole: "0 kg"},
		`no step is named "filet": did you mean "fillet"?`: {Step: "filet", Whole: "3 kg"},
	} {
		_, _, err := menu.BreakDown(context.Background(), o, c)
		assert.ErrorContains(t, err, want)
	}
}

func TestBreakDownOfANewStep(t *testing.T) {
	src := []byte(strings.ReplaceAll(fishTable, "RULE", "weight"))
	o := menu.Options{Kitchen: menu.Source{Name: "kitchen.yaml", Text: src}}
	_, text, err := menu.BreakDown(context.Background(), o, menu.Cut{Step: "bone ham", New: true, Whole: "8 kg ham", Price: "7/kg", Parts: []string{"6 kg ham meat", "1.5 kg ham bone"}})
	require.NoError(t, err)
	assert.Contains(t, string(text), "ham: {price: 7/kg}")
	assert.Contains(t, string(text), "  bone ham: {takes: [8 kg ham], gives: [6 kg ham meat, 1.5 kg ham bone], batches: as needed}\n")
}

// A carcass has two legs: what comes off twice adds up, be the step new or not, and what is too heavy is said as at the board of a knife.
func TestBreakDownOfTwoLegs(t *testing.T) {
	o := menu.Options{Kitchen: menu.Source{Name: "kitchen.yaml", Text: []byte(strings.ReplaceAll(fishTable, "RULE", "weight"))}}
	cut := menu.Cut{Step: "joint kid", New: true, Whole: "12 kg kid", Price: "11,80", Parts: []string{"2,1 kg kid leg", "1.9 kg Kid leg", "3 kg kid bones"}}
	b, text, err := menu.BreakDown(context.Background(), o, cut)
	require.NoError(t, err)
	assert.Contains(t, string(text), "joint kid: {takes: [12 kg kid], gives: [4 kg kid leg, 3 kg kid bones], batches: as needed}")
	assert.Contains(t, string(text), "kid: {price: 11.80/kg}")
	assert.InDelta(t, 5000, b.Trim, 1e-9)
	assert.True(t, b.Level, "nobody has said what leg and bones are worth")

	cut.Parts = append(cut.Parts, "7.1 kg kid neck")
	_, _, err = menu.BreakDown(context.Background(), o, cut)
	require.EqualError(t, err, "the parts weigh 2.1 kg more than the whole: weigh again: nothing gets heavier by being cut")
}

// One part that is heavier than the card has it leaves less for the rest; nothing of that is kept before the rest is weighed. By hand: 4 of 6 kg
// are weighed, and the card's 2.4 and 0.3 kg of the rest come to 2.
func TestBreakDownAheadOfTheCard(t *testing.T) {
	src := []byte(strings.ReplaceAll(fishTable, "RULE", "weight"))
	o := menu.Options{Kitchen: menu.Source{Name: "kitchen.yaml", Text: src}}
	b, text, err := menu.BreakDown(context.Background(), o, menu.Cut{Step: "fillet", Whole: "6 kg", Parts: []string{"4 kg fillet"}})
	require.NoError(t, err)
	assert.True(t, b.Ahead)
	assert.Equal(t, string(src), string(text))
	assert.InDelta(t, 5, b.Parts[0].Each, 0.005, "30 on 6 kg")
	assert.InDelta(t, 2400*2/2.7, b.Parts[1].Grams, 2)
	assert.False(t, b.Level, "their worths are said")
}
