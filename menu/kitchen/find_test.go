package kitchen

import (
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A name is found in any capitals; of two that differ in nothing else, the one that is written.
func TestNamesAreFoundInAnyCapitals(t *testing.T) {
	k, found := Read("kitchen.yaml", []byte(`kitchen: Any
open: Tue-Sun
services: {Lunch: 11:30-14:30}
bought:
  Salt: {price: 1/kg, keeps: 2 weeks}
  salt: {price: 2/kg, keeps: 1 week}
  Ham bone: {price: 2/each}
steps:
  Night kettle: {takes: [1 each Ham bone, 1 g Salt, 1 g salt], gives: [2 L Stock], batches: {Tue: 1}}
made:
  Stock: {density: 1 kg/L}
dishes:
  Soup: {price: 5, takes: [400 mL Stock], sells: {Fri Lunch: 3}}
`))
	require.NoError(t, found.Err())
	for _, c := range []struct{ typed, want string }{{"HAM BONE", "Ham bone"}, {"salt", "salt"}, {"Salt", "Salt"}, {"soup", "Soup"},
		{"night KETTLE", "Night kettle"}, {"stok", "stok"}} {
		assert.Equal(t, c.want, k.Spelt(c.typed))
	}
	m, rest, err := k.ReadMeasured("2 each ham Bone, dropped", regexp.MustCompile(`,`))
	require.NoError(t, err)
	assert.Equal(t, "Ham bone", k.Graph.Items[m.Item].Name)
	assert.Equal(t, ", dropped", rest)
	for _, name := range []string{"Salt", "salt"} {
		m, _, err := k.ReadMeasured("1 g "+name, nil)
		require.NoError(t, err)
		assert.Equal(t, name, k.Graph.Items[m.Item].Name)
	}
	_, err = k.ServiceNamed("lunch")
	assert.NoError(t, err)
	assert.Equal(t, [2]int{14, 7}, [2]int{k.Terms.Keeps[0], k.Terms.Keeps[1]})
	assert.Equal(t, 3, k.Dishes[0].Sells[5][0])
}
