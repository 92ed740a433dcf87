// Hard cases, limits, and the promise of equal answers.

package solve_test

import (
	stdcontext "context"
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/plan/solve"
	"kettletree/menu/plan/solve/verify"
)

func context() stdcontext.Context { return stdcontext.Background() }

var inf = math.Inf(1)

func problem(sense solve.Sense, cols []solve.Column, rows ...solve.Row) solve.Problem {
	return solve.Problem{Sense: sense, Columns: cols, Rows: rows}
}

func entries(values ...float64) []solve.Entry {
	var list []solve.Entry
	for j, v := range values {
		if v != 0 {
			list = append(list, solve.Entry{Col: j, Value: v})
		}
	}
	return list
}

func TestSmallCases(t *testing.T) {
	free := func(cost float64) solve.Column { return solve.Column{Lower: -inf, Upper: inf, Cost: cost} }
	plus := func(cost float64) solve.Column { return solve.Column{Upper: inf, Cost: cost} }
	whole := func(cost, up float64) solve.Column { return solve.Column{Upper: up, Cost: cost, Integer: true} }
	for _, c := range []struct {
		name   string
		p      solve.Problem
		status solve.Status
		want   float64
	}{
		{"no columns", problem(solve.Minimize, nil), solve.Optimal, 0},
		{"no columns, empty row that cannot hold", problem(solve.Minimize, nil, solve.Row{Lower: 1, Upper: 2}),
			solve.Infeasible, 0},
		{"no rows", problem(solve.Maximize, []solve.Column{{Lower: -1, Upper: 3, Cost: 2}}), solve.Optimal, 6},
		{"no rows, unbounded", problem(solve.Maximize, []solve.Column{plus(1)}), solve.Unbounded, 0},
		{"free column held by an equation", problem(solve.Minimize, []solve.Column{free(1), plus(1)},
			solve.Row{Lower: 3, Upper: 3, Entries: entries(1, -1)}), solve.Optimal, 3},
		{"free column not held", problem(solve.Minimize, []solve.Column{free(1)},
			solve.Row{Lower: -inf, Upper: 3, Entries: entries(1)}), solve.Unbounded, 0},
		{"free column without cost", problem(solve.Minimize, []solve.Column{free(0), plus(1)},
			solve.Row{Lower: 3, Upper: inf, Entries: entries(1, 1)}), solve.Optimal, 0},
		{"fixed and empty columns", problem(solve.Minimize,
			[]solve.Column{{Lower: 2, Upper: 2, Cost: 1}, {Lower: 1, Upper: 5, Cost: 1}}), solve.Optimal, 3},
		{"crossing bounds", problem(solve.Minimize, []solve.Column{{Lower: 2, Upper: 1}}), solve.Infeasible, 0},
		{"crossing row", problem(solve.Minimize, []solve.Column{plus(1)},
			solve.Row{Lower: 2, Upper: 1, Entries: entries(1)}), solve.Infeasible, 0},
		{"infeasible and unbounded below", problem(solve.Minimize, []solve.Column{plus(-1), plus(0)},
			solve.Row{Lower: 1, Upper: inf, Entries: entries(0, -1)}), solve.Infeasible, 0},
		// Beale, "Cycling in the dual simplex algorithm" (1955): the textbook rule cycles.
		{"Beale", problem(solve.Minimize, []solve.Column{plus(-.75), plus(20), plus(-.5), plus(6)},
			solve.Row{Lower: -inf, Upper: 0, Entries: entries(.25, -8, -1, 9)},
			solve.Row{Lower: -inf, Upper: 0, Entries: entries(.5, -12, -.5, 3)},
			solve.Row{Lower: -inf, Upper: 1, Entries: entries(0, 0, 1)}), solve.Optimal, -1.25},
		{"whole between two halves", problem(solve.Minimize, []solve.Column{whole(1, 10)},
			solve.Row{Lower: 2.5, Upper: 2.7, Entries: entries(1)}), solve.Infeasible, 0},
		{"parity", problem(solve.Minimize, []solve.Column{whole(1, 50), whole(1, 50)},
			solve.Row{Lower: 7, Upper: 7, Entries: entries(2, 2)}), solve.Infeasible, 0},
		{"whole, unbounded", problem(solve.Maximize, []solve.Column{whole(1, inf)}), solve.Unbounded, 0},
		{"whole, open above but held", problem(solve.Maximize, []solve.Column{whole(1, inf)},
			solve.Row{Lower: -inf, Upper: 7.5, Entries: entries(2)}), solve.Optimal, 3},
		{"whole, negative", problem(solve.Minimize, []solve.Column{{Lower: -inf, Upper: inf, Cost: 1, Integer: true}},
			solve.Row{Lower: -7.5, Upper: inf, Entries: entries(2)}), solve.Optimal, -3},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := solved(t, c.p, solve.Options{Conflict: true, Ranging: true})
			require.Equal(t, c.status, s.Status)
			if c.status == solve.Optimal {
				near(t, c.want, s.Objective, 1e-9)
			}
		})
	}
}

