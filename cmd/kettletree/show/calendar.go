package show

// The timetable as a calendar for a telephone: RFC 5545.
//
// Times are floating, as RFC 5545 3.3.5 calls local times without a zone: a kitchen file knows no zone, and the night
// kettle is lit at 22:30 by the clock on the wall. What has a time rings; what is only due by a service does not.

import (
	"cmp"
	"crypto/sha256"
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"kettletree/menu/clock"
	"kettletree/menu/tongue"
)

// Calendar writes the rows of a timetable as events. The same timetable gives the same bytes; an act keeps its UID when
// its time or its amounts change, so that a telephone that reads the file again moves it.
func Calendar(a *clock.Timetable) []byte {
	c := &calendar{stamp: strings.ReplaceAll(a.From, "-", "") + "T000000Z", kitchen: a.Title}
	c.line("BEGIN", "VCALENDAR")
	c.line("VERSION", "2.0")
	c.line("PRODID", "-//kettletree//clock//EN")
	c.line("CALSCALE", "GREGORIAN")
	for i := range a.Rows {
		r := &a.Rows[i]
		if r.Do == clock.Serve || r.Entry > 0 { // what is done needs no alarm
			continue
		}
		if atThePass(r) { // one event for all that is due at one time and place
			if slices.ContainsFunc(a.Rows[:i], func(o clock.Row) bool { return dueWith(&o, r) }) {
				continue
			}
			var texts []string
			for k := i; k < len(a.Rows) && a.Rows[k].At == r.At; k++ { // those of other stations stand between them
				if dueWith(&a.Rows[k], r) {
					texts = append(texts, sentence(&a.Rows[k]))
				}
			}
			c.event(r, r.At+"|"+r.Station+"|due", "due at the "+r.Station, strings.Join(texts, "\n"))
			continue
		}
		from := minutesOf(a, r.Begun)
		begun := r.Begun
		if !r.Latest {
			begun = begun[:10]
		}
		what := r.Do + r.Act
		if r.Do == clock.Read {
			what += fmt.Sprint(r.Limits[0].To)
		}
		c.event(r, fmt.Sprintf("%s|%s|%s|%d", r.Step, begun, what, minutesOf(a, cmp.Or(r.Card, r.At))-from), doing(r), sentence(r))
	}
	c.line("END", "VCALENDAR")
	return []byte(c.String())
}

// dueWith tells whether two rows are due at one time and place.
func dueWith(a, b *clock.Row) bool {
	return atThePass(a) && atThePass(b) && a.At == b.At && a.Station == b.Station
}

// atThePass tells whether a row has no time but that of the service.
func atThePass(r *clock.Row) bool { return r.Do == clock.Make && r.Latest && r.Minutes == 0 }

// sentence is all that a row says.
func sentence(r *clock.Row) string {
	text := doing(r)
	if more := howMuch(r); more != "" {
		text += ": " + more
	}
	if heat := HeatText(tongue.Voice{}, r, false); heat != "" {
		text += "; " + heat
	}
	if whom := forWhom(r); whom != "" {
		text += " (for " + whom + ")"
	}
	return text
}

type calendar struct {
	strings.Builder
	stamp, kitchen string
}

func (c *calendar) event(r *clock.Row, key, summary, description string) {
	at, err := time.Parse("2006-01-02T15:04", r.At)
	if err != nil {
		panic("mistake: a row of a timetable has no time: " + err.Error())
	}
	what := parts(append(append([]clock.Part{}, r.In...), r.Out...))
	if !atThePass(r) && !r.Needed && what != "" {
		summary += ": " + what
	}
	switch {
	case atThePass(r):
		summary = "by " + clockOf(r.At) + ": " + summary
	case r.Who != nil:
		summary += " (" + Who(r) + ")"
	}
	c.line("BEGIN", "VEVENT")
	c.line("UID", fmt.Sprintf("%.16x@kettletree", sha256.Sum256([]byte(c.kitchen+"|"+key))))
	c.line("DTSTAMP", c.stamp)
	c.line("DTSTART", at.Format("20060102T150405"))
	c.line("DURATION", fmt.Sprintf("PT%dM", max(15, r.Minutes)))
	c.line("SUMMARY", asText(summary))
	c.line("DESCRIPTION", asText(description))
	where := r.Station
	if r.Vessel != "" && r.Vessel != r.Station {
		where += ", " + r.Vessel
	}
	c.line("LOCATION", asText(where))
	if !atThePass(r) {
		c.line("BEGIN", "VALARM")
		c.line("ACTION", "DISPLAY")
		c.line("DESCRIPTION", asText(summary))
		c.line("TRIGGER", "PT0S")
		c.line("END", "VALARM")
	}
	c.line("END", "VEVENT")
}

// line writes a content line, folded after 75 octets and never within a character (RFC 5545 3.1).
func (c *calendar) line(name, value string) {
	const most = 75
	text := name + ":" + value
	room := most
	for len(text) > room {
		end := room
		for !utf8.RuneStart(text[end]) {
			end--
		}
		c.WriteString(text[:end] + "\r\n ")
		text, room = text[end:], most-1
	}
	c.WriteString(text + "\r\n")
}

// asText is a TEXT value (RFC 5545 3.3.11). Signs that no line may hold become spaces.
func asText(text string) string {
	text = strings.Map(func(r rune) rune {
		if r != '\n' && unicode.IsControl(r) {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(text, "\uFFFD"))
	return strings.NewReplacer(`\`, `\\`, ";", `\;`, ",", `\,`, "\n", `\n`).Replace(text)
}
