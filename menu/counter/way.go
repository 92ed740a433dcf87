package counter

// The batches: those that stand, and others that would make more of what can be bought.

import (
	"context"
	"errors"
	"math"
	"slices"
	"time"

	"kettletree/graph/flow"
	"kettletree/menu/plan"
	"kettletree/menu/week"
)

// way is a way to cook: batches, and what is needed to play purchases with them.
type way struct {
	base    flow.Case        // nothing bought
	plays   []*week.Arriving // of the base, with what is bought: one a processor
	moved   []Moved          // against the batches as they stand
	useful  []int            // by offer: the rung beyond which more of it is of no use
	without [][]int          // ... without that offer, by offer
}

// Moved are batches of a step on a day.
type Moved struct {
	Date string  `json:"date"` // 2006-01-02
	Step string  `json:"step"`
	Was  float64 `json:"was"`
	Is   float64 `json:"is"`
}

// worthMoving is which part of the money in hand other batches must bring, at the file's prices, to be looked at.
const worthMoving = 0.005

// sumsPlanned is for how many sums batches are planned, beside the money in hand.
const sumsPlanned = 4

// cook goes on with one of the ways to cook.
func (s *Search) cook(way int) {
	s.way, s.base = way, s.ways[way].base
}

// Plan looks for other batches, by which the answers that follow are found too: those that the planner makes for the best purchases with the
// batches as they stand, for the money in hand and for less, and for all that is on offer bought as it is needed. All at the file's prices: what a
// kitchen had best cook with what it has bought does not hang on what that cost. So they are looked for once, and not for each price. When ctx
// ends there are none.
func (s *Search) Plan(ctx context.Context) error {
	if s.look(ctx); s.planned {
		return nil
	}
	var err error
	s.usually(func() {
		if err = s.otherWays(ctx); err == nil && !s.whole {
			for _, money := range s.plannedFor()[1:] { // what is best for less takes other sketches
				if money < 2*s.o.Spend {
					s.draw(ctx, s.best(money))
				}
			}
		}
	})
	if s.planned = err == nil && ctx.Err() == nil; s.planned {
		s.pool = slices.Clone(s.within)
		return nil
	}
	s.ways = s.ways[:1]
	s.sketches = slices.DeleteFunc(s.sketches, func(sk sketch) bool { return sk.way > 0 })
	if ctx.Err() != nil {
		return nil
	}
	return err
}

// plannedFor are the sums for whose purchases batches are planned: the money in hand, and what all that is of use costs, a third of that, a ninth and
// so on, so that nearly the same is asked for whatever money is in hand.
func (s *Search) plannedFor() []float64 {
	list := []float64{s.o.Spend}
	all := s.price(s.ways[0].useful)
	for range sumsPlanned {
		if all > 0 && math.Abs(all-s.o.Spend) > all/4 {
			list = append(list, all)
		}
		all /= 2
	}
	return list
}

// otherWays asks the planner for each of those sums: first for what is best as the batches stand, and for all that is on offer; then once more for what is
// best by the batches that were found, for what is bought and what is cooked each make room for better of the other.
func (s *Search) otherWays(ctx context.Context) error {
	sums := s.plannedFor()
	asks, told := 2*len(sums)+1, 0
	by := s.by(0)
	for pass := range 2 {
		for _, money := range sums {
			x := s.bestOf(money, by)
			s.cook(0)
			if err := s.otherWay(ctx, string(s.keyOf(x.rungs)), s.With(s.with(x.at, false)), money, by); err != nil || ctx.Err() != nil {
				return err
			}
			told++
			s.tell(0.6 + 0.3*float64(told)/float64(asks))
		}
		if pass == 0 {
			if err := s.otherWay(ctx, "", s.With(s.offered()), s.o.Spend, by); err != nil || ctx.Err() != nil {
				return err
			}
			told++
		}
		by = all
	}
	return nil
}

