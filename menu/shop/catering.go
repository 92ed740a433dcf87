package shop

// The search for the batches that a banquet takes.

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
	"kettletree/menu/plan"
	"kettletree/menu/week"
)

// batch is a step on a day.
type batch struct{ step, day int }

// catering looks for the batches that a banquet takes. It adds them one by one where the walk says that something is
// short, the earliest lack first, and then takes away again what turns out not to be needed: see cheaper for what is done with that.
type catering struct {
	*buyer
	need   []Need
	slot   int
	base   flow.Case     // the standing week, asking for no more than it serves; a batch that it cuts is cut in the walk, and takes what comes
	alone  *flow.Outcome // base
	asking flow.Case     // base and the banquet
	more   map[batch]int // further batches
	order  []batch       // keys of more, as they were first added
	barred map[batch]error
	player *week.Player

	ctx    context.Context
	trying func(done float64) // hears how far the search for a cheaper way is; nil where nobody asks
	effort float64            // cash that one batch less is worth

	fills []fill  // lines that are filled with a second choice in part at the banquet's service
	walks int     // that were tried
	saves float64 // what cheaper saved: cash
	fewer int     // and batches
}

func newCatering(ctx context.Context, b *buyer, need []Need, slot int) *catering {
	c := &catering{ctx: ctx, buyer: b, need: need, slot: slot, more: map[batch]int{}, barred: map[batch]error{},
		player: b.Player()}
	s := *b.Case.Schedule
	s.Short = nil // a plan's packs are what it buys, not all that can be had
	o := b.Player().Play(flow.Case{Flow: b.Case.Flow, Schedule: &s}, nil)
	s.Wants = slices.Clone(s.Wants)
	for d := range s.Wants {
		s.Wants[d].Forecast = make([]float64, len(s.Slots))
		for k := range s.Slots {
			s.Wants[d].Forecast[k] = math.Round(o.Served[k*len(s.Wants)+d])
		}
	}
	s.Settle()
	c.base = flow.Case{Flow: b.Case.Flow, Schedule: &s}
	c.alone = b.Player().Play(c.base, nil)
	asking := s
	asking.Wants = slices.Clone(s.Wants)
	for _, n := range need { // an item is wanted as a dish is, all that is needed of it being one portion: the walk makes portions whole
		at := slices.IndexFunc(asking.Wants, func(w flow.Want) bool { return w.Item == n.item })
		if at < 0 {
			at = len(asking.Wants)
			asking.Wants = append(asking.Wants, flow.Want{Item: n.item, Forecast: make([]float64, len(s.Slots))})
		}
		w := &asking.Wants[at]
		if w.Forecast = slices.Clone(w.Forecast); b.g.Items[n.item].Role == graph.Sold {
			w.Forecast[slot] += n.amount
			continue
		}
		if w.Size == nil {
			w.Size = make([]float64, len(s.Slots))
		}
		w.Forecast[slot] = 1
		w.Size[slot] += n.amount
	}
	c.asking = flow.Case{Flow: b.Case.Flow, Schedule: &asking}
	return c
}

// cooking is the asking case with the further batches.
func (c *catering) cooking() *flow.Schedule {
	s := *c.asking.Schedule
	s.Batches = slices.Clone(s.Batches)
	s.Directions = c.directions(&s)
	for _, k := range c.order {
		at := slices.IndexFunc(s.Batches, func(r flow.Batch) bool { return r.Step == k.step && r.Day == k.day })
		if at < 0 {
			at = len(s.Batches)
			s.Batches = append(s.Batches, flow.Batch{Step: k.step, Day: k.day, Start: c.Steps[k.step].Starts})
		}
		s.Batches[at].Size += float64(c.more[k])
	}
	return &s
}

// shortage is the first thing that a walk falls short of.
type shortage struct {
	at     int     // minutes after the midnight before day 0
	item   int     // what is used up; -1 when it can't be told
	amount float64 // batches or portions that are not done
	run    batch   // whose batches can't be done; step is -1 when it is a dish or an item that can't be served
	want   int
}

