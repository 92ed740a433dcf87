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
	pointsOf   = 8    // different amounts of one thing, about
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

// state is amounts of the first offers of an order, what they cost and weigh, and what they count before they are paid for.
type state struct {
	costs, grams, counts float64
	rung                 int    // of the last of them
	before               *state // the others
}

func (st *state) net() float64 { return st.counts - st.costs }

// into sets the rungs of a state's offers, which are the first of an order.
func (st *state) into(rungs, order []int, first int) {
	for n := first - 1; n >= 0; n-- {
		rungs[order[n]] = st.rung
		st = st.before
	}
}

// stages are the states of the first offers of an order that cost no more than so much at the prices of the moment: of none, of one and so on. They are
// exact where they are few, for states that cost and weigh no less and count no more than others are let go (Nemhauser and Ullmann, "Discrete dynamic
// programming and capital allocation", 1969, from memory).
func (s *Search) stages(sk sketch, order []int, most float64) [][]state {
	list, carries := [][]state{{{}}}, s.carries()
	for k, n := range order {
		var next []state
		for at := range list[k] {
			st := &list[k][at]
			for _, p := range sk.points[n] {
				amount := s.ladders[n][p.rung].amount
				to := state{st.costs + amount*s.o.Offers[n].Price, st.grams, st.counts + p.counts, p.rung, st}
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
		next = undominated(next)
		if k+1 < len(order) {
			next = s.thinnedTo(mostStates/len(sk.points[order[k+1]]), next)
		}
		list = append(list, next)
	}
	return list
}

// inOrder are the offers, the first one first.
func (s *Search) inOrder() (order []int) {
	for n := range s.o.Offers {
		order = append(order, n)
	}
	return order
}

func (s *Search) bySketches(ctx context.Context) {
	for _, sk := range s.sketches {
		s.bySketch(ctx, sk)
	}
}

// bySketch tries, for the money in hand and for each sum of the curve, the set that is best at the prices of the moment by a sketch.
func (s *Search) bySketch(ctx context.Context, sk sketch) {
	defer s.cook(s.way)
	s.cook(sk.way)
	order := s.inOrder()
	stages := s.stages(sk, order, 2*s.o.Spend+cent)
	states := stages[len(order)]
	var tried []int
	for _, money := range append(s.sums(), s.o.Spend) {
		best := -1
		for k := range states {
			if st := &states[k]; st.costs <= money+cent && (best < 0 || st.net() > states[best].net()+better) {
				best = k
			}
		}
		if best >= 0 && !slices.Contains(tried, best) && ctx.Err() == nil { // of too many states, the least may have been let go
			tried = append(tried, best)
		}
	}
	var list [][]int
	for _, k := range tried {
		y := make([]int, len(order))
		states[k].into(y, order, len(order))
		list = append(list, y)
	}
	s.play(list)
	for _, y := range list {
		s.try(y)
	}
}

// halves are the states of a sketch by which it answers soon for any price of one offer: of the offers before it, and of those behind it, those that are
// worth most first.
type halves struct {
	sk           sketch
	order, back  []int
	before, from [][]state // by offer: of those before it; by number: of so many of the last
}

// inHalves lays out all sketches for the money in hand, at the prices of the moment.
func (s *Search) inHalves() (list []halves) {
	order := s.inOrder()
	back := slices.Clone(order)
	slices.Reverse(back)
	for _, sk := range s.sketches {
		h := halves{sk, order, back, s.stages(sk, order, s.o.Spend+cent), s.stages(sk, back, s.o.Spend+cent)}
		for _, stages := range [][][]state{h.before, h.from} {
			for k := range stages {
				stages[k] = slices.Clone(stages[k]) // the states before point at those
				slices.SortStableFunc(stages[k], func(a, b state) int { return cmp.Compare(b.net(), a.net()) })
			}
		}
		list = append(list, h)
	}
	return list
}

// byHalves tries, for the money in hand, the set that is best by a sketch at the price that one offer has now, among those with an amount of it that
// is allowed. All other prices are those for which the halves were laid out.
func (s *Search) byHalves(h *halves, n int, allowed func(amount float64) bool) {
	defer s.cook(s.way)
	s.cook(h.sk.way)
	before, behind := h.before[n], h.from[len(h.order)-1-n]
	if len(before) == 0 || len(behind) == 0 {
		return
	}
	var best []int
	most := math.Inf(-1)
	for _, p := range h.sk.points[n] {
		amount := s.ladders[n][p.rung].amount
		if !allowed(amount) {
			continue
		}
		costs, grams := amount*s.o.Offers[n].Price, 0.0
		if amount > 0 && !math.IsNaN(s.grams[n]) {
			grams = amount * s.grams[n]
		}
		for a := range before {
			x := &before[a]
			net := x.net() + p.counts - costs
			if net+behind[0].net() <= most+better {
				break
			}
			for b := range behind {
				y := &behind[b]
				if net+y.net() <= most+better {
					break
				}
				if x.costs+y.costs+costs <= s.o.Spend+cent && x.grams+y.grams+grams <= s.carries() {
					most, best = net+y.net(), make([]int, len(h.order))
					x.into(best, h.order, n)
					y.into(best, h.back, len(h.order)-1-n)
					best[n] = p.rung
					break
				}
			}
		}
	}
	if best != nil {
		s.try(best)
	}
}

// undominated are the states that no other beats in all.
func undominated(list []state) (kept []state) {
	slices.SortFunc(list, func(a, b state) int {
		return cmp.Or(cmp.Compare(a.costs, b.costs), cmp.Compare(b.counts, a.counts), cmp.Compare(a.grams, b.grams))
	})
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
