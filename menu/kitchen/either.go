package kitchen

// Lines that begin with "either": the cook does not mind which choice fills them.

import (
	"fmt"
	"strings"

	"kettletree/graph/measure"
)

// eitherWord begins such a line.
const eitherWord = "either"

// parseLine reads a line. Its error is a [*measure.Error].
func parseLine(s string, in place) (card, error) {
	rest, either := strings.CutPrefix(s, eitherWord+" ")
	if !either || in == given {
		c, err := parsePlain(s, in)
		if at := strings.Index(s, " or "+eitherWord+" "); err != nil && at >= 0 {
			return card{}, &measure.Error{Msg: fmt.Sprintf("%q stands behind a first choice", eitherWord), At: at + len(" or "), Len: len(eitherWord),
				Hint: fmt.Sprintf("begin the line with %q where the cook does not mind which; without it, what follows \"or\" is for when the first is used up", eitherWord)}
		}
		return c, err
	}
	from := len(s) - len(strings.TrimLeft(rest, " "))
	c, err := parsePlain(s[from:], in)
	if err != nil {
		return card{}, shifted(err, from)
	}
	fault := &measure.Error{Len: len(eitherWord)}
	switch {
	case len(c.choices) == 1:
		fault.Msg, fault.Hint = fmt.Sprintf("%q has only one thing to choose", eitherWord),
			fmt.Sprintf("write %s %s or the other, with its quantity; or leave %[1]q out", eitherWord, strings.TrimSpace(s[from:]))
		return card{}, fault
	case c.carried:
		fault.Msg, fault.Hint = fmt.Sprintf("%q and \"from yesterday\" can't both stand on a line", eitherWord),
			"write first what an earlier day leaves, and behind \"or\" how it is begun again"
		return card{}, fault
	}
	for n := range c.choices {
		c.choices[n].at += from
		c.choices[n].start += from
	}
	c.either = true
	return c, nil
}
