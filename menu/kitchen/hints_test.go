package kitchen

// Hints that lead on: what each says is written, until the file reads.

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestHintsLeadToAFileThatReads(t *testing.T) {
	src := `kitchen: Bar
money: USD
services: {dinner: 18:00-22:00}
bought:
  lime: {price: 20/case, allergens: []}
  egg: {price: 30/case, allergens: [egg]}
  oil: {price: 3/L, allergens: []}
steps:
  dressing: {takes: [1/2 each lime, 6 each egg, 1 glug oil], gives: [1 kg dressing], batches: {tue: 1}}
made: {dressing: {keeps: 1 day}}
dishes: {salad: {price: 9, takes: [100 g dressing], sells: 5}}
`
	follow := func(has, old, new string) {
		_, found := Read("kitchen.yaml", []byte(src))
		var hints []string
		for _, d := range found {
			hints = append(hints, d.Hint)
		}
		require.Contains(t, strings.Join(hints, "\n"), has)
		require.Contains(t, src, old)
		src = strings.Replace(src, old, new, 1)
	}
	follow(`"price: 20 for 200 each", and "pack: 200 each"`, "lime: {price: 20/case", "lime: {price: 20 for 200 each, pack: 200 each")
	follow(`what one case costs and how many are in it`, "egg: {price: 30/case", "egg: {price: 30/case, each: 360 each")
	follow(`"price: 20 for 360 each"`, "egg: {price: 30/case, each: 360 each", "egg: {price: 30 for 360 each")
	follow(`write how much one glug is, such as "20 mL oil"`, "1 glug oil", "1 each glug oil")
	follow(`write how much one glug is, such as "20 mL oil"`, "1 each glug oil", "20 mL oil")
	_, found := Read("kitchen.yaml", []byte(src))
	assert.Empty(t, found)
}
