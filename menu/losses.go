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
	known, unlit := map[flow.Lose]bool{}, map[[2]int]bool{}
	for i := range s.Batches {
		if b := &s.Batches[i]; b.Lost > 0 && asked(b.Step, b.Day) {
			known[flow.Lose{Step: b.Step, Day: b.Day}], unlit[[2]int{b.Step, b.Day}] = true, b.Unlit
			b.Lost, b.Unlit = 0, false
		}
	}
	for i := range s.Pots {
		if p := &s.Pots[i]; p.Lost > 0 && asked(p.Step, p.Day) {
			known[flow.Lose{Step: p.Step, Day: p.Day}], p.Lost = true, 0
			unlit[[2]int{p.Step, p.Day}] = !slices.ContainsFunc(p.Gives, func(g flow.PotLine) bool { return g.Amount > 0 }) // nothing is in it
		}
	}
	if len(known) == 0 {
		return w, shocks, nil
	}

	for i := range marked { // what nobody lights takes nothing in this week either, and for a later day nothing is ordered for it
		marked[i].Changes = slices.Clone(marked[i].Changes)
		for n, c := range marked[i].Changes {
			if lose, ok := c.(flow.Lose); ok && unlit[[2]int{lose.Step, lose.Day}] {
				lose.Unlit = true
				if marked[i].Changes[n] = lose; lose.Day > w.Now/1440 {
					marked[i] = marked[i].Ordered()
				}
			}
		}
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
