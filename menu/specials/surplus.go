package specials

// The surplus: what a week as it stands bins, or leaves on the shelf, lot by lot.

import (
	"cmp"
	"math"
	"slices"
	"time"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu/kitchen"
	"kettletree/menu/plan"
	"kettletree/menu/week"
)

// Surplus is a lot, or the part of one that has one fate: it is binned, or left when the period ends and binned later,
// or left and used later, or kept. Quantities are in the unit that the item is written in.
type Surplus struct {
	Item   string  `json:"item"`
	Unit   string  `json:"unit"`
	Amount float64 `json:"amount"`
	Source string  `json:"source"`      // the step that gave it, "bought" or "on hand"
	Made   string  `json:"made"`        // 2006-01-02, on which it was made or came
	Until  *string `json:"keeps_until"` // 2006-01-02, the last day on which it may be used; null when it does not spoil
	Left   bool    `json:"left"`        // true when it is left when the period ends
	Binned *string `json:"binned"`      // 2006-01-02, at whose end it is binned; null when the days after use it, or it keeps longer
	Cost   float64 `json:"cost"`        // at unit cost
	Value  float64 `json:"value"`       // 0 when it is binned in the period, else the lower of worth and unit cost

	origin
	came   int     // in minutes after the midnight before day 0; below zero when it is on hand at first
	usable float64 // base units: but for what was stale before the first day, and what the kitchen wants to have left
}

// after is how many days are walked beyond the period, to see what becomes of what is left.
const after = 7

// parcel is a part of an item that has one origin.
type parcel struct {
	item, made, step int // step is one of the two below when no step gave it
	came             int // minutes; below zero when it is on hand at first
}

const (
	wasBought = -1
	wasOnHand = -2
)

// binned is a part of a parcel that was binned when a day ended.
type binned struct {
	flow.Part[parcel]
	day int
}

// shelves follow the lots of a walk, first in, first out, by the movements that it recorded.
type shelves struct {
	lots []flow.Queue[parcel] // by item
	bins []binned
}

// follow replays a recorded walk up to the end of a day; what is binned then is included.
func follow(c flow.Case, k *kitchen.Kitchen, rec *flow.Record, lastDay int) *shelves {
	s := &shelves{lots: make([]flow.Queue[parcel], len(k.Graph.Items))}
	onHand := slices.Clone(c.Schedule.OnHand)
	slices.SortStableFunc(onHand, func(a, b flow.Lot) int { return cmp.Compare(a.Made, b.Made) })
	for _, l := range onHand {
		s.lots[l.Item].Put(parcel{l.Item, l.Made, wasOnHand, -1}, l.Amount)
	}
	for _, e := range rec.Entries {
		if e.At > (lastDay+1)*1440 || e.At == (lastDay+1)*1440 && e.What != flow.Expired {
			break
		}
		day := e.At / 1440
		switch e.What {
		case flow.Arrived, flow.Came:
			if k.Graph.Items[e.Item].Role != graph.Sold {
				s.lots[e.Item].Put(parcel{e.Item, day, max(e.Step, wasBought), e.At}, e.Amount)
			}
		case flow.Expired:
			parts, _ := s.lots[e.Item].Draw(e.Amount)
			for _, p := range parts {
				s.bins = append(s.bins, binned{p, day - 1})
			}
		case flow.Took, flow.Spoiled:
			s.lots[e.Item].Draw(e.Amount)
		}
	}
	return s
}

// origin tells parcels apart by where they come from, and by when they are binned; left is a day that none has.
type origin struct{ item, made, step, day int }

const left = math.MaxInt

// heap is what comes together from one origin to one end.
type heap struct {
	origin
	came   int // the first of it
	amount float64
}

// heaps adds up what is binned and what is left. Crumbs that sums of rounded products leave are dropped.
func (s *shelves) heaps(k *kitchen.Kitchen) (list []heap) {
	at := map[origin]int{}
	add := func(p flow.Part[parcel], day int) {
		o := origin{p.Lot.item, p.Lot.made, p.Lot.step, day}
		if _, ok := at[o]; !ok {
			at[o] = len(list)
			list = append(list, heap{origin: o, came: p.Lot.came})
		}
		list[at[o]].amount += p.Amount
	}
	for _, b := range s.bins {
		add(b.Part, b.day)
	}
	for _, lots := range s.lots {
		for _, p := range lots.Parts {
			add(p, left)
		}
	}
	return slices.DeleteFunc(list, func(h heap) bool { return h.amount < plan.Crumb*k.Graph.Items[h.item].Unit.Factor })
}

