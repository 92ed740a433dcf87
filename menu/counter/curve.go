package counter

// The curve: what each sum of money brings, and where more stops paying.

import "math"

// Sum is a sum of money, and what the best set within it brings.
type Sum struct {
	Spend  float64 `json:"spend"`  // at most
	Costs  float64 `json:"costs"`  // of the best set within that
	Brings float64 `json:"brings"` // contribution with the days after beyond that with nothing bought here, after it is paid for
	More   float64 `json:"more"`   // of that, beyond the sum before
	Counts float64 `json:"counts"` // by which sets are chosen: what it brings, less what goes off the cards; it never falls
}

// mostPoints bounds a curve.
const mostPoints = 41

// Fifty is the money by which the curve goes up: 50, or what gives at most forty steps to twice the money in hand, and no fewer than four.
func Fifty(spend float64) float64 {
	step := 50.0
	for 2*spend/step > mostPoints-1 {
		step *= 2
	}
	for 2*spend/step < 8 {
		step /= 2
	}
	return step
}

// sums are the sums of the curve.
func (s *Search) sums() (list []float64) {
	step := Fifty(s.o.Spend)
	for k := 0; float64(k)*step < 2*s.o.Spend+step-cent; k++ {
		list = append(list, math.Min(float64(k)*step, 2*s.o.Spend))
	}
	return list
}

func (s *Search) curve() (points []Sum, stops float64) {
	none := s.best(0)
	was := 0.0
	for _, money := range s.sums() {
		p := s.best(money)
		brings := s.brings(p, none)
		points = append(points, Sum{Spend: money, Costs: p.costs, Brings: brings, More: brings - was, Counts: p.counts - none.counts})
		was = brings
	}
	return points, s.best(2 * s.o.Spend).costs
}

// brings is what a purchase earns, after it is paid for, beyond another.
func (s *Search) brings(p, other *purchase) float64 {
	return (p.earns - p.costs) - (other.earns - other.costs)
}
