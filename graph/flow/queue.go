package flow

// Lots of an item, used first in, first out.

import "slices"

// Held is a pointer to a lot in a queue: it says where stands how much of the lot is left, in base units.
type Held[L any] interface {
	*L
	Left() *float64
}

// Queue is what is on hand of one item, the oldest lot first. The zero value is empty.
type Queue[L any, P Held[L]] struct {
	lots []L
	head int // of lots: what is before it is used up
}

// Lots are what is left, the oldest first. They may be changed in place.
func (q *Queue[L, P]) Lots() []L { return q.lots[q.head:] }

// Empty tells whether nothing is left.
func (q *Queue[L, P]) Empty() bool { return q.head == len(q.lots) }

// Put adds a lot behind all others.
func (q *Queue[L, P]) Put(lot L) {
	if q.head > len(q.lots)/2 { // a queue that is never empty must not grow for ever
		q.lots, q.head = slices.Delete(q.lots, 0, q.head), 0
	}
	q.lots = append(q.lots, lot)
}

// Draw takes an amount, the oldest first, and returns how much of it was not there. Unless it is nil, drawn hears of each
// part before it is taken off its lot.
func (q *Queue[L, P]) Draw(amount float64, drawn func(of *L, part float64)) (missing float64) {
	for q.head < len(q.lots) && amount > 0 {
		l := &q.lots[q.head]
		left := P(l).Left()
		if drawn != nil {
			drawn(l, min(*left, amount))
		}
		if *left > amount {
			*left -= amount
			return 0
		}
		amount -= *left
		q.head++
	}
	return amount
}

// Remove takes out the lot that stands at a place of Lots.
func (q *Queue[L, P]) Remove(at int) { q.lots = slices.Delete(q.lots, q.head+at, q.head+at+1) }

// Clear takes all lots off and keeps their room.
func (q *Queue[L, P]) Clear() { q.lots, q.head = q.lots[:0], 0 }