// recorded walks a case and says what is binned by the end of a day and left then.
func (s *scout) recorded(w *week.Week, c flow.Case, lastDay int) *shelves {
	rec := &flow.Record{Movements: true}
	w.Player().Play(c, rec)
	return follow(c, w.Kitchen, rec, lastDay)
}

// findSurplus lists what the standing week bins and leaves, by the day on which it is binned, what is left last, then
// in the order of the file.
func (s *scout) findSurplus() (list []Surplus) {
	later := map[origin]float64{} // what of it is binned after the period
	for _, b := range s.recorded(s.long, s.long.Case, s.long.Days-1).bins {
		if b.day >= s.week.Days {
			later[origin{b.Lot.item, b.Lot.made, b.Lot.step, left}] += b.Amount
		}
	}
	date := func(day int) string { return s.week.Date(day).Format(time.DateOnly) }
	for _, h := range s.recorded(s.week, s.week.Case, s.week.Days-1).heaps(s.week.Kitchen) {
		o, it := h.origin, s.week.Graph.Items[h.item]
		x := Surplus{Item: it.Name, Unit: it.Unit.Name, Made: date(o.made), Left: o.day == left, origin: o,
			came: h.came}
		switch o.step {
		case wasBought:
			x.Source = "bought"
		case wasOnHand:
			x.Source = "on hand"
		default:
			x.Source = s.week.Graph.Steps[o.step].Name
		}
		if keeps := s.week.Terms.Keeps[o.item]; keeps > 0 {
			x.Until = new(date(o.made + keeps - 1))
		}
		add := func(amount float64, binned *string) {
			if amount < plan.Crumb*it.Unit.Factor {
				return
			}
			x.Amount, x.Cost, x.Binned, x.usable = amount/it.Unit.Factor, amount*s.costing.Unit[o.item], binned, amount
			if x.Left {
				x.Value = amount * s.value[o.item]
			}
			if o.day < 0 { // it was stale before the first day
				x.usable = 0
			}
			list = append(list, x)
		}
		if x.Left {
			spoils := min(h.amount, later[o])
			add(spoils, x.Until)
			add(h.amount-spoils, nil)
		} else {
			add(h.amount, new(date(o.day)))
		}
	}
	slices.SortStableFunc(list, func(a, b Surplus) int {
		return cmp.Or(cmp.Compare(a.day, b.day), cmp.Compare(orLater(a.Binned), orLater(b.Binned)),
			cmp.Compare(a.item, b.item), cmp.Compare(a.made, b.made), cmp.Compare(a.step, b.step))
	})
	return s.leavePar(list)
}

// orLater is a date, or what comes behind all dates.
func orLater(date *string) string {
	if date == nil {
		return "later"
	}
	return *date
}

// leavePar takes what the kitchen wants to have left off what can be used of what is left, the last made first.
func (s *scout) leavePar(list []Surplus) []Surplus {
	kept := slices.Clone(s.week.Par)
	for k := range slices.Backward(list) {
		if x := &list[k]; x.Left {
			x.usable, kept[x.item] = max(0, x.usable-kept[x.item]), max(0, kept[x.item]-x.usable)
		}
	}
	return list
}

// uses says what of the surplus is gone when the week is played with an offer. Of one lot, what would be binned goes
// first.
func (s *scout) uses(c flow.Case) []Use {
	gone := map[origin]float64{}
	for _, x := range s.surplus {
		gone[x.origin] += x.Amount * s.week.Graph.Items[x.item].Unit.Factor
	}
	for _, h := range s.recorded(s.week, c, s.week.Days-1).heaps(s.week.Kitchen) {
		gone[h.origin] -= h.amount
	}
	list := []Use{}
	for _, x := range s.surplus {
		factor := s.week.Graph.Items[x.item].Unit.Factor
		used := min(gone[x.origin], x.usable)
		gone[x.origin] -= used
		if used > plan.Crumb*factor {
			list = append(list, Use{Item: x.Item, Unit: x.Unit, Amount: used / factor, Left: x.Left, Binned: x.Binned,
				Cost: used * s.costing.Unit[x.item], came: x.came})
		}
	}
	return list
}
