package logbook

// The amount to prepare against published newsvendors, and the forecast from what was sold.

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"

	"kettletree/menu/kitchen"
)

// Newsvendors of textbooks and exercises: unit cost, price and salvage value, with a demand. What was seen are so many
// quantiles of that demand that the empirical quantile must be the textbook's.
func TestNewsvendors(t *testing.T) {
	normal := func(mean, sd float64) func(float64) float64 { return distuv.Normal{Mu: mean, Sigma: sd}.Quantile }
	for _, c := range []struct {
		source                     string
		cost, price, salvage       float64
		demand                     func(float64) float64
		ratio, amount, tol, within float64
	}{
		{"Brandimarte, Quantitative Methods, chapter 7", 10, 15, 3, normal(10000, 2000), 5. / 12, 9579.143, 1e-6, 0.2},
		{"Cachon and Terwiesch, Matching Supply with Demand (parka)", 10, 22, 0, normal(2100, 1200), .545455,
			2237.02, 1e-6, 0.1},
		{"Cachon and Terwiesch (wetsuit; from memory)", 110, 180, 90, normal(3192, 1181), 7. / 9, 4095.12, 1e-6, 0.1},
		{"Winston and Albright, Practical Management Science, example 12.6", 7.50, 10, 2.50,
			distuv.NewTriangle(100, 300, 175, nil).Quantile, 1. / 3, 100 + math.Sqrt(5000), 1e-6, 0.01},
		{"exercise, tutorsglobe.com 51686518", 100, 130, 80, normal(1000, 200), 0.6, 1050.669, 1e-6, 0.02},
		{"exercise, tutorsglobe.com 52554787", 100, 140, 90, normal(1000, 200), 0.8, 1168.324, 1e-6, 0.02},
		{"exercise, jiskha.com 1187030 (its own working takes the ratio upside down)", 120, 600, 60, normal(200, 60),
			.888889, 273.238, 1e-6, 0.05},
		{"exercise, qammunity.org 6843903 (printed with the sign of z lost)", 140, 200, 30, normal(80, 30), .352941,
			68.678, 1e-6, 0.01},
	} {
		t.Run(c.source, func(t *testing.T) {
			ratio := CriticalRatio(c.price-c.cost, c.cost-c.salvage)
			assert.InDelta(t, c.ratio, ratio, c.tol)
			const n = 100_000
			seen := make([]float64, n)
			for i := range seen {
				seen[i] = c.demand((float64(i) + 0.5) / n)
			}
			amount, by := ToHave(ratio, seen, 0)
			assert.Equal(t, "seen", by)
			assert.InDelta(t, c.amount, amount, c.within)
		})
	}
}

// The empirical quantile by counting on fingers; the fitted ones by sums of their terms.
func TestToHave(t *testing.T) {
	var twenty []float64
	for i := range 20 {
		twenty = append(twenty, float64(20-i)) // in no order
	}
	for _, c := range []struct {
		name  string
		ratio float64
		seen  []float64
		typed float64
		want  float64
		by    string
	}{
		{"half of twenty", 0.5, twenty, 0, 10, "seen"},
		{"a hair over half", 0.501, twenty, 0, 11, "seen"},
		{"nearly all", 0.96, twenty, 0, 20, "seen"},
		{"next to none", 0.001, twenty, 0, 1, "seen"},
		{"it brings nothing", 0, twenty, 0, 0, "seen"},
		// 1 - 0.6^(k+1) is a geometric's chance of at most k: mean 1.5, variance 3.75; at 0.8 k is 3 (0.8704), not 2 (0.784)
		{"geometric", 0.8, spread(1.5, 3.75), 0, 3, "spread"},
		{"geometric, on the edge", 0.784 - 1e-6, spread(1.5, 3.75), 0, 2, "spread"},
		// e^-2 (1 + 2 + 2 + 4/3) is 0.857 for at most 3, with 2/3 more 0.947 for at most 4
		{"varies less than a Poisson", 0.9, []float64{2, 2, 2}, 0, 4, "spread"},
		{"one alone", 0.85, []float64{2}, 0, 3, "mean"},
		{"one, beside a forecast", 0.85, []float64{0}, 2, 3, "typed"},
		{"none", 0.85, nil, 2, 3, "typed"},
		{"none, and no forecast", 0.85, nil, 0, 0, "typed"},
		{"never any", 0.9, []float64{0, 0}, 5, 0, "spread"},
	} {
		got, by := ToHave(c.ratio, c.seen, c.typed)
		assert.Equal(t, c.want, got, c.name)
		assert.Equal(t, c.by, by, c.name)
	}
}

