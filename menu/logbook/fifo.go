package logbook

// The book of money: what every lot cost, first in, first out, and what the kitchen file says that it should have.

import (
	"context"
	"math"
	"time"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// books is what a log book says about money and sales, up to a moment. Beside the money paid, every shelf is valued at
// the file's unit costs, which is what variances are taken from; see [AsItWas] for both.
type books struct {
	k    *kitchen.Kitchen
	till *till
	odd  []Oddity
	asOf time.Time // up to here it was played
}

// AsItWas answers what the days from one midnight up to another cost, by all that happened up to a moment. Asked again
// about the same kitchen, it goes on from where it was, unless what is new lies further back.
//
// A lot carries what was paid for it. What is taken off a shelf takes its lots' cost along, the oldest first, in the
// order in which things happened (perpetual first in, first out: OpenStax, Principles of Accounting, Volume 1, section
// 10.3). Where the log book has no money, the kitchen file's stands in: the price of what came in without one or was
// taken beyond the book, the unit cost of what was found at a count, labour and fuel of what was cooked (of as many
// batches as the main input is enough for, as yields are counted), and all of the bought items that nobody keeps book
// of. So Opening + Received + FirstCounted + Found + Beyond + Uncounted + Labour = Sold + Gave + Dropped + Binned +
// Missing + Lost + Left + InPots.
//
// A batch that comes out bit by bit is a pot with money in it ([pot]): what goes in is added; what comes out bears the
// part that the file has it bear of all that is still to come, so that what goes in later is borne by what comes out
// later. What is in there when nothing more is expected was lost.
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
//     file's unit costs. What would have come goes by the main input, as learned yields do ([Book.Yields]): as many
//     batches of the file as it is enough for.
//   - usage, of each item: what left the shelf other than for a dish or a batch by its recipe, at the file's unit costs:
//     binned, missing at a count (less what was found), what went into a batch beyond what the card has for as much of
//     the main input, substitutes in place of first choices. (Actual - allowed quantity) * the file's price, which
//     Horngren calls efficiency or usage.
//
// They add up to the total: what was spent (Received + FirstCounted + Beyond + Uncounted + Labour), less the change of what
// is on hand and in pots at the file's costs, less what the portions sold, given and dropped cost by the file. Of it,
// Held is still in what is left, which is at what was paid; the rest is in what went out.
func (j *Book) AsItWas(ctx context.Context, k *kitchen.Kitchen, asOf, from, until time.Time) (*AsItWas, error) {
	j.turn.Lock()
	defer j.turn.Unlock()
	w, err := j.playedUpTo(ctx, &j.dear, k, asOf)
	if err != nil {
		return nil, err
	}
	return w.p.books(asOf).asItWas(from, until), nil
}

// Forecast answers how much of each dish to prepare, by the services that ended up to a moment, from a day on (a zero
// time for all). With nothing sold, the typed forecasts stand alone, and Services is 0. It goes on as [Book.AsItWas]
// does.
func (j *Book) Forecast(ctx context.Context, k *kitchen.Kitchen, asOf, since time.Time) (*Forecast, error) {
	j.turn.Lock()
	defer j.turn.Unlock()
	w, err := j.playedUpTo(ctx, &j.dear, k, asOf)
	if err != nil {
		return nil, err
	}
	return w.p.books(asOf).forecast(since)
}

// newTill is a player that keeps book of money and sales.
func newTill(ctx context.Context, k *kitchen.Kitchen) (*player, error) {
	p, err := newPlayer(k)
	if err != nil {
		return nil, err
	}
	file, err := fileCosting(ctx, k)
	if err != nil {
		return nil, err
	}
	p.till = &till{p: p, file: file, place: make([]int, len(k.Graph.Items)), stepAt: map[string]int{},
		servedAt: map[sitting]int{}, struck: map[struckAt]bool{}, binned: make([]bool, len(k.Graph.Items)), open: -1}
	for s, st := range k.Graph.Steps[:len(k.Steps)] {
		p.till.stepAt[st.Name] = s
	}
	return p, nil
}

func (p *player) books(asOf time.Time) *books {
	p.till.ranOut()
	return &books{k: p.k, till: p.till, odd: p.stock.Odd, asOf: asOf}
}

// aMonday begins the standing week that the file's unit costs are taken from; any would do.
var aMonday = time.Date(2001, 1, 1, 0, 0, 0, 0, time.UTC)

// fileCosting is what everything costs by the kitchen file alone: the standing week with nothing on hand before it.
func fileCosting(ctx context.Context, k *kitchen.Kitchen) (*flow.Costing, error) {
	w, err := week.Over(k, week.Period{From: aMonday, Days: 7})
	if err != nil {
		return nil, err
	}
	played, err := w.Play(ctx)
	if err != nil {
		return nil, err
	}
	return played.Costing, nil
}

// What a day's book has of an item or dish: money, but for amounts in base units.
const (
	amountCame   = iota // base units received
	paidIn              // received, at what was paid
	unpriced            // the part of it that the file's price stands in for
	openedIn            // what the first count found
	foundIn             // found by later counts, beyond the book
	beyondIn            // taken beyond the book
	uncountedIn         // used, and nobody keeps book of it
	labourIn            // labour and fuel
	portionsOut         // portions sold
	soldOut             // what they cost
	soldBook            // what they cost by the file
	gaveOut             // portions that nobody pays for
	gaveCost            // what they cost
	gaveBook            // what they cost by the file
	droppedOut          // portions dropped
	droppedCost         // what they cost
	droppedBook         // what they cost by the file
	binnedOut           // thrown away
	missingOut          // missing at a count
	lostOut             // went into batches of which nothing is known to have come
	potCost             // change of what is in pots
	potBook             // what that is worth by the file's unit costs
	priceOver           // the variances, see AsItWas
	yieldOver           //
	usageOver           //
	shelfAmount         // change of what is on hand, base units
	shelfCost           // what that cost
	shelfBook           // what that is worth by the file's unit costs
	tallyColumns        // how many there are
)

type tally [tallyColumns]float64

// dayBook is what one day changed.
type dayBook struct {
	day   int // since 1970
	items []int
	of    []tally // by place in items
	gave  []given
}

// till keeps book of money and sales while a log book is played. All its methods do nothing on a nil till.
type till struct {
	p      *player
	file   *flow.Costing
	stepAt map[string]int
	days   []dayBook
	place  []int // by item: its place in the last day's book, from 1; 0 when it has none

	e            *Entry    // that is played
	spent, book  float64   // by it: what it took, at what that cost, and what was asked for, at the file's unit costs
	first        int       // the first item that it took; -1 for none
	asked        []worthOf // by it, by item: what book is the sum of
	cost, byFile float64   // of one taking: what it took, at what that cost, and at the file's unit costs

	served   []served
	servedAt map[sitting]int
	struck   map[struckAt]bool // whether the service had begun
	binned   []bool            // by item: what came last was that it was thrown away
	open     int               // of served: the service whose dishes may still turn out to have run out; -1 when none may
	unplaced int               // sold entries that name no service, and whose time does not tell it
}

// begin begins an entry.
func (t *till) begin(e *Entry) {
	if t == nil {
		return
	}
	if day := int(t.p.k.DayAt(e.At).Unix() / secondsADay); len(t.days) == 0 || t.days[len(t.days)-1].day != day {
		if len(t.days) > 0 {
			for _, i := range t.days[len(t.days)-1].items {
				t.place[i] = 0
			}
		}
		t.days = append(t.days, dayBook{day: day})
	}
	t.e, t.spent, t.book, t.first, t.cost, t.byFile, t.asked = e, 0, 0, -1, 0, 0, t.asked[:0]
	if !e.Kind.OfPortions() {
		t.shut(e)
	}
}

const secondsADay = 24 * 60 * 60

// of is an item's line in the book of the day.
func (t *till) of(item int) *tally {
	day := &t.days[len(t.days)-1]
	if t.place[item] == 0 {
		day.items, day.of = append(day.items, item), append(day.of, tally{})
		t.place[item] = len(day.items)
	}
	return &day.of[t.place[item]-1]
}

// worth is an amount of an item at the file's unit cost.
func (t *till) worth(item int, amount float64) float64 { return amount * t.file.Unit[item] }

// shelve adds a change of what is on hand.
func (t *till) shelve(item int, amount, cost float64) {
	of := t.of(item)
	of[shelfAmount] += amount
	of[shelfCost] += cost
	of[shelfBook] += t.worth(item, amount)
}

// take takes an amount of an item off the shelves; of it, beyond was not there by the book, and the rest cost so much.
func (t *till) take(item int, amount, beyond, cost float64) {
	if t == nil {
		return
	}
	t.shelve(item, -(amount - beyond), -cost)
	if beyond > 0 {
		t.of(item)[beyondIn] += t.worth(item, beyond)
	}
	t.cost += cost + t.worth(item, beyond)
	t.byFile += t.worth(item, amount)
}

// taken ends the taking of what was asked for, and says what is left beside it by steps that run to order cost.
func (t *till) taken(item int, asked float64, uncounted []flow.Moved, labour float64, beside []Lot) {
	if t == nil {
		return
	}
	for _, m := range uncounted {
		worth := t.worth(m.Item, -m.Amount)
		t.of(m.Item)[uncountedIn] += worth
		t.cost += worth
		t.byFile += worth
	}
	t.cost += labour
	t.byFile += labour
	book := t.worth(item, asked)
	of := t.of(item)
	of[labourIn] += labour
	whole, cost := book, t.cost
	for _, l := range beside {
		whole += t.worth(l.Item, l.Amount)
	}
	for i, l := range beside {
		worth := t.worth(l.Item, l.Amount)
		if whole > 0 {
			beside[i].Cost = cost * worth / whole
		}
		t.cost -= beside[i].Cost
		t.byFile -= worth
		t.shelve(l.Item, l.Amount, beside[i].Cost)
	}
	of = t.of(item) // the book of the day may have grown
	of[usageOver] += t.byFile - book
	if t.e.Kind == Binned {
		of[binnedOut] += t.cost
		of[usageOver] += book
	}
	if t.first < 0 {
		t.first = item
	}
	t.spent += t.cost
	t.book += book
	t.asked = append(t.asked, worthOf{item, book})
	t.cost, t.byFile = 0, 0
}

// value says what the lots that an entry brought cost.
func (t *till) value(e *Entry, lots []Lot) {
	if t == nil {
		return
	}
	switch e.Kind {
	case Received:
		t.receive(e, lots)
	case Cooked:
		t.cook(e, lots)
	}
}

// receive values lots at what was paid for them, or at the file's price.
func (t *till) receive(e *Entry, lots []Lot) {
	weights := make([]float64, len(lots))
	for i, l := range lots {
		weights[i] = t.worth(l.Item, l.Amount)
	}
	costs := weights
	if e.Paid != nil {
		costs = t.apportioned(*e.Paid, weights, lots)
	}
	for i := range lots {
		l := &lots[i]
		l.Cost = costs[i]
		of := t.of(l.Item)
		of[amountCame] += l.Amount
		of[paidIn] += l.Cost
		of[priceOver] += l.Cost - t.worth(l.Item, l.Amount)
		if e.Paid == nil {
			of[unpriced] += l.Cost
		}
		t.shelve(l.Item, l.Amount, l.Cost)
	}
}

// cook shares what a batch cost among what came of it, and finds what came short of what the file says.
func (t *till) cook(e *Entry, lots []Lot) {
	if len(lots) == 0 {
		if t.first >= 0 {
			t.of(t.first)[lostOut] += t.spent
			t.of(t.first)[usageOver] += t.book
		}
		return
	}
	step, known := t.stepAt[e.Step]
	labour, batches := 0.0, 0.0
	if known {
		batches = t.batchesOf(&t.p.k.Graph.Steps[step], e)
		labour = batches * t.p.k.Terms.Cost[step]
	}
	t.of(lots[0].Item)[labourIn] += labour
	for i, cost := range t.shares(step, known, t.spent+labour, lots) {
		lots[i].Cost = cost
		t.shelve(lots[i].Item, lots[i].Amount, cost)
	}
	rest := t.book + labour // of what went in, that no output of the step was to bear and no input was used beyond
	if known {
		for o, out := range t.p.k.Graph.Steps[step].Gives {
			share := batches * t.file.Share(step, o)
			t.of(out.Item)[yieldOver] += share
			rest -= share
		}
		for _, u := range t.usage(step, batches, t.asked) {
			t.of(u.item)[usageOver] += u.worth
			rest -= u.worth
		}
	}
	t.of(lots[0].Item)[yieldOver] += rest
	for _, l := range lots {
		t.of(l.Item)[yieldOver] -= t.worth(l.Item, l.Amount)
	}
}

// batchesOf is how many batches of the kitchen file a cooked entry is, as [StepYields] counts them: by how much of the main input
// went in and, where that can't be told, the number that was said.
func (t *till) batchesOf(st *graph.Step, e *Entry) float64 {
	if batches := t.mainShare(st, e); batches > 0 {
		return batches
	}
	return e.Batches
}

// shares splits the cost of a batch as the file shares the step's bill.
func (t *till) shares(step int, known bool, cost float64, lots []Lot) []float64 {
	weights := make([]float64, len(lots))
	for i, l := range lots {
		weights[i] = t.worth(l.Item, l.Amount)
	}
	if !known {
		return t.apportioned(cost, weights, lots)
	}
	terms, gives := t.p.k.Terms, t.p.k.Graph.Steps[step].Gives
	main := -1
	for i, l := range lots {
		for o, out := range gives {
			if out.Item == l.Item {
				weights[i] = t.file.Share(step, o) / out.Amount * l.Amount
				if o == 0 {
					main = i
				}
				break
			}
		}
	}
	if terms.Share[step] != flow.ByMain || main < 0 {
		return t.apportioned(cost, weights, lots)
	}
	rest := cost
	for i, l := range lots {
		if weights[i] = 0; i != main && !math.IsNaN(terms.Worth[l.Item]) {
			weights[i] = terms.Worth[l.Item] * l.Amount
			rest -= weights[i]
		}
	}
	weights[main] = rest
	return weights
}

// apportioned splits a cost by weights; where these are not above nothing, by the amounts of the lots.
func (t *till) apportioned(cost float64, weights []float64, lots []Lot) []float64 {
	total := 0.0
	for _, w := range weights {
		total += w
	}
	if total <= 0 {
		total = 0
		weights = make([]float64, len(lots))
		for i, l := range lots {
			weights[i] = l.Amount
			total += l.Amount
		}
	}
	costs := make([]float64, len(lots))
	for i, w := range weights {
		costs[i] = cost * w / total
	}
	return costs
}

// sell ends an entry of portions.
func (t *till) sell(e *Entry, dish int) {
	if t == nil {
		return
	}
	of := t.of(t.p.k.Dishes[dish].Item)
	book := func(portions, cost, byFile int) {
		of[portions] += float64(e.Portions)
		of[cost] += t.spent
		of[byFile] += t.book
	}
	switch e.Kind {
	case Sold:
		book(portionsOut, soldOut, soldBook)
		t.serve(e, dish)
	case Gave:
		book(gaveOut, gaveCost, gaveBook)
		day := &t.days[len(t.days)-1]
		day.gave = append(day.gave, given{e.To, e.Portions, t.spent})
	case Dropped:
		book(droppedOut, droppedCost, droppedBook)
	}
}

// given is what was given away: to whom, how many portions, and what they cost.
type given struct {
	to       string
	portions int
	cost     float64
}

// miss books what a count found missing, and what it had cost.
func (t *till) miss(item int, amount, cost float64) {
	if t == nil {
		return
	}
	t.shelve(item, -amount, -cost)
	of := t.of(item)
	of[missingOut] += cost
	of[usageOver] += t.worth(item, amount)
}

// find books what a count found beyond the book, and says what it counts for.
func (t *till) find(item int, amount float64, first bool) (cost float64) {
	if t == nil {
		return 0
	}
	cost = t.worth(item, amount)
	t.shelve(item, amount, cost)
	of := t.of(item)
	if first {
		of[openedIn] += cost
		return cost
	}
	of[foundIn] += cost
	of[usageOver] -= cost
	return cost
}
