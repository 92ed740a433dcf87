package week

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"kettletree/graph/flow"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
)

// sit adds the slots of a day.
func (w *Week) sit(s *flow.Schedule, day int) {
	idle := !w.WorksOn(w.Date(day))
	for _, m := range w.MealsOn(w.Date(day)) {
		s.Slots = append(s.Slots, flow.Slot{Day: day, Start: day*1440 + m.From, End: day*1440 + m.To})
		w.Sittings = append(w.Sittings, Sitting{day, m.Service})
	}
	if len(s.Slots) == 0 || s.Slots[len(s.Slots)-1].Day != day {
		s.Slots = append(s.Slots, flow.Slot{Day: day, Start: day*1440 + Noon, End: day*1440 + Noon, Closed: true, Idle: idle})
		w.Sittings = append(w.Sittings, Sitting{day, -1})
	}
}

// Today is the day of the period that is the kitchen's at a moment, which may lie before or behind it.
func (w *Week) Today(at time.Time) int {
	return int(math.Floor(w.DayAt(at).Sub(w.From).Hours() / 24))
}

// GoesOn is when the walk of the days before a day has come to its end, in minutes after its midnight: that, or when the last of
// the services of the day before that begin after it has begun. At a moment at which one is under way, it is served then.
func GoesOn(k *kitchen.Kitchen, day, at time.Time) (minute int) {
	now := int(at.Sub(day).Minutes())
	for _, m := range k.MealsOn(day.AddDate(0, 0, -1)) {
		if begins := max(m.From-24*60, min(now, m.To-24*60-1)); m.To > 24*60 && m.To-24*60 > now && begins >= 0 {
			minute = max(minute, begins+1)
		}
	}
	return minute
}

// Led is a week with those services of the day before it, a week by itself, before its own that end after its midnight. They are of
// day -1.
func (w *Week) Led(before *Week) *Week {
	led, s, was := *w, *w.Case.Schedule, before.Case.Schedule
	var slots []flow.Slot
	var from []int
	led.Sittings = nil
	for k, slot := range was.Slots {
		if sit := before.Sittings[k]; sit.Service >= 0 && slot.End > 24*60 {
			slot.Day, slot.Start, slot.End = -1, slot.Start-24*60, slot.End-24*60
			slots, from, led.Sittings = append(slots, slot), append(from, k), append(led.Sittings, Sitting{-1, sit.Service})
		}
	}
	if len(slots) == 0 {
		return w
	}
	led.Sittings, s.Slots = append(led.Sittings, w.Sittings...), append(slots, s.Slots...)
	first := func(of []float64, k int) float64 {
		if of == nil {
			return 1
		}
		return of[k]
	}
	s.Wants = slices.Clone(s.Wants)
	for d := range s.Wants {
		want, old := &s.Wants[d], was.Wants[d]
		var forecast, size []float64
		for _, k := range from {
			forecast, size = append(forecast, old.Forecast[k]), append(size, first(old.Size, k))
		}
		if want.Size != nil || old.Size != nil {
			own := want.Size
			if own == nil {
				own = slices.Repeat([]float64{1}, len(want.Forecast))
			}
			want.Size = append(size, own...)
		}
		want.Forecast = append(forecast, want.Forecast...)
	}
	if s.House != nil && was.House != nil {
		seats := []int{}
		for _, k := range from {
			seats = append(seats, was.House.Seats[k])
		}
		s.House = seated(s.House, append(seats, s.House.Seats...))
		s.House.Had = movedHad(s.House.Had, len(from))
		if s.House.Settled > 0 {
			s.House.Settled += len(from)
		}
	}
	if s.Rules != nil {
		s.Rules = append(slices.Repeat([]flow.Ration{w.Rule.Ration()}, len(slots)), s.Rules...)
	}
	if s.Directions != nil {
		d := *s.Directions
		if d.Serve != nil {
			d.Serve = append(make([][]float64, len(slots)), d.Serve...)
		}
		if d.All != nil {
			d.All = append(make([][]float64, len(slots)), d.All...)
		}
		s.Directions = &d
	}
	led.Case = flow.Case{Flow: w.Case.Flow, Schedule: &s}
	return &led
}

// Begins is the minute of a day by which work without a clock is done: the start of its first service, or [Noon].
func (w *Week) Begins(day int) int {
	if meals := w.MealsOn(w.Date(day)); len(meals) > 0 {
		return meals[0].From
	}
	return Noon
}

// OpenDay tells whether a day has a service.
func (w *Week) OpenDay(day int) bool { return len(w.MealsOn(w.Date(day))) > 0 }

// Differing says in words how days of the period differ from the standing week, "Fri 25 Dec: closed"; one line, "" where none does.
func (w *Week) Differing() string {
	var list []string
	for day := range w.Days {
		date := w.DateOn(w.Date(day))
		if date == nil {
			continue
		}
		var says []string
		standing := w.Standing(w.Weekday(day))
		for _, m := range standing {
			if now, on := w.MealOn(date.Day, m.Service); !on && len(date.Meals) > 0 {
				says = append(says, "no "+w.Services[m.Service].Name)
			} else if on && now != m {
				says = append(says, w.otherwise(m, now))
			}
		}
		for _, m := range date.Meals {
			if !slices.ContainsFunc(standing, func(o kitchen.Meal) bool { return o.Service == m.Service }) {
				says = append(says, w.otherwise(kitchen.Meal{Factor: 1}, m))
			}
		}
		if len(date.Meals) == 0 && len(standing) > 0 {
			says = append(says, "closed")
		}
		if works := w.Works[w.Weekday(day)]; works && !date.Works {
			says = append(says, "nobody works")
		} else if !works && date.Works && len(date.Meals) == 0 {
			says = append(says, "somebody works")
		}
		if len(says) > 0 {
			list = append(list, w.DayName(day)+": "+strings.Join(says, ", "))
		}
	}
	return strings.Join(list, "; ")
}

// otherwise says how a service of a day is not as it was.
func (w *Week) otherwise(was, now kitchen.Meal) string {
	text := w.Services[now.Service].Name
	if now.Hours != was.Hours {
		text += " " + now.Hours.String()
	}
	if now.Factor != was.Factor {
		text += ", " + measure.FormatNumber(now.Factor) + " of forecast"
	}
	return strings.Replace(text, now.Hours.String()+", ", now.Hours.String()+" at ", 1)
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

// Span is from one minute of the period to another: "Wed 25 Nov 07:30 to 09:00"; where both are one, that minute.
func (w *Week) Span(from, to int) string {
	if from == to {
		return w.Moment(from)
	}
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
