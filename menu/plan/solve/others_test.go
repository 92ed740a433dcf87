//go:build unix

// This solver measured against those that are installed.

package solve_test

import (
	"bytes"
	"flag"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"kettletree/menu/plan/solve"
	"kettletree/menu/plan/solve/verify"
)

var against = flag.Int("against", 0, "seconds that TestAgainstOthers gives to each solver on each integer problem; 0: it is left out")

// TestAgainstOthers measures this solver against those that are installed (glpsol, cbc, HiGHS by way of python3's scipy)
// and prints two tables of one run on one machine: seconds for the linear relaxations with the ratio of ours to theirs,
// and the plans found in a given time:
//
//	go test ./menu/plan/solve -v -run TestAgainstOthers -timeout 1h -against 40
//
// On Debian: apt-get install glpk-utils coinor-cbc python3-scipy. A solver that is missing shows as NaN. Relaxations are
// timed by user CPU time, the mean of several runs, less the time to read the file. Plans are objectives, minimised,
// without the constant; "ours after" is the time that this solver took to find a plan as good. Our plans are checked by
// package verify; the megabytes are the peak of this process so far.
func TestAgainstOthers(t *testing.T) {
	if *against == 0 {
		t.Skip("it measures, for minutes: -against 40")
	}
	const runs = 10
	var list []instance
	for _, name := range []string{"week-1c", "week-3c", "fortnight-1c"} {
		list = append(list, plain(t, name))
	}
	others := []solver{
		{"GLPK", "glpsol", glpkLP, glpkTree}, {"CBC", "cbc", cbcLP, cbcTree}, {"HiGHS", python(), highsLP, highsTree}}
	fmt.Printf("%-14s %9s", "relaxation", "ours s")
	for _, o := range others {
		fmt.Printf(" %9s %6s", o.name+" s", "ratio")
	}
	fmt.Println()
	for _, x := range list {
		own := ownLP(x, runs)
		fmt.Printf("%-14s %9.4f", x.name, own)
		for _, o := range others {
			mean := o.timed(x, runs)
			fmt.Printf(" %9.4f %6.2f", mean, own/mean)
		}
		fmt.Println()
	}
	fmt.Printf("%-14s %-6s %8s %10s %10s %10s %10s %10s %7s %7s %10s\n", "plans", "solver", "first s", "at 1 s",
		"at 10 s", "at 20 s", "at end", "bound", "gap %", "MB", "ours after")
	for _, x := range list {
		found := ownTree(t, x, *against)
		for _, o := range others {
			if _, err := exec.LookPath(o.command); err != nil {
				continue
			}
			theirs, after := o.tree(x, *against), math.Inf(1)
			for _, p := range found {
				if p.objective <= theirs+1e-6*math.Abs(theirs) {
					after = p.at
					break
				}
			}
			fmt.Printf("%-14s %-6s %52.2f %37.2f\n", x.name, o.name, theirs, after)
		}
	}
}

// instance is a problem with its plain copy on disk for the other solvers.
type instance struct {
	name, file string
	p          solve.Problem
}

// plain is a problem of testdata as every reader understands it.
func plain(t *testing.T, name string) instance {
	t.Helper()
	p := read(t, name)
	p.Constant = 0                 // readers disagree on its sign
	if p.Sense == solve.Maximize { // not all readers know OBJSENSE
		p.Sense = solve.Minimize
		for j := range p.Columns {
			p.Columns[j].Cost *= -1
		}
	}
	x := instance{name, filepath.Join(t.TempDir(), name+".mps"), p}
	out, err := os.Create(x.file)
	require.NoError(t, err)
	require.NoError(t, writeMPS(out, p))
	require.NoError(t, out.Close())
	return x
}

func ownLP(x instance, runs int) float64 {
	p := x.p
	p.Columns = append([]solve.Column(nil), p.Columns...)
	for j := range p.Columns {
		p.Columns[j].Integer = false
	}
	total := 0.0
	for range runs {
		begin := cpu()
		s, err := solve.Solve(context(), p, solve.Options{})
		if err != nil || s.Status != solve.Optimal {
			return math.NaN()
		}
		total += cpu() - begin
	}
	return total / float64(runs)
}

func cpu() float64 {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		return math.NaN()
	}
	return float64(u.Utime.Sec) + float64(u.Utime.Usec)/1e6
}

// plan is a plan that this solver reported.
type plan struct{ at, objective float64 }

// ownTree prints the row of this solver and returns its plans in the order found.
func ownTree(t *testing.T, x instance, seconds int) []plan {
	t.Helper()
	begin := time.Now()
	var found []plan
	s, err := solve.Solve(context(), x.p, solve.Options{Time: time.Duration(seconds) * time.Second,
		Progress: func(p solve.Progress) {
			if k := len(found); !math.IsNaN(p.Objective) && (k == 0 || p.Objective < found[k-1].objective) {
				found = append(found, plan{time.Since(begin).Seconds(), p.Objective})
			}
		}})
	require.NoError(t, err)
	require.NoError(t, verify.Solution(x.p, s), "%s: the checker objects", x.name)
	var u syscall.Rusage
	require.NoError(t, syscall.Getrusage(syscall.RUSAGE_SELF, &u))
	first := math.NaN()
	if len(found) > 0 {
		first = found[0].at
	}
	fmt.Printf("%-14s %-6s %8.2f %10.2f %10.2f %10.2f %10.2f %10.2f %7.2f %7d\n", x.name, "ours", first, by(found, 1),
		by(found, 10), by(found, 20), s.Objective, s.Bound, 100*s.Gap, u.Maxrss/1024)
	return found
}

// by returns the best plan found by a time.
func by(found []plan, at float64) float64 {
	best := math.NaN()
	for _, p := range found {
		if p.at <= at {
			best = p.objective
		}
	}
	return best
}

