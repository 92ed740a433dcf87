// Solve: the order of events, limits, and the answer.

package solve

import (
	"context"
	"errors"
	"fmt"
	"math"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"

	"kettletree/menu/plan/solve/simplex"
)

// slices of the search: simplex iterations that each worker spends between two exchanges.
const (
	firstSlice  = 1500
	laterSlice  = 3000
	patientRows = 500 // over the rows of a problem: rounds of cuts without a better bound beyond the usual
	lullMax     = 3   // turns without a better plan after which neighbourhoods get less
)

// ErrTrouble is numerical trouble that the method could not mend.
var ErrTrouble = errors.New("solve: numerical trouble in the linear program: its coefficients differ too much in size")

// Solve solves the problem. The error says that the call did not work (bad numbers, or trouble that the method could
// not mend); what the model says is in Solution.Status. When ctx ends, the best found so far is returned with status
// Limit.
//
// Two goroutines search integer problems, one the tree, one neighbourhoods; they exchange what they found at points
// fixed by their iteration counts, so the answer does not depend on the number of processors.
func Solve(ctx context.Context, p Problem, o Options) (Solution, error) {
	if err := p.Check(); err != nil {
		return Solution{}, fmt.Errorf("solve: %w", err)
	}
	if w := o.Warm; w != nil && w.basis != nil && (len(w.X) != len(p.Columns) || len(w.Duals) != len(p.Rows)) {
		return Solution{}, fmt.Errorf("solve: the warm start has %d columns and %d rows, the problem %d and %d", len(w.X), len(w.Duals),
			len(p.Columns), len(p.Rows))
	}
	for _, x := range o.Starts {
		if len(x) != len(p.Columns) {
			return Solution{}, fmt.Errorf("solve: start has %d values for %d columns", len(x), len(p.Columns))
		}
		for j, v := range x {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				return Solution{}, fmt.Errorf("solve: start of column %d %q is %v: want a number", j, p.Columns[j].Name, v)
			}
		}
	}
	if len(o.Hints) != 0 && len(o.Hints) != len(p.Columns) {
		return Solution{}, fmt.Errorf("solve: %d hints for %d columns", len(o.Hints), len(p.Columns))
	}
	if o.Time > 0 {
		var cancel context.CancelFunc
		ctx, cancel = context.WithTimeout(ctx, o.Time)
		defer cancel()
	}
	if o.Gap == 0 {
		o.Gap = 1e-6
	}
	s := &search{p: &p, o: o, halt: func() bool {
		runtime.Gosched() // whoever is quick goes first
		return ctx.Err() != nil
	}}
	sol, err := s.run()
	if err == nil && sol.Status == Infeasible && o.Conflict {
		sol.Conflict = s.conflict(ctx)
	}
	return sol, err
}

type search struct {
	p    *Problem
	o    Options
	m    *model
	halt func() bool

	w, v  *worker // tree and neighbourhoods
	area  *neighbourhood
	bound float64 // proven, in the sense of the model
}

func (s *search) run() (Solution, error) {
	integers := slices.ContainsFunc(s.p.Columns, func(c Column) bool { return c.Integer })
	for _, c := range s.p.Columns {
		if c.Lower > c.Upper {
			return Solution{Status: Infeasible, Gap: math.Inf(1)}, nil
		}
	}
	s.m = newModel(s.p)
	if !integers {
		return s.linear()
	}
	if !s.m.tighten() {
		return Solution{Status: Infeasible, Gap: math.Inf(1)}, nil
	}
	return s.integer()
}

// linear solves a problem without integers on its rows and bounds as given.
func (s *search) linear() (Solution, error) {
	lp := s.m.lp()
	lp.Interrupt = s.halt
	if w := s.o.Warm; w != nil && w.basis != nil {
		lp.SetBasis(w.basis, lp.Rows())
	}
	st := lp.Solve(s.limit(), math.Inf(1))
	sol := Solution{Status: map[simplex.Status]Status{simplex.Optimal: Optimal, simplex.Infeasible: Infeasible,
		simplex.Unbounded: Unbounded, simplex.Limit: Limit}[st], Iterations: lp.Iterations, Gap: math.Inf(1)}
	switch st {
	case simplex.Trouble:
		return Solution{}, ErrTrouble
	case simplex.Optimal:
		s.point(&sol, lp)
		if !s.m.holds(sol.X) {
			return Solution{}, ErrTrouble
		}
		sol.Bound, sol.Gap, sol.basis = sol.Objective, 0, lp.Basis()
		if s.o.Ranging {
			sol.Ranges = s.ranges(lp)
		}
	case simplex.Limit:
		sol.Bound = s.outward(lp.Bound())
	}
	return sol, nil
}

