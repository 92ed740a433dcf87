package kitchen

// Changes of a kitchen file that keep its text as it is: new figures for what steps give, and batches of the standing week.

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v4"
	"golang.org/x/text/unicode/norm"

	"kettletree/graph/measure"
)

// Figure is a new yield: what a batch of a step gives of one of its outputs, and the spread of that, in base units of
// the item. A spread of 0 stands for none.
type Figure struct {
	Step, Output   int
	Amount, Spread float64
}

// AmendError says why a kitchen file can't be changed as it was asked for.
type AmendError struct {
	Msg, Hint string
	Faults    Diagnostics // of the text as it would be; nil when it is not its faults that keep it from being written
	Text      []byte      // as it would be, where it has faults
}

func (e *AmendError) Error() string { return e.Msg }

// Amend gives the text of the kitchen file with new figures. src must be the text that the kitchen was read from.
// Each figure is written into its line as [measure.FormatNumber] and [FormatSpread] print it, in the unit that stands
// there. All other bytes stay, but for blanks before a comment at the end of such a line, which keep the comment in
// its column.
//
// The new text is read before it is handed back. Errors are of type [*AmendError]: the text has changed, it would have
// faults, something else than the figures would change, or a line is written in a way that can't be changed in place.
func (k *Kitchen) Amend(src []byte, figures ...Figure) ([]byte, error) {
	var edits []Edit
	for _, f := range figures {
		step := k.Graph.Steps[f.Step].Name
		edits = append(edits, Edit{"a new yield of " + step, func(m *manuscript) error {
			lines := m.lines(InSteps, step, "gives")
			if lines == nil || f.Output >= len(lines.Content) {
				return m.unknown(InSteps, step)
			}
			line := norm.NFC.String(lines.Content[f.Output].Value)
			c, err := parseLine(line, given)
			if err != nil {
				return m.stuck(lines.Content[f.Output])
			}
			head, _, _ := strings.Cut(line, ",")
			return m.replace(&lines.Content[f.Output], Words(k.reworded(head, c, f)+line[len(head):]))
		}})
	}
	text, err := k.changed(src, edits)
	if e, ok := errors.AsType[*AmendError](err); ok && e.Faults != nil {
		e.Hint = "change it by hand, or weigh again what does not add up"
	}
	return text, err
}

// changed is a text with edits, if it is the one that the kitchen was read from.
func (k *Kitchen) changed(src []byte, edits []Edit) ([]byte, error) {
	if fmt.Sprintf("%x", sha256.Sum256(src)) != k.Digest {
		return nil, &AmendError{Msg: k.File + " was changed in the meantime", Hint: "ask again, and check the new proposal"}
	}
	return Change(k.File, src, edits...)
}

// FormatSpread prints how far a figure strays, with two significant digits.
func FormatSpread(x float64) string {
	rounded, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 2, 64), 64) // what was just printed can be read
	return measure.FormatNumber(rounded)
}

// lineEnd is what ends a line of YAML, as [Read] counts lines.
var lineEnd = regexp.MustCompile("\r\n|[\n\r\u0085\u2028\u2029]")

const quotedStyles = yaml.SingleQuotedStyle | yaml.DoubleQuotedStyle

// reworded is what stands before the first comma of a line, with another figure.
func (k *Kitchen) reworded(head string, c card, f Figure) string {
	r := c.choices[0]
	it := k.Graph.Items[k.Graph.Steps[f.Step].Gives[f.Output].Item]
	in := func(base float64, u measure.Unit) float64 {
		b, _ := it.Bridge().Convert(base, it.Unit.Kind, u.Kind) // led the other way when the line was read
		return b / u.Factor
	}
	number := func(at int) int { // where the number that begins at a byte ends
		if c.unweighed && at == r.start {
			return at + len(unweighedWord)
		}
		_, rest, _ := measure.Number(head[at:]) // was read before
		return len(head) - len(rest)
	}
	units, name := number(r.start), r.at+r.length
	b := head[:r.start] + measure.FormatNumber(in(f.Amount, r.Unit)) + head[units:name]
	spread := f.Spread
	for _, sign := range spreadSigns {
		at := strings.Index(head, sign)
		if at < 0 {
			continue
		}
		if spread == 0 {
			return b
		}
		at += len(sign) + leading(head[at+len(sign):])
		return b + head[name:at] + FormatSpread(in(spread, c.spread.Unit)) + head[number(at):]
	}
	if spread > 0 {
		b += " ± " + FormatSpread(in(spread, r.Unit)) + " " + strings.TrimSpace(head[units:r.at])
	}
	return b + head[name:]
}

// comment is what stands behind a line's end, with the blanks before it.
var comment = regexp.MustCompile(` {2,}#`)

// realigned is the rest of a line that has grown by some characters before it: a comment at its end stays in its column
// as far as the blanks before it allow. quote is the one that the rest begins within, if it does.
func realigned(quote, rest string, grown int) string {
	found := comment.FindStringIndex(rest)
	if found == nil {
		return rest
	}
	before, blanks := rest[:found[0]], found[1]-found[0]-1
	if strings.Count(quote+before, `"`)%2+strings.Count(quote+before, `'`)%2 > 0 {
		return rest // within quotes
	}
	return before + strings.Repeat(" ", max(1, blanks-grown)) + rest[found[1]-1:]
}
