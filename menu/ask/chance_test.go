package ask

// Chance against closed forms: the numbers that are drawn, small kitchens whose odds can be worked out, and laws that
// hold in any.

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"

	"kettletree/graph/flow"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// drawn is n numbers that fill makes of the numbers between 0 and 1 of one draw each, as a gambler draws them.
func drawn(n int, fill func(next func() float64) float64) []float64 {
	list := make([]float64, n)
	var source rand.PCG
	for k := range list {
		source.Seed(7, uint64(k))
		list[k] = fill(func() float64 { return between(source.Uint64()) })
	}
	return list
}

// triangular is the inverse distribution function of the triangular distribution (JCGM 101:2008, 6.4.5 has how to draw
// it; the formula is from memory).
func triangular(u, low, mode, high float64) float64 {
	if f := (mode - low) / (high - low); u > f {
		return high - math.Sqrt((1-u)*(high-low)*(high-mode))
	}
	return low + math.Sqrt(u*(high-low)*(mode-low))
}

// assertMoments wants mean and standard deviation within four standard errors. The error of a variance is taken for a
// normal distribution, which is too much for the flatter ones here.
func assertMoments(t *testing.T, list []float64, mean, sd float64) {
	t.Helper()
	n := float64(len(list))
	m, s := stat.MeanStdDev(list, nil)
	assert.InDelta(t, mean, m, 4*sd/math.Sqrt(n))
	assert.InDelta(t, sd*sd, s*s, 4*sd*sd*math.Sqrt(2/n))
}

// shareOf is the part of a list that a condition holds for.
func shareOf(list []float64, holds func(float64) bool) float64 {
	n := 0
	for _, v := range list {
		if holds(v) {
			n++
		}
	}
	return float64(n) / float64(len(list))
}

// assertChance wants a share of n draws within four standard errors of a probability.
func assertChance(t *testing.T, want, got float64, n int) {
	t.Helper()
	assert.InDelta(t, want, got, 4*math.Sqrt(want*(1-want)/float64(n)))
}

const manyDraws = 200_000

func TestBetween(t *testing.T) {
	assert.Equal(t, 0x1p-53, between(0))
	assert.Equal(t, 1-0x1p-53, between(math.MaxUint64))
	first := drawn(manyDraws, func(next func() float64) float64 { return next() })
	second := drawn(manyDraws, func(next func() float64) float64 { next(); return next() })
	for _, list := range [][]float64{first, second} {
		assertMoments(t, list, 0.5, math.Sqrt(1.0/12))
		for tenth := range 10 {
			low := float64(tenth) / 10
			assertChance(t, 0.1, shareOf(list, func(v float64) bool { return v >= low && v < low+0.1 }), manyDraws)
		}
	}
	limit := 4 / math.Sqrt(manyDraws) // four standard errors of a correlation that is none
	assert.InDelta(t, 0, stat.Correlation(first, second, nil), limit, "within a draw")
	for _, lag := range []int{1, 2, 16, 256} {
		assert.InDelta(t, 0, stat.Correlation(first[lag:], first[:manyDraws-lag], nil), limit, "%d draws apart", lag)
	}
}

