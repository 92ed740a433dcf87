package logbook

// Entries as a cook writes them. Faults are of type *measure.Error and point at bytes of the text.

import (
	"fmt"
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"

	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
)

// Form shows how an entry of a kind is written, in the words of a kitchen.
func Form(k *kitchen.Kitchen, kind Kind) string {
	e := k.Example()
	switch kind {
	case Received:
		return e.Bought + ` for 52.31 from "` + e.Supplier + `" lot A17`
	case NotCome:
		return e.Bought
	case Late:
		return e.Bought + " until 15:00"
	case Lit:
		return e.Step + " x1 of " + e.Day + ": " + e.Takes
	case PutIn:
		return e.PutIn + " of " + e.Step
	case Out:
		return e.Out + " of " + e.Step
	case Done, Skipped:
		return e.Step + " of " + e.Day
	case Cooked:
		return e.Step + " x1: " + e.Takes + " -> " + e.Gives
	case Sold:
		return "42 " + e.Dish + " at " + e.Service
	case Gave:
		return "6 " + e.Dish + " to staff at " + e.Service
	case Dropped:
		return "1 " + e.Dish + " at " + e.Service + ", slipped off the tray"
	case Binned:
		return e.Out + " lot A17, left out overnight"
	case Counted:
		return e.Dip
	case Temperature:
		return e.Made + " lot A17 4.5 C"
	case Struck:
		return e.Dish + " at " + e.Service
	case Lost:
		return "40% of " + e.Step + " of " + e.Day
	case Offered:
		return "24 " + e.Special + " at fri " + e.Service
	case Measured:
		return tasteForm(k)
	}
	return ""
}

// Parse reads an entry of a kind, written as [Form] shows, by the names of a kitchen. It leaves At, Written and
// Corrects to the caller.
//
// What a cooked entry does not name is by the card, as many batches as were written: such amounts are not typed. "0 kg" says that
// there was none. More weight out than in is an error. What the other entries about a batch leave out is found by [Book.Settle].
func Parse(k *kitchen.Kitchen, kind Kind, text string) (Entry, error) {
	trimmed := norm.NFC.String(strings.TrimRight(text, " ")) // é is one letter, however it is typed
	r := &reader{k: k, text: trimmed, e: Entry{Kind: kind, Text: trimmed}}
	if err := r.printable(); err != nil {
		return Entry{}, err
	}
	r.skip()
	if r.rest() == "" {
		return Entry{}, &measure.Error{Msg: "nothing is written", Hint: "write it as " + Form(r.k, kind), At: 0}
	}
	err := map[Kind]func() error{Received: r.received, NotCome: r.missed, Late: r.late, Lit: r.lit, PutIn: r.putIn, Out: r.out,
		Done: r.ofBatch, Cooked: r.cooked, Skipped: r.ofBatch, Sold: r.sold, Gave: r.gave, Dropped: r.dropped, Binned: r.binned,
		Counted: r.counted, Temperature: r.temperature, Struck: r.struck, Lost: r.lost, Offered: r.offered, Measured: r.tasted}[kind]()
	if err == nil && r.rest() != "" {
		err = r.fault(r.at, len(r.rest()), "write it as "+Form(r.k, kind), "%q is more than this kind of entry takes", r.rest())
	}
	if err == nil {
		err = r.bounded()
	}
	if err != nil {
		return Entry{}, err
	}
	return r.e, nil
}

// What is typed is bounded, in letters: an entry, and within it a reason and what was done. Names, marks, suppliers and whom something was
// given are bounded as names of the kitchen file are.
const (
	mostTyped  = 2000
	mostReason = 1000
)

// bounded refuses what is written freely at too great a length.
func (r *reader) bounded() error {
	type free struct {
		what, text string
		most       int
	}
	list := []free{{"supplier", r.e.Supplier, kitchen.MostLetters}, {"mark", r.e.Mark, kitchen.MostLetters}, {"name", r.e.To, kitchen.MostLetters},
		{"place", r.e.Of, kitchen.MostLetters}, {"reason", r.e.Reason, mostReason}, {"text behind \"did:\"", r.e.Did, mostReason}}
	for _, amounts := range [][]Amount{r.e.Takes, r.e.Gives} {
		for _, a := range amounts {
			list = append(list, free{"mark", a.Mark, kitchen.MostLetters})
		}
	}
	for _, f := range list {
		if fault := kitchen.TextFault(f.text, f.most); fault != "" {
			return r.fault(max(0, strings.Index(r.text, f.text)), len(f.text), "say it shorter", "the %s %s", f.what, fault)
		}
	}
	return nil
}

