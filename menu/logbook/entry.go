package logbook

// Entries: what happened, as it is kept.

import (
	"path/filepath"
	"slices"
	"strings"
	"time"

	"kettletree/graph/measure"
)

// Kind is what an entry tells.
type Kind string

const (
	Received    Kind = "received"     // came in from outside
	NotCome     Kind = "did not come" // a delivery of today will not come, or some of it
	Late        Kind = "late"         // a delivery of today comes later, or some of it
	Lit         Kind = "lit"          // a batch was begun
	PutIn       Kind = "put in"       // into a batch under way
	Out         Kind = "out"          // taken out of a batch under way
	Done        Kind = "done"         // a batch: what was neither put in nor taken out went by the card
	Cooked      Kind = "cooked"       // a batch, all at once
	Skipped     Kind = "skipped"      // a batch that will not be made
	Sold        Kind = "sold"         // portions went out
	Gave        Kind = "gave"         // portions went out that nobody pays for: staff meals, comps
	Dropped     Kind = "dropped"      // plates that were lost
	Binned      Kind = "binned"       // was thrown away
	Counted     Kind = "counted"      // is on hand in truth, whatever the book says
	Temperature Kind = "temperature"  // was read
	Struck      Kind = "struck"       // a dish is off the menu
	Lost        Kind = "lost"         // a batch, or some of it, came to nothing
	Offered     Kind = "offered"      // so many portions of a dish are on the menu beyond its forecast
	Measured    Kind = "measured"     // how a batch or an item looks, tastes and reads
	Undone      Kind = "undone"       // the entry it names is taken for never written
)

// Kinds lists what can be typed, in the order of a kitchen's day; what was added since comes last. Undone is not among them: see [Book.Undo].
var Kinds = []Kind{Received, NotCome, Late, Lit, PutIn, Out, Done, Cooked, Skipped, Sold, Gave, Dropped, Binned, Counted, Temperature,
	Struck, Lost, Offered, Measured}

// OfBatch tells whether entries of the kind are about one batch, and so have a step and [Entry.Begins].
func (k Kind) OfBatch() bool {
	return slices.Contains([]Kind{Lit, PutIn, Out, Done, Cooked, Skipped, Lost}, k)
}

// OfPortions tells whether entries of the kind take what portions of a dish need.
func (k Kind) OfPortions() bool { return k == Sold || k == Gave || k == Dropped }

// KindOf is the kind that a text begins with, in any case, and what comes after it; ok is false where it begins with none.
func KindOf(text string) (kind Kind, rest string, ok bool) {
	text = strings.TrimLeft(text, " ")
	for _, k := range Kinds {
		words, at := strings.Fields(string(k)), 0
		for _, word := range words {
			rest := strings.TrimLeft(text[at:], " ")
			first, _, _ := strings.Cut(rest, " ")
			if !strings.EqualFold(first, word) {
				at = -1
				break
			}
			at = len(text) - len(rest) + len(first)
		}
		if at > 0 {
			return k, strings.TrimLeft(text[at:], " "), true
		}
	}
	return "", text, false
}

// Amount is how much of an item was measured.
type Amount struct {
	Item  string
	Base  float64      // in base units
	Kind  measure.Kind // of the base unit: the one that the item was counted in when it was written down
	Typed string       // in the words of whoever measured it; "" when nobody did, and it is by the card
	Mark  string       // of the lot that was named, or that it became; "" when it was not said
}

// Taste is what was measured of a batch or an item: a figure, or a word.
type Taste struct {
	Name  string   // of the measure
	Value *float64 // in Unit; nil of what is said in a word
	Unit  string
	Word  string
}

// Due is something that was still to go into a batch, or to come out of it, by the card as it was when the batch was lit.
type Due struct {
	Item  string
	Base  float64      // in base units, at the batch's size
	Kind  measure.Kind // of the base unit
	Out   bool         // it comes out; else it goes in
	After int          // minutes, from when the batch was lit
}

// What a temperature was read of: [Entry.Reading]. It is "" for an item as it lies or cools.
const (
	OfPlace     = "place"        // where food is kept: a walk-in, a freezer, a steam table
	OfDelivery  = "delivery"     // food as it came in
	HotHolding  = "hot holding"  // food that is kept hot
	ColdHolding = "cold holding" // food that is kept cold
	Reheating   = "reheating"    // food that is made hot again, to be held or served
)

// Entry is one line of the log book. Which fields are filled depends on its kind.
type Entry struct {
	ID       int64 // counts from 1, in the order of writing; 0 before it is kept
	Kind     Kind
	At       time.Time // when it happened
	Written  time.Time // when it was written down
	Zone     string    // of the clock that it was written by, "+01:00"; "" where nobody knows: it is taken for the zone here
	Corrects int64     // the entry that this one stands in for, or takes back when its kind is Undone; 0 for none
	Text     string    // as it was typed, or would have been where it was taken over from a file

	Takes []Amount // taken: of lit, put in, done, cooked and binned
	Gives []Amount // brought: of received, out, done and cooked; of counted, all there is; of did not come and late, what is missed

	Tastes []Taste // of measured

	Step    string    // of kinds that are about a batch, see [Kind.OfBatch], and of what is measured of one
	Batches float64   // of lit and cooked: above 0
	Begins  time.Time // the day on which the batch was to begin, at midnight; zero in entries of older log books
	Card    []Due     // of lit: what was still to go in and to come out

	Dish     string // of sold, gave, dropped, struck and offered
	Portions int    // of sold, gave, dropped and offered: at least 1
	Service  string // of sold, gave, dropped, struck and offered; "" when it was not said
	To       string // of gave: whom; "" when it was not said

	Day   string  // of kinds about a batch, struck and offered: as it was typed, "" when it was not said, see [Entry.On]
	Share float64 // of lost: above 0, up to 1

	Paid     *float64 // of received, in the kitchen's currency; nil when it was not said
	Supplier string   // of received
	Mark     string   // of received: the lot's mark; of sold, gave, dropped: the lot taken first; of temperature: the lot measured
	Reason   string   // of dropped, binned, temperature and measured

	Of    string // of temperature: the item or the place; of did not come, late and measured: the item
	Until int    // of late: the minute of the day by which it comes, above 0

	Celsius float64 // of temperature
	Reading string  // of temperature: what was read, such as [HotHolding]
	Did     string  // of temperature: what was done about it
}

// NamesLot tells whether the entry names a lot that must have been brought before.
func (e *Entry) NamesLot() bool {
	return e.Mark != "" && e.Kind != Received || slices.ContainsFunc(e.Takes, func(a Amount) bool { return a.Mark != "" })
}

// Path is where the log book of a kitchen file stands: kitchen.logbook beside kitchen.yaml.
func Path(kitchenFile string) string {
	return strings.TrimSuffix(kitchenFile, filepath.Ext(kitchenFile)) + ".logbook"
}

// fates is the last word on every entry that does not stand: the entry that takes it back or replaces it.
func fates(entries []Entry) map[int64]int64 {
	fate, void := map[int64]int64{}, map[int64]bool{}
	for i := len(entries) - 1; i >= 0; i-- {
		e := &entries[i]
		if e.Corrects == 0 || void[e.ID] {
			continue
		}
		if _, told := fate[e.Corrects]; !told {
			fate[e.Corrects] = e.ID
		}
		if e.Kind == Undone {
			void[e.Corrects] = true
		}
	}
	return fate
}
