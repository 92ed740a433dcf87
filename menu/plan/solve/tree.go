// Branch and bound: best bound first with plunging, pseudo-costs made reliable by strong branching.
//
// Sources: Land & Doig (1960) for the method; Achterberg, Koch & Martin, "Branching rules revisited" (2005) for
// reliability branching; Achterberg (2007), section 6, for plunging from the best node down to keep the LP warm.

package solve

import (
	"container/heap"
	"math"
	"slices"

	"kettletree/menu/plan/solve/simplex"
)

const (
	reliable    = 4    // branchings of a column and side after which its pseudo-cost is believed
	strongMax   = 8    // columns tried by strong branching at one node
	strongDepth = 40   // simplex iterations given to each trial
	plungeMax   = 200  // nodes of one plunge
	asideMost   = 16   // an amount of a node's iterations of which one may go into deciding what is still open at its point
	later       = 0.01 // what the rise by a column of a later group counts beside one of the first
	depthMax    = 1000 // levels, and four more per column: deeper down only columns without bounds lead
)

// node is a subproblem: that of its parent with one more bound.
type node struct {
	parent *node
	col    int32
	lo, up float64
	bound  float64 // no point below is better
	from   float64 // objective of the parent's LP
	depth  int
	basis  simplex.Basis // of the parent's LP, shared with the sibling
	rows   int           // size of that LP
	move   float64       // distance by which the branching moved the column: for pseudo-costs
	serial int           // order of creation breaks ties
}

type nodeHeap []*node

func (h nodeHeap) Len() int { return len(h) }

func (h nodeHeap) Less(a, b int) bool {
	if h[a].bound != h[b].bound {
		return h[a].bound < h[b].bound
	}
	return h[a].serial > h[b].serial
}

func (h nodeHeap) Swap(a, b int) { h[a], h[b] = h[b], h[a] }

func (h *nodeHeap) Push(x any) { *h = append(*h, x.(*node)) }

func (h *nodeHeap) Pop() any {
	old := *h
	n := old[len(old)-1]
	*h = old[:len(old)-1]
	return n
}

// tree is a search under its own root bounds. It can be run in slices.
type tree struct {
	w      *worker
	levels int       // groups that must be whole; the rest is left to worker.offer
	keen   bool      // a short search for a good point: few trials before branching
	lo, up []float64 // root bounds
	clo    []float64 // bounds of the node being looked at
	cup    []float64
	open   nodeHeap
	next   *node   // where the plunge goes on
	here   *node   // node whose bounds and LP are in force
	lost   float64 // least bound of nodes given up for numerical trouble
	target float64 // points must be better than this too: for partial levels
	serial int
	count  int // nodes looked at
	aside  int // iterations that went into deciding later groups at its nodes, and came to no better point
	stop   int // limits of the current run
	limit  int
	found  bool
	plunge int
	cands  []int32
	moved  []int32
}

// newTree starts a tree with one open node, the root.
func newTree(w *worker, lo, up []float64, levels int) *tree {
	t := &tree{w: w, levels: levels, lo: lo, up: up, lost: math.Inf(1), target: math.Inf(1)}
	t.clo, t.cup = slices.Clone(lo), slices.Clone(up)
	t.next = &node{col: -1, bound: math.Inf(-1)}
	return t
}

func (t *tree) cutoff() float64 { return min(t.w.cutoff(), t.target) }

// bound is a lower bound on all points that the tree has not looked at.
func (t *tree) bound() float64 {
	b := t.lost
	if len(t.open) > 0 {
		b = min(b, t.open[0].bound)
	}
	if t.next != nil {
		b = min(b, t.next.bound)
	}
	return b
}

// run looks at nodes until the worker has spent stop iterations or the tree has looked at limit nodes; it is true when
// nothing is left to look at.
func (t *tree) run(stop, limit int) bool {
	t.stop, t.limit = stop, limit
	for !t.over() {
		n := t.pick()
		if n == nil {
			return true
		}
		t.look(n)
		n.basis = nil // descendants have their own
	}
	return t.next == nil && len(t.open) == 0
}

func (t *tree) over() bool { return t.w.spent() >= t.stop || t.count >= t.limit || t.w.halt() }

