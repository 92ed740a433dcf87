package flow

// The two orders of the steps: places, in which passes run fast, and turns, in which steps work.

import (
	"fmt"
	"slices"

	"kettletree/graph"
)

// order is Kahn's algorithm (1962) over the steps, level by level: a step follows every step that gives what it takes,
// but for carried lines. Within a level, steps stand by number of lines, of outputs, and of declaration: a pass then meets
// equal steps in a row, and its branches are foreseen.
func (r *rows) order(items int) ([]int32, error) {
	steps := len(r.mode)
	open := make([]int32, items) // by item: givers not yet placed
	for _, i := range r.gives {
		open[i]++
	}
	waits := make([]int32, steps)             // by step: choices whose item is open
	last := slices.Repeat([]int32{-1}, items) // by item: the last choice that waits for it; -1 when none does
	waiting := make([]struct {                // by choice
		step   int32
		before int32 // the choice that waits for the same item before it
	}, len(r.takes))
	for s := range int32(steps) {
		for line := r.lines[s]; line < r.lines[s+1]; line++ {
			if r.carried[line] {
				continue
			}
			for c := r.choices[line]; c < r.choices[line+1]; c++ {
				if i := r.takes[c]; open[i] > 0 {
					waiting[c].step, waiting[c].before, last[i] = s, last[i], c
					waits[s]++
				}
			}
		}
	}
	level := make([]int32, steps)
	now, later := make([]int32, 0, steps), make([]int32, 0, steps)
	for s, w := range waits {
		if w == 0 {
			now = append(now, int32(s))
		}
	}
	for placed, depth := 0, int32(0); placed < steps; depth++ {
		if len(now) == 0 {
			return nil, fmt.Errorf("the flow has a loop that is not carried over time")
		}
		later = later[:0]
		for _, s := range now {
			for _, i := range r.gives[r.outputs[s]:r.outputs[s+1]] {
				if open[i]--; open[i] > 0 {
					continue
				}
				for c := last[i]; c >= 0; c = waiting[c].before {
					s := waiting[c].step
					if waits[s]--; waits[s] == 0 {
						level[s] = depth + 1
						later = append(later, s)
					}
				}
			}
		}
		placed += len(now)
		now, later = later, now
	}
	return r.byLevel(level), nil
}

// byLevel sorts the steps by level, number of lines, number of outputs, and declaration: three counting sorts, each of
// which keeps the order of the one before.
func (r *rows) byLevel(level []int32) []int32 {
	steps := len(level)
	if steps == 0 {
		return nil
	}
	order, sorted := make([]int32, steps), make([]int32, steps)
	lines, outputs := make([]int32, steps), make([]int32, steps)
	for s := range order {
		order[s] = int32(s)
		lines[s], outputs[s] = r.lines[s+1]-r.lines[s], r.outputs[s+1]-r.outputs[s]
	}
	for _, key := range [][]int32{outputs, lines, level} {
		next := make([]int32, slices.Max(key)+2) // by key: where its next step goes
		for _, k := range key {
			next[k+1]++
		}
		for k := range len(next) - 1 {
			next[k+1] += next[k]
		}
		for _, s := range order {
			k := key[s]
			sorted[next[k]] = s
			next[k]++
		}
		order, sorted = sorted, order
	}
	return order
}

