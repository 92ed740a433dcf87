package kitchen

// Sets of weekdays, as they are written: "tue-sun", "tue fri", "daily".

import (
	"fmt"
	"strings"
	"time"

	"kettletree/graph/measure"
)

// Regular expressions for days, in the syntax shared by Go and JSON Schema.
const (
	daysPattern = `(?:[Dd][Aa][Ii][Ll][Yy]|` + dayRange + `(?: +` + dayRange + `)*)`

	dayRange = dayName + `(?:-` + dayName + `)?`
	dayName  = `(?:[Mm][Oo][Nn]|[Tt][Uu][Ee]|[Ww][Ee][Dd]|[Tt][Hh][Uu]|[Ff][Rr][Ii]|[Ss][Aa][Tt]|[Ss][Uu][Nn])`
)

// Days is a set of weekdays, by [time.Weekday].
type Days [7]bool

// Weekdays are the names of the days as they are written, by [time.Weekday].
var Weekdays = [7]string{"sun", "mon", "tue", "wed", "thu", "fri", "sat"}

// EveryDay is the whole week.
var EveryDay = Days{true, true, true, true, true, true, true}

// String lists the days from Monday on: "tue wed thu".
func (d Days) String() string {
	var names []string
	for i := range 7 {
		if w := (time.Monday + time.Weekday(i)) % 7; d[w] {
			names = append(names, Weekdays[w])
		}
	}
	return strings.Join(names, " ")
}

// count is the number of days in the set.
func (d Days) count() (n int) {
	for _, in := range d {
		if in {
			n++
		}
	}
	return n
}

// meets tells whether two sets have a day in common.
func (d Days) meets(o Days) bool {
	for w, in := range d {
		if in && o[w] {
			return true
		}
	}
	return false
}

// without are the days that are not in another set.
func (d Days) without(o Days) Days {
	for w := range d {
		d[w] = d[w] && !o[w]
	}
	return d
}

// onlyOn is the set of one day.
func onlyOn(weekday int) (d Days) {
	d[weekday] = true
	return d
}

// parseDays reads "tue-sun", "Tue Fri" or "daily". A range may run over the end of the week: "fri-mon".
func parseDays(s string) (Days, error) {
	days, rest := leadingDays(s)
	if rest != "" || s == "" {
		fault := &measure.Error{Msg: fmt.Sprintf("%q is not a day", rest), At: len(s) - len(rest), Len: len(rest),
			Hint: "write days as tue fri, tue-sun or daily"}
		word, _, _ := strings.Cut(rest, " ")
		low := strings.ToLower(word)
		for _, d := range Weekdays {
			if strings.HasPrefix(low, d) {
				fault.Msg, fault.Len, fault.Hint = fmt.Sprintf("%q is not a day", word), len(word),
					fmt.Sprintf("write %q; days in a row are tue-sun, single ones tue fri, all daily", d)
			}
		}
		return Days{}, fault
	}
	return days, nil
}

// leadingDays reads the days that s begins with and returns what comes after them.
func leadingDays(s string) (days Days, rest string) {
	if word, after, _ := strings.Cut(s, " "); strings.EqualFold(word, "daily") {
		return EveryDay, strings.TrimLeft(after, " ")
	}
	for rest = s; rest != ""; {
		word, after, _ := strings.Cut(rest, " ")
		first, last, isRange := strings.Cut(word, "-")
		if !isRange {
			last = first
		}
		from, to := weekday(first), weekday(last)
		if from < 0 || to < 0 {
			break
		}
		for d := from; ; d = (d + 1) % 7 {
			days[d] = true
			if d == to {
				break
			}
		}
		rest = strings.TrimLeft(after, " ")
	}
	return days, rest
}

// weekday is the [time.Weekday] of a name, or -1.
func weekday(name string) int {
	for w, n := range Weekdays {
		if strings.EqualFold(n, name) {
			return w
		}
	}
	return -1
}
