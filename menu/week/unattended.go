package week

// Work that would have to be seen to on a day on which nobody works.

import (
	"fmt"
	"slices"

	"kettletree/graph/flow"
	"kettletree/menu/kitchen"
)

// Unattended is the first minute at which something goes into or comes out of a batch that begins at a minute of a day, and
// nobody works; ok is false when there is none. A batch without a clock is done on its day.
func (w *Week) Unattended(step, day, start int) (minute int, ok bool) {
	if start == flow.Untimed {
		return day * 1440, !w.WorksOn(w.Date(day))
	}
	st := w.Graph.Steps[step]
	minutes := []int{0, st.Length()}
	for _, line := range st.Takes {
		minutes = append(minutes, line.InAt, line.OutAt)
	}
	for _, out := range st.Gives {
		minutes = append(minutes, out.OutAt)
	}
	slices.Sort(minutes)
	for _, m := range minutes {
		if at := day*1440 + start + m; !w.WorksOn(w.Date(dayOf(at))) {
			return at, true
		}
	}
	return 0, false
}

// DaysOff tells of batches that must be seen to on a date on which, by way of exception, nobody works, and how to leave them out.
// What the standing week has of that, is said when the kitchen file is read.
func (w *Week) DaysOff() (notes []string) {
	for _, b := range w.Case.Schedule.Batches {
		if b.Size == 0 || b.Day >= w.Days {
			continue
		}
		if at, alone := w.Unattended(b.Step, b.Day, b.Start); alone && w.DateOn(w.Date(dayOf(at))) != nil {
			name := w.Graph.Steps[b.Step].Name
			notes = append(notes, fmt.Sprintf(`%s must be seen to at %s, when nobody works; plan --keep --batches "%s@%s=0" leaves it out`,
				w.OfDay(b.Day, name), w.Moment(at), name, w.Date(b.Day).Format(kitchen.DateLayout)))
		}
	}
	return notes
}
