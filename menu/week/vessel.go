package week

// The vessels: what each holds, and which work is in it when.

import (
	"math"
	"slices"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu/kitchen"
)

// Calendar tells which work is in which vessel when, and whether more finds room. Whoever asks what a vessel can do asks it.
//
// A vessel holds the work of one step at a time. Batches of a step that begin at the same minute are one work: as many as
// fit by volume at every minute. Any other work waits until the vessel is free, and may begin at the minute at which the
// one before it ends.
//
// Work with a clock is in its vessel from its start until the last of it is in or out, a minute at least. Work without one
// is loose: it is done on its day before the first service ([Noon] on a day without one), as [flow.Untimed] has it, and the
// cook chooses when. As many batches as fit are a filling, and one filling follows another, so minutes are counted: all
// fillings, and what work with a clock takes of these hours, must find room between midnight and that service; in which
// order they do is not asked. A filling that takes longer than that begins at midnight, as the walk has it. Where the file
// gives a loose step no times, nobody knows how long it takes: it is in no one's way, and fills its vessel once a day, or
// as often as the standing week has it do on its fullest day.
//
// A batch under way holds its vessel until the last of it is in or out. What is made to order, or takes all there
// is, is worked in small lots at the pass: it holds none.
type Calendar struct {
	*Week
	stays []Stay
}

// Stay is a work in its vessel.
type Stay struct {
	Step, Day int
	From, To  int // minutes after the midnight before day 0; of loose work, between which it is to be done
	Loose     bool
	Batches   float64
	Peak      float64 // the most that stands in the vessel, in millilitres; of loose work, with one batch
	PeakAt    int     // minutes after From
}

// Stay is so many batches of a step in its vessel, begun at a minute of a day or [flow.Untimed].
func (w *Week) Stay(step, day, start int, batches float64) Stay {
	length, morning := w.Graph.Steps[step].Length(), w.Begins(day)
	st := Stay{Step: step, Day: day, From: day * 1440, Batches: batches, Loose: start == flow.Untimed && length <= morning}
	st.Peak, st.PeakAt = kitchen.Fullest(w.Loads(step))
	if left := st.From + morning - max(st.From, w.Now); st.Loose && left >= max(length, 1) {
		st.From, st.To = st.From+morning-left, st.From+morning
		return st
	}
	st.Loose = false
	st.From = max(st.From+max(start, 0), w.Now) // what is overdue is done at once
	st.To = st.From + max(length, 1)
	st.Peak *= batches
	return st
}

// Calendar is that of a schedule, or of what it came to when it was played. With a record of movements, what stands in a
// vessel is what went in.
func (w *Week) Calendar(s *flow.Schedule, o *flow.Outcome, rec *flow.Record) *Calendar {
	c := &Calendar{Week: w, stays: w.Alight(s)}
	loads := map[int][]kitchen.Load{} // by run: what went in
	if rec != nil && rec.Movements {
		for _, e := range rec.Entries {
			if e.What == flow.Took && e.Run >= 0 && e.Step == s.Batches[e.Run].Step {
				line := w.Graph.Steps[e.Step].Takes[e.Line]
				loads[e.Run] = append(loads[e.Run], kitchen.InAndOut(line, w.Volume(e.Item, e.Amount))...)
			}
		}
	}
	for r, run := range s.Batches {
		if o != nil {
			run.Size = o.Ran[r].Batches
		}
		start := run.Start
		if start != flow.Untimed {
			start += run.Late
		}
		if run.Day >= w.Days {
			continue
		}
		st := w.Stay(run.Step, run.Day, start, run.Size)
		if went, ok := loads[r]; ok && !st.Loose {
			for _, out := range w.Graph.Steps[run.Step].Gives {
				went = append(went, kitchen.Load{Minutes: out.OutAt, Millilitres: -run.Size * w.Volume(out.Item, out.Amount)})
			}
			st.Peak, st.PeakAt = kitchen.Fullest(went)
		}
		c.Put(st)
	}
	return c
}

// Alight are the works that are under way when a schedule begins, or goes on.
func (w *Week) Alight(s *flow.Schedule) (stays []Stay) {
	for _, pot := range s.Pots {
		if !w.holds(pot.Step) || pot.Over() {
			continue
		}
		st := Stay{Step: pot.Step, Day: pot.Day, From: pot.Start, To: s.From, Batches: pot.Batches}
		for _, t := range pot.Takes {
			st.To = max(st.To, t.Minute)
		}
		for _, g := range pot.Gives {
			st.To = max(st.To, g.Minute+pot.Late)
		}
		if st.To <= s.From {
			continue // what has not been taken out by now holds up nobody
		}
		st.Peak, st.PeakAt = kitchen.Fullest(w.Loads(pot.Step))
		st.Peak *= pot.Batches
		stays = append(stays, st)
	}
	return stays
}

// holds tells whether the work of a step is in a vessel.
func (w *Week) holds(step int) bool {
	return step < len(w.Steps) && w.Steps[step].Vessel >= 0 && w.Graph.Steps[step].Mode == graph.OnDays
}

// Put adds a work, if it is in a vessel. Batches of its step that begin with it are one work with it.
func (c *Calendar) Put(st Stay) {
	if !c.holds(st.Step) || st.Batches <= kitchen.Slack {
		return
	}
	at := slices.IndexFunc(c.stays, st.joins)
	if at < 0 {
		c.stays = append(c.stays, st)
		return
	}
	old := &c.stays[at]
	old.Batches += st.Batches
	if !st.Loose {
		old.Peak += st.Peak
	}
}

