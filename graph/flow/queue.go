package flow

// Lots of an item, used first in, first out.

import "slices"

// Queue is what is on hand of one item, the oldest lot first; of each lot it keeps what its owner wants to know. The zero
// value is empty.
type Queue[L any] struct {
	lots []Rest[L]
	head int // of lots: what is before it is used up
}

// Rest is what is left of a lot, in base units.
type Rest[L any] struct {
	Lot    L
	Amount float64
}

// Lots are what is left, the oldest first. They may be changed in place.
func (q *Queue[L]) Lots() []Rest[L] { return q.lots[q.head:] }

// Empty tells whether nothing is left.
func (q *Queue[L]) Empty() bool { return q.head == len(q.lots) }

// Put adds a lot behind all others.
func (q *Queue[L]) Put(lot L, amount float64) {
	if q.head > len(q.lots)/2 { // a queue that is never empty must not grow for ever
		q.lots, q.head = slices.Delete(q.lots, 0, q.head), 0
	}
	q.lots = append(q.lots, Rest[L]{lot, amount})
}

// Draw takes an amount, the oldest first, and returns how much of it was not there. Unless it is nil, drawn hears of each
// part before it is taken off its lot.
func (q *Queue[L]) Draw(amount float64, drawn func(of *Rest[L], part float64)) (missing float64) {
	for q.head < len(q.lots) && amount > 0 {
		l := &q.lots[q.head]
		if l.Amount > amount {
			if drawn != nil {
				drawn(l, amount)
			}
			l.Amount -= amount
			return 0
		}
		if drawn != nil {
			drawn(l, l.Amount)
		}
		amount -= l.Amount
		q.head++
	}
	return amount
}

// Clear takes all lots off and keeps their room.
func (q *Queue[L]) Clear() { q.lots, q.head = q.lots[:0], 0 }
