package menu

// What the loss of a batch does, once it is written down.

import (
	"slices"
	"time"

	"kettletree/graph/flow"
	"kettletree/menu/week"
)

// justLost is for how long after a loss was written the week of the minute before it tells what it costs: later, too much has happened
// since. Common practice, no source.
const justLost = 6 * time.Hour

// BeforeLosses is the week in which losses that are asked about, and are written down already, are not known: that of the minute before
// the first of them, where that was just now, for what was to be served is bought and counted by it; else this one, with the batches
// as if nothing had happened. Where none is written down, it is the week itself. The shocks come back with those marked that are written
// down. Then opens the kitchen at another moment; nil where the week stands for a day that was asked for.
func BeforeLosses(w *week.Week, shocks []week.Shock, now time.Time, then func(time.Time) (*week.Week, error)) (*week.Week, []week.Shock, error) {
	// Which of them are written down.
	marked := slices.Clone(shocks)
	asked := func(step, day int) (is bool) {
		for i, s := range shocks {
			if slices.ContainsFunc(s.Changes, func(c flow.Shock) bool {
				lose, ok := c.(flow.Lose)
				return ok && lose.Step == step && (lose.Day == day || lose.Day == flow.EveryDay)
			}) {
				is, marked[i].Written = true, w.Now
			}
		}
		return is
	}
	s := *w.Case.Schedule
	s.Batches, s.Pots = slices.Clone(s.Batches), slices.Clone(s.Pots)
	known := map[flow.Lose]bool{}
	for i := range s.Batches {
		if b := &s.Batches[i]; b.Lost > 0 && asked(b.Step, b.Day) {
			known[flow.Lose{Step: b.Step, Day: b.Day}], b.Lost = true, 0
		}
	}
	for i := range s.Pots {
		if p := &s.Pots[i]; p.Lost > 0 && asked(p.Step, p.Day) {
			known[flow.Lose{Step: p.Step, Day: p.Day}], p.Lost = true, 0
		}
	}
	if len(known) == 0 {
		return w, shocks, nil
	}

	// The minute before the first of them.
	first := time.Time{}
	for _, h := range w.Happened {
		of := flow.Lose{Step: h.Step, Day: int(h.Day.Sub(w.From).Hours() / 24)}
		if h.What == week.Lost && known[of] && now.Sub(h.At) <= justLost && (first.IsZero() || h.At.Before(first)) {
			first = h.At
		}
	}
	if !first.IsZero() && then != nil {
		if was, err := then(first.Add(-time.Minute)); err == nil && was != nil && was.From.Equal(w.From) {
			return was, marked, nil
		}
	}
	return w.With(flow.Case{Flow: w.Case.Flow, Schedule: &s}), marked, nil
}
