package plan

// A plan that is kept: the days that the kitchen goes by from now on.

import (
	"math"
	"slices"
	"time"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// Kept is what is kept of plans, by names and dates, so that it lives on when the kitchen file changes: see [Lay]. It never
// changes.
type Kept struct {
	Kitchen string // its name
	Rule    string // who goes short on its days: the name of a rule
	Days    []KeptDay
}

// KeptDay is a day of a plan.
type KeptDay struct {
	Date     time.Time // midnight UTC
	At       time.Time // when it was kept, by the kitchen's clock
	Batches  []KeptBatches
	Specials []KeptPortions // that are offered
	AtMost   []KeptPortions // of dishes, where a portion more would cost others that earn more
	Orders   []KeptOrder
}

// KeptBatches are the batches of a step that begin on a day; none is a decision too, for others wait for them all the same.
type KeptBatches struct {
	Step    string
	Batches float64
}

// KeptPortions are portions of a dish at a service.
type KeptPortions struct {
	Service, Dish string
	Portions      int
}

// KeptOrder is a delivery that is ordered for a day.
type KeptOrder struct {
	Item     string
	Quantity float64 // in Unit
	Unit     string
}

// Kept is the plan as it is kept; nil with batches held. Its days have no moment at which they were kept: [Kept.Keep] sets that.
func (p *Plan) Kept() *Kept { return p.kept }

// grain is what amounts that are kept are whole numbers of, in the item's unit. What is ordered is rounded up.
const grain = 1e-4

// keeps are the days of the plan as they are kept, with every dish held to what the plan sells of it. Of a day that is under way,
// what was done of it by now is a part of what is planned for it.
func (p *Plan) keeps() *Kept {
	m, s := p.m, p.Case.Schedule
	k := &Kept{Kitchen: m.Name, Rule: m.Rule.String(), Days: make([]KeptDay, m.Days)}
	for d := range k.Days {
		k.Days[d].Date = m.Date(d)
	}
	for _, b := range s.Batches {
		if b.Day < m.Days {
			day := &k.Days[b.Day]
			day.Batches = append(day.Batches, KeptBatches{m.g.Steps[b.Step].Name, b.Size + m.done(b)})
		}
	}
	for slot, sit := range m.Sittings {
		if sit.Service < 0 || s.Slots[slot].Closed {
			continue
		}
		day, service := &k.Days[sit.Day], m.Services[sit.Service].Name
		for d, dish := range m.Kitchen.Dishes {
			asked, sells := m.Case.Schedule.Wants[d].Forecast[slot], s.Wants[d].Forecast[slot]
			sold := 0.0
			if m.Planned != nil && sit.Day == 0 {
				sold = max(0, m.Planned.Wants[d].Forecast[slot]-asked)
			}
			portions := KeptPortions{service, dish.Name, int(sells + sold + whole)}
			switch {
			case dish.Special && sells > whole && math.Abs(sells-asked) > whole:
				day.Specials = append(day.Specials, portions)
			case sells < asked-whole:
				day.AtMost = append(day.AtMost, portions)
			}
		}
	}
	for _, d := range s.Deliveries[len(m.Case.Schedule.Deliveries):] { // those come in any case
		k.order(m, d.Item, d.Day, d.Amount)
	}
	return k
}

// done is how much of what was planned of a batch is no longer to come: it was begun, or will not be.
func (m *model) done(b flow.Batch) (done float64) {
	if m.Planned == nil || b.Day > 0 {
		return 0
	}
	for _, was := range m.Planned.Batches {
		if was.Step == b.Step && was.Day == b.Day {
			done += was.Size
		}
	}
	for _, is := range m.Case.Schedule.Batches {
		if is.Step == b.Step && is.Day == b.Day {
			done -= is.Size
		}
	}
	return max(0, done)
}

// order adds so much of an item to what is ordered for a day.
func (k *Kept) order(m *model, item, day int, amount float64) {
	q, of := m.Quantity(item, amount), &k.Days[day].Orders
	name, quantity := m.g.Items[item].Name, math.Ceil(q.Amount/grain-1e-3)*grain
	if quantity <= 0 {
		return
	}
	if at := slices.IndexFunc(*of, func(o KeptOrder) bool { return o.Item == name }); at >= 0 {
		(*of)[at].Quantity += quantity
		return
	}
	*of = append(*of, KeptOrder{name, quantity, q.Unit.Name})
}

// live is the plan as it is kept and laid over the week again: what is told of it, and what all answers are by once it is kept.
// The walk serves then as the week's rule has it, and goes by the cards: a dish is held to fewer portions than are asked for
// only where others would go short else, and no line is filled otherwise than the kitchen fills it.
func (m *model) live(p *Plan) *Plan {
	l := living{model: m, kept: p.keeps()}
	l.lay()
	for range mostMending { // what the walk buys in packs beyond the orders is ordered, in whole ones
		extra := l.extra(l.outcome)
		if len(extra) == 0 {
			break
		}
		for _, d := range extra {
			l.kept.order(m, d.Item, d.Day, m.pack[d.Item]*math.Ceil(d.Amount/m.pack[d.Item]-Crumb))
		}
		l.lay()
	}
	for d := range l.kept.Days {
		held := &l.kept.Days[d].AtMost
		wished := slices.DeleteFunc(slices.Clone(*held), func(p KeptPortions) bool { return !m.leaves(p.Dish) })
		*held = slices.Concat(wished, slices.DeleteFunc(*held, func(p KeptPortions) bool { return m.leaves(p.Dish) }))
		l.release(held, len(wished), len(*held))
		l.orderLess(d)
	}
	lived := *p
	lived.Case, lived.Outcome, lived.Books, lived.kept = l.is, l.outcome, l.books, l.kept
	lived.Bound = max(p.Bound, lived.Contribution)
	return &lived
}

// leaves tells whether a dish is wished to be left out.
func (m *model) leaves(dish string) bool {
	d := slices.IndexFunc(m.Kitchen.Dishes, func(d kitchen.Dish) bool { return d.Name == dish })
	return m.without[d]
}

// mostMending is how often a plan is ordered more for.
const mostMending = 3

// living is a plan that is being laid over its week again.
type living struct {
	*model
	kept    *Kept
	is      flow.Case
	outcome *flow.Outcome
	books   week.Books
}

// lay plays what is kept.
func (l *living) lay() {
	w, _ := Lay(l.kept, l.Week)
	l.is = w.Case
	l.outcome = l.Player().Play(l.is, nil)
	l.books = l.worth.Books(l.is, l.outcome)
}

// extra is what an outcome buys beyond what is ordered, of what comes in packs.
func (l *living) extra(o *flow.Outcome) (list []flow.Delivery) {
	ordered := map[[2]int]float64{} // by item and day
	for _, d := range l.is.Schedule.Deliveries {
		ordered[[2]int{d.Item, d.Day}] += d.Amount
	}
	for _, d := range o.Deliveries {
		if more := d.Amount - ordered[[2]int{d.Item, d.Day}]; l.Bought[d.Item].Pack > 0 && more > Crumb*(1+d.Amount) {
			list = append(list, flow.Delivery{Item: d.Item, Day: d.Day, Amount: more})
		}
	}
	return list
}

// orderLess takes back packs of a day that are left over whole, as far as that earns no less.
func (l *living) orderLess(day int) {
	for n := 0; n < len(l.kept.Days[day].Orders); n++ {
		name := l.kept.Days[day].Orders[n].Item
		item := slices.IndexFunc(l.g.Items, func(it graph.Item) bool { return it.Name == name })
		pack := l.per(item, l.pack[item])
		for l.Bought[item].Pack > 0 && l.kept.Days[day].Orders[n].Quantity > pack*(1-Crumb) &&
			l.per(item, l.outcome.Left[item]+l.outcome.Binned[item]) > pack*(1-Crumb) {
			was := *l
			l.kept.Days[day].Orders[n].Quantity -= pack
			if l.lay(); l.noWorse(was.books) {
				continue
			}
			*l = was
			l.kept.Days[day].Orders[n].Quantity += pack
			break
		}
	}
	l.kept.Days[day].Orders = slices.DeleteFunc(l.kept.Days[day].Orders, func(o KeptOrder) bool { return o.Quantity < grain })
}

// noWorse tells whether what is kept now earns no less than before, and opens no pack beyond what is ordered.
func (l *living) noWorse(was week.Books) bool {
	return l.books.Contribution >= was.Contribution-agree*(1+was.Sales+was.Bought) && len(l.extra(l.outcome)) == 0
}

// release lets go what a day holds dishes to, from one place to another, as far as that earns no less and opens no pack.
func (l *living) release(held *[]KeptPortions, from, to int) (gone int) {
	if from == to {
		return 0
	}
	was := *l
	before := *held
	*held = slices.Delete(slices.Clone(before), from, to)
	if l.lay(); l.noWorse(was.books) {
		return to - from
	}
	*l, *held = was, before
	if to-from == 1 {
		return 0
	}
	half := (from + to) / 2
	gone = l.release(held, from, half)
	return gone + l.release(held, half-gone, to-gone)
}
