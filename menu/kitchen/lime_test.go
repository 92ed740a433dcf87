package kitchen

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What burns and what is the fruit. That calcium hydroxide burns eyes and skin, and is food of its grade: OSHA, Chemical Sampling Information,
// "Calcium hydroxide", which cites the NIOSH Pocket Guide and 21 CFR 184.1205.
func TestLime(t *testing.T) {
	for _, c := range []struct {
		language, bought string
		want             bool
	}{
		{"en", "slaked lime", true}, {"en", "Cal", true}, {"en", "cal (food grade)", true}, {"en", "pickling lime", true}, {"en", "quicklime", true},
		{"en", "lime", false}, {"en", "limes", false}, {"en", "pickled lime", false}, {"en", "lime juice", false}, {"en", "low cal mayonnaise", false}, {"en", "calamari", false},
		{"es", "cal viva", true}, {"es", "cal para nixtamal", true}, {"es", "caldo", false}, {"es", "lima", false},
		{"zh", "食用熟石灰", true}, {"zh", "生石灰", true}, {"zh", "青柠", false}, {"en", "lye", false},
	} {
		src := strings.ReplaceAll("language: "+c.language+`
bought: {X: {price: 5/kg, allergens: []}, corn: {price: 1/kg, allergens: []}}
steps: {boil: {takes: [1 kg corn, 5 g X], gives: [1 kg hominy], batches: as needed}, warm: {takes: [1 kg hominy], gives: [1 kg warm], batches: as needed}}
dishes: {bowl: {price: 9, takes: [100 g warm], sells: 5}}
`, "X", c.bought)
		k, faults := Read("kitchen.yaml", []byte(src))
		require.NoError(t, faults.Err(), c.bought)
		assert.Equal(t, c.want, k.Lime(0), c.bought)
		assert.False(t, k.Lime(1), "what was boiled in it has been rinsed")
	}
}

// Lye of soda and of potash burns eyes and skin (DOE-HDBK-1015/2-93, Corrosives), and both are food of their grade (21 CFR 184.1763 and
// 184.1631, from memory).
func TestLye(t *testing.T) {
	for _, c := range []struct {
		language, bought string
		want             bool
	}{
		{"en", "lye", true}, {"en", "Lye (food grade)", true}, {"en", "caustic soda", true}, {"en", "potassium hydroxide", true}, {"en", "lye water", true},
		{"en", "soda", false}, {"en", "baking soda", false}, {"en", "rye", false}, {"en", "slaked lime", false}, {"en", "soda water", false},
		{"es", "sosa cáustica", true}, {"es", "hidróxido de sodio", true}, {"es", "salsa", false}, {"es", "bicarbonato", false},
		{"zh", "食用烧碱", true}, {"zh", "氢氧化钾", true}, {"zh", "小苏打", false}, {"zh", "食用碱", false},
	} {
		src := strings.ReplaceAll("language: "+c.language+`
bought: {X: {price: 5/kg, allergens: []}, olives: {price: 1/kg, allergens: []}}
steps: {cure: {takes: [1 kg olives, 5 g X], gives: [1 kg cured], batches: as needed}, warm: {takes: [1 kg cured], gives: [1 kg warm], batches: as needed}}
dishes: {bowl: {price: 9, takes: [100 g warm], sells: 5}}
`, "X", c.bought)
		k, faults := Read("kitchen.yaml", []byte(src))
		require.NoError(t, faults.Err(), c.bought)
		assert.Equal(t, c.want, k.Lye(0), c.bought)
		assert.False(t, k.Lye(1), "what lay in it has been rinsed")
	}
}

// A bath that is mixed beforehand burns like what it is mixed of: who dips into it handles it, whatever it is called; what was dipped has been rinsed.
// Food that was cured with it and is bought ready burns nobody.
func TestBaths(t *testing.T) {
	for _, c := range []struct {
		language, bought, bath string
		want                   bool
	}{
		{"en", "lye", "lye bath", true}, {"en", "NaOH", "dip", true}, {"en", "KOH flakes", "dip", true}, {"es", "soda cáustica", "baño", true},
		{"es", "NaOH", "baño", true}, {"zh", "NaOH 食品级", "碱水", true}, {"en", "lye-cured olives", "dip", false}, {"en", "lye rolls", "dip", false},
		{"es", "aceitunas curadas con sosa", "baño", false}, {"en", "baking soda", "dip", false},
	} {
		src := strings.NewReplacer("X", c.bought, "BATH", c.bath).Replace("language: " + c.language + `
bought: {X: {price: 5/kg, allergens: []}, water: {price: 0/L, density: 1 kg/L, allergens: []}, dough: {price: 1/kg, allergens: []}}
steps:
  mix: {takes: [1 L water, 40 g X], gives: [1 L BATH], batches: as needed}
  thin: {takes: [1 L water, 1 L BATH], gives: [2 L weak], batches: as needed}
  dip: {takes: [1 kg dough, 100 mL weak], gives: [1 kg knots], batches: as needed}
  bake: {takes: [1 kg knots], gives: [0.9 kg buns], batches: as needed}
made: {BATH: {density: 1 kg/L}, weak: {density: 1 kg/L}}
dishes: {bun: {price: 9, takes: [100 g buns], sells: 5}}
`)
		k, faults := Read("kitchen.yaml", []byte(src))
		require.NoError(t, faults.Err(), c.bought)
		for step, want := range []bool{c.want, c.want, c.want, false} {
			assert.Equal(t, want, k.Lye(step), "%s: %s", c.bought, k.Graph.Steps[step].Name)
		}
		for _, bath := range []string{c.bath, "weak"} {
			item, err := k.FindItem(bath)
			require.NoError(t, err)
			assert.Equal(t, c.want, k.Burns(item), "%s: %s", c.bought, bath)
		}
	}
}
