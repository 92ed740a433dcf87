package taste

import (
	"math"
	"math/rand/v2"
	"slices"
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
		m := Measured{Goes: []Goes{{Thing: "cook", Word: "Bo", X: x, Y: y}}}
		r := rand.New(rand.NewPCG(1, 2))
		for range held - 1 { // each in an order of its own
			other := make([]float64, len(y))
			for at, place := range r.Perm(len(y)) {
				other[place] = y[at]
			}
			m.Goes = append(m.Goes, Goes{Thing: "skims", X: other, Y: y})
		}
		bound([]Measured{m})
		return []Measured{m}
	}
	assert.Equal(t, &TooFew{[]string{"cook"}, 13}, tooFew(among(42)))
	assert.Equal(t, 14, tooFew(among(43)).Batches)
	assert.Nil(t, tooFew(among(20)))
	assert.Nil(t, tooFew(nil))
	// Fourteen in halves are told by what reads finely, though a scale of which only two steps were ever met can tell nothing; with that alone it takes more.
	half := []float64{0, 0, 0, 0, 0, 0, 0, 1, 1, 1, 1, 1, 1, 1}
	coarse, fine := Measured{Goes: []Goes{{Thing: "cook", Word: "Bo", X: half, Batches: 14, each: 0.0025}}}, Measured{Goes: []Goes{{Thing: "cook", Word: "Bo", X: half, Batches: 14, each: 0.0025, reached: true}}}
	assert.Nil(t, tooFew([]Measured{coarse, fine}))
	assert.Equal(t, &TooFew{[]string{"cook"}, 15}, tooFew([]Measured{coarse}))
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
	alike := []float64{1, 1, 1}
	assert.Equal(t, []bool{true, true, false}, InReach([]float64{0.02, 0.02, 0.03}, alike, 0.05))
	assert.Equal(t, []bool{true, true, true}, InReach([]float64{0.001, 0.001, 0.001}, alike, 0.05))
	assert.Equal(t, []bool{false}, InReach([]float64{0.2}, alike[:1], 0.05))
	assert.Equal(t, []bool{false, false}, InReach([]float64{0.03, 0.03}, alike[:2], 0.05), "of two alike neither")
	// The one that weighs twice as much comes under two of three parts of 0.05, so both do.
	assert.Equal(t, []bool{true, true}, InReach([]float64{0.03, 0.015}, []float64{2, 1}, 0.05))
	assert.Empty(t, InReach(nil, nil, 0.05))
}

// By hand: colour was outside its aim in eight of twelve batches, salt in two, of clarity there is no aim; so they weigh 9, 3 and 1. Of one thing held against
// each, the chance of colour's has to come under 9 of 13 parts of 0.05 to be the only finding, where all alike had a third. What stands in the same order
// or the opposite is asked once.
func TestWeighed(t *testing.T) {
	y := []float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12}
	down := make([]float64, len(y))
	for i, v := range y {
		down[i] = -v * v
	}
	mixed := []float64{3, 1, 7, 2, 9, 5, 4, 12, 6, 8, 11, 10}
	list := []Measured{{Name: "colour", Outside: 8, Goes: []Goes{{Thing: "in at", X: y, Y: mixed}, {Thing: "in for", X: down, Y: mixed}}},
		{Name: "salt", Outside: 2, Goes: []Goes{{Thing: "in at", X: y, Y: []float64{5, 2, 9, 1, 7, 3, 12, 4, 10, 6, 8, 11}}}},
		{Name: "clarity", Goes: []Goes{{Thing: "in at", X: y, Y: []float64{5, 2, 9, 10, 7, 3, 12, 4, 1, 6, 11, 8}}}}}
	bound(list)
	for m, weight := range []float64{9, 3, 1} {
		for _, g := range list[m].Goes {
			assert.InDelta(t, 0.05*weight/13, g.each, 1e-12)
		}
	}
	assert.Equal(t, list[0].Goes[0].Chance, list[0].Goes[1].Chance, "asked once")
	assert.Less(t, list[0].Goes[0].Chance, 0.05*9/13)
	assert.True(t, list[0].Goes[0].Found && list[0].Goes[1].Found)
	assert.False(t, list[1].Goes[0].Found || list[2].Goes[0].Found)
}

// Seven figures are findings. Three of twelve by Bo are as plain as can be, 2 of 220 ways, which is more than a seventh of 0.05: it can't be found, though
// its chance is less than that of the seventh, and what is found stands first.
func TestFoundFirst(t *testing.T) {
	y := []float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12}
	m := Measured{Goes: []Goes{{Thing: "cook", Word: "Bo", X: []float64{0, 0, 0, 0, 0, 0, 0, 0, 0, 1, 1, 1}, Y: y}}}
	for i := range 6 {
		x := slices.Clone(y)
		x[i], x[i+1] = x[i+1], x[i]
		m.Goes = append(m.Goes, Goes{Thing: "skims", X: x, Y: y})
	}
	m.Goes = append(m.Goes, Goes{Thing: "boil", X: []float64{4, 1, 8, 2, 6, 3, 11, 5, 7, 12, 10, 9}, Y: y})
	list := []Measured{m}
	bound(list)
	last := list[0].Goes[7]
	assert.Equal(t, "cook", last.Thing)
	assert.InDelta(t, 2.0/220, last.Chance, 1e-12)
	assert.Equal(t, "boil", list[0].Goes[6].Thing)
	assert.Greater(t, list[0].Goes[6].Chance, last.Chance)
	for n, g := range list[0].Goes {
		assert.Equal(t, n < 7, g.Found, "%d", n)
	}
}
