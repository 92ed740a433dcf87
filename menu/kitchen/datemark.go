package kitchen

// Date marks: how much of the days that a code allows is used up when something is made, by the earliest day 1 of what
// it is made of.

import (
	"fmt"
	"slices"
	"strings"

	"kettletree/graph"
)

// Chain is what the kitchen file lets an item come to before it is even made: the day 1 that it may already carry.
type Chain struct {
	Days int   // days used up when it is made, at most: 0 when it begins its own day 1
	Path []int // items from the one that began the day 1 to this one
	Ever bool  // it takes its own seed from yesterday without cooking it through, so that its day 1 is that of the first batch
}

// Chains are the chains of all items of the kitchen, by item of Graph. Every item is taken to lie as long as its
// "keeps" lets it; one without is taken to be used on the day that it is made. What is bought begins no chain: the day
// on which a pack of ready food is opened is not in the file.
func (k *Kitchen) Chains() []Chain {
	chains := make([]Chain, len(k.Graph.Items))
	done := make([]bool, len(k.Graph.Items))
	for i := range chains {
		chains[i].Path = []int{i}
	}
	if k.Code.Keeps == 0 {
		return chains
	}
	// Without carried lines there is no circle, so each round settles at least one item.
	for range k.Graph.Items {
		for i, it := range k.Graph.Items {
			if !done[i] && (it.Role != graph.Made || k.datesKnown(i, done)) {
				done[i] = true
				if it.Role == graph.Made {
					chains[i] = k.chain(i, chains)
				}
			}
		}
	}
	return chains
}

// makers walks the steps that give an item.
func (k *Kitchen) makers(item int) (steps []int) {
	for s := range k.Steps {
		if slices.ContainsFunc(k.Graph.Steps[s].Gives, func(o graph.Output) bool { return o.Item == item }) {
			steps = append(steps, s)
		}
	}
	return steps
}

// datesKnown tells whether the chains of all that an item is made of are known.
func (k *Kitchen) datesKnown(item int, done []bool) bool {
	for _, s := range k.makers(item) {
		for _, line := range k.Graph.Steps[s].Takes {
			for _, c := range line.Choices {
				if !line.Carried && k.Graph.Items[c.Item].Role == graph.Made && !done[c.Item] {
					return false
				}
			}
		}
	}
	return true
}

// chain is the chain of an item whose ingredients have theirs.
func (k *Kitchen) chain(item int, chains []Chain) Chain {
	most := Chain{Path: []int{item}}
	for _, s := range k.makers(item) {
		if k.Steps[s].Cooks {
			continue
		}
		for _, line := range k.Graph.Steps[s].Takes {
			for _, c := range line.Choices {
				if k.Graph.Items[c.Item].Role != graph.Made || k.Undated[c.Item] {
					continue
				}
				days := k.lies(c.Item, chains[c.Item])
				if line.Carried {
					most.Ever = true
					days = k.Code.Keeps
				}
				if days = min(days, k.Code.Keeps); days > most.Days {
					most.Days, most.Path = days, append(slices.Clone(chains[c.Item].Path), item)
				}
				most.Ever = most.Ever || chains[c.Item].Ever
			}
		}
	}
	return most
}

// lies is how many days are used up when an item is taken on the last day that it is there. What is frozen uses up the
// day on which it is frozen, and no more.
func (k *Kitchen) lies(item int, c Chain) int {
	left := k.Code.Keeps - c.Days
	switch keeps := k.Terms.Keeps[item]; {
	case k.Frozen[item]:
		return c.Days + 1
	case keeps > 0:
		return c.Days + min(keeps, max(left, 1)) - 1
	default:
		return c.Days // how long it lies is not written
	}
}

// checkDateMarks warns of what is kept longer than the code's date mark has days left for, where the file says how long
// it keeps.
func (r *reader) checkDateMarks() {
	k := r.k
	if k.Code.Keeps == 0 {
		return
	}
	chains := k.Chains()
	for i, it := range k.Graph.Items {
		at := r.keepsAt[i]
		if at == nil || it.Role != graph.Made || k.Undated[i] || k.Frozen[i] {
			continue
		}
		c := chains[i]
		left := k.Code.Keeps - c.Days
		if k.Terms.Keeps[i] <= left {
			continue
		}
		const hint = `"cooks through: yes" on a step begins a new day 1; "date mark: no" is for what needs no time and ` +
			`temperature control`
		switch {
		case c.Ever:
			r.warn(r.span(at), "past-date-mark", hint,
				"%q carries the day 1 of the first batch that it was ever seeded from, so that no day is left (%s)", it.Name,
				k.Code.Cite(k.Code.Dated))
		case c.Days == 0:
			r.warn(r.span(at), "past-date-mark", fmt.Sprintf("write %d days at most; ", k.Code.Keeps)+hint,
				"%q keeps %d days, but ready food is held cold for %d, the day made being day 1 (%s)", it.Name, k.Terms.Keeps[i],
				k.Code.Keeps, k.Code.Cite(k.Code.Dated))
		default:
			d := r.warn(r.span(at), "past-date-mark", fmt.Sprintf("write %s, or let what it is made of keep less; ",
				atMostDays(left))+hint,
				"%q keeps %d days, but what it is made of may have used up %d of %d days when it is made (%s): %s", it.Name,
				k.Terms.Keeps[i], c.Days, k.Code.Keeps, k.Code.Cite(k.Code.mixing()), r.path(c.Path))
			for _, from := range c.Path[:len(c.Path)-1] {
				if n := r.keepsAt[from]; n != nil {
					d.note(r.span(n).Pos, "%q keeps %s", k.Graph.Items[from].Name, n.Value)
				}
			}
		}
	}
}

// mixing is the section by which a mix keeps the earliest day 1.
func (c *Code) mixing() string {
	if c.Mixed != "" {
		return c.Mixed
	}
	return c.Dated
}

func atMostDays(days int) string {
	switch {
	case days < 1:
		return "nothing that is kept"
	case days == 1:
		return "1 day"
	}
	return fmt.Sprintf("%d days at most", days)
}

// path names items with arrows between them.
func (r *reader) path(items []int) string {
	var names []string
	for _, i := range items {
		names = append(names, r.items[i].Name)
	}
	return strings.Join(names, " -> ")
}
