package week

// What happened before the moment from which a week goes on.

import (
	"math"
	"slices"
	"time"

	"kettletree/graph"
	"kettletree/graph/flow"
)

// Happening is something that was done with a batch before the week goes on: as it was written down, or as planned, where
// nobody wrote it down.
type Happening struct {
	At      time.Time
	What    string    // one of those below
	Step    int       // of the kitchen
	Day     time.Time // on which the batch was to begin
	Batches float64   // of lit, cooked, waits and lost
	Share   float64   // of lost
	In, Out []Measured
	Entry   int64 // of the log book; 0 where nobody wrote it down

	// Overdue tells that nobody did, nor what became of the batch: it counts as planned. By is then until when it may be done in
	// time, be it later than now.
	Overdue bool
	By      time.Time
}

// What can happen with a batch, as the log book calls it.
const (
	Lit     = "lit"
	PutIn   = "put in"
	Out     = "out"
	Done    = "done"   // all of it is out
	Cooked  = "cooked" // all at once
	Skipped = "skipped"
	Lost    = "lost"
	Waits   = "waits" // it was to begin, and what it takes was not on hand
)

// Measured is how much of an item went in or came out.
type Measured struct {
	Item   int
	Amount float64    // base units
	Mark   string     // of its lot, where it was named
	Card   bool       // nobody measured it: it is by the card
	Since  flow.Since // of Out: the day 1 of its lot, in days of the week
}

// DayOf is the day of the week on which the batch of a happening was to begin.
func (w *Week) DayOf(h *Happening) int { return int(math.Floor(h.Day.Sub(w.From).Hours() / 24)) }

// OutAt is the minute at which an item is out of a batch of a day by the kitchen file, counted from the midnight of day 0: at the earliest,
// where the step has no clock.
func (w *Week) OutAt(step, day, item int) int {
	at := day * 1440
	if starts := w.Kitchen.Steps[step].Starts; starts != flow.Untimed {
		at += starts
	}
	for _, g := range w.Graph.Steps[step].Gives {
		if g.Item == item {
			return at + g.OutAt
		}
	}
	return at
}

// Missed are the batches that were lost, in whole or part, or could not begin, of which nothing is under way or to come: once each.
func (w *Week) Missed() (list []Happening) {
	for _, h := range w.Happened {
		day := w.DayOf(&h)
		if h.What != Lost && h.What != Waits || slices.ContainsFunc(list, func(o Happening) bool { return o.Step == h.Step && o.Day.Equal(h.Day) }) ||
			slices.ContainsFunc(w.Case.Schedule.Pots, func(p flow.Pot) bool { return p.Step == h.Step && p.Day == day }) ||
			slices.ContainsFunc(w.Case.Schedule.Batches, func(b flow.Batch) bool { return b.Step == h.Step && b.Day == day && b.Size > 0 }) {
			continue
		}
		list = append(list, h)
	}
	return list
}

// Continued is the week as it goes on from a minute of its first day: change takes out of a schedule what is over by then. What
// is on hand is valued by the standing week from the same minute on.
func (w *Week) Continued(happened []Happening, change func(*flow.Schedule)) *Week {
	changed := func(c flow.Case) flow.Case {
		s := *c.Schedule
		change(&s)
		return flow.Case{Flow: c.Flow, Schedule: &s}
	}
	next := w.With(changed(w.Case))
	next.OnHand, next.Happened = next.Case.Schedule.OnHand, happened
	next.standing = w.standing.With(changed(w.standing.Case))
	next.standing.stands()
	return next
}

