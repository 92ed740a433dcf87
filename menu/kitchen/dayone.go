package kitchen

// Day 1 of a lot: what it begins with, what a step passes on, and until when it lets the lot be used. Days are numbers, counted from
// whatever day the caller counts from.

import (
	"slices"

	"kettletree/graph"
	"kettletree/graph/flow"
)

// DayOnes are the rules for the day 1 of lots.
type DayOnes struct {
	k      *Kitchen
	chains []Chain
	dated  []bool // by item
	own    []bool // by item: no code dates it, so the kitchen's days do
	nights []int  // by item: see [Kitchen.Nights]
}

// DayOnes are the rules of the kitchen.
func (k *Kitchen) DayOnes() *DayOnes {
	r := &DayOnes{k: k, chains: k.Chains(), dated: make([]bool, len(k.Graph.Items)), own: make([]bool, len(k.Graph.Items)), nights: make([]int, len(k.Graph.Items))}
	for i := range r.dated {
		r.dated[i] = k.Graph.Items[i].Role == graph.Made && k.Dated(i) // of what is bought, nobody knows when its pack is opened
		r.own[i] = k.Graph.Items[i].Role == graph.Made && k.OwnDated(i)
		r.nights[i] = k.Nights(i)
	}
	return r
}

// Own is [Kitchen.OwnDayOne].
func (r *DayOnes) Own(item, day int) flow.Since { return r.k.begun(item, day-r.nights[item]) }

// OwnDayOne is the day 1 of what is made on a day, before it is known what is in it: that day when it is ready food, or the day on which
// it was off the heat if it set or steeped past midnight; and none while it is raw.
func (k *Kitchen) OwnDayOne(item, day int) flow.Since { return k.begun(item, day-k.Nights(item)) }

func (k *Kitchen) begun(item, day int) (s flow.Since) {
	if k.Graph.Items[item].Role != graph.Made {
		return s
	}
	if !k.Raw[item] {
		s.Known, s.Day, s.Item = true, day, item
	}
	if len(k.InOil[item]) > 0 {
		s.Oiled, s.Oil, s.Oily = true, day, item
	}
	return s
}

// Nights are the midnights between when an item is off the heat and when it is out, by the card; of several steps that give it, the most.
// The day of preparation is day 1 (3-501.17(A)): what is cooked in the evening and sets or steeps until the morning is ready food from
// the evening on, which is the prudent reading.
func (k *Kitchen) Nights(item int) (nights int) {
	for s, card := range k.Steps {
		if card.OffHeat == 0 || card.Starts == flow.Untimed || k.Graph.Steps[s].Mode != graph.OnDays {
			continue
		}
		for _, o := range k.Graph.Steps[s].Gives {
			if o.Item == item {
				nights = max(nights, (card.Starts+o.OutAt)/1440-(card.Starts+card.CoolsFrom(o.OutAt))/1440)
			}
		}
	}
	return nights
}

// Begun is the day 1 of what a step makes of an item on a day: the earliest that anything ready in it carries, whether it was heated
// again or not, or else its own (3-501.17(A), (C)); and the earliest day in oil of what lay in oil.
func (r *DayOnes) Begun(item, day int, went flow.Since) flow.Since {
	return r.Own(item, day).Or(went)
}

// Brought is the day 1 that a lot brings to what a step makes of it on a day; the step is -1 where none is known. Of the days that it
// lay frozen none counts, but that on which it was frozen does, and that on which it thaws. What lay in oil brings the day since when,
// with a date mark of its own or without.
func (r *DayOnes) Brought(step, item int, lot flow.Since, made, on int) flow.Since {
	k := r.k
	if k.Graph.Items[item].Role != graph.Made {
		return flow.Since{}
	}
	only := flow.Since{Oiled: lot.Oiled, Oil: lot.Oil, Oily: lot.Oily, OilIce: lot.OilIce}
	if k.Undated[item] {
		lot = only
	}
	if step >= 0 {
		takes, carries := false, false
		for _, l := range k.Graph.Steps[step].Takes {
			if slices.ContainsFunc(l.Choices, func(c graph.Choice) bool { return c.Item == item }) {
				takes, carries = true, carries || k.Carries(step, l, item)
			}
		}
		if takes && !carries {
			lot = only
		}
	}
	if k.Frozen[item] {
		lot = lot.Frozen(made+1, on-1)
	}
	return lot
}

