package kitchen

// The lines of a recipe card: [either] QUANTITY ITEM [or QUANTITY ITEM]... [± QUANTITY] [, note]...

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"kettletree/graph/measure"
)

// card is one line of a recipe as it was written.
type card struct {
	choices   []ration
	either    bool             // the cook does not mind which of them
	spread    measure.Quantity // the quantity after "±"; zero when there is none
	inAt      int              // minutes after the step starts; notTimed when not written
	outAt     int              // the same; of what a step uses, when it is taken out again and thrown away
	optional  bool
	carried   bool
	without   float64 // the share of it that the batch goes without before it is cut: 1 for what is to taste
	atLeast   float64 // shares of the batch, 0 to 1; 0 when not written
	atMost    float64
	weakest   float64 // of what is drawn from it, in g h/L; 0 when not written
	strongest float64
	guessed   bool  // nobody has confirmed the amount
	unweighed bool  // the amount is not written: "some kg meat"; what goes in counts as one of its unit
	untimed   bool  // when it is out is said not to be known: "out at some time"
	tables    Range // what a published table gives, as shares of the main input's weight; zero when not written
}

// notTimed stands for a time that was not written.
const notTimed = -1

// ration is one quantity of one item.
type ration struct {
	measure.Quantity
	item       string
	at, length int // the bytes of the line at which the item's name stands
	start      int // the byte at which the quantity begins
}

// place says which list a line stands in, and so which notes it may carry.
type place uint8

const (
	used   place = iota // uses of a step
	given               // gives of a step
	plated              // uses of a dish
)

// remark is one of the notes that may follow a comma.
type remark struct {
	words  string // as it begins
	takes  string // what follows, as printed; "" for nothing
	form   string // regular expression of what follows
	in     []place
	belong string // where it may stand, as printed
	read   func(c *card, rest string) error
}

// printed is the remark with an example of what follows.
func (n remark) printed() string { return strings.TrimSpace(n.words + " " + n.takes) }

// key tells it from all others: two bounds on one line may begin alike.
func (n remark) key() string {
	if n.form == drawnPattern {
		return n.words + " " + drawnUnit
	}
	return n.words
}

// remarks lists what may follow a comma. The reader and the schema both go by it.
var remarks = []remark{
	{"in at", "1 h", measure.DurationPattern, []place{used}, "what a step takes", func(c *card,
		rest string) (err error) {
		c.inAt, err = measure.ParseDuration(rest)
		return err
	}},
	{"out at", "4 h 30 min", "(?:" + measure.DurationPattern + "|" + someTimeWords + ")", []place{used, given}, "what a step takes or gives", func(c *card,
		rest string) (err error) {
		if rest == someTimeWords {
			c.untimed = true
			return nil
		}
		c.outAt, err = measure.ParseDuration(rest)
		return err
	}},
	{"optional", "", "", []place{used, plated}, "what a step or dish takes", func(c *card, _ string) error {
		c.optional = true
		return nil
	}},
	{guessedWord, "", "", []place{used, given, plated}, "what a step takes or gives, or a dish takes", func(c *card, _ string) error {
		c.guessed = true
		return nil
	}},
	{"to taste", "", "", []place{used, plated}, "what a step or dish takes", func(c *card, _ string) error {
		c.optional, c.without = true, 1
		return nil
	}},
	{"give or take", "20%", percentPattern, []place{used}, "what a step takes", func(c *card, rest string) (err error) {
		if c.without, err = parsePercent(rest); err == nil && c.without == 1 {
			return &measure.Error{Msg: "give or take all of it", Hint: "write \"to taste\" for what the batch goes on without", Len: len(rest)}
		}
		return err
	}},
	{"from yesterday", "", "", []place{used}, "what a step takes", func(c *card, _ string) error {
		c.carried = true
		return nil
	}},
	{"at least", "2%", percentPattern, []place{used}, "what a step takes", func(c *card, rest string) (err error) {
		c.atLeast, err = parsePercent(rest)
		return err
	}},
	{"at most", "6%", percentPattern, []place{used}, "what a step takes", func(c *card, rest string) (err error) {
		c.atMost, err = parsePercent(rest)
		return err
	}},
	{"at least", "40 g h/L", drawnPattern, []place{used}, "what a step takes", func(c *card, rest string) (err error) {
		c.weakest, err = parseDrawn(rest)
		return err
	}},
	{"at most", "120 g h/L", drawnPattern, []place{used}, "what a step takes", func(c *card, rest string) (err error) {
		c.strongest, err = parseDrawn(rest)
		return err
	}},
	{"published", "66-74%", rangePattern, []place{given}, "what a step gives", func(c *card, rest string) (err error) {
		c.tables, err = parseRange(rest)
		return err
	}},
}