// solver is one of the others: its seconds for the relaxation, and its objective after a time.
type solver struct {
	name, command string
	lp            func(x instance) float64
	tree          func(x instance, seconds int) float64
}

// timed returns the mean of several runs.
func (s solver) timed(x instance, runs int) float64 {
	if _, err := exec.LookPath(s.command); err != nil {
		return math.NaN()
	}
	total := 0.0
	for range runs {
		total += s.lp(x)
	}
	return total / float64(runs)
}

// output runs a command and returns what it printed and its user time.
func output(name string, args ...string) (string, float64) {
	cmd := exec.Command(name, args...)
	out, err := cmd.CombinedOutput()
	if err != nil && cmd.ProcessState == nil {
		return err.Error(), math.NaN()
	}
	return string(out), cmd.ProcessState.UserTime().Seconds()
}

// number returns the last number after a label.
func number(text, label string) float64 {
	found := regexp.MustCompile(regexp.QuoteMeta(label)+`\s*([-+0-9.eE]+)`).FindAllStringSubmatch(text, -1)
	if len(found) == 0 {
		return math.NaN()
	}
	v, err := strconv.ParseFloat(found[len(found)-1][1], 64)
	if err != nil {
		return math.NaN()
	}
	return v
}

func glpkLP(x instance) float64 {
	_, all := output("glpsol", "--freemps", x.file, "--nomip")
	_, reading := output("glpsol", "--freemps", x.file, "--check")
	return all - reading
}

func glpkTree(x instance, seconds int) float64 {
	answer := x.file + ".glpk"
	output("glpsol", "--freemps", x.file, "--cuts", "--tmlim", strconv.Itoa(seconds), "-w", answer)
	data, err := os.ReadFile(answer)
	if err != nil {
		return math.NaN()
	}
	for line := range bytes.Lines(data) {
		if w := bytes.Fields(line); len(w) > 2 && string(w[0]) == "s" {
			v, err := strconv.ParseFloat(string(w[len(w)-1]), 64)
			if err == nil {
				return v
			}
		}
	}
	return math.NaN()
}

func cbcLP(x instance) float64 {
	_, all := output("cbc", x.file, "-initialSolve", "-quit")
	_, reading := output("cbc", x.file, "-quit")
	return all - reading
}

func cbcTree(x instance, seconds int) float64 {
	text, _ := output("cbc", x.file, "-timeMode", "elapsed", "-sec", strconv.Itoa(seconds), "-solve", "-quit")
	return number(text, "Objective value:")
}

// highs reads free MPS with its own few lines, so that only scipy is needed, and times HiGHS alone.
const highs = `
import sys, time, numpy as np
from scipy.optimize import milp, LinearConstraint, Bounds
from scipy.sparse import csc_array
file, seconds, runs = sys.argv[1], float(sys.argv[2]), int(sys.argv[3])
section, integer = '', False
kinds, rows, cols, cost, whole, entries = {}, [], {}, [], [], []
rhs, rng, lo, up = {}, {}, [], []
for line in open(file):
    w = line.split()
    if not w: continue
    if line[0] != ' ': section = w[0]; continue
    if section == 'ROWS':
        kinds[w[1]] = w[0]
        if w[0] != 'N': rows.append(w[1])
    elif section == 'COLUMNS':
        if "'MARKER'" in w: integer = 'INTORG' in line; continue
        if w[0] not in cols:
            cols[w[0]] = len(cols)
            cost.append(0.0); whole.append(integer); lo.append(0.0); up.append(np.inf)
        if kinds[w[1]] == 'N': cost[-1] = float(w[2])
        else: entries.append((w[1], cols[w[0]], float(w[2])))
    elif section == 'RHS': rhs[w[1]] = float(w[2])
    elif section == 'RANGES': rng[w[1]] = float(w[2])
    elif section == 'BOUNDS':
        j = cols[w[2]]
        if w[0] == 'UP': up[j] = float(w[3])
        if w[0] == 'LO': lo[j] = float(w[3])
        if w[0] == 'FX': lo[j] = up[j] = float(w[3])
        if w[0] in ('FR', 'MI'): lo[j] = -np.inf
at = {r: i for i, r in enumerate(rows)}
place = ([at[e[0]] for e in entries], [e[1] for e in entries])
a = csc_array(([e[2] for e in entries], place), shape=(len(rows), len(cols)))
rl, ru = np.full(len(rows), -np.inf), np.full(len(rows), np.inf)
for r, i in at.items():
    v = rhs.get(r, 0.0)
    if kinds[r] in 'EG': rl[i] = v
    if kinds[r] in 'EL': ru[i] = v
    if kinds[r] == 'G' and r in rng: ru[i] = v + rng[r]
best, result = 1e9, None
for _ in range(runs):
    begin = time.process_time()
    result = milp(cost, constraints=LinearConstraint(a, rl, ru), bounds=Bounds(lo, up),
        integrality=np.array(whole, dtype=int) if seconds > 0 else None,
        options={'time_limit': seconds} if seconds > 0 else {})
    best = min(best, time.process_time() - begin)
print('seconds', best)
if result.x is not None: print('objective', result.fun)
`

// python returns an interpreter that has scipy.
func python() string {
	for _, name := range []string{"python3", "/usr/bin/python3"} {
		if exec.Command(name, "-c", "import scipy.optimize").Run() == nil {
			return name
		}
	}
	return "python3"
}

func highsLP(x instance) float64 {
	text, _ := output(python(), "-c", highs, x.file, "0", "1")
	return number(text, "seconds")
}

func highsTree(x instance, seconds int) float64 {
	text, _ := output(python(), "-c", highs, x.file, strconv.Itoa(seconds), "1")
	return number(text, "objective")
}