// spread are two services with a mean and variance.
func spread(mean, variance float64) []float64 {
	d := math.Sqrt(variance / 2)
	return []float64{mean - d, mean + d}
}

// More is prepared where the ratio is higher; and what is prepared costs least, of all amounts, by the fitted chances.
func TestToHaveIsBest(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		var seen []float64
		for range rapid.IntRange(0, 30).Draw(r, "services") {
			seen = append(seen, float64(rapid.IntRange(0, 60).Draw(r, "portions")))
		}
		typed := float64(rapid.IntRange(0, 60).Draw(r, "typed"))
		a, b := rapid.Float64Range(0, mostRatio).Draw(r, "a"), rapid.Float64Range(0, mostRatio).Draw(r, "b")
		low, _ := ToHave(min(a, b), seen, typed)
		high, by := ToHave(max(a, b), seen, typed)
		assert.LessOrEqual(r, low, high)
		if by != "seen" {
			return
		}
		brings, wastes := max(a, b), 1-max(a, b)
		cost := func(q float64) (sum float64) {
			for _, x := range seen {
				sum += brings*max(x-q, 0) + wastes*max(q-x, 0)
			}
			return sum
		}
		for q := range 62 {
			assert.LessOrEqual(r, cost(high), cost(float64(q))+1e-9)
		}
	})
}

func TestCriticalRatio(t *testing.T) {
	assert.Equal(t, 0.75, CriticalRatio(3, 1))
	assert.Equal(t, 0.0, CriticalRatio(0, 1))
	assert.Equal(t, 0.0, CriticalRatio(-2, 1))
	assert.Equal(t, 0.99, CriticalRatio(5, 0))
	assert.Equal(t, 0.0, CriticalRatio(0, 0))
}

// dish finds a dish at a service of the week.
func (a *Forecast) dish(t *testing.T, name, day, service string) DishToPrepare {
	t.Helper()
	for _, d := range a.Dishes {
		if d.Name == name && d.Day == day && d.Service == service {
			return d
		}
	}
	require.Fail(t, "no such row", "%s %s %s", name, day, service)
	return DishToPrepare{}
}

func forecastOf(t *testing.T, entries string, asOf, since time.Time) *Forecast {
	t.Helper()
	k := someKitchen(t)
	a, err := bookOf(t, k, typed(t, k, entries), asOf).forecast(since)
	require.NoError(t, err)
	return a
}