// inFigures is a line that begins with an amount in words without a unit, "half an onion", as it is read; else the line that is given for it.
func inFigures(s, other string) string {
	if figures, ok := measure.InFigures(s); ok {
		return figures
	}
	return other
}

// spreadSigns stand before how much a yield varies by.
var spreadSigns = []string{"±", "+-"}

// parsePlain reads a line, or what follows "either" on it.
func parsePlain(s string, in place) (card, error) {
	c := card{inAt: notTimed, outAt: notTimed}
	if n, _ := noteNamed(s); n != nil {
		return card{}, &measure.Error{Msg: fmt.Sprintf("note %q is a line of its own", s), Len: len(s),
			Hint: "a comma in [...] starts a new entry: put the whole line in quotes, or write the list with dashes"}
	}
	if rest, ok := strings.CutPrefix(s, unweighedWord); ok && strings.HasPrefix(rest, " ") {
		return notWeighed(s, rest, in)
	}
	_, _, err := measure.Number(s)
	if _, _, words := measure.ParsePrefix(s); err != nil && words != nil { // neither in figures nor in words
		e := err.(*measure.Error)
		if e.NoNumber {
			e.Msg, e.Hint = fmt.Sprintf("%q does not begin with a quantity", s),
				"write the amount first: "+inFigures(s, "450 mL "+cmp.Or(strings.TrimSpace(s), "stock"))
		}
		return card{}, e
	}
	head, tail, hasNotes := strings.Cut(s, ",")
	if hasNotes {
		if err := c.readNotes(tail, len(head)+1, in); err != nil {
			return card{}, err
		}
	}
	head, err = c.readSpread(head, in)
	if err != nil {
		return card{}, err
	}
	at := 0
	for i, piece := range strings.Split(head, " or ") {
		r, err := parseRation(piece)
		if err != nil {
			if e := err.(*measure.Error); i > 0 && e.NoNumber {
				e.Msg, e.Hint = fmt.Sprintf("%q does not begin with a quantity", piece),
					fmt.Sprintf(`write "or %s"; a name holds no " or "`, inFigures(piece, "110 g "+strings.TrimSpace(piece)))
			}
			return card{}, shifted(err, at)
		}
		r.at += at
		r.start += at
		c.choices = append(c.choices, r)
		at += len(piece) + len(" or ")
	}
	if in == given && len(c.choices) > 1 {
		return card{}, &measure.Error{Msg: `"or" stands on what a step gives`, Hint: "give each item a line of its own",
			At: c.choices[1].start - len("or "), Len: len("or")}
	}
	return c, nil
}

// readSpread reads what follows a "±" and returns what stands before it.
func (c *card) readSpread(head string, in place) (before string, err error) {
	for _, sign := range spreadSigns {
		before, after, ok := strings.Cut(head, sign)
		if !ok {
			continue
		}
		if in != given {
			return "", &measure.Error{Msg: fmt.Sprintf("%q is on what a step takes", sign),
				Hint: "only what a step gives can vary", At: len(before), Len: len(sign)}
		}
		c.spread, err = measure.Parse(strings.Trim(after, " "))
		if err != nil {
			return "", shifted(err, len(before)+len(sign)+leading(after))
		}
		return before, nil
	}
	return head, nil
}

// parseRation reads one quantity of one item.
func parseRation(piece string) (ration, error) {
	start := leading(piece)
	q, rest, err := measure.ParsePrefix(piece[start:])
	if err != nil {
		return ration{}, shifted(err, start)
	}
	at := len(piece) - len(rest)
	name := strings.TrimRight(rest, " ")
	quantity := strings.Trim(piece[start:at], " ")
	switch fault := nameFault(name); {
	case name == "":
		return ration{}, &measure.Error{Msg: fmt.Sprintf("no item after %q", quantity),
			Hint: "write the item after its quantity: 450 mL stock", At: start, Len: len(quantity)}
	case fault != "":
		return ration{}, &measure.Error{Msg: fmt.Sprintf("item name %q %s", name, fault), Hint: nameRule, At: at,
			Len: len(name)}
	case q.Amount == 0:
		return ration{}, &measure.Error{Msg: fmt.Sprintf("%q is zero", quantity),
			Hint: "remove the line, or write how much",
			At:   start, Len: len(quantity)}
	}
	return ration{Quantity: q, item: name, at: at, length: len(name), start: start}, nil
}

