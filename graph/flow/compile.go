package flow

// From graph to arrays: the order of the steps and the indices that every pass runs on.

import (
	"cmp"
	"fmt"
	"slices"

	"kettletree/graph"
)

// net is the structure of a flow. It holds no amount and no price, and every copy of a Flow shares it.
//
// Steps are numbered by place: their position in a topological order, so that a pass is a loop from first to last. Lines,
// choices and outputs are numbered along that order, so that what a step needs lies together in memory.
type net struct {
	g     *graph.Graph
	step  []int32 // by place: the graph's step
	place []int32 // by the graph's step

	lines   []int32 // by place: first line; one more entry closes the last
	choices []int32 // by line: first choice; one more entry closes the last
	outputs []int32 // by place: first output; one more entry closes the last

	optional, carried []bool  // by line
	takes             []int32 // by choice: the item
	first             []int32 // by line: the item of its first choice; for a carried line, len(items) + index in seeds
	gives             []int32 // by output: the item
	owner             []int32 // by output: the place

	makers  []int32 // by item: first entry in madeBy; one more entry closes the last
	madeBy  []int32 // the outputs that give the item, in order of place
	toOrder []int32 // by item: the place of the step that makes it to order; -1 when none does

	alls  []int32 // places of the steps that take all there is, ascending
	seeds []int32 // items that some line carries over, ascending
}

// Flow is a compiled flow. It never changes.
type Flow struct {
	net   *net
	terms Terms
	takes []float64 // by choice: amount for one batch, base units
	gives []float64 // by output: amount for one batch, base units
	first []float64 // by line: amount of its first choice
	times []float64 // by line: how much of its item the step's lines without substitutes take in all, over what it takes
	cost  []float64 // by place: labour and fuel for one batch
}

// Compile orders the steps and lays out their lines. It fails when a loop is not carried over time, when an item is made
// to order by two steps, or when Terms do not fit the graph. It costs time linear in the graph, up to sorting steps of
// one level by size (so that a pass meets equal steps in a row, and its branches are foreseen).
func Compile(g *graph.Graph, t Terms) (*Flow, error) {
	items, steps := len(g.Items), len(g.Steps)
	if len(t.Price) != items || len(t.Worth) != items || len(t.Keeps) != items || len(t.Cost) != steps || len(t.Share) != steps {
		return nil, fmt.Errorf("terms do not fit a graph of %d items and %d steps", items, steps)
	}
	order, err := order(g)
	if err != nil {
		return nil, err
	}
	n := &net{g: g, step: order, place: make([]int32, steps), toOrder: make([]int32, items)}
	f := &Flow{net: n, terms: t}
	for i := range n.toOrder {
		n.toOrder[i] = -1
	}
	seed := make([]bool, items)
	count := make([]int32, items+1)
	for p, s := range order {
		st := &g.Steps[s]
		n.place[s] = int32(p)
		n.lines = append(n.lines, int32(len(n.choices)))
		n.outputs = append(n.outputs, int32(len(n.gives)))
		f.cost = append(f.cost, t.Cost[s])
		if st.Mode == graph.AllOf {
			n.alls = append(n.alls, int32(p))
		}
		for _, l := range st.Uses {
			n.choices = append(n.choices, int32(len(n.takes)))
			n.optional = append(n.optional, l.Optional)
			n.carried = append(n.carried, l.Carried)
			n.first = append(n.first, int32(l.Choices[0].Item))
			f.first = append(f.first, l.Choices[0].Amount)
			for _, c := range l.Choices {
				n.takes = append(n.takes, int32(c.Item))
				f.takes = append(f.takes, c.Amount)
				seed[c.Item] = seed[c.Item] || l.Carried
			}
		}
		for _, o := range st.Gives {
			n.gives = append(n.gives, int32(o.Item))
			n.owner = append(n.owner, int32(p))
			f.gives = append(f.gives, o.Amount)
			count[o.Item]++
			if st.Mode != graph.ToOrder {
				continue
			}
			if q := n.toOrder[o.Item]; q >= 0 && q != int32(p) {
				return nil, fmt.Errorf("%q is made to order by two steps, %q and %q",
					g.Items[o.Item].Name, g.Steps[order[q]].Name, st.Name)
			}
			n.toOrder[o.Item] = int32(p)
		}
	}
	f.times = f.repeats()
	n.lines = append(n.lines, int32(len(n.choices)))
	n.choices = append(n.choices, int32(len(n.takes)))
	n.outputs = append(n.outputs, int32(len(n.gives)))
	n.makers = make([]int32, items+1)
	for i := range items {
		n.makers[i+1] = n.makers[i] + count[i]
		if seed[i] {
			n.seeds = append(n.seeds, int32(i))
		}
	}
	for line, carried := range n.carried {
		if carried {
			k, _ := slices.BinarySearch(n.seeds, n.first[line])
			n.first[line] = int32(items + k)
		}
	}
	n.madeBy = make([]int32, len(n.gives))
	next := slices.Clone(n.makers)
	for o, i := range n.gives {
		n.madeBy[next[i]] = int32(o)
		next[i]++
	}
	return f, nil
}

