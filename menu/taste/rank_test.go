package taste

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

func TestRank(t *testing.T) {
	assert.InDelta(t, 1, Rank([]float64{1, 2, 3, 4}, []float64{10, 20, 40, 80}), 1e-12)
	assert.InDelta(t, -1, Rank([]float64{1, 2, 3}, []float64{3, 2, 1}), 1e-12)
	assert.Zero(t, Rank([]float64{1, 1, 1}, []float64{3, 2, 1}))
	// Worked by hand with the formula for no ties, 1 - 6 sum d^2 / (n (n^2 - 1)): d^2 = 1, 1, 1, 1, 0.
	assert.InDelta(t, 1-6*4.0/(5*24), Rank([]float64{1, 2, 3, 4, 5}, []float64{2, 1, 4, 3, 5}), 1e-12)
	assert.Equal(t, []float64{1.5, 3, 1.5, 4}, ranks([]float64{2, 5, 2, 9}))
}

// Of up to eight pairs the chance is counted, so it is the exact one: of four in order, 2 of 24 orders go together as strongly either way;
// and the tables of Spearman's coefficient have 0.0167 on both sides for n = 5 and a perfect order: 2 of 120.
func TestExactChance(t *testing.T) {
	assert.InDelta(t, 2.0/24, Chance([]float64{1, 2, 3, 4}, []float64{4, 5, 6, 7}), 1e-12)
	assert.InDelta(t, 2.0/120, Chance([]float64{1, 2, 3, 4, 5}, []float64{4, 5, 6, 7, 8}), 1e-12)
	// n = 5, rho = 0.9: the tables (Zar, Biostatistical Analysis; from memory) give P(rho >= 0.9) = 0.042 on one side: 5 of 120.
	assert.InDelta(t, 10.0/120, Chance([]float64{1, 2, 3, 4, 5}, []float64{2, 1, 3, 4, 5}), 1e-12)
}

// Drawn chances agree with those of all orders.
func TestDrawnChance(t *testing.T) {
	x, y := []float64{1, 2, 3, 4, 5, 6, 7, 8, 9}, []float64{2, 1, 5, 3, 4, 9, 6, 7, 8}
	rx, ry := ranks(x), ranks(y)
	as, all := 0, 0
	everyOrder(ry, func(o []float64) {
		all++
		if math.Abs(correlation(rx, o)) >= math.Abs(correlation(rx, ry))-1e-12 {
			as++
		}
	})
	assert.Equal(t, 362_880, all)
	exact := float64(as) / float64(all)
	assert.InDelta(t, exact, Chance(x, y), 4*math.Sqrt(exact*(1-exact)/draws)+1.0/draws)
	assert.Equal(t, Chance(x, y), Chance(x, y), "the same values have the same chance")
}

func TestChanceIsASoundShare(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 7).Draw(t, "n")
		draw := rapid.SliceOfN(rapid.Float64Range(0, 5), n, n)
		x, y := draw.Draw(t, "x"), draw.Draw(t, "y")
		p := Chance(x, y)
		assert.True(t, p > 0 && p <= 1, "%v", p)
		flipped := make([]float64, n)
		for i := range y {
			flipped[i] = -y[i]
		}
		assert.InDelta(t, p, Chance(x, flipped), 1e-9, "up and down alike")
	})
}

// The example of Benjamini and Hochberg (1995), section 3.2, from memory: of 15 p-values, four are findings at 5 %, where Bonferroni's
// bound finds three.
func TestBenjaminiHochberg(t *testing.T) {
	p := []float64{0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344, 0.0459, 0.3240, 0.4262, 0.5719, 0.6528, 0.7590, 1.0000}
	found := Bounded(p, 0.05)
	for i := range p {
		assert.Equal(t, i < 4, found[i], "p = %v", p[i])
	}
	assert.Empty(t, Bounded(nil, 0.05))
	assert.Equal(t, []bool{true, false, true}, Bounded([]float64{0.03, 0.9, 0.001}, 0.05), "in whatever order")
}

