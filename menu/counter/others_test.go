package counter

// The counter against methods that are not its own: the greedy pick for what comes by the scale, and integer programs.

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph/lawtest"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// Where all comes by the scale and each thing has a dish of its own, the best is to take first what brings most for its money, up to what is
// asked for, and the last thing in part: Dantzig, "Discrete-variable extremum problems" (1957), from memory. No curve lies above that, which is
// concave, and ours lies below it by no more than whole portions and the cuts that are told apart make of it.
func TestCurveIsConcaveByTheScale(t *testing.T) {
	lawtest.Few(t, 25)
	rapid.Check(t, func(t *rapid.T) {
		number := func(what string, least, most int) float64 { return float64(rapid.IntRange(least, most).Draw(t, what)) }
		type thing struct{ kilos, cost, nets, portion float64 } // as much as is asked for, a kilo's price, what a kilo brings when it is paid, and a plate's
		var things []thing
		var b, dishes strings.Builder
		var texts []string
		b.WriteString("kitchen: Scale\nopen: mon\nservices: {lunch: 11:30-14:30}\nbought:\n")
		for k := range rapid.IntRange(2, 3).Draw(t, "things") {
			grams, price, sells, cost := 50*number("grams", 1, 6), number("price", 3, 20), number("sells", 60, 150), number("cost", 2, 12)
			fmt.Fprintf(&b, "  b%d: {price: %.0f/kg, keeps: 1 day, arrives: mon, allergens: []}\n", k, number("usual", 2, 12))
			fmt.Fprintf(&dishes, "  d%d: {price: %.0f, takes: [%.0f g b%d], sells: {lunch: %.0f}}\n", k, price, grams, k, sells)
			texts = append(texts, fmt.Sprintf("b%d=%.0f/kg, 200 kg", k, cost))
			things = append(things, thing{grams / 1000 * sells, cost, price/grams*1000 - cost, price})
		}
		spend := number("spend", 40, 200)
		s, a := answer(t, weektest.SmallWeek(t, b.String()+"dishes:\n"+dishes.String()), spend, texts...)
		slices.SortFunc(things, func(x, y thing) int { return int(math.Copysign(1, y.nets/y.cost-x.nets/x.cost)) })
		most := func(money float64) (sum float64) {
			for _, x := range things {
				if kilos := min(x.kilos, money/x.cost); x.nets > 0 {
					sum, money = sum+kilos*x.nets, money-kilos*x.cost
				}
			}
			return sum
		}
		lumps := 0.0
		for n, l := range s.ladders {
			cut := l[1].amount / 1000 * (things[0].nets + things[0].cost) // of any thing no kilo sells for more for its money
			lumps += cut + s.Kitchen.Dishes[n].Price
		}
		for _, x := range a.Curve {
			require.LessOrEqual(t, x.Brings, most(x.Spend)+1e-6, "%v", x.Spend)
			require.GreaterOrEqual(t, x.Brings, most(x.Spend)-lumps, "%v", x.Spend)
		}
		for n := 2; n < len(a.Curve); n++ {
			require.LessOrEqual(t, a.Curve[n].Brings-a.Curve[n-1].Brings, a.Curve[n-1].Brings-a.Curve[n-2].Brings+2*lumps, "%v", a.Curve[n].Spend)
		}
	})
}

// pieces is a counter with cuts of one piece each, every one with a plate of its own: a knapsack with two rows, money and kilos.
type pieces struct {
	kilos, price, plate []float64
	spend, carry        float64
}

func somePiecesOf(n int) pieces {
	p := pieces{}
	sum, all := 0.0, 0.0
	for range n {
		p.kilos = append(p.kilos, float64(10+rand.IntN(290))/10)
		p.price = append(p.price, float64(100+rand.IntN(900))/100)
		cost := p.kilos[len(p.kilos)-1] * p.price[len(p.price)-1]
		p.plate = append(p.plate, math.Round(cost*(0.8+1.5*rand.Float64())))
		sum, all = sum+cost, all+p.kilos[len(p.kilos)-1]
	}
	p.spend, p.carry = math.Round(sum*(0.3+0.4*rand.Float64())), math.Round(all*(0.4+0.4*rand.Float64()))
	return p
}

func (p pieces) week(t *testing.T) (*week.Week, Options) {
	var b, dishes strings.Builder
	b.WriteString("kitchen: Cuts\nopen: mon\nservices: {lunch: 11:30-14:30}\nbought:\n")
	var texts []string
	for k := range p.kilos {
		fmt.Fprintf(&b, "  cut%d: {price: 9/kg, keeps: 1 day, arrives: mon, allergens: []}\n", k)
		fmt.Fprintf(&dishes, "  plate%d: {price: %.0f, takes: [%.1f kg cut%d], sells: {lunch: 1}}\n", k, p.plate[k], p.kilos[k], k)
		texts = append(texts, fmt.Sprintf("cut%d=%.2f/kg, pieces of %.1f kg", k, p.price[k], p.kilos[k]))
	}
	w := weektest.SmallWeek(t, b.String()+"dishes:\n"+dishes.String())
	return w, Options{Offers: offers(t, w, texts...), Spend: p.spend, Carry: p.carry * 1000}
}

