// Random problems against other methods: gonum's dense simplex, trying all points, and glpsol where it is installed.

package solve_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize/convex/lp"
	"pgregory.net/rapid"

	"kettletree/menu/plan/solve"
	"kettletree/menu/plan/solve/verify"
)

// Equations A x = b, x ≥ 0 with a known point, the only form that gonum takes.
func TestAgainstGonum(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	compared := 0
	for range 200 {
		m := 1 + rng.IntN(8)
		n := m + 1 + rng.IntN(10)
		a := mat.NewDense(m, n, nil)
		p := solve.Problem{}
		point, cost := make([]float64, n), make([]float64, n)
		for j := range n {
			point[j], cost[j] = float64(rng.IntN(4)), rng.Float64()*10-2
			p.AddColumn(solve.Column{Name: fmt.Sprint("x", j), Upper: math.Inf(1), Cost: cost[j]})
		}
		b := make([]float64, m)
		for i := range m {
			var row []solve.Entry
			for j := range n {
				if v := float64(rng.IntN(11) - 3); v != 0 && rng.Float64() < 0.7 {
					a.Set(i, j, v)
					b[i] += v * point[j]
					row = append(row, solve.Entry{Col: j, Value: v})
				}
			}
			p.AddRow(fmt.Sprint("r", i), b[i], b[i], row...)
		}
		s := solved(t, p, solve.Options{})
		want, _, err := lp.Simplex(cost, a, b, 1e-10, nil)
		switch {
		case err == nil:
			compared++
			require.Equal(t, solve.Optimal, s.Status)
			near(t, want, s.Objective, 1e-7)
		case err == lp.ErrUnbounded:
			require.Equal(t, solve.Unbounded, s.Status)
		}
	}
	assert.Greater(t, compared, 50)
}

// general draws a problem with all kinds of bounds and rows: free, fixed, boxed and one-sided columns, equations,
// ranges, empty rows and columns.
func general(t *rapid.T, integers bool) solve.Problem {
	p := solve.Problem{Sense: solve.Sense(rapid.IntRange(0, 1).Draw(t, "sense")), Constant: 1.5}
	n, m := rapid.IntRange(1, 6).Draw(t, "columns"), rapid.IntRange(0, 6).Draw(t, "rows")
	side := func(kind int, name string) (lo, up float64) {
		v := float64(rapid.IntRange(-6, 6).Draw(t, name))
		w := v + float64(rapid.IntRange(0, 6).Draw(t, name))
		return [][2]float64{{v, w}, {v, math.Inf(1)}, {math.Inf(-1), w}, {math.Inf(-1), math.Inf(1)}, {v, v}}[kind][0],
			[][2]float64{{v, w}, {v, math.Inf(1)}, {math.Inf(-1), w}, {math.Inf(-1), math.Inf(1)}, {v, v}}[kind][1]
	}
	for j := range n {
		kind := 0
		if !integers {
			kind = rapid.IntRange(0, 4).Draw(t, "kind")
		}
		lo, up := side(kind, "bound")
		if integers && up-lo > 4 {
			up = lo + 4
		}
		p.AddColumn(solve.Column{Name: fmt.Sprint("x", j), Lower: lo, Upper: up,
			Cost: float64(rapid.IntRange(-5, 5).Draw(t, "cost")), Integer: integers && rapid.Bool().Draw(t, "integer")})
	}
	for i := range m {
		lo, up := side(rapid.IntRange(0, 4).Draw(t, "kind"), "side")
		var row []solve.Entry
		for j := range n {
			if v := rapid.IntRange(-4, 4).Draw(t, "entry"); v != 0 {
				row = append(row, solve.Entry{Col: j, Value: float64(v)})
			}
		}
		p.AddRow(fmt.Sprint("r", i), lo, up, row...)
	}
	return p
}

// For all linear programs: an optimal answer carries a certificate that code of its own accepts, an infeasible one
// carries a conflict that is infeasible alone and feasible without any one member, and an unbounded one is feasible
// with costs at 0.
func TestLinearLaws(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		p := general(r, false)
		s, err := solve.Solve(t.Context(), p, solve.Options{Conflict: true, Ranging: true})
		require.NoError(r, err)
		require.NoError(r, verify.Solution(p, s))
		switch s.Status {
		case solve.Optimal:
			require.NotNil(r, s.X)
		case solve.Unbounded:
			for j := range p.Columns {
				p.Columns[j].Cost = 0
			}
			s, err = solve.Solve(t.Context(), p, solve.Options{})
			require.NoError(r, err)
			require.Equal(r, solve.Optimal, s.Status)
		case solve.Infeasible:
			minimal(r, p, s.Conflict)
		default:
			r.Fatalf("status %v without any limit", s.Status)
		}
	})
}

