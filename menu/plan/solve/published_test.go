// Problems with published answers.

package solve_test

import (
	"compress/gzip"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/plan/solve"
	"kettletree/menu/plan/solve/verify"
)

func read(t testing.TB, name string) solve.Problem {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", name+".mps.gz"))
	require.NoError(t, err)
	defer f.Close()
	z, err := gzip.NewReader(f)
	require.NoError(t, err)
	p, err := readMPS(z)
	require.NoError(t, err)
	return p
}

// solved solves and has the answer checked by code of its own.
func solved(t testing.TB, p solve.Problem, o solve.Options) solve.Solution {
	t.Helper()
	s, err := solve.Solve(t.Context(), p, o)
	require.NoError(t, err)
	require.NoError(t, verify.Solution(p, s))
	return s
}

func near(t testing.TB, want, got, relative float64) {
	t.Helper()
	assert.InDelta(t, want, got, relative*math.Max(1, math.Abs(want)))
}

// wyndor is the example of Hillier & Lieberman, "Introduction to operations research", chapters 3, 4 and 7.
func wyndor() solve.Problem {
	p := solve.Problem{Name: "wyndor", Sense: solve.Maximize}
	doors := p.AddColumn(solve.Column{Name: "doors", Upper: math.Inf(1), Cost: 3})
	windows := p.AddColumn(solve.Column{Name: "windows", Upper: math.Inf(1), Cost: 5})
	p.AddRow("plant 1", math.Inf(-1), 4, solve.Entry{Col: doors, Value: 1})
	p.AddRow("plant 2", math.Inf(-1), 12, solve.Entry{Col: windows, Value: 2})
	p.AddRow("plant 3", math.Inf(-1), 18, solve.Entry{Col: doors, Value: 3}, solve.Entry{Col: windows, Value: 2})
	return p
}

func TestWyndor(t *testing.T) {
	p := wyndor()
	s := solved(t, p, solve.Options{Ranging: true})
	assert.Equal(t, solve.Optimal, s.Status)
	near(t, 36, s.Objective, 1e-9)
	assert.InDeltaSlice(t, []float64{2, 6}, s.X, 1e-9)
	assert.InDeltaSlice(t, []float64{0, 1.5, 1}, s.Duals, 1e-9) // shadow prices, chapter 4.7
	inf := math.Inf(1)
	for i, want := range [][2]float64{{0, 7.5}, {2, inf}} { // ranges of costs, chapter 7
		assert.Equal(t, want, rounded(s.Ranges.Costs[i]), p.Columns[i].Name)
	}
	for i, want := range [][2]float64{{2, inf}, {6, 18}, {12, 24}} { // ranges of right-hand sides
		assert.Equal(t, want, rounded(s.Ranges.Sides[i]), p.Rows[i].Name)
	}
	p.Rows[1].Upper = 13
	near(t, 37.5, solved(t, p, solve.Options{}).Objective, 1e-9)
	p = wyndor()
	p.Rows[2].Upper = 19
	near(t, 37, solved(t, p, solve.Options{}).Objective, 1e-9)
}

func rounded(r [2]float64) [2]float64 {
	for i, v := range r {
		if !math.IsInf(v, 0) {
			r[i] = math.Round(v*1e9) / 1e9
		}
	}
	return r
}

// Stigler, "The cost of subsistence" (1945); optimum as in Dantzig 1963, section 27-1. 39.69 dollars a year counts
// 365.25 days, 39.66 counts 365.
func TestStiglersDiet(t *testing.T) {
	p := read(t, "stigler")
	require.Len(t, p.Columns, 77)
	s := solved(t, p, solve.Options{})
	near(t, 0.1086622782, s.Objective, 1e-9)
	near(t, 39.6889, s.Objective*365.25, 1e-3)
	near(t, 39.6617, s.Objective*365, 1e-3)
	assert.Less(t, s.Objective*365, 39.93, "Stigler's own answer by hand")

	yearly := map[string]float64{"x[flour]": 10.774457512, "x[liver]": 0.690783411, "x[cabbage]": 4.093268865,
		"x[spinach]": 1.827796070, "x[navybeans]": 22.275425687}
	for j, c := range p.Columns {
		assert.InDelta(t, yearly[c.Name], s.X[j]*365, 1e-6, c.Name)
	}
	duals := map[string]float64{"nb[calories]": .00876515, "nb[calcium]": .0317377, "nb[vitaminA]": .000400233,
		"nb[riboflavin]": .016358, "nb[ascorbicAcid]": .000144118}
	total := 0.0
	for i, r := range p.Rows {
		assert.InDelta(t, duals[r.Name], s.Duals[i], 1e-6, r.Name)
		total += r.Lower * s.Duals[i]
	}
	near(t, 0.1086622, total, 1e-6)
	over := map[string]float64{"nb[protein]": 147.41, "nb[iron]": 60.47, "nb[thiamine]": 4.12, "nb[niacin]": 27.32}
	for _, r := range p.Rows {
		activity := 0.0
		for _, e := range r.Entries {
			activity += e.Value * s.X[e.Col]
		}
		if want, ok := over[r.Name]; ok {
			assert.InDelta(t, want, activity, 0.005, r.Name)
		} else {
			assert.InDelta(t, r.Lower, activity, 1e-8, r.Name)
		}
	}
}

