package shop

// The shopping list: what the week buys on an arrival day, in amounts that a scale shows and in whole packs.

import (
	"context"
	"fmt"
	"iter"
	"math"
	"slices"
	"strings"
	"time"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/graph/measure"
	"kettletree/menu/ask"
	"kettletree/menu/plan"
	"kettletree/menu/week"
)

// BuyOptions say what the list is for. The zero value asks for the first day on which anything is to be bought.
type BuyOptions struct {
	Days []int  // of the period; nil for the first on which anything is to be bought
	All  bool   // every day on which anything is to be bought
	Need []Need // a banquet, beyond the standing week
	At   []int  // services of the banquet, as slots of the schedule: the first that can be is taken; nil for any

	Trying func(done float64) // hears how far the search for a cheaper banquet is; nil where nobody asks
}

// List is the answer to "what is to be bought?". Quantities are in the unit that the item is written in, dozens that
// are not whole in "each"; money is unrounded, in the kitchen's currency.
type List struct {
	From    string        `json:"from"` // 2006-01-02
	Days    int           `json:"days"`
	Banquet *Banquet      `json:"banquet,omitempty"`
	Trips   []Trip        `json:"trips"` // by day; empty when nothing is to be bought
	Total   float64       `json:"total"`
	Without []ask.Missing `json:"without,omitempty"` // what batches and dishes go without all the same, as the file lets them
	Notes   []string      `json:"notes,omitempty"`   // what to know about the banquet
	InCold  *InCold       `json:"in_cold,omitempty"` // what must come in cold; left out when nothing of it is on the list
	Money   string        `json:"money,omitempty"`
}

// InCold is fish in which histamine forms when it warms, and how cold it is taken in.
type InCold struct {
	Items   []string `json:"items"`             // in the order of the file
	At      float64  `json:"at"`                // or colder
	Scale   string   `json:"scale"`             // "F" or "C"
	Section string   `json:"section,omitempty"` // of the code; left out where that has no figure here
}

// Trip is what is to be bought on one day.
type Trip struct {
	Date      string     `json:"date"`      // 2006-01-02
	Suppliers []Supplier `json:"suppliers"` // in the order of their first item in the file
	Total     float64    `json:"total"`
}

// Supplier is what is to be bought of one supplier on one day.
type Supplier struct {
	Name    string     `json:"name"`  // "" for the items of which the file does not say where they come from
	Items   []Purchase `json:"items"` // in the order of the file
	Total   float64    `json:"total"`
	OrderBy string     `json:"order_by,omitempty"`    // 2006-01-02 15:04, where the file says by when
	Late    bool       `json:"late,omitempty"`        // that has passed
	Least   float64    `json:"least_order,omitempty"` // what an order must come to, where the file says it
	Short   float64    `json:"short,omitempty"`       // what this one lacks of that
	Add     []Added    `json:"add,omitempty"`         // what later days need anyway and would make it enough
	Waits   string     `json:"waits,omitempty"`       // 2006-01-02: nothing of it is needed before that delivery
	Else    []Else     `json:"elsewhere,omitempty"`   // where else what it is short with can be had that day, when nothing can be added
}

// Else is where an item of an order can be had that is too small.
type Else struct {
	Item  string `json:"item"`
	Words string `json:"words"` // "corner shop, within 30 min, 11/kg"
}

// Purchase is an item on the list.
type Purchase struct {
	Item   string   `json:"item"`
	Unit   string   `json:"unit"`
	Needed float64  `json:"needed"`            // as a scale shows it, rounded up
	Bought float64  `json:"bought"`            // as purchased: needed, or whole packs
	Packs  int      `json:"packs"`             // 0 for an item without packs
	Pack   float64  `json:"pack"`              // what one holds; 0 for an item without packs
	OnPack string   `json:"on_pack,omitempty"` // what stands on it, where amounts are shown in other units than the file has them
	Over   float64  `json:"over"`              // what is bought beyond what is needed
	Price  float64  `json:"price"`             // for one unit
	Cost   float64  `json:"cost"`              // Bought * Price
	OnHand float64  `json:"on_hand"`           // what is still there when the day begins; Needed comes on top of it
	Stored bool     `json:"stored"`            // nobody keeps book of it: OnHand is taken to be in the store
	Many   string   `json:"-"`                 // what several of the item are called, where it is counted
	Spare  float64  `json:"spare,omitempty"`   // so little is taken of the last pack that what takes it can go without, as the file lets it; left out when it can't
	Later  float64  `json:"later"`             // what later days need of an item that can come on any day and would keep; else 0
	Other  bool     `json:"other,omitempty"`   // it was ordered with this supplier, who is not the usual one, by a decision that is kept
	For    []string `json:"for"`               // at most two steps and dishes that take most of it until it next comes
}

