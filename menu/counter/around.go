package counter

// Around the best that was found: a step of one thing up or down, or of one up for another down.

import (
	"cmp"
	"context"
	"iter"
	"math"
	"slices"
)

// around looks for better than the best for so much money, among what lies near it, as long as that helps and no more than so many
// are played.
func (s *Search) around(ctx context.Context, money float64, most int) {
	s.climb(ctx, s.best(money), money, most, all)
}

// fill spends what the best leaves of so much money: on as much of one thing as it buys and is of use, then of another, as long as that is better.
func (s *Search) fill(ctx context.Context, money float64) {
	defer s.cook(s.way)
	for x := (*purchase)(nil); x != s.best(money) && ctx.Err() == nil; {
		x = s.best(money)
		s.cook(x.way)
		left := money - x.costs
		for n, l := range s.ladders {
			r := min(floor(l, x.at[n]+left/s.o.Offers[n].Price), s.ofUseAtMost(n))
			if r > x.rungs[n] {
				s.try(set(x.rungs, n, r))
			}
		}
	}
}

// lessOfOne tries a purchase for less money: each time with less of one thing.
func (s *Search) lessOfOne(x *purchase, money float64) {
	defer s.cook(s.way)
	s.cook(x.way)
	if over := x.costs - money; over > cent {
		for n := range s.ladders {
			if y := s.instead(x.rungs, n, over); y != nil {
				s.try(y)
			}
		}
	}
}

// ofUseAtMost is the rung beyond which more of a thing is of no use, whatever else is bought.
func (s *Search) ofUseAtMost(n int) int {
	most := s.ways[s.way].useful[n]
	for _, w := range s.ways[s.way].without {
		most = max(most, w[n])
	}
	return most
}

// starts tries, for so much money, all that is of use in like parts, which is as a batch takes it; and that without one thing or two, and
// one or two alone. It gives the best of them.
func (s *Search) starts(ctx context.Context, money float64, most int) (list []*purchase) {
	ways := func(yield func([]int) bool) {
		for skip := range s.few() {
			if ctx.Err() != nil || !yield(s.leaving(skip, money)) {
				return
			}
		}
	}
	for y := range s.ahead(ways) {
		p := s.try(y)
		if s.fits(p, money) && !slices.Contains(list, p) {
			list = append(list, p)
		}
	}
	slices.SortStableFunc(list, func(a, b *purchase) int { return cmp.Compare(b.counts, a.counts) })
	return list[:min(most, len(list))]
}

// leaving is all that is of use but for what is skipped, in like parts.
func (s *Search) leaving(skip []bool, money float64) []int {
	y := slices.Clone(s.ways[s.way].useful)
	if first := slices.Index(skip, true); first >= 0 {
		y = slices.Clone(s.ways[s.way].without[first]) // what takes its place is of use then
	}
	for n := range y {
		if skip[n] {
			y[n] = 0
		}
	}
	return s.inParts(y, money)
}

// mostPairs is among how many offers two are left out, or taken alone.
const mostPairs = 10

// few are the ways to leave out none of the offers, one or two, or all but one or two.
func (s *Search) few() iter.Seq[[]bool] {
	return func(yield func([]bool) bool) {
		n := len(s.ladders)
		for _, but := range []bool{false, true} { // all but those
			for a := -1; a < n; a++ {
				for b := a; b < n; b++ {
					if b > a && (a < 0 || n > mostPairs) || but && a < 0 {
						continue
					}
					skip := slices.Repeat([]bool{but}, n)
					if a >= 0 {
						skip[a], skip[b] = !but, !but
					}
					if !yield(skip) {
						return
					}
				}
			}
		}
	}
}

// inParts is as large a part of a set as there is money for, and the car carries, the same of each thing.
func (s *Search) inParts(y []int, money float64) []int {
	part := 1.0
	if price := s.price(y); price > money {
		part = money / price
	}
	grams := 0.0
	for n, r := range y {
		if !math.IsNaN(s.grams[n]) {
			grams += s.ladders[n][r].amount * s.grams[n]
		}
	}
	if grams*part > s.carries() {
		part = s.carries() / grams
	}
	out := make([]int, len(y))
	for n, r := range y {
		out[n] = floor(s.ladders[n], part*s.ladders[n][r].amount)
	}
	return out
}

// climb goes from a purchase to better ones that are allowed; it gives the last.
func (s *Search) climb(ctx context.Context, x *purchase, money float64, most int, allowed func(*purchase) bool) *purchase {
	defer s.cook(s.way)
	s.cook(x.way)
	began := len(s.within)
	for again := true; again; {
		again = false
		for y := range s.ahead(s.near(x, money)) {
			if len(s.within)-began >= most || ctx.Err() != nil {
				return x
			}
			if p := s.try(y); s.fits(p, money) && allowed(p) && s.beats(p, x) {
				x, again = p, true
				break
			}
		}
	}
	return x
}

// near are the sets around one: each thing up and down by a few lengths of step; where that is more than there is money for,
// with less of another in its place. What changes little comes last.
func (s *Search) near(x *purchase, money float64) iter.Seq[[]int] {
	return func(yield func([]int) bool) {
		for _, part := range []int{4, 10, 25, 1 << 20} { // of a ladder
			for n, l := range s.ladders {
				step := max(1, (len(l)-1)/part)
				if part < 1<<20 && step == 1 {
					continue // it comes with the last
				}
				for _, r := range s.reach(n, x.rungs[n], step, part == 1<<20) {
					if r == x.rungs[n] {
						continue
					}
					y := set(x.rungs, n, r)
					over := s.price(y) - money
					if over <= cent && !yield(y) {
						return
					}
					if r < x.rungs[n] || over > cent {
						for o := range y {
							if o == n {
								continue
							}
							if z := s.instead(y, o, over); z != nil && !yield(z) {
								return
							}
						}
					}
				}
			}
		}
	}
}

// reach are the rungs a step above and below one; with the last, also those a piece away, and the ends.
func (s *Search) reach(n, at, step int, last bool) []int {
	l := s.ladders[n]
	list := []int{at + step, at - step}
	if last {
		list = append(list, 0, len(l)-1)
		for k, p := range s.o.Offers[n].Pieces {
			if !slices.Contains(s.o.Offers[n].Pieces[:k], p) {
				list = append(list, floor(l, l[at].amount+p), floor(l, max(0, l[at].amount-p)))
			}
		}
	}
	for k := range list {
		list[k] = min(max(list[k], 0), len(l)-1)
	}
	slices.Sort(list)
	return slices.Compact(list)
}

// instead changes another thing by so much money: less of it for what is over, more of it for what is left. Nil where it can't.
func (s *Search) instead(y []int, n int, over float64) []int {
	amount := s.ladders[n][y[n]].amount - over/s.o.Offers[n].Price
	if amount < -nearly {
		return nil
	}
	if r := floor(s.ladders[n], max(0, amount)); r != y[n] {
		return set(y, n, r)
	}
	return nil
}

func (s *Search) price(rungs []int) (money float64) {
	for n, r := range rungs {
		money += s.ladders[n][r].amount * s.o.Offers[n].Price
	}
	return money
}
