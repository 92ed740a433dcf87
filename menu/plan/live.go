package plan

// A plan brought to life: laid over its week as it is kept, and mended where the kitchen goes otherwise than the model.

import (
	"math"
	"slices"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// live is the plan as it is kept and laid over the week again: what is shown of it, and what all answers are by once it is kept.
// The walk serves then as the week's rule has it, and goes by the cards: a dish is held to fewer portions than are asked for
// only where others would go short else, and no line is filled otherwise than the kitchen fills it.
func (m *model) live(p *Plan) *Plan {
	l := living{model: m, kept: p.keeps()}
	l.lay()
	l.finish()
	return l.told(p)
}

// finish orders what is bought in packs beyond the orders, and lets go what is held or ordered for nothing.
func (l *living) finish() {
	l.mend()
	for d := range l.kept.Days {
		held := &l.kept.Days[d].AtMost
		wished := slices.DeleteFunc(slices.Clone(*held), func(p KeptPortions) bool { return !l.leaves(p.Dish) })
		*held = slices.Concat(wished, slices.DeleteFunc(*held, func(p KeptPortions) bool { return l.leaves(p.Dish) }))
		l.release(held, len(wished), len(*held))
		l.orderLess(d)
	}
}

// told is a plan as it came to live.
func (l *living) told(p *Plan) *Plan {
	lived := *p
	lived.Case, lived.Outcome, lived.Books, lived.Onward, lived.off, lived.kept = l.is, l.outcome, l.books, l.onward, l.off, l.withDone(l.kept)
	lived.coming = l.kept
	if lived.limit = p.most + l.off; !math.IsInf(p.Bound, 1) {
		lived.bounded()
	}
	return &lived
}

// mend orders what the walk buys in packs beyond the orders, in whole ones.
func (l *living) mend() {
	for range mostMending {
		extra := l.extra(l.outcome)
		if len(extra) == 0 {
			break
		}
		for _, d := range extra {
			l.kept.order(l.model, d.Item, d.Day, l.pack[d.Item]*math.Ceil(d.Amount/l.pack[d.Item]-Crumb))
		}
		l.lay()
	}
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
	onward  week.Books
	off     float64 // what that counts off the cards
}

// lay plays what is kept. What comes on a day that is under way is bought as it is needed.
func (l *living) lay() {
	kept := l.kept
	if l.Planned != nil {
		kept = kept.Came(l.From)
	}
	w, _ := Lay(kept, l.Week)
	l.is = w.Case
	l.outcome = l.Player().Play(l.is, nil)
	l.books = l.worth.Books(l.is, l.outcome)
	l.onward, l.off = l.goesOn(l.is, l.outcome, l.books)
}

// extra is what an outcome buys beyond what is ordered, of what comes in packs; of a day that is under way, nothing is said.
func (l *living) extra(o *flow.Outcome) (list []flow.Delivery) {
	ordered := map[[2]int]float64{} // by item and day
	for _, d := range l.is.Schedule.Deliveries {
		ordered[[2]int{d.Item, d.Day}] += d.Amount
	}
	for _, d := range o.Deliveries {
		if d.Item >= len(l.Bought) || d.Day == 0 && l.Planned != nil {
			continue
		}
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
			if l.lay(); l.noWorse(was) {
				continue
			}
			*l = was
			l.kept.Days[day].Orders[n].Quantity += pack
			break
		}
	}
	l.kept.Days[day].Orders = slices.DeleteFunc(l.kept.Days[day].Orders, func(o KeptOrder) bool { return o.Quantity < grain })
}

// counts is what it earns with the days behind it, less what both count off the cards.
func (l *living) counts() float64 { return l.onward.Contribution - l.off }

// noWorse tells whether what is kept now earns no less than before, leaves no less for a par, and opens no pack beyond what is
// ordered.
func (l *living) noWorse(was living) bool {
	return l.keepsPars(was) && l.counts() >= was.counts()-agree*(1+was.onward.Sales+was.onward.Bought) && len(l.extra(l.outcome)) == 0
}

// keepsPars tells whether no less is left for a par than before.
func (l *living) keepsPars(was living) bool {
	for i, par := range l.Par {
		if l.outcome.OnHand(i) < min(par, was.outcome.OnHand(i))*(1-agree) {
			return false
		}
	}
	return true
}

// release lets go what a day holds dishes to, from one place to another, as far as that earns no less and opens no pack.
func (l *living) release(held *[]KeptPortions, from, to int) (gone int) {
	if from == to {
		return 0
	}
	was := *l
	before := *held
	*held = slices.Delete(slices.Clone(before), from, to)
	if l.lay(); l.noWorse(was) {
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