// pick returns the next node: the plunge's, else the open node with the least bound or, while no point is known, the
// one made last, so that the search goes deep.
func (t *tree) pick() *node {
	n := t.next
	t.next = nil
	if n != nil && n.bound < t.cutoff() && t.plunge < plungeMax {
		t.plunge++
		return n
	}
	if n != nil && n.bound < t.cutoff() {
		heap.Push(&t.open, n)
	}
	t.plunge = 0
	for len(t.open) > 0 {
		if t.w.best == nil && !t.found {
			last := 0
			for k, n := range t.open {
				if n.depth > t.open[last].depth || n.depth == t.open[last].depth && n.serial > t.open[last].serial {
					last = k
				}
			}
			return heap.Remove(&t.open, last).(*node)
		}
		n := heap.Pop(&t.open).(*node)
		if n.bound < t.cutoff() {
			return n
		}
		t.open = t.open[:0] // the least bound is too large: so are all
	}
	return nil
}

// look solves a node's LP and branches.
func (t *tree) look(n *node) {
	w := t.w
	t.count++
	w.nodes++
	if !t.enter(n) {
		t.here = nil
		return
	}
	if n.depth > depthMax+4*w.m.n {
		t.drop(n, simplex.Limit)
		return
	}
	if st := t.solve(); st != simplex.Optimal {
		t.drop(n, st)
		return
	}
	value := w.floor()
	if n.col >= 0 {
		w.pseudo.learn(n.col, n.move < 0, math.Abs(n.move), value-n.from)
	}
	n.bound = max(n.bound, value)
	for {
		t.cands = w.fractional(t.levels, t.cands)
		if len(t.cands) == 0 {
			t.whole()
			if col := t.unsettled(n.bound); col >= 0 {
				v := min(max(w.lp.X(int(col)), t.clo[col]), t.cup[col]-1) // both sides must keep a value
				t.split(n, col, v, n.bound, n.bound, w.lp.Basis())
			} else {
				t.here = nil
			}
			return
		}
		group := w.group[t.cands[0]]
		if group > 0 && group < t.levels && !t.keen && (n.col < 0 || w.group[n.col] < group) && t.aside*asideMost <= w.spent() {
			basis, before, known := w.lp.Basis(), w.spent(), w.best
			if w.offer(w.point(), group); w.best == known {
				t.aside += w.spent() - before
			}
			w.apply(t.clo, t.cup)
			w.lp.SetBasis(basis, w.lp.Rows())
			if st := w.lp.Solve(noLimit, t.cutoff()); st != simplex.Optimal {
				t.drop(n, st)
				return
			}
		}
		basis := w.lp.Basis()
		if w.best != nil || t.found {
			t.cands = w.undecided(t.levels, t.cands)
		}
		col, down, up, st := t.branch(n.bound, basis)
		switch st {
		case branchNone:
			t.here = nil
			return
		case branchTightened: // strong branching closed one side: stay here
			if st := t.solve(); st != simplex.Optimal {
				t.drop(n, st)
				return
			}
			// The tightened side becomes a link of the chain, so that the children inherit it.
			n = &node{parent: n, col: col, lo: t.clo[col], up: t.cup[col], bound: max(n.bound, w.floor()),
				depth: n.depth + 1}
			t.here = n
			t.count++
			w.nodes++
			if t.over() || n.depth > depthMax+4*w.m.n { // a column without bounds can be tightened for ever
				n.basis, n.rows, n.from = w.lp.Basis(), w.lp.Rows(), n.bound
				heap.Push(&t.open, n)
				return
			}
			continue
		}
		t.split(n, col, w.lp.X(int(col)), down, up, basis)
		return
	}
}

// enter puts a node's bounds in force; it is false if they contradict each other.
func (t *tree) enter(n *node) bool {
	w := t.w
	var seeds []int32
	if n.parent == nil || t.here != n.parent {
		copy(t.clo, t.lo)
		copy(t.cup, t.up)
		for j := range t.clo { // global bounds may have moved since
			t.clo[j], t.cup[j] = max(t.clo[j], w.lo[j]), min(t.cup[j], w.up[j])
			if t.clo[j] > t.cup[j] {
				return false
			}
		}
		for k := n; k.parent != nil; k = k.parent {
			t.clo[k.col], t.cup[k.col] = max(t.clo[k.col], k.lo), min(t.cup[k.col], k.up)
			seeds = append(seeds, k.col)
		}
		if n.basis != nil {
			w.lp.SetBasis(n.basis, n.rows)
		}
	} else {
		t.clo[n.col], t.cup[n.col] = max(t.clo[n.col], n.lo), min(t.cup[n.col], n.up)
		seeds = append(seeds, n.col)
	}
	for _, j := range seeds {
		if t.clo[j] > t.cup[j] {
			return false
		}
	}
	t.here = n
	if len(seeds) == 0 {
		return true
	}
	var ok bool
	t.moved, ok = w.m.propagate(t.clo, t.cup, seeds, integers, t.moved[:0])
	return ok
}

