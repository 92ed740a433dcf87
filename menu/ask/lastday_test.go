package ask

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// What keeps N days counts the day made as day 1 (US FDA Food Code 2022, 3-501.17): made on Monday and keeping three days, it
// must be used on Wednesday.
func TestLastDays(t *testing.T) {
	// Today's rolls are not to be used up: they are today's.
	stock := "item,quantity,made\nstock,400 mL,2026-11-22\nstock,100 mL,2026-11-21\nroll,5 each,2026-11-23\n"
	w := weektest.Stocked(t, `kitchen: Pot
services: {lunch: 12:00-14:00}
bought: {bones: {price: 1/kg}, roll: {price: 0.5/each, keeps: 1 day}}
steps:
  boil: {takes: [2 kg bones], gives: [1 L stock, 1 kg meat], batches: {mon: 1}, starts: "08:00"}
made: {stock: {keeps: 3 days, density: 1 kg/L}, meat: {keeps: 2 days}}
dishes:
  cup: {price: 3, takes: [100 mL stock, 1 each roll], sells: {lunch: 2}}
`, stock, week.Period{From: weektest.Monday, Days: 5})
	for day, want := range [][]LastDay{
		{{Item: "stock", Unit: "mL", Amount: 100, Binned: 0}}, // Saturday's is used first
		{{Item: "stock", Unit: "mL", Amount: 300, Binned: 100}, {Item: "meat", Unit: "kg", Amount: 1, Binned: 1}},
		{{Item: "stock", Unit: "mL", Amount: 1000, Binned: 800}},
		nil, nil,
	} {
		got, err := LastDays(t.Context(), w, day)
		require.NoError(t, err)
		require.Len(t, got, len(want), "day %d: %v", day, got)
		for i, x := range want {
			per := 1.0
			if got[i].Unit == "L" && x.Unit == "mL" {
				per = 1000
			}
			assert.Equal(t, x.Item, got[i].Item)
			assert.InDelta(t, x.Amount, got[i].Amount*per, 1e-6, "day %d", day)
			assert.InDelta(t, x.Binned, got[i].Binned*per, 1e-6, "day %d", day)
		}
	}
}