// TestWarm begins from the optimum of a problem with other sides and bounds: the answer is that from scratch.
func TestWarm(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		p := general(r, false)
		solved := func(warm *solve.Solution) solve.Solution {
			s, err := solve.Solve(t.Context(), p, solve.Options{Warm: warm})
			require.NoError(r, err)
			require.NoError(r, verify.Solution(p, s))
			return s
		}
		first := solved(nil)
		move := func(lo, up *float64, name string) {
			by := float64(rapid.IntRange(-3, 3).Draw(r, name))
			*lo, *up = *lo+by, *up+by
		}
		for j := range p.Columns {
			move(&p.Columns[j].Lower, &p.Columns[j].Upper, "bound")
		}
		for i := range p.Rows {
			move(&p.Rows[i].Lower, &p.Rows[i].Upper, "side")
		}
		cold, warm := solved(nil), solved(&first)
		require.Equal(r, cold.Status, warm.Status)
		if cold.Status == solve.Optimal {
			require.InDelta(r, cold.Objective, warm.Objective, 1e-7*(1+math.Abs(cold.Objective)))
		}
	})
}

// minimal checks a conflict by solving the problem with only its members, and with each one left out.
func minimal(t require.TestingT, p solve.Problem, c *solve.Conflict) {
	require.NotNil(t, c)
	only := func(out int) solve.Status {
		q := solve.Problem{}
		for _, x := range p.Columns {
			q.AddColumn(solve.Column{Lower: math.Inf(-1), Upper: math.Inf(1), Integer: x.Integer && c.Integers})
		}
		k := 0
		for _, j := range c.Lower {
			if k++; k != out {
				q.Columns[j].Lower = p.Columns[j].Lower
			}
		}
		for _, j := range c.Upper {
			if k++; k != out {
				q.Columns[j].Upper = p.Columns[j].Upper
			}
		}
		for _, i := range c.Rows {
			if k++; k != out {
				q.Rows = append(q.Rows, p.Rows[i])
			}
		}
		s, err := solve.Solve(context(), q, solve.Options{Nodes: 2000})
		require.NoError(t, err)
		return s.Status
	}
	require.Equal(t, solve.Infeasible, only(0), "the members alone")
	if !c.ProvenMinimal {
		require.True(t, c.Integers, "linear problems have no limit")
		return
	}
	for out := range len(c.Rows) + len(c.Lower) + len(c.Upper) {
		require.NotEqual(t, solve.Infeasible, only(out+1), "without member %d of %+v", out, *c)
	}
}

// For all small problems with integers: the answer is that of trying all values of the integers.
func TestIntegerAgainstAllPoints(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		p := general(r, true)
		s, err := solve.Solve(t.Context(), p, solve.Options{Conflict: true})
		require.NoError(r, err)
		require.NoError(r, verify.Solution(p, s))
		want, ok := tryAll(p, 0)
		if !ok {
			require.Equal(r, solve.Infeasible, s.Status)
			minimal(r, p, s.Conflict)
			return
		}
		require.Equal(r, solve.Optimal, s.Status)
		require.InDelta(r, want, s.Objective, 1e-6)
	})
}

// tryAll fixes the integers from column j on to all their values and solves the linear programs left.
func tryAll(p solve.Problem, j int) (best float64, ok bool) {
	for ; j < len(p.Columns); j++ {
		if p.Columns[j].Integer {
			break
		}
	}
	if j == len(p.Columns) {
		for k := range p.Columns {
			p.Columns[k].Integer = false
		}
		s, _ := solve.Solve(context(), p, solve.Options{})
		return s.Objective, s.Status == solve.Optimal
	}
	c := p.Columns[j]
	for v := c.Lower; v <= c.Upper; v++ {
		q := p
		q.Columns = append([]solve.Column(nil), p.Columns...)
		q.Columns[j] = solve.Column{Name: c.Name, Lower: v, Upper: v, Cost: c.Cost}
		if s, found := tryAll(q, j+1); found && (!ok || (p.Sense == solve.Minimize) == (s < best)) {
			best, ok = s, true
		}
	}
	return best, ok
}

