package show

// Dates and moments, all in one form: "Wed 25 Nov 07:30".

import (
	"time"

	"kettletree/graph/measure"
)

func dayOf(t time.Time) string { return measure.FormatDay(t) }

// weekday is a date in words: "Wed 25 Nov".
func weekday(date string) string {
	t, err := time.Parse(time.DateOnly, date)
	if err != nil {
		return date
	}
	return dayOf(t)
}

// whenOf is a moment with its day, of "2026-11-25T02:30" or "2026-11-25 02:30:15": "Wed 25 Nov 02:30".
func whenOf(stamp string) string {
	if len(stamp) < len("2006-01-02T15:04") {
		return weekday(stamp)
	}
	return weekday(stamp[:10]) + " " + stamp[11:16]
}

// clockOf is the time of day of a moment.
func clockOf(at string) string { return at[len(at)-5:] }
