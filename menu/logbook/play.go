package logbook

// What must be on hand after all that was written down.

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"time"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// Stock is what a log book says is on hand at a moment.
type Stock struct {
	AsOf    time.Time // the latest entry that counts; zero when there is none
	Entries int       // that count
	Lots    []Lot     // by item in the order of the kitchen, the oldest first
	Odd     []Oddity  // what does not add up, in the order in which it happened
	Counts  []Count   // what was counted against the book, in the order in which it happened
	NoBook  []bool    // by item: bought, and never received or counted, so nobody keeps book of it
}

// Lot is some of an item that came onto its shelf at once.
type Lot struct {
	Item   int       // of the kitchen's graph
	Amount float64   // in base units, above 0
	Made   time.Time // the day, at midnight
	Entry  int64     // that brought it
	Mark   string
	Cost   float64 // what it cost, where book is kept of money

	// Since is the day 1 of its date mark, in days since 1 January 1970 ([dayNumber]), and the item that brought it.
	Since flow.Since
}

// amountOf is how much of an item there is in all lots.
func (s *Stock) amountOf(item int) (sum float64) {
	for _, l := range s.Lots {
		if l.Item == item {
			sum += l.Amount
		}
	}
	return sum
}

// dayNumber is a date as days since 1 January 1970.
func dayNumber(t time.Time) int { return int(midnight(t).Unix() / (24 * 60 * 60)) }

// dateOf is the date of a day's number.
func dateOf(day int) time.Time { return time.Unix(int64(day)*24*60*60, 0).UTC() }

// Oddity is an entry that the rest of the log book, or the kitchen file, does not bear out.
type Oddity struct {
	Entry   int64
	Item    string
	Missing float64 // base units taken beyond what the book had; 0 when something else is odd
	Msg     string
	ToTaste bool `json:",omitempty"` // the card can do without it: nothing is wrong
}

// Count is what was counted against what the book had before.
type Count struct {
	Entry int64
	Item  string
	Book  float64 // base units
	Found float64 // base units
}

