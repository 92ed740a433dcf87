package plan

// A plan: the best point found, turned back into a schedule and played through the walk.

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu"
	"kettletree/menu/plan/solve"
	"kettletree/menu/plan/solve/verify"
)

// Options are wishes and limits. The zero value asks for the best plan within the usual budget.
type Options struct {
	Fix      []Fix
	Without  []int // dishes, by place in the kitchen
	Progress func(solve.Progress)
}

// budget bounds the search in work, not in time, so that a kitchen has one plan on any machine.
const (
	budget = 120_000 // simplex iterations
	nodes  = 20_000
)

// goodEnough is the relative gap at which the search ends.
const goodEnough = 0.002

// Plan is a schedule with what it comes to.
type Plan struct {
	Case         flow.Case // the schedule that the plan is; nothing in packs is bought beyond it
	Outcome      *flow.Outcome
	Contribution float64 // sales less purchases and cost of batches, plus the change of what is on hand
	Bound        float64 // no plan has a greater contribution
	Sales        float64
	Bought       float64 // purchases
	Labour       float64 // cost of batches
	Stock        float64 // change of what is on hand
	Ended        solve.Status
	Binds        []Bind
	Notes        []string // what the asker should know

	m *model
}

// Clash is why no plan can exist.
type Clash struct {
	Wishes []string // each with its place in the file where it has one
	Least  bool     // leave any one out and the others can be met
}

func (c *Clash) Error() string {
	text := "no plan can exist: these can't be met together"
	if !c.Least {
		text += " (perhaps not all of them are needed for that)"
	}
	return text + "\n  " + strings.Join(c.Wishes, "\n  ")
}

// Make finds a plan. When ctx ends, the best found so far is given, and an error when there is none. The error is a
// [*Clash] when no plan can exist.
func Make(ctx context.Context, w *menu.Week, o Options) (*Plan, error) {
	l := limits{fix: o.Fix, without: make([]bool, len(w.Kitchen.Dishes))}
	for _, d := range o.Without {
		l.without[d] = true
	}
	m, err := newModel(w, l)
	if err != nil {
		return nil, err
	}
	find := func() (solve.Solution, error) {
		return solve.Solve(ctx, m.p, solve.Options{Iterations: budget, Nodes: nodes, Gap: goodEnough, Progress: o.Progress, Start: m.idle(),
			Hints: m.hints, Conflict: true})
	}
	sol, err := find()
	var notes []string
	if err == nil && sol.Status == solve.Infeasible && len(m.seeds) > 0 { // a pot that can't be kept alive must not be the end of planning
		for _, name := range m.seeds {
			notes = append(notes, fmt.Sprintf("%s can't be carried over to the batch after the last day: it has to be begun anew", name))
		}
		l.seedless = true
		if m, err = newModel(w, l); err != nil {
			return nil, err
		}
		sol, err = find()
	}
	if err != nil {
		return nil, err
	}
	if sol.Status == solve.Infeasible {
		return nil, m.clash(sol.Conflict)
	}
	if sol.X == nil {
		if ctx.Err() != nil {
			return nil, context.Cause(ctx)
		}
		return nil, errors.New("no plan was found within the work that is allowed for; set fewer batches with --fix")
	}
	if err := verify.Point(m.p, sol.X, sol.Objective); err != nil {
		return nil, fmt.Errorf("the plan breaks its own model: %w", err)
	}
	p, err := m.play(sol)
	if err != nil {
		return nil, err
	}
	p.Notes = notes
	p.Binds, err = m.binds(ctx, sol)
	return p, err
}

// idle is the plan that does nothing beyond what is fixed: a poor one, which can nearly always be had.
func (m *model) idle() []float64 {
	x := make([]float64, len(m.p.Columns))
	for j, c := range m.p.Columns {
		x[j] = c.Lower
	}
	return x
}

// schedule turns a point into a schedule that the walk plays.
func (m *model) schedule(x []float64) *flow.Schedule {
	s := *m.sched
	s.Runs, s.Wants = slices.Clone(s.Runs), slices.Clone(s.Wants)
	for r := range s.Runs {
		if c := m.batch[r]; c >= 0 {
			s.Runs[r].Batches = x[c]
		}
	}
	for d := range s.Wants {
		s.Wants[d].Forecast = make([]float64, len(s.Slots))
		for slot := range s.Slots {
			if !s.Slots[slot].Closed && m.portions[slot][d] >= 0 {
				s.Wants[d].Forecast[slot] = x[m.portions[slot][d]]
			}
		}
	}
	s.Short = make([]bool, len(m.g.Items))
	for i, days := range m.packs {
		if s.Short[i] = days != nil; !s.Short[i] {
			continue
		}
		for d, c := range days {
			if c >= 0 && x[c] > 0 {
				amount := x[c] * m.Bought[i].Pack
				s.Deliveries = append(s.Deliveries, flow.Delivery{Item: i, Day: d, Amount: amount, Ordered: amount})
			}
		}
	}
	s.Directions = m.directions(x)
	return &s
}