func (st Stay) joins(o Stay) bool {
	return o.Step == st.Step && o.Loose == st.Loose && o.From == st.From
}

// Leave takes the batches of a step on a day out of their vessel at a minute: they are lost.
func (c *Calendar) Leave(step, day, minute int) {
	for k := range c.stays {
		if st := &c.stays[k]; st.Step == step && st.Day == day && minute < st.To {
			st.To = max(st.From, minute)
		}
	}
	c.stays = slices.DeleteFunc(c.stays, func(st Stay) bool { return st.From >= st.To || st.Loose && st.Step == step && st.Day == day })
}

// Move lets the work of a step that begins at a minute begin at another, and take so many minutes longer.
func (c *Calendar) Move(step, from, to, longer int) {
	for k := range c.stays {
		if st := &c.stays[k]; st.Step == step && !st.Loose && st.From == from {
			st.From, st.To = to, st.To+to-from+longer
		}
	}
}

// With is the calendar with other works in it.
func (c *Calendar) With(others ...Stay) *Calendar {
	more := &Calendar{c.Week, slices.Clone(c.stays)}
	for _, st := range others {
		more.Put(st)
	}
	return more
}

// Timed are the works with a clock that are in a vessel, in the order in which they begin.
func (c *Calendar) Timed() []Stay {
	list := slices.DeleteFunc(slices.Clone(c.stays), func(st Stay) bool { return st.Loose })
	slices.SortStableFunc(list, func(a, b Stay) int { return a.From - b.From })
	return list
}

// Fits is how many batches of a step its vessel holds at once; +Inf where no vessel bounds them.
func (w *Week) Fits(step int) float64 {
	if !w.holds(step) {
		return math.Inf(1)
	}
	full, _ := kitchen.Fullest(w.Loads(step))
	holds := w.Vessels[w.Steps[step].Vessel].Holds
	if full == 0 || holds == 0 {
		return math.Inf(1)
	}
	return max(1, math.Floor(holds/full*(1+kitchen.Slack)))
}

// Most is the most batches of a step that can be done on a day with nothing else in its vessel: at its start, or one
// filling after another when it has none. It is +Inf where no vessel bounds them.
func (w *Week) Most(step, day int) float64 {
	fits, length := w.Fits(step), w.Graph.Steps[step].Length()
	switch st := w.Stay(step, day, w.Steps[step].Starts, 0); {
	case !st.Loose:
		return fits
	case length == 0:
		return max(fits, w.fullestDay(step))
	default:
		return fits * float64((st.To-st.From)/length)
	}
}

// Usual is how many batches of a step on a day nobody has to be asked about, where no vessel bounds them: twice what the
// standing week has on its fullest day.
func (w *Week) Usual(step int) float64 { return max(1, 2*w.fullestDay(step)) }

func (w *Week) fullestDay(step int) float64 { return float64(slices.Max(w.Steps[step].Batches[:])) }

// Fillings is how often a work fills its vessel.
func (w *Week) Fillings(st Stay) int {
	if st.Batches <= kitchen.Slack {
		return 0
	}
	if fits := w.Fits(st.Step); st.Loose && !math.IsInf(fits, 1) {
		return int(math.Ceil(st.Batches/fits - kitchen.Slack))
	}
	return 1
}

// Limit is a bound that a vessel sets: the fillings of some works, each times what it takes, come to Most at most. At one
// minute each takes 1 of 1; of a morning with loose work, its minutes.
type Limit struct {
	Vessel   int
	From, To int
	Works    []int // places among those that were asked about
	Each     []int // by place in Works
	Most     int
}

// Limits are the bounds that vessels set on works that may be done together. Of works whose times hold one minute, one may
// be in the vessel; the maximal cliques of intervals are those of their starts.
func (w *Week) Limits(works []Stay) (list []Limit) {
	add := func(l Limit, takes func(st Stay) int) {
		for k, st := range works {
			if !w.holds(st.Step) || w.Steps[st.Step].Vessel != l.Vessel {
				continue
			}
			if each := takes(st); each > 0 {
				l.Works, l.Each = append(l.Works, k), append(l.Each, each)
			}
		}
		if !slices.ContainsFunc(list, func(o Limit) bool {
			return o.Vessel == l.Vessel && o.From == l.From && o.To == l.To
		}) {
			list = append(list, l)
		}
	}
	for _, a := range works {
		switch {
		case !w.holds(a.Step):
		case !a.Loose:
			add(Limit{Vessel: w.Steps[a.Step].Vessel, From: a.From, To: a.From + 1, Most: 1}, func(st Stay) int {
				if st.Loose || a.From < st.From || st.To <= a.From {
					return 0
				}
				return 1
			})
		case w.Graph.Steps[a.Step].Length() > 0:
			add(Limit{Vessel: w.Steps[a.Step].Vessel, From: a.From, To: a.To, Most: a.To - a.From}, func(st Stay) int {
				switch {
				case !st.Loose:
					return min(st.To, a.To) - max(st.From, a.From)
				case st.From == a.From:
					return w.Graph.Steps[st.Step].Length()
				}
				return 0
			})
		}
	}
	return list
}
