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
type AsItWas struct {
	From  string     `json:"from"` // first day, 2006-01-02
	To    string     `json:"to"`   // last day, 2006-01-02
	Items []ItemWas  `json:"items"`
	All   AllWas     `json:"all"`
	Given []GivenWas `json:"given"` // portions that nobody paid for, by whom they went to
	Close []GroupWas `json:"close"` // what was on hand and what came, by group: the bought items of each supplier, then what is made
	Notes []string   `json:"notes"`
	Money string     `json:"money,omitempty"`
}

// ItemWas is an item or dish that something happened to, or that is on hand.
type ItemWas struct {
	Name        string  `json:"name"`
	Kind        string  `json:"kind"` // "bought", "made" or "dish"
	Unit        string  `json:"unit"`
	Came        float64 `json:"came"`    // received, in Unit
	Paid        float64 `json:"paid"`    // for that
	AtFile      float64 `json:"at_file"` // what that costs by the file
	Sold        int     `json:"sold"`    // portions, of dishes
	SoldCost    float64 `json:"sold_cost"`
	SoldBook    float64 `json:"sold_book"` // by the file
	Gave        int     `json:"gave"`      // portions that nobody paid for, of dishes
	GaveCost    float64 `json:"gave_cost"`
	Dropped     int     `json:"dropped"` // portions that were lost, of dishes
	DroppedCost float64 `json:"dropped_cost"`
	Binned      float64 `json:"binned"`  // money
	Missing     float64 `json:"missing"` // at counts, money
	Left        float64 `json:"left"`    // in Unit
	LeftCost    float64 `json:"left_cost"`
	LeftBook    float64 `json:"left_book"` // by the file
	Price       float64 `json:"price"`     // paid, less the file's price
	Yield       float64 `json:"yield"`     // what should have come of what went in, less what came
	Usage       float64 `json:"usage"`     // binned, missing, substitutes
	Variance    float64 `json:"variance"`  // price + yield + usage
}

// AllWas is the whole of it, in money.
type AllWas struct {
	Opening      float64 `json:"opening"`       // on hand when the first day begins; opening to labour add up to the same as sold to in_pots, but for what is by the file
	Received     float64 `json:"received"`      // what was paid, or the file's price
	Unpriced     float64 `json:"unpriced"`      // the part of it that no price was written down for
	FirstCounted float64 `json:"first_counted"` // on hand before the log book knew of it, at the file's costs
	Found        float64 `json:"found"`         // by later counts, at the file's costs
	Beyond       float64 `json:"beyond"`        // taken though the book had none, at the file's costs
	Uncounted    float64 `json:"uncounted"`     // bought items that nobody keeps book of, at the file's prices
	Labour       float64 `json:"labour"`        // labour and fuel, by the file, of as many batches as the main input that went in is enough for
	Sold         float64 `json:"sold"`
	SoldBook     float64 `json:"sold_book"`    // by the file
	Gave         float64 `json:"gave"`         // portions that nobody paid for: staff meals, comps
	GaveBook     float64 `json:"gave_book"`    // by the file
	Dropped      float64 `json:"dropped"`      // portions that were lost
	DroppedBook  float64 `json:"dropped_book"` // by the file
	Binned       float64 `json:"binned"`
	Missing      float64 `json:"missing"`
	Lost         float64 `json:"lost"` // went into batches of which nothing is known to have come
	Left         float64 `json:"left"`
	InPots       float64 `json:"in_pots"` // in batches under way, of which nothing has come yet that bears it
	Price        float64 `json:"price"`
	Yield        float64 `json:"yield"`
	Usage        float64 `json:"usage"`
	Variance     float64 `json:"variance"`
	Held         float64 `json:"held"` // the part of the variance that stands in what is left
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
		Given: b.given(first, end), Close: b.close(before, within), Notes: []string{}, Money: b.k.Money}
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
			SoldBook: t[soldBook], Gave: int(math.Round(t[gaveOut])), GaveCost: t[gaveCost], Dropped: int(math.Round(t[droppedOut])),
			DroppedCost: t[droppedCost], Binned: t[binnedOut], Missing: t[missingOut], Left: left[0] / it.Unit.Factor,
			LeftCost: left[1], LeftBook: left[2], Price: t[priceOver], Yield: t[yieldOver], Usage: t[usageOver],
			Variance: t[priceOver] + t[yieldOver] + t[usageOver]})
	}
	if len(unpricedItems) > 0 {
		a.Notes = append(a.Notes, fmt.Sprintf("no price was logged for some deliveries (%s), so they take the "+
			"file's", firstNames(unpricedItems)))
	}
	if len(beyondItems) > 0 {
		a.Notes = append(a.Notes, fmt.Sprintf("more was taken than the log book had (%s), at the file's cost; "+
			"\"kettletree log show\" shows where", firstNames(beyondItems)))
	}
	a.Notes = append(a.Notes, b.oddNames()...)
	return a
}

// add adds an item, by what happened before the days and within them.
func (a *AllWas) add(before, t *tally) {
	a.Opening += before[shelfCost] + before[potCost]
	a.Received += t[paidIn]
	a.Unpriced += t[unpriced]
	a.FirstCounted += t[openedIn]
	a.Found += t[foundIn]
	a.Beyond += t[beyondIn]
	a.Uncounted += t[uncountedIn]
	a.Labour += t[labourIn]
	a.Sold += t[soldOut]
	a.SoldBook += t[soldBook]
	a.Gave += t[gaveCost]
	a.GaveBook += t[gaveBook]
	a.Dropped += t[droppedCost]
	a.DroppedBook += t[droppedBook]
	a.Binned += t[binnedOut]
	a.Missing += t[missingOut]
	a.Lost += t[lostOut]
	a.Left += before[shelfCost] + t[shelfCost]
	a.InPots += before[potCost] + t[potCost]
	a.Price += t[priceOver]
	a.Yield += t[yieldOver]
	a.Usage += t[usageOver]
	a.Variance += t[paidIn] + t[openedIn] + t[beyondIn] + t[uncountedIn] + t[labourIn] - t[shelfBook] - t[potBook] - t[soldBook] - t[gaveBook] -
		t[droppedBook]
	a.Held += t[shelfCost] + t[potCost] - t[shelfBook] - t[potBook]
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
