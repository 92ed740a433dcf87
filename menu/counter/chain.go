package counter

// The chain: from all that is of use down to nothing.

import (
	"cmp"
	"context"
	"math"
	"slices"
)

// links is in how many steps a chain lets go of each thing, about.
const links = 12

// chain begins with all there is, lets go of what is of no use, and then of what loses least for the money that it frees, until
// nothing is left.
func (s *Search) chain(ctx context.Context) {
	at := s.allOfUse(-1)
	w := s.ways[s.way]
	w.useful, w.without = at, nil
	for n := range at {
		w.without = append(w.without, s.allOfUse(n))
	}
	steps := make([]int, len(at))
	total := 0
	for n := range at {
		steps[n] = max(1, at[n]/links)
		total += at[n]
	}
	for left := total; left > 0 && ctx.Err() == nil; {
		at = s.link(at, steps)
		left = 0
		for _, r := range at {
			left += r
		}
		s.tell(0.5 * (1 - float64(left)/float64(total)))
	}
}

// allOfUse is what there is, as far as it is of use, without one thing; -1 for with all.
func (s *Search) allOfUse(without int) []int {
	at := make([]int, len(s.ladders))
	for n, l := range s.ladders {
		if n != without {
			at[n] = len(l) - 1
		}
	}
	for range 2 { // what is of no use beside what else is of none, is of none
		for n := range at {
			at[n] = s.ofUse(at, n)
		}
	}
	return at
}

// ofUse is the least of one thing that is as good as what there is of it, all else as it is.
func (s *Search) ofUse(at []int, n int) int {
	all := s.gross(s.try(at))
	low, high := 0, at[n]
	for low < high {
		mid := (low + high) / 2
		if y := set(at, n, mid); s.gross(s.try(y)) >= all-better {
			high = mid
		} else {
			low = mid + 1
		}
	}
	return high
}

// gross is what a purchase counts before it is paid for.
func (s *Search) gross(p *purchase) float64 { return p.earns - p.off }

func set(at []int, n, rung int) []int {
	y := slices.Clone(at)
	y[n] = rung
	return y
}

// link lets go of a step of the thing that loses least for the money it frees, and of what else is then not worth that.
func (s *Search) link(at, steps []int) []int {
	from := s.try(at)
	type way struct {
		at    []int
		ratio float64 // lost for what is freed
	}
	var ways []way
	loses := func(was *purchase, y []int) float64 {
		p := s.try(y)
		return (s.gross(was) - s.gross(p)) / max(was.costs-p.costs, cent)
	}
	var list [][]int
	for n := range at {
		if at[n] > 0 {
			list = append(list, set(at, n, max(0, at[n]-steps[n])))
		}
	}
	s.play(list)
	for _, y := range list {
		ways = append(ways, way{y, loses(from, y)})
	}
	slices.SortStableFunc(ways, func(a, b way) int { return cmp.Compare(a.ratio, b.ratio) })
	best := ways[0]
	if best.ratio <= 0 { // nothing is lost: it goes
		return best.at
	}
	for k, w := range ways[:min(3, len(ways))] { // what is cooked together goes together
		y := w.at
		for n := range y {
			for y[n] > 0 {
				less := set(y, n, max(0, y[n]-steps[n]))
				if loses(s.try(y), less) > math.Min(w.ratio, 1)/2 {
					break
				}
				y = less
			}
		}
		if ratio := loses(from, y); k == 0 || ratio < best.ratio {
			best = way{y, ratio}
		}
	}
	return best.at
}
