package main

// What time it is: the only place at which the clock is read.

import (
	"fmt"
	"os"
	"strings"
	"time"

	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
	"kettletree/menu/week"
)

// clockName is a variable of the environment that stands in for the clock, to try out another day.
const clockName = "KETTLETREE_NOW"

// now is the time by the kitchen's clock, held as if it were UTC.
func now() (time.Time, error) {
	t, _, err := zonedNow()
	return t, err
}

// zonedNow is the time with the zone of the clock: in an hour that it goes through twice, it tells which of the two it is.
func zonedNow() (_ time.Time, zone string, err error) {
	t := time.Now()
	if set := os.Getenv(clockName); set != "" {
		t, err = time.Parse(logbook.Minutes+" -07:00", set)
		zoned := err == nil
		if !zoned {
			t, err = moment(set)
		}
		if err != nil || !kitchen.InReach(t) {
			return t, "", &usageError{fmt.Sprintf("%s %q is not a time", clockName, set), "write it as 2026-11-24 14:05, or 2026-11-24 14:05 +01:00"}
		}
		if !zoned {
			return t, "", nil
		}
	}
	return time.Date(t.Year(), t.Month(), t.Day(), t.Hour(), t.Minute(), t.Second(), 0, time.UTC), logbook.ZoneOf(t), nil
}

// moment reads "2026-11-24 14:05", or a date alone as its beginning.
func moment(s string) (time.Time, error) {
	t, err := time.Parse(logbook.Minutes, s)
	if err != nil {
		t, err = time.Parse(time.DateOnly, s)
	}
	return t, err
}

// lastMoment is moment, or "22:30": the last time at which the clock showed that. As everywhere, 24:30 is half past midnight of the next day.
func lastMoment(s string, now time.Time) (time.Time, error) {
	date, late := "", s
	if at := strings.LastIndex(s, " "); at >= 0 {
		date, late = s[:at], s[at+1:]
	}
	if minute, err := measure.ParseClock(late); err == nil && minute >= 24*60 {
		if s = measure.FormatClock(minute - 24*60); date != "" {
			day, err := moment(date + " " + s)
			return day.AddDate(0, 0, 1), err
		}
	}
	clock, err := time.Parse("15:04", s)
	if err != nil {
		return moment(s)
	}
	t := time.Date(now.Year(), now.Month(), now.Day(), clock.Hour(), clock.Minute(), 0, 0, time.UTC)
	if t.After(now) {
		t = t.AddDate(0, 0, -1)
	}
	return t, nil
}

// instant is the machine's own time, which certificates go by, whatever day is tried out.
func instant() time.Time { return time.Now() }

// todayOf is the day of a week that is today; its first day where today is none of it.
func todayOf(w *week.Week) (int, error) {
	at, err := now()
	if day := w.Today(at); err == nil && day >= 0 && day < w.Days {
		return day, nil
	}
	return 0, err
}

// until is when a wait that begins now ends.
func until(wait time.Duration) time.Time { return time.Now().Add(wait) }
