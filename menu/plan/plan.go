package plan

// A plan: the best point found, turned back into a schedule and played through the walk.

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/graph/measure"
	"kettletree/menu/plan/solve"
	"kettletree/menu/plan/solve/verify"
	"kettletree/menu/week"
)

// Options are wishes and limits. The zero value asks for the best plan within the usual budget.
type Options struct {
	Fix      []Fix
	Without  []int // dishes, by place in the kitchen
	Held     bool  // leave batches and orders as they are scheduled: choose only who gets what is scarce
	Offer    bool  // with Held, look for specials to offer too
	Progress func(solve.Progress)
	Brief    bool // for a good way to cook soon, with a bound that tells little and nothing said beside it

	iterations int // of the simplex method at most; 0 for what the size of the week allows
}

// The budget bounds the search in work, not in time, so that a kitchen has one plan on any machine.
const (
	mostIterations  = 40_000 // simplex iterations
	leastIterations = 20_000
	work            = 8e8 // iterations times rows: what a large kitchen may take
	long            = 2e7 // ... and over more than a month, which a kitchen looks at and does not cook by
	small           = 4e7 // ... and what a small one may take beyond mostIterations, to be searched to the end
	mostNodes       = 3   // to an iteration: most take some, but not all

	fewRows  = 500    // of a week that is searched to the very end, not until what is found is good enough
	mostRows = 40_000 // of a week that is searched at all: within the work that is allowed for, more come to nothing
)

// budget is how many iterations the search may take over so many rows and days.
func budget(rows, days int) int {
	n := float64(max(rows, 1))
	if days > 31 {
		return int(min(max(long/n, 1), mostIterations))
	}
	return int(max(min(max(work/n, leastIterations), mostIterations), small/n))
}

// goodEnough is the relative gap at which the search ends: forecasts are not that good.
const goodEnough = 0.003

// After so many iterations, which are enough for small kitchens, it ends where no plan is better than one that was tried out by more than
// this share of what that earns with the days behind.
const (
	patience    = 3000
	closeEnough = 0.005
)

// Plan is a schedule with what it comes to.
type Plan struct {
	Case    flow.Case // the schedule that the plan is
	Outcome *flow.Outcome
	week.Books
	// Bound is what no plan passes; +Inf where that is not known: when the walk earned more, or did not follow the plan.
	Bound float64
	Ended solve.Status
	Binds []Bind
	Notes []string // what the asker should know
	// Parted says where the walk, which is the truth, did not follow the model, as that fills its lines. All figures are the walk's.
	Parted []string
	// Instead says why this is the standing week, or, with batches held, what is scarce shared out fairly; "" when it is a
	// plan.
	Instead string

	Apart *Apart // specials that could be offered beside it; nil where none brings anything

	Repeats *Repeats // of a week that is cooked week after week: see [Repeat]

	// Onward is what its days and those behind them come to; the same as Books with batches held, where those behind are not looked
	// at. It is by this that plans are compared.
	Onward week.Books

	ways   int // to cook that were all played, of which it is the best; 0 where they are too many
	m      *model
	coming *Kept     // what is kept of what is to come, without those specials; nil with batches held
	kept   *Kept     // as it is kept, with them and with what was done; nil with batches held
	x      []float64 // the point that it is; nil for the standing week
	off    float64   // what it and the days behind it count off the cards
	limit  float64   // by the model, no plan that goes off the cards no more than this one has a greater contribution, with the days behind it
	most   float64   // by the model, no plan's contribution is greater, less what it counts off the cards
}

