// The problem in the form that the search works on: always minimise, sparse both ways, bounds tightened.

package solve

import (
	"math"

	"kettletree/menu/plan/solve/simplex"
)

const (
	integerTol  = 1e-6 // a value this close to a whole number counts as whole
	rowTol      = 1e-8 // a point may miss the side of a row by this, times the size of the terms
	feasTol     = 1e-7 // slack given to rows when bounds are deduced from them
	boundGain   = 1e-3 // a deduced bound of a continuous column must gain this share of its range
	boundTooBig = 1e8  // deduced bounds beyond this are useless and are not kept
)

// model is a mixed-integer program: minimise cost·x, rlo ≤ A x ≤ rup, lo ≤ x ≤ up.
type model struct {
	n, m           int
	cost, lo, up   []float64
	integer        []bool
	rlo, rup       []float64
	rstart, rindex []int32
	rvalue         []float64
	cstart, cindex []int32 // rows of each column, and where their entry stands in rvalue
	centry         []int32
	sign           float64 // +1, or -1 when the problem maximises
	grain          float64 // the objective of whole solutions moves in steps of this; 0 if not known
}

// holds tells whether a point satisfies the rows as they stand, not only once they are scaled.
func (m *model) holds(x []float64) bool {
	for i := range m.m {
		sum, size := 0.0, 1.0
		for k := m.rstart[i]; k < m.rstart[i+1]; k++ {
			v := m.rvalue[k] * x[m.rindex[k]]
			sum, size = sum+v, size+math.Abs(v)
		}
		if slack := rowTol * size; !(sum >= m.rlo[i]-slack && sum <= m.rup[i]+slack) {
			return false
		}
	}
	return true
}

func newModel(p *Problem) *model {
	m := &model{n: len(p.Columns), m: len(p.Rows), sign: 1}
	if p.Sense == Maximize {
		m.sign = -1
	}
	for _, c := range p.Columns {
		m.cost = append(m.cost, m.sign*c.Cost)
		m.lo, m.up = append(m.lo, c.Lower), append(m.up, c.Upper)
		m.integer = append(m.integer, c.Integer)
	}
	m.rstart = append(m.rstart, 0)
	for _, r := range p.Rows {
		for _, e := range r.Entries {
			if e.Value != 0 {
				m.rindex, m.rvalue = append(m.rindex, int32(e.Col)), append(m.rvalue, e.Value)
			}
		}
		m.rstart = append(m.rstart, int32(len(m.rindex)))
		m.rlo, m.rup = append(m.rlo, r.Lower), append(m.rup, r.Upper)
	}
	m.cstart = make([]int32, m.n+1)
	for _, j := range m.rindex {
		m.cstart[j+1]++
	}
	for j := range m.n {
		m.cstart[j+1] += m.cstart[j]
	}
	place := append([]int32(nil), m.cstart[:m.n]...)
	m.cindex, m.centry = make([]int32, len(m.rindex)), make([]int32, len(m.rindex))
	for i := range m.m {
		for k := m.rstart[i]; k < m.rstart[i+1]; k++ {
			j := m.rindex[k]
			m.cindex[place[j]], m.centry[place[j]] = int32(i), k
			place[j]++
		}
	}
	m.grain = m.objectiveGrain()
	return m
}

// objectiveGrain is 1 when only integer columns cost anything and all their costs are whole.
func (m *model) objectiveGrain() float64 {
	for j, c := range m.cost {
		if c != 0 && (!m.integer[j] || c != math.Round(c)) {
			return 0
		}
	}
	return 1
}

// lp builds the linear relaxation.
func (m *model) lp() *simplex.LP {
	value := make([]float64, len(m.centry))
	for k, e := range m.centry {
		value[k] = m.rvalue[e]
	}
	return simplex.New(m.m, m.cstart, m.cindex, value, m.cost, m.lo, m.up, m.rlo, m.rup)
}

// bounded says which columns get bounds.
type bounded uint8

const (
	integers bounded = iota
	allColumns
)

