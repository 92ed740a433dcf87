// Cutting planes for the root: mixed-integer rounding of aggregated rows, and Gomory's mixed-integer cuts.
//
// Sources: Marchand & Wolsey, "Aggregation and mixed integer rounding to solve MIPs" (2001), whose three steps
// (aggregate, bound substitution, complement and divide) are followed; Gomory (1960) for cuts from rows of the tableau,
// which are the same rounding applied to that row; Achterberg, "Constraint integer programming" (2007), chapter 8, for
// the choice among cuts.

package solve

import (
	"cmp"
	"math"
	"slices"

	"kettletree/menu/plan/solve/simplex"
)

const (
	aggregateMax   = 30   // rows added up along one path: a week of stock balances
	cutViolation   = 1e-3 // distance by which a cut must pass the point, over the length of its row
	cutParallel    = 0.9  // cosine above which two cuts say the same
	cutSpread      = 1e7  // largest ratio of coefficients
	fractionMargin = 5e-3 // right-hand sides this close to whole give weak or unsafe cuts
)

// cut is the row index·value ≤ side.
type cut struct {
	index    []int32
	value    []float64
	side     float64
	distance float64 // of the current point from it
	norm     float64
}

// cutter looks for cuts at the current point of an LP. All bounds are global ones.
type cutter struct {
	m      *model
	lp     *simplex.LP
	rows   []simplex.Row // rows of the LP beyond those of the model: earlier cuts
	x      []float64
	lo, up []float64 // of structurals and logicals

	// The aggregate Σ coef·column + Σ weight·logical = 0.
	coef, weight   []float64
	cols, logicals []int32
	inCols, inLogs []bool
	used           []int32 // rows on the path so far
	dense          []float64
	terms          []term
}

// term is one variable of the aggregate after its bound was substituted: x = at + t or x = at - t with t ≥ 0.
type term struct {
	j       int32 // structural, or n + row
	a       float64
	t, span float64 // value of t and its largest value
	fromUp  bool
	integer bool
}

func newCutter(m *model, lp *simplex.LP, rows []simplex.Row) *cutter {
	c := &cutter{m: m, lp: lp, rows: rows}
	n, r := lp.Cols(), lp.Rows()
	c.coef, c.inCols = make([]float64, n), make([]bool, n)
	c.weight, c.inLogs = make([]float64, r), make([]bool, r)
	c.dense = make([]float64, n)
	for j := range n + r {
		lo, up := lp.Bounds(j)
		if j < n {
			lo, up = m.lo[j], m.up[j]
		}
		c.lo, c.up = append(c.lo, lo), append(c.up, up)
		c.x = append(c.x, lp.X(j))
	}
	return c
}

// row calls yield for the entries of LP row i.
func (c *cutter) row(i int, yield func(j int32, v float64)) {
	if i < c.m.m {
		for k := c.m.rstart[i]; k < c.m.rstart[i+1]; k++ {
			yield(c.m.rindex[k], c.m.rvalue[k])
		}
		return
	}
	r := c.rows[i-c.m.m]
	for k, j := range r.Index {
		yield(j, r.Value[k])
	}
}

func (c *cutter) clear() {
	for _, j := range c.cols {
		c.coef[j], c.inCols[j] = 0, false
	}
	for _, i := range c.logicals {
		c.weight[i], c.inLogs[i] = 0, false
	}
	c.cols, c.logicals, c.used = c.cols[:0], c.logicals[:0], c.used[:0]
}

// add puts weight times row i into the aggregate.
func (c *cutter) add(i int, weight float64) {
	if !c.inLogs[i] {
		c.inLogs[i] = true
		c.logicals = append(c.logicals, int32(i))
	}
	c.weight[i] += weight
	c.row(i, func(j int32, v float64) {
		if !c.inCols[j] {
			c.inCols[j] = true
			c.cols = append(c.cols, j)
		}
		c.coef[j] += weight * v
	})
}