// drop gives a node up. Unless its LP proved that nothing better is there, its bound stays part of the tree's.
func (t *tree) drop(n *node, st simplex.Status) {
	t.here = nil
	if st != simplex.Infeasible && st != simplex.Cutoff {
		t.lost = min(t.lost, n.bound)
	}
}

func (t *tree) solve() simplex.Status {
	w := t.w
	w.apply(t.clo, t.cup)
	st := w.lp.Solve(noLimit, t.cutoff())
	if st == simplex.Trouble {
		w.lp.SlackBasis()
		st = w.lp.Solve(noLimit, t.cutoff())
	}
	return st
}

// whole hands a point on whose groups below levels are whole.
func (t *tree) whole() {
	if t.w.offer(t.w.point(), t.levels) {
		t.found = true
	}
	if t.levels < t.w.groups {
		t.target = min(t.target, t.w.below(t.w.lp.Objective()))
	}
}

// unsettled returns a column to split at a point that is whole within the tolerance but, once rounded, was no point or
// a worse one: with coefficients of a million, the tolerance is worth a whole set-up. It is -1 where nothing is left to
// settle.
func (t *tree) unsettled(value float64) int32 {
	w := t.w
	if t.keen || t.levels < w.groups || value >= t.cutoff() {
		return -1
	}
	col, most := int32(-1), 0.0
	for j, integer := range w.m.integer {
		if !integer || t.clo[j] == t.cup[j] {
			continue
		}
		if off := math.Abs(w.lp.X(j) - math.Round(w.lp.X(j))); off > most {
			col, most = int32(j), off
		}
	}
	if col < 0 {
		t.lost = min(t.lost, value)
	}
	return col
}

type branching uint8

const (
	branchOn        branching = iota // split on the column
	branchTightened                  // bounds moved: solve again
	branchNone                       // nothing better below this node
)

// branch picks the column to split: the largest product of the rises on both sides, where pseudo-costs that few
// branchings have backed are replaced by trials. Columns of the first group go before the others, but not where none of
// them moves the bound: set-ups that cost nothing would else be split in all ways, while what does cost lies in the
// amounts. It returns lower bounds for both children.
func (t *tree) branch(bound float64, basis simplex.Basis) (col int32, down, up float64, st branching) {
	w := t.w
	type option struct {
		j              int32
		v, score       float64
		downGain, rise float64
	}
	options := make([]option, 0, len(t.cands))
	lowest := w.groups
	for _, j := range t.cands {
		lowest = min(lowest, w.group[j])
	}
	weight := func(j int32) float64 {
		if w.group[j] > lowest {
			return later
		}
		return 1
	}
	for _, j := range t.cands {
		v := w.lp.X(int(j))
		f := v - math.Floor(v)
		d, u := w.pseudo.down.estimate(j)*f, w.pseudo.up.estimate(j)*(1-f)
		options = append(options, option{j, v, weight(j) * max(d, 1e-6) * max(u, 1e-6), 0, 0})
	}
	slices.SortStableFunc(options, func(a, b option) int {
		switch {
		case a.score > b.score:
			return -1
		case a.score < b.score:
			return 1
		}
		return int(a.j - b.j)
	})
	best := options[0]
	tried, since := 0, 0
	need, most := int32(reliable), strongMax
	if t.levels < w.groups || t.keen || t.target < math.Inf(1) {
		need, most = 1, 4
	}
	for k, o := range options {
		if tried >= most || since >= 4 || k > 0 && o.score < 1e-3*best.score && tried > 0 {
			break
		}
		if w.pseudo.down.count[o.j] >= need && w.pseudo.up.count[o.j] >= need {
			if o.score > best.score {
				best = o
			}
			continue
		}
		tried++
		f := o.v - math.Floor(o.v)
		lo, hi := t.clo[o.j], t.cup[o.j]
		dv, dst := t.trial(o.j, lo, math.Floor(o.v), basis)
		uv, ust := t.trial(o.j, math.Ceil(o.v), hi, basis)
		w.lp.SetBounds(int(o.j), lo, hi)
		if dst && ust {
			return 0, 0, 0, branchNone
		}
		if dst || ust {
			if dst {
				t.clo[o.j] = math.Ceil(o.v)
			} else {
				t.cup[o.j] = math.Floor(o.v)
			}
			w.lp.SetBasis(basis, w.lp.Rows())
			var ok bool
			if t.moved, ok = w.m.propagate(t.clo, t.cup, []int32{o.j}, integers, t.moved[:0]); !ok {
				return 0, 0, 0, branchNone
			}
			return o.j, 0, 0, branchTightened
		}
		o.downGain, o.rise = max(dv-bound, 0), max(uv-bound, 0)
		w.pseudo.down.learn(o.j, f, o.downGain)
		w.pseudo.up.learn(o.j, 1-f, o.rise)
		o.score = weight(o.j) * max(o.downGain, 1e-6) * max(o.rise, 1e-6)
		since++
		if k == 0 || o.score > best.score {
			best, since = o, 0
		}
	}
	if tried > 0 { // back to this node's optimum
		w.lp.SetBasis(basis, w.lp.Rows())
		w.apply(t.clo, t.cup)
		if w.lp.Solve(noLimit, math.Inf(1)) != simplex.Optimal {
			t.lost = min(t.lost, bound)
			return 0, 0, 0, branchNone
		}
	}
	return best.j, bound + best.downGain, bound + best.rise, branchOn
}

