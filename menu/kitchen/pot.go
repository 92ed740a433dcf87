package kitchen

// The pot: the step on which the most hangs. The map opens at it, and the guide gives it a page of its own.

import (
	"slices"

	"kettletree/graph"
	"kettletree/graph/flow"
)

// Pot is the step on which the most dishes hang: of those that are made on set days, in a vessel, at a set time, or of all where none is;
// where as many hang on two, the one that gives more things. It is -1 where there are no steps.
func (k *Kitchen) Pot() int {
	best, most := -1, [3]int{}
	for s, card := range k.Steps {
		var is [3]int
		if k.Graph.Steps[s].Mode == graph.OnDays {
			is[0]++
		}
		if card.Vessel >= 0 {
			is[0]++
		}
		if card.Starts != flow.Untimed {
			is[0]++
		}
		is[1] = k.hanging(s)
		is[2] = len(k.Graph.Steps[s].Gives)
		if best < 0 || slices.Compare(is[:], most[:]) > 0 {
			best, most = s, is
		}
	}
	return best
}

// hanging is how many dishes cannot be without a step: that take, with nothing in its place, what it gives or what is made of that.
func (k *Kitchen) hanging(step int) (dishes int) {
	gone, steps := map[int]bool{}, []int{step}
	seen := map[int]bool{step: true}
	for len(steps) > 0 {
		for _, out := range k.Graph.Steps[steps[0]].Gives {
			gone[out.Item] = true
		}
		steps = steps[1:]
		for s, st := range k.Graph.Steps {
			if !seen[s] && slices.ContainsFunc(st.Takes, func(l graph.Line) bool { return len(l.Choices) == 1 && !l.Optional && gone[l.Choices[0].Item] }) {
				seen[s] = true
				steps = append(steps, s)
				if s >= len(k.Steps) {
					dishes++
				}
			}
		}
	}
	return dishes
}
