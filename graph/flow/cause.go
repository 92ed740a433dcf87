package flow

// Causes: from an item that was used up back to the batch or the delivery that fell short.

import (
	"slices"

	"kettletree/graph"
)

// CauseKind says what a Cause is.
type CauseKind uint8

const (
	UsedUp       CauseKind = iota // Item was used up
	BatchLost                     // Step's run of Day gave Amount less of Item, for it was lost
	BatchLate                     // Step's run of Day had not yet given Item; it comes at Until
	BatchShort                    // Step's run of Day did Amount batches of Of, for it lacked Item
	YieldShort                    // Step's run of Day gave Amount less of Item than it should
	DeliveryLess                  // of Item, ordered for Day, Amount came of Of
	WentOff                       // Item, Amount of it, was found spoiled on Day
	NoDelivery                    // no delivery that still keeps could bring Item by Until
	TooLittle                     // nothing went wrong: what was planned of Item by Until is not enough
)

// Cause is one link of a chain.
type Cause struct {
	Kind       CauseKind
	Item, Step int // Step is -1 where none is concerned
	Day        int // EveryDay for the yield of a step that takes all
	Until      int // minutes after the midnight before day 0
	Amount, Of float64

	run int // BatchLate: the run; -1 when it was under way
}

// Because is the chain of causes behind a stop, from what the portion lacked to what went wrong first. Where several
// things did, it follows the one that an item lost most by.
func (c Case) Because(o *Outcome, st Stop) []Cause {
	return c.WhyOut(o, st.Items, c.Schedule.ServedAt(st.Slot))
}

// WhyOut is the chain of causes behind the last of some items, each of which goes into the one before, being used up at a minute.
func (c Case) WhyOut(o *Outcome, items []int, at int) []Cause {
	var chain []Cause
	for _, i := range items {
		chain = append(chain, Cause{Kind: UsedUp, Item: i, Step: -1})
	}
	if len(items) == 0 {
		return nil
	}
	item := items[len(items)-1]
	for seen := map[int]bool{}; !seen[item]; {
		seen[item] = true
		worst := c.fault(o, item, at, seen)
		chain = append(chain, worst)
		switch worst.Kind {
		case BatchShort:
			item, at = worst.Item, worst.Until
		case UsedUp:
			item = worst.Item
		case BatchLate:
			if item, at = c.waitedFor(o, worst, seen); item < 0 {
				return chain
			}
		default:
			return chain
		}
	}
	return chain
}

// waitedFor is the item that made a run late because it was late itself, and the last moment before it came; -1 when the
// run was late by itself.
func (c Case) waitedFor(o *Outcome, late Cause, seen map[int]bool) (item, at int) {
	if late.run < 0 || c.Schedule.Batches[late.run].Late > 0 {
		return -1, 0
	}
	run, ran := c.Schedule.Batches[late.run], o.Ran[late.run]
	for _, l := range c.Flow.net.g.Steps[run.Step].Takes {
		for _, choice := range l.Choices {
			f := c.fault(o, choice.Item, ran.Start-1, seen)
			if f.Kind == BatchLate && f.Until == ran.Start {
				return choice.Item, ran.Start - 1
			}
		}
	}
	return -1, 0
}

// fault is what an item lost most by before a moment: among what would still keep then, or else, since what is missing of
// an older lot is taken from younger ones, among all.
func (c Case) fault(o *Outcome, item, at int, seen map[int]bool) Cause {
	f := c.faultAmong(o, item, at, false, seen)
	if f.Kind == TooLittle && c.Flow.terms.Keeps[item] > 0 {
		f = c.faultAmong(o, item, at, true, seen)
	}
	return f
}

