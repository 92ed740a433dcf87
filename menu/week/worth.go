package week

// What is on hand is worth, and what a week earns by it.

import (
	"cmp"
	"math"
	"slices"

	"kettletree/graph"
	"kettletree/graph/flow"
)

// behind is how many days behind a period are looked at, to see what becomes of what it leaves, where none of them is closed
// by way of exception.
const behind = 7

// Behind is how many days behind the period are looked at, to see what becomes of what it leaves: a week, and as many more as it
// takes until the house was open on as many days as in the standing week.
func (w *Week) Behind() (days int) {
	open := 0 // days that are still to come
	for weekday := range 7 {
		if len(w.Standing(weekday)) > 0 {
			open++
		}
	}
	for ; (days < behind || open > 0) && w.Days+days < MostDays; days++ {
		if w.OpenDay(w.Days + days) {
			open--
		}
	}
	return days
}

// rest is how much of a pack counts when it is left over: a little less than all, so that no pack is bought for the shelf.
const rest = 0.9

// Worth says what is on hand is worth: see the package. It never changes.
type Worth struct {
	items  []graph.Item
	unit   []float64 // by item: what one base unit counts
	most   []float64 // by item: how many base units of what is left count
	opened []float64 // by item: how many base units of what is on hand at first, or in a pot, count
	lay    []float64 // by item: base units on hand at first, in no pot
	held   []float64 // by item: how many of those count
	lying  []float64 // by item: how many of those count that are still there when the period ends
}

// Books is what an outcome earned and spent.
type Books struct {
	Portions     float64
	Sales        float64 // portions at their price
	Bought       float64 // deliveries at theirs
	Labour       float64 // what batches cost: labour and fuel
	Disposal     float64 // to have taken away what was binned and lost
	Stock        float64 // change in inventory: what is on hand at the end, less what was at first
	Contribution float64 // Sales - Bought - Labour - Disposal + Stock
}

// Spent is all that was paid for.
func (b Books) Spent() float64 { return b.Bought + b.Labour + b.Disposal }

// Worth is by what is on hand is valued, whatever happens in the week.
func (w *Week) Worth() (*Worth, error) { return w.standing.worth() }

// Unit is what one base unit of an item on hand counts in a flow, as far as it counts: the lower of worth and cost. What is
// bought for less now is worth no more than that.
func (v *Worth) Unit(f *flow.Flow, item int) float64 {
	if v.items[item].Role == graph.Bought {
		return min(v.unit[item], f.Price(item))
	}
	return v.unit[item]
}

// Counts is how many base units at most count of what is left of an item.
func (v *Worth) Counts(item int) float64 { return v.most[item] }

// Lying is how many base units at most count, when the period ends, of what was on hand of an item at first.
func (v *Worth) Lying(item int) float64 { return v.lying[item] }

// Left is what is left of an item is worth when a period ends with it. What was on hand at first is used before what has come since,
// so of what is left only what exceeds that was there at first.
func (v *Worth) Left(f *flow.Flow, item int, o *flow.Outcome) float64 {
	since := o.Opening[item] - v.lay[item] + o.Made[item] + o.Delivered(item)
	return min(o.Left[item], v.most[item], max(since, 0)+v.lying[item]) * v.Unit(f, item)
}

// Fresh is what so much of an item is worth when a period ends with it, if it is as fresh as can be.
func (v *Worth) Fresh(f *flow.Flow, item int, amount float64) float64 {
	return min(amount, v.most[item]) * v.Unit(f, item)
}

// Opening is what was on hand of an item, or in a pot, is worth when the period begins with it.
func (v *Worth) Opening(f *flow.Flow, item int) float64 { return v.opened[item] * v.Unit(f, item) }

// OnHand is what is on hand of an item, and in no pot, is worth when the period begins.
func (v *Worth) OnHand(f *flow.Flow, item int) float64 { return v.held[item] * v.Unit(f, item) }

// Disposal is what it costs to have one base unit of an item taken away.
func (v *Worth) Disposal(f *flow.Flow, item int) float64 {
	grams, _ := v.items[item].Grams(1)
	return grams * f.Terms().Disposal
}

// Books adds up the money of what a case came to. All that asks what a week earns goes by it.
func (v *Worth) Books(c flow.Case, o *flow.Outcome) (b Books) {
	terms, wants := c.Flow.Terms(), c.Schedule.Wants
	for at, portions := range o.Served {
		b.Portions += portions
		b.Sales += portions * terms.Price[wants[at%len(wants)].Item]
	}
	for _, d := range o.Deliveries {
		b.Bought += d.Amount * terms.Price[d.Item]
	}
	for _, d := range c.Schedule.Deliveries {
		if d.Price > 0 { // it comes from elsewhere
			b.Bought += d.Amount * (d.Price - terms.Price[d.Item])
		}
	}
	for step, batches := range o.Batches {
		b.Labour += batches * terms.Cost[step]
	}
	for i, it := range v.items {
		if it.Role != graph.Sold {
			b.Disposal += (o.Binned[i] + o.Lost[i]) * v.Disposal(c.Flow, i)
			b.Stock += v.Left(c.Flow, i, o) - v.Opening(c.Flow, i)
		}
	}
	b.Contribution = b.Sales - b.Spent() + b.Stock
	return b
}

