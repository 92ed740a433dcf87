package logbook

// Entries as a cook writes them. Faults are of type *measure.Error and point at bytes of the text.

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
)

// Forms shows how each kind of entry is written.
var Forms = map[Kind]string{
	Received:    `18.46 lb pork shoulder for 52.31 from "corner butcher" lot A17`,
	Cooked:      `night kettle x1: 12 kg pork trotters, 70 L water -> 54 L kettle stock, 2.3 kg kettle fat`,
	Sold:        `42 red pozole at lunch`,
	Binned:      `2 L kettle stock lot A17, left out overnight`,
	Counted:     `kettle stock 23.5 cm in big kettle`,
	Temperature: `kettle stock lot A17 4.5 C`,
	Struck:      `red pozole at dinner`,
	Lost:        `40% of night kettle of tue`,
	Offered:     `24 trotter tostadas at fri dinner`,
}

// Parse reads an entry of a kind, written as [Forms] shows, by the names of a kitchen. It leaves At, Written and
// Corrects to the caller.
//
// What a cooked entry leaves out is filled in from the recipe, as many batches as were written: what went in when there
// is no ":", and what came out when there is no "->" (or "gives"). Such amounts are not typed. More weight out than in
// is an error.
func Parse(k *kitchen.Kitchen, kind Kind, text string) (Entry, error) {
	trimmed := strings.TrimRight(text, " ")
	r := &reader{k: k, text: trimmed, e: Entry{Kind: kind, Text: trimmed}}
	r.skip()
	if r.rest() == "" {
		return Entry{}, &measure.Error{Msg: "nothing is written", Hint: "write it as " + Forms[kind], At: 0}
	}
	err := map[Kind]func() error{Received: r.received, Cooked: r.cooked, Sold: r.sold, Binned: r.binned,
		Counted: r.counted, Temperature: r.temperature, Struck: r.struck, Lost: r.lost, Offered: r.offered}[kind]()
	if err == nil && r.rest() != "" {
		err = r.fault(r.at, len(r.rest()), "write it as "+Forms[kind], "%q is more than this kind of entry takes", r.rest())
	}
	if err != nil {
		return Entry{}, err
	}
	return r.e, nil
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
	receivedEnds    = regexp.MustCompile(` +(?:for|from|lot) `)
	cookedEnds      = regexp.MustCompile(` +x ?[0-9]|:| *->| +gives `)
	amountEnds      = regexp.MustCompile(` *,| *->| +gives | +lot `)
	noteEnds        = regexp.MustCompile(` *,| +lot `)
	soldEnds        = regexp.MustCompile(` +at | +lot `)
	markEnds        = regexp.MustCompile(` *,| *->| +gives | +at `)
	temperedEnds    = regexp.MustCompile(` `)
	temperatureEnds = regexp.MustCompile(` +lot | +[-+−]?[0-9]`)
	times           = regexp.MustCompile(`^x ?([0-9.]+)`)
	gives           = regexp.MustCompile(`^(?:->|gives )`)
	quoted          = regexp.MustCompile(`^"([^"]*)"`)
	clause          = regexp.MustCompile(`^(for|from|lot) +`)
	reading         = regexp.MustCompile(`^([-+−]?) ?([0-9]+(?:\.[0-9]+)?) ?°? ?([CcFf])(?: |,|$)`)
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

// cooked reads STEP [xBATCHES] [: AMOUNT [lot MARK], ...] [-> AMOUNT [lot MARK], ...].
func (r *reader) cooked() error {
	step, rest, err := r.k.StepNamed(r.rest(), cookedEnds)
	if err := r.moved(rest, err); err != nil {
		return err
	}
	r.e.Step, r.e.Batches = r.k.Graph.Steps[step].Name, 1
	if m := times.FindStringSubmatch(r.rest()); m != nil {
		n, err := strconv.ParseFloat(m[1], 64)
		if err != nil || n <= 0 || n > mostBatches {
			return r.fault(r.at, len(m[0]), "write it as x1, x2 or x0.5", "%q is not a number of batches", m[0])
		}
		r.e.Batches = n
		r.past(len(m[0]))
	}
	if r.next(":") && !gives.MatchString(r.rest()) {
		if r.e.Takes, err = r.amounts(onceALot); err != nil {
			return err
		}
	}
	if m := gives.FindString(r.rest()); m != "" {
		r.past(len(m))
		if r.e.Gives, err = r.amounts(once); err != nil {
			return err
		}
	}
	r.fill(step)
	return r.balance()
}

// mostBatches bounds what is cooked at once.
const mostBatches = 10_000

// once and onceALot tell whether an amount repeats one before it: an item stands once in a list, or once for each lot.
func once(a, before Amount) bool     { return a.Item == before.Item }
func onceALot(a, before Amount) bool { return a.Item == before.Item && a.Mark == before.Mark }

// amounts reads AMOUNT [lot MARK], AMOUNT [lot MARK], ...
func (r *reader) amounts(repeats func(a, before Amount) bool) (list []Amount, err error) {
	for {
		from := r.at
		a, err := r.amount(amountEnds)
		if err != nil {
			return nil, err
		}
		if a.Mark, err = r.lot(markEnds); err != nil {
			return nil, err
		}
		if slices.ContainsFunc(list, func(before Amount) bool { return repeats(a, before) }) {
			return nil, r.fault(from, len(strings.TrimRight(r.text[from:r.at], " ")), "add the two amounts",
				"%q appears twice", a.Item)
		}
		if list = append(list, a); !r.next(",") {
			return list, nil
		}
	}
}

// fill adds from the recipe what was not written.
func (r *reader) fill(step int) {
	g := r.k.Graph
	card := func(item int, amount float64) Amount {
		return Amount{Item: g.Items[item].Name, Base: amount * r.e.Batches, Kind: g.Items[item].Unit.Kind}
	}
	if r.e.Takes == nil {
		for _, line := range g.Steps[step].Takes {
			r.e.Takes = add(r.e.Takes, card(line.Choices[0].Item, line.Choices[0].Amount))
		}
	}
	if r.e.Gives == nil {
		for _, out := range g.Steps[step].Gives {
			r.e.Gives = add(r.e.Gives, card(out.Item, out.Amount))
		}
	}
}

// add adds an amount to a list in which every item stands once.
func add(list []Amount, a Amount) []Amount {
	for i := range list {
		if list[i].Item == a.Item {
			list[i].Base += a.Base
			return list
		}
	}
	return append(list, a)
}

// balance refuses more weight out than in. It judges only when the weight of all that went in is known.
func (r *reader) balance() error {
	const slack = 1e-6 // far below what a scale shows
	in, out := 0.0, 0.0
	for _, a := range r.e.Takes {
		grams, ok := r.grams(a)
		if !ok {
			return nil
		}
		in += grams
	}
	for _, a := range r.e.Gives {
		grams, _ := r.grams(a)
		out += grams
	}
	if out > in*(1+slack) {
		return r.fault(0, len(r.text), "log everything that went in, water too; or weigh again",
			"%s kg came out, but only %s kg went in", measure.FormatNumber(out/1000), measure.FormatNumber(in/1000))
	}
	return nil
}

func (r *reader) grams(a Amount) (float64, bool) {
	i, _, err := r.k.ItemNamed(a.Item, nil)
	if err != nil {
		return 0, false
	}
	return r.k.Graph.Items[i].Grams(a.Base)
}

// sold reads PORTIONS DISH [at SERVICE] [lot MARK], or the lot before the service.
func (r *reader) sold() error {
	if err := r.portions(); err != nil {
		return err
	}
	if err := r.dish(soldEnds); err != nil {
		return err
	}
	var err error
	if r.e.Mark, err = r.lot(markEnds); err != nil {
		return err
	}
	if r.next("at ") {
		name := r.rest()
		if at := soldEnds.FindStringIndex(name); at != nil && r.e.Mark == "" {
			name = name[:at[0]]
		}
		service, err := r.k.ServiceNamed(name)
		if err := r.moved(r.rest()[len(name):], err); err != nil {
			return err
		}
		r.e.Service = r.k.Services[service].Name
		if r.e.Mark == "" {
			r.e.Mark, err = r.lot(markEnds)
			return err
		}
	}
	return nil
}

// portions reads a whole number of them.
func (r *reader) portions() error {
	from := r.at
	n, rest, err := measure.Number(r.rest())
	if err := r.moved(rest, err); err != nil {
		if e := err.(*measure.Error); e.NoNumber {
			e.Hint = "write the portions first: " + Forms[r.e.Kind]
		}
		return err
	}
	written := strings.TrimRight(r.text[from:r.at], " ")
	if n < 1 || n != math.Trunc(n) || n > mostPortions {
		return r.fault(from, len(written), "write it as "+Forms[r.e.Kind], "%q is not a number of portions", written)
	}
	r.e.Portions = int(n)
	return nil
}

func (r *reader) dish(ends *regexp.Regexp) error {
	dish, rest, err := r.k.DishNamed(r.rest(), ends)
	if err := r.moved(rest, err); err != nil {
		return err
	}
	r.e.Dish = r.k.Dishes[dish].Name
	return nil
}

// mostPortions bounds what is sold at once.
const mostPortions = 1_000_000

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

// counted reads AMOUNT, which may be nothing.
func (r *reader) counted() error {
	a, err := r.amountOrNone(nil)
	r.e.Gives = []Amount{a}
	return err
}

// Readings of a thermometer lie between these; what is beyond is a slip of the pen.
const (
	coldest = -90.0 // °C
	hottest = 400.0
)

// temperature reads ITEM [lot MARK] READING [, NOTE].
func (r *reader) temperature() error {
	item, rest, err := r.k.ItemNamed(r.rest(), temperatureEnds)
	if err := r.moved(rest, err); err != nil {
		return err
	}
	r.e.Of = r.k.Graph.Items[item].Name
	if r.e.Mark, err = r.lot(temperedEnds); err != nil {
		return err
	}
	m := reading.FindStringSubmatch(r.rest())
	if m == nil {
		if r.rest() == "" {
			return r.fault(0, len(r.text), "write it as "+Forms[Temperature], "no reading follows %q", r.e.Of)
		}
		return r.fault(r.at, len(r.rest()), "write it as 4.5 C or 40 F", "%q is not a temperature", r.rest())
	}
	value, _ := strconv.ParseFloat(m[2], 64) // the pattern lets only numbers through
	if m[1] == "-" || m[1] == "−" {
		value = -value
	}
	written := strings.TrimRight(m[0], " ,")
	if strings.EqualFold(m[3], "f") {
		value = (value - 32) / 1.8
	}
	if value < coldest || value > hottest {
		return r.fault(r.at, len(written), "write the unit that the thermometer shows: 4.5 C or 40 F",
			"%q is more than a kitchen thermometer reads", written)
	}
	r.e.Celsius = value
	r.past(len(written))
	r.e.Reason = r.note()
	return nil
}
