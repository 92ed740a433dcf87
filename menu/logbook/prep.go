package logbook

// Prep without a time of its own: it is to be ready when the first service begins. A walk does it as early as can be, so that what
// rests on it finds it; but as long as nothing has touched it, it is still to be done, and is not on hand.

import (
	"slices"
	"time"

	"kettletree/graph/flow"
	"kettletree/menu/week"
)

// prep is such a batch as a walk did it: what it took off which lots, and what it gave.
type prep struct {
	life  *Life
	by    time.Time
	takes []Lot // with the amounts that were taken of them
	gives []Lot
	buys  []Lot // what was bought for it
}

// prepared notes a batch without a time, as long as it is to be ready only later.
func (a *asPlanned) prepared(w *week.Week, l *Life, r int, on []onShelf, s *flow.Schedule, o *flow.Outcome, rec *flow.Record, dates *week.Dates) {
	st := &a.k.Graph.Steps[l.Step]
	if a.k.Steps[l.Step].Starts != flow.Untimed || st.Length() > 0 {
		return
	}
	p := prep{life: l, by: w.From}
	for _, slot := range w.Case.Schedule.Slots {
		if slot.Day == 0 {
			p.by = minutesAfter(w.From, slot.Start)
			break
		}
	}
	for _, e := range rec.Entries {
		if e.What != flow.Took || e.Run != r || a.player.uncounted[e.Item] {
			continue
		}
		for _, part := range e.Lots {
			of := rec.Lots[part.Lot]
			switch {
			case part.Lot < len(on):
				lot := a.player.shelves[of.Item].Lots()[on[part.Lot].lot]
				lot.Amount = part.Amount
				p.takes = append(p.takes, lot)
			case of.Origin == flow.Delivered:
				p.buys = append(p.buys, Lot{Item: of.Item, Amount: part.Amount})
			default:
				p.takes = append(p.takes, Lot{Item: of.Item, Amount: part.Amount, Made: w.Date(of.Made),
					Since: dates.Of(part.Lot).Later(dayNumber(w.From))})
			}
		}
	}
	for n, out := range st.Gives {
		if amount := o.Ran[r].Batches * w.Case.Flow.Gives(l.Step, n) * (1 - s.Batches[r].Lost); amount > 0 {
			p.gives = append(p.gives, Lot{Item: out.Item, Amount: amount, Made: w.From})
		}
	}
	a.preps = append(a.preps, p)
}

// unprepare puts back what prep took that nothing has touched and that is to be ready only after a moment, the last first: what was
// made of other prep is put back before it. It comes before each entry, too: who counts before the prep is done finds none of it.
func (a *asPlanned) unprepare(at time.Time) {
	preps := a.preps
	a.preps = nil
	for _, p := range slices.Backward(preps) {
		if !p.by.After(at) || slices.ContainsFunc(p.gives, func(l Lot) bool { return a.fresh(l) < l.Amount*(1-slack) }) {
			a.preps = append(a.preps, p)
			continue
		}
		for _, l := range p.gives {
			a.takeFresh(l)
		}
		for _, l := range p.takes {
			a.putBack(l)
		}
		for _, l := range p.buys {
			a.ordered[l.Item] += l.Amount
		}
		delete(a.began, p.life)
		gone := func(h week.Happening) bool { return h.Entry == 0 && h.Step == p.life.Step && h.Day.Equal(p.life.Day) }
		a.happened, a.Overdue = slices.DeleteFunc(a.happened, gone), slices.DeleteFunc(a.Overdue, gone)
	}
	slices.Reverse(a.preps)
}

// isFresh tells whether a lot came as planned on the day of another, and was not written down.
func isFresh(l, of Lot) bool { return l.Entry == 0 && l.Mark == "" && l.Made.Equal(of.Made) }

// fresh is how much of an item came as planned on a day.
func (a *asPlanned) fresh(of Lot) (amount float64) {
	for _, l := range a.player.shelves[of.Item].Lots() {
		if isFresh(l, of) {
			amount += l.Amount
		}
	}
	return amount
}

func (a *asPlanned) takeFresh(of Lot) {
	s := &a.player.shelves[of.Item]
	for n := range s.Lots() {
		if l := &s.Lots()[n]; isFresh(*l, of) {
			part := min(l.Amount, of.Amount)
			l.Amount -= part
			of.Amount -= part
			a.player.have[of.Item] -= part
		}
	}
	s.tidy()
}

func (a *asPlanned) putBack(l Lot) {
	s := &a.player.shelves[l.Item]
	a.player.have[l.Item] += l.Amount
	for n := range s.Lots() {
		if on := &s.Lots()[n]; on.Entry == l.Entry && on.Mark == l.Mark && on.Made.Equal(l.Made) {
			on.Amount += l.Amount
			return
		}
	}
	s.Put(l)
	lots := s.Lots()
	slices.SortStableFunc(lots, func(x, y Lot) int { return x.Made.Compare(y.Made) })
}