// trial solves a child's LP for a few iterations; closed means that nothing better is there.
func (t *tree) trial(j int32, lo, up float64, basis simplex.Basis) (value float64, closed bool) {
	lp := t.w.lp
	lp.SetBasis(basis, lp.Rows())
	lp.SetBounds(int(j), lo, up)
	switch lp.Solve(strongDepth, t.cutoff()) {
	case simplex.Infeasible, simplex.Cutoff:
		return 0, true
	case simplex.Trouble:
		return math.Inf(-1), false
	}
	return lp.Bound(), false
}

// split makes the two children and lets the plunge go on with the one that looks better.
func (t *tree) split(n *node, col int32, v, down, up float64, basis simplex.Basis) {
	w := t.w
	floor := math.Floor(v)
	rows, value := w.lp.Rows(), w.floor()
	below := &node{parent: n, col: col, lo: t.clo[col], up: floor, bound: max(n.bound, down), depth: n.depth + 1,
		basis: basis, rows: rows, from: value, move: floor - v, serial: t.serial}
	above := &node{parent: n, col: col, lo: floor + 1, up: t.cup[col], bound: max(n.bound, up), depth: n.depth + 1,
		basis: basis, rows: rows, from: value, move: floor + 1 - v, serial: t.serial + 1}
	t.serial += 2
	// Toward the root's value where it differs clearly, else to the nearer side (Achterberg 2007, section 5.4).
	goUp := v-floor > 0.5
	if w.root.x != nil {
		if d := w.root.x[col] - v; math.Abs(d) > 0.4 {
			goUp = d > 0
		}
	}
	first, second := below, above
	if goUp {
		first, second = above, below
	}
	if second.bound < t.cutoff() {
		heap.Push(&t.open, second)
	}
	t.next = first
	t.here = n
}

// pseudoCosts are the mean rises of the objective per unit by which branching moved a column.
type pseudoCosts struct{ down, up sideCosts }

type sideCosts struct {
	sum   []float64
	count []int32
	total float64
	cases int
}

func (c *pseudoCosts) resize(n int) {
	c.down = sideCosts{sum: make([]float64, n), count: make([]int32, n)}
	c.up = sideCosts{sum: make([]float64, n), count: make([]int32, n)}
}

func (c *pseudoCosts) clone() pseudoCosts {
	k := *c
	k.down.sum, k.down.count = slices.Clone(c.down.sum), slices.Clone(c.down.count)
	k.up.sum, k.up.count = slices.Clone(c.up.sum), slices.Clone(c.up.count)
	return k
}

func (c *pseudoCosts) learn(j int32, down bool, move, rise float64) {
	if down {
		c.down.learn(j, move, rise)
	} else {
		c.up.learn(j, move, rise)
	}
}

func (s *sideCosts) learn(j int32, move, rise float64) {
	if move < integerTol || math.IsInf(rise, 0) {
		return
	}
	v := max(rise, 0) / move
	s.sum[j] += v
	s.count[j]++
	s.total += v
	s.cases++
}

// estimate is the column's own mean, or the mean of all columns while it has none.
func (s *sideCosts) estimate(j int32) float64 {
	switch {
	case s.count[j] > 0:
		return s.sum[j] / float64(s.count[j])
	case s.cases > 0:
		return s.total / float64(s.cases)
	}
	return 1
}
