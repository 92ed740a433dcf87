package flow

// When things happen: the schedule as one row of events.

import (
	"cmp"
	"slices"

	"kettletree/graph"
)

// act is what happens at an event. At one moment, acts come in this order.
type act uint8

const (
	endDay   act = iota // what no longer keeps is binned
	startDay            // what was found spoiled goes, deliveries come
	come                // an output of a run comes in
	work                // a run takes its inputs, or a step takes all there is
	serve               // portions go out
)

type event struct {
	at    int32 // minutes after the midnight before day 0
	act   act
	place int32 // work: the step's place; come: the output; else 0
	index int32 // work and come: the run, -1 for a step that takes all; serve: the slot; days: the day
}

// events is the row of events of a schedule; starts gets the minute at which each run begins.
func (n *net) events(s *Schedule, into []event, starts []int32) ([]event, []int32) {
	row := into[:0]
	for d := range int32(s.Days) {
		row = append(row, event{at: d * 1440, act: startDay, index: d}, event{at: (d + 1) * 1440, act: endDay, index: d})
	}
	for k, slot := range s.Slots {
		row = append(row, event{at: int32(slot.Start), act: serve, index: int32(k)})
		for _, p := range n.alls {
			row = append(row, event{at: int32(slot.Start), act: work, place: p, index: -1})
		}
	}
	starts = n.starts(s, starts)
	for r, run := range s.Runs {
		if run.Day >= s.Days {
			continue
		}
		p := n.place[run.Step]
		row = append(row, event{at: starts[r], act: work, place: p, index: int32(r)})
		for o, out := range n.g.Steps[run.Step].Gives {
			row = append(row, event{at: starts[r] + int32(out.OutAt), act: come, place: n.outputs[p] + int32(o), index: int32(r)})
		}
	}
	slices.SortFunc(row, func(a, b event) int {
		return cmp.Or(cmp.Compare(a.at, b.at), cmp.Compare(a.act, b.act), cmp.Compare(a.place, b.place), cmp.Compare(a.index, b.index))
	})
	return row, starts
}

// starts finds the minute at which each run begins. A run with a clock begins by it. One without begins at the earliest
// moment of its day at which what it takes has come, as far as that was to come before the first service; if some of it
// is late, the run waits for it.
func (n *net) starts(s *Schedule, into []int32) []int32 {
	starts := slices.Grow(into[:0], len(s.Runs))[:len(s.Runs)]
	byStep := make([][]int32, len(n.step)) // by place: its runs
	for r, run := range s.Runs {
		p := n.place[run.Step]
		byStep[p] = append(byStep[p], int32(r))
	}
	first := make([]int32, s.Days) // by day: its first slot's start
	for k := len(s.Slots) - 1; k >= 0; k-- {
		first[s.Slots[k].Day] = int32(s.Slots[k].Start)
	}
	for p := range n.step { // in order, so that a step's makers have their starts
		for _, r := range byStep[p] {
			run := &s.Runs[r]
			begin := int32(run.Day * 1440)
			if run.Start != Untimed {
				starts[r] = begin + int32(run.Start+run.Late)
				continue
			}
			at := begin
			if run.Day < s.Days {
				for line := n.lines[p]; line < n.lines[p+1]; line++ {
					if n.carried[line] {
						continue
					}
					for c := n.choices[line]; c < n.choices[line+1]; c++ {
						at = max(at, n.arrival(s, n.takes[c], begin, first[run.Day], starts, byStep))
					}
				}
			}
			starts[r] = at + int32(run.Late)
		}
	}
	return starts
}

// arrival is when the last of item comes that was to come between begin and deadline, late or not; begin when none was.
func (n *net) arrival(s *Schedule, item, begin, deadline int32, starts []int32, byStep [][]int32) int32 {
	last := begin
	for _, e := range n.madeBy[n.makers[item]:n.makers[item+1]] {
		p := n.owner[e]
		step := n.g.Steps[n.step[p]]
		if step.Mode == graph.AllOf {
			last = max(last, deadline) // it works at the first service
		}
		for _, r := range byStep[p] {
			at := starts[r] + int32(step.Gives[e-n.outputs[p]].OutAt)
			if planned := at - int32(s.Runs[r].Late); planned >= begin && planned <= deadline {
				last = max(last, at)
			}
		}
	}
	return last
}