// buyer makes lists for a week.
type buyer struct {
	*week.Week
	g *graph.Graph
}

// ToBuy makes the shopping list of a week, whatever its schedule is: it is what the walk buys, weights rounded up to what a scale
// shows. The error says which item or batch comes too late for a
// banquet.
func ToBuy(ctx context.Context, w *week.Week, o BuyOptions) (*List, error) {
	w, err := w.Directed(ctx)
	if err != nil {
		return nil, err
	}
	b := &buyer{Week: w, g: w.Graph}
	list := &List{From: w.From.Format(time.DateOnly), Days: w.Days, Trips: []Trip{}, Money: w.Money}
	var s *shopping
	if len(o.Need) > 0 {
		f, err := b.feast(ctx, o)
		if err != nil {
			return nil, err
		}
		s, list.Banquet, list.Notes = f.with, f.answer, f.notes
	} else {
		s = b.shop(w.Case)
	}
	list.Without = ask.GoesWithout(w, s.c.Schedule, s.o, nil)
	days := s.days()
	if len(days) == 0 {
		return list, nil
	}
	switch {
	case o.Days != nil:
		asked := slices.DeleteFunc(slices.Clone(o.Days), func(d int) bool { return !slices.Contains(days, d) })
		if len(asked) == 0 {
			return nil, b.nothingOn(o.Days, days)
		}
		days = asked
	case !o.All:
		days = days[:1]
	}
	for _, d := range days {
		trip := b.trip(s, d)
		list.Trips = append(list.Trips, trip)
		list.Total += trip.Total
	}
	list.InCold = b.inCold(list.Trips)
	return list, nil
}

// inCold is what of a list must come in cold; nil for none of it.
func (b *buyer) inCold(trips []Trip) *InCold {
	in := &InCold{}
	for i, it := range b.g.Items {
		if b.Warms(i) && slices.ContainsFunc(trips, func(t Trip) bool {
			return slices.ContainsFunc(t.Suppliers, func(s Supplier) bool {
				return slices.ContainsFunc(s.Items, func(p Purchase) bool { return p.Item == it.Name })
			})
		}) {
			in.Items = append(in.Items, it.Name)
		}
	}
	if in.Items == nil {
		return nil
	}
	at, section := b.Code.TakenIn()
	in.At, in.Scale, in.Section = at.Value, at.Scale, section
	return in
}

// nothingOn says on which days something is to be bought.
func (b *buyer) nothingOn(asked, days []int) error {
	names := func(days []int) string {
		var list []string
		for _, d := range days {
			list = append(list, b.DayName(d))
		}
		return strings.Join(list, ", ")
	}
	return fmt.Errorf("there is nothing to buy on %s, but there is on %s", names(asked), names(days))
}

// errand is an item to buy on a day, in base units.
type errand struct {
	day, item int
	need      float64 // what is taken of it until it is bought again
	take      float64 // as purchased
	packs     int
}

// shopping is a case with what it comes to, and what it buys.
type shopping struct {
	c       flow.Case
	o       *flow.Outcome
	rec     *flow.Record
	errands []errand // by day, then item
}

// shop plays a case, and lists what its walk buys.
func (b *buyer) shop(c flow.Case) *shopping {
	s := &shopping{c: c, rec: &flow.Record{Movements: true}}
	s.o = b.Player().Play(c, s.rec)
	for _, d := range s.o.Deliveries { // by day, then item
		take := d.Amount
		for _, o := range c.Schedule.Deliveries {
			if o.Item == d.Item && o.Day == d.Day && o.Source > 0 { // it is ordered with another than the usual supplier
				take -= o.Amount
			}
		}
		if take <= dust || d.Item >= len(b.Kitchen.Bought) || b.Free(d.Item) {
			continue
		}
		x := errand{day: d.Day, item: d.Item, take: take}
		if pack := b.Kitchen.Bought[d.Item].Pack; pack > 0 {
			x.packs = int(min(math.Ceil(take/pack-plan.Crumb), math.MaxInt32))
		}
		s.errands = append(s.errands, x)
	}
	for n := range s.errands {
		x := &s.errands[n]
		if x.need = s.taken(*x); x.need <= dust { // it is bought to be there
			x.need = x.take
		}
	}
	return s
}

