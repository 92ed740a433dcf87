package plan

// A plan tried out: its batches changed one after another, as long as the kitchen, played, earns more by it.

import (
	"context"
	"math"
	"slices"

	"kettletree/graph"
	"kettletree/graph/flow"
)

// mostTried bounds the work of trying changes: plays, times the days of each, times the steps and dishes.
const mostTried = 1_500_000

// trying is a plan while changes to it are tried.
type trying struct {
	living
	work  int             // that was done
	runs  []int           // whose batches may be changed
	alone map[int]bool    // those that nobody can see to: they are only made fewer
	first map[int]float64 // by run: batches before anything was tried
}

// change makes so many batches more of a run, and as many fewer of another; either may be none.
type change struct {
	more, fewer int
	batches     float64
}

// tried is a plan with its batches changed as long as that earns more with the days behind it: one made more, or fewer, or on another
// day. The search knows the kitchen by its model, which is coarse behind the plan's days and makes parts of what is made as needed;
// here it is played. A plan that clashes in a vessel stays as it is.
func (m *model) tried(ctx context.Context, p *Plan) (better *Plan, changed bool) {
	if m.held || m.clashes(p.Case.Schedule) {
		return p, false
	}
	t := m.trying(p)
	slices.SortStableFunc(t.runs, func(a, b int) int { // first what is better not made
		switch {
		case t.alone[a] == t.alone[b]:
			return 0
		case t.alone[a]:
			return -1
		}
		return 1
	})
	t.lay()
	t.unorder()
	for again := true; again; changed = changed || again {
		again = false
		for _, r := range t.runs {
			for _, c := range t.changes(r) {
				again = t.work < mostTried && ctx.Err() == nil && t.try(c) || again
			}
		}
	}
	if changed = t.idle() || changed; !changed {
		return p, false
	}
	t.finish()
	if better = t.told(p); better.counts() < p.counts()-worthwhile {
		return p, false
	}
	return better, true
}

// trying is a plan with nothing tried yet.
func (m *model) trying(p *Plan) *trying {
	t := &trying{living: living{model: m, kept: p.coming}, alone: map[int]bool{}, first: map[int]float64{}}
	for r, run := range m.sched.Batches {
		if m.due[r] >= 0 && m.most[r] > 0 && m.fixed(run).Text == "" {
			t.runs, t.first[r] = append(t.runs, r), t.made(r)
			_, t.alone[r] = m.Unattended(run.Step, run.Day, run.Start)
		}
	}
	return t
}

// each is the work of one play.
func (t *trying) each() int { return (t.Days + t.model.onward.Week.Days) * len(t.g.Steps) }

// unorder lets what comes in packs be bought as it is needed while changes are tried, where that comes to no less.
func (t *trying) unorder() {
	was := t.living
	t.kept = t.kept.copied()
	for d := range t.kept.Days {
		t.kept.Days[d].Orders = slices.DeleteFunc(t.kept.Days[d].Orders, func(o KeptOrder) bool {
			return t.Par[slices.IndexFunc(t.g.Items, func(it graph.Item) bool { return it.Name == o.Item })] == 0
		})
	}
	if t.lay(); t.counts() < was.counts()-worthwhile {
		t.living = was
	}
}

// changes are those that can be tried of a run.
func (t *trying) changes(r int) (list []change) {
	step := t.sched.Batches[r].Step
	least := t.Steps[step].Least()
	room := func(q int) bool { return !t.alone[q] && t.made(q)+least <= float64(t.most[q]) }
	if t.made(r) >= least {
		list = append(list, change{none, r, least})
		for _, q := range t.runs {
			if q != r && t.sched.Batches[q].Step == step && room(q) {
				list = append(list, change{q, r, least})
			}
		}
	}
	if room(r) {
		list = append(list, change{r, none, least})
	}
	return list
}

// idle lets go of batches for which there is nothing to make them of.
func (t *trying) idle() (some bool) {
	for r, b := range t.is.Schedule.Batches {
		at := slices.IndexFunc(t.runs, func(q int) bool { return t.sched.Batches[q].Step == b.Step && t.sched.Batches[q].Day == b.Day })
		if at < 0 || b.Size-t.outcome.Ran[r].Batches < 1-whole {
			continue
		}
		was := t.living
		t.kept = t.kept.copied()
		t.make(t.runs[at], math.Ceil(t.outcome.Ran[r].Batches-whole))
		if t.lay(); t.counts() < was.counts()-worthwhile || !t.wishesAs(was) {
			t.living = was
			continue
		}
		some = true
	}
	return some
}

// try makes a change, and takes it back where the plan earns no more by it.
func (t *trying) try(c change) bool {
	was := t.living
	t.work += t.each()
	if t.change(c); t.counts() > was.counts()+worthwhile && t.wishesAs(was) && !t.clashes(t.is.Schedule) {
		return true
	}
	t.living = was
	return false
}

// change makes a change, and plays it.
func (t *trying) change(c change) {
	t.kept = t.kept.copied()
	if c.more != none {
		t.make(c.more, t.made(c.more)+c.batches)
	}
	if c.fewer != none {
		t.make(c.fewer, max(0, t.made(c.fewer)-c.batches))
	}
	t.lay()
}

// made is how many batches of a run are kept.
func (t *trying) made(r int) float64 {
	run := t.sched.Batches[r]
	for _, b := range t.kept.Days[run.Day].Batches {
		if b.Step == t.g.Steps[run.Step].Name {
			return b.Batches
		}
	}
	return 0
}

// make keeps so many batches of a run.
func (t *trying) make(r int, batches float64) {
	run := t.sched.Batches[r]
	name, of := t.g.Steps[run.Step].Name, &t.kept.Days[run.Day].Batches
	*of = append(slices.DeleteFunc(*of, func(b KeptBatches) bool { return b.Step == name }), KeptBatches{name, batches})
}

// wishesAs tells whether a change leaves no less for a par, lets no perpetual stock die, and sells no fewer of a dish that is never out.
func (t *trying) wishesAs(was living) bool {
	for at, served := range t.outcome.Served {
		if t.Kitchen.Dishes[at%len(t.Kitchen.Dishes)].Never && served < was.outcome.Served[at]-Crumb {
			return false
		}
	}
	return t.keepsPars(was) && len(t.dropped(t.is)) <= len(t.dropped(was.is))
}

// clashes tells whether a schedule asks more of a vessel than it holds.
func (m *model) clashes(s *flow.Schedule) bool { return len(m.Calendar(s, nil, nil).Clashes()) > 0 }

// copied is the same for one who changes batches and orders.
func (k *Kept) copied() *Kept {
	out := *k
	out.Days = slices.Clone(k.Days)
	for d := range out.Days {
		day := &out.Days[d]
		day.Batches, day.Orders, day.AtMost = slices.Clone(day.Batches), slices.Clone(day.Orders), slices.Clone(day.AtMost)
	}
	return &out
}