// printable refuses what no cook types: what can't be printed, and more than a page.
func (r *reader) printable() error {
	for at, c := range r.text {
		if c == utf8.RuneError || !unicode.IsPrint(c) {
			_, length := utf8.DecodeRuneInString(r.text[at:])
			return r.fault(at, length, "type it again, with letters, digits and spaces", "there is a character here that can't be printed")
		}
	}
	if fault := kitchen.TextFault(r.text, mostTyped); fault != "" {
		at := len(string([]rune(r.text)[:mostTyped])) // where it is too long
		return r.fault(at, len(r.text)-at, "say it shorter, or in several entries", "the entry %s", fault)
	}
	return nil
}

// reader goes through a text from left to right.
type reader struct {
	k    *kitchen.Kitchen
	text string
	at   int // the byte that is next
	e    Entry
}

func (r *reader) rest() string { return r.text[r.at:] }

// skip goes on to the next word.
func (r *reader) skip() { r.past(0) }

// past goes past so many bytes, to the word behind them.
func (r *reader) past(length int) {
	r.at += length
	r.at = len(r.text) - len(strings.TrimLeft(r.rest(), " "))
}

// next goes past a word where it is the one that is next, and tells whether it was.
func (r *reader) next(word string) bool {
	if !strings.HasPrefix(r.rest(), word) {
		return false
	}
	r.past(len(word))
	return true
}

// moved goes on to where rest begins; of a fault found from here on, it tells the place in the whole text.
func (r *reader) moved(rest string, err error) error {
	if err != nil {
		e := *err.(*measure.Error)
		e.At += r.at
		return &e
	}
	r.past(len(r.rest()) - len(rest))
	return nil
}

func (r *reader) fault(at, length int, hint, format string, args ...any) error {
	return &measure.Error{Msg: fmt.Sprintf(format, args...), Hint: hint, At: at, Len: length}
}

// amount reads one measured amount, which is not nothing.
func (r *reader) amount(ends *regexp.Regexp) (Amount, error) {
	from := r.at
	a, err := r.amountOrNone(ends)
	if err == nil && a.Base == 0 {
		err = r.fault(from, len(a.Typed), "leave it out, or write how much", "%q is zero", a.Typed)
	}
	return a, err
}

// amountOrNone reads one measured amount, which may be nothing.
func (r *reader) amountOrNone(ends *regexp.Regexp) (Amount, error) {
	m, rest, err := r.k.ReadMeasured(r.rest(), ends)
	if err := r.moved(rest, err); err != nil {
		return Amount{}, err
	}
	return amountOf(r.k, m), nil
}

func amountOf(k *kitchen.Kitchen, m kitchen.Measured) Amount {
	it := k.Graph.Items[m.Item]
	return Amount{Item: it.Name, Base: m.Base, Kind: it.Unit.Kind, Typed: m.Typed}
}

var (
	receivedEnds = regexp.MustCompile(` +(?:for|from|lot) `)
	lateEnds     = regexp.MustCompile(` +until `)
	amountEnds   = regexp.MustCompile(` *,| *->| +gives | +lot `)
	listEnds     = regexp.MustCompile(` *,`)
	noteEnds     = regexp.MustCompile(` *,| +lot `)
	markEnds     = regexp.MustCompile(` *,| *->| +gives `)
	quoted       = regexp.MustCompile(`^"([^"]*)"`)
	clause       = regexp.MustCompile(`^(for|from|lot) +`)
)

// received reads AMOUNT [for MONEY] [from SUPPLIER] [lot MARK].
func (r *reader) received() error {
	a, err := r.amount(receivedEnds)
	if err != nil {
		return err
	}
	r.e.Gives = []Amount{a}
	seen := map[string]bool{}
	for r.rest() != "" {
		m := clause.FindStringSubmatch(r.rest())
		if m == nil {
			return nil // Parse tells that too much stands here
		}
		if seen[m[1]] {
			return r.fault(r.at, len(m[1]), "write it once", "%q appears twice", m[1])
		}
		seen[m[1]] = true
		r.at += len(m[0])
		from := r.at
		switch m[1] {
		case "for":
			paid, rest, err := measure.Number(r.rest())
			if err := r.moved(rest, err); err != nil {
				return err
			}
			if paid > mostMoney {
				return r.fault(from, r.at-from, "write it in units of the currency", "that is more than 1,000,000,000")
			}
			r.e.Paid = &paid
		case "from":
			r.e.Supplier = r.words(receivedEnds)
		case "lot":
			r.e.Mark = r.words(receivedEnds)
		}
	}
	return nil
}

