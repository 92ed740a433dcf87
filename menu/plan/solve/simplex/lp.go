// Package simplex solves linear programs by the bounded dual simplex method and re-solves them after changes of bounds
// or added rows. It knows nothing of integers, files or names.
//
// # Model
//
// Minimise c·x subject to A x + I z = 0 and bounds on x and z: every row i gets a logical variable z = -(activity), so
// a row lo ≤ a·x ≤ up is the bound -up ≤ z ≤ -lo. Variables are numbered 0..n-1 (structural) and n..n+m-1 (logical).
//
// # Method
//
// Koberstein, "The dual simplex method, techniques for a fast and stable implementation" (2005), is followed
// throughout: dual steepest edge pricing (Forrest & Goldfarb 1992), the bound flipping ratio test (Maros 2003) with
// Harris' tolerances and cost shifting, cost perturbation, and for problems that are not dual feasible at the start the
// "boxed subproblem".
//
// # Guarantees
//
// The same calls give the same numbers on any machine with IEEE doubles: no clock, no map order, one seeded generator.
package simplex

import (
	"math"
	"math/rand/v2"
	"slices"

	"kettletree/menu/plan/solve/lu"
)

// Tolerances, in the scaled problem.
const (
	primalTol = 1e-9  // a basic variable may pass its bound by this
	dualTol   = 1e-7  // a reduced cost may have the wrong sign by this
	strictTol = 1e-10 // ... where dualTol leads round in a ring
	pivotTol  = 1e-7  // no pivot below this, unless nothing else is left
	zeroTol   = 1e-12 // entries below this are noise
	weightMin = 1e-4  // steepest edge weights are kept above this
)

// State of a variable. A variable that is not basic sits at its lower or upper bound, or at zero if it has neither.
// Fixed variables never enter the basis, so the method skips their column in all its loops.
type State uint8

// The states a variable can be in.
const (
	Basic State = iota
	Fixed
	Lower
	Upper
	Zero
)

// Status is what Solve found.
type Status uint8

// Outcomes of Solve.
const (
	Optimal    Status = iota
	Infeasible        // no point satisfies rows and bounds
	Unbounded         // the objective falls without end
	Cutoff            // the optimum is at or above the cutoff
	Limit             // the iteration limit was reached
	Trouble           // numerical trouble: no answer
)

// Row is a row to be added: entries over structural variables and bounds on its activity.
type Row struct {
	Index  []int32
	Value  []float64
	Lo, Up float64
}

// matrix holds A twice. It is never changed in place, so clones share it.
type matrix struct {
	cstart, cindex []int32
	cvalue         []float64
	rstart, rindex []int32
	rvalue         []float64
}

// LP is a linear program with its current basis.
type LP struct {
	m, n int
	a    matrix
	// scale[j] turns the scaled value of variable j into the caller's; powers of two, so exact.
	scale  []float64
	base   []float64 // costs as given, scaled
	cost   []float64 // working costs: perturbed or shifted
	lo, up []float64

	head    []int32 // basic variable of each row
	state   []State
	x, d    []float64
	weight  []float64 // steepest edge weight by row
	recall  []float64 // last weight of a variable when it was basic
	xb      []float64 // values and bounds of basic variables, by row
	lb, ub  []float64
	f       *lu.Factor
	ready   bool    // factors belong to head
	priced  bool    // d belongs to costs and basis, fixed variables left out
	shifted bool    // cost differs from base
	slack   float64 // what a reduced cost of the wrong sign is allowed: dualTol or strictTol

	rng *rand.Rand
	// Iterations counts pivots and rounds of bound flips since the LP was made.
	Iterations int
	// Interrupt, if not nil, is asked now and then whether to stop; Solve then returns Limit.
	Interrupt func() bool

	rho, tau, col, flip, spike, half []float64 // dense work vectors by row
	rhoAt, colAt                     []int32   // their nonzeros
	row                              []float64 // pivot row by variable
	rowAt                            []int32
	cand                             []candidate
}

type candidate struct {
	j        int32
	a, ratio float64 // signed pivot entry (positive lets the step grow), breakpoint
}

