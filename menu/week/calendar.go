package week

import (
	"fmt"
	"time"

	"kettletree/graph/flow"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
)

// sit adds the slots of a day.
func (w *Week) sit(s *flow.Schedule, day int) {
	if w.Open[w.Weekday(day)] {
		for n, sv := range w.Services {
			s.Slots = append(s.Slots, flow.Slot{Day: day, Start: day*1440 + sv.Start, End: day*1440 + sv.End})
			w.Sittings = append(w.Sittings, Sitting{day, n})
		}
		if len(w.Services) > 0 {
			return
		}
	}
	s.Slots = append(s.Slots, flow.Slot{Day: day, Start: day*1440 + Noon, End: day*1440 + Noon, Closed: true})
	w.Sittings = append(w.Sittings, Sitting{day, -1})
}

// Weekday is the [time.Weekday] of a day of the period.
func (w *Week) Weekday(day int) int { return (int(w.From.Weekday()) + day) % 7 }

// Date is the date of a day of the period.
func (w *Week) Date(day int) time.Time { return w.From.AddDate(0, 0, day) }

// DayName is a day as it is said: "Tue 24 Nov".
func (w *Week) DayName(day int) string { return measure.FormatDay(w.Date(day)) }

// SittingName is a service as it is said, "Fri 27 Nov dinner"; of a day without one, the day.
func (w *Week) SittingName(slot int) string {
	sit := w.Sittings[slot]
	if sit.Service < 0 {
		return w.DayName(sit.Day)
	}
	return w.DayName(sit.Day) + " " + w.Services[sit.Service].Name
}

// OfDay is a day's own of something that comes about once a day: "Tuesday's night kettle". Where a weekday alone does not say
// which day is meant, it is "night kettle of Tue 24 Nov".
func (w *Week) OfDay(day int, name string) string {
	if day < 0 || day > 6 || w.Days > 7 {
		return name + " of " + w.DayName(day)
	}
	return w.Date(day).Weekday().String() + "'s " + name
}

// Moment is a minute of the period as it is said: "Wed 25 Nov 07:30".
func (w *Week) Moment(minute int) string {
	day := dayOf(minute)
	return fmt.Sprintf("%s %s", w.DayName(day), measure.FormatClock(minute-day*1440))
}

// Span is from one minute of the period to another: "Wed 25 Nov 07:30 to 09:00".
func (w *Week) Span(from, to int) string {
	if day := dayOf(from); day == dayOf(to) {
		return w.Moment(from) + " to " + measure.FormatClock(to-day*1440)
	}
	return w.Moment(from) + " to " + w.Moment(to)
}

// dayOf is the day of a minute; below 0 before the period.
func dayOf(minute int) int { return (minute+MostDays*1440)/1440 - MostDays }

// DaysNamed are the days of the period that a text names: a weekday, or a date as 2006-01-02.
func (w *Week) DaysNamed(text string) ([]int, error) {
	var days []int
	if date, err := time.Parse(time.DateOnly, text); err == nil {
		if d := int(date.Sub(w.From).Hours() / 24); d >= 0 && d < w.Days {
			days = append(days, d)
		}
	} else if wd := kitchen.WeekdayNamed(text); wd >= 0 {
		for d := range w.Days {
			if w.Weekday(d) == wd {
				days = append(days, d)
			}
		}
	} else {
		return nil, fmt.Errorf("%q is not a day: write tue, or a date as 2026-11-24", text)
	}
	if len(days) == 0 {
		return nil, fmt.Errorf("%s is not among the days asked about, %s to %s", text, w.DayName(0), w.DayName(w.Days-1))
	}
	return days, nil
}