// missed reads [AMOUNT] ITEM, of which nothing more comes.
func (r *reader) missed() error {
	item, rest, err := r.k.ItemNamed(r.rest(), lateEnds)
	if _, _, none := measure.Number(r.rest()); err != nil && none == nil {
		a, err := r.amount(lateEnds)
		r.e.Of, r.e.Gives = a.Item, []Amount{a}
		return err
	}
	if err == nil {
		r.e.Of = r.k.Graph.Items[item].Name
	}
	return r.moved(rest, err)
}

// late reads [AMOUNT] ITEM until TIME.
func (r *reader) late() error {
	if err := r.missed(); err != nil {
		return err
	}
	if !r.next("until ") {
		return r.fault(r.at, len(r.rest()), "write it as "+Form(r.k, Late), "until when?")
	}
	minute, err := measure.ParseClock(r.rest())
	if err == nil && (minute == 0 || minute >= 24*60) {
		err = r.fault(0, len(r.rest()), "write \"did not come\" in its place", "that is not today")
	}
	if err := r.moved("", err); err != nil {
		return err
	}
	r.e.Until = minute
	return nil
}

// mostMoney bounds what is paid.
const mostMoney = 1e9

// words reads a text in quotes, or up to one of ends.
func (r *reader) words(ends *regexp.Regexp) string {
	text, length := r.rest(), len(r.rest())
	if m := quoted.FindStringSubmatch(r.rest()); m != nil {
		text, length = m[1], len(m[0])
	} else if at := ends.FindStringIndex(r.rest()); at != nil {
		text, length = text[:at[0]], at[0]
	}
	r.past(length)
	return strings.TrimSpace(text)
}

// trimmed is a text without the spaces behind it.
func trimmed(text string) string { return strings.TrimRight(text, " ") }

// lot reads "lot MARK", the mark in quotes or up to one of ends; "" where no lot is named.
func (r *reader) lot(ends *regexp.Regexp) (string, error) {
	from := r.at
	if !r.next("lot ") {
		return "", nil
	}
	mark := r.words(ends)
	if mark == "" {
		return "", r.fault(from, len("lot"), "write its mark, lot A17, or the number of the entry that brought it",
			"no lot is named")
	}
	return mark, nil
}

// binned reads AMOUNT [lot MARK] [, REASON].
func (r *reader) binned() error {
	a, err := r.amount(noteEnds)
	if err != nil {
		return err
	}
	if a.Mark, err = r.lot(noteEnds); err != nil {
		return err
	}
	r.e.Takes = []Amount{a}
	r.e.Reason = r.note()
	return nil
}

// note reads what stands after a comma.
func (r *reader) note() string {
	if !r.next(",") {
		return ""
	}
	note := strings.TrimSpace(r.rest())
	r.at = len(r.text)
	return note
}

// countedLot leads on from a count that could not be read: where a lot is named behind what could be, a count takes none.
func (r *reader) countedLot(err error) error {
	what, mark, is := strings.Cut(r.rest(), " lot ")
	if _, rest, fault := r.k.ReadMeasured(what, listEnds); !is || fault != nil || strings.TrimSpace(rest) != "" {
		return err
	}
	mark, _, _ = strings.Cut(mark, ",")
	return r.fault(r.at+len(what)+1, len("lot ")+len(strings.TrimSpace(mark)), fmt.Sprintf("count all that there is of it, whatever its lots: %s", strings.TrimSpace(what)),
		"a count takes no lot")
}

// counted reads AMOUNT[, AMOUNT]..., each of which may be nothing.
func (r *reader) counted() error {
	for {
		from := r.at
		a, err := r.amountOrNone(listEnds)
		if err != nil {
			return r.countedLot(err)
		}
		if names(r.e.Gives, a.Item) {
			return r.fault(from, len(trimmed(r.text[from:r.at])), "add the two amounts: all that there is of it", "%q appears twice", a.Item)
		}
		if r.e.Gives = append(r.e.Gives, a); !r.next(",") {
			return nil
		}
	}
}
