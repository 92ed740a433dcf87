package week

// What is missing, as a shock: an item of which there is none, or a step none of whose batches succeeds.

import (
	"kettletree/graph"
	"kettletree/graph/flow"
)

// Missing is the shock that there is none of an item in the whole period: no delivery of it comes, nothing of it comes of the
// steps that give it, which go on with the rest, and what is on hand is thrown out. A dish can't be missing.
func (w *Week) Missing(item int) Shock {
	s := Shock{Kind: "missing", Text: w.Graph.Items[item].Name, Changes: []flow.Shock{flow.Spoil{Item: item, Day: 0}}}
	if w.Graph.Items[item].Role == graph.Bought {
		s.Changes = append(s.Changes, flow.Scarce{Item: item, Day: flow.EveryDay, Share: 1})
	}
	for step, st := range w.Graph.Steps {
		for out, o := range st.Gives {
			if o.Item == item {
				s.Changes = append(s.Changes, flow.Yield{Step: step, Output: out, Day: flow.EveryDay, Factor: 0})
			}
		}
	}
	return s
}

// Lost is the shock that all batches of a step of a day are lost after they took their inputs; of every day for
// [flow.EveryDay].
func (w *Week) Lost(step, day int) Shock {
	return Shock{Kind: "lose", Text: w.Graph.Steps[step].Name, Changes: []flow.Shock{flow.Lose{Step: step, Day: day, Share: 1}}}
}
