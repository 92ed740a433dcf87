package flow

// Where weight ends up: of each kilo that comes in, what is sold on which portion, and what is not.

import (
	"slices"

	"gonum.org/v1/gonum/mat"

	"kettletree/graph"
	"kettletree/graph/measure"
)

// End is a way for weight to end other than on a portion.
type End int

const (
	InWork  End = iota // trimmings, skimmings, evaporation
	InLoss             // batches that failed
	InBin              // no longer kept
	OnShelf            // on hand, or still in a pot, at the end
	endKinds
)

// Fates says where one gram of each item ended up. What became of an item adds up to 1, up to rounding.
type Fates struct {
	Of [][]float64 // by item: shares by want, then by End; nil for an item that was not there
	// Unweighed lists the items that no bridge leads to a weight of. One counted by volume is taken to weigh what water does, 1 g/mL;
	// one counted by number is left out of what steps weigh.
	Unweighed []int

	wants int
}

// On is the share of an item's weight that was sold on a want.
func (t *Fates) On(item, want int) float64 { return t.Of[item][want] }

// End is the share of an item's weight that ended in another way.
func (t *Fates) End(item int, e End) float64 { return t.Of[item][t.wants+int(e)] }

// Fates follows the weight of every item through an outcome of the schedule: what a step takes goes to what it gives, by
// weight, and the rest stays behind in work. A perpetual stock leads back to itself and is resolved exactly; it fails
// when that can't be done.
func (f *Flow) Fates(s *Schedule, o *Outcome) (*Fates, error) {
	n := f.net
	t := &Fates{Of: make([][]float64, len(n.g.Items)), wants: len(s.Wants)}
	w := weighing{f: f, s: s, o: o, fates: t, grams: make([]float64, len(n.g.Items)), want: make([]int, len(n.g.Items))}
	for i, it := range n.g.Items {
		w.want[i] = -1
		grams, ok := it.Grams(1)
		if w.grams[i] = grams; ok || it.Role == graph.Sold {
			continue
		}
		if t.Unweighed = append(t.Unweighed, i); it.Unit.Kind == measure.Volume {
			w.grams[i] = 1
		}
	}
	for k, want := range s.Wants {
		w.want[want.Item] = k
	}

	k, wide := len(n.seeds), len(s.Wants)+int(endKinds)
	seeds := make([][]float64, k) // by seed: what becomes of what is carried over
	for j := range seeds {
		seeds[j] = make([]float64, wide)
	}
	w.pass(seeds)
	if k == 0 {
		return t, nil
	}
	ended := make([][]float64, k) // by seed, with nothing carried over
	for j, i := range n.seeds {
		ended[j] = t.Of[i]
	}
	m := mat.NewDense(k, k, nil) // m[i][j]: how much of seed i is carried over as seed j
	for j := range k {
		seeds[j][0] = 1
		w.pass(seeds)
		for i, item := range n.seeds {
			if t.Of[item] != nil {
				m.Set(i, j, t.Of[item][0]-ended[i][0])
			}
		}
		seeds[j][0] = 0
	}
	d := make([]float64, k)
	for e := range wide {
		for j := range k {
			if d[j] = 0; ended[j] != nil {
				d[j] = ended[j][e]
			}
		}
		at, err := n.solveCarried(m, d)
		if err != nil {
			return nil, err
		}
		for j := range k {
			seeds[j][e] = at[j]
		}
	}
	w.pass(seeds)
	return t, nil
}

// weighing is the backward pass of [Flow.Fates].
type weighing struct {
	f     *Flow
	s     *Schedule
	o     *Outcome
	fates *Fates
	grams []float64 // by item: in one base unit; 0 when it can't be weighed
	want  []int     // by item: the want it is the portion of; -1
}

