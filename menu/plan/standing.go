package plan

// The standing week, for when no better plan is found.

import (
	"fmt"
	"math"
	"slices"

	"kettletree/graph/flow"
	"kettletree/menu/plan/solve"
)

// stands is the week as it stands, with what comes in packs bought whole: as a plan, but without a bound.
func (m *model) stands() *Plan {
	p := m.played(m.Case.Schedule, m.base)
	if !m.held {
		p = m.live(p)
	}
	return p
}

// played is a schedule with what comes in packs bought whole. o is what it came to without that.
func (m *model) played(s *flow.Schedule, o *flow.Outcome) *Plan {
	c := flow.Case{Flow: m.Case.Flow, Schedule: m.inPacks(s, o)}
	p := &Plan{Case: c, m: m, Ended: solve.Limit, Outcome: o, Bound: math.Inf(1)}
	if c.Schedule != s {
		p.Outcome = m.Player().Play(c, nil)
	}
	p.Books = m.worth.Books(c, p.Outcome)
	return p
}

// inPacks is a schedule in which what an outcome of it bought in packs, beyond what comes in any case, comes in whole ones,
// and no more can be had.
func (m *model) inPacks(s *flow.Schedule, o *flow.Outcome) *flow.Schedule {
	out := *s
	out.Deliveries, out.Short = slices.Clone(s.Deliveries), slices.Clone(s.Short)
	if out.Short == nil {
		out.Short = make([]bool, len(m.g.Items))
	}
	due := map[[2]int]float64{} // by item and day
	for _, d := range s.Deliveries {
		due[[2]int{d.Item, d.Day}] += d.Amount
	}
	whole := false
	needed, bought := make([]float64, len(m.g.Items)), make([]float64, len(m.g.Items))
	for _, d := range o.Deliveries { // by day
		if m.packs[d.Item] == nil || m.Bought[d.Item].Pack == 0 {
			continue
		}
		whole, out.Short[d.Item] = true, true
		needed[d.Item] += d.Amount - due[[2]int{d.Item, d.Day}]
		if more := m.pack[d.Item] * math.Ceil((needed[d.Item]-bought[d.Item])/m.pack[d.Item]-Crumb); more > 0 {
			out.Deliveries = append(out.Deliveries, flow.Delivery{Item: d.Item, Day: d.Day, Amount: more, Ordered: more})
			bought[d.Item] += more
		}
	}
	if !whole {
		return s
	}
	return &out
}

// unmet lists what the standing week does not meet: wishes, and what its vessels hold.
func (m *model) unmet(p *Plan, fixed []Fix) (wishes []string) {
	var others []Fix
	done := map[[2]int]float64{} // by step and day
	for r, run := range p.Case.Schedule.Batches {
		done[[2]int{run.Step, run.Day}] += p.Outcome.Ran[r].Batches
	}
	for _, f := range fixed {
		if slices.ContainsFunc(f.days, func(day int) bool { return math.Abs(done[[2]int{f.step, day}]-float64(f.batches)) > Crumb }) {
			others = append(others, f)
		}
	}
	wishes = p.missed(others).Wishes
	for at, served := range p.Outcome.Served {
		if d := at % len(m.Kitchen.Dishes); m.without[d] && served > 0 {
			wishes = append(wishes, m.Kitchen.Dishes[d].Name)
		}
	}
	if m.held {
		return nil // it is what is held: whatever it does not meet can't be met
	}
	for _, x := range m.Calendar(p.Case.Schedule, nil, nil).Clashes() {
		wishes = append(wishes, fmt.Sprintf("%s (%s)", x.Text, m.Vessels[x.Vessel].Pos))
	}
	return wishes
}

// orStanding is the plan, or the standing week where that earns more and meets all wishes.
func (m *model) orStanding(p *Plan, fixed []Fix) *Plan {
	s := m.stands()
	if s.Contribution <= p.Contribution+agree*(1+s.Sales+s.Bought) || len(m.unmet(s, fixed)) > 0 {
		return p
	}
	s.Ended, s.limit = p.Ended, p.limit
	if s.Contribution <= p.Bound {
		s.Bound = p.Bound
	}
	switch {
	case m.held:
		s.Instead = "what is scarce is shared out fairly: that earns more than any other way that was found"
	case s.Contribution > p.limit:
		s.Instead = "this is the standing week: it earns more than any plan by the model of the week"
	default:
		s.Instead = "this is the standing week: it earns more than any plan that was found"
	}
	return s
}