// The closed forms of mean, variance and quantiles that follow are worked out by hand, but for the last two, which JCGM
// 101:2008 (Supplement 1 to the Guide to the expression of uncertainty in measurement) prints in 9.2.2 and 9.2.3.
func TestClosedForms(t *testing.T) {
	yield := func(u float64) float64 { return triangular(u, 0.60, 0.69, 0.75) }
	trim := newScatter(0.02 / 0.9)
	t.Run("a triangular yield", func(t *testing.T) {
		list := drawn(manyDraws, func(next func() float64) float64 { return yield(next()) })
		assertMoments(t, list, 0.68, math.Sqrt(9.5e-4))
		for q, p := range map[float64]float64{0.69: 0.6, 0.625981: 0.05, 0.682158: 0.5, 0.728787: 0.95} {
			assertChance(t, p, shareOf(list, func(v float64) bool { return v <= q }), manyDraws)
		}
	})
	t.Run("a product of yields", func(t *testing.T) {
		product := func(next func() float64) float64 { return yield(next()) * 0.9 * trim.factor(next()) }
		assertMoments(t, drawn(manyDraws, product), 0.612, 0.03090049)
	})
	t.Run("what must be bought is convex in the yield", func(t *testing.T) {
		list := drawn(manyDraws, func(next func() float64) float64 { return 1 / (0.6 + 0.2*next()) })
		sd := math.Sqrt(1/(0.6*0.8) - 1.43841036*1.43841036) // the mean of 1/Y² is 1/(ab)
		assertMoments(t, list, 1.43841036, sd)
		assert.Greater(t, stat.Mean(list, nil), 1/0.7)
	})
	t.Run("a sum of four normals, JCGM 101 9.2.2", func(t *testing.T) {
		unit := newScatter(0.01)
		list := drawn(manyDraws, func(next func() float64) (sum float64) {
			for range 4 {
				sum += (unit.factor(next()) - 1) / 0.01
			}
			return sum
		})
		assertMoments(t, list, 0, 2)
		assertChance(t, 0.95, shareOf(list, func(v float64) bool { return math.Abs(v) <= 3.919928 }), manyDraws)
	})
	t.Run("a sum of four rectangulars, JCGM 101 9.2.3", func(t *testing.T) {
		list := drawn(manyDraws, func(next func() float64) (sum float64) {
			for range 4 {
				sum += math.Sqrt(12) * (next() - 0.5)
			}
			return sum
		})
		assertMoments(t, list, 0, 2)
		assertChance(t, 0.95, shareOf(list, func(v float64) bool { return math.Abs(v) <= 3.879407 }), manyDraws)
	})
}

// The variance of a normal distribution cut at a standard deviations on both sides is 1 - 2a phi(a)/(2 Phi(a) - 1) of
// what it was (from memory; follows by integrating by parts).
func TestScatter(t *testing.T) {
	for _, sd := range []float64{0.001, 0.05, 0.25, 0.5, 0.99} {
		t.Run(fmt.Sprint(sd), func(t *testing.T) {
			s := newScatter(sd)
			list := drawn(manyDraws, func(next func() float64) float64 { return s.factor(next()) })
			a := 1 / sd
			cut := math.Sqrt(1 - 2*a*distuv.UnitNormal.Prob(a)/(2*distuv.UnitNormal.CDF(a)-1))
			assertMoments(t, list, 1, sd*cut)
			assert.Zero(t, shareOf(list, func(v float64) bool { return v <= 0 || v >= 2 }))
			assert.InDelta(t, 1, s.factor(0.5), 1e-12)
			assert.Less(t, s.factor(0.3), s.factor(0.4), "the higher the place, the more")
			assert.Positive(t, s.factor(between(0)))
		})
	}
}

func TestHold(t *testing.T) {
	two := []stray{{grams: 600}, {grams: 300}}
	for name, tc := range map[string]struct{ room, a, b, wantA, wantB float64 }{
		"room for both":            {100, 1.1, 1.1, 1.1, 1.1},
		"just":                     {90, 1.1, 1.1, 1.1, 1.1},
		"half of it":               {45, 1.1, 1.1, 1.05, 1.05},
		"no room":                  {0, 1.1, 1.1, 1, 1},
		"one makes room":           {0, 1.1, 0.8, 1.1, 0.8},
		"one makes room for half":  {0, 1.1, 0.9, 1.05, 0.9},
		"both below":               {0, 0.9, 0.9, 0.9, 0.9},
		"weights that are unknown": {math.Inf(1), 1.5, 1.5, 1.5, 1.5},
	} {
		t.Run(name, func(t *testing.T) {
			f := []float64{tc.a, tc.b}
			batchBalance{0, 2, tc.room}.hold(two, f)
			assert.InDeltaSlice(t, []float64{tc.wantA, tc.wantB}, f, 1e-12)
		})
	}
}

