package counter

// The best that was played for a sum, found soon.

import (
	"cmp"
	"slices"
	"sort"
)

// ranking is what an answer looks at, by what it costs at the prices of the moment. Its zero value ranks nothing.
type ranking struct {
	of    int            // so many, the first that it came to; what came after is looked through
	list  []*purchase    // that the car carries, the cheapest first
	leads [2][]*purchase // by place: the best of those so far, by the cards and whatever they say
}

// unranked is how many that came after a ranking are looked through, before all are ranked again.
const unranked = 400

// best is the best of all that was played for so much money: of two that are as good, the cheaper one.
func (s *Search) best(money float64) (b *purchase) {
	if len(s.within) > s.ranked.of+unranked {
		s.rank()
	}
	r := &s.ranked
	if fit := sort.Search(len(r.list), func(k int) bool { return r.list[k].costs > money+cent }); fit > 0 {
		b = r.leads[s.how()][fit-1]
	}
	for _, p := range s.within[r.of:] {
		if s.fits(p, money) && (b == nil || s.beats(p, b)) {
			b = p
		}
	}
	return b
}

func (s *Search) rank() {
	r := ranking{of: len(s.within)}
	for _, p := range s.within {
		if p.weighs <= s.carries() {
			r.list = append(r.list, p)
		}
	}
	slices.SortStableFunc(r.list, func(a, b *purchase) int { return cmp.Compare(a.costs, b.costs) })
	was := s.freely
	for how, freely := range []bool{false, true} {
		s.freely = freely
		var b *purchase
		for _, p := range r.list {
			if b == nil || s.beats(p, b) {
				b = p
			}
			r.leads[how] = append(r.leads[how], b)
		}
	}
	s.freely, s.ranked = was, r
}

func (s *Search) how() int {
	if s.freely {
		return 1
	}
	return 0
}
