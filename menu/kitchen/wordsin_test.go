package kitchen

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/language"
)

func TestWordsInOtherLanguages(t *testing.T) {
	const src = `kitchen: Any
also:
  es: {simmer: a fuego lento, late: tarde}
  zh: {simmer: 小火}
services: {late: 20:00-23:00}
bought: {bones: {price: 2/kg}}
steps:
  boil: {takes: [2 kg bones], gives: ["2 kg broth, out at 3 h"], phases: [simmer], starts: "09:00", batches: {mon: 1}}
dishes: {soup: {price: 5, takes: [400 g broth]}}
`
	k, found := Read("kitchen.yaml", []byte(src))
	require.NoError(t, found.Err())
	said, ok := k.WordIn("simmer", language.MustParse("es-MX"))
	assert.True(t, ok)
	assert.Equal(t, "a fuego lento", said)
	_, ok = k.WordIn("late", language.Chinese)
	assert.False(t, ok)
}
