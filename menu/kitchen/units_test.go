package kitchen

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const creamery = `kitchen: Creamery
services: {lunch: 12:00-14:00}
vessels: {pot: {holds: 6 qt}, vat: {holds: 30 gal}}
bought: {stock: {price: 5/L, density: 1 kg/L}, juice: {price: 0/L, density: 1.02 kg/L}}
steps:
  simmer: {vessel: pot, takes: [4 L stock, 500 mL juice, 2 qt juice], gives: [2 L sauce], batches: as needed}
dishes: {bowl: {price: 9, takes: [100 mL sauce], sells: 3}}
`

// What is too much for a vessel is said in the kitchen's units: 4.5 L and 2 qt are 6.755 qt, and the pot holds 6 (a gallon is 231 cubic inches,
// 3.785 411 784 L, and has 4 quarts: NIST Handbook 44, appendix C).
func TestVesselsInTheKitchensUnits(t *testing.T) {
	for head, want := range map[string]string{
		"":                `fills 1.7 gal, but "pot" holds 1.5 gal: 0.75 qt too much`, // as all vessels are written
		"units: us\n":     `fills 1.7 gal, but "pot" holds 1.5 gal: 0.75 qt too much`,
		"units: metric\n": `fills 6.39 L, but "pot" holds 5.68 L: 0.715 L too much`,
	} {
		_, faults := Read("k.yaml", []byte(strings.Replace(creamery, "services:", head+"services:", 1)))
		require.Len(t, faults, 1, head)
		assert.Contains(t, faults[0].Msg, want, head)
	}
}

// As a US cook says it: quarts up to a gallon, then gallons; what the card itself writes in quarts stays in quarts.
func TestGallons(t *testing.T) {
	k, faults := Read("k.yaml", []byte(strings.NewReplacer("services:", "units: us\nservices:", "6 qt", "9 qt").Replace(creamery)))
	require.Empty(t, faults)
	item := func(name string) int {
		i, err := k.FindItem(name)
		require.NoError(t, err)
		return i
	}
	step, err := k.FindStep("simmer")
	require.NoError(t, err)
	assert.Equal(t, "1.06 gal", k.OnCard(step, AnyLine, item("stock"), 4000).String())
	assert.Equal(t, "0.53 qt", k.OnCard(step, AnyLine, item("stock"), 500).String(), "and not 0.55")
	assert.Equal(t, "3.15 qt", k.OnCard(step, AnyLine, item("stock"), 3000).String())
	assert.Equal(t, "8.45 qt", k.OnCard(step, AnyLine, item("juice"), 8000).String())
	assert.Equal(t, "3.15 qt", k.Quantity(item("sauce"), 3000).OnScale().String())
	assert.Equal(t, "5.3 gal", k.Quantity(item("sauce"), 20_000).OnScale().String())
}

// A kitchen that weighs in kilograms reads °C, also where its code is in °F.
func TestThermometer(t *testing.T) {
	litres := strings.NewReplacer("6 qt", "9 L", "30 gal", "90 L", "2 qt", "2 L").Replace(creamery)
	for text, want := range map[string]string{
		litres: "C",
		strings.Replace(litres, "services:", "units: us\nservices:", 1):                                                    "F",
		strings.Replace(litres, "90 L", "30 gal", 1):                                                                       "F",
		strings.Replace(litres, "2 L juice", "2 qt juice", 1):                                                              "F",
		strings.Replace(litres, "2 L juice", "2 cup juice", 1):                                                             "C",
		strings.Replace(strings.Replace(litres, "services:", "units: metric\nservices:", 1), "2 L juice", "2 qt juice", 1): "C",
		strings.Replace(strings.Replace(litres, "services:", "food code: UK\nservices:", 1), "2 L juice", "2 qt juice", 1): "C",
	} {
		k, faults := Read("k.yaml", []byte(text))
		require.Empty(t, faults.Err(), text)
		assert.Equal(t, want, k.Thermometer(), text)
	}
}
