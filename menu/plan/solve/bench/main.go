//go:build unix

// Command bench measures this solver against those that are installed (glpsol, cbc, HiGHS by way of python3's scipy)
// and prints two tables of one run on one machine: seconds for the linear relaxations with the ratio of ours to theirs,
// and the plans found in a given time. Usage:
//
//	go run ./menu/plan/solve/bench [-seconds 40] [-runs 10] [-lp=false] [-tree=false] [FILE.mps.gz | FOLDER ...]
//
// Without files it takes the week and fortnight problems of testdata. On Debian: apt-get install glpk-utils coinor-cbc
// python3-scipy. A solver that is missing shows as NaN. Relaxations are timed by user CPU time, the mean of several
// runs, less the time to read the file. Plans are objectives, minimised, without the constant; "ours after" is the time
// that this solver took to find a plan as good. Our plans are checked by package verify; the megabytes are the peak of
// this process so far, so name small files first.
package main

import (
	"bytes"
	"compress/gzip"
	"context"
	"flag"
	"fmt"
	"io"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime"
	"strconv"
	"strings"
	"syscall"
	"time"

	"kettletree/menu/plan/solve"
	"kettletree/menu/plan/solve/mps"
	"kettletree/menu/plan/solve/verify"
)

func main() {
	seconds := flag.Int("seconds", 40, "time given to each solver on each integer problem")
	runs := flag.Int("batches", 10, "runs of each linear program")
	relaxed := flag.Bool("lp", true, "time the linear relaxations")
	tree := flag.Bool("tree", true, "run the integer problems")
	flag.Parse()
	files := flag.Args()
	if len(files) == 0 {
		_, here, _, _ := runtime.Caller(0)
		for _, name := range []string{"week-1c", "week-3c", "fortnight-1c"} {
			files = append(files, filepath.Join(filepath.Dir(here), "..", "testdata", name+".mps.gz"))
		}
	}
	if err := run(files, *seconds, *runs, *relaxed, *tree); err != nil {
		fmt.Fprintln(os.Stderr, "bench: error:", err)
		os.Exit(1)
	}
}

// instance is a problem with its plain copy on disk for the other solvers.
type instance struct {
	name, file string
	p          solve.Problem
}

func run(files []string, seconds, runs int, relaxed, tree bool) error {
	dir, err := os.MkdirTemp("", "bench")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	var list []instance
	for _, f := range files {
		if inside, err := filepath.Glob(filepath.Join(f, "*.mps*")); err == nil && len(inside) > 0 {
			for _, g := range inside {
				x, err := load(g, dir)
				if err != nil {
					return fmt.Errorf("%s: %w", g, err)
				}
				list = append(list, x)
			}
			continue
		}
		x, err := load(f, dir)
		if err != nil {
			return fmt.Errorf("%s: %w", f, err)
		}
		list = append(list, x)
	}
	others := []solver{
		{"GLPK", "glpsol", glpkLP, glpkTree}, {"CBC", "cbc", cbcLP, cbcTree}, {"HiGHS", python(), highsLP, highsTree}}
	if relaxed {
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
	}
	if tree {
		fmt.Printf("%-14s %-6s %8s %10s %10s %10s %10s %10s %7s %7s %10s\n", "plans", "solver", "first s", "at 1 s",
			"at 10 s", "at 20 s", "at end", "bound", "gap %", "MB", "ours after")
		for _, x := range list {
			found, err := ownTree(x, seconds)
			if err != nil {
				return err
			}
			for _, o := range others {
				if _, err := exec.LookPath(o.command); err != nil {
					continue
				}
				theirs, after := o.tree(x, seconds), math.Inf(1)
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
	return nil
}

func load(path, dir string) (instance, error) {
	f, err := os.Open(path)
	if err != nil {
		return instance{}, err
	}
	defer f.Close()
	var in io.Reader = f
	if strings.HasSuffix(path, ".gz") {
		if in, err = gzip.NewReader(f); err != nil {
			return instance{}, err
		}
	}
	p, err := mps.Read(in)
	if err != nil {
		return instance{}, err
	}
	p.Constant = 0                 // readers disagree on its sign
	if p.Sense == solve.Maximize { // not all readers know OBJSENSE
		p.Sense = solve.Minimize
		for j := range p.Columns {
			p.Columns[j].Cost *= -1
		}
	}
	name, _, _ := strings.Cut(filepath.Base(path), ".")
	x := instance{name, filepath.Join(dir, name+".mps"), p}
	out, err := os.Create(x.file)
	if err != nil {
		return x, err
	}
	if err := mps.Write(out, p); err != nil {
		return x, err
	}
	return x, out.Close()
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
		s, err := solve.Solve(context.Background(), p, solve.Options{})
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
func ownTree(x instance, seconds int) ([]plan, error) {
	begin := time.Now()
	var found []plan
	s, err := solve.Solve(context.Background(), x.p, solve.Options{Time: time.Duration(seconds) * time.Second,
		Progress: func(p solve.Progress) {
			if k := len(found); !math.IsNaN(p.Objective) && (k == 0 || p.Objective < found[k-1].objective) {
				found = append(found, plan{time.Since(begin).Seconds(), p.Objective})
			}
		}})
	if err != nil {
		return nil, err
	}
	if err := verify.Solution(x.p, s); err != nil {
		return nil, fmt.Errorf("%s: the checker objects: %w", x.name, err)
	}
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		return nil, err
	}
	first := math.NaN()
	if len(found) > 0 {
		first = found[0].at
	}
	fmt.Printf("%-14s %-6s %8.2f %10.2f %10.2f %10.2f %10.2f %10.2f %7.2f %7d\n", x.name, "ours", first, by(found, 1),
		by(found, 10), by(found, 20), s.Objective, s.Bound, 100*s.Gap, u.Maxrss/1024)
	return found, nil
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