func (s *search) limit() int {
	if s.o.Iterations > 0 {
		return s.o.Iterations
	}
	return noLimit
}

// outward turns an objective of the model into the caller's.
func (s *search) outward(v float64) float64 { return s.m.sign*v + s.p.Constant }

// point fills the solution from an LP's optimum.
func (s *search) point(sol *Solution, lp *simplex.LP) {
	n := s.m.n
	lp.Price()
	sol.X, sol.ReducedCosts = make([]float64, n), make([]float64, n)
	sol.Duals = make([]float64, s.m.m)
	sol.Objective = s.p.Constant
	for j, c := range s.p.Columns {
		sol.X[j] = min(max(lp.X(j), c.Lower), c.Upper)
		if c.Integer {
			sol.X[j] = math.Round(sol.X[j])
		}
		sol.ReducedCosts[j] = s.m.sign * lp.D(j)
		sol.Objective += c.Cost * sol.X[j]
	}
	for i := range sol.Duals {
		sol.Duals[i] = -s.m.sign * lp.D(n+i)
	}
}

// integer searches a problem with integers.
func (s *search) integer() (Solution, error) {
	hints := s.o.Hints
	if len(hints) == 0 {
		hints = s.guess()
	}
	w := newWorker(s.m, groups(s.m, hints))
	w.halt = s.halt
	s.w = w
	w.lp, w.plain = s.m.lp(), s.m.lp()
	w.lp.Interrupt, w.plain.Interrupt = s.halt, s.halt
	switch st := w.lp.Solve(s.limit(), math.Inf(1)); st {
	case simplex.Infeasible:
		return Solution{Status: Infeasible, Gap: math.Inf(1), Iterations: w.spent()}, nil
	case simplex.Unbounded:
		return Solution{Status: Unbounded, Gap: math.Inf(1), Iterations: w.spent()}, nil
	case simplex.Limit:
		return Solution{Status: Limit, Gap: math.Inf(1), Iterations: w.spent(), Bound: s.outward(w.lp.Bound())}, nil
	case simplex.Trouble:
		return Solution{}, ErrTrouble
	}
	s.bound = w.floor()
	w.plain.SetBasis(w.lp.Basis(), w.lp.Rows())
	w.plain.Iterations = 1
	if len(s.o.Starts) > 0 {
		basis, rows := w.lp.Basis(), w.lp.Rows()
		for _, x := range s.o.Starts {
			if !w.offer(x, w.groups) && w.groups > 1 {
				w.offer(x, w.groups-1)
			}
			if w.groups > 2 { // what is decided first may be good, and the rest not
				w.offer(x, 1)
			}
		}
		w.apply(w.lo, w.up)
		w.lp.SetBasis(basis, rows)
		w.lp.Solve(noLimit, math.Inf(1))
	}
	s.report()
	s.first()
	if !s.o.Brief {
		s.cuts()
		s.first()
	}
	t := newTree(w, slices.Clone(w.lo), slices.Clone(w.up), w.groups)
	t.next.basis, t.next.rows = w.lp.Basis(), w.lp.Rows()
	t.next.bound = s.bound
	s.v = w.fork()
	s.area = newNeighbourhood(s.v, hints)

	done := t.run(min(w.spent()+firstSlice, s.limit()), s.nodeLimit())
	lull, known := 0, s.best() // turns without a better plan
	for {
		s.exchange()
		if lull++; s.best() != known {
			lull, known = 0, s.best()
		}
		s.bound = max(s.bound, t.bound())
		if done && math.IsInf(t.lost, 1) && s.best() != nil {
			s.bound = s.best().value
		}
		if s.best() != nil {
			s.bound = min(s.bound, s.best().value)
		}
		s.report()
		if s.o.Brief && s.best() != nil {
			break
		}
		if done || s.halt() || s.solved() || s.spent() >= s.limit() || w.nodes+s.v.nodes >= s.nodeLimit() {
			break
		}
		slice := min(laterSlice, (s.limit()-s.spent())/2+1)
		aside := slice
		if lull > lullMax { // there is hardly a better plan: what is left to do is to prove it
			aside = slice / 8
		}
		var pair sync.WaitGroup
		if s.v.best != nil {
			pair.Go(func() { s.area.run(s.v.spent() + aside) })
		}
		done = t.run(w.spent()+slice, s.nodeLimit())
		pair.Wait()
	}
	return s.answer(done && math.IsInf(t.lost, 1))
}

