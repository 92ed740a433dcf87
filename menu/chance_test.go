package menu

// Chance against closed forms, and what must hold of any draw.

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"runtime"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// potWeek has one pot of stock a day, of which each portion takes a litre.
func potWeek(t *testing.T, gives, sells string) *Week {
	t.Helper()
	k, faults := Read("kitchen.yaml", []byte(`
kitchen: One Pot
services: {lunch: 11:30-14:30}
bought:
  bones: {price: 2/kg}
  water: {price: 0/L, density: 1 kg/L}
steps:
  boil bones: {starts: "06:00", uses: [20 kg bones, 90 L water], gives: ["`+gives+`, out at 4 h"], runs: {tue: 1}}
made:
  stock: {keeps: 1 day, density: 1 kg/L}
dishes:
  soup: {price: 6, uses: [1 L stock], sells: `+sells+`}
`))
	require.NotNil(t, k, "%v", faults)
	w, err := k.Over(Period{From: time.Date(2026, 11, 24, 0, 0, 0, 0, time.UTC), Days: 1})
	require.NoError(t, err)
	return w
}

func odds(t *testing.T, w *Week, how Wager) *Chance {
	t.Helper()
	a, err := w.Chance(t.Context(), nil, how, nil)
	require.NoError(t, err)
	return a
}

// band is four standard deviations of a mean of draws: a right generator leaves it one time in sixteen thousand.
func band(sd float64, draws int) float64 { return 4 * sd / math.Sqrt(float64(draws)) }

// phi is the standard normal distribution function.
func phi(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }

// TestChanceOfOnePot: 50.5 L, give or take 5, serve as many whole portions. The chance to have fewer than 48 is that of a
// normal deviate below -0.5, 0.3085 (any table of the normal distribution). Nine draws of ten lie above 50.5 - 1.2816*5 = 44.09 L,
// one above 56.91 L.
func TestChanceOfOnePot(t *testing.T) {
	const draws = 10_000
	a := odds(t, potWeek(t, "50.5 L stock ± 5 L", "48"), Wager{draws, 1})
	require.Len(t, a.Services, 1)
	p := phi(-0.5)
	assert.InDelta(t, 0.3085, p, 5e-5)
	assert.InDelta(t, p, a.Services[0].RunsOut, band(math.Sqrt(p*(1-p)), draws))
	assert.Equal(t, []int{44, 48, 48}, []int{a.Services[0].P10, a.Services[0].P50, a.Services[0].P90})

	a = odds(t, potWeek(t, "50.5 L stock ± 5 L", "90"), Wager{draws, 1})
	d := a.Services[0]
	assert.Equal(t, []int{44, 50, 56}, []int{d.P10, d.P50, d.P90})
	assert.InDelta(t, 50, d.Mean, band(5, draws)+0.01, "whole portions are half a portion less on average")
	assert.Equal(t, 1.0, d.RunsOut)
	require.NotNil(t, d.Sway)
	assert.InDelta(t, 1, d.Sway.Share, 0.01, "there is nothing else")
}

// TestScatter: mean and standard deviation of what is drawn, and its places: 95 % of a normal distribution lie within
// 1.959964 standard deviations (JCGM 101:2008, 9.2.2, has 3.92 for a sum of four, whose standard deviation is 2).
func TestScatter(t *testing.T) {
	s := newScatter(0.05)
	assert.InDelta(t, 1+1.959964*0.05, s.factor(0.975), 1e-6)
	assert.InDelta(t, 1-1.959964*0.05, s.factor(0.025), 1e-6)
	assert.Equal(t, 1.0, s.factor(0.5))
	const draws = 200_000
	var source rand.PCG
	sum, square, product, productSquare := 0.0, 0.0, 0.0, 0.0
	for k := range draws {
		source.Seed(1, uint64(k))
		f, g := s.factor(between(source.Uint64())), newScatter(0.02/0.9).factor(between(source.Uint64()))
		sum, square = sum+f, square+f*f
		// A yield of mean 0.68 times another of mean 0.9: the means multiply, and the squares of the shares by which they
		// stray add up, with their product: 1 + v = (1 + a)(1 + b).
		y := 0.68 * f * 0.9 * g
		product, productSquare = product+y, productSquare+y*y
	}
	mean := sum / draws
	sd := math.Sqrt(square/draws - mean*mean)
	assert.InDelta(t, 1, mean, band(0.05, draws))
	assert.InDelta(t, 0.05, sd, band(0.05/math.Sqrt2, draws))
	mean = product / draws
	variance := 0.612 * 0.612 * ((1+0.05*0.05)*(1+math.Pow(0.02/0.9, 2)) - 1)
	assert.InDelta(t, 0.612, mean, band(math.Sqrt(variance), draws))
	assert.InDelta(t, math.Sqrt(variance), math.Sqrt(productSquare/draws-mean*mean), band(math.Sqrt(variance/2), draws)+1e-6)
}

// TestScatterOfManyBatches: four batches that stray by 1 each stray by 2 in all (JCGM 101:2008, 9.2.2).
func TestScatterOfManyBatches(t *testing.T) {
	w := potWeek(t, "50 L stock ± 1 L", "48")
	w.Case.Schedule.Runs[0].Batches = 4
	a := odds(t, w, Wager{100, 1})
	require.Len(t, a.Varies, 1)
	assert.InDelta(t, 200, a.Varies[0].Mean, 1e-9)
	assert.InDelta(t, 2, a.Varies[0].Spread, 1e-9)
}

// TestNoSpreadIsCertain: without a spread one draw is all of them, and it is the week itself.
func TestNoSpreadIsCertain(t *testing.T) {
	a := odds(t, potWeek(t, "50 L stock", "60"), Wager{500, 1})
	assert.Equal(t, 1, a.Draws)
	assert.False(t, a.Typed)
	assert.Empty(t, a.Varies)
	assert.Equal(t, []int{50, 50, 50}, []int{a.Services[0].P10, a.Services[0].P50, a.Services[0].P90})
	assert.Equal(t, a.Certain, a.Contribution.Mean)
}

// TestSameDraws: a seed gives the same bytes, whatever the number of processors, and another seed others.
func TestSameDraws(t *testing.T) {
	w := exampleWeek(t, "three-kettles")
	bytes := func(seed uint64) string {
		text, err := json.Marshal(odds(t, w, Wager{400, seed}))
		require.NoError(t, err)
		return string(text)
	}
	many := bytes(7)
	before := runtime.GOMAXPROCS(1)
	one := bytes(7)
	runtime.GOMAXPROCS(3)
	three := bytes(7)
	runtime.GOMAXPROCS(before)
	assert.Equal(t, one, many)
	assert.Equal(t, one, three)
	assert.NotEqual(t, one, bytes(8))
}

// TestGuestsStray: a forecast of 40 ± 6 with stock for 49.9: it runs out when 50 or more come, which is above 49.5 as guests
// are whole: a normal deviate above 1.5833.
func TestGuestsStray(t *testing.T) {
	const draws = 10_000
	a := odds(t, potWeek(t, "49.9 L stock", "40 ± 6"), Wager{draws, 3})
	p := 1 - phi((49.5-40)/6)
	assert.InDelta(t, p, a.Services[0].RunsOut, band(math.Sqrt(p*(1-p)), draws))
}