func TestForecast(t *testing.T) {
	a := forecastOf(t, `
		0/13 sold 8 tacos at lunch
		0/14 sold 4 tacos
		0/20 sold 5 soup
		1/01 sold 2 soup
		7/13 sold 20 tacos at lunch
		7/20 sold 6 soup at dinner
		8/00 sold 3 soup
		10/13 sold 2 soup at lunch
		14/13 sold 9 tacos at lunch`, at(14, 14), time.Time{})
	assert.Equal(t, 5, a.Services, "the lunch that still goes on does not count")
	assert.Equal(t, "2026-11-24", a.From)
	assert.Equal(t, "2026-12-04", a.To)
	tacos := a.dish(t, "tacos", "tue", "lunch")
	assert.Equal(t, 2, tacos.Seen)
	assert.Equal(t, 16.0, *tacos.Mean)
	assert.InDelta(t, math.Sqrt(32), *tacos.Spread, 1e-12)
	assert.Equal(t, 10, *tacos.Typed)
	assert.Equal(t, "spread", tacos.By)
	friday := a.dish(t, "tacos", "fri", "lunch")
	assert.Equal(t, 1, friday.Seen, "it was on offer, and nobody asked for it")
	assert.Zero(t, *friday.Mean)
	soup := a.dish(t, "soup", "tue", "dinner")
	assert.Equal(t, 5.5, *soup.Mean, "at one in the night nobody dines at a kitchen that closes at ten")
	assert.Nil(t, a.dish(t, "soup", "wed", "dinner").Mean)
	assert.Equal(t, "typed", a.dish(t, "soup", "wed", "dinner").By)
	assert.Contains(t, a.Notes, "entries without a service, at a time that does not show it (2), are not "+
		"counted; log them as 42 tacos at lunch")

	struck := forecastOf(t, `
		0/13 sold 8 tacos at lunch
		0/13 sold 3 soup at lunch
		7/09 struck tacos at lunch
		7/13 sold 4 soup at lunch`, at(8, 0), time.Time{})
	assert.Equal(t, 1, struck.dish(t, "tacos", "tue", "lunch").Seen, "who could not order it did not decline it")

	for name, c := range map[string]struct {
		entries      string
		seen, ranOut int
	}{
		"struck off before it began, though some went out": {"0/13 sold 8 tacos at lunch\n7/09 struck tacos at lunch\n7/13 sold 2 tacos at lunch", 1, 0},
		"struck off in the middle: it ran out":             {"0/13 sold 8 tacos at lunch\n7/12 sold 6 tacos\n7/13 struck tacos at lunch", 2, 1},
		"struck off when the service was over":             {"0/13 sold 8 tacos at lunch\n7/12 sold 6 tacos\n7/16 struck tacos", 2, 0},
		"nobody asked, and it was struck off for dinner":   {"0/13 sold 8 tacos at lunch\n7/13 sold 3 soup at lunch\n7/16 struck tacos", 2, 0},
		"binned before it began": {`
			0/13 sold 8 tacos at lunch
			7/09 counted 3 kg pulled shoulder
			7/09 counted 0 each hen
			7/10 binned 3 kg pulled shoulder, smelt
			7/13 sold 3 soup at lunch`, 1, 0},
		"binned, but there was more": {`
			0/13 sold 8 tacos at lunch
			7/09 counted 4 kg pulled shoulder
			7/10 binned 3 kg pulled shoulder, smelt
			7/13 sold 3 soup at lunch`, 2, 0},
		"binned, and made anew": {`
			0/13 sold 8 tacos at lunch
			7/09 counted 3 kg pulled shoulder
			7/09 counted 0 each hen
			7/10 binned 3 kg pulled shoulder, smelt
			7/11 counted 2 kg pulled shoulder
			7/13 sold 3 soup at lunch`, 2, 0},
		"binned after the service": {`
			0/13 sold 8 tacos at lunch
			7/09 counted 3 kg pulled shoulder
			7/09 counted 0 each hen
			7/13 sold 3 soup at lunch
			7/16 binned 3 kg pulled shoulder, smelt`, 2, 0},
	} {
		tacos := forecastOf(t, c.entries, at(8, 0), time.Time{}).dish(t, "tacos", "tue", "lunch")
		assert.Equal(t, c.seen, tacos.Seen, name)
		assert.Equal(t, c.ranOut, tacos.RanOut, name)
	}

	later := forecastOf(t, "0/13 sold 8 tacos at lunch\n7/13 sold 20 tacos at lunch", at(8, 0), at(7, 0))
	assert.Equal(t, 20.0, *later.dish(t, "tacos", "tue", "lunch").Mean)
	none := forecastOf(t, "0/13 counted 1 kg hen", at(8, 0), time.Time{})
	assert.Zero(t, none.Services)
}

// Worked by hand: of 9 portions of a special, 40% are 3.6, so 4 guests had it in place of tacos; of 5 at dinner nobody had it in place of
// soup. A dish without guests of its own at a service gets no row there for the guests that are taken from it.
func TestForecastAddsBackGuestsThatSpecialsTook(t *testing.T) {
	k, faults := kitchen.Read("kitchen.yaml", []byte(braiseShop+`
specials:
  hen stew: {price: 12, takes: [150 g hen], in place of: [tacos 40%]}
`))
	require.NoError(t, faults.Err())
	of := func(entries string) *Forecast {
		a, err := bookOf(t, k, typed(t, k, entries), at(20, 0)).forecast(time.Time{})
		require.NoError(t, err)
		return a
	}
	a := of(`
		0/13 sold 12 tacos at lunch
		0/18 sold 6 soup at dinner
		7/13 sold 8 tacos at lunch
		7/13 sold 9 hen stew at lunch
		7/18 sold 6 soup at dinner
		7/18 sold 5 hen stew at dinner`)
	tacos := a.dish(t, "tacos", "tue", "lunch")
	assert.Equal(t, 12.0, *tacos.Mean, "12, and 8 with 4 who had the special")
	assert.Zero(t, *tacos.Spread)
	assert.Equal(t, 4, tacos.Taken)
	assert.Equal(t, 6.0, *a.dish(t, "soup", "tue", "dinner").Mean)
	assert.Contains(t, a.Notes, "portions that guests ordered something else in place of, by the kitchen file's shares, count as asked for: 4")
	for _, d := range a.Dishes {
		assert.False(t, d.Name == "tacos" && d.Service == "dinner", "tacos are not on at dinner")
	}

	all := of("0/13 sold 4 tacos at lunch\n7/13 sold 10 hen stew at lunch").dish(t, "tacos", "tue", "lunch")
	assert.Equal(t, 4.0, *all.Mean, "4, and none with 4 who had the special")
	off := of("0/13 sold 4 tacos at lunch\n7/09 struck tacos at lunch\n7/13 sold 10 hen stew at lunch").dish(t, "tacos", "tue", "lunch")
	assert.Equal(t, 1, off.Seen, "who could not order it is not asked what they would have had")
	assert.Zero(t, off.Taken)
}

