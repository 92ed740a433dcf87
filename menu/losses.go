package menu

// What the loss of a batch does, once it is written down.

import (
	"cmp"
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
// as if nothing had happened. A batch of which nothing is to come any longer, or that could not begin, is out as soon as it could be.
// Where none is written down, it is the week itself. The shocks come back with those marked that are written
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
			known[flow.Lose{Step: p.Step, Day: p.Day}] = true
			restore(w, p, p.Lost)
			p.Lost = 0
			unlit[[2]int{p.Step, p.Day}] = !slices.ContainsFunc(p.Gives, func(g flow.PotLine) bool { return g.Amount > 0 }) // nothing is in it
		}
	}
	over := missed(w, asked)
	s.Pots = append(s.Pots, over...)
	if len(known) == 0 && len(s.Pots) == len(w.Case.Schedule.Pots) {
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
			was.Asked = w.Asked
			return was, marked, nil
		}
	}
	for i := range marked { // of what is over, what was lost is all that comes back
		for n, c := range marked[i].Changes {
			if lose, ok := c.(flow.Lose); ok && slices.ContainsFunc(over, func(p flow.Pot) bool { return p.Step == lose.Step && p.Day == lose.Day }) {
				lose.Share = 1
				marked[i].Changes[n] = lose
			}
		}
	}
	return w.With(flow.Case{Flow: w.Case.Flow, Schedule: &s}), marked, nil
}

// missed are the batches that are asked about and over, or could not begin, as if all that nobody took out of them were still to come.
func missed(w *week.Week, asked func(step, day int) bool) (pots []flow.Pot) {
	for _, m := range w.Missed() {
		day := w.DayOf(&m)
		if !asked(m.Step, day) {
			continue
		}
		pot, lit := flow.Pot{Step: m.Step, Day: day, Start: w.Now, Batches: m.Batches}, 0.0
		for _, h := range w.Happened {
			if h.Step == m.Step && h.Day.Equal(m.Day) && h.What == week.Lit {
				pot.Start, lit = int(h.At.Sub(w.From).Minutes()), lit+h.Batches
			}
		}
		switch {
		case lit > 0:
			pot.Batches = lit
		case m.What == week.Lost: // all of it would be out by now
			for _, g := range w.Graph.Steps[m.Step].Gives {
				pot.Start = min(pot.Start, w.Now-g.OutAt)
			}
		}
		restore(w, &pot, cmp.Or(m.Share, 1))
		if len(pot.Gives) > 0 {
			pots = append(pots, pot)
		}
	}
	return pots
}

// restore gives a pot back, at the earliest now, the share of what should have come out of it by now that was lost. What somebody wrote
// to be out was there.
func restore(w *week.Week, pot *flow.Pot, lost float64) {
	out := map[int]bool{}
	for _, g := range pot.Gives {
		out[g.Item] = true
	}
	for _, h := range w.Happened {
		if h.Step != pot.Step || w.DayOf(&h) != pot.Day || h.Entry == 0 {
			continue
		}
		for _, o := range h.Out {
			out[o.Item] = true
		}
	}
	for n, g := range w.Graph.Steps[pot.Step].Gives {
		if !out[g.Item] {
			pot.Gives = append(pot.Gives, flow.PotLine{Item: g.Item, Amount: lost * pot.Batches * w.Case.Flow.Gives(pot.Step, n), Minute: max(w.Now+1, pot.Start+g.OutAt)})
		}
	}
}
