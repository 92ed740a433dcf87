package kitchen

// Something is called otherwise: what was said under the former name still counts, and the difference says so in a line.

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const beforeRename = `bought: {bones: {price: 2/kg}}
steps: {pot: {takes: [20 kg bones], gives: [12 kg stock], batches: {tue: 1}}}
dishes:
  soup: {price: 6, takes: [300 g stock]}
  stew: {price: 9, takes: [200 g stock]}
`

func renamedTo(t *testing.T, src, from, to string) string {
	t.Helper()
	text, err := Change("kitchen.yaml", []byte(src), Rename(from, to), Was(to, from))
	require.NoError(t, err)
	return string(text)
}

func saysOf(t *testing.T, before, after string) (says []string) {
	t.Helper()
	list, err := Alterations("a", []byte(before), "b", []byte(after))
	require.NoError(t, err)
	for _, a := range list {
		says = append(says, a.String())
	}
	return says
}

func TestFormerNames(t *testing.T) {
	now := renamedTo(t, beforeRename, "stock", "broth")
	assert.Contains(t, now, "made: {broth: {was: [stock]}}")
	assert.Equal(t, []string{"stock is now called broth; 3 lines that use it; what was logged as stock still counts"}, saysOf(t, beforeRename, now))
	assert.Equal(t, []string{"broth is now called stock; 3 lines that use it"}, saysOf(t, now, beforeRename), "taken back")
	k, faults := Read("kitchen.yaml", []byte(now))
	require.NoError(t, faults.Err())
	i, err := k.FindItem("stock")
	require.NoError(t, err)
	assert.Equal(t, "broth", k.Graph.Items[i].Name)

	again := renamedTo(t, now, "broth", "clear broth")
	assert.Contains(t, again, "clear broth: {was: [stock, broth]}")
	back := renamedTo(t, again, "clear broth", "stock")
	assert.Contains(t, back, "stock: {was: [broth, clear broth]}", "nothing was called what it is called")

	pot := renamedTo(t, beforeRename, "pot", "kettle")
	assert.Equal(t, []string{"pot is now called kettle; what was logged as pot still counts"}, saysOf(t, beforeRename, pot))
	k, _ = Read("kitchen.yaml", []byte(pot))
	s, err := k.FindStep("pot")
	require.NoError(t, err)
	assert.Equal(t, "kettle", k.Graph.Steps[s].Name)

	plain, err := Change("kitchen.yaml", []byte(beforeRename), Rename("stock", "broth"))
	require.NoError(t, err)
	assert.Equal(t, []string{"stock is now called broth; 3 lines that use it"}, saysOf(t, beforeRename, string(plain)))

	_, err = Change("kitchen.yaml", []byte(now), Enter(InBought, "stock", map[string]string{"price": "3/L"}))
	require.Error(t, err, "entries of the log book would be about two things")
	stuck := err.(*AmendError)
	assert.Contains(t, stuck.Faults.Error(), `"stock" is what "broth" was called, and something is called so now`)
}

func TestSplitSaysWhatIsMissing(t *testing.T) {
	_, err := Change("kitchen.yaml", []byte(beforeRename), Split("pot", "strain", "12 kg raw stock", []int{0}, nil))
	assert.EqualError(t, err, "nothing that pot gives would come out of strain")
}

// Pots and suppliers have former names, too: a depth is read in the pot that was called so, a delivery came from who was called so.
func TestFormerNamesOfVesselsAndSuppliers(t *testing.T) {
	const src = `vessels: {pot: {holds: 60 L, inside diameter: 40 cm}, pan: {holds: 10 L}}
suppliers: {butcher: {delivers: tue fri}, farm: {delivers: mon}}
bought: {bones: {price: 2/kg, from: butcher, also from: {farm: {price: 3/kg}}}}
steps: {boil: {vessel: pot, takes: [20 kg bones], gives: [15 L stock], batches: {tue: 1}}}
made: {stock: {density: 1.01 kg/L}}
dishes: {soup: {price: 6, takes: [300 mL stock]}}
`
	now := renamedTo(t, renamedTo(t, renamedTo(t, src, "pot", "big kettle"), "butcher", "meat hall"), "farm", "hill farm")
	assert.Contains(t, now, "big kettle: {holds: 60 L, inside diameter: 40 cm, was: [pot]}")
	assert.Contains(t, now, "meat hall: {delivers: tue fri, was: [butcher]}")
	assert.Contains(t, now, "from: meat hall, also from: {hill farm: {price: 3/kg}}")
	assert.Contains(t, now, "boil: {vessel: big kettle,")
	assert.Contains(t, saysOf(t, src, now), "pot is now called big kettle; what was logged as pot still counts")
	k, faults := Read("kitchen.yaml", []byte(now))
	require.NoError(t, faults.Err())
	assert.Equal(t, "meat hall", k.Now(NamedSupplier, "butcher"))
	assert.True(t, k.Renamed())
	_, vessel, _, err := k.Depth(0, "20 cm in pot")
	require.NoError(t, err)
	assert.Equal(t, "big kettle", k.Vessels[vessel].Name)
	for _, bad := range []string{"pan: {holds: 10 L, was: [pot]}, pot: {}", "pan: {was: [pot]}, tub: {was: [pot]}"} {
		_, faults := Read("kitchen.yaml", []byte("vessels: {"+bad+"}\nbought: {bones: {price: 2/kg}}\ndishes: {bowl: {price: 6, takes: [300 g bones]}}\n"))
		assert.Error(t, faults.Err(), bad)
	}
}