func newPlayer(k *kitchen.Kitchen) (*player, error) {
	f, err := flow.Compile(k.Graph, k.Terms)
	if err != nil {
		return nil, err
	}
	items := len(k.Graph.Items)
	p := &player{k: k, days: k.DayOnes(), presumed: k.DayOnes().Presumed(dateOf(0)), taker: flow.NewTaker(f), itemAt: map[string]int{}, dishAt: map[string]int{},
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
	s.Odd, s.Counts, s.NoBook = slices.Clone(s.Odd), slices.Clone(s.Counts), slices.Clone(p.uncounted)
	for _, shelf := range p.shelves {
		s.Lots = append(s.Lots, shelf.Lots()...)
	}
	return &s
}

// OnHand are the lots that may still be used on a date, as a question about the days from a midnight on takes them ([week.Period]), and
// those that may not: they keep no longer, or the days of the code's date mark are over (3-501.18 has them discarded).
func (s *Stock) OnHand(k *kitchen.Kitchen, from, on time.Time) (lots []flow.Lot, past []week.Past) {
	lots = []flow.Lot{}
	days := k.DayOnes()
	for _, l := range s.Lots {
		if gone, ok := l.past(days, k, on); ok {
			past = append(past, gone)
			continue
		}
		bound, _ := days.Bound(flow.Lot{Item: l.Item, Amount: l.Amount, Made: int(l.Made.Sub(midnight(from)).Hours() / 24), Since: l.Since.Later(-dayNumber(from))}, 0)
		lots = append(lots, bound)
	}
	slices.SortStableFunc(lots, func(a, b flow.Lot) int { return cmp.Compare(a.Item, b.Item) })
	return lots, past
}

// past is the lot as what is past its date on a day; ok is false where it is not.
func (l *Lot) past(days *kitchen.DayOnes, k *kitchen.Kitchen, on time.Time) (gone week.Past, ok bool) {
	made, today := dayNumber(l.Made), dayNumber(on)
	if last, ok := days.ByCode(l.Item, made, l.Since); ok && last < today {
		return week.Past{Item: l.Item, Amount: l.Amount, Last: dateOf(last), Code: true}, true
	}
	if last, ok := days.InOil(l.Item, made, l.Since); ok && last < today {
		return week.Past{Item: l.Item, Amount: l.Amount, Last: dateOf(last)}, true
	}
	if last, _, ok := days.ByKitchen(l.Item, made, l.Since); ok && last < today {
		return week.Past{Item: l.Item, Amount: l.Amount, Last: dateOf(last)}, true
	}
	keeps := k.Terms.Keeps[l.Item]
	return week.Past{Item: l.Item, Amount: l.Amount, Last: dateOf(made + keeps - 1)}, keeps > 0 && made+keeps <= today
}

func midnight(t time.Time) time.Time { return t.UTC().Truncate(24 * time.Hour) }

func (l *Lot) Left() *float64 { return &l.Amount }

// shelf is an item's lots, the oldest first.
type shelf struct {
	flow.Queue[Lot, *Lot]
	last  Lot   // the one that was used up last; of item 0 and no amount before there was any
	first int64 // the entry that brought the first of the lots since the shelf was empty; 0 before there was any
	mixed bool  // others came since
	over  bool  // more was taken than the book had, so the book is not believed when it says that the shelf is empty
}

type player struct {
	k         *kitchen.Kitchen
	days      *kitchen.DayOnes
	presumed  *kitchen.Presumed
	taker     *flow.Taker
	itemAt    map[string]int
	dishAt    map[string]int
	have      []float64 // by item
	shelves   []shelf   // by item
	uncounted []bool    // by item: bought, and nobody keeps book of it
	seen      []bool    // by item: some entry moved it
	stock     Stock
	moves     []Move // none are kept with a till
	till      *till  // keeps book of money and sales; nil where only amounts are asked for
	came      []Lot  // of one entry
	pots      []*pot // in the order in which they were begun

	// Of one entry: its step, its day, and the earliest day 1 of what it took.
	step, day int
	went      flow.Since
	unsaid    bool // what is taken is by the card
}

func (p *player) play(e *Entry) {
	p.stock.Entries++
	p.stock.AsOf = e.At
	p.till.begin(e)
	p.giveUp(e.At)
	p.begin(e)
	switch e.Kind {
	case Received, Lit, PutIn, Out, Done, Cooked, Binned:
		in := p.potOf(e)
		for _, a := range e.Takes {
			if i, base, ok := p.item(e, a); ok && base > 0 {
				if p.unsaid = a.Typed == ""; p.unsaid {
					base = p.withinCard(e, i, base)
				}
				if base > 0 {
					p.take(e, i, base, a.Mark)
				}
			}
		}
		p.unsaid = false
		if in != nil && (e.Kind == Lit || len(e.Takes) > 0) {
			p.fill(e, in)
		}
		p.came = p.came[:0]
		for _, a := range e.Gives {
			if i, base, ok := p.item(e, a); ok && base == 0 && in != nil {
				p.till.none(in.money, i)
			} else if ok && base > 0 {
				p.uncounted[i] = false
				p.came = append(p.came, Lot{Item: i, Amount: base, Made: midnight(e.At), Entry: e.ID, Mark: cmp.Or(a.Mark, e.Mark)})
			}
		}
		if in != nil {
			p.went = in.since
		}
		p.dateAll(p.came)
		if in != nil && len(p.came) > 0 {
			p.empty(e, in)
			p.till.ladle(in.money, p.came)
		}
		p.till.value(e, p.came)
		for _, l := range p.came {
			p.put(e, l)
			p.till.stocked(l.Item)
		}
		if e.Kind == Binned {
			p.till.bin(e)
		}
		if e.Kind == Done {
			p.till.close(in.money)
		}
	case Lost:
		if lost := p.potOf(e); lost != nil && e.Share == 1 {
			p.till.lose(lost.money)
			p.pots = slices.DeleteFunc(p.pots, func(o *pot) bool { return o == lost })
		}
	case Sold, Gave, Dropped:
		d, ok := p.dishAt[e.Dish]
		if !ok {
			p.odd(e, e.Dish, 0, "%s, so what it took is not counted", gone(p.k, e.Dish))
			return
		}
		p.take(e, p.k.Dishes[d].Item, float64(e.Portions), e.Mark)
		p.till.sell(e, d)
	case Struck:
		p.till.strike(e)
	case Counted:
		for _, a := range e.Gives {
			if i, base, ok := p.item(e, a); ok {
				p.count(e, i, base)
				p.till.stocked(i)
			}
		}
	}
}

// begin makes ready for what an entry takes.
func (p *player) begin(e *Entry) {
	p.step, p.day, p.went = -1, dayNumber(e.At), flow.Since{}
	if e.Kind.OfBatch() {
		if step, err := p.k.FindStep(e.Step); err == nil {
			p.step = step
		}
	}
}

// carried notes what a lot brings that the entry takes of.
func (p *player) carried(l *Lot) {
	p.went = p.went.Or(p.days.Brought(p.step, l.Item, l.Since, dayNumber(l.Made), p.day))
}

// dateAll sets the day 1 of lots that come of what an entry took.
func (p *player) dateAll(lots []Lot) {
	for n := range lots {
		lots[n].Since = p.days.Begun(lots[n].Item, p.day, p.went)
	}
}

// gone says that something that was written down is no part of the kitchen as it is now: its card waits, or nothing has that name any more.
func gone(k *kitchen.Kitchen, name string) string {
	if slices.Contains(k.Waiting(), name) {
		return fmt.Sprintf("%q is left out until its card is finished", name)
	}
	return fmt.Sprintf("nothing in the kitchen is called %q now", name)
}

// item finds an amount's item, and the amount in its base units.
func (p *player) item(e *Entry, a Amount) (item int, base float64, ok bool) {
	item, ok = p.itemAt[a.Item]
	if !ok {
		p.odd(e, a.Item, 0, "%s, so it is not counted", gone(p.k, a.Item))
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
	p.stock.Odd = append(p.stock.Odd, Oddity{Entry: e.ID, Item: item, Missing: missing, Msg: fmt.Sprintf(format, args...)})
}

// slack is the share of an amount that may be lost to the rounding of sums: far below what a scale shows.
const slack = 1e-9

func (p *player) moved(sort Sort, e *Entry, item int, from int64, amount float64) {
	if p.till != nil {
		return
	}
	p.moves = append(p.moves, Move{Sort: sort, Item: item, Entry: e.ID, Kind: e.Kind, From: from, Amount: amount})
}

// dates sets the day 1 of the lot that moved last.
func (p *player) dates(since flow.Since) {
	if p.till == nil {
		p.moves[len(p.moves)-1].Since = since
	}
}

// take takes an amount of an item, or what it is made of, off the shelves, from a lot first if its mark is not "".
func (p *player) take(e *Entry, item int, amount float64, mark string) {
	named := 0.0
	p.came = p.came[:0]
	for _, m := range p.taker.Take(item, amount, p.have, p.uncounted) {
		if m.Amount > 0 {
			p.came = append(p.came, Lot{Item: m.Item, Amount: m.Amount, Made: midnight(e.At), Entry: e.ID})
			continue
		}
		had := p.have[m.Item]
		p.seen[m.Item] = true
		missing := -m.Amount - had
		of, cost := p.draw(e, m.Item, min(-m.Amount, had), mark)
		named += of
		p.till.take(m.Item, -m.Amount, max(missing, 0), cost)
		if missing > slack*-m.Amount {
			it := p.k.Graph.Items[m.Item]
			p.shelves[m.Item].over = true
			if last := &p.shelves[m.Item].last; last.Amount > 0 { // the careful choice for its day 1
				p.carried(last)
			}
			p.moved(Beyond, e, m.Item, 0, missing)
			p.odd(e, it.Name, missing, "%s of %q taken, %s more than the log book had", p.quantity(m.Item, -m.Amount),
				it.Name, p.quantity(m.Item, missing))
		}
	}
	uncounted, labour := p.taker.Beside()
	p.till.taken(item, amount, uncounted, labour, p.came)
	p.dateAll(p.came)
	for _, l := range p.came {
		p.put(e, l)
	}
	switch name := p.k.Graph.Items[item].Name; {
	case mark == "":
	case named == 0:
		p.odd(e, name, 0, "nothing was left of lot %q: the oldest was taken", mark)
	case !e.Kind.OfPortions() && named < amount*(1-slack):
		p.odd(e, name, 0, "only %s was left of lot %q: the rest came off the oldest",
			p.quantity(item, named), mark)
	}
}

// withinCard is how much of an amount by the card went in, which nobody measured: of what the card can do without, what there was.
func (p *player) withinCard(e *Entry, item int, card float64) float64 {
	s := slices.IndexFunc(p.k.Graph.Steps[:len(p.k.Steps)], func(st graph.Step) bool { return st.Name == e.Step })
	if s < 0 || p.uncounted[item] || p.have[item] >= card*(1-slack) || slices.ContainsFunc(p.k.Graph.Steps, func(st graph.Step) bool {
		return st.Mode == graph.ToOrder && slices.ContainsFunc(st.Gives, func(o graph.Output) bool { return o.Item == item }) // made as it is taken
	}) {
		return card
	}
	needed, all := 0.0, 0.0 // without what the lines that take it can do without
	for _, l := range p.k.Graph.Steps[s].Takes {
		if c := l.Choices[0]; c.Item == item {
			all += c.Amount
			if !l.Optional {
				needed += c.Amount * (1 - l.Without)
			}
		}
	}
	if needed >= all {
		return card
	}
	went := max(card*needed/all, p.have[item])
	if it := p.k.Graph.Items[item]; went > 0 {
		p.odd(e, it.Name, 0, "the card has %s of %q: %s went in, by what there was", p.quantity(item, card), it.Name, p.quantity(item, went))
	} else {
		p.odd(e, it.Name, 0, "the card has %s of %q: none was there, so none is counted", p.quantity(item, card), it.Name)
	}
	p.stock.Odd[len(p.stock.Odd)-1].ToTaste = true
	return went
}

func (p *player) quantity(item int, base float64) measure.Quantity { return p.k.Quantity(item, base) }

// put adds a lot that an entry brought.
func (p *player) put(e *Entry, l Lot) {
	if l.Amount > 0 && p.have[l.Item] == 0 && !p.shelves[l.Item].over {
		p.emptied(e, l.Item)
	}
	p.lay(e, l)
}

// lay adds a lot, behind all that are no younger.
func (p *player) lay(e *Entry, l Lot) {
	if l.Amount <= 0 {
		return
	}
	s := &p.shelves[l.Item]
	p.seen[l.Item] = true
	if s.first == 0 {
		s.first = l.Entry
	}
	s.mixed = s.mixed || s.first != l.Entry
	p.moved(Came, e, l.Item, 0, l.Amount)
	p.dates(l.Since)
	s.Put(l)
	lots := s.Lots()
	for at := len(lots) - 1; at > 0 && lots[at-1].Made.After(l.Made); at-- {
		lots[at-1], lots[at] = lots[at], lots[at-1]
	}
	p.have[l.Item] += l.Amount
}

// emptied tells that no lot that came before lies on a shelf any more.
func (p *player) emptied(e *Entry, item int) {
	s := &p.shelves[item]
	if s.first != 0 {
		p.moved(Emptied, e, item, 0, 0)
	}
	s.first, s.mixed = 0, false
}

// draw takes the lot of a mark first, if it is not "", then the oldest; by the card, the oldest that is not past its date, which nobody
// puts in as long as there is other. It returns how much it took of the lot of the mark,
// and what all of it cost. What rounding leaves of a shelf is swept off.
func (p *player) draw(e *Entry, item int, amount float64, mark string) (named, cost float64) {
	s := &p.shelves[item]
	if mark != "" {
		is := func(l Lot) bool { return l.Mark == mark }
		if !slices.ContainsFunc(s.Lots(), is) { // the number of the entry that brought it
			is = func(l Lot) bool { return strconv.FormatInt(l.Entry, 10) == mark }
		}
		named, cost = p.drawOf(e, item, amount, Named, is)
		if amount -= named; amount <= 0 {
			return named, cost
		}
	}
	if on := p.k.DayAt(e.At); p.unsaid && mark == "" && len(s.Lots()) > 1 {
		past := func(l Lot) bool { _, past := l.past(p.days, p.k, on); return past }
		if slices.ContainsFunc(s.Lots(), past) {
			sort := Alone // which of them it was nobody said
			if s.mixed {
				sort = Took
			}
			good, spent := p.drawOf(e, item, amount, sort, func(l Lot) bool { return !past(l) })
			if cost, amount = cost+spent, amount-good; amount <= slack*good {
				return named, cost
			}
		}
	}
	all := p.have[item]
	p.have[item] -= amount
	if p.have[item] <= slack*all {
		amount, p.have[item] = all*2, 0
	}
	sort := Alone
	if s.mixed {
		sort = Took
	}
	s.Draw(amount, func(l *Lot, part float64) {
		p.moved(sort, e, item, l.Entry, part)
		p.carried(l)
		if part == l.Amount {
			s.last = *l
		}
		cost += l.pay(part)
	})
	return named, cost
}

// pay takes the cost of a part off a lot.
func (l *Lot) pay(part float64) (cost float64) {
	if cost = l.Cost; part < l.Amount {
		cost = l.Cost * part / l.Amount
	}
	l.Cost -= cost
	return cost
}

// drawOf takes up to an amount of some lots, the oldest first, as movements of a sort.
func (p *player) drawOf(e *Entry, item int, amount float64, sort Sort, is func(Lot) bool) (named, cost float64) {
	s := &p.shelves[item]
	all := p.have[item]
	for at := 0; at < len(s.Lots()) && named < amount; at++ {
		l := &s.Lots()[at]
		if !is(*l) {
			continue
		}
		taken := min(amount-named, l.Amount)
		if l.Amount-taken <= slack*l.Amount {
			taken = l.Amount
		}
		p.moved(sort, e, item, l.Entry, taken)
		p.carried(l)
		named += taken
		cost += l.pay(taken)
		if l.Amount -= taken; l.Amount == 0 {
			s.last = *l
			s.last.Amount = taken
			s.Remove(at)
			at--
		}
	}
	if p.have[item] -= named; s.Empty() || p.have[item] <= slack*all {
		cost += p.sweep(e, item)
	}
	return named, cost
}

// sweep takes off what rounding left of a shelf, and says what it cost.
func (p *player) sweep(e *Entry, item int) (cost float64) {
	s := &p.shelves[item]
	for _, l := range s.Lots() {
		p.moved(Took, e, item, l.Entry, l.Amount)
		cost += l.Cost
	}
	s.Clear()
	p.have[item] = 0
	return cost
}

// lastMade is the day on which an item of which no lot is known was made at the latest, as far as it still keeps: that of the last
// batch of the kitchen file that was to be out by a moment; without one, and of what is bought, the day of the moment.
func (p *player) lastMade(item int, at time.Time) time.Time {
	for back := range p.k.Terms.Keeps[item] {
		day := midnight(at).AddDate(0, 0, -back)
		for step := range p.k.Steps {
			st := &p.k.Graph.Steps[step]
			if st.Mode != graph.OnDays || p.k.BatchesOn(step, day) == 0 {
				continue
			}
			for _, o := range st.Gives {
				if out := minutesAfter(day, max(p.k.Steps[step].Starts, 0)+o.OutAt); o.Item == item && !out.After(at) {
					return midnight(out)
				}
			}
		}
	}
	return midnight(at)
}

// count corrects the book by what was found.
func (p *player) count(e *Entry, item int, found float64) {
	s := &p.shelves[item]
	book := p.have[item]
	first := !p.seen[item]
	if !first { // else it is the first that the book hears of it
		p.stock.Counts = append(p.stock.Counts, Count{e.ID, p.k.Graph.Items[item].Name, book, found})
	}
	p.uncounted[item], p.seen[item] = false, true
	switch more := found - book; {
	case more < -slack*book:
		_, cost := p.draw(e, item, -more, "")
		p.till.miss(item, -more, cost)
	case more > slack*found:
		made := p.lastMade(item, e.At)
		since := p.presumed.Of(item, dayNumber(made))
		logged := func(l Lot) bool { return l.Entry > 0 } // what counts as planned may turn out never to have been
		if at := slices.IndexFunc(s.Lots(), logged); at >= 0 {
			made, since = s.Lots()[at].Made, s.Lots()[at].Since
		} else if s.last.Amount > 0 && logged(s.last) {
			made, since = s.last.Made, s.last.Since
		}
		p.moved(Found, e, item, 0, 0)
		p.lay(e, Lot{Item: item, Amount: more, Made: made, Since: since, Entry: e.ID, Cost: p.till.find(item, more, first)})
	}
	if s.over = false; found == 0 {
		p.emptied(e, item)
	}
}
