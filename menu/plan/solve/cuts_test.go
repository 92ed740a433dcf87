package solve

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/plan/solve/simplex"
)

// No cut removes a whole point: on random small problems all integer points with a feasible rest are tried against all
// cuts of several rounds.
func TestCutsKeepWholePoints(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 3))
	cutsSeen, points := 0, 0
	for range 1600 {
		p := randomMixed(rng)
		m := newModel(&p)
		if !m.tighten() {
			continue
		}
		lp := m.lp()
		if lp.Solve(noLimit, math.Inf(1)) != simplex.Optimal {
			continue
		}
		var rows []simplex.Row
		for range 4 {
			var added []simplex.Row
			for _, k := range newCutter(m, lp, rows).find(20) {
				added = append(added, simplex.Row{Index: k.index, Value: k.value, Lo: math.Inf(-1), Up: k.side})
			}
			if len(added) == 0 {
				break
			}
			rows = append(rows, added...)
			lp.AddRows(added)
			require.NotEqual(t, simplex.Trouble, lp.Solve(noLimit, math.Inf(1)))
		}
		if len(rows) == 0 {
			continue
		}
		cutsSeen += len(rows)
		// A cut removes a point exactly if the cut's activity can exceed its side there: maximise it with integers
		// fixed.
		plain := newModel(&p)
		eachPoint(plain, 0, func() {
			for _, r := range rows {
				most := *plain
				most.cost = make([]float64, plain.n)
				for k, j := range r.Index {
					most.cost[j] = -r.Value[k]
				}
				q := most.lp()
				st := q.Solve(noLimit, math.Inf(1))
				if st == simplex.Infeasible {
					return
				}
				// The cut may rely on feasible points only, so the most it sees is over all of them.
				require.Equal(t, simplex.Optimal, st)
				points++
				require.LessOrEqual(t, -q.Objective(), r.Up+1e-6*(1+math.Abs(r.Up)))
			}
		})
	}
	assert.Greater(t, cutsSeen, 300)
	assert.Greater(t, points, 2500)
}

// eachPoint fixes the integers from column j on to all their values.
func eachPoint(m *model, j int, use func()) {
	for ; j < m.n && !m.integer[j]; j++ {
	}
	if j == m.n {
		use()
		return
	}
	lo, up := m.lo[j], m.up[j]
	for v := lo; v <= up; v++ {
		m.lo[j], m.up[j] = v, v
		eachPoint(m, j+1, use)
	}
	m.lo[j], m.up[j] = lo, up
}

func randomMixed(rng *rand.Rand) Problem {
	p := Problem{}
	n := 4 + rng.IntN(4)
	for j := range n {
		integer := j < 3 || rng.IntN(2) == 0 && j < 5
		up := float64(1 + rng.IntN(3))
		if !integer {
			up = 10 * rng.Float64()
		}
		p.AddColumn(Column{Upper: up, Cost: 10*rng.Float64() - 7, Integer: integer})
	}
	for range 2 + rng.IntN(4) {
		var row []Entry
		for j := range n {
			if rng.IntN(3) > 0 {
				row = append(row, Entry{j, math.Round(100*(8*rng.Float64()-2)) / 10})
			}
		}
		lo, up := math.Inf(-1), 5+10*rng.Float64()
		if rng.IntN(4) == 0 {
			lo = up - 4
		}
		p.AddRow("", lo, up, row...)
	}
	return p
}