// kitchen makes a small planning problem of the kind that the planner poses: batches with by-products, dishes up to
// their demand, stock carried from day to day, specials with a least run.
func kitchen(rng *rand.Rand, days int, whole bool) solve.Problem {
	const steps, items, dishes = 4, 5, 6
	p := solve.Problem{Sense: solve.Maximize}
	inf := math.Inf(1)
	balance := make([][]solve.Entry, days*items)
	put := func(day, item, col int, v float64) {
		balance[day*items+item] = append(balance[day*items+item], solve.Entry{Col: col, Value: v})
	}
	for d := range days {
		var pot []solve.Entry
		for s := range steps {
			y := p.AddColumn(solve.Column{Name: fmt.Sprintf("batch%d_%d", s, d), Upper: 3,
				Cost: -50 - 200*rng.Float64(), Integer: true})
			pot = append(pot, solve.Entry{Col: y, Value: float64(1 + rng.IntN(3))})
			for i := range items {
				if rng.Float64() < 0.6 {
					put(d, i, y, 3+15*rng.Float64())
				}
			}
		}
		p.AddRow(fmt.Sprint("pot_", d), math.Inf(-1), 5, pot...)
		for k := range dishes {
			most := float64(5 + rng.IntN(20))
			x := p.AddColumn(solve.Column{Name: fmt.Sprintf("dish%d_%d", k, d), Upper: most,
				Cost: 6 + 9*rng.Float64(), Integer: whole})
			for i := range items {
				if rng.Float64() < 0.5 {
					put(d, i, x, -0.05-0.3*rng.Float64())
				}
			}
			if k < 2 {
				o := p.AddColumn(solve.Column{Name: fmt.Sprintf("offer%d_%d", k, d), Upper: 1, Cost: -2, Integer: true})
				p.AddRow("", math.Inf(-1), 0, solve.Entry{Col: x, Value: 1}, solve.Entry{Col: o, Value: -most})
				p.AddRow("", 0, inf, solve.Entry{Col: x, Value: 1}, solve.Entry{Col: o, Value: -5})
			}
		}
		for i := range items {
			v := p.AddColumn(solve.Column{Name: fmt.Sprintf("keep%d_%d", i, d), Upper: inf})
			put(d, i, v, -1)
			if d+1 < days {
				put(d+1, i, v, 1)
			}
			put(d, i, p.AddColumn(solve.Column{Name: fmt.Sprintf("bin%d_%d", i, d), Upper: inf, Cost: -0.4}), -1)
		}
	}
	for k, row := range balance {
		p.AddRow(fmt.Sprint("stock", k), 0, 0, row...)
	}
	return p
}

// glpsol, where it is installed, must agree on problems of the planner's kind, by way of the writer.
func TestAgainstGLPK(t *testing.T) {
	glpsol, err := exec.LookPath("glpsol")
	if err != nil {
		t.Skip("glpsol is not installed, so there is nothing to compare with: apt-get install glpk-utils")
	}
	rng := rand.New(rand.NewPCG(3, 9))
	for k := range 8 {
		p := kitchen(rng, 1+k%3, k%2 == 1)
		s := solved(t, p, solve.Options{})
		require.Equal(t, solve.Optimal, s.Status)
		q := p // GLPK's reader knows no OBJSENSE: turn the signs
		q.Sense = solve.Minimize
		q.Columns = append([]solve.Column(nil), p.Columns...)
		for j := range q.Columns {
			q.Columns[j].Cost *= -1
		}
		dir := t.TempDir()
		file, answer := filepath.Join(dir, "p"), filepath.Join(dir, "answer")
		f, err := os.Create(file)
		require.NoError(t, err)
		require.NoError(t, writeMPS(f, q))
		require.NoError(t, f.Close())
		out, err := exec.Command(glpsol, "--freemps", file, "--cuts", "--tmlim", "20", "-w", answer).CombinedOutput()
		require.NoError(t, err, string(out))
		text, err := os.ReadFile(answer)
		require.NoError(t, err)
		for line := range strings.Lines(string(text)) {
			if w := strings.Fields(line); len(w) > 2 && w[0] == "s" {
				v, err := strconv.ParseFloat(w[len(w)-1], 64)
				require.NoError(t, err)
				require.Equal(t, "o", w[4], "glpsol has not proven its answer")
				near(t, -v, s.Objective, 1e-6)
			}
		}
	}
}
