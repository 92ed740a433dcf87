package week

// When what is bought elsewhere can be there.

import "kettletree/menu/kitchen"

// ComesOn tells whether a supplier brings an item, or it can be fetched there, on a day.
func (w *Week) ComesOn(day int, s kitchen.Source) bool {
	return s.Arrives[w.Weekday(day)] && w.WorksOn(w.Date(day))
}

// OrderBy is the minute by which what a supplier brings on a day must be ordered: the day's midnight where the file does not say.
func (w *Week) OrderBy(day int, supplier string) int {
	if s := w.SupplierNamed(supplier); s != nil && s.OrderBy != nil {
		return s.OrderBy.Before(day)
	}
	return day * 1440
}

// InTime tells whether what a supplier brings on a day can still be ordered at a minute.
func (w *Week) InTime(day int, s kitchen.Source, minute int) bool {
	return w.OrderBy(day, s.From) >= minute && day*1440 > minute
}

// Earliest is the first minute at which an item that is asked for at a minute can be there; ok is false when it can't within the
// period.
func (w *Week) Earliest(s kitchen.Source, asked int) (minute int, ok bool) {
	if s.Within > 0 {
		at := asked + s.Within
		for day := dayOf(at); day < w.Days; day++ {
			if w.ComesOn(day, s) {
				return max(at, day*1440), true
			}
		}
		return 0, false
	}
	for day := max(dayOf(asked), 0); day < w.Days; day++ {
		if w.ComesOn(day, s) && w.InTime(day, s, asked) {
			return day * 1440, true
		}
	}
	return 0, false
}

// OrdersFrom is, by item, the first day for which its usual supplier still takes an order at a minute, by when the file says that
// it wants one; 0 where the file does not say.
func (w *Week) OrdersFrom(minute int) []int {
	days := make([]int, len(w.Graph.Items))
	for i := range w.Bought {
		if s := w.SupplierNamed(w.Bought[i].From); s == nil || s.OrderBy == nil {
			continue
		}
		for day := max(dayOf(minute), 0); w.OrderBy(day, w.Bought[i].From) < minute; day++ {
			days[i] = day + 1
		}
	}
	return days
}
