package plan

// A standing week that feeds itself: planned once, it is cooked week after week.

import (
	"context"
	"fmt"
	"math"
	"slices"
	"time"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu/week"
)

const (
	weekly = 7 // days

	// settled is after how many weeks they are looked at, and looked how many are then: what was on hand at first is used up by then, or
	// gone off, but for what keeps for months; and as whole batches and packs do not come out even by the week, two tell more than one.
	settled = 2
	looked  = 2

	// mostRepeated bounds the work of trying changes, as mostTried does.
	mostRepeated = 6_000_000

	// robbed is how much more than it costs a week counts what it takes from the next.
	robbed = 2
)

// Repeats is what a week comes to that is cooked week after week. Money is unrounded, in the kitchen's currency.
type Repeats struct {
	Earns    float64 `json:"earns"`    // contribution a week: sales - bought - labour - disposal, and the change of bought items on hand
	Standing float64 `json:"standing"` // that of the standing week, repeated in the same way
	First    float64 `json:"first"`    // contribution of the first week, begun with what is on hand now
	Alone    float64 `json:"alone"`    // contribution of that week when it is planned alone
	Falls    []Falls `json:"falls"`    // of which it leaves less than it begins with

	stands *model // the standing week, repeated in the same way
}

// Falls is an item of which each week leaves less than it begins with.
type Falls struct {
	Item     string  `json:"item"`
	Quantity float64 `json:"quantity"`
	Unit     string  `json:"unit"`
}

// repeating is a standing week while it is changed.
type repeating struct {
	*model
	longs   [2]*week.Week // of so many weeks as settle, and with those that are looked at
	players [2]*week.Player
	runs    []weekRun
	usually batches7
	onHand  []flow.Lot // now
	work    int
}

// batches7 are the batches of each step by weekday.
type batches7 [][7]float64

// weekRun is a step on a weekday on which it can be.
type weekRun struct {
	step, weekday int
	most          float64
}

// turn is what a week comes to once the weeks before it were the same.
type turn struct {
	earns  float64
	off    float64
	robs   float64   // what that costs of which it leaves less than it begins with
	served []float64 // of all that were looked at
	onHand []float64 // of each item, when it ends
}

// counts is by what one week is better than another.
func (t *turn) counts() float64 { return t.earns - t.off - robbed*t.robs }

// Repeat finds a standing week that feeds itself, without specials: its end leaves what its beginning needs. It is tried out, from the
// standing week and from a plan of one, by changing one batch after another as long as that earns more, week after week. The plan is such
// a week, begun with what those before it leave. Days that differ by the calendar are not looked at.
func Repeat(ctx context.Context, w *week.Week, o Options) (*Plan, error) {
	first, err := Make(ctx, w, o)
	if err != nil {
		return nil, err
	}
	r, err := newRepeating(w, o)
	if err != nil {
		return nil, err
	}
	best, is := r.best(ctx, r.usually)
	if b, t := r.best(ctx, r.of(first)); t.counts() > is.counts()+worthwhile {
		best, is = b, t
	}
	best, is = r.trimmed(best, is)
	p, err := r.plan(best, o)
	if err != nil {
		return nil, err
	}
	p.apart(ctx)
	stands, err := r.plan(r.standing7(), o)
	if err != nil {
		return nil, err
	}
	p.Repeats = &Repeats{Earns: is.earns, Standing: r.turn(r.standing7()).earns, First: r.first(best), Alone: first.Contribution, stands: stands.m}
	if p.Repeats.Falls, err = r.falls(best); err != nil {
		return nil, err
	}
	p.Notes = append(r.dead(), p.Notes...)
	if r.work >= mostRepeated || ctx.Err() != nil {
		p.Notes = append(p.Notes, "not all changes were tried: this is the best week found by then")
	}
	return p, nil
}

func newRepeating(w *week.Week, o Options) (*repeating, error) {
	usual := *w.Kitchen.Usual()
	usual.Terms = w.Case.Flow.Terms()
	period := week.Period{From: w.From, Days: weekly, OnHand: seeds(w), Rule: w.Rule}
	if w.Rule.Plans() {
		period.Rule = week.Fair
	}
	own, err := week.Over(&usual, period)
	if err != nil {
		return nil, err
	}
	own = without(own, o.Without)
	l := limits{fix: o.Fix, without: make([]bool, len(usual.Dishes))}
	for _, d := range o.Without {
		l.without[d] = true
	}
	r := &repeating{onHand: w.Case.Schedule.OnHand}
	if r.model, err = newModel(own, l); err != nil {
		return nil, err
	}
	for n := range r.longs {
		if r.longs[n], err = own.Longer(weekly * (settled - 1 + n*looked)); err != nil {
			return nil, err
		}
		r.players[n] = own.Player()
	}
	r.usually = r.standing7()
	for n, run := range r.sched.Batches {
		if r.due[n] < 0 {
			continue
		}
		at := weekRun{run.Step, int(r.Date(run.Day).Weekday()), float64(r.most[n])}
		_, alone := r.Unattended(run.Step, run.Day, run.Start)
		if f := r.fixed(run); f.Text != "" {
			r.usually[at.step][at.weekday] = f.batches
		} else if !alone && at.most > 0 {
			r.runs = append(r.runs, at)
		}
	}
	return r, nil
}

