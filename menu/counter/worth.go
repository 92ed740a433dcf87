package counter

// Worth up to: at which price a thing stops belonging to the best set, and from which down one more of it does.

import (
	"cmp"
	"context"
	"math"
	"slices"
)

// alongside searches what the prices hang on: sets with less of each thing than the best has, and sets with one more of it. What is
// found may be better than the best, which is given.
func (s *Search) alongside(ctx context.Context, x *purchase) *purchase {
	if s.whole {
		return x
	}
	money := s.o.Spend
	defer s.cook(s.way)
	for range 3 {
		s.cook(x.way)
		for n := range s.o.Offers {
			more := s.further(n, x.at[n])
			for _, allowed := range []func(*purchase) bool{
				func(p *purchase) bool { return p.at[n] < x.at[n]-nearly },
				func(p *purchase) bool { return more > 0 && p.at[n] > x.at[n]+nearly },
			} {
				from := s.bestOf(money, allowed)
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
	sketched := s.inHalves()
	for n := range s.o.Offers {
		s.dearer(ctx, x, n, sketched)
		s.cheaper(ctx, x, n)
	}
	return s.best(money)
}

// mostTurns is how often a price is looked for again among the sets that were found at the last.
const mostTurns = 3

// dearer searches at the price up to which as much of an offer as the best holds belongs there, as far as was found: a little over it for sets
// that hold so much, a little under it for sets that hold less, until the price stays.
func (s *Search) dearer(ctx context.Context, x *purchase, n int, sketched []halves) {
	was, enough := s.o.Offers[n].Price, x.at[n]-nearly
	if x.at[n] == 0 {
		return
	}
	price := s.upTo(n, x.at[n])
	for range mostTurns {
		if price <= was || price >= 100*was || ctx.Err() != nil {
			break
		}
		for _, side := range []struct {
			price   float64
			allowed func(amount float64) bool
		}{
			{price * (1 + sliver), func(amount float64) bool { return amount >= enough }},
			{price * (1 - sliver), func(amount float64) bool { return amount < enough }},
		} {
			s.priced(n, side.price, func() {
				for k := range sketched {
					s.byHalves(&sketched[k], n, side.allowed)
				}
				s.climbAt(ctx, n, side.allowed)
			})
		}
		last := price
		if price = s.upTo(n, x.at[n]); math.Abs(price-last) <= sliver*last {
			break
		}
	}
}

// climbAt goes up from the best set with an amount of an offer that is allowed, at the price that it has now.
func (s *Search) climbAt(ctx context.Context, n int, allowed func(amount float64) bool) {
	if from := s.bestAt(n, s.o.Offers[n].Price, allowed); from != nil {
		defer s.cook(s.way)
		s.cook(from.way)
		s.climb(ctx, s.try(from.rungs), s.o.Spend, aroundOnCurve, func(p *purchase) bool { return allowed(p.at[n]) })
	}
}

// cheaper searches at the price from which down more of an offer than the best holds belongs there, as far as was found: a set with more may
// belong there at a higher one.
func (s *Search) cheaper(ctx context.Context, x *purchase, n int) {
	if price, _ := s.moreAt(n, x.at[n]); price > 0 && price < s.o.Offers[n].Price {
		s.priced(n, price, func() { s.climbAt(ctx, n, func(amount float64) bool { return amount > x.at[n]+nearly }) })
	}
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

// region is the prices above low, up to high, at which a set with enough of an offer is the best; amount is what it holds at high.
type region struct{ low, high, amount float64 }

// sliver is which part of a price no counter tells apart: of so little is what only rounding opens or leaves shut.
const sliver = 2e-4

// regions are the prices of an offer at which the best set holds at least so much of it, the highest first, all other prices being what they are.
//
// At a price of p, a set that costs c and counts v but for the offer, and holds a of it, can be paid for where c + a p is no more than the
// money in hand, and counts v - a p. Between the prices at which a set begins to be affordable nothing but p changes, and whatever
// holds more of the offer loses more by a higher price than whatever holds less: so from one of those prices to the next there is
// one price at most up to which it belongs there.
func (s *Search) regions(n int, amount float64) (list []region) {
	type set struct{ at, up, counts float64 } // up: the highest price at which it can be paid for
	s.alongEdges()
	now := s.o.Offers[n].Price
	var sets []set
	for r, list := range s.edges.list[n] {
		at := s.ladders[n][r].amount
		for k := len(list) - 1; k >= 0; k-- {
			e := &list[k]
			if e.rest > s.o.Spend+cent {
				continue
			}
			up := math.Inf(1)
			if at > 0 {
				up = (s.o.Spend + cent - e.rest) / at
			}
			sets = append(sets, set{at, up, e.counts})
			if at == 0 { // the best of them is all
				break
			}
		}
	}
	slices.SortFunc(sets, func(a, b set) int { return cmp.Compare(b.up, a.up) }) // among like ones the order does not matter
	var most []set                                                               // of each amount, the best that can be paid for so far
	leads := func(price float64) (by, at float64) {
		with, without := math.Inf(-1), math.Inf(-1)
		for _, x := range most {
			switch v := x.counts - x.at*price; {
			case x.at < amount-nearly:
				without = max(without, v)
			case v > with:
				with, at = v, x.at
			}
		}
		return with - without, at
	}
	ahead := func(price float64) bool { by, _ := leads(price); return by > better }
	for k := 0; k < len(sets); {
		high := sets[k].up
		for ; k < len(sets) && sets[k].up == high; k++ {
			if m := slices.IndexFunc(most, func(x set) bool { return x.at == sets[k].at }); m < 0 {
				most = append(most, sets[k])
			} else {
				most[m].counts = max(most[m].counts, sets[k].counts)
			}
		}
		low := 0.0
		if k < len(sets) {
			low = sets[k].up
		}
		if !ahead(low) {
			continue
		}
		if math.IsInf(high, 1) { // never so dear that it would not belong there: every set that can be bought holds it
			high = 1000 * now
		}
		r := region{low: low, high: high}
		if by, at := leads(high); by > better {
			r.amount = at
		} else {
			for range 60 {
				if mid := (low + r.high) / 2; ahead(mid) {
					low = mid
				} else {
					r.high = mid
				}
			}
			r.high = low
			_, r.amount = leads(low)
		}
		if last := len(list) - 1; last >= 0 && list[last].low <= r.high+sliver*now {
			if list[last].low = r.low; list[last].high-r.high <= sliver*now {
				list[last].amount = r.amount
			}
		} else {
			list = append(list, r)
		}
	}
	return list
}

// upTo is the price of an offer up to which, from what it costs now on, the best set holds at least so much of it; 0 where none does now.
func (s *Search) upTo(n int, amount float64) float64 {
	now := s.o.Offers[n].Price
	for _, r := range s.regions(n, amount) {
		if amount > 0 && r.low < now+cent && now <= r.high+cent {
			return r.high
		}
	}
	return 0
}

// moreAt is the highest price, up to what it costs now, at which the best set holds more of an offer than so much, and how much that
// holds; 0 where more belongs there at no price.
func (s *Search) moreAt(n int, amount float64) (price, holds float64) {
	now := s.o.Offers[n].Price
	for _, r := range s.regions(n, amount+2*nearly*(1+amount)) {
		if r.low < now && r.high-r.low > sliver*now {
			return min(r.high, now), r.amount
		}
	}
	return 0, 0
}