// pot is a kitchen of one dish, of which a batch on Tuesday makes four to the litre. Nothing costs anything, so
// contribution is sales.
func onePot(gives, runs, sells string) string {
	return fmt.Sprintf(`
kitchen: One Pot
open: tue
services: {dinner: 18:00-22:00}
bought:
  water: {price: 0/L}
steps:
  boil:
    takes: [50 L water]
    gives: [%s]
    batches: %s
made:
  broth: {keeps: 1 days}
dishes:
  bowl:
    price: 8
    takes: [250 mL broth]
    sells: {dinner: %s}
`, gives, runs, sells)
}

func chanceOf(tb testing.TB, w *week.Week, how Wager, texts ...string) *Chances {
	tb.Helper()
	a, err := Chance(context.Background(), w, weektest.Shocks(tb, w, texts...), how, nil)
	require.NoError(tb, err)
	return a
}

// bowls is the mean of the smaller of most and the whole part of a normal number: the sum over n of the chance to reach
// n.
func bowls(mean, sd float64, most int) (sum float64) {
	for n := range most {
		sum += distuv.Normal{Mu: mean, Sigma: sd}.Survival(float64(n + 1))
	}
	return sum
}

func TestOnePot(t *testing.T) {
	const n = 40_000
	for name, tc := range map[string]struct {
		kitchen       string
		mean, sd      float64 // of the portions that the broth is enough for
		most          int
		p10, p50, p90 int
		out           float64
	}{
		// 42 ± 4 portions: 42 - 1.2816*4 = 36.87 is passed nine times of ten, and 40 are had unless the draw is below
		// -1/2.
		"a batch": {onePot("10.5 L broth ± 1 L", "{tue: 1}", "40"), 42, 4, 40, 36, 40, 40, distuv.UnitNormal.CDF(-0.5)},
		// Four batches of 2.625 L ± 0.5 L stray apart, so together by twice 0.5 L: the same.
		"four batches": {onePot("2.625 L broth ± 0.5 L", "{tue: 4}", "40"), 42, 4, 40, 36, 40, 40, distuv.UnitNormal.CDF(-0.5)},
		// Nobody asks for more than there can be: the quantiles are those of the normal, made whole.
		"asked for more": {onePot("10.1 L broth ± 1 L", "{tue: 1}", "100"), 40.4, 4, 100, 35, 40, 45, 1},
	} {
		t.Run(name, func(t *testing.T) {
			a := chanceOf(t, weektest.SmallWeek(t, tc.kitchen), Wager{Draws: n, Seed: 3})
			require.Len(t, a.Services, 1)
			d := a.Services[0]
			assert.Equal(t, [3]int{tc.p10, tc.p50, tc.p90}, [3]int{d.P10, d.P50, d.P90})
			assertChance(t, tc.out, d.RunsOut, n)
			mean := bowls(tc.mean, tc.sd, tc.most)
			assert.InDelta(t, mean, d.Mean, 4*tc.sd/math.Sqrt(n))
			assert.InDelta(t, 8*d.Mean, d.Contribution.Mean, 1e-9)
			assert.InDelta(t, 8*d.Mean, a.Contribution.Mean, 1e-6, "all of the contribution is from the one dish")
			assert.InDelta(t, float64(8*tc.p10), a.Contribution.P10, 1e-9)
			assert.InDelta(t, float64(8*tc.p90), a.Contribution.P90, 1e-9)
			assert.InDelta(t, 8*math.Min(math.Floor(tc.mean), float64(tc.most)), a.Certain, 1e-9)
			d.Date, d.Service = "", ""
			assert.Equal(t, []DishChance{d}, a.Dishes, "one service is the period")
			require.NotNil(t, d.Sway)
			assert.Equal(t, "broth of boil, Tue 24 Nov", d.Sway.Name)
		})
	}
}

