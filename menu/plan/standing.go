package plan

// The standing week, for when no better plan is found.

import (
	"context"
	"fmt"
	"math"
	"slices"

	"kettletree/graph/flow"
	"kettletree/menu/plan/solve"
)

// stands is the week as it stands: as a plan, but without a bound.
func (m *model) stands() *Plan {
	p := m.played(m.Case.Schedule, m.base)
	if !m.held {
		p = m.live(p)
	}
	return p
}

// played is a schedule, with what it came to, as a plan.
func (m *model) played(s *flow.Schedule, o *flow.Outcome) *Plan {
	c := flow.Case{Flow: m.Case.Flow, Schedule: s}
	p := &Plan{Case: c, m: m, Ended: solve.Limit, Outcome: o, Bound: math.Inf(1), Books: m.worth.Books(c, o)}
	p.Onward, p.off = m.goesOn(c, o, p.Books)
	return p
}

// unmet lists what the standing week does not meet: wishes, and what its vessels hold.
func (m *model) unmet(p *Plan, fixed []Fix) (wishes []string) {
	var others []Fix
	done := map[[2]int]float64{} // by step and day
	for r, run := range p.Case.Schedule.Batches {
		done[[2]int{run.Step, run.Day}] += p.Outcome.Ran[r].Batches
	}
	for _, f := range fixed {
		if slices.ContainsFunc(f.days, func(day int) bool { return math.Abs(done[[2]int{f.step, day}]-f.batches) > Crumb }) {
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

// counts is what a plan earns with the days behind it, less what both count off the cards: by that, one is better than another.
func (p *Plan) counts() float64 { return p.Onward.Contribution - p.off }

// nothingBetter is why a plan is the standing week as a rule: the answer begins with it.
const nothingBetter = "this is the standing week: no plan was found that earns more"

// changeStanding tries changes to the standing week, where that meets all wishes.
func (m *model) changeStanding(ctx context.Context, fixed []Fix) {
	if s := m.stands(); len(m.unmet(s, fixed)) == 0 {
		m.stood, m.changed = m.tried(ctx, s)
	}
}

// best is the plan, or the standing week with changes that were tried, or that week as it is: that which earns most with the days
// behind, less what goes off the cards. The latter two only where the standing week meets all wishes.
func (m *model) best(ctx context.Context, p *Plan, fixed []Fix) *Plan {
	if p, _ = m.tried(ctx, p); m.stood == nil {
		m.changeStanding(ctx, fixed)
	}
	if m.stood == nil {
		return p
	}
	s, changed := m.stood, m.changed
	tolerance := agree * (1 + s.Onward.Sales + s.Onward.Bought)
	margin := worthwhile // nothing is changed for less
	if m.held {
		margin = -tolerance
	}
	if p.counts() > s.counts()+margin {
		return p
	}
	s.Ended, s.most, s.limit = p.Ended, p.most, p.most+s.off
	if !math.IsInf(p.Bound, 1) && s.counts() <= s.most+tolerance {
		s.bounded()
	}
	switch {
	case changed:
	case m.held:
		s.Instead = "what is scarce is shared out fairly: that earns more than any other way that was found"
	case s.Onward.Contribution > s.limit+tolerance:
		s.Instead = "this is the standing week: it earns more than any plan by the model of the week"
	default:
		s.Instead = nothingBetter
	}
	return s
}
