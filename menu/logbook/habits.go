package logbook

// How dates and numbers are written in an office: a habit is said, or told by the file itself where it leaves one reading only. What
// can be read both ways is asked, and never guessed.

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"

	"kettletree/graph/measure"
)

// DateOrder says what stands first in a date such as 3/4/2026.
type DateOrder string

const (
	DayFirst   DateOrder = "day first"
	MonthFirst DateOrder = "month first"
)

// DateOrders lists them.
var DateOrders = []DateOrder{DayFirst, MonthFirst}

// Decimals says which sign parts a number's decimals from the whole.
type Decimals string

const (
	DecimalPoint Decimals = "point"
	DecimalComma Decimals = "comma"
)

// AllDecimals lists them.
var AllDecimals = []Decimals{DecimalPoint, DecimalComma}

var (
	numericDate = regexp.MustCompile(`^(\d{1,4}) ?([-/. ]) ?(\d{1,2}) ?([-/. ]) ?(\d{1,4})\.?$`)
	compactDate = regexp.MustCompile(`^((?:19|20)\d\d)(\d\d)(\d\d)$`)
	dayMonth    = regexp.MustCompile(`^(\d{1,2})(?:st|nd|rd|th|\.)?[- ]+(?:of )?([a-z]{3,9})\.?[-, ]+(\d{4}|\d\d)$`)
	monthDay    = regexp.MustCompile(`^([a-z]{3,9})\.? (\d{1,2})(?:st|nd|rd|th)?,? (\d{4}|\d\d)$`)
	weekday     = regexp.MustCompile(`^(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*\.?,? `)
	withTime    = regexp.MustCompile(`(?i)^(.*\d)(?:T|,? +)(\d{1,2}:\d\d(?::\d\d(?:\.\d+)?)?(?: ?[ap]\.?m\.?)?)Z?$`)
	clockTime   = regexp.MustCompile(`(?i)^(\d{1,2}):(\d\d)(?::\d\d(?:\.\d+)?)?(?: ?([ap])\.?m\.?)?$`)
)

// dated is a date with its readings; the zero time is none.
type dated struct {
	sure       time.Time // it has one reading, whatever the habit
	day, month time.Time // with the day first, with the month first
}

// readDate finds the readings of a date. A year of two digits is one of this century and stands last.
func readDate(text string) (d dated, ok bool) {
	text = weekday.ReplaceAllString(strings.ToLower(text), "")
	if m := numericDate.FindStringSubmatch(text); m != nil && m[2] == m[4] {
		switch {
		case len(m[1]) == 4 && len(m[5]) <= 2:
			d.sure, ok = calendarDay(m[1], m[3], m[5])
		case len(m[1]) <= 2 && (len(m[5]) == 4 || len(m[5]) == 2):
			var day, month bool
			d.day, day = calendarDay(m[5], m[3], m[1])
			d.month, month = calendarDay(m[5], m[1], m[3])
			ok = day || month
			if day && month && d.day.Equal(d.month) {
				d = dated{sure: d.day}
			}
		}
		return d, ok
	}
	if m := compactDate.FindStringSubmatch(text); m != nil {
		d.sure, ok = calendarDay(m[1], m[2], m[3])
		return d, ok
	}
	if m := dayMonth.FindStringSubmatch(text); m != nil {
		d.sure, ok = calendarDay(m[3], monthNamed(m[2]), m[1])
		return d, ok
	}
	if m := monthDay.FindStringSubmatch(text); m != nil {
		d.sure, ok = calendarDay(m[3], monthNamed(m[1]), m[2])
		return d, ok
	}
	return dated{}, false
}

// calendarDay is a day of the calendar.
func calendarDay(year, month, day string) (time.Time, bool) {
	y, _ := strconv.Atoi(year) // what is no number is 0, and no day of the calendar has that
	m, _ := strconv.Atoi(month)
	d, _ := strconv.Atoi(day)
	if len(year) == 2 {
		y += 2000
	}
	t := time.Date(y, time.Month(m), d, 0, 0, 0, 0, time.UTC)
	if y < 1900 || m < 1 || m > 12 || t.Day() != d || t.Month() != time.Month(m) {
		return time.Time{}, false
	}
	return t, true
}

// monthNamed is the number of a month that a word begins the name of; "" for none.
func monthNamed(word string) string {
	for m := time.January; m <= time.December; m++ {
		if strings.HasPrefix(strings.ToLower(m.String()), word) || word == "sept" && m == time.September {
			return strconv.Itoa(int(m))
		}
	}
	return ""
}

// as is the date by a habit; ok is false where it can't be read by it, or by none where that leaves two readings.
func (d dated) as(order DateOrder) (time.Time, bool) {
	switch {
	case !d.sure.IsZero():
		return d.sure, true
	case order == DayFirst:
		return d.day, !d.day.IsZero()
	case order == MonthFirst:
		return d.month, !d.month.IsZero()
	case d.day.IsZero():
		return d.month, true
	}
	return d.day, d.month.IsZero()
}

// readClock reads a time of day, in twelve hours or in twenty-four, seconds left out, as package measure writes it.
func readClock(text string) (string, error) {
	m := clockTime.FindStringSubmatch(text)
	if m == nil {
		_, err := measure.ParseClock(text)
		return text, err
	}
	hour, _ := strconv.Atoi(m[1])
	if half := strings.ToLower(m[3]); half != "" {
		if hour < 1 || hour > 12 {
			return text, &measure.Error{Msg: fmt.Sprintf("%q is not a time of day", text), Hint: "write it as 22:30 or 10:30 pm"}
		}
		if hour %= 12; half == "p" {
			hour += 12
		}
	} else if text == m[1]+":"+m[2] {
		_, err := measure.ParseClock(text)
		return text, err
	}
	clock := fmt.Sprintf("%02d:%s", hour, m[2])
	_, err := measure.ParseClock(clock)
	return clock, err
}

