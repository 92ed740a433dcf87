package week

// The first days of a long period.

import (
	"slices"

	"kettletree/graph/flow"
)

// Shorter is the first days of a week, for a question that would take too long over all of them. What the days behind them
// were to bring is left out; their batches only keep seeds back.
func (w *Week) Shorter(days int) *Week {
	if days >= w.Days {
		return w
	}
	short := w.first(days)
	if w.standing != w {
		short.standing = w.standing.first(days)
		short.standing.stands()
	} else {
		short.stands()
	}
	return short
}

// first cuts a week after some days, with what it is valued by as it was.
func (w *Week) first(days int) *Week {
	short, own := *w, w.Case.Schedule
	s := *own
	s.Days, short.Days = days, days
	slots, _ := slices.BinarySearchFunc(own.Slots, days, func(slot flow.Slot, day int) int { return slot.Day - day })
	s.Slots, short.Sittings = slices.Clip(own.Slots[:slots]), slices.Clip(w.Sittings[:slots])
	s.Arrives = slices.Clone(own.Arrives)
	for i, arrives := range s.Arrives {
		if arrives != nil {
			s.Arrives[i] = slices.Clip(arrives[:days])
		}
	}
	s.Wants = slices.Clone(own.Wants)
	for d := range s.Wants {
		want := &s.Wants[d]
		if want.Forecast = slices.Clip(want.Forecast[:slots]); want.Size != nil {
			want.Size = slices.Clip(want.Size[:slots])
		}
	}
	if own.House != nil {
		s.House = seated(own.House, slices.Clip(own.House.Seats[:slots]))
	}
	if own.Rules != nil {
		s.Rules = slices.Clip(own.Rules[:slots])
	}
	s.Deliveries = slices.DeleteFunc(slices.Clone(own.Deliveries), func(d flow.Delivery) bool { return d.Day >= days })
	s.Spoils = slices.DeleteFunc(slices.Clone(own.Spoils), func(sp flow.Spoil) bool { return sp.Day >= days })
	s.Burnt = slices.DeleteFunc(slices.Clone(own.Burnt), func(b flow.Burnt) bool { return b.Day >= days })
	short.Case, short.calm = flow.Case{Flow: w.Case.Flow, Schedule: &s}, &calm{}
	return &short
}
