package guide

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"golang.org/x/text/language"

	"kettletree/menu/week/weektest"
)

// Where a substitute is milder, the guide says how much of it tastes as strong, unless the card has that much of it.
func TestASubstituteOfAnotherStrength(t *testing.T) {
	for card, want := range map[string]string{
		"2.5 kg": "In boil, take 2.5 kg young bone instead. To taste as strong as 2.5 kg old bone, take 5 kg young bone.",
		"5 kg":   "In boil, take 5 kg young bone instead.",
	} {
		w := weektest.SmallWeek(t, `
services: {lunch: 12:00-14:00}
bought:
  old bone:   {price: 9/kg, strength: 1, allergens: []}
  young bone: {price: 5/kg, strength: 0.5, allergens: []}
  water:      {price: 0/L, density: 1 kg/L, allergens: []}
steps:
  boil: {takes: [2.5 kg old bone or `+card+` young bone, 20 L water], gives: [20 L stock], batches: {mon: 1}}
made: {stock: {density: 1 kg/L}}
dishes: {cup: {price: 3, takes: [200 mL stock], sells: {lunch: 2}}}
`)
		g := guideOf(t, w, language.English)
		assert.Contains(t, string(g.Markdown()), want)
		assert.Equal(t, card == "2.5 kg", g.item("old bone").Swaps[0].Alike != nil)
	}
}