// faultAmong is fault among what keeps at the moment, or past its keeping too.
func (c Case) faultAmong(o *Outcome, item, at int, past bool, seen map[int]bool) Cause {
	// The worst is kept: what is missing most by one fault.
	n, s := c.Flow.net, c.Schedule
	worst, most := Cause{Kind: TooLittle, Item: item, Step: -1, Until: at}, 0.0
	keeps := func(day int) bool {
		k := c.Flow.terms.Keeps[item]
		return day*1440 <= at && (k == 0 || past || day+k-1 >= at/1440)
	}
	blame := func(deficit float64, cause Cause) {
		if deficit > most*(1+slack) {
			worst, most = cause, deficit
		}
	}
	if n.g.Items[item].Role == graph.Bought && (s.Short == nil || !s.Short[item]) {
		worst.Kind = NoDelivery
	}

	// Deliveries that came short, what was thrown out, and batches under way: late, lost, or of a poor yield.
	for _, d := range o.Deliveries {
		if d.Item == item && keeps(d.Day) {
			blame(d.Ordered-d.Amount, Cause{Kind: DeliveryLess, Item: item, Step: -1, Day: d.Day, Amount: d.Amount, Of: d.Ordered})
		}
	}
	for k, sp := range s.Spoils {
		if sp.Item == item && keeps(sp.Day) {
			blame(o.Spoiled[k], Cause{Kind: WentOff, Item: item, Step: -1, Day: sp.Day, Amount: o.Spoiled[k]})
		}
	}
	for k := range s.Pots {
		for n, g := range s.Pots[k].Gives {
			if due := max(g.Minute, s.From); g.Item == item && due <= at && keeps(due/1440) {
				cause, deficit := c.potFault(&s.Pots[k], n, at)
				blame(deficit, cause)
			}
		}
	}

	// Batches on set days, and steps that take all there is: late, lost, short, or of a poor yield.
	for r, run := range s.Batches {
		if run.Day >= s.Days {
			continue
		}
		for out, g := range n.g.Steps[run.Step].Gives {
			if due := o.Ran[r].Due + g.OutAt; g.Item == item && due <= at && keeps(due/1440) {
				cause, deficit := c.runFault(o, r, out, at)
				blame(deficit, cause)
			}
		}
	}
	for k, b := range s.Burnt {
		for out, g := range n.g.Steps[b.Step].Gives {
			if g.Item == item && keeps(b.Day) {
				gave := o.Burnt[k] * c.Flow.gives[n.outputs[n.place[b.Step]]+int32(out)]
				blame(gave*b.Share, Cause{Kind: BatchLost, Item: item, Step: b.Step, Day: b.Day, Amount: gave * b.Share, Of: gave})
			}
		}
	}
	for _, e := range n.madeBy[n.makers[item]:n.makers[item+1]] {
		if p := n.owner[e]; slices.Contains(n.alls, p) {
			step := int(n.step[p])
			due := o.Batches[step] * n.g.Steps[step].Gives[e-n.outputs[p]].Amount
			less := due - o.Batches[step]*c.Flow.gives[e]
			blame(less, Cause{Kind: YieldShort, Item: item, Step: step, Day: EveryDay, Amount: less, Of: due})
		}
	}

	// Nothing went wrong with the item itself: what held its makers back did.
	if most > 0 {
		return worst
	}
	for _, e := range n.madeBy[n.makers[item]:n.makers[item+1]] {
		p := n.owner[e]
		if limit := o.Held[n.step[p]]; limit >= 0 && !seen[limit] {
			return Cause{Kind: UsedUp, Item: limit, Step: -1}
		}
		if !slices.Contains(n.alls, p) {
			continue
		}
		// A step that takes all gives less when there is less.
		if first := int(n.takes[n.choices[n.lines[p]]]); !seen[first] {
			if f := c.fault(o, first, at, seen); f.Kind != TooLittle && f.Kind != NoDelivery {
				return Cause{Kind: UsedUp, Item: first, Step: -1}
			}
		}
	}
	return worst
}

// potFault is why a batch under way gave less of a line than was due by a moment, and by how much.
func (c Case) potFault(p *Pot, line, at int) (cause Cause, deficit float64) {
	g := p.Gives[line]
	cause = Cause{Item: g.Item, Step: p.Step, Day: p.Day, Of: g.Amount, run: -1}
	if out := g.Minute + p.Late; out > at {
		cause.Kind, cause.Until, cause.Of = BatchLate, out, 0
		return cause, g.Amount
	}
	full := g.Amount * p.factor(line)
	lost := full * p.Lost
	if cause.Kind, cause.Amount = YieldShort, g.Amount-full; lost >= cause.Amount {
		cause.Kind, cause.Amount = BatchLost, lost
	}
	return cause, g.Amount - full + lost
}

// runFault is why output out of run r gave less than was due, and by how much.
func (c Case) runFault(o *Outcome, r, out, at int) (cause Cause, deficit float64) {
	n, run, ran := c.Flow.net, c.Schedule.Batches[r], o.Ran[r]
	g := n.g.Steps[run.Step].Gives[out]
	due := run.Size * g.Amount
	cause = Cause{Item: g.Item, Step: run.Step, Day: run.Day, Of: due, run: r}
	if ran.Start+g.OutAt > at {
		cause.Kind, cause.Until, cause.Of = BatchLate, ran.Start+g.OutAt, 0
		return cause, due
	}
	full := ran.Batches * c.Flow.gives[n.outputs[n.place[run.Step]]+int32(out)] * run.factor(out)
	lost := full * run.Lost
	short := (run.Size - ran.Batches) * g.Amount
	less := due - full - short
	switch {
	case lost >= short && lost >= less:
		cause.Kind, cause.Amount = BatchLost, lost
	case short >= less:
		cause.Kind, cause.Item, cause.Until, cause.Amount, cause.Of = BatchShort, ran.Limit, ran.Start, ran.Batches, run.Size
	default:
		cause.Kind, cause.Amount = YieldShort, less
	}
	return cause, due - full + lost
}
