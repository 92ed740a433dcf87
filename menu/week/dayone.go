package week

// The day 1 of every lot of a recorded walk.

import (
	"math"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu/kitchen"
)

// Dates finds the day 1 of lots. Days count from day 0 of the walk.
type Dates struct {
	*kitchen.DayOnes
	k     *kitchen.Kitchen
	pots  []flow.Pot
	rec   *flow.Record
	found []bool
	since []flow.Since             // by lot
	taken map[[2]int][]*flow.Entry // by step and minute: what it took
	went  [][]*flow.Entry          // by batch that is under way when the walk begins
}

// Dates are the day 1 of the lots of a walk by a schedule, with its movements recorded.
func (w *Week) Dates(s *flow.Schedule, rec *flow.Record) *Dates {
	return w.DatesBy(w.DayOnes(), s, rec)
}

// DatesBy is [Week.Dates] for whoever asks of many walks, and has the rules at hand.
func (w *Week) DatesBy(rules *kitchen.DayOnes, s *flow.Schedule, rec *flow.Record) *Dates {
	d := &Dates{DayOnes: rules, k: w.Kitchen, pots: s.Pots, rec: rec, found: make([]bool, len(rec.Lots)),
		since: make([]flow.Since, len(rec.Lots)), taken: map[[2]int][]*flow.Entry{}, went: make([][]*flow.Entry, len(s.Pots))}
	for n := range rec.Entries {
		switch e := &rec.Entries[n]; {
		case e.What != flow.Took:
		case e.Pot >= 0:
			d.went[e.Pot] = append(d.went[e.Pot], e)
		default:
			key := [2]int{e.Step, e.At}
			d.taken[key] = append(d.taken[key], e)
		}
	}
	return d
}

// DayAt is the day of a minute, which may lie before day 0.
func DayAt(minute int) int { return int(math.Floor(float64(minute) / 1440)) }

// Of is the day 1 of a lot; of one that was bought there is none, for the day on which a pack is opened is not known.
func (d *Dates) Of(lot int) flow.Since {
	if d.found[lot] {
		return d.since[lot]
	}
	d.found[lot] = true
	l := d.rec.Lots[lot]
	switch {
	case l.Pot >= 0:
		d.since[lot] = d.Begun(l.Item, DayAt(l.At), d.InPot(l.Pot))
	case l.Origin == flow.Given:
		d.since[lot] = d.Begun(l.Item, DayAt(l.At), d.mixed(l))
	case d.k.Graph.Items[l.Item].Role == graph.Made && l.Since.Known:
		d.since[lot] = l.Since
	default:
		d.since[lot] = d.Own(l.Item, l.Made)
	}
	return d.since[lot]
}

// InPot is the earliest day 1 of what went into a batch that is under way when the walk begins.
func (d *Dates) InPot(pot int) flow.Since {
	return d.pots[pot].Since.Or(d.Went(d.went[pot]))
}

// Went is the earliest day 1 that some entries bring to what takes them.
func (d *Dates) Went(took []*flow.Entry) (all flow.Since) {
	for _, e := range took {
		for _, p := range e.Lots {
			all = all.Or(d.Brought(e.Step, e.Item, d.Of(p.Lot), DayAt(d.rec.Lots[p.Lot].At), DayAt(e.At)))
		}
	}
	return all
}

// mixed is the earliest day 1 of what a step took for a lot: at the minute at which it began or, when nothing was taken then, at the
// last minute before. A step may be entered as giving before it is entered as taking.
func (d *Dates) mixed(l flow.Lot) flow.Since {
	began := l.At
	if st := d.k.Graph.Steps[l.Step]; st.Mode == graph.OnDays {
		for _, o := range st.Gives {
			if o.Item == l.Item {
				began = l.At - o.OutAt
			}
		}
	}
	took, ok := d.taken[[2]int{l.Step, began}]
	if !ok {
		last := math.MinInt
		for key := range d.taken { // the largest of them, whatever the order
			if key[0] == l.Step && key[1] <= began {
				last = max(last, key[1])
			}
		}
		took = d.taken[[2]int{l.Step, last}]
	}
	return d.Went(took)
}