// repeats finds the lines whose item stands on another line of the same step too, such as bones that go in twice.
func (f *Flow) repeats() []float64 {
	times := make([]float64, 0, len(f.first))
	for _, s := range f.net.step {
		uses := f.net.g.Steps[s].Uses
		for _, l := range uses {
			all := 0.0
			for _, m := range uses {
				if len(l.Choices) == 1 && len(m.Choices) == 1 && l.Choices[0].Item == m.Choices[0].Item && l.Carried == m.Carried {
					all += m.Choices[0].Amount
				}
			}
			times = append(times, max(1, all/l.Choices[0].Amount))
		}
	}
	return times
}

// order is Kahn's algorithm (1962) over the steps, level by level: a step follows every step that gives what it takes,
// but for carried lines. Within a level, steps stand by number of lines, of outputs, and of declaration.
//
// A step that takes all there is of an item waits, where it can, for the steps on set days that take the same item, so
// that it gets what they leave; where it gives what such a step needs it can't, and goes first.
func order(g *graph.Graph) ([]int32, error) {
	items, steps := len(g.Items), len(g.Steps)
	open := make([]int32, items)    // by item: givers not yet placed
	waits := make([]int32, steps)   // by step: lines' items that are still open
	yields := make([]int32, steps)  // by step that takes all: steps it lets go first
	users := make([][]int32, items) // by item: steps that take it, once for each line
	courtesy := make([][]int32, items)
	for s, st := range g.Steps {
		for _, o := range st.Gives {
			open[o.Item]++
		}
		if st.Mode == graph.AllOf && len(st.Uses) > 0 {
			first := st.Uses[0].Choices[0].Item
			courtesy[first] = append(courtesy[first], int32(s))
		}
	}
	for s, st := range g.Steps {
		for _, l := range st.Uses {
			if l.Carried {
				continue
			}
			for _, c := range l.Choices {
				if open[c.Item] > 0 {
					users[c.Item] = append(users[c.Item], int32(s))
					waits[s]++
				}
				if st.Mode == graph.OnDays {
					for _, a := range courtesy[c.Item] {
						yields[a]++
					}
				}
			}
		}
	}
	var level, later []int32
	placed := make([]bool, steps)
	ready := func(s int32) bool { return !placed[s] && waits[s] == 0 && yields[s] == 0 }
	for s := range int32(steps) {
		if ready(s) {
			level = append(level, s)
		}
	}
	out := make([]int32, 0, steps)
	for len(out) < steps {
		if len(level) == 0 { // courtesy would be a deadlock: the first that only waits for it goes
			s := int32(0)
			for int(s) < steps && (placed[s] || waits[s] > 0) {
				s++
			}
			if int(s) == steps {
				return nil, fmt.Errorf("the flow has a loop that is not carried over time")
			}
			yields[s] = 0
			level = append(level, s)
		}
		slices.SortFunc(level, func(a, b int32) int {
			x, y := &g.Steps[a], &g.Steps[b]
			return cmp.Or(cmp.Compare(len(x.Uses), len(y.Uses)), cmp.Compare(len(x.Gives), len(y.Gives)), cmp.Compare(a, b))
		})
		later = later[:0]
		for _, s := range level {
			placed[s] = true
		}
		free := func(s int32) {
			if ready(s) {
				placed[s] = true // so that it is queued once; it is placed with its level
				later = append(later, s)
			}
		}
		for _, s := range level {
			out = append(out, s)
			st := &g.Steps[s]
			for _, o := range st.Gives {
				if open[o.Item]--; open[o.Item] == 0 {
					for _, u := range users[o.Item] {
						waits[u]--
						free(u)
					}
				}
			}
			if st.Mode != graph.OnDays {
				continue
			}
			for _, l := range st.Uses {
				for _, c := range l.Choices {
					if l.Carried {
						continue
					}
					for _, a := range courtesy[c.Item] {
						if yields[a] > 0 {
							yields[a]--
						}
						free(a)
					}
				}
			}
		}
		level, later = later, level
	}
	return out, nil
}
