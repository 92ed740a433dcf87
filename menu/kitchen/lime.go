package kitchen

// Slaked lime and quicklime, in which corn is boiled and some pickles are laid: they burn eyes and skin.

import (
	"slices"

	"kettletree/graph"
)

// limeWords are how what is bought says that it is lime of the mineral, not the fruit; noLime is where "cal" is a word of diets. They lead to a
// caution only.
var (
	limeWords = map[string][]string{
		"en": {"slaked lime", "hydrated lime", "pickling lime", "burnt lime", "quicklime", "quick lime", "limewater", "lime water", "calcium hydroxide", "calcium oxide", "cal"},
		"es": {"cal", "hidróxido de calcio", "óxido de calcio"},
		"zh": {"石灰", "氢氧化钙", "氧化钙"},
	}
	noLime = map[string][]string{"en": {"low cal", "zero cal"}}
)

// Lime tells whether a step handles lime.
func (k *Kitchen) Lime(step int) bool {
	return slices.ContainsFunc(k.Graph.Steps[step].Takes, func(l graph.Line) bool {
		return slices.ContainsFunc(l.Choices, func(c graph.Choice) bool { return c.Item < len(k.lime) && k.lime[c.Item] })
	})
}

// findLime finds what is bought and is lime by its names.
func (k *Kitchen) findLime(named func(item int, words, but map[string][]string) bool) {
	k.lime = make([]bool, len(k.Bought))
	for i := range k.Bought {
		k.lime[i] = named(i, limeWords, noLime)
	}
}
