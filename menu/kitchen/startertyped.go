package kitchen

// The lines of a starter as they are typed in a hurry: a price or an hour behind a thing, a comma for a point, a thing without its amount.

import (
	"fmt"
	"regexp"
	"strings"
	"unicode"

	"kettletree/graph/measure"
)

var (
	priceBehind = regexp.MustCompile(`^(.*?\pL.*?)(?:[,;，]? +(?:at )?|[,;，] *)[$€£¥]?([0-9]+(?:[.,][0-9]+)?(?: ?/ ?[\pL]+| for [0-9]+(?:[.,][0-9]+)? ?[\pL]+)|[0-9]+[.,][0-9]{2})$`)
	hoursBehind = regexp.MustCompile(`(?i)^(.*?\pL.*?)(?:[,;，] *|[,;，]? +(?:out at|at|after) +)((?:[0-9]+(?:[.,][0-9]+)? *(?:days?|h|hours?|min|minutes?) *)+|[0-9]+(?:[.,][0-9]+)?)$`)
	clockInside = regexp.MustCompile(`[0-9]:[0-9]{2}`)
)

// bare is a price without the sign of the money.
func bare(price string) string {
	return measure.Pointed(strings.TrimLeft(strings.TrimSpace(price), "$€£¥ "))
}

// Apart takes what goes in apart: how much of what, and the price that stands behind it, if one does.
func (in StartIn) Apart() (what, price string) {
	what = strings.TrimSpace(in.What)
	if m := priceBehind.FindStringSubmatch(what); m != nil {
		return m[1], m[2]
	}
	return what, ""
}

// Unmeasured is what goes in without an amount, "onions"; "" for what has one.
func (in StartIn) Unmeasured() string {
	what, _ := in.Apart()
	return unmeasuredName(what)
}

// unmeasuredName is what is named without an amount; "" where one is written.
func unmeasuredName(what string) string {
	if what == "" || strings.ContainsFunc(what[:1], unicode.IsDigit) {
		return ""
	}
	if rest, some := strings.CutPrefix(what, unweighedWord+" "); some {
		what = strings.TrimSpace(rest)
		if unit, name, found := strings.Cut(what, " "); found {
			if _, err := measure.UnitNamed(unit); err == nil {
				what = strings.TrimSpace(name)
			}
		}
	}
	return what
}

// Apart takes what comes out apart: how much of what, and after how long, if that stands behind it.
func (o StartOut) Apart() (what, at string) {
	what = strings.TrimSpace(o.What)
	if m := hoursBehind.FindStringSubmatch(what); m != nil {
		return m[1], strings.TrimSpace(m[2])
	}
	return what, ""
}

// told reads an amount and a name, "20 kg beef shank"; "10 hens" are so many pieces.
func (w *startWriter) told(text string, in place) (line string, c card, err error) {
	text = strings.TrimSpace(text)
	line = inPieces(text, in, func(name string) bool { return w.known[strings.ToLower(name)] != "" })
	c, err = parseLine(line, in)
	e, unread := err.(*measure.Error)
	before, behind, comma := strings.Cut(line, ",")
	switch {
	case unread && e.NoUnit:
		e.Hint += fmt.Sprintf(" To count them, write %q", strings.TrimSpace(line[:e.At])+" "+measure.Each.Name+" "+line[e.At:])
	case unread && comma && measure.Pointed(line) == line:
		return "", card{}, &measure.Error{Msg: fmt.Sprintf("%q behind the comma is not understood", strings.TrimSpace(behind)),
			Hint: fmt.Sprintf("write how much of what, and nothing behind it: %s", strings.TrimSpace(before))}
	}
	if err != nil {
		return "", card{}, err
	}
	for _, r := range c.choices {
		if !namesThing(r.item) {
			return "", card{}, noThing(text)
		}
	}
	return line, c, nil
}

// noThing says that what was typed is no thing.
func noThing(text string) error {
	return &measure.Error{Msg: fmt.Sprintf("%q names nothing that goes into a pot, comes out or is sold", text), Hint: "write how much of what, such as 3 kg onions"}
}

// unmeasured reads the name of something without an amount, as if of one or some of a unit.
func (w *startWriter) unmeasured(name, amount string, in place) (line string, c card, err error) {
	if !namesThing(name) {
		return "", card{}, noThing(name)
	}
	return w.told(amount+" "+name, in)
}

// namesThing tells whether a name may be that of a thing: a time, a day, a yes or a no is the answer to another question.
func namesThing(name string) bool {
	if !strings.ContainsFunc(name, unicode.IsLetter) || clockInside.MatchString(name) {
		return false
	}
	if _, err := parseDays(daysTyped(name)); err == nil {
		return false
	}
	switch strings.ToLower(name) {
	case "yes", "no", "none":
		return false
	}
	return len(name) > 1 // "y"; a letter of another script has more bytes, and may be a word
}
