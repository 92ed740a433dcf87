package show

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/language"

	"kettletree/menu/ask"
	"kettletree/menu/kitchen"
	"kettletree/menu/tongue"
)

// What nobody knows and what a dish contains win a cell of the grid over what may be there; both are said, in the cell and below it.
func TestGridTellsBoth(t *testing.T) {
	k, faults := kitchen.Read("kitchen.yaml", []byte(`
bought: {masa: {price: 1/kg, allergens: [], may contain: [milk]}, salsa: {price: 2/kg}}
dishes: {tlayuda: {price: 5, takes: [100 g masa, 20 g salsa]}}
`))
	require.NoError(t, faults.Err())
	g := ask.Grid(k)
	assert.Equal(t, ask.Unknown, g.Dishes[0].Cells[0].Says)
	assert.Equal(t, []string{"may contain milk", "UNKNOWN: salsa. Read the package"}, Page{}.gridKinds(g, g.Dishes[0], false))
	assert.Equal(t, []ask.GridAlso{{Says: ask.MayContain, Kinds: []string{}, Ways: []ask.Way{{Path: []string{"masa", "tlayuda"}}}}}, g.Dishes[0].Cells[0].Also)
	assert.Contains(t, Grid(false)(Page{Width: 100}, g), "tlayuda  ?M")
}

// Walnuts that may hold almond make no dish that contains almond, in no language and in no form.
func TestGridKeepsMayApart(t *testing.T) {
	k, faults := kitchen.Read("kitchen.yaml", []byte(`
bought:
  walnuts: {price: 9/kg, allergens: [tree nuts: walnut], may contain: [tree nuts: almond]}
  shrimp: {price: 9/kg, allergens: [crustacean shellfish: shrimp]}
  broth: {price: 1/kg, may contain: [crustacean shellfish: crab]}
dishes:
  toast: {price: 5, takes: [15 g walnuts]}
  bowl: {price: 5, takes: [1 kg broth]}
`))
	require.NoError(t, faults.Err())
	g := ask.Grid(k)
	for tag, want := range map[language.Tag][]string{
		language.English: {"contains tree nuts: walnut", "may contain tree nuts: almond"},
		language.Spanish: {"contiene nueces de árbol (frutos de cáscara) (tree nuts): nuez de Castilla (nuez de nogal) (walnut)",
			"puede contener nueces de árbol (frutos de cáscara) (tree nuts): almendra (almond)"},
		language.Chinese: {"含有树坚果（tree nuts）：核桃（walnut）", "可能含有树坚果（tree nuts）：扁桃仁（巴旦木）（almond）"},
	} {
		assert.Equal(t, want, Page{Voice: tongue.In(tag)}.gridKinds(g, g.Dishes[0], false))
	}
	page, err := GridPage(Page{}, g, false)
	require.NoError(t, err)
	assert.Contains(t, string(page), `contains<span class="kinds">walnut</span><span class="also">may contain: almond</span>`)
	assert.Contains(t, string(page), `unknown<span class="also">may contain: crab</span>`)
	cells := slices.Concat(GridSheet(g)...)
	assert.Contains(t, cells, "contains: walnut; may contain: almond")
	assert.Contains(t, cells, "unknown; may contain: crab")
}
