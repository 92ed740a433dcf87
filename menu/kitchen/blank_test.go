package kitchen

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Whatever stands in a kitchen file stands in a blank, and is read back as what it was.
func TestBlanksThereAndBack(t *testing.T) {
	n := 0
	for _, src := range exampleFiles(t) {
		m, err := newManuscript("kitchen.yaml", src)
		require.NoError(t, err)
		for _, list := range Lists {
			for _, name := range keysOf(m.find(list)) {
				body := m.find(list, name)
				for _, key := range keysOf(body) {
					f := formOf(list, key)
					require.NotNil(t, f, "%s %s %s", list, name, key)
					text := f.shown(behind(body, key))
					back, err := m.part(f.typed(text))
					require.NoError(t, err, "%s %s %s: %s", list, name, key, text)
					require.True(t, sameTree(behind(body, key), back), "%s %s %s: %s is read as %s", list, name, key, text, f.typed(text))
					require.NoError(t, Fill(list, name, key, text).do(m))
					n++
				}
			}
		}
		assert.Equal(t, string(src), string(m.src), "nothing was changed")
	}
	assert.Greater(t, n, 500)
}

func TestFill(t *testing.T) {
	const src = `kitchen: K
bought:
  hen: {price: 9/each, each: 2 kg, allergens: []}    # from the farm
  water: {price: 0/L, density: 1 kg/L}
  salt: {price: 1/kg}
steps:
  kettle:
    takes:
      - 10 each hen, in at 1 h   # plucked
      # the rest goes in cold
      - 30 L water
      - 100 g salt   # coarse
    gives: [28 L stock, 6 kg meat]
    batches: {tue: 1, sat: 2}   # not on Sundays
    costs: 5
made:
  stock: {density: 1 kg/L}
dishes:
  soup: {price: 7, takes: [300 mL stock, 60 g meat], sells: 9}
`
	for _, c := range []struct {
		list, name, key, text string
		from, to              string // what changes in the text
	}{
		{InBought, "hen", "price", "9.50/each", "price: 9/each, each: 2 kg, allergens: []}    #", "price: 9.50/each, each: 2 kg, allergens: []} #"},
		{InBought, "hen", "allergens", "milk, fish: cod", "allergens: []}    #", "allergens: [milk, {fish: cod}]} #"},
		{InBought, "hen", "allergens", "", ", allergens: []", ""},
		{InBought, "salt", "allergens", "none", "{price: 1/kg}", "{price: 1/kg, allergens: []}"},
		{InSteps, "kettle", "takes", "10 each hen, in at 1 h\n30 L water\n120 g salt", "100 g salt", "120 g salt"},
		{InSteps, "kettle", "takes", "10 each hen, in at 1 h\r\n\r\n30 L water\r\n", "      - 100 g salt   # coarse\n", ""},
		{InSteps, "kettle", "takes", "10 each hen, in at 1 h\n20 g salt\n30 L water", "      # the rest goes in cold\n      - 30 L water\n      - 100 g salt   # coarse\n",
			"      - 20 g salt\n      # the rest goes in cold\n      - 30 L water\n"},
		{InSteps, "kettle", "gives", "28 L stock ± 2 L\n6 kg meat\n1 kg fat, out at 2 h", "[28 L stock, 6 kg meat]", `[28 L stock ± 2 L, 6 kg meat, "1 kg fat, out at 2 h"]`},
		{InSteps, "kettle", "batches", "tue: 2\nfri: 1", "{tue: 1, sat: 2}", "{tue: 2, fri: 1}"},
		{InSteps, "kettle", "batches", "as needed", "{tue: 1, sat: 2}   #", "as needed          #"},
		{InSteps, "kettle", "work", "load: 15 min + 5 min a batch\nskim: 5 min an hour", "    costs: 5\n", "    costs: 5\n    work: {load: 15 min + 5 min a batch, skim: 5 min an hour}\n"},
		{InSteps, "kettle", "starts", "22:30", "    costs: 5\n", "    starts: 22:30\n    costs: 5\n"},
		{InMade, "meat", "keeps", "3 days", "  stock: {density: 1 kg/L}\n", "  stock: {density: 1 kg/L}\n  meat: {keeps: 3 days}\n"},
		{InDishes, "soup", "sells", "dinner: 9\nlunch: 4 ± 1", "sells: 9", "sells: {dinner: 9, lunch: 4 ± 1}"},
		{InDishes, "soup", "sells", "9 ± 2", "sells: 9", "sells: 9 ± 2"},
		{InDishes, "soup", "method", "Say: \"hot\", then go", ", sells: 9", `, sells: 9, method: 'Say: "hot", then go'`},
		{InDishes, "soup", "also sold as", "Soup, of hen\nHen # 2", ", sells: 9", `, sells: 9, also sold as: ["Soup, of hen", "Hen # 2"]`},
		{InBought, "hen", "also from", "corner shop: {price: 11/each, within: 30 min}", "allergens: []", "allergens: [], also from: {corner shop: {price: 11/each, within: 30 min}}"},
	} {
		m, err := newManuscript("kitchen.yaml", []byte(src))
		require.NoError(t, err)
		require.NoError(t, Fill(c.list, c.name, c.key, c.text).do(m), c.text)
		require.Equal(t, 1, strings.Count(src, c.from), c.from)
		assert.Equal(t, strings.Replace(src, c.from, c.to, 1), string(m.src), c.text)
	}
	_, err := Change("kitchen.yaml", []byte(src), Fill(InBought, "hen", "prise", "9/each"))
	assert.EqualError(t, err, `a bought item has no "prise"`)
}
