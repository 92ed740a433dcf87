package logbook

// What was sold and what is left cost as it was, against the kitchen file: variances of price, yield and usage.

import (
	"fmt"
	"math"
	"time"

	"kettletree/graph"
)

// AsItWas is the answer to "what did it cost in truth?", over some days. Money is unrounded; a variance above nothing
// means that more was spent than by the file.
//
// A lot carries what was paid for it. What is taken off a shelf takes its lots' cost along, the oldest first, in the
// order in which things happened (perpetual first in, first out: OpenStax, Principles of Accounting, Volume 1, section
// 10.3). Where the log book has no money, the kitchen file's stands in: the price of what came in without one or was
// taken beyond the book, the unit cost of what was found at a count, labour and fuel of each batch, and all of the
// bought items that nobody keeps book of. So Opening + Received + FirstCounted + Found + Beyond + Uncounted + Labour =
// Sold + Binned + Missing + Lost + Left.
//
// The cost of what went into a batch is shared among what came out as the file says: by main, the first output bears
// what the worth of the others leaves; by the other rules, each weighs its amount times what one unit bears of the
// file's own bill. By worth and by weight that is the rule itself; by final value and even margin it holds the file's
// shares of a unit. What a step that runs to order gives beyond what was asked for bears its part of the cost by the
// file's unit costs.
//
// Variances are taken against the standing costs of the kitchen file where each comes about (standard costing;
// Horngren, Datar and Rajan, Cost Accounting: A Managerial Emphasis, chapter 7), so that none is mixed with another:
//
//   - price, of each delivery: (paid a unit - the file's price) * amount received. It is taken when the delivery comes,
//     as Horngren has it, whether the goods are used yet or not.
//   - yield, of each output of a batch: what the file says would have come of what went in, less what came, at the
//     file's unit costs. What would have come: the batches that the goods that went in (at the file's costs) are the
//     bill of.
//   - usage, of each item: what left the shelf other than for a dish by its recipe, at the file's unit costs: binned,
//     missing at a count (less what was found), substitutes in place of first choices. (Actual - allowed quantity) *
//     the file's price, which Horngren calls efficiency or usage.
//
// They add up to the total: what was spent (Received + FirstCounted + Beyond + Uncounted + Labour), plus the change of
// the shelves from opening to end at the file's costs taken away, less what the portions sold cost by the file. Of it,
// Held is still in what is left, which is at what was paid; the rest is in what went out.
type AsItWas struct {
	From  string    `json:"from"` // first day, 2006-01-02
	To    string    `json:"to"`   // last day
	Items []ItemWas `json:"items"`
	All   AllWas    `json:"all"`
	Notes []string  `json:"notes"`
	Money string    `json:"money,omitempty"`
}

// ItemWas is an item or dish that something happened to, or that is on hand.
type ItemWas struct {
	Name     string  `json:"name"`
	Kind     string  `json:"kind"` // "bought", "made" or "dish"
	Unit     string  `json:"unit"`
	Came     float64 `json:"came"`    // received, in Unit
	Paid     float64 `json:"paid"`    // for that
	AtFile   float64 `json:"at_file"` // what that costs by the file
	Sold     int     `json:"sold"`    // portions, of dishes
	SoldCost float64 `json:"sold_cost"`
	SoldBook float64 `json:"sold_book"` // by the file
	Binned   float64 `json:"binned"`    // money
	Missing  float64 `json:"missing"`   // at counts, money
	Left     float64 `json:"left"`      // in Unit
	LeftCost float64 `json:"left_cost"`
	LeftBook float64 `json:"left_book"` // by the file
	Price    float64 `json:"price"`
	Yield    float64 `json:"yield"`
	Usage    float64 `json:"usage"`
	Variance float64 `json:"variance"` // Price + Yield + Usage
}

// AllWas is the whole of it, in money.
type AllWas struct {
	Opening      float64 `json:"opening"`       // on hand when the first day begins
	Received     float64 `json:"received"`      // what was paid, or the file's price
	Unpriced     float64 `json:"unpriced"`      // the part of it that no price was written down for
	FirstCounted float64 `json:"first_counted"` // on hand before the log book knew of it, at the file's costs
	Found        float64 `json:"found"`         // by later counts, at the file's costs
	Beyond       float64 `json:"beyond"`        // taken though the book had none, at the file's costs
	Uncounted    float64 `json:"uncounted"`     // bought items that nobody keeps book of, at the file's prices
	Labour       float64 `json:"labour"`        // labour and fuel, by the file
	Sold         float64 `json:"sold"`
	SoldBook     float64 `json:"sold_book"` // by the file
	Binned       float64 `json:"binned"`
	Missing      float64 `json:"missing"`
	Lost         float64 `json:"lost"` // went into batches of which nothing is known to have come
	Left         float64 `json:"left"`
	Price        float64 `json:"price"`
	Yield        float64 `json:"yield"`
	Usage        float64 `json:"usage"`
	Variance     float64 `json:"variance"`
	Held         float64 `json:"held"`
}

