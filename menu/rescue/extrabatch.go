package rescue

// Another batch, as a move: when it may be started, how many of it there can be, and while people are at work.

import (
	"fmt"
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
				at, ok := r.latest(s, r.stand.Case.Schedule.Slots[l.slot].Start-g.OutAt)
				if ok && at >= r.ready(s) && !slices.Contains(starts, at) {
					starts = append(starts, at)
				}
			}
		}
		slices.Sort(starts)
		for _, at := range starts[:min(len(starts), 12)] {
			for n := range r.mostBatches(s) {
				add(&move{kind: aBatch, group: "batch " + st.Name, start: at, end: at + st.Length(), pot: r.Steps[s].Vessel,
					run: flow.Extra{Step: s, Day: at / 1440, Start: at % 1440, Batches: float64(n + 1)}})
			}
		}
	}
}

// ready is when a step that is late can be started: what keeps it waiting keeps another batch waiting too.
func (r *rescuing) ready(step int) (minute int) {
	for k, run := range r.stand.Case.Schedule.Batches {
		if run.Step == step && run.Late > 0 && run.Day < r.Days {
			minute = max(minute, r.stand.Outcome.Ran[k].Start)
		}
	}
	return minute
}

// mostBatches is the most batches of a step that the week does in a day.
func (r *rescuing) mostBatches(step int) int {
	most := 1.0
	for _, run := range r.stand.Case.Schedule.Batches {
		if run.Step == step {
			most = max(most, run.Size)
		}
	}
	return int(min(most, 6))
}

// busy are the times at which a step's vessel is taken; a batch that is lost leaves it when that is known.
func (r *rescuing) busy(step int) (taken [][2]int) {
	vessel := r.Steps[step].Vessel
	for k, run := range r.stand.Case.Schedule.Batches {
		if vessel < 0 || run.Day >= r.Days || r.Steps[run.Step].Vessel != vessel {
			continue
		}
		from := r.stand.Outcome.Ran[k].Start
		to := from + r.Graph.Steps[run.Step].Length()
		if run.Lost >= 1 && from <= r.known {
			to = min(to, r.known)
		}
		if to > from {
			taken = append(taken, [2]int{from, to})
		}
	}
	return taken
}

// latest is the last moment, at most a given one, at which a batch of a step can be started once the mishap is known.
func (r *rescuing) latest(step, at int) (int, bool) {
	for taken, lasting := r.busy(step), r.Graph.Steps[step].Length(); at >= r.known && at/1440 < r.Days; {
		if !r.atWork(at) {
			at--
			continue
		}
		k := slices.IndexFunc(taken, func(t [2]int) bool { return at < t[1] && t[0] < at+lasting })
		if k < 0 {
			return at, true
		}
		at = taken[k][0] - lasting
	}
	return 0, false
}

// earliest is the first moment from which on a batch's vessel is free until its start.
func (r *rescuing) earliest(m *move, from int) int {
	for _, t := range r.busy(m.run.Step) {
		if t[1] <= m.start {
			from = max(from, t[1])
		}
	}
	return from
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
	for _, sv := range r.Services {
		for t := sv.Start; t <= sv.End; t++ {
			busy[t%1440] = true
		}
	}
	first := week.Noon
	if len(r.Services) > 0 {
		first = r.Services[0].Start
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
