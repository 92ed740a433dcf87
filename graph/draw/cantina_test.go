package draw

// The kitchen that the pictures of the tests are of: an invented pozole cantina. Its amounts are made up.

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"kettletree/graph"
	"kettletree/graph/measure"
)

// cantina has a step or dish a line: what it uses > what it gives. A line that gives nothing is a dish. Bought items are
// those that no step gives.
const cantina = `
bone out shoulder: 9 kg pork shoulder > 6.3 kg shoulder meat, 1.6 kg shoulder bones, 0.8 kg back fat
clean trotters: 12 kg pork trotters > 11.4 kg blanched trotters
night kettle: 11.4 kg blanched trotters, 3.2 kg shoulder bones, 8 each stewing hen, 2 kg white onion, 0.4 kg garlic, 70 L water, 6 L kettle stock yesterday > 9 kg pulled hen, 7 kg cooked trotters, 2.4 kg kettle fat, 61 L kettle stock
slow braise: 6 kg shoulder meat, 4 L kettle stock, 0.2 kg garlic > 4.1 kg pulled shoulder, 3 L braise liquor
render back fat: 1 kg back fat > 0.72 kg lard, 0.12 kg cracklings
cook hominy: 5 kg dried hominy, 18 L water, 0.05 kg lime > 12.5 kg cooked hominy, 9 L hominy liquor
red chile base: 1.2 kg guajillo chiles, 0.4 kg ancho chiles, 0.3 kg garlic, 4 L kettle stock, 0.2 kg lard > 5.2 L red chile base
green chile base: 3 kg tomatillos, 0.8 kg poblano chiles, 0.5 kg pumpkin seeds, 0.4 kg cilantro, 2 L kettle stock > 5 L green chile base
pozole broth: 20 L kettle stock, 5 L hominy liquor > 24 L pozole broth
trotter terrine: 3 kg cooked trotters, 1 L braise liquor, 0.05 kg oregano > 3.6 kg trotter terrine
fry tostadas: 4 kg corn tortillas, 0.6 kg lard or 0.6 kg kettle fat > 3.4 kg tostadas
pickle cabbage: 4 kg cabbage, 0.3 kg lime, 0.1 kg oregano > 4 kg pickled cabbage
refry beans: 2 kg black beans, 0.3 kg lard, 0.2 kg cracklings optional > 5 kg refried beans
red pozole: 0.45 L pozole broth, 0.08 L red chile base, 0.11 kg pulled shoulder or 0.11 kg pulled hen, 0.12 kg cooked hominy, 0.03 kg pickled cabbage
green pozole: 0.45 L pozole broth, 0.09 L green chile base, 0.11 kg pulled hen, 0.12 kg cooked hominy
white pozole: 0.5 L pozole broth, 0.11 kg pulled hen or 0.11 kg pulled shoulder, 0.14 kg cooked hominy, 0.03 kg radish
hen tostadas: 0.08 kg tostadas, 0.09 kg pulled hen, 0.06 kg refried beans, 0.03 kg pickled cabbage
shoulder tacos: 0.12 kg corn tortillas, 0.12 kg pulled shoulder, 0.02 kg cracklings optional, 0.03 L red chile base
kettle beans: 0.25 kg refried beans, 0.02 kg lard
hominy bowl: 0.2 kg cooked hominy, 0.1 L kettle stock, 0.01 kg lime
enchiladas: 0.15 kg corn tortillas, 0.12 L red chile base, 0.1 kg pulled hen
cup of broth: 0.25 L kettle stock, 0.01 kg lime
braised trotter: 0.35 kg cooked trotters, 0.1 L braise liquor, 0.1 kg refried beans
trotter tostadas: 0.09 kg trotter terrine, 0.08 kg tostadas, 0.03 kg pickled cabbage
crackling salad: 0.03 kg cracklings, 0.08 kg cabbage, 0.04 kg radish
`

// specials are the dishes of the cantina that are offered when there is a surplus.
var specials = []string{"trotter tostadas", "crackling salad"}

// cantinaGraph builds the graph of [cantina].
func cantinaGraph(t testing.TB) *graph.Graph {
	t.Helper()
	var items []graph.Item
	var steps []graph.Step
	number := map[string]int{}
	item := func(name string, u measure.Unit) int {
		if _, ok := number[name]; !ok {
			number[name] = len(items)
			items = append(items, graph.Item{Name: name, Role: graph.Bought, Unit: u, Density: 1, Each: 1900})
		}
		return number[name]
	}
	choice := func(s string) (c graph.Choice) {
		q, name, err := measure.ParsePrefix(s)
		require.NoError(t, err)
		i := item(name, q.Unit)
		q.Unit = items[i].Unit
		return graph.Choice{Item: i, Amount: q.Base()}
	}
	for row := range strings.Lines(strings.TrimSpace(cantina)) {
		name, rest, _ := strings.Cut(strings.TrimSpace(row), ": ")
		uses, gives, isStep := strings.Cut(rest, " > ")
		st := graph.Step{Name: name}
		for s := range strings.SplitSeq(uses, ", ") {
			var l graph.Line
			s, l.Optional = strings.CutSuffix(s, " optional")
			s, l.Carried = strings.CutSuffix(s, " yesterday")
			for c := range strings.SplitSeq(s, " or ") {
				l.Choices = append(l.Choices, choice(c))
			}
			st.Takes = append(st.Takes, l)
		}
		if !isStep {
			items = append(items, graph.Item{Name: name, Role: graph.Sold, Unit: measure.Unit{Name: "portion", Factor: 1, Kind: measure.Count}})
			st.Gives = []graph.Output{{Item: len(items) - 1, Amount: 1}}
		}
		for s := range strings.SplitSeq(gives, ", ") {
			if isStep {
				c := choice(s)
				st.Gives = append(st.Gives, graph.Output{Item: c.Item, Amount: c.Amount})
			}
		}
		steps = append(steps, st)
	}
	for _, st := range steps {
		for _, o := range st.Gives {
			if items[o.Item].Role == graph.Bought {
				items[o.Item].Role = graph.Made
			}
		}
	}
	g, err := graph.New(items, steps)
	require.NoError(t, err)
	return g
}
