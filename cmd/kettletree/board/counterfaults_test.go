package board

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/language"

	"kettletree/menu/counter"
	"kettletree/menu/week/weektest"
)

// What is wrong with an offer is said in the language of the page.
func TestOfferFaultsAreSaid(t *testing.T) {
	w := weektest.SmallWeek(t, `
kitchen: Smoke and Bone
money: USD
open: tue
services: {dinner: 17:00-21:30}
bought:
  half hog: {price: 210/each, each: 38 kg, keeps: 4 days, arrives: tue, allergens: []}
  trotters: {price: 3/kg, keeps: 4 days, arrives: tue, allergens: []}
  sage: {price: 2/bunch, keeps: 4 days, arrives: tue, allergens: []}
  water: {price: 0/L, density: 1 kg/L}
steps:
  boil: {takes: [1 kg trotters, 2 L water, 1 bunch sage], gives: [2 L broth], batches: {tue: 1}, starts: "08:00"}
made:
  broth: {keeps: 1 day}
dishes:
  bowl: {price: 9, takes: [200 mL broth, 0.01 each half hog], sells: {dinner: 6}}
`)
	var says []string
	for _, text := range []string{"half hog", "half hog=", "=4", "shank=3/kg", "trotter=3/kg", "broth=2/L", "water=1/L", "half hog=190, 1.5 each", "half hog=190, 0.5", "half hog=190, 57 kg", "half hog=190, pieces of 30 31 kg", "trotters=0/kg",
		"trotters=cheap", "trotters=3", "trotters=3/L", "trotters=3/each", "trotters=3/kg, 0", "trotters=3/kg, some", "trotters=3/kg, 4 L", "trotters=3/kg, 4, 5", "trotters=3/kg, 20 kg, pieces of 7.0 7.4 6.8 kg", "trotters=3/kg, pieces of 7 8",
		"trotters=3/kg, pieces of kg", "trotters=3/kg, pieces of 0 kg", "trotters=3/kg, 3 pieces of 4 5 kg", "trotters=3/kg, pieces of 4 5 L", "trotters=3/kg, packs of 0 kg", "trotters=3/kg, packs of 5 L",
		"trotters=3/kg, 4 kg, packs of 5 kg", "trotters=3/kg, pieces of 5 kg, packs of 5 kg", "trotters=3/kg, 90 pieces of 5 kg", "trotters=99999999999/kg", "trotters=-3/kg", "sage=1, 2.5"} {
		_, err := counter.ReadOffer(w, text)
		if assert.Error(t, err, text) {
			says = append(says, err.Error())
		}
	}
	offer := func(text string) counter.Offer {
		o, err := counter.ReadOffer(w, text)
		require.NoError(t, err)
		return o
	}
	for _, o := range []counter.Options{{Offers: []counter.Offer{offer("trotters=3/kg"), offer("trotters=4/kg, 2 kg")}, Spend: 90}, {Offers: []counter.Offer{offer("trotters=3/kg")}, Spend: 1e12},
		{Offers: []counter.Offer{offer("sage=1/bunch")}, Spend: 90, Carry: 1000}} {
		_, err := counter.New(w, o)
		if assert.Error(t, err) {
			says = append(says, err.Error())
		}
	}
	says = append(says, "what does it cost?", "the money in hand is a number above 0", "what the car carries is a weight, such as 120 kg")
	for _, tag := range []language.Tag{language.Spanish, language.SimplifiedChinese} {
		s := newSpeaker(tag, w.Kitchen)
		for _, text := range says {
			assert.NotContains(t, string(s.Said(text)), `lang="en"`, text)
		}
	}
}
