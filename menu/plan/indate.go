package plan

// Within its dates: no plan is given that uses something after its last day where making it later, or less of it, would do.

import (
	"context"
	"fmt"
	"slices"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu/week"
)

// inDate is a plan with its batches changed until nothing is used after its last day, or as little as can be: each time by the change that
// leaves the least of that, and of those by the one that earns most; then by those that earn more and use no more of it too late. The model knows no dates but the file's own keeping.
func (m *model) inDate(ctx context.Context, p *Plan) (better *Plan, note string) {
	if m.held || p.coming == nil {
		return p, ""
	}
	late, of := m.tooOld(p.Case)
	if late == 0 {
		return p, ""
	}
	t := m.trying(p)
	t.runs = slices.DeleteFunc(t.runs, func(r int) bool { return !of[m.sched.Batches[r].Step] })
	if each := 2 * t.each(); each*len(t.runs)*len(t.runs) > mostTried { // it is said of what is used too late
		return p, ""
	}
	t.lay()
	changed := false
	for late > 0 && ctx.Err() == nil && t.work < mostTried {
		was, least, best := t.living, late-whole, living{}
		for _, r := range t.runs {
			for _, c := range t.changes(r) {
				t.living = was
				t.work += 2 * t.each()
				t.change(c)
				if !t.wishesAs(was) || t.clashes(t.is.Schedule) && !t.clashes(was.is.Schedule) {
					continue
				}
				if left, _ := m.tooOld(t.is); left < least-whole || best.kept != nil && left < least+whole && t.counts() > best.counts() {
					least, best = left, t.living
				}
			}
		}
		if t.living = was; best.kept == nil {
			break
		}
		t.living, late, changed = best, least, true
	}
	if !changed {
		return p, ""
	}
	for again := true; again; { // what is cooked otherwise now may be better cooked on another day
		again = false
		for _, r := range t.runs {
			for _, c := range t.changes(r) {
				was := t.living
				if t.work >= mostTried || ctx.Err() != nil || !t.try(c) {
					continue
				}
				if left, _ := m.tooOld(t.is); left > late+whole {
					t.living = was
				} else {
					again = true
				}
			}
		}
	}
	better = t.told(p)
	better.Instead, better.ways = "", 0
	return better, fmt.Sprintf("batches are later or smaller so that nothing is used after its last day: the plan would else earn %.2f more", max(0, p.Onward.Contribution-better.Onward.Contribution))
}

// tooOld is how much of what is made in a case is used after its last day, in shares of what was made of it at a time; and the steps, by number,
// that such things come of or go into.
func (m *model) tooOld(c flow.Case) (share float64, of map[int]bool) {
	rec := &flow.Record{Movements: true}
	m.Player().Play(c, rec)
	of = map[int]bool{}
	for _, x := range m.PastDates(c.Schedule, rec) {
		share += x.Amount / max(x.Lot, x.Amount)
		for _, s := range x.By {
			of[s] = true
		}
		for s, st := range m.g.Steps {
			if up := m.g.Downstream(m.g.Node(s)); slices.Contains(up, x.Item) || slices.ContainsFunc(st.Gives, func(o graph.Output) bool { return o.Item == x.Item }) {
				of[s] = true
			}
		}
	}
	return share, of
}

// cantBe says what a plan counts on though it can't be.
func (m *model) cantBe(p *Plan) []string {
	played := &week.Played{Schedule: p.Case.Schedule, Record: &flow.Record{Movements: true}}
	played.Outcome = m.Player().Play(p.Case, played.Record)
	return m.CantBe(played)
}
