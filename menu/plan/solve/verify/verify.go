// Package verify checks solutions against the problem as stated. It shares no code with the solver beyond the types:
// every figure is worked out again from rows and columns, with compensated sums.
package verify

import (
	"errors"
	"fmt"
	"math"

	"kettletree/menu/plan/solve"
)

// Tolerance guards rows, bounds and the objective: a violation up to this times the size of the terms is rounding.
// Whole numbers must be exactly whole.
const Tolerance = 1e-8

// boundTolerance is how far, relative to the objective, a bound may lie on the wrong side of it: bounds come from
// relaxations solved to 1e-7.
const boundTolerance = 1e-6

// dualTolerance guards the signs of duals and reduced costs, relative to the costs.
const dualTolerance = 1e-6

// sum adds with Neumaier's compensation, so that the check is sharper than what it checks.
type sum struct{ s, c, size float64 }

func (a *sum) add(v float64) {
	t := a.s + v
	if math.Abs(a.s) >= math.Abs(v) {
		a.c += a.s - t + v
	} else {
		a.c += v - t + a.s
	}
	a.s = t
	a.size += math.Abs(v)
}

func (a *sum) value() float64 { return a.s + a.c }

// Point checks that x satisfies all rows, bounds and integers of p and that its objective is objective. It reports
// every violation.
func Point(p solve.Problem, x []float64, objective float64) error {
	if len(x) != len(p.Columns) {
		return fmt.Errorf("the solution has %d values for %d columns", len(x), len(p.Columns))
	}
	var errs []error
	var cost sum
	cost.add(p.Constant)
	for j, c := range p.Columns {
		slack := Tolerance * (1 + math.Abs(x[j]))
		if math.IsNaN(x[j]) || math.IsInf(x[j], 0) {
			errs = append(errs, fmt.Errorf("column %q is %v", c.Name, x[j]))
			continue
		}
		if x[j] < c.Lower-slack || x[j] > c.Upper+slack {
			errs = append(errs,
				fmt.Errorf("column %q is %v, outside its bounds %v and %v", c.Name, x[j], c.Lower, c.Upper))
		}
		if c.Integer && x[j] != math.Round(x[j]) {
			errs = append(errs, fmt.Errorf("column %q is %v, not whole", c.Name, x[j]))
		}
		cost.add(c.Cost * x[j])
	}
	for _, r := range p.Rows {
		var a sum
		for _, e := range r.Entries {
			a.add(e.Value * x[e.Col])
		}
		slack := Tolerance * (1 + a.size)
		if v := a.value(); v < r.Lower-slack || v > r.Upper+slack {
			errs = append(errs, fmt.Errorf("row %q is %v, outside its bounds %v and %v", r.Name, v, r.Lower, r.Upper))
		}
	}
	if v := cost.value(); math.Abs(v-objective) > Tolerance*(1+cost.size) {
		errs = append(errs, fmt.Errorf("objective is stated as %v, but comes to %v", objective, v))
	}
	return errors.Join(errs...)
}

// Dual checks the optimality certificate of a linear program (or, with integers fixed at x, of that program): duals and
// reduced costs belong together, no reduced cost or dual asks for a move that is open, and the dual objective equals
// the primal one (Dantzig 1963, chapter 6: duality and complementary slackness).
func Dual(p solve.Problem, x, duals, reduced []float64, objective float64) error {
	if len(x) != len(p.Columns) || len(reduced) != len(p.Columns) || len(duals) != len(p.Rows) {
		return fmt.Errorf("sizes do not fit: %d values, %d reduced costs, %d duals for %d columns and %d rows",
			len(x), len(reduced), len(duals), len(p.Columns), len(p.Rows))
	}
	sign := 1.0
	if p.Sense == solve.Maximize {
		sign = -1
	}
	var errs []error
	left := make([]sum, len(p.Columns))
	for j, c := range p.Columns {
		left[j].add(c.Cost)
	}
	var bound sum
	bound.add(p.Constant)
	// place adds what a multiplier v contributes to the dual objective: v times the side it presses against.
	place := func(what, name string, v, lo, up, size float64) {
		side := lo
		if sign*v < 0 {
			side = up
		}
		if !math.IsInf(side, 0) {
			bound.add(v * side)
			return
		}
		if math.Abs(v) > dualTolerance*(1+size) {
			errs = append(errs, fmt.Errorf("%s %q: %v presses against a side that is not there", what, name, v))
		}
	}
	for i, r := range p.Rows {
		for _, e := range r.Entries {
			left[e.Col].add(-duals[i] * e.Value)
		}
		place("dual of row", r.Name, duals[i], r.Lower, r.Upper, math.Abs(duals[i]))
	}
	for j, c := range p.Columns {
		if d := left[j].value(); math.Abs(d-reduced[j]) > dualTolerance*(1+left[j].size) {
			errs = append(errs,
				fmt.Errorf("reduced cost of %q is stated as %v, but comes to %v", c.Name, reduced[j], d))
		}
		lo, up := c.Lower, c.Upper
		if c.Integer {
			lo, up = x[j], x[j]
		}
		place("reduced cost of", c.Name, reduced[j], lo, up, left[j].size)
	}
	if v := bound.value(); math.Abs(v-objective) > dualTolerance*(1+bound.size) {
		errs = append(errs, fmt.Errorf("the dual objective is %v, the primal one %v", v, objective))
	}
	return errors.Join(errs...)
}

// Solution checks whatever a solution claims: its point, its certificate, and that objective and bound are on the right
// sides of each other.
func Solution(p solve.Problem, s solve.Solution) error {
	if s.X == nil {
		if s.Status == solve.Optimal {
			return errors.New("optimal without a point")
		}
		return nil
	}
	errs := []error{Point(p, s.X, s.Objective)}
	if s.Duals != nil {
		errs = append(errs, Dual(p, s.X, s.Duals, s.ReducedCosts, s.Objective))
	}
	better := s.Bound - s.Objective
	if p.Sense == solve.Minimize {
		better = -better
	}
	if better < -boundTolerance*(1+math.Abs(s.Objective)) {
		errs = append(errs, fmt.Errorf("the bound %v is passed by the objective %v", s.Bound, s.Objective))
	}
	return errors.Join(errs...)
}
