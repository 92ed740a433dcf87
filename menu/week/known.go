package week

// When a mishap is known: from then on, and not before, can anything be ordered against it.

import (
	"math"

	"kettletree/graph"
	"kettletree/graph/flow"
)

// Struck is a case after mishaps: what was ordered in an outcome of it comes all the same, and what is then lacking can only
// be had on delivery days from the moment on at which the first of them is known. What they can't reach goes as it would.
func (w *Week) Struck(c flow.Case, ordered *flow.Outcome, mishaps ...flow.Shock) flow.Case {
	return w.StruckFrom(w.Trunk(c.Ordering(ordered), true), ordered, mishaps...)
}

// StruckFrom is a case after mishaps, as [Week.Struck] has it, that differs from a trunk in nothing else: one in which what was
// ordered in an outcome comes.
func (w *Week) StruckFrom(t *flow.Trunk, ordered *flow.Outcome, mishaps ...flow.Shock) flow.Case {
	c := t.Case().With(mishaps...)
	return t.OrderingFrom(c, w.KnownAt(c, ordered, mishaps))
}

// NotBeforeNow is a minute, or that at which the week is asked about, where that is later and on one of its days: nothing can be
// decided in the past. Days that are asked about on another day are asked about as if it were their time.
func (w *Week) NotBeforeNow(minute int) int {
	if w.Asked.Before(w.From) || w.Today(w.Asked) >= w.Days {
		return minute
	}
	return max(minute, int(w.Asked.Sub(w.From).Minutes()))
}

// KnownAt is the minute at which the first of some mishaps is known, in a case with them, by the times of an outcome: a batch
// that is lost, when its first output is out; one that gives less, when the first line is out of which it gives less; a short delivery or a spoiled lot, when its day begins; a step
// that is late, when it should have started; a step without set days, when the first slot of its day begins. It is not before
// the week begins, or goes on, and that where none of them strikes anything.
func (w *Week) KnownAt(c flow.Case, o *flow.Outcome, mishaps []flow.Shock) int {
	first := math.MaxInt
	at := func(minute int) { first = min(first, minute) }
	sched := c.Schedule
	pots := func(step, day, item int) { // when the first line of them is out, be it of one item or (-1) of any
		for _, p := range sched.Pots {
			for _, g := range p.Gives {
				if p.Step == step && (day == flow.EveryDay || day == p.Day) && (item < 0 || item == g.Item) {
					at(g.Minute + p.Late)
				}
			}
		}
	}
	batches := func(step, day int, when func(ran flow.Ran)) {
		for r, b := range sched.Batches {
			if b.Step == step && b.Size > 0 && b.Day < sched.Days && (day == flow.EveryDay || day == b.Day) {
				when(o.Ran[r])
			}
		}
		if w.Graph.Steps[step].Mode != graph.OnDays { // it works at services
			for _, slot := range sched.Slots {
				if day == flow.EveryDay || day == slot.Day {
					at(slot.Start)
				}
			}
		}
	}
	for _, m := range mishaps {
		switch m := m.(type) {
		case flow.Lose:
			out := math.MaxInt
			for _, g := range w.Graph.Steps[m.Step].Gives {
				out = min(out, g.OutAt)
			}
			batches(m.Step, m.Day, func(ran flow.Ran) { at(ran.Start + out) })
			pots(m.Step, m.Day, -1)
		case flow.Yield:
			out := w.Graph.Steps[m.Step].Gives[m.Output].OutAt
			batches(m.Step, m.Day, func(ran flow.Ran) { at(ran.Start + out) })
			pots(m.Step, m.Day, w.Graph.Steps[m.Step].Gives[m.Output].Item)
		case flow.Delay:
			batches(m.Step, m.Day, func(ran flow.Ran) { at(ran.Due) })
			for _, p := range sched.Pots {
				if p.Step == m.Step && (m.Day == flow.EveryDay || m.Day == p.Day) {
					at(p.Start)
				}
			}
		case flow.Scarce:
			for _, d := range sched.Deliveries {
				if d.Item == m.Item && d.Amount < d.Ordered && (m.Day == flow.EveryDay || m.Day == d.Day) {
					at(d.Day * 1440)
				}
			}
		case flow.Spoil:
			at(m.Day * 1440)
		}
	}
	if first == math.MaxInt {
		return sched.From
	}
	return max(first, sched.From)
}
