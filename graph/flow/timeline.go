package flow

// When things happen: the schedule as one row of events.

import (
	"cmp"
	"slices"

	"kettletree/graph"
)

type event struct {
	at    int32 // minutes after the midnight before day 0
	act   MomentKind
	turn  int32 // work and come: the step's turn; else 0
	place int32 // work: the step's place; come: the output; else 0
	index int32 // work and come: the run, or the complement of the slot for a step that takes all; serve: the slot; days: the day
}

// events is the row of events of a schedule whose runs begin at starts.
func (n *net) events(s *Schedule, starts []int32, into []event) []event {
	row := into[:0]
	for d := range int32(s.Days) {
		row = append(row, event{at: d * 1440, act: DayStarts, index: d}, event{at: (d + 1) * 1440, act: DayEnds, index: d})
	}
	for k, slot := range s.Slots {
		row = append(row, event{at: int32(slot.Start), act: Serves, index: int32(k)})
		if slot.Idle {
			continue
		}
		for _, p := range n.alls {
			row = append(row, event{at: int32(slot.Start), act: Works, turn: n.turn[p], place: p, index: ^int32(k)})
		}
	}
	for r, run := range s.Batches {
		if run.Day >= s.Days {
			continue
		}
		p := n.place[run.Step]
		row = append(row, event{at: starts[r], act: Works, turn: n.turn[p], place: p, index: int32(r)})
		for o, out := range n.g.Steps[run.Step].Gives {
			if out.OutAt > 0 { // else it is given with the work
				row = append(row, event{at: starts[r] + int32(out.OutAt), act: Comes, turn: n.turn[p], place: n.outputs[p] + int32(o),
					index: int32(r)})
			}
		}
	}
	slices.SortFunc(row, func(a, b event) int {
		return cmp.Or(cmp.Compare(a.at, b.at), cmp.Compare(a.act, b.act), cmp.Compare(a.turn, b.turn),
			cmp.Compare(a.place, b.place), cmp.Compare(a.index, b.index))
	})
	return row
}

// starts finds the minute at which each run begins, and that at which it was due to begin when nothing is late. A run with
// a clock begins by it. One without begins at the earliest moment of its day at which what it takes has come, as far as
// that was due before the first service; if some of it is late, the run waits for it.
func (n *net) starts(s *Schedule, starts, dues []int32) (start, due []int32) {
	start = slices.Grow(starts[:0], len(s.Batches))[:len(s.Batches)]
	due = slices.Grow(dues[:0], len(s.Batches))[:len(s.Batches)]
	byStep := make([][]int32, len(n.step)) // by place: its runs
	for r, run := range s.Batches {
		p := n.place[run.Step]
		byStep[p] = append(byStep[p], int32(r))
	}
	first := make([]int32, s.Days) // by day: its first slot's start
	for k := len(s.Slots) - 1; k >= 0; k-- {
		first[s.Slots[k].Day] = int32(s.Slots[k].Start)
	}
	// arrival is when the last of an item comes that a run beginning at the midnight begin waits for, and when it was due;
	// begin when it waits for none. For what is made to order it is that of what its step takes.
	var looked []bool // by place: steps made to order that the run was led through
	var arrival func(item, begin, deadline int32) (comes, planned int32)
	arrival = func(item, begin, deadline int32) (comes, planned int32) {
		comes, planned = begin, begin
		for _, e := range n.madeBy[n.makers[item]:n.makers[item+1]] {
			p := n.owner[e]
			step := n.g.Steps[n.step[p]]
			if step.Mode == graph.AllOf { // it works at the first service
				comes, planned = max(comes, deadline), max(planned, deadline)
			}
			if step.Mode == graph.ToOrder && !looked[p] {
				looked[p] = true
				for c := n.choices[n.lines[p]]; c < n.choices[n.lines[p+1]]; c++ {
					comes1, planned1 := arrival(n.takes[c], begin, deadline)
					comes, planned = max(comes, comes1), max(planned, planned1)
				}
			}
			out := int32(step.Gives[e-n.outputs[p]].OutAt)
			for _, r := range byStep[p] {
				if due[r]+out <= deadline && (due[r]+out >= begin || start[r]+out <= deadline) {
					comes, planned = max(comes, start[r]+out), max(planned, due[r]+out)
				}
			}
		}
		return comes, planned
	}
	for p := range n.step { // in order, so that a step's makers have their starts
		for _, r := range byStep[p] {
			run := &s.Batches[r]
			begin := int32(run.Day * 1440)
			start[r], due[r] = begin, begin
			switch {
			case run.Start != Untimed:
				start[r], due[r] = begin+int32(run.Start), begin+int32(run.Start)
			case run.Day < s.Days:
				looked = zeros(looked, len(n.step))
				for line := n.lines[p]; line < n.lines[p+1]; line++ {
					if n.carried[line] {
						continue
					}
					for c := n.choices[line]; c < n.choices[line+1]; c++ {
						comes, planned := arrival(n.takes[c], begin, first[run.Day])
						start[r], due[r] = max(start[r], comes), max(due[r], planned)
					}
				}
			}
			start[r] += int32(run.Late)
		}
	}
	return start, due
}
