package kitchen

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestPlural(t *testing.T) {
	// English usage, from memory.
	for one, many := range map[string]string{
		"stewing hen": "stewing hens", "lime": "limes", "bay leaf": "bay leaves", "bread loaf": "bread loaves", "live lobster": "live lobsters",
		"plum tomato": "plum tomatoes", "avocado": "avocados", "fish": "fish", "radish": "radishes", "peach": "peaches", "ham bones": "ham bones",
		"anchovy": "anchovies", "turkey": "turkeys", "head of garlic": "heads of garlic", "pig's foot": "pig's feet", "octopus": "octopuses",
		"egg (large)": "egg (large)", "eggs": "eggs", "box": "boxes",
	} {
		assert.Equal(t, many, plural(one))
		assert.Equal(t, plural(many), many, "the plural of a plural is itself")
	}
}

func TestPluralOfTheFile(t *testing.T) {
	const src = `kitchen: Any
language: %s
bought:
  hen:   {price: 9/each}
  brace: {price: 20/each, plural: brace}
  salt:  {price: 1/kg}
steps:
  boil: {takes: [2 each hen, 1 each brace, 5 g salt], gives: [4 L broth, 2 each pie], batches: to order, share cost by: main}
made:
  broth: {worth: 2/L}
  pie: {worth: 1/each, plural: "%s"}
dishes:
  soup: {price: 5, takes: [400 mL broth, 1 each pie]}
`
	read := func(language, pies string) *Kitchen {
		k, found := Read("kitchen.yaml", []byte(fmt.Sprintf(src, language, pies)))
		require.NoError(t, found.Err())
		return k
	}
	count := func(k *Kitchen, name string, n float64) string {
		i, err := k.FindItem(name)
		require.NoError(t, err)
		return k.Counted(i, n)
	}
	en, fr := read("en", "pies"), read("fr", "tartes")
	assert.Equal(t, "14 hens", count(en, "hen", 14))
	assert.Equal(t, "1 hen", count(en, "hen", 1))
	assert.Equal(t, "½ hen", count(en, "hen", 0.5))
	assert.Equal(t, "3 brace", count(en, "brace", 3))
	assert.Equal(t, "2 kg salt", count(en, "salt", 2000))
	assert.Equal(t, "2 pies", count(en, "pie", 2))
	assert.Equal(t, "14 hen", count(fr, "hen", 14), "the rules of English are for English")
	assert.Equal(t, "2 tartes", count(fr, "pie", 2))
}

// Real Academia Española, Ortografía de la lengua española and Nueva gramática básica, from memory.
func TestPluralSpanish(t *testing.T) {
	for one, many := range map[string]string{
		"gallina": "gallinas", "limón": "limones", "aguacate": "aguacates", "hoja de laurel": "hojas de laurel", "huevo duro": "huevos duros",
		"pez": "peces", "nuez de Castilla": "nueces de Castilla", "jamón": "jamones", "árbol": "árboles", "col": "coles", "pan": "panes",
		"huesos de pata": "huesos de pata", "ají": "ajíes", "anís": "anises", "bolillo": "bolillos", "tortilla para tacos": "tortillas para tacos",
	} {
		assert.Equal(t, many, pluralSpanish(one))
	}
}
