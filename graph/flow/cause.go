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
	NoDelivery                    // no delivery that still keeps could bring Item
	TooLittle                     // nothing went wrong: what was planned of Item is not enough
)

// Cause is one link of a chain.
type Cause struct {
	Kind       CauseKind
	Item, Step int // Step is -1 where none is concerned
	Day        int
	Until      int // minutes after the midnight before day 0
	Amount, Of float64
}

// Because is the chain of causes behind a stop, from what the portion lacked to what went wrong first. Where several
// things did, it follows the one that an item lost most by.
func (c Case) Because(o *Outcome, st Stop) []Cause {
	var chain []Cause
	at := c.Schedule.Slots[st.Slot].Start
	for _, i := range st.Items {
		chain = append(chain, Cause{Kind: UsedUp, Item: i, Step: -1})
	}
	if len(st.Items) == 0 {
		return nil
	}
	item := st.Items[len(st.Items)-1]
	seen := map[int]bool{}
	for !seen[item] {
		seen[item] = true
		worst := c.fault(o, item, at, seen)
		chain = append(chain, worst)
		if worst.Kind != BatchShort && worst.Kind != UsedUp {
			break
		}
		item, at = worst.Item, worst.Until
	}
	return chain
}

// fault is what an item lost most by before a moment, among what would still keep then.
func (c Case) fault(o *Outcome, item, at int, seen map[int]bool) Cause {
	n, s := c.Flow.net, c.Schedule
	worst, most := Cause{Kind: TooLittle, Item: item, Step: -1}, 0.0
	keeps := func(day int) bool {
		k := c.Flow.terms.Keeps[item]
		return day*1440 <= at && (k == 0 || day+k-1 >= at/1440)
	}
	blame := func(deficit float64, cause Cause) {
		if deficit > most*(1+slack) {
			worst, most = cause, deficit
		}
	}
	if n.g.Items[item].Role == graph.Bought {
		if s.Short == nil || !s.Short[item] {
			return Cause{Kind: NoDelivery, Item: item, Step: -1}
		}
		for _, d := range o.Deliveries {
			if d.Item == item && keeps(d.Day) {
				blame(d.Ordered-d.Amount, Cause{Kind: DeliveryLess, Item: item, Step: -1, Day: d.Day, Amount: d.Amount, Of: d.Ordered})
			}
		}
	}
	for r, run := range s.Runs {
		if run.Day >= s.Days {
			continue
		}
		ran := o.Ran[r]
		st := n.g.Steps[run.Step]
		for out, g := range st.Gives {
			planned := ran.Start - run.Late + g.OutAt
			if g.Item != item || planned > at || !keeps(planned/1440) {
				continue
			}
			due := run.Batches * g.Amount
			e := n.outputs[n.place[run.Step]] + int32(out)
			gave := ran.Batches * c.Flow.gives[e] * run.factor(out) * (1 - run.Lost)
			if ran.Start+g.OutAt > at {
				blame(due, Cause{Kind: BatchLate, Item: item, Step: run.Step, Day: run.Day, Until: ran.Start + g.OutAt})
				continue
			}
			lost := ran.Batches * c.Flow.gives[e] * run.factor(out) * run.Lost
			short := (run.Batches - ran.Batches) * g.Amount
			less := due - gave - lost - short
			switch {
			case lost >= short && lost >= less:
				blame(due-gave, Cause{Kind: BatchLost, Item: item, Step: run.Step, Day: run.Day, Amount: lost, Of: due})
			case short >= less:
				blame(due-gave, Cause{Kind: BatchShort, Item: ran.Limit, Step: run.Step, Day: run.Day, Until: ran.Start,
					Amount: ran.Batches, Of: run.Batches})
			default:
				blame(due-gave, Cause{Kind: YieldShort, Item: item, Step: run.Step, Day: run.Day, Amount: less, Of: due})
			}
		}
	}
	for _, b := range s.Burnt {
		if slices.ContainsFunc(n.g.Steps[b.Step].Gives, func(g graph.Output) bool { return g.Item == item }) && keeps(b.Day) {
			if lost := o.Lost[item]; lost > 0 {
				blame(lost, Cause{Kind: BatchLost, Item: item, Step: b.Step, Day: b.Day, Amount: lost, Of: lost})
			}
		}
	}
	if worst.Kind != TooLittle {
		return worst
	}
	for _, sp := range s.Spoils {
		if sp.Item == item && sp.Day*1440 <= at {
			return Cause{Kind: WentOff, Item: item, Step: -1, Day: sp.Day}
		}
	}
	for _, e := range n.madeBy[n.makers[item]:n.makers[item+1]] { // a step that takes all gives less when there is less
		p := n.owner[e]
		if first := int(n.takes[n.choices[n.lines[p]]]); slices.Contains(n.alls, p) && !seen[first] {
			if c.fault(o, first, at, seen).Kind != TooLittle {
				return Cause{Kind: UsedUp, Item: first, Step: -1, Until: at}
			}
		}
	}
	return worst
}