// Klee & Minty, "How good is the simplex algorithm?" (1972): cubes on which the textbook rule visits all corners. The
// form is that of Chvátal, "Linear programming" (1983), chapter 4; the optimum is 100^(n-1).
func TestKleeMinty(t *testing.T) {
	for n := 2; n <= 7; n++ {
		p := solve.Problem{Sense: solve.Maximize}
		for j := range n {
			p.AddColumn(solve.Column{Upper: inf, Cost: math.Pow(10, float64(n-1-j))})
		}
		for i := range n {
			var row []solve.Entry
			for j := range i {
				row = append(row, solve.Entry{Col: j, Value: 2 * math.Pow(10, float64(i-j))})
			}
			p.AddRow("", -inf, math.Pow(100, float64(i)), append(row, solve.Entry{Col: i, Value: 1})...)
		}
		s := solved(t, p, solve.Options{})
		near(t, math.Pow(100, float64(n-1)), s.Objective, 1e-9)
	}
}

// Transport problems are degenerate, and all their rows are equations. Doubling supply and demand doubles the cost.
func TestTransport(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 4))
	for _, size := range []int{3, 8, 20} {
		build := func(rng *rand.Rand, factor float64) solve.Problem {
			p := solve.Problem{}
			for range size * size {
				p.AddColumn(solve.Column{Upper: inf, Cost: float64(1 + rng.IntN(20))})
			}
			for i := range size {
				var from, to []solve.Entry
				for j := range size {
					from = append(from, solve.Entry{Col: i*size + j, Value: 1})
					to = append(to, solve.Entry{Col: j*size + i, Value: 1})
				}
				p.AddRow("", 5*factor, 5*factor, from...)
				p.AddRow("", 5*factor, 5*factor, to...)
			}
			return p
		}
		seed := rng.Uint64()
		one := solved(t, build(rand.New(rand.NewPCG(seed, 1)), 1), solve.Options{})
		two := solved(t, build(rand.New(rand.NewPCG(seed, 1)), 2), solve.Options{})
		require.Equal(t, solve.Optimal, one.Status)
		near(t, 2*one.Objective, two.Objective, 1e-9)
	}
}

func TestBadInput(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		p    solve.Problem
		o    solve.Options
		want string
	}{
		{problem(solve.Minimize, []solve.Column{{Name: "a", Cost: nan}}), solve.Options{}, `column 0 "a": cost is NaN`},
		{problem(solve.Minimize, []solve.Column{{Name: "a", Lower: inf}}), solve.Options{},
			`column 0 "a": bounds are +Inf`},
		{problem(solve.Minimize, []solve.Column{{}}, solve.Row{Name: "r", Entries: []solve.Entry{{Col: 1, Value: 1}}}),
			solve.Options{}, `row 0 "r": entry for column 1: there are 1 columns`},
		{problem(solve.Minimize, []solve.Column{{Name: "a"}},
			solve.Row{Name: "r", Entries: []solve.Entry{{Value: 1}, {Value: 2}}}), solve.Options{},
			`two entries for column "a"`},
		{problem(solve.Minimize, []solve.Column{{}}), solve.Options{Starts: [][]float64{{1, 2}}},
			"start has 2 values for 1 columns"},
		{problem(solve.Minimize, []solve.Column{{Name: "a"}}), solve.Options{Starts: [][]float64{{nan}}},
			`start of column 0 "a" is NaN`},
		{problem(solve.Minimize, []solve.Column{{}}), solve.Options{Hints: make([]solve.Hint, 2)},
			"2 hints for 1 columns"},
	} {
		_, err := solve.Solve(t.Context(), c.p, c.o)
		require.ErrorContains(t, err, c.want)
	}
}

