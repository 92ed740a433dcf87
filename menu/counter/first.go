package counter

// What to ask or weigh first: the price or the amount whose answer would change most.

import (
	"cmp"
	"context"
	"math"
	"slices"

	"kettletree/graph/flow"
)

// Doubt is something that may be other than was taken for granted, and what that would do.
type Doubt struct {
	Item  string  `json:"item"`
	Unit  string  `json:"unit"`
	What  string  `json:"what"`  // "price", "on hand", or "there": how much there is of it
	Now   float64 `json:"now"`   // as it is taken: for one unit, or in its unit
	If    float64 `json:"if"`    // as it would be
	Loses float64 `json:"loses"` // by buying what the answer buys all the same; so much it is worth to know
	Buy   []Step  `json:"buy"`   // what would be bought otherwise then
	Less  bool    `json:"less"`  // it would be less than it is taken for
}

// Step is a change of what is bought.
type Step struct {
	Item  string  `json:"item"`
	Unit  string  `json:"unit"`
	Was   float64 `json:"was"`
	Would float64 `json:"would"`
	Many  string  `json:"-"` // what several of it are called, where it is counted
}

// What a doubt is about.
const (
	OfPrice  = "price"
	OfOnHand = "on hand"
	OfThere  = "there"
)

const (
	doubtful   = 0.2 // by which share what nobody is certain of may be out; common practice, no source
	mostDoubts = 3
	mostLots   = 12 // things on hand that are looked at, by what they are worth
)

// doubts are those whose answer would change most, first.
func (s *Search) doubts(ctx context.Context, x *purchase) (list []Doubt) {
	add := func(d Doubt, then *purchase) {
		d.Buy = s.otherwise(x, then)
		if d.Less = d.If < d.Now; d.Loses >= max(worthSaying*s.o.Spend, cent) && len(d.Buy) > 0 {
			list = append(list, d)
		}
	}

	// Prices: the best is chosen again among all that was played.
	for n := range s.o.Offers {
		o := &s.o.Offers[n]
		it, was := s.Graph.Items[o.Item], o.Price
		for _, by := range []float64{-doubtful, doubtful} {
			o.Price = was * (1 + by)
			s.reprice()
			then := s.best(s.o.Spend)
			loses := s.brings(then, x) // in money: what it does to the cards is not paid
			if !s.fits(x, s.o.Spend) { // it could not be paid for: that is seen at the counter
				loses = 0
			}
			add(Doubt{Item: it.Name, Unit: it.Unit.Name, What: OfPrice, Now: was * it.Unit.Factor, If: o.Price * it.Unit.Factor, Loses: loses}, then)
		}
		o.Price = was
		s.reprice()
	}

	// What nobody has weighed yet: pieces beyond those that are named.
	for n, o := range s.o.Offers {
		if more := s.upTo(n, x.at[n]); o.Unweighed > 0 && x.rungs[n] == len(s.ladders[n])-1 && more > o.Price {
			it := s.Graph.Items[o.Item]
			list = append(list, Doubt{Item: it.Name, Unit: it.Unit.Name, What: OfThere, Now: o.Limit / it.Unit.Factor, If: (o.Limit + o.Unweighed) / it.Unit.Factor,
				Loses: o.Unweighed * (more - o.Price)})
		}
	}

	// What is on hand: good sets, and those a piece away, are played with more and less of it.
	sets := append([]*purchase{x}, s.several(fewSets)...)
	for n := range s.o.Offers {
		for _, amount := range []float64{s.further(n, x.at[n]), s.fewer(n, x.at[n])} {
			if amount > 0 || amount == 0 && x.at[n] > 0 {
				if p := s.try(set(x.rungs, n, floor(s.ladders[n], amount))); s.fits(p, s.o.Spend) && !slices.Contains(sets, p) {
					sets = append(sets, p)
				}
			}
		}
	}
	for _, item := range s.countedMost() {
		for _, by := range []float64{-doubtful, doubtful} {
			if ctx.Err() != nil {
				return nil
			}
			c, all := *s.base.Schedule, 0.0
			c.OnHand = slices.Clone(c.OnHand)
			for k := range c.OnHand {
				if lot := &c.OnHand[k]; lot.Item == item {
					all += lot.Amount
					lot.Amount *= 1 + by
				}
			}
			in := flow.Case{Flow: s.base.Flow, Schedule: &c}
			var then *purchase
			most, is := math.Inf(-1), 0.0
			for k, p := range sets {
				books, o := s.onward.Play(s.bought(in, p.at, true))
				counts := books.Contribution - s.off(o)
				if k == 0 {
					is = counts
				}
				if counts > most+better {
					then, most = p, counts
				}
			}
			it := s.Graph.Items[item]
			add(Doubt{Item: it.Name, Unit: it.Unit.Name, What: OfOnHand, Now: all / it.Unit.Factor, If: all * (1 + by) / it.Unit.Factor, Loses: most - is}, then)
		}
	}
	slices.SortStableFunc(list, func(a, b Doubt) int { return cmp.Compare(b.Loses, a.Loses) })
	var few []Doubt // of each thing, the worse side
	for _, d := range list {
		if len(few) < mostDoubts && !slices.ContainsFunc(few, func(o Doubt) bool { return o.Item == d.Item && o.What == d.What }) {
			few = append(few, d)
		}
	}
	return few
}

// countedMost are the items on hand that are worth most.
func (s *Search) countedMost() (items []int) {
	worth := make([]float64, len(s.Graph.Items))
	for _, lot := range s.base.Schedule.OnHand {
		if worth[lot.Item] == 0 {
			items = append(items, lot.Item)
		}
		worth[lot.Item] += lot.Amount * max(s.onward.Worth().Unit(s.base.Flow, lot.Item), cent)
	}
	slices.SortStableFunc(items, func(a, b int) int { return cmp.Or(cmp.Compare(worth[b], worth[a]), a-b) })
	return items[:min(len(items), mostLots)]
}
