package logbook

// The beginning of a log book. It begins with its first entry: what was due before that, nobody could have logged, so it neither
// counts as planned nor is overdue. A batch that was to be in the pot then is taken to be in it, for a cook who begins to log at
// seven has had the kettle on since half past ten: what is due of it from then on comes as planned. What had come out of it before
// is on hand only once it is counted or logged.

import (
	"slices"
	"time"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/graph/measure"
)

// begin finds when the log book begins, where that is not before the clock, and starts the clock then.
func (a *asPlanned) begin() {
	if a.player.stock.Entries > 0 {
		return
	}
	a.first = a.AsOf
	for i := range a.entries {
		if !a.lightsNext(i) {
			a.first = a.entries[i].At
			break
		}
	}
	a.Begins = a.first
	a.clock = a.first.Truncate(time.Minute)
	for i := range a.entries {
		a.counted = a.counted || a.entries[i].Kind == Counted
	}
}

// lightsNext tells whether an entry was put before the next one because nobody had written that the batch was lit: its time is
// when the batch was to be lit, and nobody wrote anything then. See [Book.Settle].
func (a *asPlanned) lightsNext(i int) bool {
	e := &a.entries[i]
	return e.Kind == Lit && slices.ContainsFunc(a.entries[i+1:], func(n Entry) bool {
		return n.ID == e.ID+1 && (n.Kind == PutIn || n.Kind == Out || n.Kind == Done) && n.Written.Equal(e.Written) && n.Step == e.Step &&
			n.Begins.Equal(e.Begins)
	})
}

// before tells whether a batch was due before the log book begins. Prep without a time of its own is due until the last moment at
// which it can be ready for the first service.
func (a *asPlanned) before(l *Life) bool {
	if !l.Begins.Before(a.first) {
		return false
	}
	last, ok := a.lastStart(l.Step, l.Day)
	return !ok || last.Before(a.first)
}

// lastStart is the last moment at which a step without a clock can be begun to be ready for the first service of a day; ok is false of
// other steps.
func (a *asPlanned) lastStart(step int, day time.Time) (last time.Time, ok bool) {
	w := a.lives.k
	on := int(day.Sub(w.From).Hours() / 24)
	if step < 0 || a.k.Steps[step].Starts != flow.Untimed || on < 0 || on >= w.Days {
		return last, false
	}
	return minutesAfter(day, w.Begins(on)-a.k.Graph.Steps[step].Length()), true
}

// after are the lines of a card that are not due before the log book begins.
func (a *asPlanned) after(lines []kettleLine) []kettleLine {
	return slices.DeleteFunc(lines, func(l kettleLine) bool { return l.at.Before(a.first) })
}

// inPot notes a batch that is taken to have been in the pot when the log book began, as long as more of it is to come.
func (a *asPlanned) inPot(l *Life) {
	if l.Out.After(a.AsOf) {
		a.InPot = append(a.InPot, l.Name+" of "+measure.FormatDay(l.Day))
	}
}

// unknown finds what was never counted of what the kitchen makes: it counts as none.
func (p *Present) unknown(seen []bool) {
	p.Unknown = make([]bool, len(p.k.Graph.Items))
	for i, it := range p.k.Graph.Items {
		p.Unknown[i] = it.Role != graph.Bought && it.Role != graph.Sold && !seen[i]
	}
}

// Uncounted says what to do where a log book has begun and nothing was counted yet; "" where something was.
func (p *Present) Uncounted() string {
	if p.Begins.IsZero() || p.counted {
		return ""
	}
	return "nothing counted yet, so only what was logged since is on hand: kettletree log counted " + p.k.Example().Out +
		" (log count asks item by item, or the stock-take page)"
}
