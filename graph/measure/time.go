package measure

// Durations and times of day, both in whole minutes.

import (
	"fmt"
	"math"
	"regexp"
	"strings"
	"time"
)

const (
	hour = 60        // minutes
	day  = 24 * hour // minutes

	// LatestClock is the latest time of day: six in the morning of the next day.
	LatestClock = 30 * hour

	longestDuration = 366 * day
)

// Regular expressions for what [ParseDuration] and [ParseClock] read, in the syntax shared by Go and JSON Schema.
const (
	DurationPattern = durationPart + `(?: ` + durationPart + `)*`
	ClockPattern    = `(?:[01]?[0-9]|2[0-9]):[0-5][0-9]|30:00`

	durationPart = `[0-9]+(?:\.[0-9]+)? ?(?:days?|hours?|h|minutes?|min)`
)

var (
	onePart   = regexp.MustCompile(`^([0-9]+(?:\.[0-9]+)?) ?([a-z]+)(?: |$)`)
	wholeTime = regexp.MustCompile(`^(?:` + ClockPattern + `)$`)
)

// ParseDuration reads a duration such as "4 h 30 min", "90 min", "1.5 h" or "2 days".
func ParseDuration(s string) (minutes int, err error) {
	fault := &Error{Msg: fmt.Sprintf("%q is not a duration", s), Hint: "write it as 45 min, 4 h 30 min or 2 days",
		Len: len(s)}
	if s == "" {
		fault.Msg = "a duration is missing"
		return 0, fault
	}
	total, smallest := 0.0, math.Inf(1)
	for rest := s; rest != ""; {
		part := onePart.FindStringSubmatch(rest)
		if part == nil {
			return 0, fault
		}
		value, _, err := Number(part[1])
		if err != nil {
			return 0, err
		}
		unit := 1.0
		switch part[2] {
		case "day", "days":
			unit = day
		case "h", "hour", "hours":
			unit = hour
		case "min", "minute", "minutes":
		default:
			return 0, fault
		}
		if unit >= smallest {
			fault.Hint = "write the longer unit first, and each once: 4 h 30 min"
			return 0, fault
		}
		smallest = unit
		total += value * unit
		rest = rest[len(part[0]):]
	}
	if strings.HasSuffix(s, " ") {
		return 0, fault
	}
	if total > longestDuration {
		fault.Msg, fault.Hint = fmt.Sprintf("%q is longer than a year", s), "write a time of minutes, hours or days, such as 2 h 30 min"
		return 0, fault
	}
	if total != math.Trunc(total) {
		fault.Msg, fault.Hint = fmt.Sprintf("%q is not a whole number of minutes", s), "write whole minutes: 4 h 30 min"
		return 0, fault
	}
	return int(total), nil
}

// FormatDuration prints minutes as [ParseDuration] reads them: "4 h 30 min"; days are printed as hours.
func FormatDuration(minutes int) string {
	switch h, m := minutes/hour, minutes%hour; {
	case h == 0:
		return fmt.Sprintf("%d min", m)
	case m == 0:
		return fmt.Sprintf("%d h", h)
	default:
		return fmt.Sprintf("%d h %d min", h, m)
	}
}

// ParseClock reads a time of day such as "22:30" as minutes after midnight. Times up to 30:00 are after midnight of the
// next day: 24:30 is half past midnight.
func ParseClock(s string) (minutes int, err error) {
	if !wholeTime.MatchString(s) {
		return 0, &Error{Msg: fmt.Sprintf("%q is not a time of day", s),
			Hint: "write it as 22:30; after midnight goes on to 30:00",
			Len:  len(s)}
	}
	var h, m int
	if _, err := fmt.Sscanf(s, "%d:%d", &h, &m); err != nil {
		panic("mistake: the pattern of a time let through " + s)
	}
	return h*hour + m, nil
}

// FormatDays is a number of days: "1 day", "3 days".
func FormatDays(n int) string {
	if n == 1 {
		return "1 day"
	}
	return fmt.Sprintf("%d days", n)
}

// FormatDay prints a date as every answer for people does: "Tue 24 Nov".
func FormatDay(t time.Time) string { return t.Format("Mon 2 Jan") }

// FormatMoment is [FormatDay] with the time of day: "Tue 24 Nov 22:30".
func FormatMoment(t time.Time) string { return t.Format("Mon 2 Jan 15:04") }

// FormatDayOfYear is [FormatDay] with its year, for what looks far back: "Tue 24 Nov 2026".
func FormatDayOfYear(t time.Time) string { return t.Format("Mon 2 Jan 2006") }

// FormatClock prints minutes after midnight as [ParseClock] reads them: "22:30".
func FormatClock(minutes int) string {
	return fmt.Sprintf("%02d:%02d", minutes/hour, minutes%hour)
}