// program is the same as an integer program, in the format of LP files that all solvers read.
func (p pieces) program() string {
	var value, money, kilos, names []string
	for k := range p.kilos {
		cost := p.kilos[k] * p.price[k]
		value = append(value, fmt.Sprintf("%+.4f x%d", p.plate[k]-cost, k))
		money = append(money, fmt.Sprintf("%+.4f x%d", cost, k))
		kilos = append(kilos, fmt.Sprintf("%+.1f x%d", p.kilos[k], k))
		names = append(names, fmt.Sprintf("x%d", k))
	}
	return fmt.Sprintf("Maximize\n brings: %s\nSubject To\n money: %s <= %.0f\n kilos: %s <= %.0f\nBinary\n %s\nEnd\n", strings.Join(value, " "),
		strings.Join(money, " "), p.spend, strings.Join(kilos, " "), p.carry, strings.Join(names, " "))
}

// solvers are programs that may be installed, how each is called, and how it says what the best is.
var solvers = []struct {
	name string
	args func(file, out string) []string
	best *regexp.Regexp
}{
	{"highs", func(file, out string) []string { return []string{"--solution_file", out, file} }, regexp.MustCompile(`(?m)^\s*Primal bound\s+(\S+)`)},
	{"python3 with scipy", func(file, out string) []string { return []string{"-c", throughScipy, file} }, regexp.MustCompile(`(?m)^best (\S+)`)}, // which brings HiGHS along
	{"glpsol", func(file, out string) []string { return []string{"--lp", file, "-o", out} }, regexp.MustCompile(`(?m)^Objective:\s+brings = (\S+)`)},
	{"cbc", func(file, out string) []string { return []string{file, "solve", "solution", out} }, regexp.MustCompile(`(?m)^Objective value:\s+(\S+)`)},
}

// throughScipy reads the few lines of an LP file that [pieces.program] writes, and has HiGHS solve it.
const throughScipy = `
import re, sys
from scipy.optimize import milp, LinearConstraint, Bounds
rows = {}
for line in open(sys.argv[1]):
    m = re.match(r' (brings|money|kilos): (.*?)(?:<= (\S+))?$', line.rstrip())
    if m: rows[m[1]] = ({n: float(v) for v, n in re.findall(r'([-+][0-9.]+) (x[0-9]+)', m[2])}, m[3])
names = list(rows['brings'][0])
row = lambda r: [rows[r][0].get(n, 0.0) for n in names]
found = milp([-v for v in row('brings')], constraints=[LinearConstraint([row(r)], ub=float(rows[r][1])) for r in ('money', 'kilos')],
    bounds=Bounds(0, 1), integrality=[1] * len(names))
print('best', -found.fun)
`

// scipy is a python that has it.
func scipy() (path string, err error) {
	for _, name := range []string{"python3", "/usr/bin/python3"} {
		if err = exec.Command(name, "-c", "import scipy.optimize").Run(); err == nil {
			return name, nil
		}
	}
	return "", err
}

// The rows of money and of kilos against HiGHS, GLPK and CBC, whichever are installed: what is found brings what they say, whether all sets are
// tried or not, for here each thing counts by itself, and a sketch is exact.
func TestAgainstIntegerPrograms(t *testing.T) {
	installed := 0
	for _, solver := range solvers {
		path, err := exec.LookPath(solver.name)
		if strings.HasPrefix(solver.name, "python3") {
			path, err = scipy()
		}
		if err != nil {
			continue
		}
		installed++
		t.Run(solver.name, func(t *testing.T) {
			for n := range 12 {
				p := somePiecesOf(8 + n%2*5) // 256 sets are all tried, 8,192 are not
				file, out := filepath.Join(t.TempDir(), "cuts.lp"), filepath.Join(t.TempDir(), "out")
				require.NoError(t, os.WriteFile(file, []byte(p.program()), 0o666))
				said, err := exec.Command(path, solver.args(file, out)...).CombinedOutput()
				require.NoError(t, err, string(said))
				told, _ := os.ReadFile(out)
				m := solver.best.FindSubmatch(append(said, told...))
				require.NotNil(t, m, string(said))
				best, err := strconv.ParseFloat(string(m[1]), 64)
				require.NoError(t, err)
				best = math.Abs(best)

				w, o := p.week(t)
				s, err := New(w, o)
				require.NoError(t, err)
				a, err := s.Answer(context.Background())
				require.NoError(t, err)
				tolerance := 1e-4 * (1 + best)
				require.Equal(t, n%2 == 0, a.All)
				require.InDelta(t, best, a.Brings, tolerance, p.program())
			}
		})
	}
	if installed == 0 {
		t.Skip("no solver is installed, so there is nothing to compare with: apt-get install glpk-utils python3-scipy")
	}
}