// A batch that is under way strays as one that is still to be lit.
func TestAPotUnderWayStrays(t *testing.T) {
	wager := Wager{Draws: 2_000, Seed: 3}
	w := weektest.SmallWeek(t, onePot("10.5 L broth ± 1 L", "{tue: 1}", "40"))
	lit := chanceOf(t, w, wager).Services[0]
	step, err := w.FindStep("boil")
	require.NoError(t, err)
	out := w.Graph.Steps[step].Gives[0]
	under := chanceOf(t, w.Continued(nil, func(s *flow.Schedule) {
		s.Batches = nil
		s.Pots = []flow.Pot{{Step: step, Day: 0, Start: 0, Batches: 1, Gives: []flow.PotLine{{Item: out.Item, Amount: out.Amount, Minute: 1440}}}}
	}), wager).Services[0]
	assert.Equal(t, [4]float64{float64(lit.P10), float64(lit.P90), lit.Mean, lit.RunsOut},
		[4]float64{float64(under.P10), float64(under.P90), under.Mean, under.RunsOut})
	assert.Equal(t, "broth of boil, Mon 23 Nov", under.Sway.Name)
}

// 40 ± 6 guests and 45 portions, by hand: more than 45 come when the draw, rounded, is 46 or more.
func TestGuestsThatVary(t *testing.T) {
	const n = 40_000
	w := weektest.SmallWeek(t, onePot("11.25 L broth", "{tue: 1}", "40 ± 6"))
	a := chanceOf(t, w, Wager{Draws: n, Seed: 3})
	guests := distuv.Normal{Mu: 40, Sigma: 6}
	d := a.Services[0]
	assert.Equal(t, []Vary{{Name: "guests for bowl, Tue 24 Nov dinner", Mean: 40, Spread: 6, Unit: "portion"}}, a.Varies)
	assert.Equal(t, [3]int{32, 40, 45}, [3]int{d.P10, d.P50, d.P90}) // 40 - 7.69 = 32.31, 40 + 7.69 is more than there are
	assertChance(t, guests.Survival(45.5), d.RunsOut, n)
	assert.Equal(t, 40, d.Forecast)

	more := chanceOf(t, w, Wager{Draws: n, Seed: 3}, "sells bowl=+10%")
	assert.InDelta(t, 6.6, more.Varies[0].Spread, 1e-9)
	assertChance(t, distuv.Normal{Mu: 44, Sigma: 6.6}.Survival(45.5), more.Services[0].RunsOut, n)

	none := chanceOf(t, w, Wager{Draws: n, Seed: 3}, "strike bowl")
	assert.Empty(t, none.Varies)
	assert.Empty(t, none.Services)
	assert.True(t, none.Typed)

	atMost := func(n int) *week.Week {
		src := onePot("11.25 L broth", "{tue: 1}", "40 ± 6")
		return weektest.SmallWeek(t, strings.Replace(src, "price: 8", fmt.Sprintf("price: 8\n    at most: %d", n), 1))
	}
	capped, held := atMost(42), atMost(36)
	d = chanceOf(t, capped, Wager{Draws: n, Seed: 3}).Services[0]
	assert.Equal(t, [4]float64{32, 40, 42, 0}, [4]float64{float64(d.P10), float64(d.P50), float64(d.P90), d.RunsOut})
	d = chanceOf(t, held, Wager{Draws: n, Seed: 3}).Services[0]
	assert.Equal(t, [4]float64{32, 36, 36, 0}, [4]float64{float64(d.P10), float64(d.P50), float64(d.P90), d.RunsOut})
}