// restands is the week after a change that is known for good: what is on hand is valued by the prices and the amounts as
// they are now.
func (w *Week) restands() *Week {
	was, now := w.standing.Case, w.Case
	if was.Flow == now.Flow && slices.Equal(was.Schedule.OnHand, now.Schedule.OnHand) {
		return w
	}
	s := *was.Schedule
	s.OnHand, s.Pots = now.Schedule.OnHand, now.Schedule.Pots
	w.standing = w.standing.With(flow.Case{Flow: now.Flow, Schedule: &s})
	w.standing.stands()
	return w
}

// value values what is on hand by the standing week: its costs, and what the days behind it take.
func (w *Week) value() (*Worth, error) {
	w = w.By(Fair)
	c, items := w.Case, w.Graph.Items
	o := w.Player().Play(c, nil)
	costing, err := c.Flow.Cost(o)
	if err != nil {
		return nil, w.Named(err)
	}
	long, err := w.Longer(w.Behind())
	if err != nil {
		return nil, err
	}
	rec := &flow.Record{Movements: true}
	long.Player().Play(long.Case, rec)
	through := make([][]float64, len(items)) // by item and day: what is taken of it up to the end of the day
	for i := range through {
		through[i] = make([]float64, long.Days)
	}
	for _, e := range rec.Entries {
		if day := e.At / 1440; e.What == flow.Took && day < long.Days {
			through[e.Item][day] += e.Amount
		}
	}
	for _, days := range through {
		for d := range days[1:] {
			days[d+1] += days[d]
		}
	}

	terms, fresh, lots := c.Flow.Terms(), w.freshest(o), c.Schedule.OnHand
	v := &Worth{items: items, unit: make([]float64, len(items)), most: make([]float64, len(items)), lay: make([]float64, len(items)),
		opened: w.counted(w.inPots(lots), through, -1), held: w.counted(lots, through, -1), lying: w.counted(lots, through, w.Days-1)}
	for _, l := range lots {
		v.lay[l.Item] += l.Amount
	}
	for i, more := range w.more() {
		unit := max(costing.Unit[i], 0)
		if worth := terms.Worth[i]; !math.IsNaN(worth) {
			unit = min(unit, worth)
		}
		if items[i].Role != graph.Sold && !math.IsNaN(unit) && !math.IsInf(unit, 0) {
			v.unit[i] = unit
		}
		keeps, until := terms.Keeps[i], long.Days-1
		if keeps > 0 {
			until = max(min(until, fresh[i]+keeps-1), w.Days-1)
		}
		takes := through[i][until] - through[i][w.Days-1]
		if math.IsInf(more, 1) {
			more = takes
		}
		if v.most[i] = max(v.opened[i], o.Left[i]) + more; until < long.Days-1 {
			v.most[i] = min(v.most[i], takes)
		}
	}
	return v, nil
}

// more is, by item, how much of it is of use beyond what the standing week leaves: of a pack nine tenths, and any amount,
// +Inf, of what is only bought or made as it is needed. Nothing of what is made on set days, whatever is left.
func (w *Week) more() []float64 {
	list := make([]float64, len(w.Graph.Items))
	for i, b := range w.Bought {
		if list[i] = math.Inf(1); b.Pack > 0 {
			list[i] = rest * b.Pack
		}
	}
	for _, st := range w.Graph.Steps {
		for _, out := range st.Gives {
			if st.Mode == graph.ToOrder {
				list[out.Item] = math.Inf(1)
			}
		}
	}
	return list
}

// freshest is, by item, the last day on which some of it can be made that counts as left: the period's last, or that on
// which a batch comes out that was lit by then.
func (w *Week) freshest(o *flow.Outcome) []int {
	days := slices.Repeat([]int{w.Days - 1}, len(w.Graph.Items))
	for _, pot := range w.Case.Schedule.Pots {
		for _, g := range pot.Gives {
			days[g.Item] = max(days[g.Item], (g.Minute+pot.Late)/1440)
		}
	}
	for r, b := range w.Case.Schedule.Batches {
		if b.Day >= w.Days {
			continue
		}
		for _, out := range w.Graph.Steps[b.Step].Gives {
			days[out.Item] = max(days[out.Item], (o.Ran[r].Start+out.OutAt)/1440)
		}
	}
	return days
}

// inPots is what is on hand with what is in pots that will give it.
func (w *Week) inPots(onHand []flow.Lot) []flow.Lot {
	lots := slices.Clone(onHand)
	for _, pot := range w.Case.Schedule.Pots {
		for _, g := range pot.Gives {
			lots = append(lots, flow.Lot{Item: g.Item, Amount: g.Amount, Made: max(g.Minute, w.Case.Schedule.From) / 1440})
		}
	}
	return lots
}

// counted is, by item, how much counts of lots that are there when a day has ended, -1 for the beginning: all that keeps beyond the days
// that are looked at, and of what does not, as much as is taken from then on before its date.
func (w *Week) counted(lots []flow.Lot, through [][]float64, ended int) []float64 {
	counts := make([]float64, len(w.Graph.Items))
	lots = slices.Clone(lots)
	slices.SortStableFunc(lots, func(a, b flow.Lot) int { return cmp.Compare(a.Made, b.Made) })
	for _, l := range lots {
		most, keeps := math.Inf(1), w.Case.Flow.Terms().Keeps[l.Item]
		switch until := l.Made + keeps - 1; {
		case keeps == 0 || until >= len(through[l.Item]):
		case until <= ended:
			most = 0
		default:
			if most = through[l.Item][until]; ended >= 0 {
				most -= through[l.Item][ended]
			}
		}
		counts[l.Item] = max(counts[l.Item], min(counts[l.Item]+l.Amount, most))
	}
	return counts
}
