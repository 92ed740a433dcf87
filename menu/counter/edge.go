package counter

// The edge of what was looked at: of each amount of a thing, the sets that nothing cheaper beats, whatever that thing costs.

import (
	"cmp"
	"math"
	"slices"
)

// edge is a set as it is but for one offer: what the others cost at tonight's prices, and what it counts when they are paid. So it holds at any
// price of that one.
type edge struct {
	rest, counts float64
	of           *purchase
}

// edges are those by offer and rung, the cheapest first: each counts more than all before it.
type edges struct {
	prices []float64 // tonight's, by offer
	list   [][][]edge
}

// alongEdges lays them out for what was looked at so far, unless they are; what comes after is put in by [Search.try].
func (s *Search) alongEdges() {
	if s.edges != nil {
		return
	}
	s.edges = &edges{list: make([][][]edge, len(s.ladders))}
	for n, o := range s.o.Offers {
		s.edges.prices = append(s.edges.prices, o.Price)
		s.edges.list[n] = make([][]edge, len(s.ladders[n]))
	}
	for _, p := range s.within {
		s.onEdges(p)
	}
}

// onEdges puts a purchase where nothing as cheap counts as much.
func (s *Search) onEdges(p *purchase) {
	if p.weighs > s.carries() {
		return
	}
	costs := 0.0
	for n, at := range p.at {
		costs += at * s.edges.prices[n]
	}
	for n, at := range p.at {
		e := edge{costs - at*s.edges.prices[n], s.gross(p) - costs + at*s.edges.prices[n], p}
		list := &s.edges.list[n][p.rungs[n]]
		k, _ := slices.BinarySearchFunc(*list, e.rest, func(x edge, rest float64) int { return cmp.Compare(x.rest, rest) })
		if k > 0 && (*list)[k-1].counts >= e.counts || k < len(*list) && (*list)[k].rest == e.rest && (*list)[k].counts >= e.counts {
			continue
		}
		to := k
		for to < len(*list) && (*list)[to].counts <= e.counts {
			to++
		}
		*list = slices.Replace(*list, k, to, e)
	}
}

// bestAt is the best set for the money in hand, by the cards, at a price of one offer, among those with an amount of it that is allowed; nil where there is none.
func (s *Search) bestAt(n int, price float64, allowed func(amount float64) bool) (b *purchase) {
	s.alongEdges()
	most := math.Inf(-1)
	for r, list := range s.edges.list[n] {
		amount := s.ladders[n][r].amount
		if len(list) == 0 || !allowed(amount) {
			continue
		}
		left := s.o.Spend + cent - amount*price
		k, _ := slices.BinarySearchFunc(list, left, func(x edge, left float64) int {
			if x.rest <= left {
				return -1
			}
			return 1
		})
		if k > 0 && list[k-1].counts-amount*price > most+better {
			b, most = list[k-1].of, list[k-1].counts-amount*price
		}
	}
	return b
}

// priced does something at another price of an offer. What is looked at meanwhile is charged that; all else keeps what it costs tonight, so [Search.best] must
// not be asked.
func (s *Search) priced(n int, price float64, do func()) {
	s.alongEdges()
	o := &s.o.Offers[n]
	was := o.Price
	o.Price, s.trying = price, true
	do()
	o.Price, s.trying = was, false
	for _, p := range s.strays {
		s.charge(p)
	}
	s.strays = s.strays[:0]
}
