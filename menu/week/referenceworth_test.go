package week_test

// What is on hand is worth, by what package week says under Worth, and what it changes by over the days.

import (
	"cmp"
	"math"
	"slices"
	"time"

	"kettletree/graph"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// plainWorth is by item.
type plainWorth struct {
	unit   []float64 // lower of worth and cost
	most   []number  // of what is left, as much counts
	opened []number  // ... of what is on hand at first, or in a pot
	lay    []number  // on hand at first, in no pot
	lying  []number  // of that, as much counts at the end
}

// behind are the days with those behind them: a week, and as many more as it takes until the house was open as often as in its usual week.
func behind(k *kitchen.Kitchen, p week.Period) week.Period {
	date := func(day int) time.Time { return p.From.AddDate(0, 0, day) }
	usual, open, days := 0, 0, p.Days
	for weekday := range 7 {
		if len(k.Standing(weekday)) > 0 {
			usual++
		}
	}
	for ; days < week.MostDays && (days < p.Days+7 || open < usual); days++ {
		if len(k.MealsOn(date(days))) > 0 {
			open++
		}
	}
	p.Days = days
	return p
}

// diary plays the days and tells what is taken of each item on each.
func (s *plain) diary() (taken [][]number) {
	sofar := nothing(len(s.Graph.Items))
	for range sofar {
		taken = append(taken, nothing(s.days))
	}
	told := *s
	told.after = func(w *walk) {
		is := nothing(len(sofar))
		for p, lines := range w.out.used {
			for l, amounts := range lines {
				for c, amount := range amounts {
					sumTo(&is[s.Graph.Steps[p].Takes[l].Choices[c].Item], amount)
				}
			}
		}
		for n, amounts := range w.out.putIn {
			for k, amount := range amounts {
				sumTo(&is[s.pots[n].takes[k].item], amount)
			}
		}
		for i := range is {
			if day := w.now / 1440; day < s.days {
				sumTo(&taken[i][day], minus(is[i], sofar[i]))
			}
			sofar[i] = is[i]
		}
	}
	told.play()
	return taken
}

// worth values what is on hand by the usual week, with the days behind it.
func (s *plain) worth(long *plain) *plainWorth {
	fair := *s
	fair.rankFirst = false
	standing, taken, items := fair.play(), long.diary(), len(s.Graph.Items)
	through := func(item, from, until int) number { // taken from one day until another
		sum := whole(0)
		for day := from; day <= min(until, long.days-1); day++ {
			sumTo(&sum, taken[item][day])
		}
		return sum
	}
	counted := func(lots []plainLot, from int) []number { // lots that are there when a day begins
		counts := nothing(items)
		for _, lot := range slices.SortedStableFunc(slices.Values(lots), func(a, b plainLot) int { return cmp.Compare(a.made, b.made) }) {
			all := plus(counts[lot.item], lot.amount)
			keeps := s.Terms.Keeps[lot.item]
			if until := lot.made + keeps - 1; keeps > 0 && until < long.days {
				all = lesser(all, through(lot.item, from, until))
			}
			counts[lot.item] = greater(counts[lot.item], all)
		}
		return counts
	}
	potted := slices.Clone(s.onHand)
	freshest := slices.Repeat([]int{s.days - 1}, items)
	for _, pot := range s.pots {
		for _, part := range pot.gives {
			potted = append(potted, plainLot{part.item, part.amount, max(part.minute, s.from) / 1440})
			freshest[part.item] = max(freshest[part.item], (part.minute+pot.late)/1440)
		}
	}
	for r, run := range s.runs {
		for _, out := range s.Graph.Steps[run.step].Gives {
			if run.day < s.days {
				freshest[out.Item] = max(freshest[out.Item], (standing.runs[r].start+out.OutAt)/1440)
			}
		}
	}
	v := &plainWorth{unit: make([]float64, items), most: nothing(items), opened: counted(potted, 0), lay: nothing(items), lying: counted(s.onHand, s.days)}
	for _, lot := range s.onHand {
		sumTo(&v.lay[lot.item], lot.amount)
	}
	for i, cost := range s.costs(s.price, standing) {
		v.unit[i] = max(cost, 0)
		if worth := s.Terms.Worth[i]; !math.IsNaN(worth) {
			v.unit[i] = min(v.unit[i], worth)
		}
		until := long.days - 1
		if keeps := s.Terms.Keeps[i]; keeps > 0 {
			until = min(until, freshest[i]+keeps-1)
		}
		takes, more := through(i, s.days, until), whole(0)
		toOrder := slices.ContainsFunc(s.Graph.Steps, func(st graph.Step) bool {
			return st.Mode == graph.ToOrder && slices.ContainsFunc(st.Gives, func(o graph.Output) bool { return o.Item == i })
		})
		switch {
		case i < len(s.Bought) && s.Bought[i].Pack > 0:
			more = times(exact(0.9), exact(s.Bought[i].Pack))
		case i < len(s.Bought) || toOrder:
			more = takes
		}
		if v.most[i] = plus(greater(v.opened[i], standing.left[i]), more); until < long.days-1 {
			v.most[i] = lesser(v.most[i], takes)
		}
	}
	return v
}

// change is what the inventory changes by over the days, with what all of it together is worth at both ends.
func (v *plainWorth) change(s *plain, o *plainOutcome, price []float64) (more, all float64) {
	came := nothing(len(v.unit))
	for _, pot := range s.pots {
		for _, part := range pot.gives {
			sumTo(&came[part.item], part.amount)
		}
	}
	for _, d := range o.deliveries {
		sumTo(&came[d.item], d.amount)
	}
	for i, it := range s.Graph.Items {
		if it.Role == graph.Sold {
			continue
		}
		unit := v.unit[i]
		if it.Role == graph.Bought {
			unit = min(unit, price[i])
		}
		since := greater(plus(came[i], o.made[i]), whole(0))
		left := lesser(lesser(o.left[i], v.most[i]), plus(since, v.lying[i]))
		more += float(minus(left, v.opened[i])) * unit
		all += float(plus(left, v.opened[i])) * unit
	}
	return more, all
}
