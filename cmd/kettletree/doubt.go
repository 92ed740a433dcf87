package main

// Entries that look wrong: nothing is written before somebody says yes.

import (
	"fmt"
	"time"

	"kettletree/graph/measure"
	"kettletree/menu"
	"kettletree/menu/ask"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
	"kettletree/menu/plan"
	"kettletree/menu/week"
)

// doubted tells what looks wrong with entries, unless --yes says that they are right.
func (l *logging) doubted(j *logbook.Book, k *kitchen.Kitchen, planned logbook.Planned, entries []logbook.Entry) error {
	if l.c.Bool("yes") {
		return nil
	}
	doubts, err := j.Doubts(l.c.Context, k, planned, entries...)
	if err != nil {
		return told(err)
	}
	for i := range entries {
		d, err := l.offerDoubt(k, &entries[i])
		if err != nil {
			return err
		}
		if d != nil {
			doubts = append(doubts, *d)
		}
	}
	if len(doubts) == 0 {
		return nil
	}
	for _, d := range doubts {
		fmt.Fprintf(l.c.App.ErrWriter, "kettletree: error: this looks wrong: %s\nkettletree: hint: %s\n", d.Msg, d.Hint)
	}
	fmt.Fprintln(l.c.App.ErrWriter, "kettletree: nothing was written. If it is right, add --yes")
	return errTold
}

// offerDoubt doubts that there is food for what is offered, by what is on hand now and what is planned until then: where it is for less
// than half of it, for what is scarce is shared with other dishes.
func (l *logging) offerDoubt(k *kitchen.Kitchen, e *logbook.Entry) (*logbook.Doubt, error) {
	if e.Kind != logbook.Offered || e.Corrects != 0 {
		return nil, nil
	}
	today := k.DayAt(l.now)
	day := e.On(k)
	days := int(day.Sub(today).Hours()/24) + 1
	if days < 1 || days > 7 {
		return nil, nil
	}
	file := kitchenFile(l.kitchen)
	w, _, err := menu.Open(l.c.Context, menu.Options{Kitchen: menu.File(file), Read: k, LogBook: l.file, Plan: menu.File(plan.Path(file)),
		From: today, Days: days, Now: l.now})
	if err != nil || w == nil {
		return nil, err
	}
	date := day.Format(time.DateOnly)
	shock, err := w.Shock("sells", fmt.Sprintf("%s@%s %s=+%d", e.Dish, date, e.Service, e.Portions))
	if err != nil {
		return nil, nil // the week has no such service: whoever asks about it says so
	}
	a, err := ask.WhatIf(l.c.Context, w, []week.Shock{shock})
	if err != nil {
		return nil, err
	}
	for _, d := range a.Dishes {
		if d.Name != e.Dish || d.Date != date || d.Service != e.Service || d.After >= d.Forecast {
			continue
		}
		there := max(0, e.Portions-(d.Forecast-d.After))
		if 2*there >= e.Portions {
			return nil, nil
		}
		hint := "\"kettletree whatif --sells\" shows what it takes"
		if len(d.Because) > 0 {
			hint = d.Because[0]
		}
		return &logbook.Doubt{Msg: fmt.Sprintf("there is food for %d of %d %s at %s %s", there, e.Portions, e.Dish, measure.FormatDay(day), e.Service), Hint: hint}, nil
	}
	return nil, nil
}