// New makes an LP from columns in compressed form (start has n+1 entries) and bounds on columns and row activities. It
// keeps none of the slices.
func New(m int, start, index []int32, value, cost, lo, up, rowLo, rowUp []float64) *LP {
	n := len(cost)
	p := &LP{m: m, n: n, f: lu.New(), rng: rand.New(rand.NewPCG(7, 11))}
	p.a.cstart, p.a.cindex, p.a.cvalue = slices.Clone(start), slices.Clone(index), slices.Clone(value)
	p.scale = geometric(m, n, p.a.cstart, p.a.cindex, p.a.cvalue)
	for j := range n {
		p.base = append(p.base, cost[j]*p.scale[j])
		p.lo = append(p.lo, lo[j]/p.scale[j])
		p.up = append(p.up, up[j]/p.scale[j])
	}
	for i := range m {
		p.base = append(p.base, 0)
		p.lo = append(p.lo, -rowUp[i]/p.scale[n+i])
		p.up = append(p.up, -rowLo[i]/p.scale[n+i])
	}
	p.a.byRows(m, n)
	p.resize()
	for i := range m {
		p.weight[i] = 1
	}
	p.SlackBasis()
	return p
}

// geometric scales the matrix in place so that entries come near 1 (a few passes of the geometric mean by rows and
// columns, rounded to powers of two) and returns the factors of all variables.
func geometric(m, n int, start, index []int32, value []float64) []float64 {
	rs, cs := make([]float64, m), make([]float64, n)
	for i := range rs {
		rs[i] = 1
	}
	for j := range cs {
		cs[j] = 1
	}
	low, high := make([]float64, m), make([]float64, m)
	for range 3 {
		for i := range m {
			low[i], high[i] = math.Inf(1), 0
		}
		for j := range n {
			for k := start[j]; k < start[j+1]; k++ {
				if v := math.Abs(value[k]) * cs[j]; v > 0 {
					low[index[k]], high[index[k]] = min(low[index[k]], v), max(high[index[k]], v)
				}
			}
		}
		for i := range m {
			if high[i] > 0 {
				rs[i] = 1 / math.Sqrt(low[i]*high[i])
			}
		}
		for j := range n {
			least, most := math.Inf(1), 0.0
			for k := start[j]; k < start[j+1]; k++ {
				if v := math.Abs(value[k]) * rs[index[k]]; v > 0 {
					least, most = min(least, v), max(most, v)
				}
			}
			if most > 0 {
				cs[j] = 1 / math.Sqrt(least*most)
			}
		}
	}
	power := func(v float64) float64 { return math.Exp2(math.Round(math.Log2(v))) }
	for i := range rs {
		rs[i] = power(rs[i])
	}
	for j := range n {
		cs[j] = power(cs[j])
		for k := start[j]; k < start[j+1]; k++ {
			value[k] *= cs[j] * rs[index[k]]
		}
	}
	for i := range m {
		cs = append(cs, 1/rs[i])
	}
	return cs
}

// byRows fills the row copy from the column copy.
func (a *matrix) byRows(m, n int) {
	a.rstart = make([]int32, m+1)
	for _, i := range a.cindex {
		a.rstart[i+1]++
	}
	for i := range m {
		a.rstart[i+1] += a.rstart[i]
	}
	place := slices.Clone(a.rstart[:m])
	a.rindex, a.rvalue = make([]int32, len(a.cindex)), make([]float64, len(a.cindex))
	for j := range n {
		for k := a.cstart[j]; k < a.cstart[j+1]; k++ {
			i := a.cindex[k]
			a.rindex[place[i]], a.rvalue[place[i]] = int32(j), a.cvalue[k]
			place[i]++
		}
	}
}

// resize makes all working vectors fit m and n; contents are kept where sizes were smaller.
func (p *LP) resize() {
	fit := func(s []float64, k int) []float64 {
		if len(s) > k {
			return s[:k]
		}
		return append(s, make([]float64, k-len(s))...)
	}
	t := p.n + p.m
	p.cost, p.x, p.d, p.row, p.recall = fit(p.cost, t), fit(p.x, t), fit(p.d, t), fit(p.row, t), fit(p.recall, t)
	p.weight, p.xb, p.lb, p.ub = fit(p.weight, p.m), fit(p.xb, p.m), fit(p.lb, p.m), fit(p.ub, p.m)
	p.rho, p.tau, p.col, p.flip = fit(p.rho, p.m), fit(p.tau, p.m), fit(p.col, p.m), fit(p.flip, p.m)
	p.spike, p.half = fit(p.spike, p.m), fit(p.half, p.m)
	clear(p.row)
	p.rowAt = p.rowAt[:0]
	p.ready, p.priced = false, false
}

