package roster

// Other orders are tried while something is late.

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"
)

// search tries orders of the tasks, up to the number of tries, and gives the best schedule.
func (s *solver) search(best *Plan) *Plan {
	draw := rand.New(rand.NewPCG(1, 2))
	floor := s.floor()
	for try := 1; try < s.Tries && best.late() > floor; try++ {
		if try%2 == 1 {
			s.lay(s.sample(draw))
		} else {
			s.lay(s.shuffled(best, draw))
		}
		s.justify()
		if next := s.plan(); next.late() <= best.late() {
			best = next
		}
	}
	return best
}

// floor is how late all are at least, were there enough of everything.
func (s *solver) floor() (sum int) {
	at := make([]int, len(s.Tasks))
	for _, i := range s.order {
		t := &s.Tasks[i]
		at[i] = t.Release
		for _, l := range t.After {
			at[i] = max(at[i], at[l.Task]+l.Lag)
		}
		if t.Due < Never {
			sum += max(0, at[i]+t.Minutes-t.Due)
		}
		sum += limited * t.over(at[i])
	}
	return sum
}

// sample draws an order: of the tasks that could be next, those with less time left are more likely.
func (s *solver) sample(draw *rand.Rand) []int {
	waits := make([]int, len(s.Tasks))
	var ready []int
	for i := range s.Tasks {
		if waits[i] = len(s.Tasks[i].After); waits[i] == 0 {
			ready = append(ready, i)
		}
	}
	list := make([]int, 0, len(s.Tasks))
	weights := make([]float64, 0, len(s.Tasks))
	for len(ready) > 0 {
		worst := math.MinInt
		for _, i := range ready {
			worst = max(worst, s.slack[i])
		}
		sum := 0.0
		weights = weights[:0]
		for _, i := range ready {
			w := float64(worst-s.slack[i]) + 1
			weights = append(weights, w*w)
			sum += w * w
		}
		pick, at := 0, draw.Float64()*sum
		for ; pick < len(ready)-1 && at >= weights[pick]; pick++ {
			at -= weights[pick]
		}
		i := ready[pick]
		ready = slices.Delete(ready, pick, pick+1)
		list = append(list, i)
		for _, j := range s.behind[i] {
			if waits[j]--; waits[j] == 0 {
				ready = append(ready, j)
			}
		}
	}
	return list
}

// shuffled is the order of a schedule with a few tasks moved to other places.
func (s *solver) shuffled(p *Plan, draw *rand.Rand) []int {
	list := slices.Clone(s.order)
	slices.SortStableFunc(list, func(a, b int) int { return cmp.Compare(p.Start[a], p.Start[b]) })
	for range 1 + draw.IntN(4) {
		from, to := draw.IntN(len(list)), draw.IntN(len(list))
		i := list[from]
		list = slices.Insert(slices.Delete(list, from, from+1), to, i)
	}
	return s.legal(list)
}