// asItWas is what the days from one midnight up to another cost.
func (b *books) asItWas(from, until time.Time) *AsItWas {
	first, end := int(from.Unix()/secondsADay), int(until.Unix()/secondsADay)
	items := b.k.Graph.Items
	before, within := make([]tally, len(items)), make([]tally, len(items))
	for _, day := range b.till.days {
		into := within
		if day.day < first {
			into = before
		} else if day.day >= end {
			break
		}
		for n, i := range day.items {
			for c, x := range day.of[n] {
				into[i][c] += x
			}
		}
	}
	a := &AsItWas{From: from.Format(time.DateOnly), To: until.AddDate(0, 0, -1).Format(time.DateOnly), Items: []ItemWas{},
		Notes: []string{}, Money: b.k.Money}
	var unpricedItems, beyondItems []string
	for i, it := range items {
		t := &within[i]
		left := [3]float64{before[i][shelfAmount] + t[shelfAmount], before[i][shelfCost] + t[shelfCost],
			before[i][shelfBook] + t[shelfBook]}
		a.All.add(&before[i], t)
		if t[unpriced] > 0 {
			unpricedItems = append(unpricedItems, it.Name)
		}
		if t[beyondIn] > 0 {
			beyondItems = append(beyondItems, it.Name)
		}
		if left[0] <= slack*(math.Abs(before[i][shelfAmount])+t[amountCame]) { // the rounding of sums
			left[0] = 0
		}
		if *t == (tally{}) && left[0] == 0 {
			continue
		}
		a.Items = append(a.Items, ItemWas{Name: it.Name, Kind: []string{graph.Bought: "bought", graph.Made: "made",
			graph.Sold: "dish"}[it.Role], Unit: it.Unit.Name, Came: t[amountCame] / it.Unit.Factor, Paid: t[paidIn],
			AtFile: t[amountCame] * b.till.file.Unit[i], Sold: int(math.Round(t[portionsOut])), SoldCost: t[soldOut],
			SoldBook: t[soldBook], Binned: t[binnedOut], Missing: t[missingOut], Left: left[0] / it.Unit.Factor,
			LeftCost: left[1], LeftBook: left[2], Price: t[priceOver], Yield: t[yieldOver], Usage: t[usageOver],
			Variance: t[priceOver] + t[yieldOver] + t[usageOver]})
	}
	if len(unpricedItems) > 0 {
		a.Notes = append(a.Notes, fmt.Sprintf("no price was written down for some of what was received (%s): it takes the "+
			"file's", firstNames(unpricedItems)))
	}
	if len(beyondItems) > 0 {
		a.Notes = append(a.Notes, fmt.Sprintf("more was taken than the book had (%s): it takes the file's cost, and "+
			"\"kettletree log show\" tells where", firstNames(beyondItems)))
	}
	a.Notes = append(a.Notes, b.oddNames()...)
	return a
}

// add adds an item, by what happened before the days and within them.
func (a *AllWas) add(before, t *tally) {
	a.Opening += before[shelfCost]
	a.Received += t[paidIn]
	a.Unpriced += t[unpriced]
	a.FirstCounted += t[openedIn]
	a.Found += t[foundIn]
	a.Beyond += t[beyondIn]
	a.Uncounted += t[uncountedIn]
	a.Labour += t[labourIn]
	a.Sold += t[soldOut]
	a.SoldBook += t[soldBook]
	a.Binned += t[binnedOut]
	a.Missing += t[missingOut]
	a.Lost += t[lostOut]
	a.Left += before[shelfCost] + t[shelfCost]
	a.Price += t[priceOver]
	a.Yield += t[yieldOver]
	a.Usage += t[usageOver]
	a.Variance += t[paidIn] + t[openedIn] + t[beyondIn] + t[uncountedIn] + t[labourIn] - t[shelfBook] - t[soldBook]
	a.Held += t[shelfCost] - t[shelfBook]
}

// mostNamed is how many names a note lists.
const mostNamed = 3

func firstNames(names []string) string {
	text := ""
	for i, n := range names {
		switch {
		case i == mostNamed:
			return fmt.Sprintf("%s and %d more", text, len(names)-mostNamed)
		case i > 0:
			text += ", "
		}
		text += n
	}
	return text
}

// oddNames tells of entries that the kitchen file does not know what to do with, once a message.
func (b *books) oddNames() (notes []string) {
	told := map[string]bool{}
	for _, o := range b.odd {
		if o.Missing == 0 && !told[o.Msg] {
			told[o.Msg] = true
			notes = append(notes, o.Msg)
		}
	}
	return notes
}
