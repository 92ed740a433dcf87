package counter

// What can't be known: yields and guests come out otherwise, and the purchase may be regretted.

import (
	"cmp"
	"context"
	"math"
	"slices"

	"kettletree/graph/flow"
	"kettletree/menu/ask"
)

// Risk says how a purchase fares where yields and guests stray by the spreads of the file. What is not on offer is bought as each draw needs it.
type Risk struct {
	Draws   int     `json:"draws"`
	Seed    uint64  `json:"seed"`
	Matters float64 `json:"matters"`       // by less, no set is better than another
	Regrets float64 `json:"regrets"`       // the share of draws in which another of the sets would have been better by that
	Nothing float64 `json:"nothing"`       // the share of draws in which buying nothing would have been
	Mean    float64 `json:"mean_regret"`   // by how much the best of the sets was better, over all draws
	Worst   float64 `json:"worst_regret"`  // and at worst
	By      string  `json:"by"`            // what the set that regrets least is chosen by: "average", or "worst"
	Same    bool    `json:"same"`          // that is what the answer buys
	Least   []Lot   `json:"regrets_least"` // what it buys
	Costs   float64 `json:"costs"`         // of that
	Gains   float64 `json:"mean_gain"`     // over all draws, beyond the answer's set
	Lesser  float64 `json:"least_mean"`    // its mean regret
	Least1  float64 `json:"least_worst"`   // and its worst
	Sets    int     `json:"sets"`          // that were played in each draw
}

// Lot is so much of a thing on offer.
type Lot struct {
	Item   string  `json:"item"`
	Unit   string  `json:"unit"`
	Amount float64 `json:"amount"`
	Many   string  `json:"-"`
}

// Ways to choose the set that regrets least.
const (
	OnAverage = "average" // the least mean regret: the best sample average
	AtWorst   = "worst"   // the least of the greatest regrets
)

const (
	usualDraws = 60
	// MostDraws bound a question.
	MostDraws = 2000
	fewSets   = 8    // to begin with
	moreSets  = 24   // that are tried beside the best of them
	apart     = 0.03 // of what a set costs: by as much two of those differ
	matters   = 0.01 // of the money in hand
)

// risk plays sets in draws. Nil where nothing varies.
func (s *Search) risk(ctx context.Context, x *purchase) *Risk {
	draws := ask.DrawsOf(s.Week, s.base, cmp.Or(s.o.Seed, ask.UsualSeed))
	if draws.Varies() == 0 {
		return nil
	}
	r := &Risk{Draws: cmp.Or(s.o.Draws, usualDraws), Seed: cmp.Or(s.o.Seed, ask.UsualSeed), Matters: matters * s.o.Spend, By: cmp.Or(s.o.Regret, OnAverage)}

	// What each set counts in each draw.
	sets := append([]*purchase{x}, slices.DeleteFunc(s.several(fewSets), func(p *purchase) bool { return p == x })...)
	counts := map[*purchase][]float64{}
	play := func(fresh []*purchase) {
		for k := 0; k < r.Draws && ctx.Err() == nil; k++ {
			drawn := draws.Case(k)
			for _, p := range fresh {
				books, o := s.onward.Play(s.bought(drawn, p.at, true))
				counts[p] = append(counts[p], books.Contribution-s.off(o))
			}
		}
	}
	play(sets)
	mean := func(p *purchase) (sum float64) {
		for _, c := range counts[p] {
			sum += c
		}
		return sum / float64(len(counts[p]))
	}
	best := func() (b *purchase) {
		for _, p := range sets {
			if b == nil || r.By == OnAverage && mean(p) > mean(b)+better || r.By == AtWorst && regrets(sets, counts, p).worst < regrets(sets, counts, b).worst-better {
				b = p
			}
		}
		return b
	}
	for tried := 0; tried < moreSets && ctx.Err() == nil; { // a piece more or less of each thing beside the best
		from := best()
		var fresh []*purchase
		for n := range s.o.Offers {
			for _, amount := range []float64{s.further(n, from.at[n]), s.fewer(n, from.at[n])} {
				if amount < 0 || amount == from.at[n] || amount == 0 && from.at[n] == 0 {
					continue
				}
				if p := s.try(set(from.rungs, n, floor(s.ladders[n], amount))); s.fits(p, s.o.Spend) && !slices.Contains(sets, p) && !slices.Contains(fresh, p) {
					fresh = append(fresh, p)
				}
			}
		}
		if fresh = fresh[:min(len(fresh), moreSets-tried)]; len(fresh) == 0 {
			break
		}
		tried += len(fresh)
		play(fresh)
		if sets = append(sets, fresh...); best() == from {
			break
		}
	}
	if ctx.Err() != nil {
		return nil // half of the draws tell nothing
	}
	is, least := regrets(sets, counts, x), best()
	than := regrets(sets, counts, least)
	r.Mean, r.Worst, r.Sets = is.mean, is.worst, len(sets)
	r.Lesser, r.Least1, r.Gains, r.Costs = than.mean, than.worst, mean(least)-mean(x), least.costs
	r.Same = least == x || r.By == OnAverage && r.Gains < r.Matters/10 || r.By == AtWorst && is.worst-than.worst < r.Matters/10
	none := s.try(make([]int, len(s.o.Offers)))
	for k, c := range counts[x] {
		if is.each[k] >= r.Matters {
			r.Regrets += 1 / float64(r.Draws)
		}
		if other := counts[none]; other != nil && other[k] > c+better {
			r.Nothing += 1 / float64(r.Draws)
		}
	}
	r.Least = s.lots(least)
	return r
}