// What names more goes first, with its spread or without one.
func TestSpreadsOfForecasts(t *testing.T) {
	read := func(sells string) kitchen.Dish {
		src := strings.Replace(onePot("10 L broth", "{tue: 1}", "40"), "{dinner: 40}", sells, 1)
		return weektest.SmallWeek(t, strings.Replace(src, "open: tue", "open: tue-fri", 1)).Dishes[0]
	}
	d := read("{dinner: 40 ± 6, tue dinner: 30, fri dinner: 50 +- 7}")
	assert.Equal(t, []float64{0}, d.Spread[1], "closed")
	assert.Equal(t, []float64{0}, d.Spread[2], "a rule of its own, without a spread")
	assert.Equal(t, []float64{6}, d.Spread[3])
	assert.Equal(t, []float64{7}, d.Spread[5])
	assert.Equal(t, []int{50}, d.Sells[5])
	d = read("20 ± 4")
	assert.Equal(t, []float64{4}, d.Spread[3])
	assert.Equal(t, []int{20}, d.Sells[3])
}

// Of 10 kg come 9.5 kg ± 0.5 kg, but never more than 10: 100 portions of 100 g.
func TestNoMoreThanWentIn(t *testing.T) {
	a := chanceOf(t, weektest.SmallWeek(t, `
open: tue
bought:
  pork: {price: 0/kg}
steps:
  trim: {takes: [10 kg pork], gives: [9.5 kg cut ± 0.5 kg], batches: {tue: 1}}
dishes:
  plate: {price: 1, takes: [100 g cut], sells: 200}
`), Wager{Draws: 20_000, Seed: 1})
	d := a.Services[0]
	assert.Equal(t, [3]int{88, 95, 100}, [3]int{d.P10, d.P50, d.P90}) // 95 - 1.2816*5 = 88.59
	assert.Equal(t, 100.0, a.Contribution.P90)
}

// A step to order strays too, once for the period: of 10 L of stock come 40 bowls, times the factor.
func TestStepsWithoutSetDays(t *testing.T) {
	const n = 20_000
	a := chanceOf(t, weektest.SmallWeek(t, `
open: tue
bought:
  bones: {price: 0/kg}
steps:
  boil: {takes: [20 kg bones], gives: [10 kg stock], batches: {tue: 1}}
  thin: {takes: [2 kg stock, 1 kg bones], gives: [2 kg broth ± 0.2 kg], batches: to order}
dishes:
  bowl: {price: 8, takes: [250 g broth], sells: 42}
`), Wager{Draws: n, Seed: 1})
	d := a.Services[0]
	assert.Equal(t, "broth of thin", a.Varies[0].Name)
	assert.Equal(t, 34, d.P10) // 40 - 1.2816*4 = 34.87
	assertChance(t, distuv.UnitNormal.Survival(0.5), 1-d.RunsOut, n)
}

// Two batches feed one dish that can never have enough: it goes with each as its variance goes into the sum, 4 to 1.
func TestWhatSways(t *testing.T) {
	const n = 20_000
	a := chanceOf(t, weektest.SmallWeek(t, `
open: tue
bought:
  bones: {price: 0/kg}
steps:
  steady: {takes: [60 kg bones], gives: [40 kg broth ± 1 kg], batches: {tue: 1}}
  moody:  {takes: [60 kg bones], gives: [40 kg broth ± 2 kg], batches: {tue: 1}}
dishes:
  bowl: {price: 8, takes: [10 g broth], sells: 20000}
`), Wager{Draws: n, Seed: 1})
	require.Len(t, a.Sways, 2)
	band := 4 * 2 * math.Sqrt(0.8) * 0.2 / math.Sqrt(n) // a correlation r strays by (1-r²)/√n, its square by 2r times that
	assert.Equal(t, "broth of moody, Tue 24 Nov", a.Sways[0].Name)
	assert.InDelta(t, 0.8, a.Sways[0].Share, band)
	assert.Equal(t, "broth of steady, Tue 24 Nov", a.Sways[1].Name)
	assert.InDelta(t, 0.2, a.Sways[1].Share, 4*2*math.Sqrt(0.2)*0.8/math.Sqrt(n))
	require.NotNil(t, a.Services[0].Sway)
	assert.Equal(t, a.Sways[0].Name, a.Services[0].Sway.Name)
	assert.InDelta(t, a.Sways[0].Share, a.Services[0].Sway.Share, 1e-3, "counted in whole portions and grains")
}

