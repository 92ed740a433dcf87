package simplex

// One iteration's parts: the row that leaves, the ratio test for what enters, and the exchange.

import (
	"cmp"
	"math"
	"slices"
)

// chooseRow returns the row of the basic variable with the largest squared infeasibility over its weight, or -1.
func (p *LP) chooseRow() int {
	best, r := 0.0, -1
	lb, ub, w := p.lb[:len(p.xb)], p.ub[:len(p.xb)], p.weight[:len(p.xb)]
	for i, x := range p.xb {
		v := lb[i] - x
		if over := x - ub[i]; over > v {
			v = over
		}
		if v > primalTol && v*v > best*w[i] {
			best, r = v*v/w[i], i
		}
	}
	return r
}

// pivotRow computes rho = B⁻ᵀ e_r and the row rhoᵀ [A I] over nonbasic variables.
func (p *LP) pivotRow(r int) {
	clear(p.rho)
	p.rho[r] = 1
	p.f.Backward(p.rho, int32(r), p.half)
	p.rhoAt = nonzeros(p.rho, p.rhoAt)
	for _, j := range p.rowAt {
		p.row[j] = 0
	}
	p.rowAt = p.rowAt[:0]
	weight := 0.0
	for _, i := range p.rhoAt {
		v := p.rho[i]
		weight += v * v
		s, e := p.a.rstart[i], p.a.rstart[i+1]
		value := p.a.rvalue[s:e]
		for k, j := range p.a.rindex[s:e] {
			if p.state[j] <= Fixed {
				continue
			}
			u := p.row[j]
			if u == 0 {
				p.rowAt = append(p.rowAt, j)
			}
			if u += v * value[k]; u == 0 {
				u = 1e-100 // cancelled, but listed: stay nonzero so as not to be listed twice
			}
			p.row[j] = u
		}
		if j := int32(p.n) + i; p.state[j] > Fixed {
			p.row[j] = v
			p.rowAt = append(p.rowAt, j)
		}
	}
	p.weight[r] = max(weight, weightMin)
}

// nonzeros flushes noise and lists the rest.
func nonzeros(v []float64, at []int32) []int32 {
	at = at[:0]
	for i, x := range v {
		if x != 0 {
			if math.Abs(x) < zeroTol {
				v[i] = 0
				continue
			}
			at = append(at, int32(i))
		}
	}
	return at
}

// ratioTest picks the entering variable and the nonbasic variables that flip to their other bound first (Maros 2003).
// Breakpoints are passed while the dual objective still rises; in the last group the largest pivot wins among those
// that Harris' bound admits. It returns -1 if the dual objective rises for ever.
func (p *LP) ratioTest(below bool, gap float64) (int32, []candidate) {
	sign := 1.0
	if below {
		sign = -1
	}
	c := p.cand[:0]
	for _, j := range p.rowAt {
		a := sign * p.row[j]
		switch p.state[j] {
		case Upper:
			a = -a
			if a > zeroTol*1e3 {
				c = append(c, candidate{j, a, -p.d[j] / a})
			}
		case Lower:
			if a > zeroTol*1e3 {
				c = append(c, candidate{j, a, p.d[j] / a})
			}
		case Zero:
			if a = math.Abs(a); a > zeroTol*1e3 {
				c = append(c, candidate{j, a, math.Abs(p.d[j]) / a})
			}
		}
	}
	p.cand = c
	passed := 0 // c[:passed] are behind the step already
	lastGroup, lastEnd := 0, 0
	for passed < len(c) {
		bound := math.Inf(1)
		for _, t := range c[passed:] {
			if v := t.ratio + p.slack/t.a; v < bound {
				bound = v
			}
		}
		group := passed
		for k := passed; k < len(c); k++ {
			if c[k].ratio <= bound {
				c[k], c[group] = c[group], c[k]
				group++
			}
		}
		if group == passed { // ratios that are no numbers: overflow
			return -1, nil
		}
		fall := 0.0
		for _, t := range c[passed:group] {
			fall += t.a * (p.up[t.j] - p.lo[t.j]) // +Inf where a bound is missing
		}
		lastGroup, lastEnd = passed, group
		if gap -= fall; gap <= primalTol {
			break
		}
		passed = group
	}
	if len(c) == 0 || gap > primalTol {
		return -1, nil
	}
	// The largest entry of the last group; if it is too small, fall back to an earlier group.
	pick := func(from, to int) int {
		k := from
		for t := from + 1; t < to; t++ {
			if c[t].a > c[k].a || c[t].a == c[k].a && c[t].j < c[k].j {
				k = t
			}
		}
		return k
	}
	k := pick(lastGroup, lastEnd)
	if c[k].a < pivotTol && lastGroup > 0 {
		slices.SortFunc(c[:lastEnd], func(a, b candidate) int {
			return cmp.Or(cmp.Compare(a.ratio, b.ratio), cmp.Compare(a.j, b.j))
		})
		for t := lastEnd - 1; t >= 0; t-- {
			if c[t].a >= pivotTol {
				k = t
				break
			}
		}
		lastGroup = k
		for lastGroup > 0 && c[lastGroup-1].ratio >= c[k].ratio {
			lastGroup--
		}
	}
	return c[k].j, c[:lastGroup]
}