// Make finds a plan. When ctx ends, the best found so far is given, and an error when there is none. The error is a
// [*Clash] when no plan can exist.
func Make(ctx context.Context, w *week.Week, o Options) (*Plan, error) {
	if w.Rule.Plans() {
		w = w.By(week.Fair) // the plan itself says who gets what
	}
	l := limits{fix: o.Fix, without: make([]bool, len(w.Kitchen.Dishes)), held: o.Held}
	for _, d := range o.Without {
		l.without[d] = true
	}
	// Search, and with less to be kept where that comes to nothing.
	m, sol, err := find(ctx, w, l, o)
	var notes []string
	if err == nil && sol.X == nil && len(m.seeds) > 0 && ctx.Err() == nil { // a pot that dies must not be the end of planning
		for _, s := range m.seeds {
			notes = append(notes, fmt.Sprintf("%s can't be carried over to the batch after the last day: that one has to start fresh", m.g.Items[s.item].Name))
		}
		l.seedless = true
		m, sol, err = find(ctx, w, l, o)
	}
	if err == nil && sol.X == nil && l.held && ctx.Err() == nil {
		l.easy = true
		m, sol, err = find(ctx, w, l, o)
	}
	if err == nil && sol.X != nil {
		sol.Duals, sol.ReducedCosts = nil, nil // nothing is made of them: see binds
		if wrong := verify.Solution(m.p, sol); wrong != nil {
			err = fmt.Errorf("%w: %w", solve.ErrTrouble, wrong)
		}
	}
	trouble := errors.Is(err, solve.ErrTrouble)

	// What came of it: a plan, or the standing week, or why there can be none.
	var p *Plan
	switch {
	case err != nil && !trouble:
		return nil, err
	case sol.X == nil && ctx.Err() != nil && m.stood == nil:
		return nil, context.Cause(ctx)
	case sol.X == nil && ctx.Err() != nil:
		if p = m.stood; !m.changed {
			p.Instead = nothingBetter
		}
	case trouble || sol.X == nil:
		if p, err = m.instead(ctx, w, l, o, trouble, sol.Status); err != nil {
			return nil, err
		}
	default:
		if p = m.play(sol); !m.held {
			p = m.live(p)
		}
		p = m.playedOut(ctx, m.best(ctx, p, o.Fix))
	}
	p, note := p.m.inDate(ctx, p)
	if note != "" {
		notes = append(notes, note)
	}
	if o.Brief {
		return p, nil
	}

	// What is said beside it.
	if p.Notes = slices.Concat(notes, m.dead()); m.held {
		p.Notes = append(p.Notes, p.Parted...) // else it is shown as it is kept, which is the walk's own
	} else {
		p.Notes = append(p.Notes, m.cantBe(p)...)
		p.Notes = append(p.Notes, m.carriesOn(p)...)
		p.Notes = append(p.Notes, m.elsewhere(p)...)
		p.Notes = append(p.Notes, p.shared(ctx)...)
	}
	if ctx.Err() != nil {
		p.Notes = append(p.Notes, "the search was stopped: this is the best plan found by then")
	}
	if !o.Held || o.Offer {
		p.apart(ctx)
	}
	if p.Instead != "" && p.Instead != nothingBetter {
		p.Notes = append(p.Notes, p.Instead)
		return p, nil
	}
	if p.Binds, err = p.m.binds(ctx, p.m.point(p.Case.Schedule, p.Outcome)); err != nil { // the plan stands without
		p.Notes = append(p.Notes, "what is holding you back could not be worked out")
	}
	return p, nil
}

// instead is the standing week where no plan was found; the error is a [*Clash] when that is because of what is wished.
func (m *model) instead(ctx context.Context, w *week.Week, l limits, o Options, trouble bool, ended solve.Status) (*Plan, error) {
	proven := ended == solve.Infeasible && !trouble && !l.held
	if proven { // why? That may take longer to find out than that it is so
		l.loose = true
		if told, why, err := find(ctx, w, l, o); err == nil && why.Conflict != nil {
			if c := told.clash(why.Conflict); len(c.Wishes) > 0 {
				return nil, c
			}
		}
		l.loose = false
	}
	p := m.stands()
	unmet := m.unmet(p, o.Fix)
	if (proven || len(unmet) > 0) && !trouble { // which wishes does a plan without them miss?
		l.easy, l.fix = true, nil
		if free, sol, err := find(ctx, w, l, o); err == nil && sol.X != nil {
			if c := free.play(sol).missed(o.Fix); len(c.Wishes) > 0 {
				c.Proven = proven
				return nil, c
			}
		}
	}
	p.giveUp(trouble, ended, unmet)
	return p, nil
}

