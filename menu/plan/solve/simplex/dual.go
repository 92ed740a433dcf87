// The bounded dual simplex method.

package simplex

import (
	"math"
	"slices"
)

// perturbAfter: a re-solve that takes this many pivots is taken to be stalling, and its costs are perturbed.
const perturbAfter = 300

// Solve re-optimises from the current basis with at most limit iterations. It stops early, with Cutoff, once a valid
// lower bound reaches cutoff (+Inf: never). Without a limit it still ends: a run far longer than the method needs on
// problems of the size is Trouble.
func (p *LP) Solve(limit int, cutoff float64) Status {
	for j := range p.lo {
		if p.lo[j] > p.up[j]+primalTol {
			clear(p.rho) // for Proof: the row alone
			if j >= p.n {
				p.rho[j-p.n] = 1
			}
			return Infeasible
		}
	}
	begin, most := p.Iterations, 20*(p.m+p.n)+5000
	st := p.solve(begin+min(limit, most), cutoff)
	for i, j := range p.head { // to where X reads them
		p.x[j] = p.xb[i]
	}
	v := p.Objective()
	endless := st == Limit && limit > most && p.Iterations-begin >= most
	if endless || st == Optimal && (math.IsNaN(v) || math.IsInf(v, 0)) {
		return Trouble
	}
	return st
}

func (p *LP) solve(stop int, cutoff float64) Status {
	p.resetCosts()
	perturb := p.Iterations == 0
	p.slack = dualTol
	for round := 0; ; round++ {
		if !p.refresh() {
			return Trouble
		}
		if p.dualInfeasible(p.slack) {
			if st := p.phaseOne(stop); st != Optimal {
				return st
			}
		}
		if perturb {
			p.perturb()
		}
		st := p.iterate(stop, cutoff)
		if st != Optimal {
			return st
		}
		if !p.shifted {
			return Optimal
		}
		p.resetCosts()
		if !p.refresh() {
			return Trouble
		}
		if !p.dualInfeasible(dualTol) && p.largestInfeasibility() <= primalTol {
			return Optimal
		}
		if round > 8 {
			return Trouble
		}
		// What a reduced cost of the wrong sign is allowed at the start, a small pivot makes too much at the end, and that
		// again and again: from now on less is allowed.
		perturb, p.slack = false, strictTol
	}
}

func (p *LP) resetCosts() {
	if p.shifted {
		p.priced = false
	}
	copy(p.cost, p.base)
	p.shifted = false
}

// refresh makes factors, reduced costs, states and values fit each other. It is false when the basis cannot be
// repaired.
func (p *LP) refresh() bool {
	if !p.ready && !p.refactor() {
		return false
	}
	for j, s := range p.state {
		if s == Fixed && p.lo[j] != p.up[j] { // its reduced cost was not kept up to date
			p.priced = false
			break
		}
	}
	if !p.priced {
		p.computeDuals(false)
	}
	p.settle()
	p.computePrimals()
	return true
}

// refactor builds new factors and pairs basic variables with their pivot rows.
func (p *LP) refactor() bool {
	prow, spare := p.f.Build(p.m, func(j int) ([]int32, []float64, int32) {
		v := int(p.head[j])
		if v >= p.n {
			return nil, nil, int32(v - p.n)
		}
		s, e := p.a.cstart[v], p.a.cstart[v+1]
		return p.a.cindex[s:e], p.a.cvalue[s:e], -1
	})
	p.keepWeights()
	head := make([]int32, p.m)
	next := 0
	for j, r := range prow {
		v := p.head[j]
		if r >= 0 {
			head[r] = v
			continue
		}
		// A dependent column leaves for the logical of a row without pivot.
		if next == len(spare) {
			return false
		}
		r, next = spare[next], next+1
		p.state[v] = Lower
		logical := int32(p.n) + r
		p.state[logical] = Basic
		p.recall[logical] = 1
		head[r] = logical
	}
	copy(p.head, head)
	for i, v := range p.head {
		p.weight[i] = max(p.recall[v], weightMin)
	}
	p.ready, p.priced = true, false
	return true
}

