package ask

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/kitchen"
	"kettletree/menu/week/weektest"
)

// Worked tables of the rule of Kasavana and Smith, Menu Engineering (1982). A dish is bought ready at its cost, so that the plate
// costs what the table says.
func TestPopularityAgainstWorkedTables(t *testing.T) {
	type row struct {
		name        string
		sold        int
		cost, price float64
		class       string
	}
	for _, tc := range []struct {
		source                          string
		rows                            []row
		sold                            int
		popularFrom, mean               float64
		sales, cost, contribution, foot float64 // foot: food cost %
	}{
		{"inputs of a published exercise (menu engineering worksheet)", []row{
			{"A", 481, 4.90, 12.50, "plowhorse"}, {"B", 190, 6.50, 14.75, "puzzle"},
			{"C", 205, 5.20, 10.60, "dog"}, {"D", 340, 7.00, 16.80, "star"},
		}, 1216, 0.175, 7.9458, 16700.00, 7037.90, 9662.10, 42.1431},
		{"Dittmer and Keefe, Principles of Food, Beverage, and Labor Cost Controls, chapter 11", []row{
			{"strip steak", 73, 6.50, 18.90, "star"}, {"fried chicken", 90, 3.90, 12.75, "plowhorse"},
			{"lamb chops", 55, 7.00, 20.35, "puzzle"}, {"fried scallops", 92, 5.90, 18.50, "star"},
			{"broiled haddock", 85, 4.50, 15.65, "plowhorse"}, {"roast turkey", 92, 3.00, 12.00, "plowhorse"},
			{"stuffed shrimp", 77, 6.70, 18.50, "star"}, {"veal", 65, 6.50, 18.75, "star"},
		}, 629, 0.0875, 11.2492, 10425.95, 3350.20, 7075.75, 32.1333},
		{"four-item textbook example, from memory", []row{
			{"chicken", 420, 2.21, 4.95, "plowhorse"}, {"NY strip", 360, 4.50, 8.50, "star"},
			{"lobster", 150, 4.95, 9.50, "puzzle"}, {"tips", 70, 4.00, 6.45, "dog"},
		}, 1000, 0.175, 3.4448, 0, 0, 3444.80, 0},
	} {
		t.Run(tc.source, func(t *testing.T) {
			var bought, dishes, sold strings.Builder
			sold.WriteString("dish,sold\n")
			for _, r := range tc.rows {
				fmt.Fprintf(&bought, "  raw %s: {price: %v/each}\n", r.name, r.cost)
				fmt.Fprintf(&dishes, "  %s: {price: %v, takes: [1 each raw %s]}\n", r.name, r.price, r.name)
				fmt.Fprintf(&sold, "%s,%d\n", r.name, r.sold)
			}
			w := weektest.SmallWeek(t, "bought:\n"+bought.String()+"dishes:\n"+dishes.String())
			portions, faults := kitchen.ReadSold("sold.csv", []byte(sold.String()), w.Kitchen)
			require.Empty(t, faults)
			a, err := Popularity(t.Context(), w, portions)
			require.NoError(t, err)
			assert.Equal(t, tc.sold, a.Sold)
			assert.InDelta(t, tc.popularFrom, a.PopularFrom, 1e-12)
			assert.InDelta(t, tc.mean, a.ProfitFrom, 5e-4)
			assert.InDelta(t, tc.contribution, a.Contribution, 0.005)
			if tc.foot > 0 {
				assert.InDelta(t, tc.sales, a.Sales, 0.005)
				assert.InDelta(t, tc.cost, a.Cost, 0.005)
				assert.InDelta(t, tc.foot, 100*a.Cost/a.Sales, 5e-4)
			}
			for i, r := range tc.rows {
				assert.Equal(t, r.class, a.Dishes[i].Class, r.name)
			}
		})
	}
}

// A dish that stands exactly on both lines is popular and profitable.
func TestPopularityOnTheLine(t *testing.T) {
	w := weektest.SmallDays(t, `
bought: {egg: {price: 1/each}}
dishes:
  one: {price: 3, takes: [1 each egg]}
  two: {price: 3, takes: [1 each egg]}
`, 1)
	a, err := Popularity(t.Context(), w, []int{35, 65})
	require.NoError(t, err)
	assert.Equal(t, "star", a.Dishes[0].Class, "35 of 100 is 70 % of half")
	a, err = Popularity(t.Context(), w, []int{349, 651})
	require.NoError(t, err)
	assert.Equal(t, "puzzle", a.Dishes[0].Class)
	_, err = Popularity(t.Context(), w, nil)
	assert.ErrorContains(t, err, "nothing is sold")
}

func TestReadSoldFaults(t *testing.T) {
	k, faults := kitchen.Read("kitchen.yaml", []byte("bought: {egg: {price: 1/each}}\ndishes:\n  boiled egg: {price: 3, takes: [1 each egg]}\n"))
	require.NoError(t, faults.Err())
	sold, faults := kitchen.ReadSold("sold.csv", []byte("dish,sold\nboiled eg,3\nboiled egg,2.5\nboiled egg\n"), k)
	assert.Nil(t, sold)
	assert.Equal(t, `sold.csv:2:1: error: unknown dish "boiled eg" [unknown-dish]
   2 | boiled eg,3
     | ^^^^^^^^^
hint: did you mean "boiled egg" (kitchen.yaml:3:3)?
sold.csv:3:12: error: "2.5" is not a whole number of portions [bad-number]
   3 | boiled egg,2.5
     |            ^^^
hint: write it as 42
sold.csv:4:1: error: row has 1 fields, not 2 [bad-row]
   4 | boiled egg
     | ^^^^^^^^^^
hint: write a dish and its portions, such as red pozole,42`, faults.Error())
	sold, faults = kitchen.ReadSold("sold.csv", []byte("dish,sold\nboiled egg,3\nboiled egg,4\n"), k)
	assert.Empty(t, faults)
	assert.Equal(t, []int{7}, sold)
}

func FuzzReadSold(f *testing.F) {
	k, _ := kitchen.Read("kitchen.yaml", []byte("bought: {egg: {price: 1/each}}\ndishes:\n  boiled egg: {price: 3, takes: [1 each egg]}\n"))
	f.Add([]byte("dish,sold\nboiled egg,3\n"))
	f.Add([]byte("dish,sold\n\"boiled\negg\",x\n"))
	f.Fuzz(func(t *testing.T, src []byte) {
		sold, faults := kitchen.ReadSold("sold.csv", src, k)
		assert.Equal(t, faults.Err() != nil, sold == nil)
	})
}
