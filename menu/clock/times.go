package clock

// When work that has no time of its own may begin, and when it must.

import (
	"slices"

	"kettletree/menu/kitchen"
)

// earliest is, by work, when all that it takes is there; for work with a set time, that time. What comes out of a batch with a clock is
// there after so many minutes more. fromWork tells whether another work's giving decides it, not the morning of its day.
func (n *night) earliest(takenOut func(work, out int) int) (at []int, fromWork []bool) {
	at, fromWork = make([]int, len(n.works)), make([]bool, len(n.works))
	for i, w := range n.works {
		if w.fixed || w.kind == plate {
			at[i] = w.at
			continue
		}
		at[i] = w.day * 1440
		for _, k := range w.from {
			e := n.edges[k]
			if e.from < 0 {
				continue
			}
			out := at[e.from] + e.out
			if n.works[e.from].fixed {
				out += takenOut(e.from, e.out)
			}
			if out-e.in > at[i] {
				at[i], fromWork[i] = out-e.in, true
			}
		}
	}
	return at, fromWork
}

// byCard is that all is there when the card has it out.
func byCard(int, int) int { return 0 }

// takingOut is how long hands take what is out of a work at a minute of it.
func (n *night) takingOut(i, out int) (minutes int) {
	w := &n.works[i]
	if !slices.Contains(w.moments(kitchen.AtTakeOut), out) {
		return 0
	}
	for _, a := range n.Acts(w.step) {
		if a.When == kitchen.AtTakeOut {
			minutes += a.Minutes(w.batches)
		}
	}
	return minutes
}

// times is, by work, when it begins: at its set time, or as late as it may.
func (n *night) times(early []int) []int {
	at := make([]int, len(n.works))
	for i, w := range slices.Backward(n.works) {
		if w.fixed || w.kind == plate {
			at[i] = w.at
			continue
		}
		last := n.due(i)
		for _, k := range w.to {
			e := n.edges[k]
			last = min(last, at[e.to]+e.in-e.out)
		}
		if last == noEnd { // made to order, and nothing of it is taken
			last = w.at
		}
		at[i] = max(early[i], last)
	}
	return at
}

// due is when a work without a set time begins at the latest, whoever takes what it gives.
func (n *night) due(i int) int {
	w := &n.works[i]
	switch w.kind {
	case all:
		return w.at - w.length
	case batch:
		for _, s := range n.schedule.Slots {
			if s.Day == w.day && s.Start-w.length >= w.at {
				return s.Start - w.length
			}
		}
	}
	return noEnd
}
