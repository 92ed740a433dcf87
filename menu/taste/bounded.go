package taste

// What is named of all that is held against measures, and what can't be told in so few batches.

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/combin"
)

// test is what is asked of the batches once: what goes with a measure in the same order, or in the opposite, can't be told apart, and is one thing to ask.
type test struct {
	goes   []*Goes
	weight float64
}

// testsOf are the tests of an answer. A measure weighs one more for each batch that was outside its aim: a cook asks why of what is off.
func testsOf(measures []Measured) (list []*test) {
	for m := range measures {
		of := map[string]*test{}
		for n := range measures[m].Goes {
			g := &measures[m].Goes[n]
			key := sameOrder(g.X, g.Y)
			t := of[key]
			if t == nil {
				g.Chance, g.least = Chance(g.X, g.Y), Least(g.X, g.Y)
				t = &test{weight: 1 + float64(measures[m].Outside)}
				of[key], list = t, append(list, t)
			} else {
				g.Chance, g.least = t.goes[0].Chance, t.goes[0].least
			}
			t.goes = append(t.goes, g)
		}
	}
	return list
}

// sameOrder is alike for pairs whose first values stand in the same order beside the same second ones, or in the opposite order.
func sameOrder(x, y []float64) string {
	r, middle := ranks(x), float64(len(x)+1)/2
	for i := range r {
		r[i] -= middle
	}
	if first := slices.IndexFunc(r, func(v float64) bool { return v != 0 }); first >= 0 && r[first] < 0 {
		for i := range r {
			r[i] = 0 - r[i]
		}
	}
	return fmt.Sprint(r, y)
}

// InReach tells which of some tests can be findings at all, by the least chance that each can have and its weight: the largest set of which each could
// come under its part of a share, were it the only finding among them (Tarone 1990; Gilbert 2005; both from memory). What can't be a finding costs the
// others nothing, for its least chance hangs on what values there are and not on how they are paired.
func InReach(least, weights []float64, share float64) []bool {
	reach := make([]float64, len(least)) // how much all that is asked may weigh for it to be found
	order := make([]int, len(least))
	for i, p := range least {
		reach[i], order[i] = share*weights[i]/p, i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(reach[b], reach[a]) })
	in, all := make([]bool, len(least)), 0.0
	last := 0
	const hair = 1e-9
	for n, i := range order {
		all += weights[i]
		if alike := n+1 < len(order) && reach[order[n+1]] == reach[i]; !alike && all <= reach[i]*(1+hair) {
			last = n + 1
		}
	}
	for _, i := range order[:last] {
		in[i] = true
	}
	return in
}

// Bounded tells which of some p-values are findings, so that in the long run at most a share of the findings is false: the procedure of
// Benjamini and Hochberg (1995). The largest k with the k-th least p at most share k/m counts, and all below it.
func Bounded(p []float64, share float64) []bool {
	order := make([]int, len(p))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(p[a], p[b]) })
	found := make([]bool, len(p))
	for k := len(order); k > 0; k-- {
		if p[order[k-1]] <= share*float64(k)/float64(len(p)) {
			for _, i := range order[:k] {
				found[i] = true
			}
			break
		}
	}
	return found
}

// bound tells which of all that was held against all measures of an answer are findings, and puts them first, and of all the strongest. Each chance counts the less the more
// its measure weighs, and the weights are 1 in the mean (Genovese, Roeder and Wasserman 2006, from memory): they hang on what was measured and not on what it
// is paired with, so that of all that is named no more is chance than without.
func bound(measures []Measured) {
	tests := testsOf(measures)
	var least, weights []float64
	for _, t := range tests {
		least, weights = append(least, t.goes[0].least), append(weights, t.weight)
	}
	all := sum(weights)
	for _, t := range tests {
		for _, g := range t.goes {
			g.each = FalseShare * t.weight / all
		}
	}
	var reached []*test
	all = 0
	for i, in := range InReach(least, weights, FalseShare) {
		if in {
			reached, all = append(reached, tests[i]), all+weights[i]
		}
	}
	weighed := make([]float64, len(reached))
	for i, t := range reached {
		weighed[i] = t.goes[0].Chance * all / float64(len(reached)) / t.weight
	}
	for i, found := range Bounded(weighed, FalseShare) {
		for _, g := range reached[i].goes {
			g.reached, g.Found = true, found
		}
	}
	for m := range measures {
		slices.SortStableFunc(measures[m].Goes, func(a, b Goes) int {
			if a.Found != b.Found {
				if a.Found {
					return -1
				}
				return 1
			}
			return cmp.Or(cmp.Compare(a.Chance, b.Chance), cmp.Compare(math.Abs(b.Rank), math.Abs(a.Rank)))
		})
	}
}

// TooFew is what can't be told yet, however plain it were: of a thing that is one way or the other there are so few ways to part the batches that chance alone
// would bring about any of them too often among all that is held against measures.
type TooFew struct {
	Things  []string `json:"things"`  // "cook", "oxtail from"
	Batches int      `json:"batches"` // how many it takes, half of them one way
}

// tooFew are the things that are one way or the other and can't be told; nil where there is none.
func tooFew(measures []Measured) *TooFew {
	few := &TooFew{Batches: Enough}
	each, told := map[string]float64{}, map[string]bool{} // by thing; by one measure it can be told, though another has too few steps
	for _, m := range measures {
		for _, g := range m.Goes {
			each[g.Thing], told[g.Thing] = max(each[g.Thing], g.each), told[g.Thing] || g.reached
		}
	}
	for _, m := range measures {
		for _, g := range m.Goes {
			if g.Word == "" || told[g.Thing] {
				continue
			}
			if !slices.Contains(few.Things, g.Thing) {
				few.Things = append(few.Things, g.Thing)
			}
			if leastChance(len(g.X), int(sum(g.X))) <= each[g.Thing] { // parted well enough, but what was measured is too much alike
				few.Batches = max(few.Batches, len(g.X)+1)
			}
			for ; leastChance(few.Batches, few.Batches/2) > each[g.Thing]; few.Batches++ {
			}
		}
	}
	if few.Things == nil {
		return nil
	}
	return few
}

// leastChance is how likely chance alone parts batches, so many of them one way, as plainly as can be: those are all the highest, or all the lowest.
func leastChance(batches, one int) float64 {
	return 2 / combin.GeneralizedBinomial(float64(batches), float64(one))
}
