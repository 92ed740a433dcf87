package logbook

// One stretch of time towards the present: what was planned in it and not written down, played by the walk.

import (
	"slices"
	"time"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu/week"
)

// segment plays what was planned from the clock to a moment no later than the next midnight.
func (a *asPlanned) segment(end time.Time) {
	w, from := a.day, a.day.From
	now, upTo := int(a.clock.Sub(from).Minutes()), int(end.Sub(from).Minutes())
	s := *w.Case.Schedule
	s.From = now
	future := !a.clock.Before(a.AsOf)

	// Work that was to begin by then and has not, be it by the plan or by the log book.
	s.Batches = nil
	var works []*Life
	due := map[*Life]float64{} // the batches of a step may be written in parts
	for _, batch := range w.Case.Schedule.Batches {
		day := w.Date(batch.Day)
		l := a.lives.of(w.Graph.Steps[batch.Step].Name, day)
		if batch.Day >= 1 {
			s.Batches, works = append(s.Batches, batch), append(works, nil) // seed is kept back for it
			continue
		}
		if l.Planned == 0 && future { // behind the days of which lives are known
			l.Planned = batch.Size
		}
		if a.began[l] {
			continue
		}
		if from.Before(a.opens) && l.Left() > 0 && !l.Out.After(a.opens) {
			a.drop(l)
			continue
		}
		if batch.Size = min(batch.Size, l.Left()-due[l]); batch.Size <= 0 || a.lacked[l] || !l.Begins.Before(end) {
			continue
		}
		due[l] += batch.Size
		batch.Lost = l.lostBy(a.clock)
		batch.Unlit = l.knownBy(a.clock) >= 1
		s.Batches, works = append(s.Batches, batch), append(works, l)
	}

	// Services of which nothing was written down.
	s.Slots, s.Wants = slices.Clone(s.Slots), slices.Clone(s.Wants)
	for d := range s.Wants {
		s.Wants[d].Forecast = slices.Clone(s.Wants[d].Forecast)
	}
	open := false
	if from.Before(a.opens) {
		s.Slots = nil
	}
	for slot := range s.Slots {
		at, sit := &s.Slots[slot], w.Sittings[slot]
		if sit.Service < 0 {
			continue
		}
		begins, ends := minutesAfter(from, at.Start), minutesAfter(from, at.End)
		switch {
		case future && ends.After(a.AsOf): // what is left of it comes
			for d, dish := range w.Dishes {
				if a.today.Equal(w.Date(sit.Day)) {
					f, sold := &s.Wants[d].Forecast[slot], a.sold[plate{dish.Name, w.Services[sit.Service].Name}]
					*f, s.House = max(0, *f-sold), s.House.Having(d, slot, sold)
				}
			}
		case a.served[slot] || ends.After(a.AsOf) || !ends.After(a.first) || a.written(w.Date(sit.Day), sit.Service, ends):
			at.Closed = true
		}
		at.Closed = at.Closed || a.served[slot] || !begins.Before(end)
		open = open || !at.Closed
	}

	// Nothing to do?
	idle := !open && len(due) == 0 && !a.takesAll()
	for n := range a.pots {
		for _, l := range slices.Concat(a.pots[n].takes, a.pots[n].gives) {
			idle = idle && !l.at.Before(end)
		}
	}
	if idle {
		return
	}
	a.walk(w, &s, works, upTo, end)
}

// takesAll tells whether a step of the kitchen takes all there is at services.
func (a *asPlanned) takesAll() bool {
	return slices.ContainsFunc(a.k.Graph.Steps, func(st graph.Step) bool { return st.Mode == graph.AllOf })
}

// written tells whether something was written down as sold at a service of a day, or at any of the day where nobody said which.
func (a *asPlanned) written(day time.Time, service int, ends time.Time) bool {
	for i := range a.entries {
		e := &a.entries[i]
		if e.Kind != Sold {
			continue
		}
		on, at, ok := a.k.ServedAt(e.At, e.Service)
		if ok && at == service && on.Equal(day) || !ok && midnight(e.At).Equal(day) && !e.At.Before(ends) {
			return true
		}
	}
	return false
}

