package kitchen

// Changes of a kitchen file that keep its text as it is: new figures for what steps give, and batches of the standing week.

import (
	"bytes"
	"crypto/sha256"
	"fmt"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

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
	return k.changed(src, figures, nil)
}

// changed is a text with new figures and batches, read again.
func (k *Kitchen) changed(src []byte, figures []Figure, standing []Standing) ([]byte, error) {
	if fmt.Sprintf("%x", sha256.Sum256(src)) != k.Digest {
		return nil, &AmendError{Msg: k.File + " was changed in the meantime", Hint: "ask again, and check the new proposal"}
	}
	text := src
	for _, f := range figures {
		var err error
		if text, err = k.amended(text, f); err != nil {
			return nil, err
		}
	}
	for _, s := range standing {
		var err error
		if text, err = k.restood(text, s); err != nil {
			return nil, err
		}
	}
	after, faults := Read(k.File, text)
	if after == nil {
		return nil, &AmendError{Msg: "that change would put a mistake in the kitchen file", Faults: faults,
			Hint: "change it by hand, or weigh again what does not add up"}
	}
	if !k.alike(after, figures, standing) {
		return nil, &AmendError{Msg: "more than the figures would change",
			Hint: "the lines are written in an uncommon way: change them by hand"}
	}
	return text, nil
}

// FormatSpread prints how far a figure strays, with two significant digits.
func FormatSpread(x float64) string {
	rounded, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 2, 64), 64) // what was just printed can be read
	return measure.FormatNumber(rounded)
}

// amended is a text with one figure changed.
func (k *Kitchen) amended(src []byte, f Figure) ([]byte, error) {
	st := k.Graph.Steps[f.Step]
	n := k.outputNode(src, st.Name, f.Output)
	if n == nil {
		return nil, k.byHand(f)
	}
	c, err := parseLine(n.Value, given)
	if err != nil {
		return nil, k.byHand(f)
	}
	head, _, _ := strings.Cut(n.Value, ",")
	words := k.reworded(head, c, f)
	at := placeOf(src, n)
	if !bytes.HasPrefix(src[at:], []byte(head)) {
		return nil, k.byHand(f) // with escapes, or over several lines
	}
	tail := src[at+len(head):]
	end := len(tail)
	if found := lineEnd.FindIndex(tail); found != nil {
		end = found[0]
	}
	quote := map[yaml.Style]string{yaml.DoubleQuotedStyle: `"`, yaml.SingleQuotedStyle: `'`}[n.Style&quotedStyles]
	rest := realigned(quote, string(tail[:end]), utf8.RuneCountInString(words)-utf8.RuneCountInString(head))
	return slices.Concat(src[:at], []byte(words), []byte(rest), tail[end:]), nil
}

func (k *Kitchen) byHand(f Figure) error {
	at := k.StepPos[f.Step].Gives[f.Output]
	return &AmendError{Msg: fmt.Sprintf("%s is written in a way that can't be changed in place", at),
		Hint: "write the line plainly, or change it by hand"}
}

// lineEnd is what ends a line of YAML, as [Read] counts lines.
var lineEnd = regexp.MustCompile("\r\n|[\n\r\u0085\u2028\u2029]")

const quotedStyles = yaml.SingleQuotedStyle | yaml.DoubleQuotedStyle

// placeOf is the byte at which the value of a scalar begins, behind its quote.
func placeOf(src []byte, n *yaml.Node) int {
	at := len(src) - len(bytes.TrimPrefix(src, []byte("\uFEFF")))
	for range n.Line - 1 {
		at += lineEnd.FindIndex(src[at:])[1]
	}
	col := n.Column - 1
	if n.Style&quotedStyles != 0 {
		col++
	}
	for range col {
		_, size := utf8.DecodeRune(src[at:])
		at += size
	}
	return at
}

// outputNode finds the scalar of a step's output; nil when it is not there.
func (k *Kitchen) outputNode(src []byte, step string, output int) *yaml.Node {
	n := k.node(src, "steps", step, "gives")
	if n == nil || output >= len(n.Content) {
		return nil
	}
	return n.Content[output]
}

// node finds what stands behind one key in another; nil when it is not there.
func (k *Kitchen) node(src []byte, keys ...string) *yaml.Node {
	text, clean, ok := newSource(k.File, src)
	if !ok {
		return nil
	}
	n := (&reader{source: text}).decode(clean)
	for _, key := range keys {
		if _, n = entry(n, key); n == nil {
			return nil
		}
	}
	return n
}

// entry finds a key of a mapping, and what stands behind it; nil where it is not there.
func entry(n *yaml.Node, name string) (key, value *yaml.Node) {
	for i := 0; n != nil && i+1 < len(n.Content); i += 2 {
		if norm.NFC.String(n.Content[i].Value) == name {
			key, value = n.Content[i], n.Content[i+1]
		}
	}
	return key, value
}

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

// alike tells whether a kitchen is the same as before but for some figures and batches.
func (k *Kitchen) alike(after *Kitchen, figures []Figure, standing []Standing) bool {
	steps, cards := slices.Clone(k.Graph.Steps), slices.Clone(k.Steps)
	for _, s := range standing {
		cards[s.Step].Batches = s.Batches
	}
	if len(after.Graph.Steps) != len(steps) {
		return false
	}
	for _, f := range figures {
		if len(after.Graph.Steps[f.Step].Gives) != len(steps[f.Step].Gives) {
			return false
		}
		steps[f.Step].Gives = slices.Clone(steps[f.Step].Gives)
		now := after.Graph.Steps[f.Step].Gives[f.Output]
		if !near(now.Amount, f.Amount) || !near(now.Spread, f.Spread) {
			return false
		}
		was := &steps[f.Step].Gives[f.Output]
		was.Amount, was.Spread = now.Amount, now.Spread
		steps[f.Step].BoilsOff = after.Graph.Steps[f.Step].BoilsOff // follows from what comes out
	}
	return reflect.DeepEqual(steps, after.Graph.Steps) && reflect.DeepEqual(k.Graph.Items, after.Graph.Items) &&
		reflect.DeepEqual(cards, after.Steps) && reflect.DeepEqual(foretold(k.Dishes), foretold(after.Dishes)) &&
		reflect.DeepEqual(k.Bought, after.Bought) && reflect.DeepEqual(k.Services, after.Services) &&
		fmt.Sprint(k.Terms) == fmt.Sprint(after.Terms) && // what is not known is not a number, which equals nothing
		k.Name == after.Name && k.Open == after.Open && k.Works == after.Works && reflect.DeepEqual(k.calendar, after.calendar) &&
		reflect.DeepEqual(k.Dates, after.Dates)
}

// foretold are dishes without the forecasts that follow from other figures.
func foretold(dishes []Dish) []Dish {
	dishes = slices.Clone(dishes)
	for d := range dishes {
		if dishes[d].Assumed {
			dishes[d].Assumed, dishes[d].Sells, dishes[d].Spread = false, [7][]int{}, [7][]float64{}
		}
	}
	return dishes
}

// near tells whether a figure is another as it is printed, with two significant digits at least.
func near(a, b float64) bool { return a-b <= 0.06*b && b-a <= 0.06*b }
