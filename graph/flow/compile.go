package flow

// From graph to arrays: the order of the steps and the indices that every pass runs on.

import (
	"fmt"
	"slices"

	"kettletree/graph"
)

// rows are the lines, choices and outputs of steps, laid end to end: those of one step lie together, and those of the next
// step behind them.
type rows struct {
	mode    []graph.Mode
	lot     []float64 // by step: what is made as needed is made in so much of a batch; 0 for all else
	lines   []int32   // by step: first line; one more entry closes the last
	choices []int32   // by line: first choice; one more entry closes the last
	outputs []int32   // by step: first output; one more entry closes the last

	optional, carried []bool    // by line
	without           []float64 // by line: the share that work goes without before it is cut
	takes             []int32   // by choice: the item
	gives             []int32   // by output: the item
}

// net is the structure of a flow. It holds no amount and no price, and every copy of a Flow shares it.
//
// Steps are numbered by place: their position in a topological order, so that a pass is a loop from first to last, and what
// a step needs lies together in memory. That order is for speed alone and shows in no outcome: what a cook can see of an
// order is turn.
type net struct {
	rows // by place

	g     *graph.Graph
	step  []int32 // by place: the graph's step
	place []int32 // by the graph's step
	turn  []int32 // by place: when the step works, of those that work at one minute: see turns

	slot  []int32 // by item: its number in a costing, where items stand as steps give them: a pass then writes them in a row
	first []int32 // by line: the slot of its first choice; for a carried line, len(items) + index in seeds
	puts  []int32 // by output: the slot of the item

	either     []int32 // by line: how many of its choices the cook does not mind among; nil where there is no such line
	eitherOf   []bool  // by item: such a choice; nil like either
	eitherMade []int32 // items that are such a choice and made

	spares  []bool  // by place: some line of it can be filled in part
	owner   []int32 // by output: the place
	makers  []int32 // by item: first entry in madeBy; one more entry closes the last
	madeBy  []int32 // the outputs that give the item, in order of place
	toOrder []int32 // by item: the place of the step that makes it to order; -1 when none does

	alls  []int32 // places of the steps that take all there is, ascending
	seeds []int32 // items that some line carries over, ascending
}

// Flow is a compiled flow. It never changes.
type Flow struct {
	net    *net
	terms  Terms
	takes  []float64 // by choice: amount for one batch, base units
	gives  []float64 // by output: amount for one batch, base units
	first  []float64 // by line: amount of the choice by which it is costed
	costed []int32   // by line: where that stands in a costing: see net.first
	made   []float64 // by item: what one base unit costs, where that decides between choices of which the cook does not mind; else nil
	least  []float64 // by choice: what a batch takes before it is cut; nil where no batch goes without any
	extra  []float64 // by choice: what a batch takes beyond that, where there is more
	cost   []float64 // by place: labour and fuel for one batch
}

// Compile orders the steps and lays out their lines. It fails when a loop is not carried over time, when an item is made
// to order by two steps, when a step made to order takes from yesterday, or when Terms do not fit the graph. It costs time
// linear in the graph, but for the sorting of the steps that work at one minute.
func Compile(g *graph.Graph, t Terms) (*Flow, error) {
	items, steps := len(g.Items), len(g.Steps)
	if len(t.Price) != items || len(t.Worth) != items || len(t.Keeps) != items || t.Pack != nil && len(t.Pack) != items || len(t.Cost) != steps || len(t.Share) != steps {
		return nil, fmt.Errorf("terms do not fit a graph of %d items and %d steps", items, steps)
	}
	declared, takes, gives := read(g)
	order, err := declared.order(items)
	if err != nil {
		return nil, err
	}
	n := &net{g: g, step: order, place: make([]int32, steps)}
	f := &Flow{net: n, terms: t, cost: make([]float64, steps)}
	for p, s := range order {
		n.place[s] = int32(p)
		f.cost[p] = t.Cost[s]
		if declared.mode[s] == graph.AllOf {
			n.alls = append(n.alls, int32(p))
		}
	}
	n.rows, f.takes, f.gives = declared.arranged(order, takes, gives)
	if err := n.index(); err != nil {
		return nil, err
	}
	n.mind()
	f.settle()
	f.spare()
	return f, nil
}

// spare parts what batches take into what they can't do without and the rest. What is made to order, a portion at a time, has
// a line or does without it: there, as for what is carried, a share says nothing.
func (f *Flow) spare() {
	n := f.net
	n.spares = make([]bool, len(n.step))
	for p := range n.step {
		for line := n.lines[p]; line < n.lines[p+1]; line++ {
			if n.without[line] == 0 || n.carried[line] {
				continue
			}
			if n.spares[p] = true; n.mode[p] == graph.ToOrder {
				continue
			}
			if f.least == nil {
				f.least, f.extra = slices.Clone(f.takes), make([]float64, len(f.takes))
			}
			for c := n.choices[line]; c < n.choices[line+1]; c++ {
				f.extra[c] = f.takes[c] * n.without[line]
				f.least[c] = f.takes[c] - f.extra[c]
			}
		}
	}
}

