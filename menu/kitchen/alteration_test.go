package kitchen

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph/lawtest"
)

const alterationsOf = `kitchen: K   # a remark
services: {lunch: 12:00-14:00}
bought:
  meat: {price: 5.00/kg, allergens: []}
  water: {price: 0/L, density: 1 kg/L}
steps:
  cook:
    takes:
      - 9 kg meat
      - 9 L water, in at 1 h
    gives: [5 kg it ± 1 kg]
    batches: {tue: 1, sat: 1}
dishes:
  plate: {price: 9, takes: [100 g it], sells: {lunch: 4}}
`

func TestAlterations(t *testing.T) {
	for _, c := range []struct {
		from, to string
		want     []string
	}{
		{"   # a remark", "", nil},
		{"5.00/kg", "5/kg", nil},
		{"± 1 kg", "+- 1.0 kg", nil},
		{"[5 kg it ± 1 kg]", "\n      - 5 kg  it ± 1 kg", nil},
		{"5.00/kg", "5.50/kg", []string{"meat: price 5.50/kg, was 5.00/kg"}},
		{"price: 5.00/kg, ", "", []string{"meat: price not written any more, was 5.00/kg"}},
		{"9 L water, in at 1 h", "10 L water, in at 1 h", []string{"cook: takes 10 L water, in at 1 h, was 9 L water, in at 1 h"}},
		{"      - 9 L water, in at 1 h\n", "", []string{"cook: no longer takes 9 L water, in at 1 h"}},
		{"      - 9 kg meat\n      - 9 L water, in at 1 h", "      - 9 L water, in at 1 h\n      - 9 kg meat", nil},
		{"      - 9 kg meat", "      - 9 kg meat\n      - 1 kg salt", []string{"cook: now takes 1 kg salt too"}},
		{"[5 kg it ± 1 kg]", "[6 kg it]", []string{"cook: gives 6 kg it, was 5 kg it ± 1 kg"}},
		{"sat: 1", "fri: 1, sat: 2", []string{"cook: batches fri 1, was not written", "cook: batches sat 2, was 1"}},
		{"{tue: 1, sat: 1}", "as needed", []string{"cook: batches as needed, was {tue: 1, sat: 1}"}},
		{"plate:", "large plate:", []string{"plate is now called large plate"}},
		{"lunch: 4", "lunch: 5", []string{"plate: sells lunch 5, was 4"}},
		{"12:00-14:00", "12:00-15:00", []string{"kitchen: services lunch 12:00-15:00, was 12:00-14:00"}},
		{"  water: {price: 0/L, density: 1 kg/L}\n", "  salt: {price: 1/kg}\n", []string{"new bought item: salt", "bought item taken away: water"}},
	} {
		require.Contains(t, alterationsOf, c.from)
		found, err := Alterations("a", []byte(alterationsOf), "b", []byte(strings.Replace(alterationsOf, c.from, c.to, 1)))
		require.NoError(t, err)
		var said []string
		for _, a := range found {
			said = append(said, a.String())
		}
		assert.Equal(t, c.want, said, c.to)
	}
	_, err := Alterations("a", []byte(alterationsOf), "b", []byte("kitchen: ["))
	assert.EqualError(t, err, "b can't be read")
}

// A text that reads to the same kitchen is told as the same, and what an edit changes is told: nothing else, and never nothing.
func TestAlterationsOfEdits(t *testing.T) {
	lawtest.Few(t, 20)
	texts := exampleFiles(t)
	rapid.Check(t, func(t *rapid.T) {
		src := rapid.SampledFrom(texts).Draw(t, "example")
		model := held(t, src)
		before := held(t, src)
		e := drawEdit(t, src, model)
		m, err := newManuscript("kitchen.yaml", src)
		require.NoError(t, err)
		if e.do(m) != nil {
			return
		}
		found, err := Alterations("a", src, "b", m.src)
		require.NoError(t, err)
		same, err := Alterations("b", m.src, "b", m.src)
		require.NoError(t, err)
		require.Empty(t, same)
		if assert.ObjectsAreEqual(before, held(t, m.src)) {
			require.Empty(t, found, e.Says)
			return
		}
		require.NotEmpty(t, found, e.Says)
		of := found[0].Of
		for _, a := range found {
			require.Equal(t, of, a.Of, e.Says)
		}
	})
}
