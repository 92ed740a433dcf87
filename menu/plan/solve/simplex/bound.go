package simplex

// What can be proven before the end: bounds that hold for the true costs, and that nothing is feasible.

import (
	"math"
)

// proves tells whether the rows, weighted by rho, cannot add up to zero within all bounds (Farkas). It uses the matrix
// as it stands, so it holds whatever errors the factors have gathered.
func (p *LP) proves() bool {
	least, most, size := 0.0, 0.0, 0.0
	put := func(j int, a float64) {
		lo, up := p.lo[j], p.up[j]
		if math.Abs(a) < 10*zeroTol && (math.IsInf(lo, -1) || math.IsInf(up, 1)) {
			return
		}
		if a < 0 {
			lo, up = up, lo
		}
		least, most = least+a*lo, most+a*up
		if a != 0 {
			size += math.Abs(a) * min(math.Abs(lo), math.Abs(up))
		}
	}
	for j := range p.n {
		a := 0.0
		for k := p.a.cstart[j]; k < p.a.cstart[j+1]; k++ {
			a += p.rho[p.a.cindex[k]] * p.a.cvalue[k]
		}
		if a != 0 {
			put(j, a)
		}
	}
	for i, a := range p.rho {
		if a != 0 {
			put(p.n+i, a)
		}
	}
	slack := primalTol/10 + 1e-14*size
	return least > slack || most < -slack
}

// reaches tells whether the dual bound is at the cutoff: first by the objective of the working costs, then, if these
// are shifted, by a bound that holds for the true costs.
func (p *LP) reaches(cutoff float64) bool {
	v := 0.0
	for j := range p.n {
		if p.state[j] != Basic {
			v += p.cost[j] * p.x[j]
		}
	}
	for i, j := range p.head {
		v += p.cost[j] * p.xb[i]
	}
	for j := p.n; j < p.n+p.m; j++ {
		if p.state[j] != Basic {
			v += p.cost[j] * p.x[j]
		}
	}
	if v < cutoff {
		return false
	}
	return p.Bound() >= cutoff
}

// Bound returns a lower bound on the optimum that is valid for any basis: sum over j of min(d lo, d up) with the true
// reduced costs of the current basis; -Inf if a variable without bound has a reduced cost of the wrong sign.
func (p *LP) Bound() float64 {
	y := p.tau
	for i, j := range p.head {
		y[i] = p.base[j]
	}
	p.f.Backward(y, -1, nil)
	bound := 0.0
	for j := range p.n + p.m {
		var d float64
		if j < p.n {
			d = p.base[j]
			for k := p.a.cstart[j]; k < p.a.cstart[j+1]; k++ {
				d -= y[p.a.cindex[k]] * p.a.cvalue[k]
			}
		} else {
			d = -y[j-p.n]
		}
		switch {
		case d > 0 && (d > 1e-11 || !math.IsInf(p.lo[j], -1)):
			bound += d * p.lo[j]
		case d < 0 && (d < -1e-11 || !math.IsInf(p.up[j], 1)):
			bound += d * p.up[j]
		}
	}
	return bound
}
