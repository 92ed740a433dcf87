package plan

// A small kitchen played out: where there are few ways to cook, all of them are played.

import (
	"context"
	"math"
	"slices"

	"kettletree/graph"
	"kettletree/menu/plan/solve"
)

// mostWays is how many ways to cook are played out at most.
const mostWays = 4000

// playedOut is the best of a plan and of all other ways to cook its days, where they are few: batches of each step on each day, within
// the limits that the search has. Guests are served by the rule and packs bought as they are needed; held back is a dish only as the plan
// that was found has it. Then nothing of a model stands between the plan and its bound, but where a line has a choice and a dish goes short.
func (m *model) playedOut(ctx context.Context, p *Plan) *Plan {
	if m.held || p.coming == nil || p.most-p.counts() < worthwhile || m.clashes(p.Case.Schedule) {
		return p
	}
	t := m.trying(p)
	ways := 1
	for _, r := range t.runs {
		if ways *= t.choices(r); ways > mostWays || ways*t.each() > mostTried {
			return p
		}
	}
	t.freed()
	t.lay()
	was, best := t.living, p.counts() // what is better is laid over the week again only at the end
	var better *Kept
	for way := range ways {
		if ctx.Err() != nil {
			return p
		}
		t.kept = t.kept.copied()
		for _, r := range t.runs {
			n := t.choices(r)
			t.make(r, float64(way%n)*t.Steps[t.sched.Batches[r].Step].Least())
			way /= n
		}
		if t.lay(); t.counts() > best+worthwhile && t.wishesAs(living{model: m, is: p.Case, outcome: p.Outcome}) && !t.clashes(t.is.Schedule) {
			best, better = t.counts(), t.kept
		}
	}
	if t.living = was; better != nil {
		t.kept = better
		t.lay()
		t.finish()
		if told := t.told(p); told.counts() > p.counts() {
			told.Instead = ""
			p = told
		}
	}
	if len(m.fills) > 0 && p.short() {
		return p // what is scarce could go to others, with a stand-in first: see [Plan.shared]
	}
	p.ways, p.Ended = ways, solve.Optimal
	p.most = min(p.most, max(best, p.counts()))
	p.limit = p.most + p.off
	p.bounded()
	return p
}

// choices is how many numbers of batches a run can have.
func (t *trying) choices(r int) int {
	most := float64(t.most[r])
	if t.alone[r] {
		most = min(most, t.first[r])
	}
	return 1 + int(math.Floor(most/t.Steps[t.sched.Batches[r].Step].Least()+whole))
}

// freed lets every dish sell what is asked for but those that are left out, and buys packs as they are needed but those that a par asks
// for.
func (t *trying) freed() {
	t.kept = t.kept.copied()
	for d := range t.kept.Days {
		day := &t.kept.Days[d]
		day.AtMost = slices.DeleteFunc(day.AtMost, func(p KeptPortions) bool { return !t.leaves(p.Dish) })
		day.Orders = slices.DeleteFunc(day.Orders, func(o KeptOrder) bool {
			return t.Par[slices.IndexFunc(t.g.Items, func(it graph.Item) bool { return it.Name == o.Item })] == 0
		})
	}
}
