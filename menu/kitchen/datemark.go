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
	Held bool  // it carries a day 1: it is ready to eat, or something in it is. Raw food by itself carries none
	Days int   // days used up when it is made, at most: 0 when that is its own day 1
	Path []int // items from the one that began the day 1 to this one
	Ever bool  // it is seeded with what came of itself, from yesterday, and nobody has approved a new day 1, so that its day 1 is that of the first batch
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
	// Without lines that seed a circle there is none, so each round settles at least one item.
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
				if !k.seeds(s, line, c.Item) && k.Graph.Items[c.Item].Role == graph.Made && !done[c.Item] {
					return false
				}
			}
		}
	}
	return true
}

// chain is the chain of an item whose ingredients have theirs. Cooking it through begins a day 1 for what was raw, and for nothing
// else: what is ready keeps the earliest day 1 (3-501.17(C)).
func (k *Kitchen) chain(item int, chains []Chain) Chain {
	most := Chain{Path: []int{item}, Held: !k.Raw[item]}
	if most.Held {
		most.Days = min(k.Nights(item), k.daysFrom(item, item))
	}
	for _, s := range k.makers(item) {
		for _, line := range k.Graph.Steps[s].Takes {
			for _, c := range line.Choices {
				if !k.Carries(s, line, c.Item) || k.Raw[c.Item] && !k.seeds(s, line, c.Item) && !chains[c.Item].Held {
					continue
				}
				most.Held = true
				first, days := chains[c.Item].Path[0], k.lies(c.Item, chains[c.Item])
				switch {
				case k.seeds(s, line, c.Item):
					most.Ever = true
					days = k.daysFrom(first, item)
				case line.Carried:
					days = max(days, chains[c.Item].Days+1)
				}
				if days = min(days, k.daysFrom(first, item)); days > most.Days {
					most.Days, most.Path = days, append(slices.Clone(chains[c.Item].Path), item)
				}
				most.Ever = most.Ever || chains[c.Item].Ever
			}
		}
	}
	return most
}

// Carries tells whether an item brings the day 1 of what is ready in it to what a step makes of it: what is bought brings none, for
// the day on which a pack is opened is not in the file, and neither does what needs no date mark. What is carried on from
// yesterday does not where an approval is named and the step cooks it through.
func (k *Kitchen) Carries(step int, line graph.Line, item int) bool {
	if k.Graph.Items[item].Role != graph.Made || k.Undated[item] {
		return false
	}
	return k.Approved[item] == "" || !k.Cooks(step) || !k.seeds(step, line, item)
}

// seeds tells whether a line takes, from yesterday, what came of its own step: a perpetual stock. What another step made and an earlier
// day left is a batch like any other.
func (k *Kitchen) seeds(step int, line graph.Line, item int) bool {
	return line.Carried && slices.Contains(k.Graph.Downstream(k.Graph.Node(step)), item)
}

// daysFrom is how many days what began a day 1 may lie, made into something: those of the code or, where it sets none, the kitchen's own of
// what began it; those of what it became where the file has none, or has them frozen. It is 0 where nobody says.
func (k *Kitchen) daysFrom(first, item int) int {
	if k.Code.Keeps > 0 {
		return k.Code.Keeps
	}
	if days := k.Terms.Keeps[first]; days > 0 && !k.Frozen[first] {
		return days
	}
	return k.Terms.Keeps[item]
}

// OwnDated tells whether no code sets the days of an item, so that it keeps the earliest that the kitchen's own days set: ready food.
func (k *Kitchen) OwnDated(item int) bool {
	return k.Code.Keeps == 0 && !k.Undated[item] && !k.Raw[item]
}

// Dated tells whether the date mark of the code binds an item: ready food and, where the code counts that as ready to eat, raw food that
// a dish serves raw by its own word.
func (k *Kitchen) Dated(item int) bool {
	return k.Code.Keeps > 0 && !k.Undated[item] && (!k.Raw[item] || k.Code.Ready != "" && k.reachesRaw(item))
}

