package flow

// Lots of an item, used first in, first out, for those who follow the movements that a walk recorded.

// Queue is what is on hand of one item, the oldest lot first; of each lot it keeps what the follower wants to know. The
// zero value is empty.
type Queue[T any] struct {
	Parts []Part[T]
	owed  float64 // taken before what it was taken of was noted
}

// Part is an amount of a lot, in base units.
type Part[T any] struct {
	Lot    T
	Amount float64
}

// Put adds a lot. What was taken before it was noted comes off it: a walk notes what it bought for a service after what
// the service took.
func (q *Queue[T]) Put(lot T, amount float64) {
	paid := min(q.owed, amount)
	q.owed -= paid
	if rest := amount - paid; rest > amount*slack {
		q.Parts = append(q.Parts, Part[T]{lot, rest})
	}
}

// Draw takes an amount, the oldest first, and tells how much of it was not there.
func (q *Queue[T]) Draw(amount float64) (parts []Part[T], missing float64) {
	missing = amount
	for missing > amount*slack && len(q.Parts) > 0 {
		first := &q.Parts[0]
		part := Part[T]{first.Lot, min(first.Amount, missing)}
		missing -= part.Amount
		if first.Amount -= part.Amount; first.Amount <= amount*slack {
			q.Parts = q.Parts[1:]
		}
		parts = append(parts, part)
	}
	if missing <= amount*slack {
		return parts, 0
	}
	q.owed += missing
	return parts, missing
}