// takes goes through what takes of the item of a purchase, from its day on until the item is bought again.
func (s *shopping) takes(x errand) iter.Seq[flow.Entry] {
	return func(yield func(flow.Entry) bool) {
		for _, e := range s.rec.Entries {
			switch {
			case e.Item != x.item:
			case e.What == flow.Arrived && s.rec.Lots[e.Lots[0].Lot].Made > x.day:
				return
			case e.What == flow.Took && e.At >= x.day*1440 && !yield(e):
				return
			}
		}
	}
}

// share is how much of what was taken is of a purchase.
func (s *shopping) share(x errand, e flow.Entry) (amount float64) {
	for _, p := range e.Lots {
		if l := s.rec.Lots[p.Lot]; l.Origin == flow.Delivered && l.Made == x.day {
			amount += p.Amount
		}
	}
	return amount
}

// taken is how much is taken of a purchase until the item is bought again.
func (s *shopping) taken(x errand) (amount float64) {
	for e := range s.takes(x) {
		amount += s.share(x, e)
	}
	return amount
}

// dust is an amount, in base units, that only the rounding of sums leaves.
const dust = 1e-6

// onScale rounds an amount up to what a scale shows of it: whole pieces; else three figures in the unit (two of little more than
// a quart or gallon and below, where that is no more than 2 % too much), ounces for a little of a pound, tenths of a fluid ounce below half a quart, as it
// is shown there, and no fraction of a gram or millilitre from ten on.
func onScale(base float64, u measure.Unit) float64 {
	if u.Kind == measure.Count {
		return math.Ceil(base - plan.Crumb)
	}
	const ounces, little = 16, 0.1 // see package show
	per := u.Factor
	if u.Name == "lb" && base < little*per {
		per /= ounces
	}
	const fluid, half = 32, 0.5 // see [measure.Quantity.Handy]
	if u.Name == "qt" && base < half*per {
		const tenths = 10
		return math.Ceil(base/per*fluid*tenths-plan.Crumb) / tenths / fluid * per
	}
	digits := 2 - int(math.Floor(math.Log10(base/per)))
	if whole := math.Round(math.Log10(per)); base >= 10 && per == math.Pow10(int(whole)) { // metric
		digits = min(digits, int(whole))
	}
	up := func(digits int) float64 {
		step := math.Pow10(-digits)
		return math.Ceil(base/per/step-plan.Crumb) * step * per
	}
	const near, few = 1.02, 1.25 // see [measure.Near]
	if two := up(digits - 1); (u.Name == "qt" || u.Name == "gal") && base < few*per && two <= near*base {
		return two
	}
	return up(digits)
}

// days are those on which something is bought.
func (s *shopping) days() (days []int) {
	for _, x := range s.errands {
		days = append(days, x.day)
	}
	for _, d := range elsewhere(s.c, -1) {
		days = append(days, d.Day)
	}
	slices.Sort(days)
	return slices.Compact(days)
}

// cost is what a purchase costs, to the gram.
func (b *buyer) cost(x errand) float64 { return x.take * b.Terms.Price[x.item] }

// trip is the list of one day.
func (b *buyer) trip(s *shopping, day int) Trip {
	t := Trip{Date: b.Date(day).Format(time.DateOnly), Suppliers: []Supplier{}}
	there := b.onHand(s.c, day)
	var order []string // suppliers, by first item in the file
	for _, x := range b.Kitchen.Bought {
		if !slices.Contains(order, x.From) {
			order = append(order, x.From)
		}
	}
	for _, name := range order {
		sup := b.supplier(name, day)
		for _, x := range s.errands {
			if x.day != day || b.Kitchen.Bought[x.item].From != name {
				continue
			}
			p := b.line(x, there[x.item], b.later(s, x))
			p.For = b.users(s, x)
			p.Spare = b.spare(s, x)
			sup.Items = append(sup.Items, p)
			sup.Total += p.Cost
		}
		if sup.Items != nil {
			b.least(s, &sup, day)
			t.Suppliers = append(t.Suppliers, sup)
			t.Total += sup.Total
		}
	}
	b.addElsewhere(s, &t, there, day)
	return t
}

