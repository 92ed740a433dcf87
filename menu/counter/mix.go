package counter

// Mixing ways to cook: of each step and day, the batches of one or of another of them.

import (
	"cmp"
	"context"
	"slices"

	"kettletree/graph"
	"kettletree/graph/flow"
)

// mostMixed is how many mixes are played at most for one purchase.
const mostMixed = 400

// due is a step on a day.
type due struct{ day, step int }

// mixed are batches by which a purchase brings more than as it is cooked: of each step and day those of one of the ways, changed one or two at a time as
// long as that is better and no vessel has to hold two things. So planners that each saw one purchase tell each other what they found. Nil for no better
// ones.
func (s *Search) mixed(ctx context.Context, x *purchase) []flow.Batch {
	seen := map[due][][]flow.Batch{}
	var list []due
	for k := range s.ways {
		for at, group := range s.byDue(k) {
			if seen[at] == nil {
				list = append(list, at)
			}
			seen[at] = append(seen[at], group)
		}
	}
	slices.SortFunc(list, func(a, b due) int { return cmp.Or(a.day-b.day, a.step-b.step) })
	is := s.byDue(x.way)
	type change struct {
		at    due
		group []flow.Batch
	}
	var changes []change
	size := func(group []flow.Batch) (sum float64) {
		for _, b := range group {
			sum += b.Size
		}
		return sum
	}
	for _, at := range list {
		groups := seen[at]
		if len(groups) < len(s.ways) { // some have none
			groups = append(groups, nil)
		}
		var sizes []float64
		for _, g := range groups {
			if !slices.Contains(sizes, size(g)) {
				sizes, changes = append(sizes, size(g)), append(changes, change{at, g})
			}
		}
	}
	mix := func(with ...change) (batches []flow.Batch) {
		for _, at := range list {
			group := is[at]
			for _, c := range with {
				if c.at == at {
					group = c.group
				}
			}
			batches = append(batches, group...)
		}
		return batches
	}
	best, played, found := x.earns-x.off, 0, false
	try := func(with ...change) bool {
		for _, c := range with {
			if was, now := size(is[c.at]), size(c.group); was == now || now < was && s.leavesPar(c.at.step) {
				return false
			}
		}
		if played == mostMixed || ctx.Err() != nil {
			return false
		}
		played++
		batches := mix(with...)
		if counts := s.countsBy(batches, x.at); counts > best+better && s.canBe(batches) {
			for _, c := range with {
				is[c.at] = c.group
			}
			best, found = counts, true
			return true
		}
		return false
	}
	for again := true; again; {
		again = false
		for _, a := range changes {
			again = try(a) || again
		}
		for k, a := range changes {
			for _, b := range changes[k+1:] {
				if (a.at.step == b.at.step) != (a.at.day == b.at.day) { // moved to another day, or one in place of another
					again = try(a, b) || again
				}
			}
		}
	}
	if !found {
		return nil
	}
	return mix()
}

// leavesPar tells whether something that a step gives is to be left on hand: that is the planner's to see to.
func (s *Search) leavesPar(step int) bool {
	return slices.ContainsFunc(s.Graph.Steps[step].Gives, func(g graph.Output) bool { return s.Kitchen.Par[g.Item] > 0 })
}

// byDue are the batches of a way by step and day.
func (s *Search) byDue(way int) map[due][]flow.Batch {
	groups := map[due][]flow.Batch{}
	for _, b := range s.ways[way].base.Schedule.Batches {
		at := due{b.Day, b.Step}
		groups[at] = append(groups[at], b)
	}
	return groups
}

// countsBy is what is earned by batches with so much of each offer, before it is paid for, less what that counts off the cards.
func (s *Search) countsBy(batches []flow.Batch, at []float64) float64 {
	c := *s.ways[0].base.Schedule
	c.Batches = batches
	books, o := s.onward.Play(s.bought(flow.Case{Flow: s.ways[0].base.Flow, Schedule: &c}, at, false))
	counts := books.Contribution - s.off(o)
	for n, o := range s.o.Offers {
		counts += at[n] * s.Week.Case.Flow.Price(o.Item)
	}
	return counts
}

// canBe tells whether the vessels hold what is cooked so.
func (s *Search) canBe(batches []flow.Batch) bool {
	c := *s.ways[0].base.Schedule
	c.Batches = batches
	return len(s.Week.Calendar(&c, nil, nil).Clashes()) == 0
}
