package guide

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/language"

	"kettletree/menu/week/weektest"
)

// A station that the file calls bench goes by the file's own word in each language; where it has none, by the guide's.
func TestOwnWordForBench(t *testing.T) {
	const plain = `services: {lunch: 12:00-14:00}
bought: {flour: {price: 1/kg, also: {es: harina, zh: 面粉}}}
steps: {mix: {station: bench, takes: [1 kg flour], gives: [1 kg dough], batches: as needed, also: {es: mezclar, zh: 和面}}}
made: {dough: {keeps: 2 days, also: {es: masa, zh: 面团}}}
dishes: {bread: {price: 4, takes: [100 g dough], sells: {lunch: 4}, also: {es: pan, zh: 面包}}}
`
	for _, c := range []struct {
		src  string
		in   language.Tag
		want string
	}{
		{"also: {es: {bench: mesa}, zh: {bench: 案台}}\n" + plain, language.Spanish, "Estación: mesa"},
		{"also: {es: {bench: mesa}, zh: {bench: 案台}}\n" + plain, language.Chinese, "案台"},
		{plain, language.Spanish, "mesa de trabajo"},
		{plain, language.Chinese, "操作台"},
	} {
		page, err := guideOf(t, weektest.SmallWeek(t, c.src), c.in).Page(t.Context(), nil)
		require.NoError(t, err)
		assert.Contains(t, string(page), c.want)
		if c.src != plain {
			assert.NotContains(t, string(page), "mesa de trabajo")
			assert.NotContains(t, string(page), "操作台")
		}
	}
}