// stock lays what is on hand and under way into a schedule that is played up to a moment. What goes into a pot later is held back
// on its shelf. It says of which lots of the book and of which batches under way those of the schedule are.
func (a *asPlanned) stock(w *week.Week, s *flow.Schedule, end time.Time) (on []onShelf, under []int) {
	held := map[int]float64{}
	s.Pots = nil
	minute := func(t time.Time) int { return int(t.Sub(w.From).Minutes()) }
	for n := range a.pots {
		pot := &a.pots[n]
		if !pot.lit.Before(end) {
			continue
		}
		f := flow.Pot{Step: max(pot.life.Step, 0), Day: int(pot.life.Day.Sub(w.From).Hours() / 24), Start: minute(pot.lit), Batches: pot.batches,
			Lost: pot.lost, Since: a.since(pot).Later(-dayNumber(w.From))}
		for _, l := range pot.takes {
			if l.at.Before(end) {
				f.Takes = append(f.Takes, flow.PotLine{Item: l.item, Amount: l.amount, Minute: minute(l.at)})
			} else {
				held[l.item] += l.amount
			}
		}
		for _, l := range pot.gives {
			if l.at.Before(end) {
				f.Gives = append(f.Gives, flow.PotLine{Item: l.item, Amount: l.amount, Minute: minute(l.at)})
			}
		}
		if len(f.Takes)+len(f.Gives) > 0 {
			s.Pots, under = append(s.Pots, f), append(under, n)
		}
	}
	s.OnHand, s.Arrives = nil, slices.Clone(s.Arrives)
	s.NotBefore = a.notBefore(w.From)
	for i := range a.k.Graph.Items {
		if a.player.uncounted[i] {
			s.Arrives[i] = nil
			continue
		}
		keeps := a.k.Terms.Keeps[i]
		for n, l := range a.player.shelves[i].Lots() {
			made := int(l.Made.Sub(w.From).Hours() / 24)
			if keeps > 0 && made+keeps <= 0 {
				continue
			}
			back := min(held[i], l.Amount)
			held[i] -= back
			if l.Amount-back > 0 {
				s.OnHand = append(s.OnHand, flow.Lot{Item: i, Amount: l.Amount - back, Made: made, Since: l.Since.Later(-dayNumber(w.From))})
				on = append(on, onShelf{i, n, back})
			}
		}
	}
	return on, under
}

// boil takes off the pots what went in and came out of them by a moment, and notes it. A walk has played it.
func (a *asPlanned) boil(end time.Time, d *week.Dates, from time.Time, under []int) {
	for k, n := range under {
		a.pots[n].since = a.pots[n].since.Or(d.InPot(k).Later(dayNumber(from)))
	}
	for n := range a.pots {
		pot := &a.pots[n]
		by := func(l kettleLine) bool { return l.at.Before(end) }
		for _, l := range pot.takes {
			if by(l) {
				a.overdue(week.Happening{At: l.at, What: string(PutIn), Step: pot.life.Step, Day: pot.life.Day,
					In: []week.Measured{{Item: l.item, Amount: l.amount}}})
			}
		}
		for _, l := range pot.gives {
			if by(l) {
				since := a.player.days.Begun(l.item, dayNumber(l.at), a.since(pot)).Later(-dayNumber(a.From))
				a.overdue(week.Happening{At: l.at, What: string(Out), Step: pot.life.Step, Day: pot.life.Day,
					Out: []week.Measured{{Item: l.item, Amount: l.amount * (1 - pot.lost), Since: since}}})
			}
		}
		pot.takes, pot.gives = slices.DeleteFunc(pot.takes, by), slices.DeleteFunc(pot.gives, by)
	}
}

// onShelf says of which lot of the book a lot of a walk is.
type onShelf struct {
	item, lot int
	held      float64 // of it, held back from the walk for what goes into a pot later
}