// Limits count work: the same answer comes on one processor and on two, and again, to the last bit.
func TestSameAnswerAnywhere(t *testing.T) {
	p := read(t, "week-3c")
	iterations := 5_000
	if testing.Short() {
		iterations = 3_000
	}
	answer := func(processors int) string {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(processors))
		var progress []solve.Progress
		note := func(r solve.Progress) { progress = append(progress, r) }
		s := solved(t, p, solve.Options{Iterations: iterations, Progress: note})
		return fmt.Sprintf("%b %b %b %d %d %v", s.Objective, s.Bound, s.X, s.Iterations, s.Nodes, progress)
	}
	first := answer(1)
	assert.Equal(t, first, answer(2))
	assert.Equal(t, first, answer(2))
}

func TestLimitsReturnTheBestFound(t *testing.T) {
	if testing.Short() {
		t.Skip("long under the race detector, and in one goroutine")
	}
	p := read(t, "week-1c")
	s := solved(t, p, solve.Options{Nodes: 30})
	assert.Equal(t, solve.Limit, s.Status)
	require.NotNil(t, s.X)
	assert.InDelta(t, math.Abs(s.Objective-s.Bound)/math.Abs(s.Objective), s.Gap, 1e-12)
	assert.Less(t, s.Gap, 0.2)

	loose := solved(t, p, solve.Options{Gap: 0.10})
	assert.Equal(t, solve.Optimal, loose.Status)
	assert.LessOrEqual(t, loose.Gap, 0.10)

	again := solved(t, p, solve.Options{Nodes: 1, Starts: [][]float64{loose.X}})
	assert.LessOrEqual(t, again.Objective, loose.Objective+1e-6, "a start is never made worse")
}

func TestCancel(t *testing.T) {
	ctx, cancel := stdcontext.WithCancel(t.Context())
	p := read(t, "week-1c")
	found := 0.0
	s, err := solve.Solve(ctx, p, solve.Options{Progress: func(r solve.Progress) {
		if r.Nodes > 50 {
			found = r.Objective
			cancel()
		}
	}})
	require.NoError(t, err)
	require.NoError(t, verify.Solution(p, s))
	assert.Equal(t, solve.Limit, s.Status)
	assert.LessOrEqual(t, s.Objective, found+1e-6)

	s, err = solve.Solve(ctx, p, solve.Options{})
	require.NoError(t, err)
	assert.Equal(t, solve.Limit, s.Status)
	assert.Nil(t, s.X)
}

// The checker must find fault where there is one.
func TestCheckerFindsFault(t *testing.T) {
	p := wyndor()
	good := solved(t, p, solve.Options{})
	for name, spoil := range map[string]func(s *solve.Solution){
		"value":        func(s *solve.Solution) { s.X = []float64{2, 6.01} },
		"objective":    func(s *solve.Solution) { s.Objective = 36.01 },
		"dual":         func(s *solve.Solution) { s.Duals = []float64{0, 1.6, 1} },
		"sign":         func(s *solve.Solution) { s.Duals = []float64{-1, 1.5, 1} },
		"reduced cost": func(s *solve.Solution) { s.ReducedCosts = []float64{1, 0} },
		"bound":        func(s *solve.Solution) { s.Bound = 35 },
		"size":         func(s *solve.Solution) { s.X = s.X[:1] },
		"point":        func(s *solve.Solution) { s.X = nil },
	} {
		s := good
		spoil(&s)
		assert.Error(t, verify.Solution(p, s), name)
	}
	p.Columns[0].Integer = true
	assert.ErrorContains(t, verify.Point(p, []float64{1.5, 6}, 34.5), "not whole")
}

// A row whose own sides cross is the whole conflict; one that clashes with a bound needs that bound.
func TestConflictNamesTheRow(t *testing.T) {
	good := solve.Row{Lower: -inf, Upper: 9, Entries: entries(1)}
	for _, c := range []struct {
		row  solve.Row
		want solve.Conflict
	}{
		{solve.Row{Lower: 2, Upper: 1, Entries: entries(1)}, solve.Conflict{Rows: []int{1}, ProvenMinimal: true}},
		{solve.Row{Lower: 5, Upper: 6, Entries: entries(1)},
			solve.Conflict{Rows: []int{1}, Upper: []int{0}, ProvenMinimal: true}},
	} {
		p := problem(solve.Minimize, []solve.Column{{Upper: 4, Cost: 1}}, good, c.row)
		s := solved(t, p, solve.Options{Conflict: true})
		require.Equal(t, solve.Infeasible, s.Status)
		assert.Equal(t, c.want, *s.Conflict)
	}
}
