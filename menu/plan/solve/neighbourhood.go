// Neighbourhood search: most integer columns are held at the best plan, the rest is searched again as a small problem.
//
// Sources: Pochet & Wolsey, "Production planning by mixed integer programming" (2006), section 3.6, relax-and-fix and
// exchange over windows of periods; Danna, Rothberg & Le Pape, "Exploring relaxation induced neighborhoods" (2005), for
// RINS; Rothberg, "An evolutionary algorithm for polishing mixed integer programming solutions" (2007), for sizes that
// adapt.

package solve

import (
	"math"
	"math/rand/v2"
	"slices"
)

// startFree is the number of columns that a search sets free at first: about what a small tree can settle.
const startFree = 40

// patience: searches of each kind in a row that find nothing before a plan is left for another.
const patience = 10

// kind is one way to choose the columns that are set free.
type kind struct {
	share float64 // of the columns still open, to be set free; adapts
	pick  func(n *neighbourhood, count int) []int32
}

// neighbourhood runs the kinds in turn.
type neighbourhood struct {
	w      *worker
	hints  []Hint
	cols   []int32 // columns of the first group that are not fixed for good
	kinds  []kind
	turn   int
	dry    int        // searches in a row that found nothing
	effort float64    // factor on the budget of one search, raised in dry spells
	shelf  *incumbent // the best plan, while the search runs around another one
	rng    *rand.Rand
	lo     []float64
	up     []float64
}

func newNeighbourhood(w *worker, hints []Hint) *neighbourhood {
	n := &neighbourhood{w: w, hints: hints, rng: rand.New(rand.NewPCG(7, 17)), effort: 1}
	n.survey()
	share := min(0.5, startFree/float64(max(len(n.cols), 1)))
	whens, whats := map[int]bool{}, map[int]bool{}
	for j, integer := range w.m.integer {
		if integer && w.group[j] == 0 && hints[j].When >= 0 {
			whens[hints[j].When] = true
		}
		if integer && w.group[j] == 0 && hints[j].What >= 0 {
			whats[hints[j].What] = true
		}
	}
	if len(whens) > 2 {
		n.kinds = append(n.kinds, kind{share, (*neighbourhood).window})
	}
	if len(whats) > 2 {
		n.kinds = append(n.kinds, kind{share, (*neighbourhood).steps})
	}
	n.kinds = append(n.kinds, kind{share, (*neighbourhood).linked}, kind{share, (*neighbourhood).relaxed})
	return n
}

// survey lists the columns that can still move.
func (n *neighbourhood) survey() {
	n.cols = n.cols[:0]
	for j, integer := range n.w.m.integer {
		if integer && n.w.group[j] == 0 && n.w.lo[j] < n.w.up[j] {
			n.cols = append(n.cols, int32(j))
		}
	}
}

// idleTurns is how many searches in a row may spend no iterations, because propagation alone settles each, before a run
// ends.
const idleTurns = 50

// run improves the best plan until the worker has spent stop iterations, or no search spends any.
func (n *neighbourhood) run(stop int) {
	w := n.w
	for idle := 0; w.spent() < stop && idle < idleTurns && !w.halt() && w.best != nil; {
		n.survey()
		if len(n.cols) == 0 {
			return
		}
		k := &n.kinds[n.turn%len(n.kinds)]
		n.turn++
		count := max(int(k.share*float64(len(n.cols))), min(10, len(n.cols)))
		free := k.pick(n, count)
		before := w.best
		begin := w.spent()
		budget := int(n.effort * float64(2*w.m.m+1000))
		done := n.search(free, budget, stop)
		if idle++; w.spent() > begin {
			idle = 0
		}
		switch {
		case w.best != before:
			n.dry, n.effort = 0, max(n.effort/2, 1)
			continue
		case done && w.spent()-begin < budget/2:
			k.share = min(k.share*1.2, 0.9)
		case !done:
			k.share = max(k.share*0.9, 0.02)
		}
		if n.dry++; n.dry%(2*len(n.kinds)) == 0 {
			n.effort = min(n.effort*1.5, 30)
		}
		if n.dry >= patience*len(n.kinds) {
			n.kick(budget)
		}
	}
}

// plan returns the best plan known here.
func (n *neighbourhood) plan() *incumbent {
	if n.shelf != nil && (n.w.best == nil || n.shelf.value <= n.w.best.value) {
		return n.shelf
	}
	return n.w.best
}

// take makes a plan from elsewhere the one to search around.
func (n *neighbourhood) take(b *incumbent) {
	n.w.best, n.shelf, n.dry, n.effort = b, nil, 0, 1
}

