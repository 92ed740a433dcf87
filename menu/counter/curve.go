package counter

// The curve: what each sum of money brings, and where more stops paying.

import "math"

// Sum is a sum of money, and what the best set within it brings.
type Sum struct {
	Spend  float64 `json:"spend"`     // at most
	Costs  float64 `json:"costs"`     // of the set within that by which most is earned, off the cards where they allow it
	Brings float64 `json:"brings"`    // contribution with the days after beyond that with nothing bought here and the batches as they stand, after it is paid for; it never falls
	More   float64 `json:"more"`      // of that, beyond the sum before
	Off    bool    `json:"stand_ins"` // that set goes further off the cards than need be: things are left out, or others take their place
	ByCard float64 `json:"by_card"`   // what the best set that keeps to the cards brings within that sum
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
	none, was := s.none(), 0.0
	for _, money := range s.sums() {
		p := s.mostOf(money)
		x := Sum{Spend: money, Costs: p.costs, Brings: s.brings(p, none), ByCard: s.brings(s.best(money), none)}
		x.More, x.Off = x.Brings-was, x.Brings > x.ByCard+cent
		if points == nil {
			x.More = 0
		}
		points, was = append(points, x), x.Brings
	}
	return points, s.best(2 * s.o.Spend).costs
}

// none is nothing bought, with the batches as they stand.
func (s *Search) none() *purchase { return s.standing(make([]int, len(s.o.Offers))) }

// standing is a purchase with the batches as they stand.
func (s *Search) standing(rungs []int) *purchase {
	defer s.cook(s.way)
	s.cook(0)
	return s.try(rungs)
}

// brings is what a purchase earns, after it is paid for, beyond another.
func (s *Search) brings(p, other *purchase) float64 {
	return (p.earns - p.costs) - (other.earns - other.costs)
}
