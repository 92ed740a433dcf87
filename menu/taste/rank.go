package taste

// How strongly two things go together, and how likely chance alone would bring that about.

import (
	"cmp"
	"hash/fnv"
	"math"
	"math/rand/v2"
	"slices"
	"strconv"

	"gonum.org/v1/gonum/stat/combin"
)

// ranks are the places of values from the least up, from 1; equal values share the mean of their places.
func ranks(values []float64) []float64 {
	order := make([]int, len(values))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(values[a], values[b]) })
	r := make([]float64, len(values))
	for from := 0; from < len(order); {
		to := from + 1
		for to < len(order) && values[order[to]] == values[order[from]] {
			to++
		}
		for _, i := range order[from:to] {
			r[i] = float64(from+to+1) / 2
		}
		from = to
	}
	return r
}

// correlation is Pearson's of two lists: of ranks, it is Spearman's with ties. It is 0 where either does not vary.
func correlation(x, y []float64) float64 {
	n := float64(len(x))
	var mx, my float64
	for i := range x {
		mx, my = mx+x[i]/n, my+y[i]/n
	}
	var xx, yy, xy float64
	for i := range x {
		dx, dy := x[i]-mx, y[i]-my
		xx, yy, xy = xx+dx*dx, yy+dy*dy, xy+dx*dy
	}
	if xx == 0 || yy == 0 {
		return 0
	}
	return xy / math.Sqrt(xx*yy)
}

// Rank tells how two lists rise together, from -1 to 1: Spearman's rank correlation with mid-ranks of ties.
func Rank(x, y []float64) float64 { return correlation(ranks(x), ranks(y)) }

// Up to exactly this many pairs, all orders are gone through; above it so many are drawn.
const (
	mostOrdered = 8
	draws       = 19_999

	// plenty is how many orders that go together as strongly are enough to see that they are no rarity: then no more are drawn.
	plenty = 400
)

// Chance is how likely it is that y in a random order goes with x at least as strongly, either way: the p-value of a permutation test
// on the rank correlation. Of up to eight pairs all orders are gone through, and of what is one way or the other all ways to part the pairs; of
// more, 19,999 orders are drawn and the one that is there counts with them, so that it is never 0 and never told too small (Phipson and Smyth 2010,
// from memory); fewer, where 400 that go as strongly were met before, which are then their share of the draws (Besag and Clifford 1991, from memory). The draws follow from the values alone, so the same values have the same chance.
func Chance(x, y []float64) float64 {
	rx, ry := ranks(x), ranks(y)
	const hair = 1e-12
	least := math.Abs(correlation(rx, ry)) - hair
	if one := ofTwo(rx); one > 0 && combin.GeneralizedBinomial(float64(len(rx)), float64(one)) <= draws {
		as, all := 0, 0
		parted := make([]float64, len(rx))
		for ways := combin.NewCombinationGenerator(len(rx), one); ways.Next(); all++ {
			clear(parted)
			for _, n := range ways.Combination(nil) {
				parted[n] = 1
			}
			if math.Abs(correlation(parted, ry)) >= least {
				as++
			}
		}
		return float64(as) / float64(all)
	}
	if len(x) <= mostOrdered {
		as, all := 0, 0
		everyOrder(ry, func(order []float64) {
			all++
			if math.Abs(correlation(rx, order)) >= least {
				as++
			}
		})
		return float64(as) / float64(all)
	}
	h := fnv.New64a()
	for _, v := range slices.Concat(rx, ry) {
		_, _ = h.Write([]byte(strconv.FormatFloat(v, 'g', -1, 64) + " "))
	}
	random := rand.New(rand.NewPCG(h.Sum64(), uint64(len(x))))
	order, as := scaled(ry), 0
	fixed := scaled(rx)
	for n := range draws {
		random.Shuffle(len(order), func(i, j int) { order[i], order[j] = order[j], order[i] })
		together := 0.0
		for i, v := range fixed {
			together += v * order[i]
		}
		if math.Abs(together) >= least {
			as++
		}
		if as == plenty {
			return plenty / float64(n+1)
		}
	}
	return float64(as+1) / (draws + 1)
}

// scaled are ranks about their mean, so that the products of two such lists add up to their correlation.
func scaled(r []float64) []float64 {
	mean, squares := float64(len(r)+1)/2, 0.0
	list := make([]float64, len(r))
	for i, v := range r {
		list[i] = v - mean
		squares += list[i] * list[i]
	}
	for i := range list {
		if squares > 0 {
			list[i] /= math.Sqrt(squares)
		}
	}
	return list
}

// ofTwo is how many of some values are the lower of two; 0 where they are not of two.
func ofTwo(values []float64) (n int) {
	low, high := slices.Min(values), slices.Max(values)
	for _, v := range values {
		switch {
		case low < v && v < high || low == high:
			return 0
		case v == low:
			n++
		}
	}
	return n
}

// Least is the least chance that two lists can have in any order: that of both rising alike, or one as the other falls. Where values are alike it is
// not small, however many orders there are.
func Least(x, y []float64) float64 {
	x, y = slices.Sorted(slices.Values(ranks(x))), slices.Sorted(slices.Values(ranks(y)))
	up, as := correlation(x, y), shareOf(x, y)
	slices.Reverse(y)
	down, against := -correlation(x, y), shareOf(x, y)
	const hair = 1e-12
	switch {
	case up < hair: // either is all alike
		return 1
	case up > down+hair:
		return as
	case down > up+hair:
		return against
	}
	return as + against
}

// shareOf is the share of all orders that pair the values of two lists as they are paired.
func shareOf(x, y []float64) float64 {
	log := func(of map[[2]float64]int) (sum float64) {
		for _, n := range of {
			f, _ := math.Lgamma(float64(n + 1))
			sum += f
		}
		return sum
	}
	rows, columns, cells := map[[2]float64]int{}, map[[2]float64]int{}, map[[2]float64]int{}
	for i := range x {
		rows[[2]float64{x[i]}]++
		columns[[2]float64{y[i]}]++
		cells[[2]float64{x[i], y[i]}]++
	}
	return math.Exp(log(rows) + log(columns) - log(cells) - log(map[[2]float64]int{{}: len(x)}))
}

// everyOrder hands on all orders of a list, by Heap's algorithm.
func everyOrder(list []float64, one func([]float64)) {
	list = slices.Clone(list)
	count := make([]int, len(list))
	one(list)
	for i := 0; i < len(list); {
		if count[i] >= i {
			count[i], i = 0, i+1
			continue
		}
		from := 0
		if i%2 == 1 {
			from = count[i]
		}
		list[from], list[i] = list[i], list[from]
		one(list)
		count[i]++
		i = 0
	}
}