// kick leaves a plan that no search improves: a few linked columns of the best plan are held at other values, the
// columns near them are worked out again, and the search goes on from there (Lourenço, Martin & Stützle 2003, iterated
// local search).
func (n *neighbourhood) kick(budget int) {
	w := n.w
	top := n.plan()
	n.take(top)
	free := n.linked(len(n.cols) / 2)
	n.hold(top, free)
	for _, j := range free[:min(max(len(free)/8, 1), len(free))] {
		v := top.x[j] + 1
		if v > w.up[j] || n.rng.IntN(2) == 0 && v-2 >= w.lo[j] {
			v -= 2
		}
		if v >= w.lo[j] && v <= w.up[j] {
			n.lo[j], n.up[j] = v, v
		}
	}
	w.best = nil
	newTree(w, slices.Clone(n.lo), slices.Clone(n.up), 1).run(w.spent()+2*budget, budget)
	if n.shelf = top; w.best == nil {
		n.take(top)
	}
}

// hold sets bounds that free the columns in free and hold the others of the first group at a plan.
func (n *neighbourhood) hold(plan *incumbent, free []int32) {
	w := n.w
	n.lo, n.up = append(n.lo[:0], w.lo...), append(n.up[:0], w.up...)
	for _, j := range n.cols {
		// Where reduced costs say that a better plan lies elsewhere, the column stays free.
		if v := plan.x[j]; v >= w.lo[j] && v <= w.up[j] {
			n.lo[j], n.up[j] = v, v
		}
	}
	for _, j := range free {
		n.lo[j], n.up[j] = w.lo[j], w.up[j]
	}
}

// search sets the columns in free free and holds the others of the first group at the best plan.
func (n *neighbourhood) search(free []int32, budget, stop int) bool {
	w := n.w
	n.hold(w.best, free)
	if _, ok := w.m.propagate(n.lo, n.up, nil, integers, nil); !ok {
		return true
	}
	t := newTree(w, slices.Clone(n.lo), slices.Clone(n.up), 1)
	if w.groups > 1 {
		t.target = w.below(w.best.relaxed)
	}
	// The incumbent's neighbourhood has the incumbent's point, so plunging needs no first point of its own.
	t.found, t.keen = true, true
	return t.run(min(w.spent()+budget, stop+budget), budget)
}

// window frees all columns of a stretch of days.
func (n *neighbourhood) window(count int) []int32 {
	start := n.hints[n.cols[n.rng.IntN(len(n.cols))]].When
	return n.nearest(count, func(j int32) float64 {
		w := n.hints[j].When
		if w < 0 {
			return 1e6
		}
		return math.Abs(float64(w-start)) + 0.5*n.rng.Float64()
	})
}

// steps frees a few steps on all days.
func (n *neighbourhood) steps(count int) []int32 {
	key := map[int]float64{}
	return n.nearest(count, func(j int32) float64 {
		w := n.hints[j].What
		if w < 0 {
			return 1e6
		}
		if _, ok := key[w]; !ok {
			key[w] = n.rng.Float64()
		}
		return key[w]
	})
}

// linked frees columns that are close to a random one by way of shared rows.
func (n *neighbourhood) linked(count int) []int32 {
	m := n.w.m
	distance := make([]float64, m.n)
	for j := range distance {
		distance[j] = 1e6
	}
	rowSeen := make([]bool, m.m)
	queue := []int32{n.cols[n.rng.IntN(len(n.cols))]}
	distance[queue[0]] = 0
	for head := 0; head < len(queue); head++ {
		j := queue[head]
		for _, i := range m.cindex[m.cstart[j]:m.cstart[j+1]] {
			if rowSeen[i] || m.rstart[i+1]-m.rstart[i] > int32(m.n/10+20) { // long rows link everything
				continue
			}
			rowSeen[i] = true
			for _, k := range m.rindex[m.rstart[i]:m.rstart[i+1]] {
				if distance[k] == 1e6 {
					distance[k] = distance[j] + 1
					queue = append(queue, k)
				}
			}
		}
	}
	return n.nearest(count, func(j int32) float64 { return distance[j] + n.rng.Float64() })
}

// relaxed frees the columns in which the plan and the root's relaxation differ most, with some chance thrown in.
func (n *neighbourhood) relaxed(count int) []int32 {
	w := n.w
	return n.nearest(count, func(j int32) float64 {
		if w.root.x == nil {
			return n.rng.Float64()
		}
		return 0.7*n.rng.Float64() - math.Min(math.Abs(w.best.x[j]-w.root.x[j]), 1)
	})
}

// nearest returns the count columns with the least keys.
func (n *neighbourhood) nearest(count int, key func(j int32) float64) []int32 {
	type keyed struct {
		j int32
		k float64
	}
	list := make([]keyed, 0, len(n.cols))
	for _, j := range n.cols {
		list = append(list, keyed{j, key(j)})
	}
	slices.SortStableFunc(list, func(a, b keyed) int {
		switch {
		case a.k < b.k:
			return -1
		case a.k > b.k:
			return 1
		}
		return 0
	})
	free := make([]int32, 0, count)
	for _, k := range list[:min(count, len(list))] {
		free = append(free, k.j)
	}
	return free
}
