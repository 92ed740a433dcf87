package guide

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"golang.org/x/text/language"

	"kettletree/menu/week/weektest"
)

// A station with hot fat, with something shared, or with something that is heated again says so on its own page; another does not.
func TestStationCautions(t *testing.T) {
	const src = `services: {lunch: 12:00-14:00}
vessels: {pan: {holds: 5 L}, deep fryer: {holds: 8 L}}
bought: {back fat: {price: 1/kg, allergens: []}, potato: {price: 1/kg, allergens: []}, beans: {price: 1/kg, allergens: [], may contain: [mustard]}}
steps:
  render: {takes: [2 kg back fat], gives: [1 kg drippings fat], batches: as needed, station: range, vessel: pan}
  chips: {takes: [2 kg potato], gives: [1 kg chips], batches: as needed, station: fryer, vessel: deep fryer, may contain: [fish: cod]}
  warm: {takes: [1 kg beans], gives: [1 kg warm beans], batches: as needed, station: bench, reheats: yes}
dishes: {plate: {price: 4, takes: [10 g drippings fat, 100 g chips, 50 g warm beans], sells: {lunch: 10}}}
`
	g, err := Of(t.Context(), weektest.SmallDays(t, src, 2), language.English)
	require.NoError(t, err)
	got := map[string]Dangers{}
	for _, st := range g.Stations {
		got[st.Name] = st.Dangers
	}
	assert.True(t, got["range"].Fat)
	assert.True(t, got["fryer"].Fat)
	assert.False(t, got["bench"].Fat)
	assert.True(t, got["bench"].Reheats)
	for name, d := range got {
		assert.True(t, d.Cools, "what is made as needed at the %s is kept, and so cooled", name)
	}
	assert.Equal(t, []string{"fish (cod)"}, got["fryer"].May)
	assert.Equal(t, []string{"mustard"}, got["bench"].May)
	page := g.Markdown()
	assert.Equal(t, 3, strings.Count(string(page), hotFat), "the usual cautions have it, and both stations")
	for _, said := range []string{"May contain fish (cod)", "165"} {
		assert.Contains(t, string(page), said)
	}
}
