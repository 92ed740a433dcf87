package counter

// Sketches: what each amount of each thing counts by itself, and the sets that would be best if that were all.

import (
	"cmp"
	"context"
	"math"
	"slices"
)

// sketch is what some amounts of each offer count, all else being as in one set: no price is in it, so it holds at any.
type sketch struct {
	way    int
	points [][]point // by offer, by amount
}

// point is an amount, and what it counts beyond that of the set, before it is paid for.
type point struct {
	rung           int
	counts, freely float64 // by the cards, and whatever they say
}

const (
	pointsOf   = 8    // amounts of one thing that are told apart, about
	mostStates = 8000 // that are looked at for one offer, before those that are beaten are let go
)

// draw makes a sketch around a set.
func (s *Search) draw(ctx context.Context, x *purchase) {
	defer s.cook(s.way)
	s.cook(x.way)
	sk := sketch{way: x.way}
	for n, l := range s.ladders {
		rungs := []int{0, x.rungs[n], len(l) - 1}
		top := s.ofUseAtMost(n)
		for k := range pointsOf {
			rungs = append(rungs, top*(k+1)/pointsOf)
		}
		slices.Sort(rungs)
		rungs = slices.Compact(rungs)
		var list [][]int
		for _, r := range rungs {
			list = append(list, set(x.rungs, n, r))
		}
		s.play(list)
		var points []point
		for k, y := range list {
			if ctx.Err() != nil {
				return
			}
			p := s.try(y)
			points = append(points, point{rungs[k], s.gross(p) - s.gross(x), p.earns - x.earns})
		}
		sk.points = append(sk.points, points)
	}
	s.sketches = append(s.sketches, sk)
}

// state is amounts of the first offers, what they cost and weigh, and what they count before they are paid for.
type state struct {
	costs, grams, counts float64
	rungs                []int
}

func (s *Search) bySketches(ctx context.Context) {
	for _, sk := range s.sketches {
		s.bySketch(ctx, sk)
	}
}

// bySketch tries, for the money in hand and for each sum of the curve, the set that is best at the prices of the moment by a sketch: exactly so where its states are few, for states
// that cost and weigh no less and count no more than others are let go (Nemhauser and Ullmann, "Discrete dynamic programming and capital allocation",
// 1969, from memory).
func (s *Search) bySketch(ctx context.Context, sk sketch) {
	defer s.cook(s.way)
	s.cook(sk.way)
	most, carries := 2*s.o.Spend+cent, s.carries()
	states := []state{{}}
	for n, points := range sk.points {
		var next []state
		for _, st := range states {
			for _, p := range points {
				amount := s.ladders[n][p.rung].amount
				to := state{st.costs + amount*s.o.Offers[n].Price, st.grams, st.counts + p.counts, append(st.rungs[:n:n], p.rung)}
				if s.freely {
					to.counts += p.freely - p.counts
				}
				if amount > 0 && !math.IsNaN(s.grams[n]) {
					to.grams += amount * s.grams[n]
				}
				if to.costs <= most && to.grams <= carries {
					next = append(next, to)
				}
			}
		}
		states = undominated(next)
		if n+1 < len(sk.points) {
			states = s.thinnedTo(mostStates/len(sk.points[n+1]), states)
		}
	}
	var tried []int
	for _, money := range append(s.sums(), s.o.Spend) {
		best := -1
		for k, st := range states {
			if st.costs <= money+cent && (best < 0 || st.counts-st.costs > states[best].counts-states[best].costs+better) {
				best = k
			}
		}
		if best >= 0 && !slices.Contains(tried, best) && ctx.Err() == nil { // of too many states, the least may have been let go
			tried = append(tried, best)
		}
	}
	var list [][]int
	for _, k := range tried {
		list = append(list, states[k].rungs)
	}
	s.play(list)
	for _, y := range list {
		s.try(y)
	}
}

// undominated are the states that no other beats in all.
func undominated(list []state) (kept []state) {
	slices.SortStableFunc(list, func(a, b state) int { return cmp.Or(cmp.Compare(a.costs, b.costs), cmp.Compare(b.counts, a.counts)) })
	var stair []state // of those kept so far, that count more than what weighs less
	for _, st := range list {
		at, _ := slices.BinarySearchFunc(stair, st.grams, func(x state, grams float64) int {
			if x.grams <= grams {
				return -1
			}
			return 1
		})
		if at > 0 && stair[at-1].counts >= st.counts-better {
			continue
		}
		above := at
		for above < len(stair) && stair[above].counts <= st.counts {
			above++
		}
		stair = slices.Replace(stair, at, above, st)
		kept = append(kept, st)
	}
	return kept
}

// thinnedTo are no more than so many states, about: those that count most in each small range of money and weight.
func (s *Search) thinnedTo(most int, list []state) (few []state) {
	if len(list) <= most {
		return list
	}
	byMoney, byWeight := float64(most), 0.0
	if s.o.Carry > 0 {
		byMoney, byWeight = math.Sqrt(float64(most)), math.Sqrt(float64(most))
	}
	cells := map[[2]int]int{}
	for _, st := range list {
		cell := [2]int{int(byMoney * st.costs / (2 * s.o.Spend)), 0}
		if byWeight > 0 {
			cell[1] = int(byWeight * st.grams / s.o.Carry)
		}
		if k, ok := cells[cell]; !ok {
			cells[cell] = len(few)
			few = append(few, st)
		} else if st.counts > few[k].counts {
			few[k] = st
		}
	}
	return few
}