// computeDuals sets the reduced costs from the working costs, those of fixed variables only on demand.
func (p *LP) computeDuals(fixed bool) {
	y := p.tau
	for i, j := range p.head {
		y[i] = p.cost[j]
	}
	p.f.Backward(y, -1, nil)
	for j := range p.n {
		if p.lo[j] == p.up[j] && !fixed {
			continue
		}
		v := p.cost[j]
		for k := p.a.cstart[j]; k < p.a.cstart[j+1]; k++ {
			v -= y[p.a.cindex[k]] * p.a.cvalue[k]
		}
		p.d[j] = v
	}
	for i := range p.m {
		p.d[p.n+i] = p.cost[p.n+i] - y[i]
	}
	for _, j := range p.head {
		p.d[j] = 0
	}
	p.priced = true
}

// settle puts every nonbasic variable at the bound that its reduced cost asks for, where it has one.
func (p *LP) settle() {
	for j, s := range p.state {
		if s == Basic {
			continue
		}
		lo, up := p.lo[j], p.up[j]
		switch hasLo, hasUp := !math.IsInf(lo, -1), !math.IsInf(up, 1); {
		case lo == up:
			s, p.x[j] = Fixed, lo
		case !hasLo && !hasUp:
			s, p.x[j] = Zero, 0
		case hasLo && (!hasUp || p.d[j] > p.slack || p.d[j] >= -p.slack && s != Upper):
			s, p.x[j] = Lower, lo
		default:
			s, p.x[j] = Upper, up
		}
		p.state[j] = s
	}
}

// computePrimals sets the basic variables from the nonbasic ones: x_B = -B⁻¹ N x_N.
func (p *LP) computePrimals() {
	b := p.tau
	clear(b)
	for j := range p.n {
		if v := p.x[j]; p.state[j] != Basic && v != 0 {
			for k := p.a.cstart[j]; k < p.a.cstart[j+1]; k++ {
				b[p.a.cindex[k]] -= p.a.cvalue[k] * v
			}
		}
	}
	for i := range p.m {
		if p.state[p.n+i] != Basic {
			b[i] -= p.x[p.n+i]
		}
	}
	p.f.Forward(b, nil)
	for i, j := range p.head {
		p.x[j], p.xb[i], p.lb[i], p.ub[i] = b[i], b[i], p.lo[j], p.up[j]
	}
}

func (p *LP) dualInfeasible(slack float64) bool {
	for j := range p.state {
		if p.wrongSign(j) > slack {
			return true
		}
	}
	return false
}

// wrongSign tells by how much the reduced cost of a nonbasic variable asks for a move away from the bound it sits at.
func (p *LP) wrongSign(j int) float64 {
	switch {
	case p.state[j] <= Fixed:
		return 0
	case p.state[j] == Lower:
		return -p.d[j]
	case p.state[j] == Upper:
		return p.d[j]
	}
	return math.Abs(p.d[j])
}

func (p *LP) largestInfeasibility() float64 {
	v := 0.0
	for i, x := range p.xb {
		v = max(v, p.lb[i]-x, x-p.ub[i])
	}
	return v
}

// phaseOne finds a dual feasible basis (Koberstein 2005, section 4.3): the same method on the problem whose bounds are
// [0,1], [-1,0], [-1000,1000] or 0 for variables bounded below, above, on neither side or on both. If its optimum is
// below zero the problem has no dual solution, and a run with zero costs tells infeasible from unbounded.
func (p *LP) phaseOne(stop int) Status {
	lo, up := slices.Clone(p.lo), slices.Clone(p.up)
	for j := range lo {
		switch hasLo, hasUp := !math.IsInf(lo[j], -1), !math.IsInf(up[j], 1); {
		case hasLo && hasUp:
			p.lo[j], p.up[j] = 0, 0
		case hasLo:
			p.lo[j], p.up[j] = 0, 1
		case hasUp:
			p.lo[j], p.up[j] = -1, 0
		default:
			p.lo[j], p.up[j] = -1000, 1000
		}
	}
	st := Trouble
	if p.refresh() {
		if p.Iterations == 0 {
			p.perturb()
		}
		st = p.iterate(stop, math.Inf(1))
		for round := 0; st == Optimal && p.shifted && round < 8; round++ {
			p.resetCosts()
			if st = Trouble; p.refresh() {
				st = p.iterate(stop, math.Inf(1))
			}
		}
	}
	copy(p.lo, lo)
	copy(p.up, up)
	p.resetCosts()
	if st != Optimal {
		if st == Infeasible { // all zero satisfies the subproblem
			st = Trouble
		}
		return st
	}
	if !p.refresh() {
		return Trouble
	}
	if !p.dualInfeasible(p.slack) {
		return Optimal
	}
	clear(p.cost)
	p.shifted, p.priced = true, false
	if !p.refresh() {
		return Trouble
	}
	st = p.iterate(stop, math.Inf(1))
	if st == Optimal {
		return Unbounded
	}
	return st
}