// otherWay has a week planned that was not planned yet, and keeps its batches where they bring clearly more than what is allowed to be, for so
// much money, for the money in hand or for twice of it.
func (s *Search) otherWay(ctx context.Context, key string, w *week.Week, money float64, allowed func(*purchase) bool) error {
	batches, ok := s.plans[key]
	if !ok {
		p, err := plan.Make(ctx, w, plan.Options{Brief: true})
		if _, clash := errors.AsType[*plan.Clash](err); ctx.Err() != nil || clash {
			return nil // the week as it stands can't be cooked, and other answers say so
		} else if err != nil {
			return err
		}
		batches = p.Case.Schedule.Batches
		s.plans[key] = batches
	}
	moved := s.movedFrom(s.ways[0].base.Schedule.Batches, batches)
	if slices.ContainsFunc(s.ways, func(w *way) bool { return slices.Equal(w.moved, moved) }) {
		return nil
	}
	sums := []float64{money, s.o.Spend, 2 * s.o.Spend}
	var was []float64
	for _, sum := range sums {
		was = append(was, s.bestOf(sum, allowed).counts)
	}
	c := *s.base.Schedule
	c.Batches = batches
	s.ways = append(s.ways, &way{base: flow.Case{Flow: s.base.Flow, Schedule: &c}, moved: moved})
	s.beside(ctx, len(s.ways)-1)
	last := len(s.ways) - 1
	if ctx.Err() == nil && !slices.ContainsFunc(sums, func(sum float64) bool {
		return s.bestOf(sum, s.by(last)).counts >= was[slices.Index(sums, sum)]+worthMoving*sum
	}) {
		s.within = slices.DeleteFunc(s.within, s.by(last))
		s.ways = s.ways[:last]
		s.sketches = slices.DeleteFunc(s.sketches, func(sk sketch) bool { return sk.way == last })
		for key, p := range s.played { // another way may take its place
			if p.way == last {
				delete(s.played, key)
			}
		}
	}
	return nil
}

// by tells purchases with one way to cook.
func (s *Search) by(way int) func(*purchase) bool {
	return func(p *purchase) bool { return p.way == way }
}

// beside adds to the pool what a way to cook makes of the sets that are best as the batches stand, and of what lies near those.
func (s *Search) beside(ctx context.Context, way int) {
	defer s.cook(s.way)
	s.cook(way)
	none := make([]int, len(s.o.Offers))
	s.try(none)
	if s.whole {
		s.everything(ctx, none, 0)
		return
	}
	w := s.ways[way]
	w.useful = s.allOfUse(-1)
	for range w.useful {
		w.without = append(w.without, w.useful)
	}
	for _, money := range s.sums() {
		if x := s.bestOf(money, s.by(0)); money > 0 && (x.costs > money-s.sums()[1] || money == s.o.Spend) {
			for _, from := range append(s.starts(ctx, money, 1), s.try(x.rungs)) {
				s.climb(ctx, from, money, onCurve, all)
			}
		}
	}
	for _, x := range append(s.starts(ctx, s.o.Spend, starting), s.bestOf(s.o.Spend, s.by(way))) {
		s.climb(ctx, x, s.o.Spend, inHand, all)
	}
	s.draw(ctx, s.bestOf(s.o.Spend, s.by(way)))
}

// all allows every purchase.
func all(*purchase) bool { return true }

// offered is the week as if all that is on offer came tonight at the file's price, and was bought as it is needed.
func (s *Search) offered() flow.Case {
	c := s.Week.Case.With()
	if c.Schedule.Arrives != nil {
		arrives := slices.Clone(c.Schedule.Arrives)
		for _, o := range s.o.Offers {
			if arrives[o.Item] != nil {
				arrives[o.Item] = slices.Clone(arrives[o.Item])
				arrives[o.Item][0] = true
			}
		}
		c.Schedule.Arrives = arrives
	}
	return c
}

// movedFrom are the batches of the week's own days that are others than those that stand.
func (s *Search) movedFrom(stand, batches []flow.Batch) []Moved {
	list := []Moved{}
	size := func(all []flow.Batch, step, day int) (sum float64) {
		for _, b := range all {
			if b.Step == step && b.Day == day {
				sum += b.Size
			}
		}
		return sum
	}
	for day := range s.Days {
		for step := range s.Steps {
			was, is := size(stand, step, day), size(batches, step, day)
			if math.Abs(was-is) > 0.005 {
				list = append(list, Moved{s.Date(day).Format(time.DateOnly), s.Graph.Steps[step].Name, was, is})
			}
		}
	}
	return list
}

// otherwise is what one set buys otherwise than another.
func (s *Search) otherwise(was, would *purchase) []Step {
	list := []Step{}
	for n, o := range s.o.Offers {
		if it := s.Graph.Items[o.Item]; math.Abs(would.at[n]-was.at[n]) > nearly*(1+was.at[n]) {
			list = append(list, Step{it.Name, it.Unit.Name, was.at[n] / it.Unit.Factor, would.at[n] / it.Unit.Factor, it.Many})
		}
	}
	return list
}
