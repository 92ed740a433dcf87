package show

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"golang.org/x/text/language"

	"kettletree/menu/clock"
	"kettletree/menu/tongue"
)

// A service's row names each dish with its own word, in every language; where the code asks for no advisory, the local authority is asked.
func TestServedRawInWords(t *testing.T) {
	row := func(section string) *clock.Row {
		return &clock.Row{Heat: []clock.Heat{{On: clock.Cook, Food: "whole", At: 145, Scale: "F", Seconds: 15, Section: "3-401.11(A)(1)", Dishes: []string{"omelette"}},
			{On: clock.RawDish, Dishes: []string{"crudo"}, Raw: []string{"tuna"}, Section: section},
			{On: clock.Unsaid, Dishes: []string{"chips"}, Raw: []string{"eggs"}, Eggs: []string{"eggs"}}}}
	}
	assert.Equal(t, "omelette: cook through by the limits below; crudo: served raw or undercooked: tuna; "+
		"chips: raw in it, and the kitchen file does not say whether it is cooked through at the pass: eggs; raw eggs, NOT STATED whether pasteurised: eggs; "+
		"what is served so goes with the advisory on the menu (3-603.11, from memory)", HeatText(tongue.Voice{}, row("3-603.11"), true))
	assert.Contains(t, HeatText(tongue.Voice{}, row(""), true), "ask your local authority which advisory it wants")
	for lang, want := range map[string]string{"es": "crudo: se sirve crudo o poco hecho: tuna", "zh": "crudo：上菜时是生的或未熟透：tuna"} {
		assert.Contains(t, HeatText(tongue.In(language.MustParse(lang)), row("3-603.11"), true), want)
	}
}
