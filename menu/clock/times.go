package clock

// When work that has no time of its own may begin, and when it must.

import (
	"slices"
)

// earliest is, by work, when all that it takes is there; for work with a set time, that time. fromWork tells whether
// another work's giving decides it, not the morning of its day.
func (n *night) earliest() (at []int, fromWork []bool) {
	at, fromWork = make([]int, len(n.works)), make([]bool, len(n.works))
	for i, w := range n.works {
		if w.fixed || w.kind == plate {
			at[i] = w.at
			continue
		}
		at[i] = w.day * 1440
		for _, k := range w.from {
			if e := n.edges[k]; e.from >= 0 && at[e.from]+e.out-e.in > at[i] {
				at[i], fromWork[i] = at[e.from]+e.out-e.in, true
			}
		}
	}
	return at, fromWork
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
