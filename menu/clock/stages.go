package clock

// The stages of a batch at which an act is due, as minutes after it begins.

import (
	"slices"

	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
)

// stagesOf are the minutes of a work at which something is done.
func (d *day) stagesOf(i int) (minutes []int) {
	w := &d.night.works[i]
	minutes = append(w.moments(kitchen.AtPutIn), w.moments(kitchen.AtTakeOut)...)
	for _, a := range d.Acts(w.step) {
		if a.When == kitchen.AtMinute {
			minutes = append(minutes, a.At)
		}
	}
	for _, c := range d.coolings(i) {
		minutes = append(minutes, c.set)
	}
	minutes = append(minutes, 0, w.length)
	slices.Sort(minutes)
	return slices.Compact(minutes)
}

// moments are the minutes of a work at which something goes in after its start, or comes out.
func (w *work) moments(when kitchen.When) (minutes []int) {
	for _, x := range w.takes {
		switch {
		case when == kitchen.AtPutIn && x.in > 0:
			minutes = append(minutes, x.in)
		case when == kitchen.AtTakeOut && x.out > 0:
			minutes = append(minutes, x.out)
		}
	}
	for _, x := range w.gives {
		if when == kitchen.AtTakeOut && x.amount > 0 {
			minutes = append(minutes, x.out)
		}
	}
	slices.Sort(minutes)
	return slices.Compact(minutes)
}

// firstOut is when the first of what a work gives is out.
func (w *work) firstOut() int {
	first := w.length
	for _, g := range w.gives {
		if g.amount > 0 {
			first = min(first, g.out)
		}
	}
	return first
}

// doneTo tells whether an act on what has come out is done to something that a work gives: pieces are portioned, sliced, packed and wrapped,
// a liquid only where nothing else comes out.
func (t *table) doneTo(i int, a kitchen.Act, item int) bool {
	w := &t.night.works[i]
	liquid := func(item int) bool { return t.QuantityOn(w.step, item, 1).Unit.Kind == measure.Volume }
	return !a.OfPieces() || !liquid(item) || !slices.ContainsFunc(w.gives, func(g give) bool { return g.amount > 0 && !liquid(g.item) })
}

// endFor is when the last is out to which an act at the end is done.
func (t *table) endFor(i int, a kitchen.Act) int {
	w, end := &t.night.works[i], -1
	for _, g := range w.gives {
		if g.amount > 0 && t.doneTo(i, a, g.item) {
			end = max(end, g.out)
		}
	}
	if end < 0 || !a.OfPieces() {
		return w.length
	}
	return end
}
