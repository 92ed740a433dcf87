package ask

// Pairs of losses: which may be far worse than the sum of the two.

import (
	"cmp"
	"math"
	"slices"
)

// pair is two losses that may be far worse together.
type pair struct {
	LossPair
	a, b    int     // losses
	atStake float64 // beyond what would be far worse
	days    int     // to walk
}

// stakes is what can be lost at most, by region of the trunk: portions by day, and what is left. What regions share stands last.
type stakes struct {
	sold [][]float64 // by region and day: of that day and all before
	left []float64
}

// stakes adds up what the week sells and leaves.
func (l *losing) stakes() stakes {
	all := l.trunk.Regions()
	s := stakes{sold: make([][]float64, all+1), left: make([]float64, all+1)}
	for r := range s.sold {
		s.sold[r] = make([]float64, l.Days)
	}
	region := func(item int) int {
		if r := l.trunk.RegionOf(item); r >= 0 {
			return r
		}
		return all
	}
	sched, o := l.Case.Schedule, l.base.Outcome
	for at, portions := range o.Served {
		want, slot := sched.Wants[at%len(sched.Wants)], sched.Slots[at/len(sched.Wants)]
		s.sold[region(want.Item)][slot.Day] += portions * l.Case.Flow.Price(want.Item)
	}
	for _, days := range s.sold {
		for d := range days[1:] {
			days[d+1] += days[d]
		}
	}
	for i, left := range o.Left {
		s.left[region(i)] += l.worth.Fresh(l.Case.Flow, i, left)
	}
	return s
}

// most is what two losses together cost at most: all that their regions sell from a day until another, and all that is left.
func (s stakes) most(x, y *trial, from, until int) (most float64) {
	add := func(r int) {
		most += s.left[r] + s.sold[r][until]
		if from > 0 {
			most -= s.sold[r][from-1]
		}
	}
	add(len(s.left) - 1)
	for _, r := range x.regions {
		add(r)
	}
	for _, r := range y.regions {
		if !slices.Contains(x.regions, r) {
			add(r)
		}
	}
	return most
}

// meet tells whether two losses reach something in common.
func (x *trial) meet(y *trial) bool {
	return slices.ContainsFunc(x.regions, func(r int) bool { return slices.Contains(y.regions, r) })
}

// felt are the days from the first on which one of two losses is felt to the last; while tells whether both are at one time.
func felt(x, y *trial, days int) (from, until int, while bool) {
	from, until = min(x.from, y.from)/1440, (max(x.until, y.until)-1)/1440
	return max(0, min(from, days-1)), max(0, min(until, days-1)), x.from < y.until && y.from < x.until
}

// pairs lists those that are to be tried, and how many more should be, were they not too many. Left out are those that can't be far
// worse together: because their sum comes near all that there is to lose; or because they reach nothing in common, and what they
// take less or more of what can always be had is worth too little, for its money changes by no more than its price for each unit.
//
// Where those are too many, so are pairs of which one is over before the other is felt, or of which what is sold meanwhile is too
// little: all that they have in common is that less can be ordered once the first is known. Of the rest those with most at stake
// are kept.
func (l *losing) pairs() (list []pair, more int) {
	s := l.stakes()
	list, all := l.worthTrying(s, false)
	if daysOf(list) <= mostPairDays {
		return list, 0
	}
	list, _ = l.worthTrying(s, true)
	slices.SortStableFunc(list, func(x, y pair) int { return cmp.Compare(y.atStake, x.atStake) })
	for daysOf(list) > mostPairDays {
		list = list[:len(list)*9/10]
	}
	return list, all - len(list)
}

// daysOf is how many days are to be walked for pairs.
func daysOf(list []pair) (total int) {
	for _, p := range list {
		total += p.days
	}
	return total
}

// mostPairs bounds the memory for pairs.
const mostPairs = 1 << 18

// worthTrying lists the pairs that may be far worse together, of all, or of those that are felt at one time, up to mostPairs, and
// counts them.
func (l *losing) worthTrying(s stakes, together bool) (list []pair, all int) {
	always := l.alwaysHad()
	worth := make([]float64, len(always))
	for n, i := range always {
		worth[n] = 2 * (math.Abs(l.Case.Flow.Price(i)) + l.worth.Disposal(l.Case.Flow, i))
	}
	least := WorthTelling * math.Abs(l.base.Books.Contribution)
	for i := range l.trials {
		x := &l.trials[i]
		for j := i + 1; j < len(l.trials); j++ {
			y := &l.trials[j]
			sum := max(l.losses[i].ContributionLost, 0) + max(l.losses[j].ContributionLost, 0)
			from, until, while := felt(x, y, l.Days)
			first, last := 0, l.Days-1
			if together {
				first, last = from, until
			}
			stake := s.most(x, y, first, last) - farWorse*sum
			if stake < 0 {
				continue
			}
			if !x.meet(y) || together && !while {
				apart := 0.0
				for n := range always {
					apart += worth[n] * min(x.moved[n], y.moved[n])
				}
				if apart < least {
					continue
				}
			}
			if all++; all > mostPairs {
				continue
			}
			list = append(list, pair{LossPair: LossPair{A: l.losses[i].Name, B: l.losses[j].Name, Sum: sum}, a: i, b: j, atStake: stake,
				days: until - from + 1})
		}
	}
	return list, all
}
