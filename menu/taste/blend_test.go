package taste

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
	"pgregory.net/rapid"

	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
)

// Two batches are blended by the lever: 60 L at 1.3 and others at 0.8 come to 1.05 in equal parts, and to 1.0 with 90 L of the others.
func TestLever(t *testing.T) {
	x, err := mixed(t.Context(), []source{{holds: 60, reads: []float64{1.3}}, {holds: 200, reads: []float64{0.8}}}, []wanted{{0.9, 1.0}}, math.Inf(1))
	require.NoError(t, err)
	assert.InDeltaSlice(t, []float64{60, 90}, x, 1e-6)
	x, err = mixed(t.Context(), []source{{holds: 60, reads: []float64{1.3}}, {holds: 30, reads: []float64{0.8}}}, []wanted{{0.9, 1.0}}, math.Inf(1))
	require.NoError(t, err)
	assert.InDeltaSlice(t, []float64{20, 30}, x, 1e-6, "as much as the others allow: 20 at 1.3 and 30 at 0.8 are 50 at 1.0")
	x, err = mixed(t.Context(), []source{{holds: 60, reads: []float64{1.3}}, {holds: 30, reads: []float64{1.2}}}, []wanted{{0.9, 1.0}}, math.Inf(1))
	require.NoError(t, err)
	assert.Nil(t, x)
}

// The blend is that of another solver, gonum's simplex, on random tubs; where that finds none, or fails at a corner of its own, nothing is compared.
func TestBlendAgainstGonum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n, m := rapid.IntRange(2, 4).Draw(t, "tubs"), rapid.IntRange(1, 2).Draw(t, "measures")
		sources := make([]source, n)
		for i := range sources {
			sources[i].holds = rapid.Float64Range(5, 100).Draw(t, "holds")
			for range m {
				sources[i].reads = append(sources[i].reads, rapid.Float64Range(0.2, 2).Draw(t, "reads"))
			}
		}
		aims := make([]wanted, m)
		for i := range aims {
			low := rapid.Float64Range(0.4, 1.2).Draw(t, "low")
			aims[i] = wanted{low, low + rapid.Float64Range(0.05, 0.4).Draw(t, "wide")}
		}
		x, err := mixed(t.Context(), sources, aims, math.Inf(1))
		require.NoError(t, err)
		// min -10_000 x0 + sum of the rest; x, slacks of bounds, slacks of aims >= 0.
		rows := n + 2*m
		a, b, c := mat.NewDense(rows, n+rows, nil), make([]float64, rows), make([]float64, n+rows)
		for i := range sources {
			c[i] = 1
			a.Set(i, i, 1)
			b[i] = sources[i].holds
		}
		c[0] = -10_000
		for j, aim := range aims {
			for i, s := range sources {
				a.Set(n+2*j, i, s.reads[j]-aim.high)
				a.Set(n+2*j+1, i, aim.low-s.reads[j])
			}
		}
		for r := range rows {
			a.Set(r, n+r, 1)
		}
		best, _, err := lp.Simplex(c, a, b, 1e-10, nil)
		if err != nil {
			t.Skip("gonum found none: ", err)
		}
		ours := 0.0
		for i := range x {
			ours += c[i] * x[i]
		}
		assert.InDelta(t, best, ours, 1e-4*(1+math.Abs(best)))
	})
}

// Salt 1.3 % of what was salted by mistake, and two tubs of the days before: what is said is what the linear program says, measured out,
// and it reads what the mass balance gives. The pot's steam is learned from dips, and goes before the card's.
func TestBlendOnHand(t *testing.T) {
	k, of := gumbo(t)
	j := book(t)
	for n, reads := range []string{"salt 0.8, brix 3.7", "salt 1.3, brix 3.9"} {
		_, err := j.Append(t.Context(), entries(t, k, n, [3]string{"07:00", "cooked", "seafood stock"}, [3]string{"13:20", "measured", "seafood stock: " + reads})...)
		require.NoError(t, err)
	}
	a, err := Of(t.Context(), k, j, of, first.AddDate(0, 0, 1).Add(20*60*60*1e9), Ask{})
	require.NoError(t, err)
	require.NotNil(t, a.Blend)
	// Aim 0.9 to 1.1, its inner half 0.95 to 1.05. 50 L at 1.3 to 1.05: equal parts with 0.8, 50 L of it.
	assert.Equal(t, "[{2026-10-02 50} {2026-10-01 50}] [{salt % 1.05} {brix °Bx 3.8}]", fmt.Sprint(a.Blend.Parts, " ", a.Blend.Reads))
	assert.Equal(t, 100.0, a.Blend.Makes)
	// It keeps four days: on the fifth the older one is past its date, and nothing is blended with it.
	a, err = Of(t.Context(), k, j, of, first.AddDate(0, 0, 4).Add(20*60*60*1e9), Ask{})
	require.NoError(t, err)
	assert.Nil(t, a.Blend)
}

// Of the last batch so little may go in that no jug measures it: then nothing is said, and no other batch is taken for it.
func TestBlendOfNothing(t *testing.T) {
	litre, err := measure.UnitNamed("L")
	require.NoError(t, err)
	k, of := gumbo(t)
	m := &k.Steps[of.Step].Measures[1]
	sources := []source{{day: "2026-10-02", holds: 50, reads: []float64{9}}, {day: "2026-10-01", holds: 20, reads: []float64{1}}}
	assert.Nil(t, blendOf(litre, "gumbo stock", []*kitchen.Measure{m}, sources, []float64{0.01, 20}))
	assert.NotNil(t, blendOf(litre, "gumbo stock", []*kitchen.Measure{m}, sources, []float64{0.2, 20}))
}