type regret struct {
	mean, worst float64
	each        []float64
}

// regrets is by how much the best set of each draw was better than one.
func regrets(sets []*purchase, counts map[*purchase][]float64, of *purchase) (r regret) {
	for k, c := range counts[of] {
		most := c
		for _, p := range sets {
			most = math.Max(most, counts[p][k])
		}
		r.each = append(r.each, most-c)
		r.mean += (most - c) / float64(len(counts[of]))
		r.worst = math.Max(r.worst, most-c)
	}
	return r
}

// several are good sets that differ, the best first, and that of nothing, all with the batches of the moment.
func (s *Search) several(most int) (list []*purchase) {
	all := slices.DeleteFunc(slices.Clone(s.within), func(p *purchase) bool { return p.way != s.way || !s.fits(p, s.o.Spend) })
	slices.SortStableFunc(all, func(a, b *purchase) int {
		switch {
		case s.beats(a, b):
			return -1
		case s.beats(b, a):
			return 1
		}
		return 0
	})
	least := apart * s.bestOf(s.o.Spend, s.by(s.way)).costs
	for _, p := range all {
		if len(list) == most-1 {
			break
		}
		if !slices.ContainsFunc(list, func(o *purchase) bool { return s.between(p, o) < least }) {
			list = append(list, p)
		}
	}
	if none := s.try(make([]int, len(s.o.Offers))); !slices.Contains(list, none) {
		list = append(list, none)
	}
	return list
}

// between is the money by which two sets differ.
func (s *Search) between(p, o *purchase) (money float64) {
	for n, at := range p.at {
		money += math.Abs(at-o.at[n]) * s.o.Offers[n].Price
	}
	return money
}

// fewer is the amount of an offer with one piece, one pack or one cut less; below 0 where there is none.
func (s *Search) fewer(n int, at float64) float64 {
	l := s.ladders[n]
	r := floor(l, at)
	if r == 0 {
		return -1
	}
	if pieces := l[r].pieces; len(pieces) > 0 {
		least := math.Inf(1)
		for _, p := range pieces {
			least = min(least, s.o.Offers[n].Pieces[p])
		}
		return max(0, at-least)
	}
	if s.o.Offers[n].Pack == 0 {
		return l[max(0, r-max(1, (len(l)-1)/24))].amount
	}
	return l[r-1].amount
}

// bought is a case with so much of each offer bought: at the counter's prices, or without at the file's.
func (s *Search) bought(in flow.Case, at []float64, priced bool) flow.Case {
	c := *in.Schedule
	c.Deliveries = s.deliveries(in, at, priced)
	return flow.Case{Flow: in.Flow, Schedule: &c}
}

// lots are what a set buys.
func (s *Search) lots(p *purchase) (list []Lot) {
	for n, o := range s.o.Offers {
		if it := s.Graph.Items[o.Item]; p.at[n] > 0 {
			list = append(list, Lot{it.Name, it.Unit.Name, p.at[n] / it.Unit.Factor, it.Many})
		}
	}
	return list
}
