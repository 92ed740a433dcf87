package show

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"kettletree/menu/ask"
)

// What a dish's odds say on a page: each figure once, in words, as far as more weeks have less of it.
func TestOddsAreSaid(t *testing.T) {
	for _, c := range []struct {
		p10, p50, p90 int
		wants         string
	}{
		{0, 0, 0, "None of 28 in 9 weeks of 10."},
		{21, 21, 21, "At least 21 of 28 in 9 weeks of 10."},
		{21, 28, 28, "At least 21 of 28 in 9 weeks of 10, and 28 in 5 of 10."},
		{21, 25, 28, "At least 21 of 28 in 9 weeks of 10, 25 in 5 of 10 and 28 in 1 of 10."},
		{0, 12, 28, "At least 12 of 28 in 5 weeks of 10, and 28 in 1 of 10."},
		{0, 0, 3, "At least 3 of 28 in 1 week of 10."},
	} {
		d := ask.DishChance{Forecast: 28, P10: c.p10, P50: c.p50, P90: c.p90, RunsOut: 0.31}
		d.Name = "stew"
		a := &ask.Chances{Services: []ask.DishChance{d}, Dishes: []ask.DishChance{d}}
		text := chanceTables(Page{Blocks: true}, a, Money{})
		assert.Equal(t, 2, strings.Count(text, c.wants+" Chance that it runs out: 31%."), text)
		assert.NotContains(t, text, "·")
		assert.Contains(t, chanceTables(Page{Width: 100}, a, Money{}), "9 of 10", "the command line has columns")
	}
}
