package kitchen

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/language"
)

func TestWordsInOtherLanguages(t *testing.T) {
	const src = `kitchen: Any
also:
  es: {simmer: a fuego lento, late: tarde, gel: cuajado}
  zh: {simmer: 小火}
services: {late: 20:00-23:00}
bought: {bones: {price: 2/kg}}
steps:
  boil: {takes: [2 kg bones], gives: ["2 kg broth, out at 3 h"], phases: [simmer], starts: "09:00", batches: {mon: 1}}
made: {broth: {measures: {gel: 1-5}}}
dishes: {soup: {price: 5, takes: [400 g broth]}}
`
	k, found := Read("kitchen.yaml", []byte(src))
	require.NoError(t, found.Err())
	said, ok := k.WordIn("simmer", language.MustParse("es-MX"))
	assert.True(t, ok)
	assert.Equal(t, "a fuego lento", said)
	said, _ = k.WordIn("gel", language.Spanish)
	assert.Equal(t, "cuajado", said, "of an item, too")
	_, ok = k.WordIn("late", language.Chinese)
	assert.False(t, ok)
}

func TestUnitsOfCards(t *testing.T) {
	const src = `kitchen: Any
units: %s
bought: {bones: {price: 2/lb}}
steps: {boil: {takes: [8 oz bones], gives: [200 g broth], batches: to order}}
dishes: {soup: {price: 5, takes: [100 g broth]}}
`
	for units, want := range map[string]string{"as written": "16 oz", "metric": "455 g", "us": "1 lb"} {
		k, found := Read("kitchen.yaml", []byte(fmt.Sprintf(src, units)))
		require.NoError(t, found.Err())
		assert.Equal(t, want, k.QuantityOn(0, 0, 453.59237).Handy().OnScale().String())
		assert.Equal(t, "lb", k.Written(0).Name, "what is written into the file keeps to its units")
		assert.InDelta(t, 2, k.Terms.Price[0]*453.59237, 1e-12)
		assert.Equal(t, map[string]string{"as written": "2 lb", "metric": "0.9072 kg", "us": "2 lb"}[units], k.Quantity(0, 2*453.59237).String())
	}
}
