package simplex

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// random makes an LP with a boxed or half-open column here and there, as columns and as a list of rows.
func random(rng *rand.Rand, m, n int) (rows []Row, cost, lo, up []float64) {
	for range n {
		cost = append(cost, 10*rng.Float64()-5)
		lo = append(lo, -float64(rng.IntN(3)))
		up = append(up, float64(1+rng.IntN(9)))
	}
	for range m {
		r := Row{Lo: math.Inf(-1), Up: 10 * rng.Float64()}
		if rng.IntN(4) == 0 {
			r.Lo = r.Up - 5*rng.Float64()
		}
		for j := range n {
			if rng.IntN(3) == 0 {
				r.Index, r.Value = append(r.Index, int32(j)), append(r.Value, 6*rng.Float64()-2)
			}
		}
		rows = append(rows, r)
	}
	return rows, cost, lo, up
}

func fresh(rows []Row, cost, lo, up []float64) *LP {
	n := len(cost)
	p := New(0, make([]int32, n+1), nil, nil, cost, lo, up, nil, nil)
	p.AddRows(rows)
	return p
}

// Laws: after changes of bounds, added and dropped rows, clones and jumps between bases, a warm LP says the same as a
// fresh one, and Bound of an optimal basis is the objective.
func TestWarmEqualsFresh(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 6))
	seen := map[Status]int{}
	for range 300 {
		m, n := 1+rng.IntN(15), 2+rng.IntN(20)
		rows, cost, lo, up := random(rng, m, n)
		p := fresh(rows, cost, lo, up)
		start, startRows := p.Basis(), p.Rows()
		for range 12 {
			switch rng.IntN(5) {
			case 0:
				extra, _, _, _ := random(rng, 1+rng.IntN(3), n)
				rows = append(rows, extra...)
				p.AddRows(extra)
			case 1:
				p.SetBasis(start, startRows)
			case 2:
				p = p.Clone()
			case 3:
				var kept []Row
				drop := make([]bool, len(rows))
				for i := range rows {
					drop[i] = i >= startRows && p.State(n+i) == Basic && rng.IntN(2) == 0
					if !drop[i] {
						kept = append(kept, rows[i])
					}
				}
				p.DropRows(func(i int) bool { return drop[i] })
				rows = kept
			}
			j := rng.IntN(n)
			lo[j] = -float64(rng.IntN(3))
			up[j] = lo[j] + float64(rng.IntN(6))
			p.SetBounds(j, lo[j], up[j])
			got, want := p.Solve(100000, math.Inf(1)), Status(0)
			q := fresh(rows, cost, lo, up)
			want = q.Solve(100000, math.Inf(1))
			require.Equal(t, want, got)
			seen[want]++
			if want != Optimal {
				continue
			}
			require.InDelta(t, q.Objective(), p.Objective(), 1e-6*(1+math.Abs(q.Objective())))
			require.InDelta(t, p.Objective(), p.Bound(), 1e-6*(1+math.Abs(q.Objective())))
			require.Equal(t, Cutoff, p.Clone().Solve(100000, p.Objective()-1e-3))
		}
	}
	require.Greater(t, seen[Optimal], 500)
	require.Greater(t, seen[Infeasible], 50)
}
