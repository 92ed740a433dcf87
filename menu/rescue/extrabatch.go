package rescue

// Another batch, as a move: when it may be started, how many of it there can be, and while people are at work.

import (
	"fmt"
	"math"
	"slices"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu/week"
)

// batches finds further runs of the steps on set days that give what is short: each at the latest moment at which
// what it gives still comes before a service that runs short, while people are at work and the vessel is free.
func (r *rescuing) batches(add func(*move)) {
	for s := range r.Steps {
		st := r.Graph.Steps[s]
		if st.Mode != graph.OnDays {
			continue
		}
		var starts []int
		for _, l := range r.lacks {
			for _, g := range st.Gives {
				if !slices.Contains(l.items, g.Item) {
					continue
				}
				at, ok := r.latest(s, r.stand.Case.Schedule.ServedAt(l.slot)-g.OutAt)
				if ok && at >= r.ready(s) && !slices.Contains(starts, at) {
					starts = append(starts, at)
				}
			}
		}
		slices.Sort(starts)
		for _, at := range starts[:min(len(starts), 12)] {
			for n := 1.0; n <= r.mostBatches(s) && r.vessels.Refuses(s, at/1440, at%1440, n) == ""; n++ {
				add(&move{kind: aBatch, group: "batch " + st.Name, start: at,
					run: flow.Extra{Step: s, Day: at / 1440, Start: at % 1440, Batches: n}})
			}
		}
	}
}

// ready is when a step that is late can be started: what keeps it waiting keeps another batch waiting too.
func (r *rescuing) ready(step int) (minute int) {
	for k, run := range r.stand.Case.Schedule.Batches {
		if run.Step == step && run.Size > 0 && run.Late > 0 && run.Day < r.Days {
			minute = max(minute, r.stand.Outcome.Ran[k].Start)
		}
	}
	return minute
}

// mostBatches is the most batches of a step that are tried at once: those that fit, where its vessel says; else those that
// nobody has to be asked about.
func (r *rescuing) mostBatches(step int) float64 {
	most := r.Fits(step)
	if math.IsInf(most, 1) {
		most = r.Usual(step)
	}
	return min(most, 6)
}

// inVessels is what is in the vessels as the week stands; a batch that is lost leaves its vessel when that is known. One
// that lacks what it takes keeps its place, for another move may bring that.
func (r *rescuing) inVessels() *week.Calendar {
	s := r.stand.Schedule
	c := r.Calendar(s, nil, nil)
	for k, run := range s.Batches {
		if run.Lost >= 1 && r.stand.Outcome.Ran[k].Start <= r.known {
			c.Leave(run.Step, run.Day, r.known)
		}
	}
	return c
}

// latest is the last moment, at most a given one, at which a batch of a step can be started once the mishap is known.
func (r *rescuing) latest(step, at int) (int, bool) {
	return r.vessels.Latest(step, at, r.known, 1, func(minute int) bool {
		_, alone := r.Unattended(step, minute/1440, minute%1440)
		return !alone && r.atWork(minute)
	})
}

// atWork tells whether people are in the kitchen at a minute: the night is the longest time of the day in which
// nothing is started and nobody is served, in the standing week.
func (r *rescuing) atWork(minute int) bool {
	from, to := r.night()
	clock := minute % 1440
	if from < to {
		return clock <= from || clock >= to
	}
	return clock >= to && clock <= from
}

// night is when it begins and ends, in minutes after midnight.
func (r *rescuing) night() (from, to int) {
	var busy [1440]bool
	first := -1
	for day := range 7 {
		for _, m := range r.Standing(day) {
			for t := m.From; t <= m.To; t++ {
				busy[t%1440] = true
			}
			if first < 0 || m.From < first {
				first = m.From
			}
		}
	}
	if first < 0 {
		first = week.Noon
	}
	for s, card := range r.Steps {
		if r.Graph.Steps[s].Mode != graph.OnDays {
			continue
		}
		if card.Starts != flow.Untimed {
			busy[card.Starts%1440] = true
			continue
		}
		for t := max(0, first-r.Graph.Steps[s].Length()); t <= first; t++ {
			busy[t] = true
		}
	}
	longest, since := 0, -1
	for t := range 2 * 1440 {
		if !busy[t%1440] {
			continue
		}
		if since >= 0 && t-since > longest {
			longest, from, to = t-since, since%1440, t%1440
		}
		since = t
	}
	return from, to
}

// uses tells whether a step takes an item, by itself or through what it takes.
func (r *rescuing) uses(step, item int) bool {
	for _, l := range r.Graph.Steps[step].Takes {
		for _, c := range l.Choices {
			if c.Item == item || slices.Contains(r.Graph.Upstream(c.Item), item) {
				return true
			}
		}
	}
	return false
}

func (r *rescuing) fitBatch(m *move) fitted {
	name := r.Graph.Steps[m.run.Step].Name
	what := fmt.Sprintf("make another batch of %s, started by %s", name, r.Moment(m.start))
	if m.run.Batches > 1 {
		what = fmt.Sprintf("make %g more batches of %s, started by %s", m.run.Batches, name, r.Moment(m.start))
	}
	return fitted{changes: []flow.Shock{m.run}, what: what, by: m.start}
}
