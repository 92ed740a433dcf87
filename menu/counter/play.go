package counter

// Purchases are played once, several at a time.

import (
	"encoding/binary"
	"iter"
	"math"
	"runtime"
	"slices"
	"sync"

	"kettletree/graph/flow"
)

// keyOf is by what a purchase is known in played; valid until the next.
func (s *Search) keyOf(rungs []int) []byte {
	s.key = append(s.key[:0], byte(s.way))
	for n, r := range rungs {
		s.key = binary.LittleEndian.AppendUint64(s.key, uint64(math.Round(s.ladders[n][r].amount*1000)))
	}
	return s.key
}

// play plays those of some sets that were not played yet, on all processors. None of them is looked at by that: what an answer looks at is the
// same on any machine.
func (s *Search) play(list [][]int) {
	var fresh []*purchase
	for _, rungs := range list {
		if key := s.keyOf(rungs); s.played[string(key)] == nil {
			p := &purchase{rungs: slices.Clone(rungs), way: s.way}
			for n, r := range rungs {
				at := s.ladders[n][r].amount
				if p.at = append(p.at, at); at > 0 && !math.IsNaN(s.grams[n]) {
					p.weighs += at * s.grams[n]
				}
			}
			s.played[string(key)], fresh = p, append(fresh, p)
		}
	}
	if len(fresh) == 0 {
		return
	}
	plays := &s.ways[s.way].plays
	if *plays == nil {
		*plays = append(*plays, s.onward.Arriving(s.bought(s.base, make([]float64, len(s.o.Offers)), false)))
		for range processors() - 1 {
			*plays = append(*plays, (*plays)[0].Beside())
		}
	}
	var group sync.WaitGroup
	workers := min(len(fresh), len(*plays))
	for at := range workers {
		work := func() {
			for k := at; k < len(fresh); k += workers {
				p := fresh[k]
				books, o := (*plays)[at].Play(s.deliveries(s.base, p.at, false))
				p.earns, p.off = books.Contribution, s.off(o)
				for n, o := range s.o.Offers {
					p.earns += p.at[n] * s.Week.Case.Flow.Price(o.Item)
				}
			}
		}
		if at == workers-1 {
			work()
		} else {
			group.Go(work)
		}
	}
	group.Wait()
}

// mostPlays is how many purchases are played at once at most.
const mostPlays = 8

func processors() int { return min(runtime.GOMAXPROCS(0), mostPlays) }

// ahead hands on sets that were played: as many at once as there are processors.
func (s *Search) ahead(sets iter.Seq[[]int]) iter.Seq[[]int] {
	return func(yield func([]int) bool) {
		var chunk [][]int
		fresh := 0
		hand := func() bool {
			s.play(chunk)
			for _, y := range chunk {
				if !yield(y) {
					return false
				}
			}
			chunk, fresh = chunk[:0], 0
			return true
		}
		for y := range sets {
			chunk = append(chunk, y)
			if s.played[string(s.keyOf(y))] == nil {
				fresh++
			}
			if (fresh == 0 || fresh == processors()) && !hand() {
				return
			}
		}
		hand()
	}
}

// deliveries are those of a case with so much of each offer bought, none of some: at the counter's prices or, without, at the file's.
func (s *Search) deliveries(in flow.Case, at []float64, priced bool) []flow.Delivery {
	list := slices.Clone(in.Schedule.Deliveries)
	for n, o := range s.o.Offers {
		d := flow.Delivery{Item: o.Item, Amount: at[n], Ordered: at[n]}
		if priced {
			d.Price = o.Price
		}
		list = append(list, d)
	}
	return list
}
