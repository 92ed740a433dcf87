// A worker owns the linear programs on which trees, dives and neighbourhoods run, and the best plan it knows.

package solve

import (
	"math"
	"slices"

	"kettletree/menu/plan/solve/simplex"
)

const noLimit = math.MaxInt / 4

// incumbent is a point that satisfies everything.
type incumbent struct {
	value   float64
	relaxed float64 // objective with only the first group of integers held at this point
	x       []float64
}

// worker searches with LPs of its own. Workers share only what is never changed.
type worker struct {
	m      *model
	group  []int          // of each integer column, counted from 0
	groups int            // number of groups
	lp     *simplex.LP    // with cuts
	plain  *simplex.LP    // without cuts: whole points are worked out exactly here
	lo, up []float64      // global bounds: of the model, tightened by reduced costs
	best   *incumbent     // nil: none yet
	pseudo pseudoCosts    // learnt by branching
	halt   func() bool    // the context has ended
	nodes  int            // evaluated
	root   rootRelaxation // for reduced cost fixing
}

// rootRelaxation keeps what the root's LP says of each column.
type rootRelaxation struct {
	bound float64
	x, d  []float64
}

func newWorker(m *model, group []int) *worker {
	w := &worker{m: m, group: group, lo: slices.Clone(m.lo), up: slices.Clone(m.up)}
	for _, g := range group {
		w.groups = max(w.groups, g+1)
	}
	w.pseudo.resize(m.n)
	return w
}

// fork returns a worker for another goroutine.
func (w *worker) fork() *worker {
	v := *w
	v.lp, v.plain = w.lp.Clone(), w.plain.Clone()
	v.lo, v.up = slices.Clone(w.lo), slices.Clone(w.up)
	v.pseudo = w.pseudo.clone()
	v.nodes = 0
	v.lp.Iterations, v.plain.Iterations = 1, 1 // not 0: a first solve perturbs its costs
	return &v
}

// spent counts the simplex iterations of this worker.
func (w *worker) spent() int { return w.lp.Iterations + w.plain.Iterations }

// cutoff is the objective that a new point must beat.
func (w *worker) cutoff() float64 {
	if w.best == nil {
		return math.Inf(1)
	}
	return w.below(w.best.value)
}

func (w *worker) below(v float64) float64 {
	if w.m.grain > 0 {
		return v - w.m.grain + 1e-5
	}
	return v - max(1e-7*math.Abs(v), 1e-9)
}

// floor is a lower bound on the LP at its optimum: the dual one, which reduced costs of the wrong sign within the
// tolerance do not falsify. Where a column without bounds has such a cost, there is none, and the objective must do.
func (w *worker) floor() float64 {
	v := w.lp.Objective()
	if b := w.lp.Bound(); !math.IsInf(b, -1) {
		return min(v, b)
	}
	return v
}

// apply puts column bounds in force in the LP.
func (w *worker) apply(lo, up []float64) {
	for j := range w.m.n {
		if w.m.integer[j] {
			w.lp.SetBounds(j, lo[j], up[j])
		}
	}
}

// fractional lists the columns of the lowest group, at most levels-1, that are not whole at the LP's point.
func (w *worker) fractional(levels int, list []int32) []int32 {
	list = list[:0]
	lowest := levels
	for j, integer := range w.m.integer {
		if !integer || w.group[j] > lowest || w.group[j] >= levels {
			continue
		}
		if v := w.lp.X(j); math.Abs(v-math.Round(v)) > integerTol {
			if w.group[j] < lowest {
				lowest, list = w.group[j], list[:0]
			}
			list = append(list, int32(j))
		}
	}
	return list
}

// undecided lists the columns of all groups below levels that are not whole at the LP's point.
func (w *worker) undecided(levels int, list []int32) []int32 {
	list = list[:0]
	for j, integer := range w.m.integer {
		if v := w.lp.X(j); integer && w.group[j] < levels && math.Abs(v-math.Round(v)) > integerTol {
			list = append(list, int32(j))
		}
	}
	return list
}

