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

// DaysOff warns of batches that must be seen to on a date on which, by way of exception, nobody works. What the standing week
// has of that, the kitchen file is told of when it is read.
func (w *Week) DaysOff() (list kitchen.Diagnostics) {
	for _, b := range w.Case.Schedule.Batches {
		if b.Size == 0 || b.Day >= w.Days {
			continue
		}
		at, alone := w.Unattended(b.Step, b.Day, b.Start)
		date := w.DateOn(w.Date(dayOf(at)))
		if !alone || date == nil {
			continue
		}
		name := w.Graph.Steps[b.Step].Name
		list = append(list, kitchen.Diagnostic{Pos: w.StepPos[b.Step].Pos, Severity: kitchen.Warning, ID: "nobody-works",
			Msg: fmt.Sprintf("%s must be seen to at %s, when nobody works", w.OfDay(b.Day, name), w.Moment(at)),
			Hint: fmt.Sprintf(`leave it out, plan --batches "%s@%s=0", or say "works: yes" of the day`, name,
				w.Date(b.Day).Format(kitchen.DateLayout)),
			Notes: []kitchen.Note{{Pos: date.Pos, Msg: "the day stands here"}}})
	}
	return list
}
