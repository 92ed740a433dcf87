// What the caller may ask for and what it gets back.

package solve

import (
	"math"
	"time"

	"kettletree/menu/plan/solve/simplex"
)

// Status is what the model says; it is apart from the error, which says that the call did not work.
type Status uint8

// What the model says.
const (
	Optimal    Status = iota // proven within Options.Gap
	Infeasible               // no point satisfies all rows, bounds and integers
	Unbounded                // the objective improves without end (with integers: that of the relaxation does)
	Limit                    // a limit or the context ended the search; X, if any, is the best found
)

func (s Status) String() string {
	return [...]string{"optimal", "infeasible", "unbounded", "limit"}[s]
}

// Options steer a solve. The zero value solves to proof without limits. Limits on iterations and nodes count work, so
// they give the same answer on any machine; Time does not.
type Options struct {
	Iterations int           // simplex iterations in all, though the first plan may take more; 0: no limit
	Nodes      int           // nodes of the search trees in all; 0: no limit
	Time       time.Duration // 0: no limit
	Gap        float64       // relative gap |objective-bound| / |objective| at which to stop; 0: 1e-6
	Progress   func(Progress)
	// Brief looks for a good point, for a caller who needs no good bound: without cutting planes, until a turn of the search finds none better.
	Brief bool
	// Enough tells whether a bound is good enough to end with the best that was found, be the gap to that greater than Gap: for a caller
	// who knows a better answer than the problem has. It may go by nothing else. Nil: none is.
	Enough func(iterations int, bound float64) bool
	// Starts are points to begin with, by column: integers are rounded and the rest worked out again; where that does not
	// hold, so are the integers of the last group.
	Starts [][]float64
	Hints  []Hint // one per column, or none
	// Warm is, of a linear program, an optimum of one that differs in bounds, sides and costs only, to begin from.
	Warm     *Solution
	Ranging  bool // of a linear program: fill Solution.Ranges
	Conflict bool // of an infeasible problem: fill Solution.Conflict
}

// Hint tells the search what a column stands for. Columns of a lower Group are decided first: set-ups before amounts.
// When and What tag it for neighbourhoods: columns of nearby When, or of a few What, are searched again together. Tags
// below zero mean none.
type Hint struct{ Group, When, What int }

// Progress is one report of a running search.
type Progress struct {
	Objective  float64 // of the best found; NaN if none yet
	Bound      float64
	Gap        float64 // +Inf if none found yet
	Iterations int
	Nodes      int
}

// Solution is the answer. X and Objective are set when a feasible point was found: X != nil.
type Solution struct {
	Status    Status
	Objective float64
	Bound     float64 // no solution is better than this
	Gap       float64 // |Objective-Bound| / |Objective|; 0 if they differ by less than 1e-6; +Inf without a solution
	X         []float64
	// Duals and ReducedCosts are those of the linear program, or of the one with integers fixed at X. A dual is the
	// change of the objective per unit of the row's side that binds; a reduced cost, per unit of the column. Both are
	// nil where the program with integers fixed met numerical trouble.
	Duals, ReducedCosts []float64
	Iterations, Nodes   int
	Ranges              *Ranges
	Conflict            *Conflict

	basis simplex.Basis // of a linear program
}

// absoluteGap: a smaller difference between objective and bound is none. Around an objective of zero, where the
// relative gap means nothing, rounding errors of terms that cancel would else keep a search going for ever.
const absoluteGap = 1e-6

func gap(objective, bound float64) float64 {
	if objective == bound || math.Abs(objective-bound) < absoluteGap {
		return 0
	}
	return math.Abs(objective-bound) / max(math.Abs(objective), 1e-9)
}