// pivotColumn computes col = B⁻¹ a_q and compares its pivot with the one in the row.
func (p *LP) pivotColumn(r, q int32) bool {
	p.loadColumn(p.col, q)
	p.f.Forward(p.col, p.spike)
	p.colAt = nonzeros(p.col, p.colAt)
	a, b := p.col[r], p.row[q]
	return math.Abs(a-b) <= 1e-6*(1+math.Abs(b)) && math.Abs(a) > 1e-9 && math.Abs(a-b) <= 1e-2*math.Abs(b)
}

func (p *LP) loadColumn(v []float64, j int32) {
	clear(v)
	if int(j) >= p.n {
		v[int(j)-p.n] = 1
		return
	}
	for k := p.a.cstart[j]; k < p.a.cstart[j+1]; k++ {
		v[p.a.cindex[k]] = p.a.cvalue[k]
	}
}

// exchange makes q basic in row r and updates reduced costs, values, weights and factors.
func (p *LP) exchange(r int, q int32, below bool, flips []candidate) {
	leaving := p.head[r]
	pivot := p.col[r]

	// Reduced costs. A step that would be negative is made zero by a cost shift.
	if p.state[q] != Zero && p.wrongSign(int(q)) > 0 {
		p.cost[q] -= p.d[q]
		p.d[q] = 0
		p.shifted = true
	}
	theta := p.d[q] / p.row[q]
	if theta != 0 {
		for _, j := range p.rowAt {
			p.d[j] -= theta * p.row[j]
		}
	}
	p.d[q] = 0
	p.d[leaving] = -theta
	// Flips, then shifts for whatever ended past the tolerance.
	if len(flips) > 0 {
		clear(p.flip)
		for _, t := range flips {
			j := t.j
			move := p.up[j] - p.lo[j]
			if p.state[j] == Lower {
				p.state[j], p.x[j] = Upper, p.up[j]
			} else {
				p.state[j], p.x[j] = Lower, p.lo[j]
				move = -move
			}
			if int(j) >= p.n {
				p.flip[int(j)-p.n] += move
			} else {
				for k := p.a.cstart[j]; k < p.a.cstart[j+1]; k++ {
					p.flip[p.a.cindex[k]] += p.a.cvalue[k] * move
				}
			}
		}
		p.f.Forward(p.flip, nil)
		for i, v := range p.flip {
			if v != 0 {
				p.xb[i] -= v
			}
		}
	}
	for _, t := range p.cand {
		if p.wrongSign(int(t.j)) > p.slack && t.j != q {
			p.cost[t.j] -= p.d[t.j]
			p.d[t.j] = 0
			p.shifted = true
		}
	}

	// Values.
	target := p.ub[r]
	if below {
		target = p.lb[r]
	}
	step := (p.xb[r] - target) / pivot
	for _, i := range p.colAt {
		p.xb[i] -= step * p.col[i]
	}

	// Steepest edge weights (Forrest & Goldfarb 1992).
	copy(p.tau, p.rho)
	p.f.Forward(p.tau, nil)
	wr := p.weight[r]
	for _, i := range p.colAt {
		if int(i) != r {
			k := p.col[i] / pivot
			p.weight[i] = max(p.weight[i]+k*(k*wr-2*p.tau[i]), weightMin)
		}
	}
	p.weight[r] = max(wr/(pivot*pivot), weightMin)

	p.f.Update(int32(r), p.spike, p.half, pivot)
	p.x[leaving] = target
	switch {
	case p.lo[leaving] == p.up[leaving]:
		p.state[leaving] = Fixed
	case below:
		p.state[leaving] = Lower
	default:
		p.state[leaving] = Upper
	}
	p.head[r] = q
	p.state[q] = Basic
	p.xb[r] = p.x[q] + step
	p.lb[r], p.ub[r] = p.lo[q], p.up[q]
}