// seeds are what is on hand of perpetual stocks, which can't be begun without. Of all else nothing is on hand when weeks begin to be
// repeated: none is to live of what is there now.
func seeds(w *week.Week) (lots []flow.Lot) {
	for _, l := range w.Case.Schedule.OnHand {
		for _, st := range w.Graph.Steps {
			if slices.ContainsFunc(st.Takes, func(t graph.Line) bool { return t.Carried && t.Choices[0].Item == l.Item }) {
				lots = append(lots, l)
				break
			}
		}
	}
	return lots
}

// standing7 are the batches of the standing week.
func (r *repeating) standing7() batches7 {
	b := make(batches7, len(r.Steps))
	for step, card := range r.Steps {
		b[step] = card.Batches
	}
	return b
}

// without is a week in which nobody asks for some dishes.
func without(w *week.Week, dishes []int) *week.Week {
	s := *w.Case.Schedule
	s.Wants = slices.Clone(s.Wants)
	for _, d := range dishes {
		s.Wants[d].Forecast = make([]float64, len(s.Wants[d].Forecast))
	}
	return w.With(flow.Case{Flow: w.Case.Flow, Schedule: &s})
}

// of are the batches of a plan by weekday, where it has a week.
func (r *repeating) of(p *Plan) batches7 {
	b := slices.Clone(r.usually)
	for _, run := range p.Case.Schedule.Batches {
		weekday := int(p.m.Date(run.Day).Weekday())
		if run.Day < p.m.Days && slices.ContainsFunc(r.runs, func(x weekRun) bool { return x.step == run.Step && x.weekday == weekday }) {
			b[run.Step][weekday] = halved(run.Size)
		}
	}
	return b
}

// schedule lays batches over one of the long weeks.
func (r *repeating) schedule(long *week.Week, b batches7) *flow.Schedule {
	s := *long.Case.Schedule
	s.Batches = nil
	for d := range long.Days + weekly { // those behind the last day tell what to keep back
		for step, st := range r.g.Steps[:len(r.Steps)] {
			carries := slices.ContainsFunc(st.Takes, func(l graph.Line) bool { return l.Carried })
			if n := b[step][long.Date(d).Weekday()]; n > 0 && (d < long.Days || carries) {
				s.Batches = append(s.Batches, flow.Batch{Step: step, Day: d, Start: r.Steps[step].Starts, Size: n})
			}
		}
	}
	return &s
}

// turn plays what batches come to, week after week.
func (r *repeating) turn(b batches7) *turn {
	var books [2]week.Books
	var outcomes [2]*flow.Outcome
	for n, long := range r.longs {
		c := flow.Case{Flow: r.Case.Flow, Schedule: r.schedule(long, b)}
		outcomes[n] = r.players[n].Play(c, nil)
		books[n] = r.worth.Books(c, outcomes[n])
		r.work += long.Days * len(r.g.Steps)
	}
	before, after := outcomes[0], outcomes[1]
	t := &turn{earns: (books[1].Sales - books[1].Spent() - (books[0].Sales - books[0].Spent())) / looked, off: (r.departed(after) - r.departed(before)) / looked,
		served: slices.Clone(after.Served[len(before.Served):])}
	for i, it := range r.g.Items {
		t.onHand = append(t.onHand, after.OnHand(i))
		change := after.Left[i] - before.Left[i]
		switch value := change * r.worth.Unit(r.Case.Flow, i) / looked; {
		case it.Role == graph.Sold:
		case it.Role == graph.Bought:
			t.earns += value
		case change < -Crumb*it.Unit.Factor:
			t.robs -= value
		}
	}
	return t
}

// best changes batches one after another as long as the week earns more by it.
func (r *repeating) best(ctx context.Context, from batches7) (batches7, *turn) {
	is, t := from, r.turn(from)
	for again := !r.clash(from); again; {
		again = false
		for _, run := range r.runs {
			for _, other := range r.changes(is, run) {
				if r.work >= mostRepeated || ctx.Err() != nil {
					return is, t
				}
				if now := r.turn(other); now.counts() > t.counts()+worthwhile && r.keepsWishes(t, now) && !r.clash(other) {
					is, t, again = other, now, true
				}
			}
		}
	}
	return is, t
}

// trimmed lets go of batches for which there is never anything to make them of.
func (r *repeating) trimmed(is batches7, t *turn) (batches7, *turn) {
	s := r.schedule(r.longs[1], is)
	most := make(batches7, len(is))
	for n, ran := range r.Case.Flow.Walk(s, r.Rule.Ration(), nil).Ran {
		if b := s.Batches[n]; b.Day < s.Days {
			of := &most[b.Step][r.longs[1].Date(b.Day).Weekday()]
			*of = max(*of, ran.Batches)
		}
	}
	other := slices.Clone(is)
	for _, run := range r.runs {
		least := r.Steps[run.step].Least()
		of := &other[run.step][run.weekday]
		*of = min(*of, math.Ceil(most[run.step][run.weekday]/least-whole)*least)
	}
	if now := r.turn(other); now.counts() >= t.counts()-worthwhile && r.keepsWishes(t, now) {
		return other, now
	}
	return is, t
}

