package main

// What time it is: the only place at which the clock is read.

import (
	"fmt"
	"os"
	"time"

	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
)

// clockName is a variable of the environment that stands in for the clock, to try out another day.
const clockName = "KETTLETREE_NOW"

// now is the time by the kitchen's clock, held as if it were UTC.
func now() (time.Time, error) {
	if set := os.Getenv(clockName); set != "" {
		t, err := moment(set)
		if err != nil || !kitchen.InReach(t) {
			return t, &usageError{fmt.Sprintf("%s %q is not a time", clockName, set), "write it as 2026-11-24 14:05"}
		}
		return t, nil
	}
	t := time.Now()
	return time.Date(t.Year(), t.Month(), t.Day(), t.Hour(), t.Minute(), t.Second(), 0, time.UTC), nil
}

// moment reads "2026-11-24 14:05", or a date alone as its beginning.
func moment(s string) (time.Time, error) {
	t, err := time.Parse(logbook.Minutes, s)
	if err != nil {
		t, err = time.Parse(time.DateOnly, s)
	}
	return t, err
}

// until is when a wait that begins now ends.
func until(wait time.Duration) time.Time { return time.Now().Add(wait) }
