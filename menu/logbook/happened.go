package logbook

// What happened on the way to the present, for whoever shows it: as it was written, or overdue.

import (
	"slices"
	"time"

	"kettletree/graph/flow"
	"kettletree/graph/measure"
	"kettletree/menu/week"
)

// overdue notes work that counts as planned and that nobody wrote down.
func (a *asPlanned) overdue(h week.Happening) {
	h.Overdue = !h.At.After(a.AsOf)
	a.happened = append(a.happened, h)
}

// settle takes out of what is overdue the batches of which all was lost, and says until when the rest may be done in time.
func (a *asPlanned) settle() {
	lost := map[batchOf]bool{}
	for _, l := range a.Lives {
		lost[batchOf{l.Step, l.Day}] = l.Lost == 1
	}
	for n := range a.happened {
		h := &a.happened[n]
		if h.Overdue = h.Overdue && !lost[batchOf{h.Step, h.Day}]; !h.Overdue {
			continue
		}
		if h.By = a.by(h); !h.By.After(a.AsOf) {
			a.Overdue = append(a.Overdue, *h)
		}
	}
}

// by is until when something may be done in time: of a step without a clock, until the first service of its day.
func (a *asPlanned) by(h *week.Happening) time.Time {
	if last, ok := a.lastStart(h.Step, h.Day); ok && h.What == string(Lit) && last.After(h.At) {
		return last
	}
	return h.At
}

// drop notes a batch that was to be out the day before yesterday and that nobody wrote down.
func (a *asPlanned) drop(l *Life) {
	if name := l.Name + " of " + measure.FormatDay(l.Day); !slices.Contains(a.Dropped, name) {
		a.Dropped = append(a.Dropped, name)
	}
}

// asBegun is a batch that began as planned: what it took as it began, what went in and came out of it by a minute. The record is
// that of the walk.
func (a *asPlanned) asBegun(w *week.Week, s *flow.Schedule, l *Life, r, upTo int, o *flow.Outcome, rec *flow.Record, dates *week.Dates) []week.Happening {
	start, st := o.Ran[r].Start, &a.k.Graph.Steps[l.Step]
	begun := week.Happening{At: minutesAfter(w.From, start), What: string(Lit), Step: l.Step, Day: l.Day, Batches: o.Ran[r].Batches}
	var later []week.Happening
	for _, e := range rec.Entries {
		if e.What != flow.Took || e.Run != r || e.Step != l.Step || e.Line < 0 {
			continue
		}
		m := week.Measured{Item: e.Item, Amount: e.Amount}
		switch in := st.Takes[e.Line].InAt; {
		case in == 0:
			begun.In = append(begun.In, m)
		case start+in < upTo:
			later = append(later, week.Happening{At: minutesAfter(w.From, start+in), What: string(PutIn), Step: l.Step, Day: l.Day, In: []week.Measured{m}})
		}
	}
	for n, out := range st.Gives {
		amount := o.Ran[r].Batches * w.Case.Flow.Gives(l.Step, n) * (1 - s.Batches[r].Lost)
		if y := s.Batches[r].Yields; y != nil {
			amount *= y[n]
		}
		m := week.Measured{Item: out.Item, Amount: amount}
		if lot := slices.IndexFunc(rec.Lots, func(l flow.Lot) bool { return l.Origin == flow.Given && l.Batch == r && l.Item == out.Item }); lot >= 0 {
			m.Since = dates.Of(lot).Later(int(w.From.Sub(a.From).Hours() / 24))
		}
		switch {
		case amount <= 0:
		case out.OutAt == 0:
			begun.Out = append(begun.Out, m)
		case start+out.OutAt < upTo:
			later = append(later, week.Happening{At: minutesAfter(w.From, start+out.OutAt), What: string(Out), Step: l.Step, Day: l.Day, Out: []week.Measured{m}})
		}
	}
	return append([]week.Happening{begun}, later...)
}

// services notes the services that were served as planned by a minute.
func (a *asPlanned) services(w *week.Week, s *flow.Schedule, upTo int) {
	for slot, at := range s.Slots {
		if at.Closed || at.Start >= upTo || w.Sittings[slot].Service < 0 {
			continue
		}
		a.served[slot] = true
		if !a.clock.Before(a.AsOf) {
			continue
		}
		for d := range s.Wants {
			if s.Wants[d].Forecast[slot] > 0 {
				a.Unwritten = append(a.Unwritten, w.SittingName(slot))
				break
			}
		}
	}
}

// tell notes what was written of a batch. A loss of one that is over took nothing away.
func (a *asPlanned) tell(e *Entry) {
	a.counts.note(e)
	switch e.Kind {
	case Lit, PutIn, Out, Done, Cooked, Skipped, Lost:
	default:
		return
	}
	l := a.lives.settled(e)
	if l.Step < 0 {
		return
	}
	h := week.Happening{At: e.At, What: string(e.Kind), Step: l.Step, Day: l.Day, Batches: e.Batches, Share: e.Share, Entry: e.ID}
	parts := func(list []Amount) (parts []week.Measured) {
		for _, m := range list {
			if i, ok := a.player.itemAt[m.Item]; ok {
				parts = append(parts, week.Measured{Item: i, Amount: m.Base, Mark: m.Mark, Card: m.Typed == ""})
			}
		}
		return parts
	}
	h.In, h.Out = parts(e.Takes), parts(e.Gives)
	if e.Kind == Lost {
		if a.counts.over(a.lives.k, l, e.At) {
			return // all that came of it is counted already
		}
		if h.Batches == 0 { // nobody says how much it was: as planned
			h.Batches = l.Planned
		}
	}
	a.happened = append(a.happened, h)
}

// dated sets the day 1 of what an entry that was played gave.
func (a *asPlanned) dated(e *Entry) {
	for n := len(a.happened) - 1; n >= 0 && a.happened[n].Entry == e.ID; n-- {
		for o := range a.happened[n].Out {
			out := &a.happened[n].Out[o]
			out.Since = a.player.days.Begun(out.Item, a.player.day, a.player.went).Later(-dayNumber(a.From))
		}
	}
}
