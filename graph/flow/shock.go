package flow

// Shocks: changes to be asked about, and the copy of a case that has them.

import (
	"iter"
	"math"
	"slices"
)

// Case is a flow with a schedule to play it by. A what-if is a copy with shocks.
type Case struct {
	Flow     *Flow
	Schedule *Schedule
}

// EveryDay, as the day of a shock, means all of them.
const EveryDay = math.MinInt

// A Shock is a change to be asked about. Amounts are in base units, shares from 0 to 1.
type Shock interface{ change(*Case) }

type (
	// Lose is a share of what a step gives on a day lost after its inputs are in; of a batch under way, of what is still to
	// come. Like Yield and Delay, it reaches those by the day on which they were to begin. Into a batch that is lost whole and that
	// nobody will light, nothing goes in either.
	Lose struct {
		Step, Day int
		Share     float64
		Unlit     bool
	}
	// Scarce is a bought item of which less comes than was ordered: a share of each delivery, or an amount in all, taken
	// off the first deliveries first; what comes of a counted item is whole pieces. No more can be had to make up for it.
	Scarce struct {
		Item, Day     int
		Share, Amount float64
	}
	// Reprice puts a bought item at a price for one base unit.
	Reprice struct {
		Item  int
		Price float64
	}
	// Yield multiplies what a step gives of one output: on a day, what its batches of that day give; for EveryDay all that it
	// gives, to order too. Where nothing is left of an output, none of it can be made to order.
	Yield struct {
		Step, Output, Day int
		Factor            float64
	}
	// Delay makes a step start, and give, later.
	Delay struct{ Step, Day, Minutes int }
	// Ask changes the forecast of a want in some slots: times Factor, plus More, rounded to whole portions, at least 0.
	// Striking a dish off is a Factor of 0.
	Ask struct {
		Want         int
		Slots        []int
		Factor, More float64
	}
)

// With is a copy of the case with the shocks. The case itself is unchanged.
func (c Case) With(shocks ...Shock) Case {
	f, s := *c.Flow, *c.Schedule
	f.terms.Price, f.gives = slices.Clone(f.terms.Price), slices.Clone(f.gives)
	s.Batches, s.Deliveries, s.Spoils, s.Burnt = slices.Clone(s.Batches), slices.Clone(s.Deliveries), slices.Clone(s.Spoils), slices.Clone(s.Burnt)
	s.Wants, s.Short, s.Pots = slices.Clone(s.Wants), slices.Clone(s.Short), slices.Clone(s.Pots)
	s.OfferedIn = slices.Clone(s.OfferedIn)
	s.Offered, s.Prefers, s.Rules = slices.Clone(s.Offered), slices.Clone(s.Prefers), slices.Clone(s.Rules)
	out := Case{&f, &s}
	for _, sh := range shocks {
		sh.change(&out)
	}
	return out
}

// Ordering is a copy of the case in which what came in an outcome comes in any case.
func (c Case) Ordering(o *Outcome) Case {
	s := *c.Schedule
	s.Deliveries = slices.Clone(o.Deliveries)
	return Case{c.Flow, &s}
}

func on(day, of int) bool { return day == EveryDay || day == of }

func (sh Lose) change(c *Case) {
	for r := range c.Schedule.Batches {
		if run := &c.Schedule.Batches[r]; run.Step == sh.Step && on(sh.Day, run.Day) {
			run.Lost = 1 - (1-run.Lost)*(1-sh.Share)
			run.Unlit = run.Unlit || sh.Unlit && run.Lost >= 1
		}
	}
	for pot := range c.Schedule.pots(sh.Step, sh.Day) {
		pot.Lost = 1 - (1-pot.Lost)*(1-sh.Share)
	}
	if n := c.Flow.net; slices.Contains(n.alls, n.place[sh.Step]) {
		for d := range c.Schedule.Days {
			if on(sh.Day, d) {
				c.Schedule.Burnt = append(c.Schedule.Burnt, Burnt{Step: sh.Step, Day: d, Share: sh.Share})
			}
		}
	}
}

func (sh Scarce) change(c *Case) {
	s := c.Schedule
	if sh.Share == 0 && sh.Amount == 0 {
		return
	}
	if s.Short == nil {
		s.Short = make([]bool, len(c.Flow.net.g.Items))
	}
	s.Short[sh.Item] = true
	rest := sh.Amount
	for k := range s.Deliveries {
		d := &s.Deliveries[k]
		if d.Item != sh.Item || !on(sh.Day, d.Day) {
			continue
		}
		less := min(d.Amount*sh.Share+rest, d.Amount)
		rest = max(rest-less, 0)
		if less > 0 {
			d.Amount = pieces(c.Flow.net.g.Items[d.Item].Unit, d.Amount-less)
		}
	}
}

func (sh Spoil) change(c *Case) { c.Schedule.Spoils = append(c.Schedule.Spoils, sh) }

func (sh Reprice) change(c *Case) {
	if c.Flow.terms.Price[sh.Item] = sh.Price; c.Flow.net.either != nil {
		c.Flow.settle()
	}
}

// pots walks the batches under way of a step that were to begin on a day.
func (s *Schedule) pots(step, day int) iter.Seq[*Pot] {
	return func(yield func(*Pot) bool) {
		for k := range s.Pots {
			if p := &s.Pots[k]; p.Step == step && on(day, p.Day) && !yield(p) {
				return
			}
		}
	}
}

func (sh Yield) change(c *Case) {
	n := c.Flow.net
	item := n.g.Steps[sh.Step].Gives[sh.Output].Item
	for pot := range c.Schedule.pots(sh.Step, sh.Day) {
		if pot.Yields = slices.Clone(pot.Yields); pot.Yields == nil {
			pot.Yields = slices.Repeat([]float64{1}, len(pot.Gives))
		}
		for k, g := range pot.Gives {
			if g.Item == item {
				pot.Yields[k] *= sh.Factor
			}
		}
	}
	if sh.Day == EveryDay {
		e := n.outputs[n.place[sh.Step]] + int32(sh.Output)
		c.Flow.gives[e] *= sh.Factor
		if i := n.gives[e]; sh.Factor == 0 && n.toOrder[i] == n.place[sh.Step] { // none can be made to order
			without := *n
			without.toOrder = slices.Clone(n.toOrder)
			without.toOrder[i] = -1
			c.Flow.net = &without
		}
		if n.eitherMade != nil {
			c.Flow.settle()
		}
		return
	}
	for r := range c.Schedule.Batches {
		run := &c.Schedule.Batches[r]
		if run.Step != sh.Step || run.Day != sh.Day {
			continue
		}
		if run.Yields = slices.Clone(run.Yields); run.Yields == nil {
			run.Yields = slices.Repeat([]float64{1}, len(n.g.Steps[sh.Step].Gives))
		}
		run.Yields[sh.Output] *= sh.Factor
	}
}

func (sh Delay) change(c *Case) {
	for pot := range c.Schedule.pots(sh.Step, sh.Day) {
		pot.Late += sh.Minutes
	}
	for r := range c.Schedule.Batches {
		if run := &c.Schedule.Batches[r]; run.Step == sh.Step && on(sh.Day, run.Day) {
			run.Late += sh.Minutes
		}
	}
}

func (sh Ask) change(c *Case) {
	w := &c.Schedule.Wants[sh.Want]
	w.Forecast = slices.Clone(w.Forecast)
	for _, k := range sh.Slots {
		if w.Forecast[k] > 0 || sh.More > 0 {
			w.Forecast[k] = max(0, math.Round(w.Forecast[k]*sh.Factor+sh.More))
		}
	}
}