// offer takes a point whose first groups (below levels) are whole, decides the other groups, and keeps the result if it
// is better than the best known. It may change the LP's basis and bounds.
func (w *worker) offer(x []float64, levels int) bool {
	if levels < w.groups {
		lo, up := slices.Clone(w.lo), slices.Clone(w.up)
		for j, integer := range w.m.integer {
			if integer && w.group[j] < levels {
				v := math.Round(x[j])
				lo[j], up[j] = max(lo[j], v), min(up[j], v)
				if lo[j] > up[j] {
					return false
				}
			}
		}
		t := newTree(w, lo, up, w.groups)
		t.keen = true
		w.apply(lo, up)
		if w.lp.Solve(noLimit, w.cutoff()) != simplex.Optimal {
			return false
		}
		relaxed := w.lp.Objective()
		before := w.best
		w.dive(lo, up, w.groups)
		t.run(w.spent()+400+2*w.m.m, 60)
		if w.best == before {
			return false
		}
		w.best.relaxed = relaxed
		return true
	}
	p := w.plain
	for j, integer := range w.m.integer {
		if !integer {
			continue
		}
		v := math.Round(x[j])
		if v < w.m.lo[j] || v > w.m.up[j] {
			return false
		}
		p.SetBounds(j, v, v)
	}
	if p.Solve(noLimit, w.cutoff()) != simplex.Optimal || p.Objective() >= w.cutoff() {
		return false
	}
	point, value := make([]float64, w.m.n), 0.0
	for j, integer := range w.m.integer {
		if point[j] = min(max(p.X(j), w.m.lo[j]), w.m.up[j]); integer {
			point[j] = math.Round(point[j])
		}
		value += w.m.cost[j] * point[j]
	}
	if value >= w.cutoff() || !w.m.holds(point) {
		return false
	}
	w.best = &incumbent{value: value, relaxed: value, x: point}
	w.fixByReducedCost()
	return true
}

// fixByReducedCost tightens the global bounds of integer columns that the root's reduced costs hold near a bound:
// moving away by k steps costs k·d, which must stay below the best known objective.
func (w *worker) fixByReducedCost() {
	if w.root.x == nil || w.best == nil {
		return
	}
	room := w.cutoff() - w.root.bound
	if room < 0 {
		return
	}
	for j, integer := range w.m.integer {
		d := w.root.d[j]
		if !integer || math.Abs(d) < 1e-7 {
			continue
		}
		if v := math.Floor(room/math.Abs(d) + integerTol); d > 0 {
			w.up[j] = min(w.up[j], max(math.Round(w.root.x[j])+v, w.lo[j]))
		} else {
			w.lo[j] = max(w.lo[j], min(math.Round(w.root.x[j])-v, w.up[j]))
		}
	}
}

// point copies the LP's structural values.
func (w *worker) point() []float64 {
	x := make([]float64, w.m.n)
	for j := range x {
		x[j] = w.lp.X(j)
	}
	return x
}

// dive looks for a point from the LP's optimum under lo and up, which it changes: it fixes one fractional column after
// the other, the lowest group first and the one nearest to whole first, and turns to the other side when that fails
// (Achterberg 2007, section 9.2: fractional diving with one level of backtracking).
func (w *worker) dive(lo, up []float64, levels int) {
	var candidates, moved []int32
	for range 2*w.m.n + 20 { // unbounded columns could be turned to the other side for ever
		if w.halt() {
			return
		}
		candidates = w.fractional(levels, candidates)
		if len(candidates) == 0 {
			w.offer(w.point(), levels)
			return
		}
		best, pick := math.Inf(1), candidates[0]
		for _, j := range candidates {
			v := w.lp.X(int(j))
			if d := math.Abs(v - math.Round(v)); d < best {
				best, pick = d, j
			}
		}
		v := w.lp.X(int(pick))
		saveLo, saveUp := slices.Clone(lo), slices.Clone(up)
		lo[pick], up[pick] = math.Round(v), math.Round(v)
		var ok bool
		if moved, ok = w.descend(lo, up, pick, moved); ok {
			continue
		}
		copy(lo, saveLo)
		copy(up, saveUp)
		if math.Round(v) > v {
			up[pick] = math.Floor(v)
		} else {
			lo[pick] = math.Ceil(v)
		}
		if moved, ok = w.descend(lo, up, pick, moved); !ok {
			return
		}
	}
}

// descend propagates a change of column j and solves the LP; it is false if nothing better than the best known is left.
func (w *worker) descend(lo, up []float64, j int32, moved []int32) ([]int32, bool) {
	moved, ok := w.m.propagate(lo, up, []int32{j}, integers, moved[:0])
	if !ok {
		return moved, false
	}
	w.apply(lo, up)
	return moved, w.lp.Solve(noLimit, w.cutoff()) == simplex.Optimal
}