// directions say how the lines are filled that have a choice.
func (m *model) directions(x []float64) *flow.Directions {
	usual := make([]float64, m.Case.Flow.Choices())
	for s, st := range m.g.Steps {
		for l := range st.Uses {
			usual[m.Case.Flow.Choice(s, l, 0)] = 1
		}
	}
	mixes := func(n int) [][]float64 {
		list := make([][]float64, n)
		for k := range list {
			list[k] = slices.Clone(usual)
		}
		return list
	}
	d := &flow.Directions{Serve: mixes(len(m.sched.Slots)), Run: mixes(len(m.sched.Runs)), All: mixes(len(m.sched.Slots))}
	for _, f := range m.fills {
		mix := []float64(nil)
		switch mo := m.row[f.moment]; {
		case mo.Kind == flow.Serves:
			mix = d.Serve[mo.Slot]
		case mo.Run >= 0:
			mix = d.Run[mo.Run]
		default:
			mix = d.All[mo.Slot]
		}
		if x[f.runs] < crumb {
			continue // not done: whatever it would take
		}
		line := m.g.Steps[f.step].Uses[f.line]
		sum := 0.0
		for n, c := range f.choices {
			share := x[c] / x[f.runs]
			if share < crumb {
				share = 0
			}
			sum += share
			mix[m.Case.Flow.Choice(f.step, f.line, n)] = share
		}
		if !line.Optional && sum > 0 { // what rounding left goes round
			for n := range f.choices {
				mix[m.Case.Flow.Choice(f.step, f.line, n)] /= sum
			}
		}
	}
	return d
}

// crumb is an amount of work that only rounding leaves.
const crumb = 1e-7

// play walks the plan and holds it against the model.
func (m *model) play(sol solve.Solution) (*Plan, error) {
	c := flow.Case{Flow: m.Case.Flow, Schedule: m.schedule(sol.X)}
	p := &Plan{Case: c, m: m, Ended: sol.Status, Outcome: c.Flow.Walk(c.Schedule, m.Rule, nil)}
	wants := len(c.Schedule.Wants)
	for at, served := range p.Outcome.Served {
		slot, d := at/wants, at%wants
		if want := c.Schedule.Wants[d].Forecast[slot]; math.Abs(served-want) > 1e-6 {
			return nil, fmt.Errorf("the plan and the walk part: of %s at %s the plan sells %v, the walk %v", m.Kitchen.Dishes[d].Name,
				m.sitting(slot), want, served)
		}
		p.Sales += served * m.Kitchen.Dishes[d].Price
	}
	o := p.Outcome
	for _, d := range o.Deliveries {
		p.Bought += d.Amount * m.Terms.Price[d.Item]
	}
	for s, batches := range o.Batches {
		p.Labour += batches * m.Terms.Cost[s]
	}
	for i, it := range m.g.Items {
		if it.Role != graph.Sold {
			p.Stock += m.gained(i, o)
		}
	}
	p.Contribution = p.Sales - p.Bought - p.Labour + p.Stock
	planned := m.p.Constant
	for j, x := range sol.X {
		planned += m.cost[j] * x
	}
	if math.Abs(planned-p.Contribution) > agree*(1+p.Sales+p.Bought) {
		return nil, fmt.Errorf("the plan and the walk part: the plan reckons with a contribution of %.4f, the walk comes to %.4f",
			planned, p.Contribution)
	}
	p.Bound = max(sol.Bound+m.left, p.Contribution)
	return p, nil
}

// gained is the change in value of what is on hand of an item.
func (m *model) gained(i int, o *flow.Outcome) float64 {
	return (min(m.per(i, o.Left[i]), m.counts[i]) - min(m.shelf[i].opening, m.counts[i])) * m.value[i]
}

// agree is the share of the money that turns over by which model and walk may differ: the one is rounded by a solver.
const agree = 1e-6

// Gap is how far, as a share of it, the contribution may be from the best there is.
func (p *Plan) Gap() float64 { return (p.Bound - p.Contribution) / max(math.Abs(p.Contribution), 1e-9) }

// clash puts a conflict into words.
func (m *model) clash(c *solve.Conflict) error {
	if c == nil {
		return &Clash{Wishes: []string{"the rows of the model"}}
	}
	out := &Clash{Least: c.ProvenMinimal}
	add := func(text string) {
		if !slices.Contains(out.Wishes, text) {
			out.Wishes = append(out.Wishes, text)
		}
	}
	for _, r := range c.Rows {
		add(strings.TrimSpace(fmt.Sprintf("%s  %s", m.p.Rows[r].Name, m.about[r].pos)))
	}
	bound := func(j int, word string, v float64) {
		if name := m.p.Columns[j].Name; v != 0 || word != "at least" {
			text := fmt.Sprintf("%s: %s %g", name, word, v)
			if r := slices.Index(m.batch, j); r >= 0 {
				text += fmt.Sprintf("  %s", m.StepPos[m.sched.Runs[r].Step].Pos)
			}
			add(text)
		}
	}
	for _, j := range c.Lower {
		bound(j, "at least", m.p.Columns[j].Lower)
	}
	for _, j := range c.Upper {
		bound(j, "at most", m.p.Columns[j].Upper)
	}
	return out
}

