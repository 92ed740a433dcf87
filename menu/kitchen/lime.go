package kitchen

// Slaked lime and quicklime, in which corn is boiled and some pickles are laid, and lye, in which corn is hulled, pretzels are dipped and olives and
// dried fish are laid: they burn eyes and skin.

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

	// lyeWords are how it says that it is lye, of soda or potash.
	lyeWords = map[string][]string{
		"en": {"lye", "lye water", "caustic soda", "caustic potash", "sodium hydroxide", "potassium hydroxide"},
		"es": {"sosa", "sosa cáustica", "potasa", "potasa cáustica", "hidróxido de sodio", "hidróxido sódico", "hidróxido de potasio", "hidróxido potásico", "lejía de sosa", "lejía"},
		"zh": {"烧碱", "火碱", "苛性钠", "苛性钾", "苛性碱", "氢氧化钠", "氢氧化钾"},
	}
)

// Lime tells whether a step handles lime.
func (k *Kitchen) Lime(step int) bool { return k.handles(step, k.lime) }

// Lye tells whether a step handles lye.
func (k *Kitchen) Lye(step int) bool { return k.handles(step, k.lye) }

func (k *Kitchen) handles(step int, burns []bool) bool {
	return slices.ContainsFunc(k.Graph.Steps[step].Takes, func(l graph.Line) bool {
		return slices.ContainsFunc(l.Choices, func(c graph.Choice) bool { return c.Item < len(burns) && burns[c.Item] })
	})
}

// findLime finds what is bought and is lime or lye by its names.
func (k *Kitchen) findLime(named func(item int, words, but map[string][]string) bool) {
	k.lime, k.lye = make([]bool, len(k.Bought)), make([]bool, len(k.Bought))
	for i := range k.Bought {
		k.lime[i], k.lye[i] = named(i, limeWords, noLime), named(i, lyeWords, nil)
	}
}