// The same seed gives the same bytes on any number of processors, another seed gives others.
func TestChanceIsTheSameOnManyProcessors(t *testing.T) {
	w := weektest.ExampleWeek(t, "three-kettles")
	var texts []string
	for _, tc := range []struct{ processors, seed int }{{1, 1}, {5, 1}, {16, 1}, {1, 2}} {
		was := runtime.GOMAXPROCS(tc.processors)
		a := chanceOf(t, w, Wager{Draws: 301, Seed: uint64(tc.seed)}, "lose night kettle@tue=40%")
		runtime.GOMAXPROCS(was)
		text, err := json.Marshal(a)
		require.NoError(t, err)
		texts = append(texts, string(text))
	}
	assert.Equal(t, texts[0], texts[1])
	assert.Equal(t, texts[0], texts[2])
	assert.NotEqual(t, texts[0], texts[3])
}

// Without a spread, chance is what follows for sure.
func TestNoSpreadIsCertain(t *testing.T) {
	for _, name := range weektest.Examples {
		for _, change := range []string{"", "sells-all"} {
			w := weektest.ExampleWeek(t, name)
			for s := range w.Graph.Steps {
				for o := range w.Graph.Steps[s].Gives {
					w.Graph.Steps[s].Gives[o].Spread = 0
				}
			}
			var texts []string
			if change != "" {
				for _, d := range w.Dishes {
					texts = append(texts, "sells "+d.Name+"=+40%")
				}
			}
			certain, a := ask(t, w, texts...), chanceOf(t, w, Wager{Draws: 500, Seed: 1}, texts...)
			assert.False(t, a.Typed)
			assert.Empty(t, a.Varies)
			assert.Equal(t, 1, a.Draws)
			assert.Equal(t, certain.Totals.ContributionAfter, a.Certain)
			odds := Odds{a.Certain, a.Certain, a.Certain, a.Certain}
			assert.Equal(t, odds, a.Contribution)
			k := 0
			for _, at := range certain.Dishes {
				if at.Forecast == 0 {
					continue
				}
				d := a.Services[k]
				k++
				out := 0.0
				if at.After < at.Forecast {
					out = 1
				}
				assert.Equal(t, at.Name+at.Date+at.Service, d.Name+d.Date+d.Service)
				assert.Equal(t, [5]float64{float64(at.After), float64(at.After), float64(at.After), float64(at.After), out},
					[5]float64{d.Mean, float64(d.P10), float64(d.P50), float64(d.P90), d.RunsOut})
				assert.Nil(t, d.Sway)
			}
			assert.Len(t, a.Services, k)
		}
	}
}

// What is certain is the answer of whatif, also where something varies, and the draws lie round it.
func TestChanceOfExamples(t *testing.T) {
	for name, change := range map[string]string{"three-kettles": "lose night kettle@tue=40%", "evergreen-braise": ""} {
		t.Run(name, func(t *testing.T) {
			w := weektest.ExampleWeek(t, name)
			if change == "" {
				change = "sells " + w.Dishes[0].Name + "=+10%"
			}
			certain, a := ask(t, w, change), chanceOf(t, w, Wager{Draws: 400, Seed: 1}, change)
			assert.Equal(t, certain.Totals.ContributionAfter, a.Certain)
			assert.NotEmpty(t, a.Varies)
			for _, v := range a.Varies {
				assert.Less(t, v.Spread, v.Mean)
			}
			assert.Less(t, a.Contribution.P10, a.Contribution.P90)
			assert.InEpsilon(t, a.Certain, a.Contribution.Mean, 0.05)
		})
	}
}

