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
	late, past := m.tooOld(p.Case)
	if late == 0 {
		return p, ""
	}
	of, t := m.aroundPast(past), m.trying(p)
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

// tooOld is what of all that is made in a case is used after its last day, and how much, in shares of what was made of it at a time.
func (m *model) tooOld(c flow.Case) (share float64, past []week.PastDate) {
	rec := &flow.Record{Movements: true}
	m.Player().Play(c, rec)
	past = m.PastDates(c.Schedule, rec)
	for _, x := range past {
		share += x.Amount / max(x.Lot, x.Amount)
	}
	return share, past
}

// aroundPast are the steps, by number, that such things come of or go into.
func (m *model) aroundPast(past []week.PastDate) map[int]bool {
	of := map[int]bool{}
	for _, x := range past {
		for _, s := range x.By {
			of[s] = true
		}
	}
	for s, st := range m.g.Steps {
		into := m.g.Downstream(m.g.Node(s))
		of[s] = of[s] || slices.ContainsFunc(past, func(x week.PastDate) bool {
			return slices.Contains(into, x.Item) || slices.ContainsFunc(st.Gives, func(o graph.Output) bool { return o.Item == x.Item })
		})
	}
	return of
}

// cantBe says what a plan counts on though it can't be.
func (m *model) cantBe(p *Plan) []string {
	played := &week.Played{Schedule: p.Case.Schedule, Record: &flow.Record{Movements: true}}
	played.Outcome = m.Player().Play(p.Case, played.Record)
	return m.CantBe(played)
}
