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
		assert.Equal(t, "fillet x1: 6 kg whole cod gives 2 kg fillet, 1.5 kg frames, 1 kg frames, 0.5 kg cheeks", b.Entry)
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
		"the parts weigh 3.5 kg, and the whole 3 kg":       {Step: "fillet", Whole: "3 kg", Parts: []string{"3.5 kg fillet"}},
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