// read lays out the steps of a graph as they are declared. It goes through the graph once, for its parts lie scattered in
// memory; all that follows runs on the rows.
func read(g *graph.Graph) (r rows, takes, gives []float64) {
	lines, choices, outputs := 0, 0, 0
	for s := range g.Steps {
		lines, outputs = lines+len(g.Steps[s].Takes), outputs+len(g.Steps[s].Gives)
		for l := range g.Steps[s].Takes {
			choices += len(g.Steps[s].Takes[l].Choices)
		}
	}
	r, takes, gives = newRows(len(g.Steps), lines, choices, outputs)
	line, c, e := 0, 0, 0
	for s := range g.Steps {
		st := &g.Steps[s]
		r.mode[s], r.lines[s], r.outputs[s] = st.Mode, int32(line), int32(e)
		if st.AsNeeded() {
			r.lot[s] = st.Lot
		}
		for l := range st.Takes {
			from := &st.Takes[l]
			r.choices[line], r.optional[line], r.carried[line], r.without[line] = int32(c), from.Optional, from.Carried, from.Without
			for k := range from.Choices {
				r.takes[c], takes[c] = int32(from.Choices[k].Item), from.Choices[k].Amount
				c++
			}
			line++
		}
		for o := range st.Gives {
			r.gives[e], gives[e] = int32(st.Gives[o].Item), st.Gives[o].Amount
			e++
		}
	}
	return r, takes, gives
}

// newRows has room for so much, with the amounts that go beside it; only the closing entries are filled in.
func newRows(steps, lines, choices, outputs int) (r rows, takes, gives []float64) {
	r = rows{
		mode: make([]graph.Mode, steps), lot: make([]float64, steps), lines: make([]int32, steps+1), outputs: make([]int32, steps+1),
		choices: make([]int32, lines+1), optional: make([]bool, lines), carried: make([]bool, lines), without: make([]float64, lines),
		takes: make([]int32, choices), gives: make([]int32, outputs),
	}
	r.lines[steps], r.choices[lines], r.outputs[steps] = int32(lines), int32(choices), int32(outputs)
	return r, make([]float64, choices), make([]float64, outputs)
}

// arranged is the rows, and the amounts beside them, with the steps in another order.
func (r *rows) arranged(order []int32, takes, gives []float64) (to rows, toTakes, toGives []float64) {
	to, toTakes, toGives = newRows(len(order), len(r.optional), len(r.takes), len(r.gives))
	line, c, e := int32(0), int32(0), int32(0)
	for p, s := range order { // element by element: there are few of each, and a call to copy costs more
		to.mode[p], to.lot[p], to.lines[p], to.outputs[p] = r.mode[s], r.lot[s], line, e
		for l := r.lines[s]; l < r.lines[s+1]; l++ {
			to.choices[line], to.optional[line], to.carried[line], to.without[line] = c, r.optional[l], r.carried[l], r.without[l]
			for k := r.choices[l]; k < r.choices[l+1]; k++ {
				to.takes[c], toTakes[c] = r.takes[k], takes[k]
				c++
			}
			line++
		}
		for k := r.outputs[s]; k < r.outputs[s+1]; k++ {
			to.gives[e], toGives[e] = r.gives[k], gives[k]
			e++
		}
	}
	return to, toTakes, toGives
}

// index fills in what can be looked up by item.
func (n *net) index() error {
	items := len(n.g.Items)
	n.owner, n.toOrder = make([]int32, len(n.gives)), slices.Repeat([]int32{-1}, items)
	n.makers, n.madeBy = byItem(items, n.gives)
	for p := range n.step {
		for e := n.outputs[p]; e < n.outputs[p+1]; e++ {
			i := n.gives[e]
			n.owner[e] = int32(p)
			if n.mode[p] != graph.ToOrder {
				continue
			}
			if q := n.toOrder[i]; q >= 0 && q != int32(p) {
				return fmt.Errorf("%q is made to order by two steps, %q and %q",
					n.g.Items[i].Name, n.g.Steps[n.step[q]].Name, n.g.Steps[n.step[p]].Name)
			}
			n.toOrder[i] = int32(p)
		}
	}
	n.number()
	n.turn = n.turns()
	return n.carry()
}

// number gives the items their slots: first those that no step gives, then the others by their first maker.
func (n *net) number() {
	n.slot, n.puts = slices.Repeat([]int32{-1}, len(n.g.Items)), make([]int32, len(n.gives))
	next := int32(0)
	for i := range n.slot {
		if n.makers[i] == n.makers[i+1] {
			n.slot[i] = next
			next++
		}
	}
	for e, i := range n.gives {
		if n.slot[i] < 0 {
			n.slot[i] = next
			next++
		}
		n.puts[e] = n.slot[i]
	}
}

// carry numbers the items that are carried over, and points the lines at the slots of their first choices.
func (n *net) carry() error {
	n.first = make([]int32, len(n.carried))
	for p, s := range n.step {
		for line := n.lines[p]; line < n.lines[p+1]; line++ {
			first, end := n.choices[line], n.choices[line+1]
			if n.first[line] = n.slot[n.takes[first]]; !n.carried[line] {
				continue
			}
			if n.mode[p] == graph.ToOrder {
				return fmt.Errorf("%q is made to order, so it can't take %q from yesterday", n.g.Steps[s].Name, n.g.Items[n.takes[first]].Name)
			}
			n.seeds = append(n.seeds, n.takes[first:end]...)
		}
	}
	slices.Sort(n.seeds)
	n.seeds = slices.Compact(n.seeds)
	for line, carried := range n.carried {
		if carried {
			k, _ := slices.BinarySearch(n.seeds, n.takes[n.choices[line]])
			n.first[line] = int32(len(n.g.Items) + k)
		}
	}
	return nil
}

// byItem lists, for every item, the entries of a row that stand for it, in the order of the row: those of item i are
// list[at[i]:at[i+1]].
func byItem(items int, row []int32) (at, list []int32) {
	at, list = make([]int32, items+1), make([]int32, len(row))
	for _, i := range row {
		at[i+1]++
	}
	for i := range items {
		at[i+1] += at[i]
	}
	next := slices.Clone(at)
	for k, i := range row {
		list[next[i]] = int32(k)
		next[i]++
	}
	return at, list
}
