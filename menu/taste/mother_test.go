package taste

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/kitchen"
)

const motherShop = `kitchen: Slow Pot
money: USD
services: {dinner: 17:00-22:00}
bought:
  soy: {price: 3/L, density: 1 kg/L}
  salt: {price: 1/kg}
  bird: {price: 4/kg, raw: yes}
  water: {price: 0/L, density: 1 kg/L}
steps:
  daily pot:
    starts: "06:00"
    takes: ["30 L old stock, from yesterday", 9 L water, 1 L soy, 400 g salt, "10 kg bird, in at 30 min"]
    gives: ["7 kg cooked bird, out at 2 h", "40 L old stock, out at 4 h"]
    cooks through: yes
    batches: {daily: 1}
    measures: {salt: 1.0-1.4%}
made:
  cooked bird: {keeps: 2 days}
  old stock: {keeps: 2 days, density: 1 kg/L}
dishes:
  bird rice: {price: 12, takes: [150 g cooked bird], sells: 20}
  soup: {price: 5, takes: [300 mL old stock], sells: 10}
`

// Three batches worked by hand. Seed 30 of 40 L: a quarter is new each day. Soy, 1 L a batch: after the first 1; then 0.75 + 1 = 1.75; then
// 0.75 x 1.75 + 1 = 2.3125 of 3. Ages, a day apart: 0; 0.75 x 1; 0.75 x 1.75 = 1.3125. Of the first pot 0.75 x 0.75 = 0.5625 is left.
func TestMotherByHand(t *testing.T) {
	k, faults := kitchen.Read("kitchen.yaml", []byte(motherShop))
	require.NoError(t, faults.Err())
	step, err := k.FindStep("daily pot")
	require.NoError(t, err)
	j := book(t)
	for n := range 3 {
		_, err := j.Append(t.Context(), entries(t, k, n, [3]string{"10:00", "cooked", "daily pot: 30 L old stock, 9 L water, 1 L soy, 400 g salt, 10 kg bird -> 40 L old stock, 7 kg cooked bird"})...)
		require.NoError(t, err)
	}
	a, err := Of(t.Context(), k, j, Subject{Step: step, Item: -1}, first, Ask{})
	require.NoError(t, err)
	assert.Nil(t, a.Mother.Age, "no batch yet")
	a, err = Of(t.Context(), k, j, Subject{Step: step, Item: -1}, first.AddDate(0, 0, 2).Add(11*time.Hour), Ask{})
	require.NoError(t, err)
	m := a.Mother
	require.NotNil(t, m)
	assert.Equal(t, 3, m.Batches)
	assert.InDelta(t, 0.25, m.Exchanged, 1e-12)
	assert.InDelta(t, 1.3125+11.0/24, *m.Age, 1e-9)
	assert.InDelta(t, 0.5625, *m.First, 1e-12)
	assert.Equal(t, []MotherMeat{{"bird", "kg", 30, 30}}, m.Cooked, "the birds came out again, and are not in the pot")
	for _, part := range m.Parts {
		assert.NotContains(t, []string{"bird", "water"}, part.Item)
		if part.Item == "soy" {
			assert.InDelta(t, 3, part.In, 1e-9)
			assert.InDelta(t, 2.3125, part.There, 1e-9)
			assert.InDelta(t, 1, part.Week, 1e-9, "all of it in the last seven days")
		}
	}
	// Afresh: 10 L are new of 40, so four times as much goes in, but the birds once. 0.75^n <= 0.05: n = 11 (0.042), 10 is 0.056.
	assert.Equal(t, []RestartLine{{"water", 36, "L"}, {"soy", 4, "L"}, {"salt", 1.6, "kg"}, {"bird", 10, "kg"}}, m.Restart.Takes)
	assert.Equal(t, []int{11, 11}, []int{m.Restart.Batches, m.Restart.Days})
	assert.Equal(t, []string{"bird rice", "soup"}, m.Restart.Waits)
	assert.LessOrEqual(t, math.Pow(0.75, 11), asBefore)
}

