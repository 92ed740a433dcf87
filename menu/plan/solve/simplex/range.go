// What an optimal basis says about changes of the data, and what an infeasible one proves.

package simplex

import (
	"math"
)

// CostRange returns the costs of structural variable j for which the current optimal basis stays optimal.
func (p *LP) CostRange(j int) (lo, up float64) {
	p.Price()
	lo, up = math.Inf(-1), math.Inf(1)
	switch p.state[j] {
	case Fixed:
	case Lower:
		lo = p.base[j] - p.d[j]
	case Upper:
		up = p.base[j] - p.d[j]
	case Zero:
		lo, up = p.base[j], p.base[j]
	case Basic:
		for i, b := range p.head {
			if int(b) == j {
				p.pivotRow(i)
			}
		}
		// A change t of the cost changes the reduced cost of k by -t·row[k].
		for _, k := range p.rowAt {
			a := p.row[k]
			if math.Abs(a) < 1e-9 {
				continue
			}
			at := p.base[j] + p.d[k]/a
			if p.state[k] == Zero || (p.state[k] == Lower) == (a > 0) {
				up = min(up, at)
			}
			if p.state[k] == Zero || (p.state[k] == Lower) == (a < 0) {
				lo = max(lo, at)
			}
		}
	}
	return lo / p.scale[j], up / p.scale[j]
}

// SideRange returns the values of the side of row i that binds (a row that does not bind: of its upper side, or of its
// lower one if it has no upper) for which the current optimal basis stays feasible.
func (p *LP) SideRange(i int) (lo, up float64) {
	j := p.n + i
	unit := p.scale[j]
	if p.state[j] == Basic {
		activity := -p.x[j] * unit
		if !math.IsInf(p.lo[j], -1) { // the logical's lower bound is the row's upper side
			return activity, math.Inf(1)
		}
		return math.Inf(-1), activity
	}
	p.loadColumn(p.col, int32(j))
	p.f.Forward(p.col, nil)
	// A move t of the logical moves the basic variables by -t·col.
	down, rise := math.Inf(-1), math.Inf(1)
	for r, a := range p.col {
		if math.Abs(a) < 1e-9 {
			continue
		}
		toLo, toUp := (p.xb[r]-p.lb[r])/a, (p.xb[r]-p.ub[r])/a
		if a > 0 {
			rise, down = min(rise, toLo), max(down, toUp)
		} else {
			rise, down = min(rise, toUp), max(down, toLo)
		}
	}
	z := p.x[j]
	return -(z + max(rise, 0)) * unit, -(z + min(down, 0)) * unit
}

// Proof returns, after Solve said Infeasible, the rows whose weighted sum cannot hold within the bounds of the columns
// listed (a Farkas certificate).
func (p *LP) Proof() (rows, cols []int) {
	sum := make([]float64, p.n)
	for i, v := range p.rho {
		if math.Abs(v) < 1e-11 {
			continue
		}
		rows = append(rows, i)
		for k := p.a.rstart[i]; k < p.a.rstart[i+1]; k++ {
			sum[p.a.rindex[k]] += v * p.a.rvalue[k]
		}
	}
	for j, v := range sum {
		if math.Abs(v) > 1e-11 {
			cols = append(cols, j)
		}
	}
	return rows, cols
}