func (s *search) nodeLimit() int {
	if s.o.Nodes > 0 {
		return s.o.Nodes
	}
	return noLimit
}

func (s *search) spent() int {
	n := s.w.spent()
	if s.v != nil {
		n += s.v.spent()
	}
	return n
}

func (s *search) best() *incumbent { return s.w.best }

// exchange gives both workers the better of their plans.
func (s *search) exchange() {
	a, b := s.w.best, s.area.plan()
	switch {
	case b != nil && (a == nil || b.value < a.value):
		s.w.best = b
	case a != nil && (b == nil || a.value < b.value):
		s.area.take(a)
	default:
		return
	}
	s.w.fixByReducedCost()
	s.v.fixByReducedCost()
}

func (s *search) solved() bool {
	return s.best() != nil && (gap(s.outward(s.best().value), s.outward(s.bound)) <= s.o.Gap || s.enough())
}

func (s *search) enough() bool { return s.o.Enough != nil && s.o.Enough(s.spent(), s.outward(s.bound)) }

// first dives for a plan from the current relaxation and puts its basis back, to be solved again: bounds may have
// moved.
func (s *search) first() {
	w := s.w
	basis, rows := w.lp.Basis(), w.lp.Rows()
	w.dive(slices.Clone(w.lo), slices.Clone(w.up), 1)
	w.apply(w.lo, w.up)
	w.lp.SetBasis(basis, rows)
	s.report()
}

// cuts adds cutting planes to the root until they move its bound no more.
func (s *search) cuts() {
	w := s.w
	var rows []simplex.Row
	base := s.m.m
	stall := 0
	if w.lp.Solve(noLimit, math.Inf(1)) != simplex.Optimal {
		return
	}
	start := w.lp.Objective()
	// Where many columns stand for one another, the first cuts only move the point: small problems are given more rounds.
	for round := 0; round < 100 && stall < 4+patientRows/max(base, 1) && !s.halt() && w.spent() < s.limit(); round++ {
		before := w.lp.Objective()
		found := newCutter(s.m, w.lp, rows).find(base/4 + 30)
		if len(found) == 0 {
			break
		}
		added := make([]simplex.Row, 0, len(found))
		for _, k := range found {
			added = append(added, simplex.Row{Index: k.index, Value: k.value, Lo: math.Inf(-1), Up: k.side})
		}
		rows = append(rows, added...)
		w.lp.AddRows(added)
		st := w.lp.Solve(noLimit, math.Inf(1))
		if st == simplex.Trouble { // go on without this round's cuts
			w.lp.SlackBasis()
			w.lp.DropRows(func(i int) bool { return i >= base+len(rows)-len(added) })
		}
		if st != simplex.Optimal {
			break
		}
		if rows, st = s.purge(rows); st != simplex.Optimal {
			break
		}
		if now := w.lp.Objective(); now-before < 0.01*(now-start)+1e-9 {
			stall++
		} else {
			stall = 0
		}
		s.bound = max(s.bound, w.floor())
		s.keepRoot()
	}
}

// purge drops the cuts that do not bind and solves again.
func (s *search) purge(rows []simplex.Row) ([]simplex.Row, simplex.Status) {
	lp, n, base := s.w.lp, s.m.n, s.m.m
	slack := func(i int) bool { return i >= base && lp.State(n+i) == simplex.Basic }
	var kept []simplex.Row
	for i, r := range rows {
		if !slack(base + i) {
			kept = append(kept, r)
		}
	}
	if len(kept) == len(rows) {
		return rows, simplex.Optimal
	}
	lp.DropRows(slack)
	return kept, lp.Solve(noLimit, math.Inf(1))
}