// At is the week as it goes on from a later minute of its first day, when all goes as planned until then. A service that begins
// by then is over.
func (w *Week) At(minute int) *Week {
	rec := &flow.Record{Movements: true}
	pots, begun := w.underWay(minute, rec)
	n := slices.IndexFunc(rec.Entries, func(e flow.Entry) bool { return e.At >= minute })
	if n < 0 {
		n = len(rec.Entries)
	}
	dates := w.Dates(w.Case.Schedule, rec)
	return w.Continued(w.Happened, func(s *flow.Schedule) {
		s.From, s.Pots, s.OnHand = minute, pots, nil
		for _, part := range rec.Left(n) {
			l := rec.Lots[part.Lot]
			s.OnHand = append(s.OnHand, flow.Lot{Item: l.Item, Amount: part.Amount, Made: l.Made, Aged: l.Aged, Since: dates.Of(part.Lot)})
		}
		Without(s, begun)
		s.Slots = slices.Clone(s.Slots)
		for k := range s.Slots {
			s.Slots[k].Closed = s.Slots[k].Closed || s.Slots[k].Start < minute
		}
		s.Deliveries = slices.DeleteFunc(slices.Clone(s.Deliveries), func(d flow.Delivery) bool { return d.Day == 0 })
	})
}

// AsCounted is the week as it goes on from a minute of its first day at which all that is on hand was counted. Of bought items
// that are listed, be it with nothing, no more comes on that day.
func (w *Week) AsCounted(minute int) *Week {
	pots, begun := w.underWay(minute, nil)
	return w.Continued(w.Happened, func(s *flow.Schedule) {
		s.From, s.Pots = minute, pots
		Without(s, begun)
		s.Slots = slices.Clone(s.Slots)
		for k := range s.Slots {
			s.Slots[k].Closed = s.Slots[k].Closed || s.Slots[k].End <= minute
		}
		s.NotBefore = make([]int, len(w.Graph.Items))
		for _, l := range w.OnHand {
			if w.Graph.Items[l.Item].Role == graph.Bought {
				s.NotBefore[l.Item] = 1440
			}
		}
	})
}

// underWay are the batches that have begun by a minute and are not all out, when all goes as planned, and which batches have
// begun. A record, when there is one, is filled.
func (w *Week) underWay(minute int, rec *flow.Record) (pots []flow.Pot, begun func(*flow.Batch) bool) {
	was, o := w.Case.Schedule, w.By(Fair).Player().Play(w.Case, rec)
	for _, p := range was.Pots { // what still goes in was set aside at first
		p.Takes = nil
		p.Gives = slices.DeleteFunc(slices.Clone(p.Gives), func(g flow.PotLine) bool { return g.Minute+p.Late < minute })
		pots = append(pots, p)
	}
	began := map[[2]int]bool{} // by step and day
	for r, b := range was.Batches {
		if b.Day >= w.Days || o.Ran[r].Start >= minute {
			continue
		}
		began[[2]int{b.Step, b.Day}] = true
		p := flow.Pot{Step: b.Step, Day: b.Day, Start: o.Ran[r].Start, Batches: o.Ran[r].Batches, Lost: b.Lost}
		if b.Unlit { // it gives nothing, and what waits for it goes on waiting
			p.Batches = 0
		}
		for k, out := range w.Graph.Steps[b.Step].Gives {
			amount := p.Batches * w.Case.Flow.Gives(b.Step, k)
			if b.Yields != nil {
				amount *= b.Yields[k]
			}
			if at := o.Ran[r].Start + out.OutAt; at >= minute && (amount > 0 || b.Unlit) {
				p.Gives = append(p.Gives, flow.PotLine{Item: out.Item, Amount: amount, Minute: at})
			}
		}
		pots = append(pots, p)
	}
	pots = slices.DeleteFunc(pots, func(p flow.Pot) bool { return len(p.Gives) == 0 })
	return pots, func(b *flow.Batch) bool { return began[[2]int{b.Step, b.Day}] }
}

// Without takes batches out of a schedule, so that nothing waits for them: those of which over says so. It may change the others.
func Without(s *flow.Schedule, over func(*flow.Batch) bool) {
	batches := slices.Clone(s.Batches)
	var run [][]float64
	s.Batches = nil
	for r := range batches {
		if over(&batches[r]) {
			continue
		}
		s.Batches = append(s.Batches, batches[r])
		if s.Directions != nil {
			run = append(run, s.Directions.Run[r])
		}
	}
	if s.Directions != nil {
		d := *s.Directions
		d.Run = run
		s.Directions = &d
	}
}
