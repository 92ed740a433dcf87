package measure

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Units of the trade, as cards have them. The pound has 16 ounces, the gallon 4 quarts: NIST Handbook 44, appendix C.
func TestTradeUnits(t *testing.T) {
	for written, want := range map[string]struct {
		base        float64
		shown, rest string
	}{
		"2 lb 2 oz pork":       {2.125 * pound, "2 lb 2 oz", "pork"}, // and not 2.15 lb
		"3 lb 4 oz pork":       {3.25 * pound, "3 lb 4 oz", "pork"},
		"1 gal 2 qt stock":     {1.5 * gallon, "1.5 gal", "stock"},
		"2 kg 250 g bones":     {2250, "2.25 kg", "bones"},
		"1½ cups crema":        {1.5 * gallon / 16, "1½ cups", "crema"},
		"1 ½ cup crema":        {1.5 * gallon / 16, "1½ cups", "crema"},
		"½ bunch cilantro":     {0.5, "½ bunch", "cilantro"},
		"⅔ cup crema":          {2.0 / 3 * gallon / 16, "⅔ cup", "crema"},
		"2 pinches salt":       {2 * gallon / 768 / 16, "2 pinches", "salt"},
		"1 1/2 cups crema":     {1.5 * gallon / 16, "1½ cups", "crema"},
		"2 bunches cilantro":   {2, "2 bunches", "cilantro"},
		"1 bunch cilantro":     {1, "1 bunch", "cilantro"},
		"4 bottles wine":       {4, "4 bottles", "wine"},
		"2 cases limes":        {2, "2 cases", "limes"},
		"3 tins tomatoes":      {3, "3 cans", "tomatoes"},
		"2 doz eggs":           {24, "2 doz", "eggs"},
		"1 lb 4 mL oil":        {pound, "1 lb", "4 mL oil"}, // another kind
		"1.5 lb 4 oz pork":     {1.5 * pound, "1.5 lb", "4 oz pork"},
		"2 bunches 4 oz basil": {2, "2 bunches", "4 oz basil"},
		"1 kg 00 flour":        {1000, "1 kg", "00 flour"},
		"500 g 7 spice":        {500, "500 g", "7 spice"},
	} {
		q, rest, err := ParsePrefix(written)
		require.NoError(t, err, written)
		assert.InDelta(t, want.base, q.Base(), 1e-9, written)
		assert.Equal(t, want.shown, q.String(), written)
		assert.Equal(t, want.rest, rest, written)
	}
}

// As much of the lesser unit as one of the greater is a slip of the pen, or a card that was scaled: what it comes to is said.
func TestTooMuchBehind(t *testing.T) {
	for written, want := range map[string]Error{
		"3 lb 20 oz cod":        {Msg: "20 oz is not less than one lb", Hint: "write it as one amount: 4 lb 4 oz", At: 5, Len: 5},
		"1 lb 16 oz pork":       {Msg: "16 oz is not less than one lb", Hint: "write it as one amount: 2 lb", At: 5, Len: 5},
		"2 kg 1500 g of  bones": {Msg: "1500 g is not less than one kg", Hint: "write it as one amount: 3.5 kg", At: 5, Len: 6},
	} {
		_, _, err := ParsePrefix(written)
		require.Error(t, err, written)
		assert.Equal(t, &want, err, written)
	}
}

func TestWhatOneHolds(t *testing.T) {
	bottle := Bridge{Holds: 750}
	got, ok := bottle.Convert(2, Count, Volume)
	assert.True(t, ok)
	assert.InDelta(t, 1500.0, got, 1e-12)
	got, ok = bottle.Convert(375, Volume, Count)
	assert.True(t, ok)
	assert.InDelta(t, 0.5, got, 1e-12)
	_, ok = bottle.Convert(1, Count, Weight)
	assert.False(t, ok, "what it weighs is not known")
	bottle.Density = 0.92
	got, ok = bottle.Convert(1, Count, Weight)
	assert.True(t, ok)
	assert.InDelta(t, 690.0, got, 1e-9)
}