// giveUp says why there is no plan but the standing week. That a model with batches held has no point at all is no fault
// of the solver: the walk itself is a way to serve.
func (p *Plan) giveUp(trouble bool, ended solve.Status, unmet []string) {
	why := "none was found within the work that is allowed for"
	switch {
	case len(p.m.p.Rows) > mostRows:
		why = fmt.Sprintf("%d days of so many dishes are too much to search at once; ask for fewer, with --days", p.m.Days)
	case trouble:
		why = "the search for one came to figures that could not be trusted"
	case ended == solve.Infeasible && len(unmet) > 0:
		why = "none can meet all that is wished for"
	case ended == solve.Infeasible:
		p.Parted = append(p.Parted, "by the model of the week nothing can be served as it is, but it can be walked")
	}
	if p.Instead = "this is the standing week, as no plan was found: " + why; p.m.held {
		p.Instead = "what is scarce is shared out fairly, as no better way was found: " + why
	}
	if len(unmet) > 0 {
		p.Instead += "; it does not meet " + strings.Join(unmet, "; ")
	}
}

// Best is the rule by which what is scarce goes where it earns most: batches and orders stay as they are. Where that can't
// be found, or the walk did not follow it, its notes say so.
var Best week.Rule = best{}

type best struct{}

func (best) String() string      { return "best" }
func (best) Ration() flow.Ration { return flow.Fair } // the plan says who gets what
func (best) Plans() bool         { return true }

func (best) Direct(ctx context.Context, w *week.Week, c flow.Case) (*flow.Schedule, []string, error) {
	p, err := Make(ctx, w.With(c), Options{Held: true})
	if err != nil {
		return nil, nil, err
	}
	notes := slices.Clone(p.Parted)
	if p.Instead != "" {
		notes = append(notes, p.Instead)
	}
	return p.Case.Schedule, notes, nil
}

// find builds the model and solves it.
func find(ctx context.Context, w *week.Week, l limits, o Options) (*model, solve.Solution, error) {
	m, err := newModel(w, l)
	if err != nil {
		return nil, solve.Solution{}, err
	}
	if len(m.p.Rows) > mostRows {
		return m, solve.Solution{Status: solve.Limit}, nil
	}
	iterations := cmp.Or(o.iterations, budget(len(m.p.Rows), m.Days))
	starts := [][]float64{m.idle(), m.point(m.Case.Schedule, m.base)}
	var enough func(int, float64) bool
	if !l.held && !l.easy && !l.loose && ctx.Err() == nil {
		if m.changeStanding(ctx, o.Fix); m.stood != nil {
			o.Progress = m.sofar(o.Progress)
			starts = append(starts, m.point(m.stood.Case.Schedule, m.stood.Outcome))
			enough = func(iterations int, bound float64) bool {
				return iterations >= patience && bound-m.stood.counts() <= closeEnough*math.Abs(m.stood.Onward.Contribution)
			}
		}
	}
	gap := m.gap()
	if len(m.p.Rows) <= fewRows {
		gap, enough = 0, nil
	}
	p, hints, sums := m.totalled()
	for k, x := range starts {
		starts[k] = withTotals(x, sums)
	}
	sol, err := solve.Solve(ctx, p, solve.Options{Iterations: iterations, Nodes: mostNodes * iterations, Gap: gap, Progress: o.Progress,
		Starts: starts, Enough: enough, Hints: hints, Conflict: l.loose, Brief: o.Brief})
	if sol.X != nil {
		sol.X = sol.X[:len(m.p.Columns)]
	}
	return m, sol, err
}

// sofar tells of a search by what was tried out before it, in money of the plan's own days: what the search has found is not played yet.
func (m *model) sofar(tell func(solve.Progress)) func(solve.Progress) {
	if tell == nil {
		return nil
	}
	own := m.stood.Contribution
	return func(p solve.Progress) {
		p.Objective, p.Bound = own, own+max(0, p.Bound-m.stood.counts())
		if p.Gap = math.Inf(1); own != 0 {
			p.Gap = (p.Bound - own) / math.Abs(own)
		}
		tell(p)
	}
}

// gap is the relative gap at which the search ends: that which is good enough of what the plan's own days earn, be it a small part of
// what they and those behind them do.
func (m *model) gap() float64 {
	if m.onward == nil {
		return goodEnough
	}
	own, all := m.worth.Books(m.Case, m.base).Contribution, m.onward.Worth().Books(m.onward.Week.Case, m.onward.Stands).Contribution
	if math.Abs(own) >= math.Abs(all) {
		return goodEnough
	}
	return max(goodEnough*math.Abs(own/all), 1e-6)
}