// A day that differs from the standing week says little of a usual one, and has hours of its own.
func TestForecastGoesByTheCalendar(t *testing.T) {
	const entries = "0/13 sold 8 tacos at lunch\n7/13 sold 20 tacos at lunch\n7/16 sold 4 soup\n14/13 sold 10 tacos at lunch"
	k, faults := kitchen.Read("kitchen.yaml", []byte(braiseShop+`
closed: [2026-12-08]
days: {2026-12-01: {lunch: 1.5 of forecast, dinner: 15:00-17:30}}
`))
	require.NoError(t, faults.Err())
	a, err := bookOf(t, k, typed(t, k, entries), at(15, 0)).forecast(time.Time{})
	require.NoError(t, err)
	assert.Equal(t, 1, a.Services)
	assert.Equal(t, 8.0, *a.dish(t, "tacos", "tue", "lunch").Mean)
	assert.Equal(t, 10, *a.dish(t, "tacos", "tue", "lunch").Typed)
	assert.Contains(t, a.Notes, "services on days that differ from the standing week are left out: 3")
}

// What a portion too many loses: pulled shoulder keeps for four days, so a quarter of its cost; tortillas do not spoil.
func TestOvernight(t *testing.T) {
	k := someKitchen(t)
	file, err := fileCosting(t.Context(), k)
	require.NoError(t, err)
	wastes, err := overnight(k, file)
	require.NoError(t, err)
	meat, err := k.FindItem("pulled shoulder")
	require.NoError(t, err)
	broth, err := k.FindItem("shoulder broth")
	require.NoError(t, err)
	assert.InDelta(t, 120*file.Unit[meat]/4, wastes[0], 1e-9)
	assert.InDelta(t, 300./9.5*10*file.Unit[broth]/3, wastes[1], 1e-9, "the soup base is made when it is asked for")
}

func TestRanOut(t *testing.T) {
	for _, c := range []struct {
		name, entries string
		tacos, soup   int
	}{
		{"there was more", `
			0/09 counted 3 kg pulled shoulder
			0/13 sold 20 tacos at lunch`, 0, 0},
		{"nobody writes down what is cooked", `
			0/13 sold 20 tacos at lunch
			0/14 sold 3 soup at lunch`, 0, 0},
		{"there was none left, nor of the substitute", `
			0/09 counted 2.4 kg pulled shoulder
			0/09 counted 0 each hen
			0/13 sold 20 tacos at lunch`, 1, 0},
		{"the substitute was there", `
			0/09 counted 2.4 kg pulled shoulder
			0/09 counted 2 each hen
			0/13 sold 20 tacos at lunch`, 0, 0},
		{"another dish of the service took the last", `
			0/09 counted 3 L shoulder broth
			0/12 sold 2 soup at lunch
			0/13 sold 7 soup at lunch`, 0, 1},
		{"counted after the service", `
			0/09 counted 3 kg pulled shoulder
			0/09 counted 0 each hen
			0/13 sold 20 tacos at lunch
			0/15 counted 0 kg pulled shoulder`, 1, 0},
		{"counted after the service and a decision", `
			0/09 counted 3 kg pulled shoulder
			0/09 counted 0 each hen
			0/13 sold 20 tacos at lunch
			0/15 struck soup at wed
			0/15 counted 0 kg pulled shoulder`, 1, 0},
		{"counted the day after", `
			0/09 counted 3 kg pulled shoulder
			0/09 counted 0 each hen
			0/13 sold 20 tacos at lunch
			1/08 counted 0 kg pulled shoulder`, 0, 0},
		{"binned after the service", `
			0/09 counted 3 kg pulled shoulder
			0/09 counted 0 each hen
			0/13 sold 20 tacos at lunch
			0/15 binned 600 g pulled shoulder, dropped`, 0, 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			a := forecastOf(t, c.entries, at(2, 0), time.Time{})
			assert.Equal(t, c.tacos, a.dish(t, "tacos", "tue", "lunch").RanOut)
			soup := 0
			for _, d := range a.Dishes {
				if d.Name == "soup" {
					soup += d.RanOut
				}
			}
			assert.Equal(t, c.soup, soup)
		})
	}
}