// RawFish are the raw fish in an item that a dish serves raw, by its own word, and those of them for which the file names no supplier's
// letter on parasites.
func (k *Kitchen) RawFish(item int) (fish, unsaid []int) {
	for _, i := range k.RawIn(item) {
		if !k.states(i, "fish") || !k.reachesRaw(item) {
			continue
		}
		fish = append(fish, i)
		if k.Bought[i].Parasites == "" {
			unsaid = append(unsaid, i)
		}
	}
	return fish, unsaid
}

// reachesRaw tells whether a raw item comes to a dish that is served raw, by the word of the file.
func (k *Kitchen) reachesRaw(item int) bool {
	seen := map[int]bool{item: true}
	for todo := []int{item}; len(todo) > 0; todo = todo[1:] {
		for s, st := range k.Graph.Steps {
			if k.Cooks(s) || !slices.ContainsFunc(st.Takes, func(l graph.Line) bool {
				return slices.ContainsFunc(l.Choices, func(c graph.Choice) bool { return c.Item == todo[0] })
			}) {
				continue
			}
			if s >= len(k.Steps) && k.Heat[s] == LeavesRaw {
				return true
			}
			for _, o := range st.Gives {
				if !seen[o.Item] {
					seen[o.Item] = true
					todo = append(todo, o.Item)
				}
			}
		}
	}
	return false
}

// lies is how many days are used up when an item is taken on the last day that it is there. What is frozen uses up the
// day on which it is frozen, and no more.
func (k *Kitchen) lies(item int, c Chain) int {
	left := k.daysFrom(c.Path[0], item) - c.Days
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
	chains := k.Chains()
	for i, it := range k.Graph.Items {
		at := r.keepsAt[i]
		if at == nil || it.Role != graph.Made || !k.Dated(i) && !k.OwnDated(i) || k.Frozen[i] {
			continue
		}
		c := chains[i]
		most := k.daysFrom(c.Path[0], i)
		left, by := most-c.Days, k.Code.Cite(k.Code.mixing())
		if k.Code.Keeps == 0 {
			by = "the kitchen's own days, for the code sets none"
			if len(c.Path) == 1 && !c.Ever {
				continue // its days from when it is out are for the kitchen to say
			}
		}
		if k.Terms.Keeps[i] <= left {
			continue
		}
		const hint = `"cooks through: yes" begins a day 1 for what is "raw: yes", and ready food keeps its own; "date mark: no" is for ` +
			`what needs no time and temperature control`
		switch {
		case c.Ever:
			r.warn(r.span(at), "past-date-mark", `name in "date approved by" who has approved it in writing, if somebody has; `+hint,
				"%q carries the day 1 of the first batch that it was ever seeded from, so that no day is left (%s)", it.Name, by)
		case c.Days == 0:
			r.warn(r.span(at), "past-date-mark", fmt.Sprintf("write %d days at most; ", k.Code.Keeps)+hint,
				"%q keeps %d days, but ready food is held cold for %d, the day made being day 1 (%s)", it.Name, k.Terms.Keeps[i],
				k.Code.Keeps, k.Code.Cite(k.Code.Dated))
		case len(c.Path) == 1:
			r.warn(r.span(at), "past-date-mark", fmt.Sprintf("write %s; ", atMostDays(left))+hint,
				"%q keeps %d days, but %d of %d are used up when it is out: day 1 is the day on which it is off the heat (%s)", it.Name,
				k.Terms.Keeps[i], c.Days, k.Code.Keeps, k.Code.Cite(k.Code.Dated))
		default:
			d := r.warn(r.span(at), "past-date-mark", fmt.Sprintf("write %s, or let what it is made of keep less; ",
				atMostDays(left))+hint,
				"%q keeps %d days, but what it is made of may have used up %d of %d days when it is made (%s): %s", it.Name,
				k.Terms.Keeps[i], c.Days, most, by, r.path(c.Path))
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
