package taste

// A designed trial: which two to four things to vary in the next eight batches, so that it can be told which of them matters.

import (
	"fmt"
	"hash/fnv"
	"math"
	"math/rand/v2"
)

// TrialBatches is how many batches a trial takes.
const TrialBatches = 8

// MostVaried is how many things a trial of eight batches varies at most, so that no single one is mixed up with a pair of others.
const MostVaried = 4

// Design gives, for each of eight batches, at which of two levels each of two to four things stands: -1 for the lower, 1 for the higher.
// Of two things each of the four pairs stands twice; of three, each of the eight triples once; of four, the fourth is the product of the
// first three, a half fraction of resolution IV: single effects are mixed up with triples only (NIST/SEMATECH e-Handbook of Statistical
// Methods, 5.3.3.3 and 5.3.3.4). They stand in standard order, the first thing changing fastest.
func Design(things int) ([][]int, error) {
	if things < 2 || things > MostVaried {
		return nil, fmt.Errorf("a trial of %d batches varies 2 to %d things, not %d", TrialBatches, MostVaried, things)
	}
	design := make([][]int, TrialBatches)
	for run := range design {
		levels := make([]int, things)
		for at := range min(things, 3) {
			levels[at] = 2*(run>>at&1) - 1
		}
		if things == MostVaried {
			levels[3] = levels[0] * levels[1] * levels[2]
		}
		design[run] = levels
	}
	return design, nil
}

// Shuffled is the order in which the batches of a design are cooked: drawn, so that what changes in time, the season or the cook's
// hand, falls on both levels alike. The draw follows from a text, so that who asks again hears the same.
func Shuffled(by string) []int {
	h := fnv.New64a()
	_, _ = h.Write([]byte(by))
	return rand.New(rand.NewPCG(h.Sum64(), TrialBatches)).Perm(TrialBatches)
}

// orders is how many orders are drawn, of which the best is taken.
const orders = 30

// spread is the order, of some that are drawn, in which no thing rises or falls with time: what drifts by itself then looks like none of
// them.
func spread(by string, design [][]int) (best []int) {
	least := 2.0
	for n := range orders {
		order, worst := Shuffled(fmt.Sprint(by, n)), 0.0
		for at := range design[0] {
			places, levels := make([]float64, len(order)), make([]float64, len(order))
			for place, run := range order {
				places[place], levels[place] = float64(place), float64(design[run][at])
			}
			worst = max(worst, math.Abs(Rank(places, levels)))
		}
		if worst < least {
			least, best = worst, order
		}
	}
	return best
}