// perturb moves the costs a little, in the direction that keeps reduced costs feasible, so that few ratios tie
// (Koberstein 2005, section 6.2.2).
func (p *LP) perturb() {
	largest := 0.0
	for j := range p.n {
		largest = max(largest, math.Abs(p.base[j]))
	}
	unit := 5e-7 * min(max(1, math.Sqrt(math.Sqrt(largest))), 15)
	for j := range p.n {
		if p.lo[j] == p.up[j] {
			continue
		}
		v := unit * (1 + math.Abs(p.base[j])) * (1 + p.rng.Float64())
		switch s := p.state[j]; {
		case s == Zero:
			continue
		case s == Upper || s == Basic && !math.IsInf(p.up[j], 1) && math.IsInf(p.lo[j], -1):
			v = -v
		case s == Basic && !math.IsInf(p.up[j], 1) && p.cost[j] < 0:
			v = -v
		}
		p.cost[j] += v
	}
	for i := range p.m {
		if p.state[p.n+i] == Lower {
			p.cost[p.n+i] += 1e-12 * p.rng.Float64()
		}
	}
	p.shifted, p.priced = true, false
	p.refresh()
	for j := range p.state {
		p.forgive(j)
	}
}

// forgive shifts the cost of a nonbasic variable whose reduced cost has the wrong sign so that it becomes zero.
func (p *LP) forgive(j int) {
	if p.wrongSign(j) > 0 {
		p.cost[j] -= p.d[j]
		p.d[j] = 0
		p.shifted = true
	}
}

// iterate runs the dual simplex method from a dual feasible basis until it is primal feasible.
func (p *LP) iterate(stop int, cutoff float64) Status {
	begin, fresh := p.Iterations, p.Iterations
	retry := 0
	for {
		if p.f.Stale() || !p.ready {
			p.ready = false
			if !p.refresh() {
				return Trouble
			}
			for j := range p.state {
				p.forgive(j)
			}
		}
		if p.Iterations >= stop || p.Interrupt != nil && p.Iterations%64 == 63 && p.Interrupt() {
			return Limit
		}
		if !math.IsInf(cutoff, 1) && p.Iterations%8 == 7 && p.reaches(cutoff) {
			return Cutoff
		}
		if p.Iterations-begin == perturbAfter && !p.shifted {
			p.perturb()
		}
		r := p.chooseRow()
		if r < 0 {
			if p.f.Updates() > 0 && p.Iterations-fresh > 20 { // judge with fresh factors
				p.ready, fresh = false, p.Iterations
				if !p.refresh() {
					return Trouble
				}
				if p.chooseRow() >= 0 {
					continue
				}
			}
			if !math.IsInf(cutoff, 1) && p.reaches(cutoff) {
				return Cutoff
			}
			return Optimal
		}
		p.pivotRow(r)
		below := p.xb[r] < p.lb[r]
		gap := p.xb[r] - p.ub[r]
		if below {
			gap = p.lb[r] - p.xb[r]
		}
		q, flips := p.ratioTest(below, gap)
		if q < 0 {
			if p.proves() {
				return Infeasible
			}
			if p.f.Updates() == 0 {
				return Trouble
			}
			p.ready = false
			continue
		}
		if !p.pivotColumn(int32(r), q) {
			// The two ways to compute the pivot disagree: refactor, and where that is no help let the row's weight say
			// that it is a bad choice.
			if p.f.Updates() == 0 {
				p.weight[r] *= 1e3
				if retry++; retry > 20 {
					return Trouble
				}
			}
			p.ready = false
			continue
		}
		p.exchange(r, q, below, flips)
		p.Iterations++
	}
}
