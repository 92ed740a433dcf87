package ledger

// What must be on hand after all that was written down.

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"time"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/graph/measure"
	"kettletree/menu"
)

// Stock is what a journal says is on hand at a moment.
type Stock struct {
	AsOf    time.Time // the latest entry that counts; zero when there is none
	Entries int       // that count
	Lots    []Lot     // by item in the order of the kitchen, the oldest first
	Odd     []Oddity  // what does not add up, in the order in which it happened
	Counts  []Count   // what was counted against the book, in the order in which it happened
}

// Lot is some of an item that came onto its shelf at once.
type Lot struct {
	Item   int       // of the kitchen's graph
	Amount float64   // in base units, above 0
	Made   time.Time // the day, at midnight
	Entry  int64     // that brought it
	Mark   string
}

// Oddity is an entry that the rest of the journal, or the kitchen file, does not bear out.
type Oddity struct {
	Entry   int64
	Item    string
	Missing float64 // base units taken beyond what the book had; 0 when something else is odd
	Msg     string
}

// Count is what was counted against what the book had before.
type Count struct {
	Entry int64
	Item  string
	Book  float64 // base units
	Found float64 // base units
}

// warm is what was played of a journal, to go on from there.
type warm struct {
	p    *player
	last int64     // of the entries that were there
	asOf time.Time // of them, those up to here were played
}

// OnHand is what the journal says is on hand at a moment: the entries that stand, neither taken back nor replaced, are
// played in the order in which they happened.
//
//   - received adds a lot, and so does what a cooked entry gave.
//   - What is cooked, sold or binned takes the oldest lots first. What is sold takes what its dish needs, through the
//     steps that run to order, see [flow.Taker.Take]; so does whatever is taken of an item that such a step makes.
//   - counted is the truth: what is too much in the book goes, the oldest first. What is too little is added to the
//     oldest lot, or where there is none to the day of the lot that was used up last, as it can't be younger.
//
// An item is never below nothing: what is taken beyond what the book had is told in Stock.Odd. Nothing is said about
// bought items that were never received or counted: nobody keeps book of them.
//
// Asked again about the same kitchen, it goes on from where it was, unless what is new lies further back.
func (j *Journal) OnHand(ctx context.Context, k *menu.Kitchen, asOf time.Time) (*Stock, error) {
	j.turn.Lock()
	defer j.turn.Unlock()
	w, last := j.warm, int64(0)
	j.warm = nil // should it fail half way
	// Entries are only ever added, so those up to the last that is there now are one state of the journal.
	if err := j.db.QueryRowContext(ctx, "SELECT coalesce(max(id), 0) FROM entry").Scan(&last); err != nil {
		return nil, j.fault(err)
	}
	if w != nil {
		var back bool
		if err := j.db.QueryRowContext(ctx, `SELECT EXISTS (SELECT 1 FROM entry WHERE id > ? AND id <= ? AND
			(+corrects IS NOT NULL OR +at < ?))`, w.last, last, w.p.stock.AsOf.Unix()).Scan(&back); err != nil {
			return nil, j.fault(err)
		}
		if back || w.p.k != k || asOf.Before(w.asOf) {
			w = nil
		}
	}
	if w == nil {
		p, err := newPlayer(k)
		if err != nil {
			return nil, err
		}
		w = &warm{p: p, asOf: time.Unix(-1<<40, 0)}
	}
	corrections, err := read(ctx, j.db, "WHERE e.id IN ("+correcting+" AND id <= ?) ORDER BY e.id, a.place", last)
	if err != nil {
		return nil, j.fault(err)
	}
	gone := fates(corrections)
	err = each(ctx, j.db, func(e *Entry) {
		if _, is := gone[e.ID]; !is && e.Kind != Undone {
			w.p.play(e)
		}
	}, `WHERE +e.id <= ? AND e.at <= ? AND e.at >= ? AND (+e.id > ? OR e.at > ?)
		ORDER BY e.at, e.id, a.place`, // the plus signs leave only the index of moments to go by
		last, asOf.Unix(), min(w.asOf.Unix(), w.p.stock.AsOf.Unix()), w.last, w.asOf.Unix())
	if err != nil {
		return nil, j.fault(err)
	}
	w.last, w.asOf = last, asOf
	j.warm = w
	return w.p.shown(), nil
}

