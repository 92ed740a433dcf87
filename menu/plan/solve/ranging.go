// Ranging: how far a cost or a right-hand side may move before the basis of a linear program changes.
//
// Source: Hillier & Lieberman, "Introduction to operations research", chapters 4 and 7, whose Wyndor example is a test.
// At a degenerate optimum the ranges belong to the basis found and may be narrower than those of the point.

package solve

import (
	"kettletree/menu/plan/solve/simplex"
)

// Ranges of a linear program, by column and by row: lower and upper end.
type Ranges struct {
	Costs [][2]float64 // the point stays optimal
	Sides [][2]float64 // the duals stay the same; of the side that binds
}

func (s *search) ranges(lp *simplex.LP) *Ranges {
	r := &Ranges{}
	for j := range s.m.n {
		lo, up := lp.CostRange(j)
		if s.m.sign < 0 {
			lo, up = -up, -lo
		}
		r.Costs = append(r.Costs, [2]float64{lo, up})
	}
	for i := range s.m.m {
		lo, up := lp.SideRange(i)
		r.Sides = append(r.Sides, [2]float64{lo, up})
	}
	return r
}