func (s *search) keepRoot() {
	w := s.w
	w.lp.Price()
	w.root = rootRelaxation{bound: w.floor(), x: w.point(), d: make([]float64, s.m.n)}
	for j := range w.root.d {
		w.root.d[j] = w.lp.D(j)
	}
	w.fixByReducedCost()
}

func (s *search) report() {
	if s.o.Progress == nil {
		return
	}
	r := Progress{Objective: math.NaN(), Bound: s.outward(s.bound), Gap: math.Inf(1), Iterations: s.spent(),
		Nodes: s.w.nodes}
	if s.v != nil {
		r.Nodes += s.v.nodes
	}
	if b := s.best(); b != nil {
		r.Objective = s.outward(b.value)
		r.Gap = gap(r.Objective, r.Bound)
	}
	s.o.Progress(r)
}

// answer works the best plan out on the problem as given, with its integers fixed, for exact values and duals.
func (s *search) answer(exhausted bool) (Solution, error) {
	sol := Solution{Status: Limit, Bound: s.outward(s.bound), Gap: math.Inf(1), Iterations: s.spent(),
		Nodes: s.w.nodes + s.v.nodes}
	b := s.best()
	if b == nil {
		if exhausted {
			sol.Status = Infeasible
		}
		return sol, nil
	}
	m := newModel(s.p)
	for j, integer := range m.integer {
		if integer {
			m.lo[j], m.up[j] = b.x[j], b.x[j]
		}
	}
	lp := m.lp()
	lp.SetBasis(s.w.plain.Basis(), m.m)
	st := lp.Solve(noLimit, math.Inf(1))
	if st != simplex.Optimal {
		lp.SlackBasis()
		st = lp.Solve(noLimit, math.Inf(1))
	}
	if st == simplex.Optimal {
		s.point(&sol, lp)
	}
	if st != simplex.Optimal || !m.holds(sol.X) { // the search's own point, which satisfies the same rows
		sol.Duals, sol.ReducedCosts = nil, nil
		sol.X, sol.Objective = b.x, s.outward(b.value)
	}
	sol.Gap = gap(sol.Objective, sol.Bound)
	if sol.Gap <= s.o.Gap || s.enough() {
		sol.Status = Optimal
	}
	return sol, nil
}

// groups numbers the groups of the hints from 0 without holes.
func groups(m *model, hints []Hint) []int {
	var used []int
	for j, integer := range m.integer {
		if integer {
			used = append(used, hints[j].Group)
		}
	}
	slices.Sort(used)
	used = slices.Compact(used)
	group := make([]int, m.n)
	for j, integer := range m.integer {
		if integer {
			group[j], _ = slices.BinarySearch(used, hints[j].Group)
		}
	}
	return group
}

// guess makes hints for problems that come without: a column whose coefficients are small next to others in all its
// rows is an amount and waits until set-ups are decided. Names as time-staged models commonly have them, with the stage
// behind the last underscore (batch_kettle_12), tell When and What; on models of a week that halves the gap.
func (s *search) guess() []Hint {
	m := s.m
	largest := make([]float64, m.m)
	for i := range m.m {
		for k := m.rstart[i]; k < m.rstart[i+1]; k++ {
			if m.integer[m.rindex[k]] {
				largest[i] = max(largest[i], math.Abs(m.rvalue[k]))
			}
		}
	}
	hints := make([]Hint, m.n)
	whats := map[string]int{}
	lead := false
	for j, c := range s.p.Columns {
		hints[j] = Hint{When: -1, What: -1}
		if !m.integer[j] {
			continue
		}
		small := m.up[j]-m.lo[j] >= 3
		for k := m.cstart[j]; k < m.cstart[j+1]; k++ {
			small = small && math.Abs(m.rvalue[m.centry[k]]) <= 0.2*largest[m.cindex[k]]
		}
		if small {
			hints[j].Group = 1
		} else {
			lead = true
		}
		if at := strings.LastIndexByte(c.Name, '_'); at > 0 {
			if day, err := strconv.Atoi(c.Name[at+1:]); err == nil {
				if _, ok := whats[c.Name[:at]]; !ok {
					whats[c.Name[:at]] = len(whats)
				}
				hints[j].When, hints[j].What = day, whats[c.Name[:at]]
			}
		}
	}
	if !lead {
		for j := range hints {
			hints[j].Group = 0
		}
	}
	return hints
}