func TestChanceIsRefused(t *testing.T) {
	w := weektest.SmallWeek(t, onePot("10 L broth ± 1 L", "{tue: 1}", "40"))
	for _, draws := range []int{-1, MostDraws + 1} {
		_, err := Chance(t.Context(), w, nil, Wager{Draws: draws}, nil)
		assert.EqualError(t, err, fmt.Sprintf("%d draws: there must be from 1 to 100000", draws))
	}
	crowd := strings.Replace(onePot("10 L broth ± 1 L", "{tue: 1}", "1000000"), "open: tue", "open: mon-sun", 1)
	_, err := Chance(t.Context(), weektest.SmallWeek(t, crowd), nil, Wager{Draws: 10}, nil)
	assert.EqualError(t, err, "more than 2097152 portions in these days are too many to play draw by draw: "+
		"ask about fewer days")
	ctx, stop := context.WithCancel(t.Context())
	stop()
	_, err = Chance(ctx, w, nil, Wager{Draws: 1000}, nil)
	assert.ErrorIs(t, err, context.Canceled)
}

// Playing a draw takes no memory: ten thousand of them would keep the collector busy.
func TestADrawTakesNoMemory(t *testing.T) {
	w := weektest.ExampleWeek(t, "three-kettles")
	after, err := w.Play(t.Context())
	require.NoError(t, err)
	worth, err := w.Worth()
	require.NoError(t, err)
	l := &lottery{w: w, c: after.Case, costing: after.Costing, worth: worth, seed: 1, money: make([]float64, 64)}
	l.yields()
	l.guests()
	require.NoError(t, l.list())
	g := l.newGambler()
	for k := range 64 {
		g.play(k)
	}
	k := 0
	assert.Zero(t, testing.AllocsPerRun(50, func() { g.play(k); k++ }))
}

// In any small kitchen: quantiles stand in order and within what is asked for, and means between the extremes. With the
// same draws, more stock never makes a dish run out more often, where there is one dish.
func TestLawsOfChance(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		litres := rapid.IntRange(2, 30).Draw(rt, "litres")
		spread := rapid.IntRange(1, 10*litres-1).Draw(rt, "spread") // tenths of a litre
		sells := rapid.IntRange(1, 100).Draw(rt, "sells")
		guests := ""
		if stray := rapid.IntRange(0, sells-1).Draw(rt, "stray"); stray > 0 {
			guests = fmt.Sprintf(" ± %d", stray)
		}
		batches := rapid.IntRange(1, 3).Draw(rt, "batches")
		how := Wager{Draws: rapid.IntRange(1, 200).Draw(rt, "draws"), Seed: rapid.Uint64().Draw(rt, "seed")}
		kitchen := onePot(fmt.Sprintf("%d L broth ± %.1f L", litres, float64(spread)/10), fmt.Sprintf("{tue: %d}", batches),
			fmt.Sprintf("%d%s", sells, guests))
		kitchen = strings.Replace(kitchen, "keeps: 1 days", "keeps: 3 days", 1) // what is on hand on Monday keeps
		last := 2.0
		for _, extra := range []float64{0, 1, 4} {
			w := weektest.SmallWeek(t, kitchen)
			if extra > 0 {
				item, err := w.FindItem("broth")
				require.NoError(rt, err)
				s := *w.Case.Schedule
				s.OnHand = []flow.Lot{{Item: item, Amount: extra * 1000}}
				w.Case.Schedule = &s
			}
			a := chanceOf(t, w, how)
			for _, d := range append(a.Services, a.Dishes...) {
				assert.LessOrEqual(rt, d.P10, d.P50)
				assert.LessOrEqual(rt, d.P50, d.P90)
				assert.True(rt, d.P10 >= 0 && d.P90 <= 2*d.Forecast && d.Mean >= 0 && d.RunsOut >= 0 && d.RunsOut <= 1, "%+v", d)
				assert.LessOrEqual(rt, d.Contribution.P10, d.Contribution.P90)
			}
			assert.LessOrEqual(rt, a.Contribution.P10, a.Contribution.P50)
			assert.LessOrEqual(rt, a.Contribution.P50, a.Contribution.P90)
			require.Len(rt, a.Services, 1)
			assert.LessOrEqual(rt, a.Services[0].RunsOut, last, "with %g L more on hand", extra)
			last = a.Services[0].RunsOut
		}
	})
}
