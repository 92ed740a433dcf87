package kitchen

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What is garlic in oil and what is not. The FDA Food Code counts garlic-in-oil mixtures among what needs time and temperature control
// (1-201.10; an older text of it in NAVMED P-5010-1, chapter 1); Penn State Extension says the same of herbs and vegetables in oil.
func TestInOil(t *testing.T) {
	for name, c := range map[string]struct {
		language, bought, takes string
		want                    []string
	}{
		"garlic confit":          {"en", "garlic, olive oil", "1 kg garlic, 1.5 L olive oil", []string{"garlic"}},
		"herb oil":               {"en", "basil, vegetable oil", "200 g basil, 1 L vegetable oil", []string{"basil"}},
		"in lard":                {"en", "shallots, lard", "100 g shallots, 1 kg lard", []string{"shallots"}},
		"fried in a little oil":  {"en", "white onion, corn oil", "1 kg white onion, 50 mL corn oil", nil},
		"oil alone":              {"en", "arbol chile, corn oil", "100 g arbol chile, 1 L corn oil", nil},
		"taken out again":        {"en", "garlic, corn oil", "\"100 g garlic, out at 10 min\", 1 L corn oil", nil},
		"of one that weighs":     {"en", "garlic, corn oil, bread", "2 each garlic, 1 L corn oil, 1 kg bread", []string{"garlic"}},
		"full fat milk":          {"en", "full fat milk, onion", "1 kg full fat milk, 200 g onion", nil},
		"ajo en aceite":          {"es", "ajo, aceite de oliva", "1 kg ajo, 1 L aceite de oliva", []string{"ajo"}},
		"葱油":                     {"zh", "小葱, 花生油", "400 g 小葱, 1 kg 花生油", []string{"小葱"}},
		"soy sauce is no oil":    {"zh", "大蒜, 酱油", "400 g 大蒜, 1 kg 酱油", nil},
		"a second choice counts": {"en", "garlic, butter, lard", "\"1 kg butter or 1 kg lard\", 100 g garlic", []string{"garlic"}},
	} {
		src := "language: " + c.language + "\nbought:\n"
		for item := range strings.SplitSeq(c.bought, ", ") {
			src += "  " + item + ": {price: 5/kg, density: 0.92 kg/L, each: 60 g, allergens: []}\n"
		}
		src += "steps: {work: {takes: [" + c.takes + "], gives: [1 kg result], batches: as needed}, portion: {takes: [1 kg result], gives: [20 each jar], batches: as needed}}\n" +
			"made: {result: {keeps: 4 days, density: 0.92 kg/L}, jar: {keeps: 2 days}}\ndishes: {plate: {price: 9, takes: [1 each jar], sells: 5}}\n"
		k, faults := Read("kitchen.yaml", []byte(src))
		require.NoError(t, faults.Err(), name)
		for _, made := range []string{"result", "jar"} { // what is made of it has it too
			var got []string
			for i, it := range k.Graph.Items {
				if it.Name == made {
					for _, in := range k.InOil[i] {
						got = append(got, k.Graph.Items[in].Name)
					}
				}
			}
			assert.Equal(t, c.want, got, "%s: %s", name, made)
		}
	}
}

// A number that the file lacks hides nothing: the same garlic is in oil, be the density there or not, and be it counted.
func TestInOilWithoutNumbers(t *testing.T) {
	for name, c := range map[string]struct {
		takes string
		want  int
	}{
		"basil by weight":          {"500 g basil, 1 L olive oil", 1},
		"just a quarter":           {"2.7 kg basil, 1 L olive oil", 1}, // 0.92 kg of 3.62 kg
		"less than a quarter":      {"2.9 kg basil, 1 L olive oil", 0},
		"beside water by volume":   {"100 g basil, 3 L water, 100 mL olive oil", 0},
		"heads that weigh unsaid":  {"12 each garlic, 1 L olive oil", 1},
		"tins that hold unsaid":    {"500 g basil, 1 each tin of oil", 1},
		"no oil, and a head":       {"12 each garlic, 1 L water", 0},
		"heads in water, some oil": {"12 each garlic, 10 L water, 100 mL olive oil", 0},
	} {
		src := "bought: {basil: {price: 3/kg}, olive oil: {price: 4/L}, water: {price: 0/L}, garlic: {price: 1/each}, tin of oil: {price: 9/each}}\n" +
			"steps: {work: {takes: [" + c.takes + "], gives: [1 L result], batches: as needed}}\n" +
			"made: {result: {keeps: 10 days}}\ndishes: {plate: {price: 9, takes: [10 mL result], sells: 5}}\n"
		k, faults := Read("kitchen.yaml", []byte(src))
		require.NoError(t, faults.Err(), name)
		warned := false
		for _, f := range faults {
			warned = warned || f.ID == "kept-in-oil"
		}
		assert.Equal(t, c.want == 1, warned, name)
		for i, it := range k.Graph.Items {
			if it.Name == "result" {
				assert.Len(t, k.InOil[i], c.want, name)
			}
		}
	}
}

// What lies in oil is kept as cold as the code keeps food, and at 5 °C where that has no figure or a higher one.
func TestChilled(t *testing.T) {
	want := map[string]string{"US FDA Food Code 2022": "41 °F", "UK": "5 °C", "Scotland": "5 °C", "France": "5 °C", "Codex": "4 °C", "EU": "5 °C"}
	for n := range Codes {
		assert.Equal(t, want[Codes[n].Name], Codes[n].Chilled().String(), Codes[n].Name)
	}
}
