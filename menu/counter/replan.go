package counter

// The batches: whether others than those that stand would make more of what is bought, and whether something else would then be bought.

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

// Rearranged is the week with other batches, as the planner finds them for what is bought.
type Rearranged struct {
	Brings  float64 `json:"brings"`     // what all days that were played earn more with them, with the same bought
	Batches []Moved `json:"batches"`    // that change; none where no others earn more
	Buy     []Step  `json:"buy"`        // what is then bought otherwise than the answer has it
	Costs   float64 `json:"costs"`      // of all that is bought then
	All     float64 `json:"all_brings"` // what those days earn more with these batches and that bought, than with the answer
}

// Moved are batches of a step on a day.
type Moved struct {
	Date string  `json:"date"` // 2006-01-02
	Step string  `json:"step"`
	Was  float64 `json:"was"`
	Is   float64 `json:"is"`
}

const (
	besideBatches = 150   // sets that are tried with other batches
	worthMoving   = 0.005 // which part of the money in hand other batches must bring to be told
)

// rearranged lets the planner find batches, first for what is bought and then for all that could be, and then looks for what to buy with each of
// those. It gives what brings most.
func (s *Search) rearranged(ctx context.Context, x *purchase) (*Rearranged, error) {
	r := &Rearranged{Costs: x.costs, Batches: []Moved{}, Buy: []Step{}}
	least := worthMoving * s.o.Spend
	most := x.counts + least
	for _, w := range []*week.Week{s.With(s.with(x.at, true)), s.With(s.offered())} {
		p, err := plan.Make(ctx, w, plan.Options{Brief: true})
		if ctx.Err() != nil {
			return nil, nil
		}
		if _, clash := errors.AsType[*plan.Clash](err); clash {
			return r, nil // the week as it stands can't be cooked, and other answers say so
		} else if err != nil {
			return nil, err
		}
		batches := p.Case.Schedule.Batches
		t := s.cooking(batches)
		y := t.try(x.rungs)
		for _, p := range s.several(fewSets) {
			t.try(p.rungs)
		}
		z := t.climb(ctx, t.best(s.o.Spend), s.o.Spend, besideBatches, func(*purchase) bool { return true })
		if z.counts < y.counts+least {
			z = y // nothing else is bought for less
		}
		if z.counts < most {
			continue
		}
		most = z.counts + least
		r = &Rearranged{Brings: s.brings(y, x), All: s.brings(z, x), Costs: z.costs, Batches: s.moved(batches), Buy: s.otherwise(x, z)}
	}
	return r, nil
}

// cooking is the same search with other batches, which has looked at nothing yet.
func (s *Search) cooking(batches []flow.Batch) *Search {
	c := *s.base.Schedule
	c.Batches = batches
	t := &Search{Week: s.Week, o: s.o, base: flow.Case{Flow: s.base.Flow, Schedule: &c}, onward: s.onward, off: s.off, ladders: s.ladders, grams: s.grams,
		played: map[string]*purchase{}, asked: 1}
	t.o.Trying = nil
	t.try(make([]int, len(s.ladders)))
	return t
}

// offered is the week as if all that is on offer came tonight at its price, and was bought as it is needed.
func (s *Search) offered() flow.Case {
	var prices []flow.Shock
	for _, o := range s.o.Offers {
		prices = append(prices, flow.Reprice{Item: o.Item, Price: o.Price})
	}
	c := s.Week.Case.With(prices...)
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

// moved are the batches of the week's own days that are others than those that stand.
func (s *Search) moved(batches []flow.Batch) []Moved {
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
			was, is := size(s.base.Schedule.Batches, step, day), size(batches, step, day)
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
			list = append(list, Step{it.Name, it.Unit.Name, was.at[n] / it.Unit.Factor, would.at[n] / it.Unit.Factor})
		}
	}
	return list
}