// changes are what can be tried of a step on a weekday: a batch less, a batch on another day in its place, a batch more.
func (r *repeating) changes(is batches7, run weekRun) (list []batches7) {
	least := r.Steps[run.step].Least()
	has := is[run.step][run.weekday]
	with := func(weekday int, batches float64, b batches7) batches7 {
		b = slices.Clone(b)
		b[run.step][weekday] += batches
		return b
	}
	if has >= least {
		fewer := with(run.weekday, -least, is)
		list = append(list, fewer)
		for _, q := range r.runs {
			if q.step == run.step && q.weekday != run.weekday && is[q.step][q.weekday]+least <= q.most {
				list = append(list, with(q.weekday, least, fewer))
			}
		}
	}
	if has+least <= run.most {
		list = append(list, with(run.weekday, least, is))
	}
	return list
}

// clash tells whether batches ask more of a vessel than it holds, the turn of the week included.
func (r *repeating) clash(b batches7) bool {
	long := r.longs[0]
	return len(long.Calendar(r.schedule(long, b), nil, nil).Clashes()) > 0
}

// keepsWishes tells whether a change leaves no less for a par, and sells no fewer of a dish that is never out.
func (r *repeating) keepsWishes(was, now *turn) bool {
	for i, par := range r.Par {
		if now.onHand[i] < min(par, was.onHand[i])*(1-agree) {
			return false
		}
	}
	for at, served := range now.served {
		if r.Kitchen.Dishes[at%len(r.Kitchen.Dishes)].Never && served < was.served[at]-Crumb {
			return false
		}
	}
	return true
}

// first is what the first week earns, begun with what is on hand now.
func (r *repeating) first(b batches7) float64 {
	s := r.schedule(r.Week, b)
	s.OnHand = r.onHand
	c := flow.Case{Flow: r.Case.Flow, Schedule: s}
	return r.worth.Books(c, r.Player().Play(c, nil)).Contribution
}

// plan is the week of which batches are the standing week, begun with what the week before it leaves.
func (r *repeating) plan(b batches7, o Options) (*Plan, error) {
	long := r.longs[0]
	lots, pots := r.Case.Flow.Walk(r.schedule(long, b), r.Rule.Ration(), nil).Ahead(long.Days)
	other := *r.Kitchen
	other.Steps = slices.Clone(other.Steps)
	for step := range other.Steps {
		other.Steps[step].Batches = b[step]
	}
	own, err := week.Over(&other, r.Period)
	if err != nil {
		return nil, err
	}
	own = without(own, o.Without).Continued(nil, func(s *flow.Schedule) {
		s.OnHand, s.Pots = lots, pots
		s.Batches = slices.Clone(s.Batches)
		for d := range own.Days { // none is a decision too
			for step, st := range r.g.Steps[:len(r.Steps)] {
				if st.Mode == graph.OnDays && b[step][own.Date(d).Weekday()] == 0 {
					s.Batches = append(s.Batches, flow.Batch{Step: step, Day: d, Start: r.Steps[step].Starts})
				}
			}
		}
	})
	m, err := newModel(own, r.limits)
	if err != nil {
		return nil, err
	}
	return m.stands(), nil
}

// falls lists what grows less for as long as it is looked at, every two weeks for a quarter of a year, by as much as is worth speaking of.
func (r *repeating) falls(b batches7) (list []Falls, err error) {
	list = []Falls{}
	var lefts [][]float64
	for weeks := 2 * settled; weeks <= 12; weeks += 2 {
		long, err := r.Longer(weekly * (weeks - 1))
		if err != nil {
			return nil, err
		}
		lefts = append(lefts, r.Case.Flow.Walk(r.schedule(long, b), r.Rule.Ration(), nil).Left)
	}
	for i, it := range r.g.Items {
		fell, falls := 0.0, it.Role != graph.Sold
		for n, left := range lefts[1:] {
			by := lefts[n][i] - left[i]
			falls, fell = falls && by > Crumb*it.Unit.Factor, fell+by
		}
		if weeks := float64(2 * (len(lefts) - 1)); falls && fell/weeks*r.worth.Unit(r.Case.Flow, i) >= least {
			list = append(list, Falls{it.Name, r.per(i, fell) / weeks, it.Unit.Name})
		}
	}
	return list, nil
}

// CanRepeat says what keeps a week from being planned to repeat; "" for nothing.
func CanRepeat(w *week.Week) string {
	if w.Days != weekly {
		return fmt.Sprintf("a week that repeats has 7 days, not %d", w.Days)
	}
	for d := range w.Days {
		if day := w.Date(d); w.DateOn(day) != nil {
			return fmt.Sprintf("%s differs from the standing week by the calendar", day.Format(time.DateOnly))
		}
	}
	return ""
}