func newPlayer(k *menu.Kitchen) (*player, error) {
	f, err := flow.Compile(k.Graph, k.Terms)
	if err != nil {
		return nil, err
	}
	items := len(k.Graph.Items)
	p := &player{k: k, taker: flow.NewTaker(f), itemAt: map[string]int{}, dishAt: map[string]int{},
		have: make([]float64, items), shelves: make([]shelf, items), uncounted: make([]bool, items),
		seen: make([]bool, items)}
	for i, it := range k.Graph.Items {
		if it.Role != graph.Sold {
			p.itemAt[it.Name] = i
		}
		p.uncounted[i] = it.Role == graph.Bought
	}
	for d, dish := range k.Dishes {
		p.dishAt[dish.Name] = d
	}
	return p, nil
}

// shown is the stock as it stands now.
func (p *player) shown() *Stock {
	s := p.stock
	s.Odd, s.Counts = slices.Clone(s.Odd), slices.Clone(s.Counts)
	for _, shelf := range p.shelves {
		s.Lots = append(s.Lots, shelf.lots[shelf.head:]...)
	}
	return &s
}

// OnHand are the lots that still keep at the beginning of a day, as a question about the days from then on takes them
// ([menu.Period]), and those that do not.
func (s *Stock) OnHand(k *menu.Kitchen, from time.Time) (lots []flow.Lot, past []Lot) {
	lots = []flow.Lot{}
	for _, l := range s.Lots {
		made := int(l.Made.Sub(midnight(from)).Hours() / 24)
		if keeps := k.Terms.Keeps[l.Item]; keeps > 0 && made+keeps <= 0 {
			past = append(past, l)
			continue
		}
		lots = append(lots, flow.Lot{Item: l.Item, Amount: l.Amount, Made: made})
	}
	slices.SortStableFunc(lots, func(a, b flow.Lot) int { return cmp.Compare(a.Item, b.Item) })
	return lots, past
}

func midnight(t time.Time) time.Time { return t.UTC().Truncate(24 * time.Hour) }

// shelf is an item's lots, the oldest first.
type shelf struct {
	lots []Lot
	head int
	last Lot // the one that was used up last; of item 0 and no amount before there was any
}

type player struct {
	k         *menu.Kitchen
	taker     *flow.Taker
	itemAt    map[string]int
	dishAt    map[string]int
	have      []float64 // by item
	shelves   []shelf   // by item
	uncounted []bool    // by item: bought, and nobody keeps book of it
	seen      []bool    // by item: some entry moved it
	stock     Stock
}

func (p *player) play(e *Entry) {
	p.stock.Entries++
	p.stock.AsOf = e.At
	switch e.Kind {
	case Received, Cooked, Binned:
		for _, a := range e.Uses {
			if i, base, ok := p.item(e, a); ok {
				p.take(e, i, base)
			}
		}
		for _, a := range e.Gives {
			if i, base, ok := p.item(e, a); ok {
				p.uncounted[i] = false
				p.put(Lot{i, base, midnight(e.At), e.ID, e.Mark})
			}
		}
	case Sold:
		d, ok := p.dishAt[e.Dish]
		if !ok {
			p.odd(e, e.Dish, 0, "the kitchen file has no dish %q: what it took is not counted", e.Dish)
			return
		}
		p.take(e, p.k.Dishes[d].Item, float64(e.Portions))
	case Counted:
		for _, a := range e.Gives {
			if i, base, ok := p.item(e, a); ok {
				p.count(e, i, base)
			}
		}
	}
}