// shortage walks the banquet with the further batches; ok when nothing is short.
func (c *catering) shortage() (l shortage, o *flow.Outcome, ok bool) {
	c.walks++
	s := c.cooking()
	s.Fractions = true // what is short need not be offered round
	rec := &flow.Record{}
	o = c.player.Play(flow.Case{Flow: c.base.Flow, Schedule: s}, rec)
	l, ok = shortage{at: math.MaxInt}, true
	for r, run := range s.Batches {
		k := batch{run.Step, run.Day}
		due := run.Size
		if r < len(c.alone.Ran) {
			due = c.alone.Ran[r].Batches + float64(c.more[k])
		}
		if short := due - o.Ran[r].Batches; run.Day < c.Days && short > plan.Crumb*(1+due) && o.Ran[r].Start < l.at {
			l, ok = shortage{at: o.Ran[r].Start, item: o.Ran[r].Limit, amount: short, run: k}, false
		}
	}
	for at, served := range o.Served {
		slot, want := at/len(s.Wants), at%len(s.Wants)
		due := c.due(slot, want)
		short := due - served
		if short <= plan.Crumb*(1+due) || s.Slots[slot].Start >= l.at {
			continue
		}
		l, ok = shortage{at: s.Slots[slot].Start, item: s.Wants[want].Item, amount: short, run: batch{step: -1},
			want: want}, false
		for _, stop := range rec.Stops {
			if stop.Slot == slot && stop.Want == want && len(stop.Items) > 0 {
				l.item = stop.Items[len(stop.Items)-1]
			}
		}
	}
	return l, o, ok
}

// due is what has to be served at a slot: what the standing week serves, and the banquet.
func (c *catering) due(slot, want int) float64 {
	return c.asking.Schedule.Wants[want].Forecast[slot]
}

// mostSteps bounds the search: batches that are tried one after another.
const mostSteps = 2000

// cook finds the further batches. The error says what is too late, or what there is no room for.
func (c *catering) cook() error {
	var last shortage
	var lastAdded *batch
	for range mostSteps {
		if err := context.Cause(c.ctx); err != nil {
			return err
		}
		l, o, ok := c.shortage()
		if ok {
			c.spare()
			return nil
		}
		if lastAdded != nil && l.persists(last) && !c.helps(*lastAdded, last) {
			c.bar(*lastAdded, fmt.Errorf("another batch of %s on %s does not help", c.g.Steps[lastAdded.step].Name,
				c.DayName(lastAdded.day)))
			lastAdded = nil
			continue
		}
		k, err := c.source(l.item, l.at, o, 0)
		for _, other := range c.substitutes(l) {
			if err == nil {
				break
			}
			if by, e := c.source(other, l.at, o, 0); e == nil {
				k, err = by, nil
			}
		}
		if err != nil {
			if l.run.step >= 0 && c.more[l.run] > 0 { // this batch can't be done then: another day may do
				c.bar(l.run, err)
				lastAdded = nil
				continue
			}
			return c.tooLate(l, err)
		}
		if c.more[k]++; c.more[k] == 1 && !slices.Contains(c.order, k) {
			c.order = append(c.order, k)
		}
		last, lastAdded = l, &k
	}
	return fmt.Errorf("%s at %s would take more than can be worked out: %d batches were tried", c.what(),
		c.SittingName(c.slot), mostSteps)
}

// persists tells whether a shortage is still the same as before, and no smaller.
func (l shortage) persists(before shortage) bool {
	return l.at == before.at && l.item == before.item && l.run == before.run && l.want == before.want &&
		l.amount > before.amount*(1-plan.Crumb)
}

// mostTaken is how many batches on end may go to something else, such as an optional line, before one helps.
const mostTaken = 8

