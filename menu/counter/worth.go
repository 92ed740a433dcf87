package counter

// Worth up to: at which price a thing stops belonging to the best set, and from which down one more of it does.

import (
	"context"
	"math"
)

// alongside searches what the prices hang on: sets with less of each thing than the best has, and sets with one more of it. What is
// found may be better than the best, which is given.
func (s *Search) alongside(ctx context.Context, x *purchase) *purchase {
	if s.whole {
		return x
	}
	money := s.o.Spend
	for range 3 {
		for n := range s.o.Offers {
			more := s.further(n, x.at[n])
			for _, allowed := range []func(*purchase) bool{
				func(p *purchase) bool { return p.at[n] < x.at[n]-nearly },
				func(p *purchase) bool { return more > 0 && p.at[n] >= more-nearly },
			} {
				var from *purchase
				for _, p := range s.within {
					if s.fits(p, money) && allowed(p) && (from == nil || s.beats(p, from)) {
						from = p
					}
				}
				if from == nil {
					from = s.forced(x, n, more, money)
				}
				if from != nil {
					s.climb(ctx, from, money, besides, allowed)
				}
			}
			s.tell(0.9 + 0.1*float64(n+1)/float64(len(s.o.Offers)))
		}
		was := x
		if x = s.best(money); x == was || ctx.Err() != nil {
			break
		}
	}
	return x
}

// forced is a set with so much of one thing, with less of the dearest others where there is no money for it. Nil where that can't be.
func (s *Search) forced(x *purchase, n int, amount, money float64) *purchase {
	if amount <= 0 {
		return nil
	}
	y := set(x.rungs, n, floor(s.ladders[n], amount))
	for o := range y {
		if over := s.price(y) - money; o != n && over > cent {
			if z := s.instead(y, o, over); z != nil {
				y = z
			} else {
				y[o] = 0
			}
		}
	}
	if p := s.try(y); s.fits(p, money) {
		return p
	}
	return nil
}

// further is the amount of an offer with one piece, one pack or one cut more; 0 where there is no more.
func (s *Search) further(n int, at float64) float64 {
	o, l := s.o.Offers[n], s.ladders[n]
	r := floor(l, at)
	if o.Pieces != nil {
		left := math.Inf(1)
		for k, piece := range o.Pieces {
			taken := false
			for _, p := range l[r].pieces {
				taken = taken || p == k
			}
			if !taken {
				left = min(left, piece)
			}
		}
		if math.IsInf(left, 1) {
			return 0
		}
		if up := floor(l, at+left); up > r {
			return l[up].amount
		}
		return 0
	}
	if up := r + max(1, (len(l)-1)/24); o.Pack == 0 && up < len(l) {
		return l[up].amount
	}
	if r+1 < len(l) {
		return l[r+1].amount
	}
	return 0
}

// upTo is the highest price of an offer at which the best set holds at least so much of it; 0 where none does.
func (s *Search) upTo(n int, amount float64) float64 {
	if amount <= 0 {
		return 0
	}
	type set struct{ at, costs, counts float64 } // what it costs and counts but for this offer
	was := s.o.Offers[n].Price
	var sets []set
	for _, p := range s.within {
		if s.weighs(p) <= s.carries() {
			sets = append(sets, set{p.at[n], p.costs - p.at[n]*was, p.counts + p.at[n]*was})
		}
	}
	holds := func(price float64) bool { // as best chooses
		at, costs, counts := 0.0, 0.0, math.Inf(-1)
		for _, x := range sets {
			c, v := x.costs+x.at*price, x.counts-x.at*price
			if c <= s.o.Spend+cent && (v > counts+better || v > counts-better && c < costs-cent) {
				at, costs, counts = x.at, c, v
			}
		}
		return at >= amount-nearly
	}
	low, high := 0.0, was
	if holds(was) {
		for low = was; high < 1000*was && holds(high); high *= 2 {
			low = high
		}
	} else if !holds(was / 1000) {
		return 0
	}
	for range 30 {
		if mid := (low + high) / 2; holds(mid) {
			low = mid
		} else {
			high = mid
		}
	}
	return low
}