// propagate deduces bounds from rows until nothing moves (Savelsbergh 1994, section 1.1): each row bounds each of its
// columns by what the others leave. It starts from the rows of the columns in seeds, or from all rows when seeds is
// nil, and appends the columns it moved to moved. It is false if a row cannot hold.
func (m *model) propagate(lo, up []float64, seeds []int32, of bounded, moved []int32) ([]int32, bool) {
	var queue []int32
	queued := make([]bool, m.m)
	push := func(j int32) {
		for _, i := range m.cindex[m.cstart[j]:m.cstart[j+1]] {
			if !queued[i] {
				queued[i] = true
				queue = append(queue, i)
			}
		}
	}
	if seeds == nil {
		for i := range m.m {
			queued[i] = true
			queue = append(queue, int32(i))
		}
	}
	for _, j := range seeds {
		push(j)
	}
	budget := 20*m.m + 1000
	for head := 0; head < len(queue) && head < budget; head++ {
		i := queue[head]
		queued[i] = false
		s, e := m.rstart[i], m.rstart[i+1]
		least, most := 0.0, 0.0
		leastInf, mostInf := 0, 0
		for k := s; k < e; k++ {
			a, l, u := m.rvalue[k], lo[m.rindex[k]], up[m.rindex[k]]
			if a < 0 {
				l, u = u, l
			}
			if math.IsInf(l, 0) {
				leastInf++
			} else {
				least += a * l
			}
			if math.IsInf(u, 0) {
				mostInf++
			} else {
				most += a * u
			}
		}
		slack := feasTol * (1 + max(math.Abs(least), math.Abs(most)))
		if leastInf == 0 && least > m.rup[i]+slack || mostInf == 0 && most < m.rlo[i]-slack {
			return moved, false
		}
		useUp := !math.IsInf(m.rup[i], 1) && leastInf <= 1 && (mostInf > 0 || most > m.rup[i])
		useLo := !math.IsInf(m.rlo[i], -1) && mostInf <= 1 && (leastInf > 0 || least < m.rlo[i])
		if !useUp && !useLo {
			continue
		}
		for k := s; k < e; k++ {
			j := m.rindex[k]
			if lo[j] == up[j] || of == integers && !m.integer[j] {
				continue
			}
			a := m.rvalue[k]
			newLo, newUp := math.Inf(-1), math.Inf(1)
			l, u := lo[j], up[j] // the ends that give the least and the most activity
			if a < 0 {
				l, u = u, l
			}
			if useUp {
				if rest, ok := without(least, leastInf, a, l); ok {
					if v := (m.rup[i] - rest) / a; a > 0 {
						newUp = v
					} else {
						newLo = v
					}
				}
			}
			if useLo {
				if rest, ok := without(most, mostInf, a, u); ok {
					if v := (m.rlo[i] - rest) / a; a > 0 {
						newLo = max(newLo, v)
					} else {
						newUp = min(newUp, v)
					}
				}
			}
			if m.integer[j] {
				newLo, newUp = math.Ceil(newLo-integerTol), math.Floor(newUp+integerTol)
			}
			change := false
			if m.gains(j, lo[j], newLo, up[j]-lo[j]) {
				lo[j], change = newLo, true
			}
			if m.gains(j, -up[j], -newUp, up[j]-lo[j]) {
				up[j], change = newUp, true
			}
			if !change {
				continue
			}
			if lo[j] > up[j] {
				if lo[j] > up[j]+feasTol*(1+math.Abs(up[j])) {
					return moved, false
				}
				lo[j] = up[j]
			}
			moved = append(moved, j)
			push(j)
			if !queued[i] { // its sums are out of date
				queued[i] = true
				queue = append(queue, i)
			}
			break
		}
	}
	return moved, true
}

// without takes the share a·v of one column out of an activity sum that has infinite terms inf.
func without(sum float64, inf int, a, v float64) (float64, bool) {
	if math.IsInf(v, 0) {
		return sum, inf == 1
	}
	return sum - a*v, inf == 0
}

// gains tells whether moving a lower bound from old to new is worth it.
func (m *model) gains(j int32, old, new, span float64) bool {
	if new <= old || math.Abs(new) > boundTooBig {
		return false
	}
	if m.integer[j] || math.IsInf(old, -1) {
		return true
	}
	return new-old > boundGain*max(1, math.Abs(new)) && (math.IsInf(span, 1) || new-old > boundGain*span)
}

// tighten rounds integer bounds inwards, deduces bounds from rows, and shrinks coefficients. It is false if no point is
// left.
func (m *model) tighten() bool {
	for j := range m.n {
		if m.integer[j] {
			m.lo[j], m.up[j] = math.Ceil(m.lo[j]-integerTol), math.Floor(m.up[j]+integerTol)
		}
		if m.lo[j] > m.up[j] {
			return false
		}
	}
	lo, up := append([]float64(nil), m.lo...), append([]float64(nil), m.up...)
	if _, ok := m.propagate(lo, up, nil, allColumns, nil); !ok {
		return false
	}
	for j := range m.n {
		if m.integer[j] {
			m.lo[j], m.up[j] = lo[j], up[j]
			continue
		}
		// A continuous column gets a box a little wider than deduced, which then never binds at a feasible point: duals
		// stay those of the rows.
		if math.IsInf(m.lo[j], -1) {
			m.lo[j] = lo[j] - 1 - 1e-3*math.Abs(lo[j])
		}
		if math.IsInf(m.up[j], 1) {
			m.up[j] = up[j] + 1 + 1e-3*math.Abs(up[j])
		}
	}
	m.shrink()
	return true
}

// shrink reduces the coefficient of an integer column in a one-sided row where the row cannot bind once the column
// leaves its bound (Savelsbergh 1994, section 1.2): in 3x + 10y ≤ 10 with x ≤ 2, whole points stay the same with 6y ≤ 6
// in place.
func (m *model) shrink() {
	for i := range m.m {
		s, e := m.rstart[i], m.rstart[i+1]
		flip := 1.0
		switch hasLo, hasUp := !math.IsInf(m.rlo[i], -1), !math.IsInf(m.rup[i], 1); {
		case hasLo == hasUp:
			continue
		case hasLo:
			flip = -1
		}
		side := flip * m.rup[i]
		if flip < 0 {
			side = -m.rlo[i]
		}
		most := 0.0
		for k := s; k < e; k++ {
			j := m.rindex[k]
			if a := flip * m.rvalue[k]; a > 0 {
				most += a * m.up[j]
			} else {
				most += a * m.lo[j]
			}
		}
		if math.IsInf(most, 0) || math.IsNaN(most) || most <= side {
			continue
		}
		for k := s; k < e; k++ {
			j := m.rindex[k]
			a := flip * m.rvalue[k]
			if !m.integer[j] || m.lo[j] == m.up[j] {
				continue
			}
			// One step off its bound takes |a| from the most; if that already satisfies the row, less is enough.
			spare := side - (most - math.Abs(a))
			if spare <= feasTol*(1+math.Abs(side)) {
				continue
			}
			if a > 0 {
				side -= spare * m.up[j]
				most -= spare * m.up[j]
				a -= spare
			} else {
				side += spare * m.lo[j]
				most += spare * m.lo[j]
				a += spare
			}
			m.rvalue[k] = flip * a
		}
		if flip > 0 {
			m.rup[i] = side
		} else {
			m.rlo[i] = -side
		}
	}
}