// find returns the best cuts at the current point, at most limit.
func (c *cutter) find(limit int) []cut {
	var found []cut
	keep := func(k cut, ok bool) {
		if ok {
			found = append(found, k)
		}
	}
	for i := range c.lp.Rows() {
		c.clear()
		c.add(i, 1)
		c.used = append(c.used, int32(i))
		for depth := 0; ; depth++ {
			before := len(found)
			keep(c.round(1))
			keep(c.round(-1))
			if len(found) > before || depth+1 == aggregateMax || !c.extend() {
				break
			}
		}
	}
	for i := range c.lp.Rows() {
		j := c.lp.BasicIn(i)
		if j >= c.m.n || !c.m.integer[j] || math.Abs(c.x[j]-math.Round(c.x[j])) < fractionMargin {
			continue
		}
		c.clear()
		c.lp.RowMultipliers(i, func(row int, w float64) {
			if math.Abs(w) > 1e-9 {
				c.add(row, w)
			}
		})
		keep(c.round(1))
		keep(c.round(-1))
	}
	slices.SortStableFunc(found, func(a, b cut) int { return cmp.Compare(b.distance, a.distance) })
	return c.spread(found, limit)
}

// spread takes cuts from the deepest down, leaving out those nearly parallel to one taken.
func (c *cutter) spread(found []cut, limit int) []cut {
	var chosen []cut
	for _, k := range found {
		if len(chosen) == limit {
			break
		}
		for t, j := range k.index {
			c.dense[j] = k.value[t]
		}
		apart := true
		for _, o := range chosen {
			dot := 0.0
			for t, j := range o.index {
				dot += o.value[t] * c.dense[j]
			}
			if dot > cutParallel*o.norm*k.norm {
				apart = false
				break
			}
		}
		for _, j := range k.index {
			c.dense[j] = 0
		}
		if apart {
			chosen = append(chosen, k)
		}
	}
	return chosen
}

// extend eliminates the continuous column that is furthest inside its bounds with another row that has it.
func (c *cutter) extend() bool {
	bestCol, best := int32(-1), 1e-6
	for _, j := range c.cols {
		if c.m.integer[j] || math.Abs(c.coef[j]) < 1e-9 {
			continue
		}
		if d := min(c.x[j]-c.lo[j], c.up[j]-c.x[j]); d > best {
			if c.nextRow(j) >= 0 {
				best, bestCol = d, j
			}
		}
	}
	if bestCol < 0 {
		return false
	}
	i := c.nextRow(bestCol)
	c.used = append(c.used, int32(i))
	a := 0.0
	c.row(i, func(j int32, v float64) {
		if j == bestCol {
			a = v
		}
	})
	c.add(i, -c.coef[bestCol]/a)
	c.coef[bestCol] = 0
	return true
}

// nextRow returns the row of the model, not used yet, that has column j and the least slack; equations first.
func (c *cutter) nextRow(j int32) int {
	best, row := math.Inf(1), -1
	for k := c.m.cstart[j]; k < c.m.cstart[j+1]; k++ {
		i := c.m.cindex[k]
		if slices.Contains(c.used, i) || math.Abs(c.m.rvalue[c.m.centry[k]]) < 1e-6 {
			continue
		}
		z := c.m.n + int(i)
		slack := min(c.x[z]-c.lo[z], c.up[z]-c.x[z])
		if c.lo[z] == c.up[z] {
			slack = -1
		}
		if slack < best {
			best, row = slack, int(i)
		}
	}
	if best > 1e-6 {
		return -1
	}
	return row
}

// round applies mixed-integer rounding to the aggregate times sign, read as ≤, and returns the most violated cut found.
func (c *cutter) round(sign float64) (cut, bool) {
	terms := c.terms[:0]
	side := 0.0
	fractional := false
	put := func(j int32, a float64, integer bool) bool {
		if math.Abs(a) < 1e-11 {
			return true
		}
		lo, up, x := c.lo[j], c.up[j], c.x[j]
		toLo, toUp := x-lo, up-x
		if math.IsInf(toLo, 1) && math.IsInf(toUp, 1) {
			return false
		}
		t := term{j: j, a: a, span: up - lo, integer: integer}
		if toLo <= toUp {
			side -= a * lo
			t.t = max(toLo, 0)
		} else {
			side -= a * up
			t.t, t.fromUp = max(toUp, 0), true
			t.a = -a
		}
		if integer && t.t > 1e-6 && t.span > 0 {
			fractional = true
		}
		if t.span > 0 {
			terms = append(terms, t)
		}
		return true
	}
	ok := true
	for _, j := range c.cols {
		ok = ok && put(j, sign*c.coef[j], c.m.integer[j])
	}
	for _, i := range c.logicals {
		ok = ok && put(int32(c.m.n)+i, sign*c.weight[i], false)
	}
	c.terms = terms
	if !ok || !fractional || len(terms) > c.m.n/2+200 {
		return cut{}, false
	}

	// Divisors: the coefficients of integer terms inside their bounds, each once.
	var tried []float64
	bestD, best := 0.0, 0.0
	for _, t := range terms {
		d := math.Abs(t.a)
		if !t.integer || t.t < 1e-6 || d < 1e-7 || len(tried) >= 12 || slices.Contains(tried, d) {
			continue
		}
		tried = append(tried, d)
		if v := violation(terms, side, d); v > best {
			best, bestD = v, d
		}
	}
	if bestD == 0 {
		return cut{}, false
	}
	for _, k := range []float64{2, 4, 8} {
		if v := violation(terms, side, bestD/k); v > best {
			best, bestD = v, bestD/k
		}
	}
	// Complement integer terms inside their bounds, one after the other, where it helps.
	for k := range terms {
		t := &terms[k]
		if !t.integer || t.t < 1e-6 || math.IsInf(t.span, 1) {
			continue
		}
		old, oldSide := *t, side
		side -= t.a * t.span
		t.a, t.t, t.fromUp = -t.a, t.span-t.t, !t.fromUp
		if v := violation(terms, side, bestD); v > best {
			best = v
		} else {
			*t, side = old, oldSide
		}
	}
	return c.build(terms, side, bestD)
}

