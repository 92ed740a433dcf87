package logbook

// What guests asked for of each dish at each service of the week, by what was sold.

import (
	"math"

	"kettletree/menu/kitchen"
)

// seenAt is what guests asked for of one dish at one service of the week.
type seenAt struct {
	portions []float64 // what it sold, and what was ordered in place of it
	sold     bool      // some of them were sold
	ranOut   int
	taken    int // of the portions, those of which something else was ordered
}

// seenOf is what was asked for of a dish, by weekday and service. From the service on at which it was first sold, it counts as on
// offer whenever anything else was sold, with no portions where it was not, but for where it was struck off before the
// service began, or what it needs was binned; a special counts only where it was sold. One that was struck off in the middle
// ran out. Guests who ordered something else in place of it would have had it: without them a good special would teach that
// nobody wants the dish it stands beside, and the walk would take its guests a second time from what is left.
func seenOf(list []served, k *kitchen.Kitchen, dish int, struck map[struckAt]bool) map[sitting]seenAt {
	const firstWeekday = 4 // day 0, in 1970, was a Thursday
	by, offered, special := map[sitting]seenAt{}, false, k.Dishes[dish].Special
	for _, s := range list {
		n := s.portions[dish]
		began, off := struck[struckAt{s.sitting, dish}]
		if offered = offered || n > 0; !offered || off && !began || n == 0 && (special || off || s.gone[dish]) {
			continue
		}
		key := sitting{(s.day + firstWeekday) % 7, s.service}
		at, taken := by[key], s.takenFrom(k, dish)
		at.portions = append(at.portions, float64(n+taken))
		at.sold = at.sold || n > 0
		at.taken += taken
		if s.out[dish] || off {
			at.ranOut++
		}
		by[key] = at
	}
	return by
}

// takenFrom is how many portions of other dishes were ordered in place of a dish, in whole ones, a part of one as one: by as many a walk
// would have asked for less of it (see [kettletree/graph/flow.House]).
func (s *served) takenFrom(k *kitchen.Kitchen, dish int) int {
	sum := 0.0
	for other := range k.Dishes {
		for _, t := range k.Dishes[other].InPlace {
			if t.Dish == dish {
				sum += t.Share * float64(s.portions[other])
			}
		}
	}
	return int(math.Ceil(sum - slack))
}
