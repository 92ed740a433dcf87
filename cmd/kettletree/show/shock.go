package show

// Shocks in words, for the sentence that answers.

import (
	"regexp"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
)

// circumstances puts shocks before a sentence: "without Tuesday's night kettle, ". Dates are said as weekdays where a weekday says which
// day of those asked about is meant, as everything else of such an answer is.
func circumstances(shocks []string, from string, days int) string {
	said := make([]string, len(shocks))
	for i, s := range shocks {
		if days <= 7 {
			s = shockDate.ReplaceAllStringFunc(s, func(at string) string {
				day, err := time.Parse(time.DateOnly, at[1:])
				first, unknown := time.Parse(time.DateOnly, from)
				if err != nil || unknown != nil || day.Before(first) || !day.Before(first.AddDate(0, 0, 7)) {
					return at
				}
				return "@" + kitchen.Weekdays[day.Weekday()]
			})
		}
		said[i] = circumstance(s)
	}
	return list(said)
}

var shockDate = regexp.MustCompile(`@\d{4}-\d\d-\d\d`)

// circumstance is one shock, as "lose night kettle@tue", in words.
func circumstance(shock string) string {
	kind, text, _ := strings.Cut(shock, " ")
	subject, change := text, ""
	if at := strings.LastIndex(text, "="); at >= 0 {
		subject, change = strings.TrimSpace(text[:at]), strings.TrimSpace(text[at+1:])
	}
	name, when, dated := strings.Cut(subject, "@")
	when, output, inside := strings.Cut(when, "/")
	if kind == "yield" && !dated {
		name, output, inside = strings.Cut(name, "/")
	}
	name, when, output = strings.TrimSpace(name), strings.TrimSpace(when), strings.TrimSpace(output)
	switch {
	case kind == "lose" && change != "":
		return "with " + change + " of " + batchOf(name, when) + " lost"
	case kind == "lose":
		return "without " + batchOf(name, when)
	case kind == "strike":
		return "with " + name + " 86'd" + serviceOf(when)
	case kind == "short" && change == "100%":
		return "with no " + name + " delivered" + serviceOf(when)
	case kind == "short" && when != "":
		return "with the delivery of " + name + " " + change + " short" + serviceOf(when)
	case kind == "short":
		return "with deliveries of " + name + " " + change + " short"
	case kind == "spoil" && when != "":
		return "with all the " + name + " on hand thrown out" + serviceOf(when)
	case kind == "spoil":
		return "with all the " + name + " on hand thrown out"
	case kind == "price" && strings.HasSuffix(change, "%"):
		return "with " + name + " " + moreOrLess(change, "dearer", "cheaper")
	case kind == "price":
		return "with " + name + " at " + change
	case kind == "yield" && inside:
		return "with " + batchOf(name, when) + " giving " + moreOrLess(change, "more", "less") + " " + output
	case kind == "late" && strings.Contains(change, ":"):
		return "with " + batchOf(name, when) + " starting at " + pastMidnight(change)
	case kind == "late":
		return "with " + batchOf(name, when) + " " + strings.TrimPrefix(change, "+") + " late"
	case kind == "sells":
		if strings.HasSuffix(change, "%") {
			return "with " + moreOrLess(change, "more", "less") + " " + name + " ordered" + serviceOf(when)
		}
		each := " at each service" // a number comes on top at each that is meant
		if weekday, date, service := dayWord(when); strings.TrimSpace(service) != "" && weekday+date != "" {
			each = ""
		} else if service != "" {
			each = " each time"
		}
		return "with " + moreOrLess(change, "more", "fewer") + " " + name + " ordered" + each + serviceOf(when)
	}
	return "with " + shock
}

// dayWord is the day that a text begins with, as "tue" or "2026-11-24 lunch", and what comes after it: its weekday, or else its
// date. Both are "" for a text that begins with no day.
func dayWord(text string) (weekday, date, rest string) {
	word, rest, _ := strings.Cut(text, " ")
	if d := kitchen.WeekdayNamed(word); d >= 0 {
		return time.Weekday(d).String(), "", rest
	}
	if t, err := time.Parse(time.DateOnly, word); err == nil {
		return "", dayOf(t), rest
	}
	return "", "", text
}

// batchOf is a step's batch of a day: "Tuesday's night kettle", "the night kettle of Tue 24 Nov", "night kettle" on every day.
func batchOf(step, when string) string {
	switch weekday, date, _ := dayWord(when); {
	case weekday != "":
		return weekday + "'s " + step
	case date != "":
		return "the " + step + " of " + date
	}
	return step
}

// serviceOf is when something is, of a day and perhaps a service: " on Tuesday", " at Tuesday's lunch", " at lunch on Tue 24 Nov".
func serviceOf(when string) string {
	weekday, date, service := dayWord(when)
	service = strings.TrimSpace(service)
	switch {
	case weekday != "" && service != "":
		return " at " + weekday + "'s " + service
	case date != "" && service != "":
		return " at " + service + " on " + date
	case weekday+date != "":
		return " on " + weekday + date
	case service != "":
		return " at " + service
	}
	return ""
}

// moreOrLess puts a change with a sign into words: "20% more".
func moreOrLess(change, more, less string) string {
	for _, minus := range []string{"-", "−"} {
		if rest, found := strings.CutPrefix(change, minus); found {
			return strings.TrimSpace(rest) + " " + less
		}
	}
	return strings.TrimSpace(strings.TrimPrefix(change, "+")) + " " + more
}

// capital begins a sentence.
func capital(s string) string {
	r, n := utf8.DecodeRuneInString(s)
	if n == 0 {
		return s
	}
	return string(unicode.ToUpper(r)) + s[n:]
}

// pastMidnight is a time of day as a clock shows it: "04:00 the next day" of 28:00.
func pastMidnight(clock string) string {
	if minute, err := measure.ParseClock(clock); err == nil && minute >= 24*60 {
		return measure.FormatClock(minute-24*60) + " the next day"
	}
	return clock
}