// dead tells of perpetual stocks that can't be begun.
func (m *model) dead() (notes []string) {
	for s, st := range m.g.Steps[:len(m.Steps)] {
		for _, l := range st.Takes {
			first := l.Choices[0].Item
			if !l.Carried || l.Optional || m.shelf[first].opening+m.shelf[first].due > 0 ||
				slices.ContainsFunc(l.Choices[1:], func(c graph.Choice) bool { return m.g.Items[c.Item].Role == graph.Bought }) {
				continue
			}
			notes = append(notes, fmt.Sprintf("%s takes %s from yesterday, and none is on hand: say with --on-hand what there is, or name something bought after \"or\" (%s)",
				st.Name, m.g.Items[first].Name, m.StepPos[s].Pos))
		}
	}
	return notes
}

// idle is the plan that does nothing beyond what is fixed: a poor one, which can nearly always be had.
func (m *model) idle() []float64 {
	x := make([]float64, len(m.p.Columns))
	for j, c := range m.p.Columns {
		x[j] = c.Lower
	}
	return x
}

// whole is what a number may lack of a whole one and still be taken for it.
const whole = 1e-6

// Crumb is an amount of work that only rounding leaves.
const Crumb = 1e-7

// play walks the plan and holds it against the model.
func (m *model) play(sol solve.Solution) *Plan {
	c := flow.Case{Flow: m.Case.Flow, Schedule: m.schedule(sol.X)}
	p := &Plan{Case: c, m: m, x: sol.X, Ended: sol.Status, Outcome: m.Player().Play(c, nil)}
	wants := len(c.Schedule.Wants)
	p.Books = m.worth.Books(c, p.Outcome)
	for at, served := range p.Outcome.Served {
		slot, d := at/wants, at%wants
		if want := c.Schedule.Wants[d].Forecast[slot]; math.Abs(served-want) > 1e-6 {
			p.Parted = append(p.Parted, fmt.Sprintf("of %s at %s the plan sells %s, but played through %s", m.Kitchen.Dishes[d].Name,
				m.SittingName(slot), measure.FormatNumber(want), measure.FormatNumber(served)))
		}
	}
	planned, is := m.p.Constant, p.Contribution
	own := len(m.cost)
	if m.onward != nil { // what is left is counted on the days behind
		planned, is, own = m.sunk, p.Contribution-p.Stock, m.own
	}
	for j, x := range sol.X[:own] {
		planned += m.cost[j] * x
	}
	p.most = sol.Bound + m.left
	p.limit = p.most
	for _, e := range m.offCard {
		p.limit += e.Value * sol.X[e.Col]
	}
	p.Onward, p.off = m.goesOn(p.Case, p.Outcome, p.Books)
	rounding := agree * (1 + p.Onward.Sales + p.Onward.Bought)
	over := planned - is
	parts := over < -rounding || over > rounding+m.opened(p)
	if m.lots() { // whole batches of what is made as needed cost more, or less, than the parts of them that the model made
		parts = p.counts() > p.most+rounding // of a careful search, the bound is no bound
	}
	if parts {
		p.Parted = append(p.Parted, fmt.Sprintf("the plan counts on a contribution of %.2f, but played through it comes to %.2f", planned, is))
	}
	if p.bounded(); parts || len(p.Parted) > 0 && !m.lots() {
		p.Bound = math.Inf(1)
	}
	return p
}

// goesOn is what a case comes to with the days behind it, and what that counts off the cards. The outcome and the books are of its own
// days.
func (m *model) goesOn(c flow.Case, o *flow.Outcome, books week.Books) (all week.Books, off float64) {
	if m.onward == nil {
		return books, m.departed(o)
	}
	all, o = m.onward.Play(c)
	return all, m.departed(o)
}

// bounded says what no plan passes, by the limit of what one can earn with the days behind it.
func (p *Plan) bounded() { p.Bound = p.Contribution + max(p.limit-p.Onward.Contribution, 0) }

// agree is the share of the money that turns over by which model and walk may differ: the one is rounded by a solver.
const agree = 1e-6

// Gap is how far the contribution may be from that of the best plan there is, as a share of what the plan earns or loses;
// ok only where a bound is known, and there is a contribution to be a share of.
func (p *Plan) Gap() (share float64, ok bool) {
	const nothing = 0.005 // half of the smallest coin of most currencies: no figure that is printed tells it from 0
	if math.IsInf(p.Bound, 1) || math.Abs(p.Contribution) < nothing {
		return 0, false
	}
	return (p.Bound - p.Contribution) / math.Abs(p.Contribution), true
}