// supplier is one of whom nothing is on a day's list yet, with the terms of an order.
func (b *buyer) supplier(name string, day int) Supplier {
	sup := Supplier{Name: name}
	if who := b.SupplierNamed(name); who != nil {
		if sup.Least = who.Least; who.OrderBy != nil {
			by := who.OrderBy.Before(day)
			sup.OrderBy, sup.Late = b.Stamp(by), b.Now > 0 && by < b.Now
		}
	}
	return sup
}

func (b *buyer) line(x errand, there, later float64) Purchase {
	needed := onScale(x.need, b.g.Items[x.item].Unit)
	bought := needed
	if b.Terms.Pack[x.item] > 0 {
		bought = x.take
		needed = min(needed, bought)
	}
	u := b.unit(x.item, needed, bought, later)
	in := func(base float64) float64 { return rounded(base / u.Factor) }
	return Purchase{Item: b.g.Items[x.item].Name, Many: b.g.Items[x.item].Many, Unit: u.Name, Needed: in(needed), Bought: in(bought), Packs: x.packs,
		Pack: in(b.Kitchen.Bought[x.item].Pack), OnPack: b.OnPack(x.item, b.Kitchen.Bought[x.item].Pack), Over: in(bought - needed), Price: b.Terms.Price[x.item] * u.Factor,
		Cost:   bought * b.Terms.Price[x.item],
		OnHand: in(there), Stored: b.Stored != nil && b.Stored[x.item], Later: in(later)}
}

// speck is the share of an amount that is not worth a word.
const speck = 0.005

// unit is the unit that amounts of an item are said in: its own, but for parts of a dozen.
func (b *buyer) unit(item int, amounts ...float64) measure.Unit {
	u := b.g.Items[item].Unit
	if u.Kind == measure.Count && u.Factor != 1 && slices.ContainsFunc(amounts,
		func(a float64) bool { return rounded(a/u.Factor) != math.Trunc(rounded(a/u.Factor)) }) {
		return measure.Each
	}
	return u
}

// rounded takes out what turning a unit to and fro leaves behind the ninth decimal.
func rounded(x float64) float64 { return math.Round(x*1e9) / 1e9 }

// onHand is what is there of every item when a day begins, before anything comes.
func (b *buyer) onHand(c flow.Case, day int) []float64 {
	s := *c.Schedule
	s.Days = day
	s.Slots = slices.DeleteFunc(slices.Clone(s.Slots), func(x flow.Slot) bool { return x.Day >= day })
	s.Deliveries = slices.DeleteFunc(slices.Clone(s.Deliveries), func(x flow.Delivery) bool { return x.Day >= day })
	o := b.Player().Play(flow.Case{Flow: c.Flow, Schedule: &s}, nil)
	return o.Left
}

// spare is what is needed of the last pack of a purchase, in the unit of its line, where as much of what comes with it goes into
// lines that can do without; else 0.
func (b *buyer) spare(s *shopping, x errand) float64 {
	pack := b.Kitchen.Bought[x.item].Pack
	last := x.need - float64(x.packs-1)*pack
	if x.packs < 1 || last <= dust {
		return 0
	}
	can := 0.0
	for e := range s.takes(x) {
		if e.Line >= 0 {
			can += s.share(x, e) * b.g.Steps[e.Step].Takes[e.Line].Without
		}
	}
	if can < last {
		return 0
	}
	return rounded(last / b.unit(x.item, x.take).Factor)
}

// users are the two that take most of a purchase until the item is bought again.
func (b *buyer) users(s *shopping, x errand) []string {
	taken := make([]float64, len(b.g.Steps))
	for e := range s.takes(x) {
		taken[e.Step] += e.Amount
	}
	names := []string{}
	for range 2 {
		most := 0
		for step, amount := range taken {
			if amount > taken[most] {
				most = step
			}
		}
		if taken[most] <= dust {
			break
		}
		names = append(names, b.g.Steps[most].Name)
		taken[most] = 0
	}
	return names
}

// later is what the days after a purchase still need of an item that can come on any day, as far as it would keep until
// then; 0 for an item that comes on set days.
func (b *buyer) later(s *shopping, x errand) (amount float64) {
	if slices.Contains(b.Kitchen.Bought[x.item].Arrives[:], false) {
		return 0
	}
	for _, y := range s.errands {
		if keeps := b.Terms.Keeps[x.item]; y.item == x.item && y.day > x.day && (keeps == 0 || y.day < x.day+keeps) {
			amount += y.need
		}
	}
	if amount > dust {
		amount = onScale(amount, b.g.Items[x.item].Unit)
	}
	return amount
}
