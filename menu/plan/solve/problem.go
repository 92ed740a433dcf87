// The problem as the caller states it.

package solve

import (
	"errors"
	"fmt"
	"math"
)

// Sense tells which way the objective is driven.
type Sense uint8

// Senses of the objective.
const (
	Minimize Sense = iota
	Maximize
)

// Column is one variable. A missing bound is math.Inf(-1) or math.Inf(1); the zero value is fixed at zero.
type Column struct {
	Name         string
	Lower, Upper float64
	Cost         float64 // objective per unit
	Integer      bool    // whole numbers only
}

// Entry is one coefficient of a row.
type Entry struct {
	Col   int
	Value float64
}

// Row is Lower ≤ sum of entries ≤ Upper; a missing side is math.Inf(-1) or math.Inf(1).
type Row struct {
	Name         string
	Lower, Upper float64
	Entries      []Entry
}

// Problem is a mixed-integer linear program. Build it with [Problem.AddColumn] and [Problem.AddRow], or as a literal.
type Problem struct {
	Name     string
	Sense    Sense
	Constant float64 // added to the objective
	Columns  []Column
	Rows     []Row
}

// AddColumn appends a column and returns its index.
func (p *Problem) AddColumn(c Column) int {
	p.Columns = append(p.Columns, c)
	return len(p.Columns) - 1
}

// AddRow appends the row lower ≤ entries ≤ upper and returns its index.
func (p *Problem) AddRow(name string, lower, upper float64, entries ...Entry) int {
	p.Rows = append(p.Rows, Row{name, lower, upper, entries})
	return len(p.Rows) - 1
}

// Largest is the size up to which costs, coefficients and the constant can be worked with.
const Largest = 1e15

// Check reports every number that is not usable and every entry that names no column or names one twice in its row.
// Bounds that cross are no error: the problem is then infeasible.
func (p *Problem) Check() error {
	var errs []error
	report := func(format string, args ...any) { errs = append(errs, fmt.Errorf(format, args...)) }
	finite := func(v float64) bool { return math.Abs(v) <= Largest }
	if !finite(p.Constant) {
		report("objective constant is %v: want a number of at most 1e15 in size", p.Constant)
	}
	for j, c := range p.Columns {
		if !finite(c.Cost) {
			report("column %d %q: cost is %v: want a number of at most 1e15 in size", j, c.Name, c.Cost)
		}
		if math.IsNaN(c.Lower) || math.IsNaN(c.Upper) || math.IsInf(c.Lower, 1) || math.IsInf(c.Upper, -1) {
			report("column %d %q: bounds are %v and %v: want numbers, -Inf below or +Inf above",
				j, c.Name, c.Lower, c.Upper)
		}
	}
	last := make([]int, len(p.Columns)) // 1 + the last row that has an entry in the column
	for i, r := range p.Rows {
		if math.IsNaN(r.Lower) || math.IsNaN(r.Upper) || math.IsInf(r.Lower, 1) || math.IsInf(r.Upper, -1) {
			report("row %d %q: bounds are %v and %v: want numbers, -Inf below or +Inf above",
				i, r.Name, r.Lower, r.Upper)
		}
		for _, e := range r.Entries {
			switch {
			case e.Col < 0 || e.Col >= len(p.Columns):
				report("row %d %q: entry for column %d: there are %d columns", i, r.Name, e.Col, len(p.Columns))
			case !finite(e.Value):
				report("row %d %q: coefficient of %q is %v: want a number of at most 1e15 in size",
					i, r.Name, p.Columns[e.Col].Name, e.Value)
			case last[e.Col] == i+1:
				report("row %d %q: two entries for column %q: add them up", i, r.Name, p.Columns[e.Col].Name)
			default:
				last[e.Col] = i + 1
			}
		}
	}
	return errors.Join(errs...)
}