func TestPublishedLinearPrograms(t *testing.T) {
	for _, c := range []struct {
		name   string
		sense  solve.Sense
		want   float64
		within float64
		source string
	}{
		{"diet", solve.Minimize, 0.1381709355, 1e-9, "Dantzig 1963, section 27-1, equality rows; value by GLPK"},
		{"food", solve.Maximize, 107842.5926, 1e-8, "Williams, section 12.1: 107,843"},
		{"afiro", solve.Minimize, -4.6475314286e+02, 1e-9, "Netlib lp/data/readme"},
		{"brandy", solve.Minimize, 1.5185098965e+03, 1e-9, "Netlib lp/data/readme"},
		{"finnis", solve.Minimize, 1.7279096547e+05, 1e-6, "Netlib lp/data/readme; GLPK 1.727910656e+05"},
		{"week-1c", solve.Minimize, -17936.1199287976, 1e-8, "GLPK and CBC, run on the file"},
		{"fortnight-1c", solve.Minimize, -57746.2899697, 1e-8, "GLPK and CBC, run on the file"},
	} {
		t.Run(c.name, func(t *testing.T) {
			p := read(t, c.name)
			p.Sense = c.sense
			for j := range p.Columns {
				p.Columns[j].Integer = false
			}
			s := solved(t, p, solve.Options{})
			assert.Equal(t, solve.Optimal, s.Status)
			near(t, c.want, s.Objective, c.within)
		})
	}
}

// The readme of Netlib gives -1.8751929066E+01 for e226: that is c·x alone, as HiGHS run on the file's costs finds too.
// The file also gives its objective row a right-hand side of -7.113, which is minus a constant by the usual convention
// (CBC: -11.638929); GLPK adds it with its own sign (-25.86492907).
func TestE226HasAnObjectiveConstant(t *testing.T) {
	p := read(t, "e226")
	near(t, 7.113, p.Constant, 1e-12)
	s := solved(t, p, solve.Options{})
	product := 0.0
	for j, c := range p.Columns {
		product += c.Cost * s.X[j]
	}
	near(t, -1.8751929066e+01, product, 1e-9)
	near(t, product+7.113, s.Objective, 1e-9)
}

func TestPublishedIntegerPrograms(t *testing.T) {
	for _, c := range []struct {
		name          string
		want, relaxed float64
		source        string
	}{
		{name: "p0033", want: 3089, relaxed: 2520.571739, source: "MIPLIB 3"},
		{name: "p0201", want: 7615, relaxed: 6875, source: "MIPLIB 3"},
		{name: "p0548", want: 8691, relaxed: 315.254902, source: "MIPLIB 3"},
		{name: "flugpl", want: 1201500, relaxed: 1167185.726, source: "MIPLIB 3: 1201500 (opt), head of the file"},
		{name: "lseu", want: 1120, relaxed: 834.682353, source: "MIPLIB 3: 1120 (opt), head of the file"},
		{name: "exmip1", want: 3.236842105, source: "COIN-OR sample; GLPK agrees"},
		{name: "small-1c", want: -891.761273, relaxed: -1355.4530876640, source: "GLPK, run to proof"},
		{name: "small-1i", want: -886.405947, relaxed: -1355.4530876640, source: "GLPK, run to proof"},
		{name: "small-2c", want: -1243.742201, relaxed: -1485.8439539738, source: "GLPK, run to proof"},
	} {
		t.Run(c.name, func(t *testing.T) {
			if testing.Short() && strings.HasPrefix(c.name, "small-") {
				t.Skip("long under the race detector, and in one goroutine")
			}
			p := read(t, c.name)
			s := solved(t, p, solve.Options{})
			assert.Equal(t, solve.Optimal, s.Status)
			near(t, c.want, s.Objective, 1e-7)
			near(t, s.Objective, s.Bound, 1e-6)
			if c.relaxed != 0 {
				for j := range p.Columns {
					p.Columns[j].Integer = false
				}
				near(t, c.relaxed, solved(t, p, solve.Options{}).Objective, 1e-8)
			}
		})
	}
}