// Dated tells whether the date mark of the code binds an item.
func (r *DayOnes) Dated(item int) bool { return r.dated[item] }

// Ever tells whether an item carries the day 1 of a first batch that is not on record.
func (r *DayOnes) Ever(item int) bool { return (r.dated[item] || r.own[item]) && r.chains[item].Ever }

// ByCode is the last day by the code's date mark of a lot that was made on a day; ok is false where it sets none.
func (r *DayOnes) ByCode(item, made int, lot flow.Since) (last int, ok bool) {
	if !r.dated[item] || r.k.Frozen[item] || r.chains[item].Ever {
		return 0, false
	}
	if !lot.Known {
		lot.Day = made // raw food that is served raw
	}
	return lot.Day + r.k.Code.Keeps - 1, true
}

// ByKitchen is, where the code sets no days, the last day that a lot carries: the kitchen's own days of what is the oldest in it, counted
// from the day 1 of that. What is made of it on the way is kept no longer, whatever its own keeping. ok is false where none is carried.
func (r *DayOnes) ByKitchen(item, made int, lot flow.Since) (last, days int, ok bool) {
	if !r.own[item] || r.k.Frozen[item] || r.chains[item].Ever || !lot.Known || lot.Item == item && lot.Day >= made-r.nights[item] {
		return 0, 0, false
	}
	days = r.k.daysFrom(lot.Item, item)
	return lot.Day + days - 1, days, days > 0
}

// Carried is how many days the kitchen lets what a lot carries lie, where the code sets none; 0 where it carries none.
func (r *DayOnes) Carried(item int, lot flow.Since) int {
	if !r.own[item] || r.chains[item].Ever || !lot.Known || lot.Item == item {
		return 0
	}
	return r.k.daysFrom(lot.Item, item)
}

// InOil is the last day of a lot that lies in oil: [InOilDays] from the earliest day on which anything in it did, be it taken from one
// oil into the next; ok is false where it does not, or is frozen.
func (r *DayOnes) InOil(item, made int, lot flow.Since) (last int, ok bool) {
	if len(r.k.InOil[item]) == 0 || r.k.Frozen[item] || r.k.Graph.Items[item].Role != graph.Made {
		return 0, false
	}
	if lot.Oiled {
		made = min(made, lot.Oil)
	}
	return made + InOilDays - 1, true
}

// bound is the last day that not the lot's own keeping sets: by the code's date mark or, where it sets none, by what is the oldest in it, or in oil.
func (r *DayOnes) bound(item, made int, lot flow.Since) (last int, ok bool) {
	if last, ok = r.ByCode(item, made, lot); !ok {
		last, _, ok = r.ByKitchen(item, made, lot)
	}
	if oil, in := r.InOil(item, made, lot); in && (!ok || oil < last) {
		return oil, true
	}
	return last, ok
}

// Bound is a lot on hand that is binned when the code's days end, or those in oil, where that is before its keeping ends; ok is false
// where they ended before a day.
func (r *DayOnes) Bound(l flow.Lot, day int) (bound flow.Lot, ok bool) {
	last, binds := r.bound(l.Item, l.Made, l.Since)
	if !binds {
		return l, true
	}
	if keeps := r.k.Terms.Keeps[l.Item]; keeps > 0 && (l.Since.Known || l.Since.Oiled) && l.Made+keeps-1 > last {
		l.Aged = l.Made + keeps - 1 - last
		l.Made -= l.Aged
	}
	return l, last >= day
}

// Last is the last day on which a lot may be used, by the kitchen's own keeping, by the code and in oil, whichever ends first; ok is
// false where none says.
func (r *DayOnes) Last(item, made int, lot flow.Since) (last int, ok bool) {
	last, ok = r.bound(item, made, lot)
	if keeps := r.k.Terms.Keeps[item]; keeps > 0 && !r.Ever(item) && (!ok || made+keeps-1 < last) {
		return made + keeps - 1, true
	}
	return last, ok
}