// turns says by place when a step works: the step that is declared first as early as what it takes allows, then the
// next, and so on; steps to order come as late as they can, so that it is nothing to the others where those are declared.
// Such an order is made from its end: of the steps that nobody waits for, the one declared last works last.
func (n *net) turns() []int32 {
	steps := len(n.step)
	turn := make([]int32, steps)
	takers := make([]int32, len(n.g.Items)) // by item: choices of steps that have no turn yet
	for line, carried := range n.carried {
		if !carried {
			for _, i := range n.takes[n.choices[line]:n.choices[line+1]] {
				takers[i]++
			}
		}
	}
	gives := n.courtesies()
	waits := make([]int32, steps) // by place: outputs that somebody without a turn takes, and courtesies to it
	for _, to := range gives {
		for _, s := range to {
			waits[s]++
		}
	}
	var free queue
	release := func(p int32) {
		key := int64(n.step[p])
		if n.mode[p] == graph.ToOrder {
			key += int64(steps)
		}
		free.push(key<<32 | int64(p))
	}
	for p := range int32(steps) {
		for _, i := range n.gives[n.outputs[p]:n.outputs[p+1]] {
			if takers[i] > 0 {
				waits[p]++
			}
		}
		if waits[p] == 0 {
			release(p)
		}
	}
	done := func(p int32) {
		if waits[p]--; waits[p] == 0 {
			release(p)
		}
	}
	for at := int32(steps) - 1; at >= 0; at-- {
		p := int32(free.pop())
		turn[p] = at
		for _, s := range gives[p] {
			done(s)
		}
		for line := n.lines[p]; line < n.lines[p+1]; line++ {
			if n.carried[line] {
				continue
			}
			for _, i := range n.takes[n.choices[line]:n.choices[line+1]] {
				if takers[i]--; takers[i] > 0 {
					continue
				}
				for _, e := range n.madeBy[n.makers[i]:n.makers[i+1]] {
					done(n.owner[e])
				}
			}
		}
	}
	return turn
}

// courtesies are, by place of a step that takes all there is of an item, the places of the steps on set days that take the
// same and that it lets go first, so that it gets what they leave. One that needs what it gives itself, or what a step
// gives that is to wait for it, it can't let go first; of two courtesies that can't both be shown, the one to the step
// declared first of those of the step declared first is.
func (n *net) courtesies() map[int32][]int32 {
	if len(n.alls) == 0 {
		return nil
	}
	gives := map[int32][]int32{}
	alls := slices.Clone(n.alls)
	declared := func(a, b int32) int { return int(n.step[a] - n.step[b]) }
	slices.SortFunc(alls, declared)
	for _, a := range alls {
		item := n.takes[n.choices[n.lines[a]]]
		var others []int32
		for p := range int32(len(n.step)) {
			if n.mode[p] == graph.OnDays && n.takesOf(p, item) {
				others = append(others, p)
			}
		}
		slices.SortFunc(others, declared)
		for _, p := range others {
			if !n.follows(p, a, gives) {
				gives[a] = append(gives[a], p)
			}
		}
	}
	return gives
}

// takesOf tells whether a step takes an item on a line that is not carried.
func (n *net) takesOf(p, item int32) bool {
	for line := n.lines[p]; line < n.lines[p+1]; line++ {
		if !n.carried[line] && slices.Contains(n.takes[n.choices[line]:n.choices[line+1]], item) {
			return true
		}
	}
	return false
}

// follows tells whether the step at place p must come after another: it needs what that gives, or has let go first one that
// does, and so on.
func (n *net) follows(p, other int32, gives map[int32][]int32) bool {
	seen := make([]bool, len(n.step))
	list := []int32{p}
	for k := 0; k < len(list); k++ {
		before := func(q int32) {
			if !seen[q] {
				seen[q] = true
				list = append(list, q)
			}
		}
		p := list[k]
		for _, q := range gives[p] {
			before(q)
		}
		for line := n.lines[p]; line < n.lines[p+1]; line++ {
			for c := n.choices[line]; c < n.choices[line+1] && !n.carried[line]; c++ {
				for _, e := range n.madeBy[n.makers[n.takes[c]]:n.makers[n.takes[c]+1]] {
					before(n.owner[e])
				}
			}
		}
	}
	return seen[other]
}

// queue is a binary heap that gives out the greatest first.
type queue []int64

func (q *queue) push(v int64) {
	*q = append(*q, v)
	h := *q
	for k := len(h) - 1; k > 0 && h[(k-1)/2] < h[k]; k = (k - 1) / 2 {
		h[(k-1)/2], h[k] = h[k], h[(k-1)/2]
	}
}

func (q *queue) pop() int64 {
	h := *q
	top, end := h[0], len(h)-1
	h[0] = h[end]
	h = h[:end]
	for k := 0; ; {
		next := 2*k + 1
		if next+1 < end && h[next+1] > h[next] {
			next++
		}
		if next >= end || h[next] <= h[k] {
			break
		}
		h[k], h[next] = h[next], h[k]
		k = next
	}
	*q = h
	return top
}