// walk plays a schedule of the day of the clock up to a minute, and puts what came of it on the shelves.
func (a *asPlanned) walk(w *week.Week, s *flow.Schedule, works []*Life, upTo int, end time.Time) {
	p := a.player

	on, under := a.stock(w, s, end)
	rec := &flow.Record{Movements: true}
	o := w.By(week.Fair).Player().Play(flow.Case{Flow: w.Case.Flow, Schedule: s}, rec)
	dates, days := w.DatesBy(a.player.days, s, rec), dayNumber(w.From)
	a.boil(end, dates, w.From, under)

	// Batches that began, with what goes into them and comes out of them later.
	var putBack []flow.Entry
	for r, l := range works {
		ran := o.Ran[r]
		if l == nil || ran.Start >= upTo {
			continue
		}
		if ran.Batches <= 0 {
			a.lacked[l] = true
			continue
		}
		a.began[l] = true
		if s.Batches[r].Unlit {
			a.unlit(l, ran.Batches)
			continue
		}
		if a.clock.Before(a.AsOf) {
			a.prepared(w, l, r, on, s, o, rec, dates)
		}
		st := &a.k.Graph.Steps[s.Batches[r].Step]
		pot := kettle{life: l, batches: ran.Batches, lost: s.Batches[r].Lost, lit: minutesAfter(w.From, ran.Start)}
		for n, out := range st.Gives {
			if at := ran.Start + out.OutAt; out.OutAt > 0 && at >= upTo {
				pot.gives = append(pot.gives, kettleLine{out.Item, ran.Batches * w.Case.Flow.Gives(s.Batches[r].Step, n), minutesAfter(w.From, at)})
			}
		}
		for n, e := range rec.Entries {
			if e.What == flow.Took && e.Run == r && e.Line >= 0 && e.Line < len(st.Takes) && ran.Start+st.Takes[e.Line].InAt >= upTo && e.Step == s.Batches[r].Step {
				pot.takes = append(pot.takes, kettleLine{e.Item, e.Amount, minutesAfter(w.From, ran.Start+st.Takes[e.Line].InAt)})
				putBack = append(putBack, rec.Entries[n])
			} else if e.What == flow.Took && e.Run == r {
				pot.since = pot.since.Or(dates.Went([]*flow.Entry{&rec.Entries[n]}).Later(days))
			}
		}
		for _, h := range a.asBegun(w, s, l, r, upTo, o, rec, dates) {
			a.overdue(h)
		}
		if len(pot.takes)+len(pot.gives) > 0 {
			a.pots = append(a.pots, pot)
		}
	}
	a.pots = slices.DeleteFunc(a.pots, func(p kettle) bool { return len(p.takes)+len(p.gives) == 0 })
	a.services(w, s, upTo)

	// What is left of each lot goes back to its shelf; what came lies behind.
	n := slices.IndexFunc(rec.Entries, func(e flow.Entry) bool { return e.At >= upTo })
	if n < 0 {
		n = len(rec.Entries)
	}
	left := make([]float64, len(rec.Lots))
	for _, part := range rec.Left(n) {
		left[part.Lot] += part.Amount
	}
	for _, e := range putBack {
		for _, part := range e.Lots {
			left[part.Lot] += part.Amount
		}
	}
	for k, l := range rec.Lots {
		switch {
		case k < len(on):
			if p.uncounted[l.Item] {
				continue
			}
			p.shelves[l.Item].Lots()[on[k].lot].Amount = left[k] + on[k].held
		case l.At < upTo && l.Origin == flow.Delivered:
			if a.ordered[l.Item] -= l.Amount; left[k] > 0 && !p.uncounted[l.Item] {
				p.shelves[l.Item].Put(Lot{Item: l.Item, Amount: left[k], Made: w.Date(l.Made), Since: dates.Of(k).Later(days)})
			}
		case l.At < upTo && left[k] > 0 && !p.uncounted[l.Item] && a.k.Graph.Items[l.Item].Role != graph.Sold:
			p.shelves[l.Item].Put(Lot{Item: l.Item, Amount: left[k], Made: w.Date(l.Made), Since: dates.Of(k).Later(days)})
			p.seen[l.Item] = true
		}
	}
	for i := range a.k.Graph.Items {
		p.shelves[i].tidy()
		p.have[i] = 0
		for _, l := range p.shelves[i].Lots() {
			p.have[i] += l.Amount
		}
	}
}

// tidy takes off the lots of which nothing is left.
func (s *shelf) tidy() {
	for n := 0; n < len(s.Lots()); {
		if l := s.Lots()[n]; l.Amount > 0 {
			n++
			continue
		}
		s.last = s.Lots()[n]
		s.Remove(n)
	}
}
