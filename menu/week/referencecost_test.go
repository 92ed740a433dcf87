package week_test

// What things cost and what was earned, as plainly: money goes round until it no longer moves.

import (
	"math"

	"kettletree/graph"
	"kettletree/graph/flow"
)

// plainMoney is what was taken in and paid out.
type plainMoney struct{ sales, bought, labour, disposal float64 }

// money adds up what an outcome took in and paid out.
func (s *plain) money(o *plainOutcome, price []float64) (m plainMoney) {
	for _, portions := range o.served {
		for d, n := range portions {
			m.sales += float64(n) * price[s.Dishes[d].Item]
		}
	}
	for _, d := range o.deliveries {
		m.bought += float(d.amount) * price[d.item]
	}
	for p, batches := range o.batches {
		m.labour += float(batches) * s.Terms.Cost[p]
	}
	for i, it := range s.Graph.Items {
		if grams, ok := it.Grams(float(o.binned[i]) + float(o.lost[i])); ok {
			m.disposal += grams * s.Terms.Disposal
		}
	}
	return m
}

// prices are those there are after changes.
func (s *plain) prices(changes []flow.Shock) []float64 {
	price := append([]float64(nil), s.price...)
	for _, c := range changes {
		if c, ok := c.(flow.Reprice); ok {
			price[c.Item] = c.Price
		}
	}
	return price
}

// costs are the unit costs of all items, where bills are shared by worth, by weight or by main. An item that several steps
// give costs their mean by what they gave in an outcome; without one, by one batch of each.
func (s *plain) costs(price []float64, by *plainOutcome) []float64 {
	cost := make([]float64, len(s.Graph.Items))
	for moved := true; moved; {
		sum := make([]float64, len(cost)) // by item: what batches of its makers bear for it
		for p, st := range s.Graph.Steps {
			for o, money := range s.shared(p, s.bill(p, cost)) {
				sum[st.Gives[o].Item] += s.counts(p, st.Gives[o].Item, by) * money
			}
		}
		moved = false
		for i := range cost {
			now := price[i]
			if given := s.givenOf(i, by); given > 0 {
				now = sum[i] / given
			}
			moved = moved || math.Abs(now-cost[i]) > 1e-12*(1+math.Abs(now))
			cost[i] = now
		}
	}
	return cost
}

// counts is how many batches of a step count for the mean cost of an item: those of an outcome, or one where all together
// gave none of it.
func (s *plain) counts(p, item int, by *plainOutcome) float64 {
	for _, q := range s.makersOf(item) {
		for o, out := range s.Graph.Steps[q].Gives {
			if out.Item == item && by != nil && by.batches[q].Sign() > 0 && s.gives[q][o].Sign() > 0 {
				return float(by.batches[p])
			}
		}
	}
	return 1
}

// givenOf is what the batches that count give of an item; by the file where they give nothing any more.
func (s *plain) givenOf(item int, by *plainOutcome) float64 {
	given, declared := 0.0, 0.0
	for _, p := range s.makersOf(item) {
		for o, out := range s.Graph.Steps[p].Gives {
			if out.Item == item {
				given += s.counts(p, item, by) * float(s.gives[p][o])
				declared += s.counts(p, item, by) * out.Amount
			}
		}
	}
	if given == 0 {
		return declared
	}
	return given
}

// bill is what one batch costs.
func (s *plain) bill(p int, cost []float64) float64 {
	bill := s.Terms.Cost[p]
	for _, line := range s.Graph.Steps[p].Takes {
		by := s.costed(line)
		bill += by.Amount * cost[by.Item]
	}
	return bill
}

// shared is the bill of a batch by output.
func (s *plain) shared(p int, bill float64) []float64 {
	gives := s.Graph.Steps[p].Gives
	part := make([]float64, len(gives))
	if s.Terms.Share[p] == flow.ByMain {
		for o, out := range gives[1:] {
			if worth := s.Terms.Worth[out.Item]; !math.IsNaN(worth) {
				part[o+1] = worth * float(s.gives[p][o+1])
				bill -= part[o+1]
			}
		}
		part[0] = bill
		return part
	}
	sum := 0.0
	weigh := func(each func(o int, out graph.Output) float64) {
		for o, out := range gives {
			part[o] = each(o, out)
			sum += part[o]
		}
	}
	if s.Terms.Share[p] == flow.ByWorth {
		weigh(func(o int, out graph.Output) float64 {
			if worth := s.Terms.Worth[out.Item]; !math.IsNaN(worth) {
				return worth * float(s.gives[p][o])
			}
			return 0
		})
	}
	if sum == 0 { // by weight, also where nothing is worth anything
		weigh(func(o int, out graph.Output) float64 {
			grams, _ := s.Graph.Items[out.Item].Grams(float(s.gives[p][o]))
			return grams
		})
	}
	for o := range part {
		if part[o] *= bill / sum; sum == 0 { // nothing is left of any
			part[o] = bill / float64(len(gives))
		}
	}
	return part
}
