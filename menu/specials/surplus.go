package specials

// The surplus: what a week as it stands bins, or leaves on the shelf, lot by lot.

import (
	"cmp"
	"math"
	"slices"
	"time"

	"kettletree/graph/flow"
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
	Until  *string `json:"keeps_until"` // 2006-01-02, the last day on which the oldest of it may be used, by the kitchen file and the code's date mark; null when neither says
	Left   bool    `json:"left"`        // true when it is left when the period ends
	Binned *string `json:"binned"`      // 2006-01-02, at whose end it is binned; null when the days after use it, or it keeps longer
	Cost   float64 `json:"cost"`        // at unit cost
	Value  float64 `json:"value"`       // 0 when it is binned in the period, else what counts of it, at the lower of worth and cost

	origin
	came   int     // in minutes after the midnight before day 0
	usable float64 // base units: but for what was stale before the first day, and what the kitchen wants to have left
}

// origin tells apart where what is binned or left comes from, and when it is binned; left is a day that none has.
type origin struct {
	item, made int
	aged       int // as [flow.Lot] has it
	from       flow.Origin
	step       int
	day        int
}

const left = math.MaxInt

// heap is what comes together from one origin to one end.
type heap struct {
	origin
	came   int // the first of it
	last   int // the last day on which the oldest of it may be used; left for none
	amount float64
}

// standing walks a week as it stands and adds up what is binned and what is left.
func standing(w *week.Week) []heap {
	rec := &flow.Record{Movements: true}
	w.Player().Play(w.Case, rec)
	return heaps(w, rec, w.Dates(w.Case.Schedule, rec))
}

// heaps adds up what is binned and what is left by a record, with the last days of it where they are asked for. Crumbs that sums of rounded products leave are dropped.
func heaps(w *week.Week, rec *flow.Record, dates *week.Dates) (list []heap) {
	at := map[origin]int{}
	add := func(p flow.Part, day int) {
		l := rec.Lots[p.Lot]
		o := origin{l.Item, l.Made, l.Aged, l.Origin, l.Step, day}
		if _, ok := at[o]; !ok {
			at[o] = len(list)
			list = append(list, heap{origin: o, came: l.At, last: left})
		}
		if dates != nil {
			if last, ok := dates.Last(l.Item, l.Made, dates.Of(p.Lot)); ok {
				list[at[o]].last = min(list[at[o]].last, last)
			}
		}
		list[at[o]].amount += p.Amount
	}
	for _, e := range rec.Entries {
		if e.What == flow.Expired {
			for _, p := range e.Lots {
				add(p, e.At/1440-1)
			}
		}
	}
	for _, p := range rec.Left(len(rec.Entries)) {
		add(p, left)
	}
	return slices.DeleteFunc(list, func(h heap) bool { return h.amount < plan.Crumb*w.Graph.Items[h.item].Unit.Factor })
}

// findSurplus lists what the standing week bins and leaves, by the day on which it is binned, what is left last, then
// in the order of the file.
func (s *scout) findSurplus() (list []Surplus) {
	later := map[origin]float64{} // what of it is binned after the period
	for _, h := range standing(s.long) {
		if h.day >= s.week.Days && h.day != left {
			h.day = left
			later[h.origin] += h.amount
		}
	}
	date := func(day int) string { return s.week.Date(day).Format(time.DateOnly) }
	for _, h := range standing(s.week) {
		o, it := h.origin, s.week.Graph.Items[h.item]
		x := Surplus{Item: it.Name, Unit: it.Unit.Name, Made: date(o.made + o.aged), Left: o.day == left, origin: o,
			came: h.came}
		switch o.from {
		case flow.Delivered:
			x.Source = "bought"
		case flow.OnHand:
			x.Source = "on hand"
		default:
			x.Source = s.week.Graph.Steps[o.step].Name
		}
		if h.last != left {
			x.Until = new(date(h.last))
		}
		var spoil *string
		if keeps := s.week.Terms.Keeps[o.item]; keeps > 0 {
			spoil = new(date(o.made + keeps - 1))
		}
		add := func(amount float64, binned *string) {
			if amount < plan.Crumb*it.Unit.Factor {
				return
			}
			x.Amount, x.Cost, x.Binned, x.usable = amount/it.Unit.Factor, amount*s.costing.Unit[o.item], binned, amount
			if o.day < 0 { // it was stale before the first day
				x.usable = 0
			}
			list = append(list, x)
		}
		if x.Left {
			spoils := min(h.amount, later[o])
			add(spoils, spoil)
			add(h.amount-spoils, nil)
		} else {
			add(h.amount, new(date(o.day)))
		}
	}
	slices.SortStableFunc(list, func(a, b Surplus) int {
		return cmp.Or(cmp.Compare(a.day, b.day), cmp.Compare(orLater(a.Binned), orLater(b.Binned)),
			cmp.Compare(a.item, b.item), cmp.Compare(a.made, b.made), cmp.Compare(a.from, b.from), cmp.Compare(a.step, b.step))
	})
	s.count(list)
	list = slices.DeleteFunc(list, func(x Surplus) bool { return x.from == flow.Delivered && x.Left && x.Binned == nil }) // the rest of a pack is no surplus
	return s.leavePar(list)
}

// count values what is left as far as it counts: what the days after use or keep first, then of what spoils the last made.
func (s *scout) count(list []Surplus) {
	counted := make([]float64, len(s.week.Graph.Items)) // by item: base units
	for _, spoils := range []bool{false, true} {
		for k := range slices.Backward(list) {
			x := &list[k]
			if !x.Left || (x.Binned != nil) != spoils {
				continue
			}
			before := counted[x.item]
			counted[x.item] += x.Amount * s.week.Graph.Items[x.item].Unit.Factor
			all, unit := s.worth.Left(s.week.Case.Flow, x.item, s.base), s.worth.Unit(s.week.Case.Flow, x.item)
			x.Value = min(counted[x.item]*unit, all) - min(before*unit, all)
		}
	}
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

// uses says what of the surplus is gone when the week is played with an offer of a dish. Of one lot, what would be binned goes
// first.
func (s *scout) uses(dish int, c flow.Case) []Use {
	reached := s.trunk.Sharers(s.week.Kitchen.Dishes[dish].Item)
	reaches := func(item int) bool {
		r := s.trunk.RegionOf(item)
		return r < 0 || slices.Contains(reached, r)
	}
	gone := map[origin]float64{}
	for _, x := range s.surplus {
		if reaches(x.item) {
			gone[x.origin] += x.Amount * s.week.Graph.Items[x.item].Unit.Factor
		}
	}
	rec := &flow.Record{Movements: true}
	s.player.Fork(s.trunk, c, rec)
	for _, h := range heaps(s.week, rec, nil) {
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