// helps tries whether still more batches help against a shortage, when one did not. They stay when they do.
func (c *catering) helps(k batch, against shortage) bool {
	tried := 0
	for ; tried < mostTaken && c.room(k, c.vessels()) == ""; tried++ {
		c.more[k]++
		if l, _, ok := c.shortage(); ok || !l.persists(against) && l.run != k {
			return true
		}
	}
	c.more[k] -= tried
	return false
}

// substitutes are the items that can stand in for what is short, in the step that can't be done or in what the dish is
// made of to order.
func (c *catering) substitutes(l shortage) (items []int) {
	steps := []int{l.run.step}
	if l.run.step < 0 {
		steps = nil
		up := c.g.Upstream(c.asking.Schedule.Wants[l.want].Item)
		for s, st := range c.g.Steps {
			if st.Mode == graph.ToOrder && slices.Contains(up, c.g.Node(s)) {
				steps = append(steps, s)
			}
		}
	}
	for _, s := range steps {
		for _, line := range c.g.Steps[s].Takes {
			if !slices.ContainsFunc(line.Choices, func(x graph.Choice) bool { return x.Item == l.item }) {
				continue
			}
			for _, x := range line.Choices {
				if x.Item != l.item && !slices.Contains(items, x.Item) {
					items = append(items, x.Item)
				}
			}
		}
	}
	return items
}

// bar takes a batch away again, and the step is not tried on the day any more.
func (c *catering) bar(k batch, why error) {
	c.more[k]--
	c.barred[k] = why
}

// what is all that the banquet asks for, in words.
func (c *catering) what() string {
	var list []string
	for _, n := range c.need {
		if it := c.g.Items[n.item]; it.Role == graph.Sold {
			list = append(list, fmt.Sprintf("%.0f %s", n.amount, it.Name))
		} else {
			list = append(list, c.Counted(n.item, n.amount))
		}
	}
	return strings.Join(list, ", ")
}

func (c *catering) tooLate(l shortage, why error) error {
	text := fmt.Sprintf("%s at %s can't be had", c.what(), c.SittingName(c.slot))
	switch {
	case l.run.step >= 0:
		text += ": it would take from " + c.OfDay(l.run.day, c.g.Steps[l.run.step].Name)
	case l.at != c.asking.Schedule.Slots[c.slot].Start:
		text += fmt.Sprintf(" without taking from %s at %s", c.g.Items[c.asking.Schedule.Wants[l.want].Item].Name,
			c.Moment(l.at))
	}
	return fmt.Errorf("%s: %w", text, why)
}