// item finds an amount's item, and the amount in its base units.
func (p *player) item(e *Entry, a Amount) (item int, base float64, ok bool) {
	item, ok = p.itemAt[a.Item]
	if !ok {
		p.odd(e, a.Item, 0, "the kitchen file has no item %q: it is not counted", a.Item)
		return 0, 0, false
	}
	it := p.k.Graph.Items[item]
	if base, ok = it.Bridge().Convert(a.Base, a.Kind, it.Unit.Kind); !ok {
		p.odd(e, a.Item, 0, "%q was counted in %s, now it is in %s, and nothing leads from %s to %s: it is not counted",
			a.Item, measures[a.Kind], it.Unit.Name, a.Kind, it.Unit.Kind)
	}
	return item, base, ok
}

func (p *player) odd(e *Entry, item string, missing float64, format string, args ...any) {
	p.stock.Odd = append(p.stock.Odd, Oddity{e.ID, item, missing, fmt.Sprintf(format, args...)})
}

// slack is the share of an amount that may be lost to the rounding of sums: far below what a scale shows.
const slack = 1e-9

// take takes an amount of an item, or what it is made of, off the shelves.
func (p *player) take(e *Entry, item int, amount float64) {
	for _, m := range p.taker.Take(item, amount, p.have, p.uncounted) {
		if m.Amount > 0 {
			p.put(Lot{Item: m.Item, Amount: m.Amount, Made: midnight(e.At), Entry: e.ID})
			continue
		}
		had := p.have[m.Item]
		p.seen[m.Item] = true
		missing := -m.Amount - had
		p.draw(m.Item, min(-m.Amount, had))
		if missing > slack*-m.Amount {
			it := p.k.Graph.Items[m.Item]
			p.odd(e, it.Name, missing, "%s of %q taken, %s more than there was by the book", p.quantity(m.Item, -m.Amount),
				it.Name, p.quantity(m.Item, missing))
		}
	}
}

func (p *player) quantity(item int, base float64) measure.Quantity { return p.k.Quantity(item, base) }

// put adds a lot, behind all that are no younger.
func (p *player) put(l Lot) {
	if l.Amount <= 0 {
		return
	}
	s := &p.shelves[l.Item]
	p.seen[l.Item] = true
	at := len(s.lots)
	for at > s.head && s.lots[at-1].Made.After(l.Made) {
		at--
	}
	s.lots = slices.Insert(s.lots, at, l)
	p.have[l.Item] += l.Amount
}

// draw takes the oldest lots first. What rounding leaves of a shelf is swept off.
func (p *player) draw(item int, amount float64) {
	s := &p.shelves[item]
	all := p.have[item]
	p.have[item] -= amount
	if p.have[item] <= slack*all {
		amount, p.have[item] = all*2, 0
	}
	for s.head < len(s.lots) && amount > 0 {
		l := &s.lots[s.head]
		if l.Amount > amount {
			l.Amount -= amount
			break
		}
		amount -= l.Amount
		s.last = *l
		s.head++
	}
	if s.head > len(s.lots)/2 { // a shelf that is never empty must not grow for ever
		s.lots, s.head = slices.Delete(s.lots, 0, s.head), 0
	}
}

// count corrects the book by what was found.
func (p *player) count(e *Entry, item int, found float64) {
	s := &p.shelves[item]
	book := p.have[item]
	if p.seen[item] { // else it is the first that the book hears of it
		p.stock.Counts = append(p.stock.Counts, Count{e.ID, p.k.Graph.Items[item].Name, book, found})
	}
	p.uncounted[item], p.seen[item] = false, true
	switch more := found - book; {
	case more < 0:
		p.draw(item, -more)
	case more > slack*found:
		made := midnight(e.At)
		if s.head < len(s.lots) {
			made = s.lots[s.head].Made
		} else if s.last.Amount > 0 {
			made = s.last.Made
		}
		p.put(Lot{Item: item, Amount: more, Made: made, Entry: e.ID})
	}
}