// Clone returns an independent copy that shares only the matrix.
func (p *LP) Clone() *LP {
	q := *p
	for _, s := range []*[]float64{&q.scale, &q.base, &q.cost, &q.lo, &q.up, &q.x, &q.d, &q.weight, &q.recall, &q.xb,
		&q.lb, &q.ub, &q.rho, &q.tau, &q.col, &q.flip, &q.spike, &q.half, &q.row} {
		*s = slices.Clone(*s)
	}
	q.head, q.state = slices.Clone(p.head), slices.Clone(p.state)
	q.rhoAt, q.colAt, q.rowAt, q.cand = nil, nil, nil, nil
	clear(q.row)
	q.f, q.ready = lu.New(), false
	q.rng = rand.New(rand.NewPCG(7, 11))
	return &q
}

// Rows and Cols return the size.
func (p *LP) Rows() int { return p.m }

// Cols returns the number of structural variables.
func (p *LP) Cols() int { return p.n }

// X returns the value of variable j.
func (p *LP) X(j int) float64 { return p.x[j] * p.scale[j] }

// Price works out all reduced costs again, for [LP.D].
func (p *LP) Price() { p.computeDuals(true) }

// D returns the reduced cost of variable j as of the last Price; the dual value of row i is -D(n+i).
func (p *LP) D(j int) float64 { return p.d[j] / p.scale[j] }

// State returns the state of variable j.
func (p *LP) State(j int) State { return p.state[j] }

// BasicIn returns the basic variable of row i.
func (p *LP) BasicIn(i int) int { return int(p.head[i]) }

// Bounds returns the bounds of variable j.
func (p *LP) Bounds(j int) (lo, up float64) { return p.lo[j] * p.scale[j], p.up[j] * p.scale[j] }

// SetBounds changes the bounds of variable j.
func (p *LP) SetBounds(j int, lo, up float64) {
	p.lo[j], p.up[j] = lo/p.scale[j], up/p.scale[j]
}

// Objective returns c·x at the current point.
func (p *LP) Objective() float64 {
	v := 0.0
	for j := range p.n {
		v += p.base[j] * p.x[j]
	}
	return v
}

// SlackBasis makes all logicals basic.
func (p *LP) SlackBasis() {
	p.head = slices.Grow(p.head[:0], p.m)[:p.m]
	p.state = slices.Grow(p.state[:0], p.n+p.m)[:p.n+p.m]
	for j := range p.n {
		p.state[j] = Lower
	}
	for i := range p.m {
		p.head[i] = int32(p.n + i)
		p.state[p.n+i] = Basic
		p.weight[i] = 1
	}
	for j := range p.recall {
		p.recall[j] = 1
	}
	p.ready, p.priced = false, false
}

// Basis is a packed copy of the states of all variables, two bits each: basic or not, and at its upper bound or not.
type Basis []uint64

// Basis returns the current basis.
func (p *LP) Basis() Basis {
	b := make(Basis, (p.n+p.m+31)/32)
	for j, s := range p.state {
		code := uint64(0)
		switch s {
		case Basic:
			code = 1
		case Upper:
			code = 2
		}
		b[j/32] |= code << (j % 32 * 2)
	}
	return b
}

// SetBasis goes back to a basis of this LP, or of one with fewer rows: the logicals of later rows are made basic.
func (p *LP) SetBasis(b Basis, rows int) {
	p.keepWeights()
	p.head = p.head[:0]
	for j := range p.state {
		s := Basic
		if j < p.n+rows {
			s = [...]State{Lower, Basic, Upper}[b[j/32]>>(j%32*2)&3]
		}
		p.state[j] = s
		if s == Basic {
			p.head = append(p.head, int32(j))
		}
	}
	for i, j := range p.head {
		p.weight[i] = p.recall[j]
	}
	p.ready, p.priced = false, false
}

