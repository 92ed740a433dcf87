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
	Received    Kind = "received"    // came in from outside
	Cooked      Kind = "cooked"      // a step was run
	Sold        Kind = "sold"        // portions went out
	Binned      Kind = "binned"      // was thrown away
	Counted     Kind = "counted"     // is on hand in truth, whatever the book says
	Temperature Kind = "temperature" // was read
	Struck      Kind = "struck"      // a dish is off the menu
	Lost        Kind = "lost"        // a batch, or some of it, came to nothing
	Offered     Kind = "offered"     // so many portions of a dish are on the menu beyond its forecast
	Undone      Kind = "undone"      // the entry it names is taken for never written
)

// Kinds lists what can be typed, in the order of a kitchen's day. Undone is not among them: see [Book.Undo].
var Kinds = []Kind{Received, Cooked, Sold, Binned, Counted, Temperature, Struck, Lost, Offered}

// Amount is how much of an item was measured.
type Amount struct {
	Item  string
	Base  float64      // in base units
	Kind  measure.Kind // of the base unit: the one that the item was counted in when it was written down
	Typed string       // in the words of whoever measured it; "" when nobody did, and the recipe's figure stands
	Mark  string       // of the lot that was named, or that it became; "" when it was not said
}

// Entry is one line of the log book. Which fields are filled depends on its kind.
type Entry struct {
	ID       int64 // counts from 1, in the order of writing; 0 before it is kept
	Kind     Kind
	At       time.Time // when it happened
	Written  time.Time // when it was written down
	Corrects int64     // the entry that this one stands in for, or takes back when its kind is Undone; 0 for none
	Text     string    // as it was typed, or would have been where it was taken over from a file

	Takes []Amount // taken: of cooked and binned
	Gives []Amount // brought: of received and cooked; of counted, all there is

	Step    string  // of cooked and lost
	Batches float64 // of cooked: above 0

	Dish     string // of sold, struck and offered
	Portions int    // of sold and offered: at least 1
	Service  string // of sold, struck and offered; "" when it was not said

	Day   string  // of struck, lost and offered: as it was typed, "" when it was not said, see [Entry.On]
	Share float64 // of lost: above 0, up to 1

	Paid     *float64 // of received, in the kitchen's currency; nil when it was not said
	Supplier string   // of received
	Mark     string   // of received: the lot's mark; of sold: the lot taken first; of temperature: the lot measured
	Reason   string   // of binned and temperature

	Of      string  // of temperature: the item
	Celsius float64 // of temperature
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
