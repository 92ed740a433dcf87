package kitchen

// Slaked lime and quicklime, in which corn is boiled and some pickles are laid, and lye, in which corn is hulled, pretzels are dipped and olives and
// dried fish are laid: they burn eyes and skin.

import (
	"slices"

	"kettletree/graph"
	"kettletree/graph/measure"
)

// limeWords are how what is bought says that it is lime of the mineral, not the fruit; noLime is where "cal" is a word of diets. They lead to a
// caution only.
var (
	limeWords = map[string][]string{
		"en": {"slaked lime", "hydrated lime", "pickling lime", "burnt lime", "quicklime", "quick lime", "limewater", "lime water", "calcium hydroxide", "calcium oxide", "cal"},
		"es": {"cal", "hidróxido de calcio", "óxido de calcio"},
		"zh": {"石灰", "氢氧化钙", "氧化钙"},
	}
	noLime = map[string][]string{
		"en": {"low cal", "zero cal", "quicklime free", "cured in slaked lime", "cured in pickling lime", "cooked in slaked lime"},
		"es": withIt("cal"),
		"zh": {"石灰处理", "石灰腌", "石灰泡"},
	}

	// lyeWords are how it says that it is lye, of soda or potash.
	lyeWords = map[string][]string{
		"en": {"lye", "lye water", "caustic soda", "caustic potash", "sodium hydroxide", "potassium hydroxide", "naoh", "koh"},
		"es": {"sosa", "soda cáustica", "soda caustica", "naoh", "koh", "potasa", "potasa cáustica", "hidróxido de sodio", "hidróxido sódico", "hidróxido de potasio", "hidróxido potásico", "lejía de sosa", "lejía"},
		"zh": {"烧碱", "火碱", "苛性钠", "苛性钾", "苛性碱", "氢氧化钠", "氢氧化钾", "naoh", "koh"},
	}

	// noLye is food that was cured or peeled with it, or dipped into it, and is bought ready.
	noLye = map[string][]string{
		"en": {"lye cured", "lye treated", "lye dipped", "lye peeled", "lye washed", "cured in lye", "cured with lye", "treated with lye", "dipped in lye", "peeled with lye",
			"lye free", "without lye", "lye roll", "lye bun", "lye bread", "lye pretzel", "lye knot", "lye stick", "lye fish", "lye hominy", "lye noodle"},
		"es": slices.Concat(withIt("sosa"), withIt("soda cáustica"), withIt("lejía"), withIt("potasa"), []string{"sin sosa"}),
		"zh": {"烧碱处理", "烧碱泡", "烧碱腌", "火碱泡", "火碱发", "氢氧化钠处理"},
	}
)

// withIt is how Spanish says of food that it was treated with something.
func withIt(what string) (list []string) {
	for _, done := range []string{"curad", "tratad", "pelad", "cocid", "bañad", "lavad"} {
		for _, end := range []string{"o ", "a ", "os ", "as "} {
			list = append(list, done+end+"con "+what, done+end+"en "+what)
		}
	}
	return list
}

// Lime tells whether a step handles lime.
func (k *Kitchen) Lime(step int) bool { return k.handles(step, k.lime) }

// Lye tells whether a step handles lye.
func (k *Kitchen) Lye(step int) bool { return k.handles(step, k.lye) }

func (k *Kitchen) handles(step int, burns []bool) bool {
	return slices.ContainsFunc(k.Graph.Steps[step].Takes, func(l graph.Line) bool {
		return slices.ContainsFunc(l.Choices, func(c graph.Choice) bool { return burns[c.Item] })
	})
}

// Burns tells whether an item is lime or lye, or a bath of it.
func (k *Kitchen) Burns(item int) bool { return k.lime[item] || k.lye[item] }

// findLime finds what is lime or lye: what is bought and is by its names, and baths that are made of it. Food that was boiled or laid in it is none:
// it has been rinsed.
func (k *Kitchen) findLime(named func(item int, words, but map[string][]string) bool) {
	k.lime = k.burning(func(item int) bool { return named(item, limeWords, noLime) })
	k.lye = k.burning(func(item int) bool { return named(item, lyeWords, noLye) })
}

func (k *Kitchen) burning(named func(item int) bool) []bool {
	burns := make([]bool, len(k.Graph.Items))
	for i := range k.Bought {
		burns[i] = named(i)
	}
	for more := true; more; {
		more = false
		for s := range k.Steps {
			if !k.handles(s, burns) {
				continue
			}
			for _, o := range k.Graph.Steps[s].Gives {
				if !burns[o.Item] && (named(o.Item) || k.onlyWets(s, burns)) {
					burns[o.Item], more = true, true
				}
			}
		}
	}
	return burns
}

// likeWater is how dense, in g/mL, what is weighed must be at least to count as poured: flour and sugar are lighter.
const likeWater = 0.9

// onlyWets tells whether a step takes nothing but what burns and what is poured: it mixes a bath.
func (k *Kitchen) onlyWets(step int, burns []bool) bool {
	for _, l := range k.Graph.Steps[step].Takes {
		for _, c := range l.Choices {
			it := k.Graph.Items[c.Item]
			if !burns[c.Item] && it.Unit.Kind != measure.Volume && it.Density < likeWater {
				return false
			}
		}
	}
	return true
}