// numbers match what can be a number in a text: digits with what may part them. Blanks and apostrophes part threes only.
var (
	numbers     = regexp.MustCompile(`[0-9]{1,3}(?:[ '’][0-9]{3})+(?:[.,][0-9]+)*|[0-9]+(?:[.,][0-9]+)*`)
	plainNumber = regexp.MustCompile(`^[0-9]+(?:\.[0-9]+)?$`)
	pointed     = regexp.MustCompile(`^(?:[1-9][0-9]{0,2}(?:,[0-9]{3})+|[0-9]+)(?:\.[0-9]+)?$`)
	commaed     = regexp.MustCompile(`^(?:[1-9][0-9]{0,2}(?:\.[0-9]{3})+|[0-9]+)(?:,[0-9]+)?$`)
	parting     = strings.NewReplacer(" ", "", "'", "", "’", "")
)

// readNumber finds the readings of a number as plain ones, such as 1234.5: with a decimal point and with a decimal comma; ""
// where there is none.
func readNumber(written string) (point, comma string) {
	written = parting.Replace(written)
	if pointed.MatchString(written) {
		point = strings.ReplaceAll(written, ",", "")
	}
	if commaed.MatchString(written) {
		comma = strings.ReplaceAll(strings.ReplaceAll(written, ".", ""), ",", ".")
	}
	return point, comma
}

// habits are those of a file: what was said, or what its own rows leave.
type habits struct {
	dates    DateOrder // "" where no date needs it
	decimals Decimals  // "" where no number needs it
	commas   bool      // the fields of the file are parted by commas: a point in a field is a decimal point

	dayOnly, monthOnly, eitherDate   int // dates of which only one reading is possible, or both are
	pointOnly, commaOnly, eitherSign int // numbers, as far as they have a sign
	firstDate, firstNumber           cell
}

// sees takes a cell of a date into account.
func (h *habits) seesDate(c cell) {
	text := c.text
	if m := withTime.FindStringSubmatch(text); m != nil {
		text = m[1]
	}
	d, ok := readDate(text)
	switch {
	case !ok || !d.sure.IsZero():
	case d.month.IsZero():
		h.dayOnly++
	case d.day.IsZero():
		h.monthOnly++
	default:
		if h.eitherDate++; h.eitherDate == 1 {
			h.firstDate = c
		}
	}
}

// seesNumbers takes the numbers in a cell into account. Where only whole ones make sense, a fraction is no reading.
func (h *habits) seesNumbers(c cell, whole bool) {
	if c.number {
		return
	}
	for _, written := range numbers.FindAllString(c.text, -1) {
		if strings.Contains(written, " ") && written != c.text {
			continue // see plain
		}
		point, comma := readNumber(written)
		if whole {
			point, comma = wholeOnly(point, comma)
		}
		switch {
		case point == comma:
		case comma == "", point != "" && h.commas && plainNumber.MatchString(written):
			h.pointOnly++
		case point == "":
			h.commaOnly++
		default:
			if h.eitherSign++; h.eitherSign == 1 {
				h.firstNumber = cell{text: written, line: c.line, at: c.at, offset: c.offset}
			}
		}
	}
}

// wholeOnly leaves out the reading that is a fraction, where the other is not.
func wholeOnly(point, comma string) (string, string) {
	whole := func(s string) bool {
		n, err := strconv.ParseFloat(s, 64)
		return err == nil && n == float64(int64(n))
	}
	switch {
	case point == "" || comma == "" || whole(point) == whole(comma):
	case whole(point):
		return point, ""
	default:
		return "", comma
	}
	return point, comma
}

// settle decides by what was seen, where nothing was said.
func (h *habits) settle() {
	if h.dates == "" && h.dayOnly > 0 && h.monthOnly == 0 {
		h.dates = DayFirst
	} else if h.dates == "" && h.monthOnly > 0 && h.dayOnly == 0 {
		h.dates = MonthFirst
	}
	if h.decimals == "" && h.pointOnly > 0 && h.commaOnly == 0 {
		h.decimals = DecimalPoint
	} else if h.decimals == "" && h.commaOnly > 0 && h.pointOnly == 0 {
		h.decimals = DecimalComma
	}
}

// plain writes the numbers of a text with a decimal point and nothing else; bad is the first that can't be read by the habit.
func (h *habits) plain(c cell, whole bool) (text, bad string) {
	if c.number {
		return c.text, ""
	}
	text = numbers.ReplaceAllStringFunc(c.text, func(written string) string {
		if strings.Contains(written, " ") && written != c.text {
			return written // "2 500 g" may be two packs
		}
		if plainNumber.MatchString(written) && h.decimals != DecimalComma && !(whole && strings.Contains(written, ".")) {
			return written
		}
		point, comma := readNumber(written)
		if whole {
			point, comma = wholeOnly(point, comma)
		}
		read := point
		if h.decimals == DecimalComma || h.decimals == "" && point == "" {
			read = comma
		}
		if read == "" && bad == "" {
			bad = written
		}
		return read
	})
	return text, bad
}
