package logbook

// What was sold, given away or dropped on a day that is named: "sold 12 tacos at lunch on wed".

import (
	"fmt"
	"time"

	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
)

// onDay reads the day behind "on".
func (r *reader) onDay() error {
	day := dayWord.FindString(r.rest())
	if !kitchen.IsDay(day) {
		return r.fault(r.at, max(len(day), min(1, len(r.rest()))), "write tue, or a date as 2026-11-24", "%q is not a day", day)
	}
	r.e.Day = day
	r.past(len(day))
	return nil
}

// SetDay sets the time of an entry about portions that names its day: when the service ended, or the last of the day where none is
// named, but never after the moment at which it is written. A weekday is the last such day, today counted. It says whether the
// entry names a day; one on which the house is closed, or one to come, is an [*EntryError].
func (e *Entry) SetDay(k *kitchen.Kitchen, now time.Time) (named bool, err error) {
	switch e.Kind {
	case Sold, Gave, Dropped:
	default:
		return false, nil
	}
	if e.Day == "" {
		return false, nil
	}
	day, err := time.Parse(time.DateOnly, e.Day)
	if err != nil {
		for day = k.DayAt(now); !kitchen.DayIs(day, e.Day); {
			day = day.AddDate(0, 0, -1)
		}
	}
	if e.Day = ""; day.After(k.DayAt(now)) {
		return true, &EntryError{fmt.Sprintf("%s is still to come", measure.FormatDay(day)), "log what has happened"}
	}
	ends := -1
	for _, m := range k.MealsOn(day) {
		if e.Service == "" || k.Services[m.Service].Name == e.Service {
			ends = max(ends, m.To-1)
		}
	}
	if ends < 0 {
		service := "service"
		if e.Service != "" {
			service = e.Service
		}
		return true, &EntryError{fmt.Sprintf("there is no %s on %s", service, measure.FormatDay(day)), "name another day, or say when with --at"}
	}
	if e.At = minutesAfter(day, ends); e.At.After(now) {
		e.At = now
	}
	return true, nil
}