// readNotes reads what follows the first comma of a line, which stands at byte at.
func (c *card) readNotes(tail string, at int, in place) error {
	seen := map[string]bool{}
	for written := range strings.SplitSeq(tail, ",") {
		words := strings.Trim(written, " ")
		start := at + leading(written)
		at += len(written) + 1
		fault := &measure.Error{At: start, Len: len(words)}
		n, rest := noteNamed(words)
		switch {
		case words == "":
			fault.At, fault.Len = start-len(written)-1, 1
			fault.Msg, fault.Hint = "nothing follows the comma", "remove the comma"
			return fault
		case n == nil:
			fault.Msg, fault.Hint = fmt.Sprintf("unknown note %q", words), nearestNote(words)
			return fault
		case !slices.Contains(n.in, in):
			fault.Msg, fault.Hint = fmt.Sprintf("note %q is only for %s", n.words, n.belong),
				"notes here are "+notesOf(in)
			return fault
		case seen[n.key()]:
			fault.Msg, fault.Hint = fmt.Sprintf("note %q appears twice", n.words), "write it once"
			return fault
		case n.takes == "" && rest != "":
			fault.Msg, fault.Hint = fmt.Sprintf("%q follows the note %q", rest, n.words),
				"separate two notes with a comma"
			return fault
		}
		seen[n.key()] = true
		if err := n.read(c, rest); err != nil {
			e := err.(*measure.Error)
			if rest == "" {
				return &measure.Error{Msg: fmt.Sprintf("note %q needs a value", n.words),
					Hint: fmt.Sprintf("write it as %s %s", n.words, n.takes), At: start, Len: len(words)}
			}
			return shifted(e, start+len(words)-len(rest))
		}
	}
	if err := clash(seen); err != nil {
		return err
	}
	if c.atMost > 0 && c.atLeast > c.atMost {
		return &measure.Error{Msg: fmt.Sprintf("at least %s and at most %s leave no room between them",
			FormatPercent(c.atLeast), FormatPercent(c.atMost)), Hint: "make \"at least\" the smaller one"}
	}
	if c.strongest > 0 && c.weakest > c.strongest {
		return &measure.Error{Msg: fmt.Sprintf("at least %s and at most %s leave no room between them", FormatDrawn(c.weakest),
			FormatDrawn(c.strongest)), Hint: "make \"at least\" the smaller one"}
	}
	if in == used && c.untimed {
		return &measure.Error{Msg: "when it is taken out again is not said", Hint: "write after how long, or leave \"out at\" away"}
	}
	if in == used && c.outAt != notTimed && c.outAt <= max(c.inAt, 0) {
		return &measure.Error{Msg: fmt.Sprintf("it is out at %s, but in at %s", measure.FormatDuration(c.outAt),
			measure.FormatDuration(max(c.inAt, 0))), Hint: "it must go in before it is taken out"}
	}
	return nil
}

// clashes are notes that can't stand on one line, with what to do about it.
var clashes = []struct{ one, other, hint string }{
	{"to taste", "optional", "\"to taste\" says more: what is to taste may run low, and nobody has to choose to leave it out"},
	{"to taste", "give or take", "\"to taste\" says that the batch goes on with any amount"},
	{"give or take", "optional", "what is optional may be left out, all of it"},
	{"from yesterday", "to taste", "a batch grows from what it takes from yesterday: write how much it must have"},
	{"from yesterday", "give or take", "a batch grows from what it takes from yesterday: write how much it must have"},
}

// clash refuses two notes that contradict each other.
func clash(seen map[string]bool) error {
	for _, x := range clashes {
		if seen[x.one] && seen[x.other] {
			return &measure.Error{Msg: fmt.Sprintf("%q and %q can't both stand on a line", x.one, x.other), Hint: x.hint}
		}
	}
	return nil
}

// noteNamed is the note that s begins with, and what follows its words. Of notes that begin alike it is the one whose value
// follows, or else the first.
func noteNamed(s string) (n *remark, rest string) {
	for i := range remarks {
		after, ok := strings.CutPrefix(s, remarks[i].words)
		if !ok || after != "" && after[0] != ' ' {
			continue
		}
		after = strings.TrimLeft(after, " ")
		if n == nil || strings.HasSuffix(after, drawnUnit) && remarks[i].form == drawnPattern {
			n, rest = &remarks[i], after
		}
	}
	return n, rest
}

func nearestNote(written string) string {
	var names []string
	for _, n := range remarks {
		names = append(names, n.printed())
	}
	return (&source{}).meant(written, plainly(names...), "names hold no comma; notes are "+notesOf(used, given))
}

// notesOf lists the notes that may stand in some places: "in at 1 h", "optional".
func notesOf(in ...place) string {
	var list []string
	for _, n := range remarks {
		if slices.ContainsFunc(in, func(p place) bool { return slices.Contains(n.in, p) }) {
			list = append(list, fmt.Sprintf("%q", n.printed()))
		}
	}
	return strings.Join(list, ", ")
}

// leading counts the spaces that s begins with.
func leading(s string) int { return len(s) - len(strings.TrimLeft(s, " ")) }

// shifted moves a fault found in a part of a text to where that part starts.
func shifted(err error, by int) error {
	e := *err.(*measure.Error)
	e.At += by
	return &e
}
