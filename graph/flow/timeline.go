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
	// work: the run, or the complement of the slot for a step that takes all; come: the run, or the complement of the number
	// of the line among all that pots give; serve: the slot; arrive: the item; days: the day
	index int32
}

// events is the row of events of a schedule whose runs begin at starts.
func (n *net) events(s *Schedule, starts []int32, into []event) []event {
	row, from := into[:0], int32(s.From)
	for d, begins := range s.dayStarts() {
		row = append(row, event{at: max(begins, from), act: DayStarts, index: int32(d)}, event{at: int32(d+1) * 1440, act: DayEnds, index: int32(d)})
	}
	for i, at := range s.NotBefore {
		if at > s.From && at < s.Days*1440 {
			row = append(row, event{at: int32(at), act: Arrives, index: int32(i)})
		}
	}
	for k, slot := range s.Slots {
		if slot.Start < s.From { // over, or under way: what is taken all there is of was taken when it began
			if slot.End > s.From {
				row = append(row, event{at: from, act: Serves, index: int32(k)})
			}
			continue
		}
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
	line := int32(0)
	for k := range s.Pots {
		pot := &s.Pots[k]
		p := n.place[pot.Step]
		for _, g := range pot.Gives {
			row = append(row, event{at: max(int32(g.Minute+pot.Late), from), act: Comes, turn: n.turn[p], place: n.outputOf(p, g.Item), index: ^line})
			line++
		}
	}
	slices.SortFunc(row, func(a, b event) int {
		return cmp.Or(cmp.Compare(a.at, b.at), cmp.Compare(a.act, b.act), cmp.Compare(a.turn, b.turn),
			cmp.Compare(a.place, b.place), cmp.Compare(a.index, b.index))
	})
	return row
}

// outputOf is the output of the step at a place that an item is; the one behind its last when it gives none of it.
func (n *net) outputOf(p int32, item int) int32 {
	for e := n.outputs[p]; e < n.outputs[p+1]; e++ {
		if n.gives[e] == int32(item) {
			return e
		}
	}
	return n.outputs[p+1]
}

// starts finds the minute at which each run begins, and that at which it was due to begin when nothing is late. A run with
// a clock begins by it. One without begins at the earliest moment of its day at which what it takes has come, as far as
// that was due before the first service; if some of it is late, the run waits for it. None begins before the walk does.
func (n *net) starts(s *Schedule, starts, dues []int32) (start, due []int32) {
	start = slices.Grow(starts[:0], len(s.Batches))[:len(s.Batches)]
	due = slices.Grow(dues[:0], len(s.Batches))[:len(s.Batches)]
	byStep := make([][]int32, len(n.step)) // by place: its runs
	for r, run := range s.Batches {
		p := n.place[run.Step]
		byStep[p] = append(byStep[p], int32(r))
	}
	first, begins := make([]int32, s.Days), s.dayStarts() // by day: its first slot's start
	for k := len(s.Slots) - 1; k >= 0; k-- {
		if s.Slots[k].Day >= 0 {
			first[s.Slots[k].Day] = int32(s.Slots[k].Start)
		}
	}
	// arrival is when the last of an item comes that a run beginning at the midnight begin waits for, and when it was due;
	// begin when it waits for none. For what is made to order it is that of what its step takes.
	var looked []bool // by place: steps made to order that the run was led through
	var arrival func(item, begin, deadline int32) (comes, planned int32)
	arrival = func(item, begin, deadline int32) (comes, planned int32) {
		comes, planned = begin, begin
		await := func(isDue, isOut int32) {
			if isDue <= deadline && (isDue >= begin || isOut <= deadline) {
				comes, planned = max(comes, isOut), max(planned, isDue)
			}
		}
		for k := range s.Pots {
			for _, g := range s.Pots[k].Gives {
				if g.Item == int(item) {
					await(int32(g.Minute), int32(g.Minute+s.Pots[k].Late))
				}
			}
		}
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
				await(due[r]+out, start[r]+out)
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
			case run.Day >= 0 && run.Day < s.Days:
				start[r], due[r] = begins[run.Day], begins[run.Day]
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
			start[r] = max(start[r]+int32(run.Late), int32(s.From))
		}
	}
	return start, due
}