// Twelve batches, six of them by each cook, are parted as plainly as can be in 2 of 924 ways, 0.00216; thirteen in 2 of 1,716, 0.00117; fourteen in 2 of 3,432,
// 0.00058. Among 42 things held against measures the strongest has to come under 0.05/42 = 0.00119, so that it takes thirteen; among 43, fourteen.
func TestTooFew(t *testing.T) {
	assert.InDelta(t, 2.0/924, leastChance(12, 6), 1e-12)
	assert.InDelta(t, 2.0/220, leastChance(12, 3), 1e-12)
	x, y := []float64{0, 0, 0, 0, 0, 0, 1, 1, 1, 1, 1, 1}, []float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12}
	assert.InDelta(t, leastChance(12, 6), Chance(x, y), 0.001)
	among := func(held int) []Measured {
		m := Measured{Goes: []Goes{{Thing: "cook", Word: "Bo", X: x, Y: y, Chance: 1}}}
		for range held - 1 {
			m.Goes = append(m.Goes, Goes{Thing: "skims", X: y, Y: y, Chance: 1})
		}
		bound([]Measured{m})
		return []Measured{m}
	}
	assert.Equal(t, &TooFew{[]string{"cook"}, 13}, tooFew(among(42), 42))
	assert.Equal(t, 14, tooFew(among(43), 43).Batches)
	assert.Nil(t, tooFew(among(20), 20))
	assert.Nil(t, tooFew(nil, 0))
	// Fourteen in halves are told by what reads finely, though a scale of which only two steps were ever met can tell nothing; with that alone it takes more.
	half := []float64{0, 0, 0, 0, 0, 0, 0, 1, 1, 1, 1, 1, 1, 1}
	coarse, fine := Measured{Goes: []Goes{{Thing: "cook", Word: "Bo", X: half, Batches: 14}}}, Measured{Goes: []Goes{{Thing: "cook", Word: "Bo", X: half, Batches: 14, reached: true}}}
	assert.Nil(t, tooFew([]Measured{coarse, fine}, 20))
	assert.Equal(t, &TooFew{[]string{"cook"}, 15}, tooFew([]Measured{coarse}, 20))
}

// All ways to part the pairs of what is one way or the other are gone through: no more and no less than there are. By hand: of 12 batches the three by
// Bo are the three highest in 1 of 220 ways, and the three lowest in another.
func TestChanceOfOneWayOrTheOther(t *testing.T) {
	bo := []float64{0, 0, 0, 0, 0, 0, 0, 0, 0, 1, 1, 1}
	y := []float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12}
	assert.InDelta(t, 2.0/220, Chance(bo, y), 1e-12)
	assert.InDelta(t, 2.0/220, Chance(y, bo), 1e-3, "drawn") // which of the two is a word does not matter
	y[8], y[9] = y[9], y[8]                                  // the next lower sum of ranks: 9 + 11 + 12
	assert.InDelta(t, 4.0/220, Chance(bo, y), 1e-12)
}

// The least chance is that of the order that goes together best, held against all orders.
func TestLeastChance(t *testing.T) {
	assert.InDelta(t, 2.0/924, Least([]float64{0, 0, 0, 0, 0, 0, 1, 1, 1, 1, 1, 1}, []float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12}), 1e-12)
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 6).Draw(t, "n")
		values := rapid.SliceOfN(rapid.IntRange(0, 3), n, n)
		var x, y []float64
		of := values.Draw(t, "y")
		for i, v := range values.Draw(t, "x") {
			x, y = append(x, float64(v)), append(y, float64(of[i]))
		}
		least := 1.0
		everyOrder(ranks(y), func(order []float64) { least = min(least, Chance(x, order)) })
		assert.InDelta(t, least, Least(x, y), 1e-9)
	})
}

// By hand: at 5 %, with least chances of 0.02, 0.02 and 0.03, of one test all three come under 0.05; of two, under 0.025, two do, and no more than two
// are counted.
func TestInReach(t *testing.T) {
	assert.Equal(t, []bool{true, true, false}, InReach([]float64{0.02, 0.02, 0.03}, 0.05))
	assert.Equal(t, []bool{true, true, true}, InReach([]float64{0.001, 0.001, 0.001}, 0.05))
	assert.Equal(t, []bool{false}, InReach([]float64{0.2}, 0.05))
	assert.Empty(t, InReach(nil, 0.05))
}
