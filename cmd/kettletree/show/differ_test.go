package show

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"kettletree/menu/ask"
)

// Money is as everywhere, and what had no cost was none.
func TestPlateAnswer(t *testing.T) {
	cost := func(x float64) *float64 { return &x }
	for want, p := range map[string]ask.PlateChange{
		"A plate of curry costs 8.20.":               {Dish: "curry", CostBefore: cost(0), CostAfter: cost(8.2013)},
		"A plate of curry costs 8.20, was 7.90.":     {Dish: "curry", CostBefore: cost(7.9), CostAfter: cost(8.2013)},
		"A plate of curry costs 8.2013, was 8.2001.": {Dish: "curry", CostBefore: cost(8.2001), CostAfter: cost(8.2013)},
		"A plate of stew costs 2.00.":                {Dish: "stew", CostBefore: cost(0), CostAfter: cost(2), PriceBefore: cost(9), PriceAfter: cost(9)},
	} {
		assert.Equal(t, want, plateAnswer(p, MoneyOf("USD")))
	}
}
