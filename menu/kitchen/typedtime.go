package kitchen

// Hours and times of day as they are typed in a hurry, written as a kitchen file has them.

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"kettletree/graph/measure"
)

var (
	typedTime = regexp.MustCompile(`(?i)^([0-9]{1,2})(?:[:.h]([0-9]{2}))? ?h?(?: ?([ap])\.?m\.?)?$`)
	fromTo    = regexp.MustCompile(`(?i) *[-–—] *| +(?:to|till|until) +`)
)

// timeTyped reads a time of day such as "22", "22.30" or "10:30 pm", in minutes after midnight.
func timeTyped(text string) (minutes int, ok bool) {
	m := typedTime.FindStringSubmatch(strings.TrimSpace(text))
	if m == nil {
		return 0, false
	}
	hour, _ := strconv.Atoi(m[1])
	if half := strings.ToLower(m[3]); half != "" {
		if hour < 1 || hour > 12 {
			return 0, false
		}
		if hour %= 12; half == "p" {
			hour += 12
		}
	}
	minutes, err := measure.ParseClock(fmt.Sprintf("%02d:%02s", hour, m[2]))
	return minutes, err == nil
}

// hoursTyped reads hours such as "18-22", "5:30 to 10 pm" or "11.30 – 14.30". A "pm" behind the second time is meant for the first one, too,
// where it still comes first: "5 to 10 pm", not "11 to 2 pm". Past midnight the hours go on.
func hoursTyped(text string) (h Hours, ok bool) {
	times := fromTo.Split(strings.TrimSpace(text), -1)
	if len(times) != 2 {
		return Hours{}, false
	}
	var first, second bool
	h.From, first = timeTyped(times[0])
	h.To, second = timeTyped(times[1])
	if !first || !second {
		return Hours{}, false
	}
	if half := strings.ToLower(times[1]); strings.HasSuffix(strings.Trim(half, ". "), "m") && !strings.ContainsAny(strings.ToLower(times[0]), "ap") {
		if later, ok := timeTyped(times[0] + half[strings.IndexAny(half, "ap"):]); ok && later < h.To {
			h.From = later
		}
	}
	if h.To <= h.From && h.From >= 14*60 && h.To < 6*60 { // a night that ends in the small hours; "11-2" is none
		h.To += 24 * 60
	}
	return h, h.From < h.To
}

// daysTyped writes days such as "Tue - Sat", "tuesday to saturday" or "tue, fri & sat" as a kitchen file has them; what is no day stays as it is.
func daysTyped(text string) string {
	words := strings.FieldsFunc(fromTo.ReplaceAllString(strings.TrimSpace(text), "-"), func(r rune) bool { return r == ' ' || r == ',' || r == '&' || r == '+' })
	var days []string
	for _, word := range words {
		if strings.EqualFold(word, "and") {
			continue
		}
		parts := strings.Split(word, "-")
		for n, part := range parts {
			for _, d := range Weekdays {
				if len(part) > 2 && strings.HasPrefix(strings.ToLower(part), d) && strings.HasPrefix(weekdayNames[d], strings.ToLower(part)) {
					parts[n] = d
				}
			}
		}
		days = append(days, strings.Join(parts, "-"))
	}
	return strings.Join(days, " ")
}

var weekdayNames = map[string]string{"mon": "mondays", "tue": "tuesdays", "wed": "wednesdays", "thu": "thursdays", "fri": "fridays", "sat": "saturdays", "sun": "sundays"}

// none tells whether an answer is that there is nothing to answer.
func none(text string) bool {
	switch strings.ToLower(strings.Trim(text, " .")) {
	case "", "-", "–", "no", "none", "closed":
		return true
	}
	return false
}