// Lost and begun again, a pot is as old as its new beginning: of four batches since, each a quarter new but the first, ages are 0, 0.75, 1.3125 and 1.734375, soy 4, then
// 0.75 x 4 + 1 = 4, and so on. Of the 11 batches until a twentieth is left, 8 are to come. The batch that began it is no exchange, and salt before it no drift.
func TestMotherBegunAgain(t *testing.T) {
	k, faults := kitchen.Read("kitchen.yaml", []byte(motherShop))
	require.NoError(t, faults.Err())
	step, err := k.FindStep("daily pot")
	require.NoError(t, err)
	j := book(t)
	for n := range 9 {
		takes := "30 L old stock, 9 L water, 1 L soy, 400 g salt"
		if n == 0 || n == 5 {
			takes = "0 L old stock, 36 L water, 4 L soy, 1.6 kg salt"
		}
		_, err := j.Append(t.Context(), entries(t, k, n, [3]string{"10:00", "cooked", "daily pot: " + takes + ", 10 kg bird -> 40 L old stock, 7 kg cooked bird"},
			[3]string{"10:30", "measured", fmt.Sprintf("daily pot: salt %.2f", 1.1+0.02*float64(n))})...)
		require.NoError(t, err)
		a, err := Of(t.Context(), k, j, Subject{Step: step, Item: -1}, first.AddDate(0, 0, n).Add(12*time.Hour), Ask{})
		require.NoError(t, err)
		assert.Equal(t, n >= 5, a.Mother.Again)
		assert.InDelta(t, 0.25, a.Mother.Exchanged, 1e-12, "batch %d", n)
		if n < 8 {
			continue
		}
		m := a.Mother
		assert.Equal(t, []any{4, 8, "2026-10-06"}, []any{m.Batches, m.Left, m.Since})
		assert.InDelta(t, 1.734375+0.5, *m.Age, 1e-9)
		for _, part := range m.Parts {
			if part.Item == "soy" {
				assert.InDelta(t, 7, part.In, 1e-9)
				assert.InDelta(t, 4, part.There, 1e-9)
			}
		}
		require.Len(t, m.Drifts, 1)
		assert.Equal(t, 4, m.Drifts[0].Batches)
	}
}

// A pot that boils down by 6 L and is topped up with as many: it is begun with 37 L, as the pot stands before it boils down, and of what seasons
// it the card can't say how much. Of one that gives up a fifth of its 40 L a batch and boils down by 6 L, 32 L of seed and 14 L fresh: 5 times the salt, 5 L
// of soy, and water up to the 46 L that it stands at, 41 L.
func TestRestartOfToppedUp(t *testing.T) {
	for _, c := range []struct {
		seed, water, made string
		takes             []RestartLine
		taste             bool
	}{
		{"30 L", "6 L", "30 L", []RestartLine{{"water", 36, "L"}, {"soy", 1, "L"}, {"salt", 400, "g"}, {"bird", 10, "kg"}}, true},
		{"32 L", "13 L", "40 L", []RestartLine{{"water", 41, "L"}, {"soy", 5, "L"}, {"salt", 2, "kg"}, {"bird", 10, "kg"}}, false},
	} {
		text := strings.NewReplacer("30 L old stock, from", c.seed+" old stock, from", "9 L water", c.water+" water", "40 L old stock, out", c.made+" old stock, out",
			"    cooks through", "    boils off: 1.5 L an hour\n    cooks through").Replace(motherShop)
		k, faults := kitchen.Read("kitchen.yaml", []byte(text))
		require.NoError(t, faults.Err())
		step, err := k.FindStep("daily pot")
		require.NoError(t, err)
		a, err := Of(t.Context(), k, book(t), Subject{Step: step, Item: -1}, first, Ask{})
		require.NoError(t, err)
		assert.Equal(t, c.takes, a.Mother.Restart.Takes)
		assert.Equal(t, c.taste, a.Mother.Restart.ToTaste)
	}
}

// Salt that rises by 0.02 a day from 1.1 leaves its aim of 1.4 at the 15th day; a stock that goes up and down drifts nowhere.
func TestMotherDrift(t *testing.T) {
	k, faults := kitchen.Read("kitchen.yaml", []byte(motherShop))
	require.NoError(t, faults.Err())
	step, err := k.FindStep("daily pot")
	require.NoError(t, err)
	for _, drifts := range []bool{true, false} {
		j := book(t)
		for n := range 8 {
			salt := 1.1 + 0.02*float64(n)
			if !drifts {
				salt = 1.2 + 0.05*float64(n%2)
			}
			_, err := j.Append(t.Context(), entries(t, k, n, [3]string{"10:00", "cooked", "daily pot"}, [3]string{"10:30", "measured", "daily pot: salt " + fmt.Sprintf("%.2f", salt)})...)
			require.NoError(t, err)
		}
		a, err := Of(t.Context(), k, j, Subject{Step: step, Item: -1}, first.AddDate(0, 0, 8), Ask{})
		require.NoError(t, err)
		require.Len(t, a.Mother.Drifts, 1)
		d := a.Mother.Drifts[0]
		assert.Equal(t, drifts, d.Plain())
		if drifts {
			assert.InDelta(t, 0.02, d.ByDay, 1e-9)
			assert.InDelta(t, (1.4-1.24)/0.02, *d.Days, 1e-6)
		} else {
			assert.Nil(t, d.Days)
		}
	}
}