// violation returns how far the rounding with divisor d cuts off the point, over the length of the cut; 0 if it does
// not.
func violation(terms []term, side, d float64) float64 {
	b := side / d
	f0 := b - math.Floor(b)
	if f0 < fractionMargin || f0 > 1-fractionMargin {
		return 0
	}
	act, norm := 0.0, 0.0
	for i := range terms {
		t := &terms[i]
		g := rounded(t, d, f0)
		act += g * t.t
		norm += g * g
	}
	if v := act - math.Floor(b); v > 0 && norm > 0 {
		return v / math.Sqrt(norm)
	}
	return 0
}

// rounded is the coefficient that rounding gives a term: for integers floor(a/d) + max(0, f-f0)/(1-f0) with f the
// fraction of a/d, for others min(0, a/d)/(1-f0).
func rounded(t *term, d, f0 float64) float64 {
	a := t.a / d
	if !t.integer {
		return min(0, a) / (1 - f0)
	}
	down := math.Floor(a + 1e-10)
	return down + max(0, a-down-f0)/(1-f0)
}

// build writes the cut in structural columns.
func (c *cutter) build(terms []term, side, d float64) (cut, bool) {
	b := side / d
	f0 := b - math.Floor(b)
	rhs := math.Floor(b)
	var touched []int32
	put := func(j int32, v float64) {
		if c.dense[j] == 0 {
			touched = append(touched, j)
			if v == 0 {
				return
			}
		}
		c.dense[j] += v
		if c.dense[j] == 0 {
			c.dense[j] = 1e-100
		}
	}
	for i := range terms {
		t := &terms[i]
		g := rounded(t, d, f0)
		if g == 0 {
			continue
		}
		if t.fromUp { // t = up - x
			rhs -= g * c.up[t.j]
			g = -g
		} else {
			rhs += g * c.lo[t.j]
		}
		if int(t.j) < c.m.n {
			put(t.j, g)
		} else { // z = -(row)
			c.row(int(t.j)-c.m.n, func(j int32, v float64) { put(j, -g*v) })
		}
	}
	k := cut{side: rhs}
	largest := 0.0
	for _, j := range touched {
		largest = max(largest, math.Abs(c.dense[j]))
	}
	act, ok := 0.0, largest > 0
	slices.Sort(touched)
	for _, j := range slices.Compact(touched) {
		v := c.dense[j]
		c.dense[j] = 0
		if math.Abs(v) < largest/cutSpread || math.Abs(v) < 1e-9 {
			// Too small to keep: put it at the bound where it helps the cut least.
			if at := c.lo[j]; v > 0 {
				k.side -= v * at
			} else {
				k.side -= v * c.up[j]
			}
			continue
		}
		k.index, k.value = append(k.index, j), append(k.value, v)
		act += v * c.x[j]
		k.norm += v * v
	}
	k.norm = math.Sqrt(k.norm)
	if math.IsInf(k.side, 0) || math.IsNaN(k.side) || len(k.index) == 0 {
		return cut{}, false
	}
	k.side += 1e-9 * (1 + math.Abs(k.side)) // keeps whole points that lie on the cut, in spite of rounding errors
	k.distance = (act - k.side) / k.norm
	return k, ok && k.distance > cutViolation && len(k.index) < c.m.n/3+100
}
