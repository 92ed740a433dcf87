package week_test

// Lines of which the cook does not mind what fills them.

import (
	"cmp"
	"math"
	"slices"

	"kettletree/graph"
)

// anyOf is the choice that such a line is filled with: of what is on hand what keeps least long, then what costs least, then what can be
// had for least; below 0 when there is none. Of what is on hand no more is bought or made where another would go first without it.
func (t *table) anyOf(line graph.Line, h *how) int {
	best := t.inOrder(line, h, nil)[0]
	item := line.Choices[best].Item
	switch {
	case t.usedUp(item, h):
		return -1
	case t.free(item).Sign() > 0 && !t.limited(h, item) && !t.comesBeside(item):
		without := t.inOrder(line, h, func(c graph.Choice) bool { return c.Item != item })
		if line.Choices[without[0]].Item != item {
			h.capped[item] = true
		}
	}
	return best
}

// comesBeside tells whether an item is made to order with something else: more of it may then come unasked.
func (t *table) comesBeside(item int) bool {
	maker := t.makerToOrder(item)
	return maker >= 0 && len(t.Graph.Steps[maker].Gives) > 1
}

// inOrder are the choices of such a line, the one that is taken first before the others. What counts as on hand is enough by a
// test; nil for any of it.
func (t *table) inOrder(line graph.Line, h *how, enough func(c graph.Choice) bool) (order []int) {
	for c := range line.Choices {
		order = append(order, c)
	}
	place := func(c graph.Choice) (is, until int) {
		switch {
		case t.free(c.Item).Sign() > 0 && (enough == nil || enough(c)):
			if lots, keeps := t.lots[c.Item], t.Terms.Keeps[c.Item]; len(lots) > 0 && keeps > 0 {
				return 0, lots[0].made + keeps
			}
			return 0, math.MaxInt
		case !t.usedUp(c.Item, h):
			return 1, 0
		}
		return 2, 0
	}
	slices.SortStableFunc(order, func(a, b int) int {
		x, xUntil := place(line.Choices[a])
		y, yUntil := place(line.Choices[b])
		return cmp.Or(x-y, cmp.Compare(xUntil, yUntil), byCost(t.dear(line.Choices[a]), t.dear(line.Choices[b])))
	})
	return order
}

// dear is what a choice costs beside others.
func (s *plain) dear(c graph.Choice) float64 { return c.Amount * s.eachCosts(c.Item) }

// eachCosts is what a base unit of an item counts at there: its price, or its worth where a step makes it, or what it costs.
func (s *plain) eachCosts(item int) float64 {
	switch worth := s.Terms.Worth[item]; {
	case len(s.makersOf(item)) == 0:
		return s.price[item]
	case !math.IsNaN(worth):
		return worth
	case s.madeFor != nil:
		return s.madeFor[item]
	}
	return math.Inf(1)
}

// byCost orders costs. They are equal where only rounding tells them apart.
func byCost(a, b float64) int {
	if math.Abs(a-b) <= 1e-9*math.Abs(b) {
		return 0
	}
	return cmp.Compare(a, b)
}

// costed is the choice by which a line is costed: the cheapest that the cook does not mind.
func (s *plain) costed(line graph.Line) graph.Choice {
	best := line.Choices[0]
	for _, c := range line.Choices[1:] {
		if line.Alike > 1 && byCost(s.dear(c), s.dear(best)) < 0 {
			best = c
		}
	}
	return best
}

// settle finds what all costs that is made and has no worth, one of those behind another.
func (s *plain) settle() {
	s.madeFor = nil
	chosen := func() (list []graph.Choice) {
		for _, st := range s.Graph.Steps {
			for _, line := range st.Takes {
				list = append(list, s.costed(line))
			}
		}
		return list
	}
	made := map[int]bool{}
	for _, st := range s.Graph.Steps {
		for _, line := range st.Takes {
			for _, c := range line.Choices {
				if line.Alike > 1 && len(s.makersOf(c.Item)) > 0 {
					made[c.Item] = true
				}
			}
		}
	}
	for range made {
		was := chosen()
		if s.madeFor = s.costs(s.price, nil); slices.Equal(was, chosen()) {
			break
		}
	}
}