// source is where one batch more brings an item by a moment: of the steps and days that can, a day on which the step
// runs anyway before one on which the kitchen is open before any other, and of these the latest. Where the item comes
// from what is taken all of, or made to order, it looks further up.
func (c *catering) source(item, by int, o *flow.Outcome, depth int) (k batch, err error) {
	if item < 0 || depth > len(c.g.Steps) {
		return k, errors.New("it is not clear what is short")
	}
	name := c.g.Items[item].Name
	if c.g.Items[item].Role == graph.Bought {
		return k, fmt.Errorf("%s can't be delivered in time: arrives %s%s", name, c.Kitchen.Bought[item].Arrives, c.keeps(item))
	}

	// Each step that gives the item: what makes it on the spot is asked for its own source, and of the batches on set days the best is kept.
	best, rank, in := batch{step: -1}, 0, c.vessels()
	earliest, by0, full := math.MaxInt, -1, ""
	for step, st := range c.g.Steps {
		out := slices.IndexFunc(st.Gives, func(x graph.Output) bool { return x.Item == item })
		if out < 0 {
			continue
		}
		switch st.Mode {
		case graph.AllOf:
			from := []int{st.Takes[0].Choices[0].Item}
			if held := o.Held[step]; held >= 0 { // at some service, if not at this one
				from = append(from, held)
			}
			for _, slot := range slices.Backward(c.asking.Schedule.Slots) { // the latest at which it works in time
				if slot.Start > by || !c.keepsUntil(item, slot.Start, by) {
					continue
				}
				for _, i := range from {
					var why error
					if k, why = c.source(i, slot.Start, o, depth+1); why == nil {
						return k, nil
					}
					err = cmp.Or(err, why)
				}
			}
		case graph.ToOrder:
			if held := o.Held[step]; held >= 0 {
				var why error
				if k, why = c.source(held, by, o, depth+1); why == nil {
					return k, nil
				}
				err = cmp.Or(err, why)
			}
		default:
			for day := range c.Days {
				k := batch{step, day}
				if _, alone := c.Unattended(step, day, c.Steps[step].Starts); alone && c.standing(k) == 0 {
					continue
				}
				at := c.start(k) + st.Gives[out].OutAt
				if at > by {
					if at < earliest {
						earliest, by0 = at, step
					}
					continue
				}
				if !c.keepsUntil(item, at, by) {
					continue
				}
				if why := c.barred[k]; why != nil {
					err = cmp.Or(err, why)
					continue
				}
				if why := c.room(k, in); why != "" {
					full = why
					continue
				}

				// The later the better, on a day on which the step is done anyway, or the house is open.
				r := 1
				if c.OpenDay(day) {
					r = 2
				}
				if c.standing(k) > 0 {
					r = 3
				}
				if best.step < 0 || r > rank || r == rank && c.start(k) >= c.start(best) {
					best, rank = k, r
				}
			}
		}
	}

	// The batch, or why there is none: what comes nearest.
	switch {
	case best.step >= 0:
		return best, nil
	case full != "":
		return k, fmt.Errorf("there is no room to make more %s in time: %s", name, full)
	case err != nil:
		return k, err
	case by0 >= 0:
		return k, fmt.Errorf("%s is too late: another batch of %s gives it at %s at the earliest", name, c.g.Steps[by0].Name,
			c.Moment(earliest))
	}
	return k, fmt.Errorf("no more %s can be made by %s", name, c.Moment(by))
}

// keepsUntil tells whether an item that is made at one moment keeps until another.
func (b *buyer) keepsUntil(item, made, until int) bool {
	keeps := b.Terms.Keeps[item]
	return keeps == 0 || made/1440+keeps-1 >= until/1440
}

// keeps says how long a bought item keeps; "" when it does not spoil.
func (b *buyer) keeps(item int) string {
	if days := b.Terms.Keeps[item]; days > 0 {
		return ", keeps " + measure.FormatDays(days)
	}
	return ""
}

// start is when a batch begins; one without a clock at the earliest, for it waits for what it takes.
func (c *catering) start(k batch) int {
	if at := c.Steps[k.step].Starts; at != flow.Untimed {
		return k.day*1440 + at
	}
	return k.day * 1440
}

// standing is how many batches there are without the banquet.
func (c *catering) standing(k batch) float64 {
	for _, r := range c.Case.Schedule.Batches {
		if r.Step == k.step && r.Day == k.day {
			return r.Size
		}
	}
	return 0
}

// room says why one batch more of a step finds no room in its vessel on a day; "" when it does.
func (c *catering) room(k batch, in *week.Calendar) string {
	return in.Refuses(k.step, k.day, c.Steps[k.step].Starts, 1)
}

// vessels is what is in the vessels with the further batches.
func (c *catering) vessels() *week.Calendar { return c.Calendar(c.cooking(), nil, nil) }

// spare takes away batches that are not needed, the last added first, until none can be taken away.
func (c *catering) spare() {
	for again := true; again; {
		again = false
		for _, k := range slices.Backward(c.order) {
			for c.more[k] > 0 {
				c.more[k]--
				if _, _, ok := c.shortage(); !ok {
					c.more[k]++
					break
				}
				again = true
			}
		}
	}
}
