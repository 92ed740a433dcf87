package kitchen

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Worked by hand: strength times weight is what tastes alike.
func TestTastesLike(t *testing.T) {
	file := func(old, mild string) string {
		return `kitchen: Ham Shop
bought:
  water: {price: 0/L, density: 1 kg/L, allergens: []}
  old ham bone: {price: 9.50/kg, ` + old + `allergens: []}
  young ham bone: {price: 5/kg, ` + mild + `allergens: []}
steps:
  boil:
    takes: [20 L water, 2.5 kg old ham bone or 5 kg young ham bone]
    gives: [18 L stock]
    batches: {mon: 1}
made:
  stock: {keeps: 3 days, density: 1 kg/L}
dishes:
  soup: {price: 5, takes: [400 mL stock], sells: 5}
`
	}
	for _, c := range []struct{ old, mild, like, stands string }{
		{"strength: 1, ", "strength: 0.5, ", "5 kg of it tastes like 2.5 kg of old ham bone", "5 kg of it tastes like 2.5 kg"},
		{"", "strength: 0.5, ", "5 kg of it tastes like 2.5 kg of old ham bone", "5 kg of it tastes like 2.5 kg"},
		{"strength: 1, ", "strength: 0.4, ", "5 kg of it tastes like 2 kg of old ham bone; for the taste of the card's 2.5 kg, 6.25 kg", "6.25 kg of it tastes like 2.5 kg"},
		{"", "", "", ""},
		{"strength: 0.5, ", "strength: 0.5, ", "", ""},
		{"strength: 2, each: 500 g, ", "strength: 1, each: 1 kg, ", "5 kg of it tastes like 2.5 kg of old ham bone", "5 kg of it tastes like 2.5 kg"},
	} {
		k, faults := Read("kitchen.yaml", []byte(file(c.old, c.mild)))
		require.NotNil(t, k, faults)
		line := k.Graph.Steps[0].Takes[1]
		assert.Equal(t, c.like, k.TastesLike(line, 1, 5000), "%+v", c)
		assert.Equal(t, c.stands, k.StandsFor(line, 1, 2500), "%+v", c)
		assert.Empty(t, k.TastesLike(line, 0, 2500), "the first choice stands for itself")
	}
}