// pass goes from the last step to the first. What is carried over ends as seeds say.
func (w *weighing) pass(seeds [][]float64) {
	// Where a use of an item ended is added up by item, in the amounts of the use.
	f, n, t := w.f, w.f.net, w.fates
	wide := t.wants + int(endKinds)
	uses := make([][]float64, len(n.g.Items)) // by item: amounts by end, over its uses so far
	used := make([]float64, len(n.g.Items))
	add := func(i int32, amount float64, ended []float64) {
		if amount == 0 {
			return
		}
		if uses[i] == nil {
			uses[i] = make([]float64, wide)
		}
		used[i] += amount
		for e, share := range ended {
			uses[i][e] += amount * share
		}
	}
	only := func(e int) []float64 {
		v := make([]float64, wide)
		v[e] = 1
		return v
	}
	// closeItem adds up what became of an item once all its uses are known.
	closed := make([]bool, len(n.g.Items))
	closeItem := func(i int32) {
		if closed[i] {
			return
		}
		closed[i] = true
		if k := w.want[i]; k >= 0 {
			t.Of[i] = only(k)
			return
		}
		add(i, w.o.Binned[i], only(t.wants+int(InBin)))
		add(i, w.o.Left[i], only(t.wants+int(OnShelf)))
		add(i, w.o.Lost[i], only(t.wants+int(InLoss)))
		if t.Of[i] = uses[i]; used[i] > 0 {
			for e := range t.Of[i] {
				t.Of[i][e] /= used[i]
			}
		}
	}

	// Carried lines come first: they stand before the step that gives their item.
	for line, carried := range n.carried { // ahead of the pass: a carried line stands before the step that gives its item
		for c := n.choices[line]; c < n.choices[line+1] && carried; c++ {
			k, _ := slices.BinarySearch(n.seeds, n.takes[c])
			add(n.takes[c], w.o.Used[c], seeds[k])
		}
	}

	// Steps from the last to the first: what a step takes ends where what it gives ends, and the rest stays behind in work.
	for p := len(n.step) - 1; p >= 0; p-- {
		ended, out := make([]float64, wide), 0.0
		for e := n.outputs[p]; e < n.outputs[p+1]; e++ {
			i := n.gives[e]
			closeItem(i)
			weight := f.gives[e] * w.grams[i]
			if n.g.Items[i].Role == graph.Sold {
				weight = f.gives[e] // a portion weighs what it is made of: its step leaves nothing behind
			}
			if out += weight; t.Of[i] != nil {
				for k, share := range t.Of[i] {
					ended[k] += weight * share
				}
			}
		}
		in := 0.0
		for line := n.lines[p]; line < n.lines[p+1]; line++ {
			in += f.takes[n.choices[line]] * w.grams[n.takes[n.choices[line]]]
		}
		if n.g.Items[n.gives[n.outputs[p]]].Role == graph.Sold || in < out {
			in = out
		}
		if in > 0 {
			for k := range ended {
				ended[k] /= in
			}
			ended[t.wants+int(InWork)] += 1 - out/in
		}
		for line := n.lines[p]; line < n.lines[p+1]; line++ {
			for c := n.choices[line]; c < n.choices[line+1] && !n.carried[line]; c++ {
				add(n.takes[c], w.o.Used[c], ended)
			}
		}
		w.s.eachPutIn(w.o, func(pot *Pot, item int, amount float64) {
			if pot.Step != int(n.step[p]) || amount == 0 || closed[item] { // closed: it comes of what it goes into
				return
			}
			// It goes into what is still to come out; into work when that is nothing.
			ended, out := make([]float64, wide), 0.0
			for _, g := range pot.Gives {
				weight := g.Amount * w.grams[g.Item]
				if !closed[g.Item] || t.Of[g.Item] == nil || weight == 0 {
					continue
				}
				out += weight
				for k, share := range t.Of[g.Item] {
					ended[k] += weight * share
				}
			}
			for k := range ended {
				ended[k] /= out
			}
			if out == 0 {
				ended = only(t.wants + int(InWork))
			}
			add(int32(item), amount, ended)
		})
	}

	// Items that no step gives.
	for i := range n.g.Items {
		closeItem(int32(i))
	}
}