func (p *LP) keepWeights() {
	for i, j := range p.head {
		p.recall[j] = p.weight[i]
	}
}

// AddRows appends rows; their logicals become basic, so that the basis stays dual feasible.
func (p *LP) AddRows(rows []Row) {
	p.keepWeights()
	n, m := p.n, p.m
	count := make([]int32, n+1)
	for j := range n {
		count[j+1] = p.a.cstart[j+1] - p.a.cstart[j]
	}
	for _, r := range rows {
		for _, j := range r.Index {
			count[j+1]++
		}
	}
	for j := range n {
		count[j+1] += count[j]
	}
	place := slices.Clone(count[:n])
	index, value := make([]int32, count[n]), make([]float64, count[n])
	for j := range n {
		k := copy(index[place[j]:], p.a.cindex[p.a.cstart[j]:p.a.cstart[j+1]])
		copy(value[place[j]:], p.a.cvalue[p.a.cstart[j]:p.a.cstart[j+1]])
		place[j] += int32(k)
	}
	for t, r := range rows {
		largest := 0.0
		for k, j := range r.Index {
			largest = max(largest, math.Abs(r.Value[k])*p.scale[j])
		}
		rs := math.Exp2(-math.Round(math.Log2(max(largest, 1e-30))))
		for k, j := range r.Index {
			index[place[j]], value[place[j]] = int32(m+t), r.Value[k]*p.scale[j]*rs
			place[j]++
		}
		p.scale = append(p.scale, 1/rs)
		p.base = append(p.base, 0)
		p.lo, p.up = append(p.lo, -r.Up*rs), append(p.up, -r.Lo*rs)
		p.state = append(p.state, Basic)
		p.head = append(p.head, int32(n+m+t))
		p.weight = append(p.weight, 1)
		p.recall = append(p.recall, 1)
	}
	p.m += len(rows)
	p.a = matrix{cstart: count, cindex: index, cvalue: value}
	p.a.byRows(p.m, n)
	p.resize()
}

// DropRows removes the rows for which drop is true. Only rows whose logical is basic may go, so the basis stays a
// basis.
func (p *LP) DropRows(drop func(i int) bool) {
	p.keepWeights()
	moved := make([]int32, p.m)
	kept := 0
	for i := range p.m {
		j := p.n + i
		if p.state[j] == Basic && drop(i) {
			moved[i] = -1
			continue
		}
		k := p.n + kept
		moved[i] = int32(kept)
		p.scale[k], p.base[k], p.lo[k], p.up[k], p.state[k] = p.scale[j], p.base[j], p.lo[j], p.up[j], p.state[j]
		p.x[k], p.d[k], p.recall[k] = p.x[j], p.d[j], p.recall[j]
		kept++
	}
	a := matrix{cstart: []int32{0}}
	for j := range p.n {
		for k := p.a.cstart[j]; k < p.a.cstart[j+1]; k++ {
			if i := moved[p.a.cindex[k]]; i >= 0 {
				a.cindex, a.cvalue = append(a.cindex, i), append(a.cvalue, p.a.cvalue[k])
			}
		}
		a.cstart = append(a.cstart, int32(len(a.cindex)))
	}
	p.m = kept
	t := p.n + kept
	p.scale, p.base, p.lo, p.up, p.state = p.scale[:t], p.base[:t], p.lo[:t], p.up[:t], p.state[:t]
	p.a = a
	p.a.byRows(p.m, p.n)
	p.resize()
	p.head = p.head[:0]
	for j, s := range p.state {
		if s == Basic {
			p.head = append(p.head, int32(j))
		}
	}
	for i, j := range p.head {
		p.weight[i] = p.recall[j]
	}
}

// RowMultipliers calls yield with the weights by which the rows add up to the tableau row of the variable that is basic
// in row i, in the caller's units.
func (p *LP) RowMultipliers(i int, yield func(row int, weight float64)) {
	clear(p.rho)
	p.rho[i] = 1
	p.f.Backward(p.rho, int32(i), nil)
	unit := p.scale[p.head[i]]
	for r, v := range p.rho {
		if math.Abs(v) > zeroTol {
			yield(r, v*unit/p.scale[p.n+r])
		}
	}
}
