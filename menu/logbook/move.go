package logbook

// Movements: how lots came onto the shelves and left them, as playing the entries finds it.

import (
	"encoding/binary"
	"errors"
	"math"
	"slices"

	"kettletree/graph/flow"
)

// Move is a movement on the shelf of an item. The shelf is a pot: lots that lie there together may each be in whatever is
// taken without naming a lot, until the shelf is empty by the book, or was counted as empty. A book that was overdrawn is
// not believed when it says so. A lot is what an entry brought of an item, so From and Item name one.
type Move struct {
	Sort   Sort
	Item   int // of the kitchen's graph
	Entry  int64
	Kind   Kind       // of the entry
	From   int64      // of Took, Alone and Named: the entry that brought the lot; else 0
	Amount float64    // base units; 0 of Found and Emptied
	Since  flow.Since // of Came: the day 1 of the lot
}

// Sort tells movements apart.
type Sort uint8

const (
	Came    Sort = iota // a lot came, or some more of it
	Took                // by the book the oldest lot was taken from; others lay with it, so it may have been any of them
	Alone               // a lot was taken from that lay there alone
	Named               // a lot was taken from that was named
	Beyond              // more was taken than there was by the book
	Found               // a count found more than the book had: of which lots, nobody knows
	Emptied             // the shelf was empty: no lot from before lies there any more
	sorts
)

// packMoves writes movements down in few bytes.
func packMoves(moves []Move) []byte {
	b := make([]byte, 0, 16*len(moves))
	last := int64(0)
	for _, m := range moves {
		b = append(b, byte(m.Sort)+byte(sorts)*byte(slices.Index(Kinds, m.Kind)))
		b = binary.AppendUvarint(b, uint64(m.Item))
		b = binary.AppendVarint(b, m.Entry-last)
		last = m.Entry
		switch m.Sort {
		case Took, Alone, Named:
			b = binary.AppendVarint(b, m.Entry-m.From)
		case Found, Emptied:
			continue
		case Came:
			b = packSince(b, m.Since)
		}
		b = binary.LittleEndian.AppendUint64(b, math.Float64bits(m.Amount))
	}
	return b
}

// packSince writes the day 1 of a lot down: what it knows, and then the numbers of that.
func packSince(b []byte, s flow.Since) []byte {
	known := byte(0)
	for bit, is := range []bool{s.Known, s.Ice > 0, s.Oiled, s.OilIce > 0, s.Presumed} {
		if is {
			known |= 1 << bit
		}
	}
	b = append(b, known)
	for _, n := range sinceNumbers(&s, known) {
		b = binary.AppendVarint(b, int64(*n))
	}
	return b
}

// unpackSince reads what packSince wrote, and what is behind it. Items must be below a number.
func unpackSince(b []byte, items int) (s flow.Since, rest []byte, err error) {
	if len(b) == 0 || b[0] > 31 {
		return s, nil, errTorn
	}
	known, b := b[0], b[1:]
	s.Known, s.Oiled, s.Presumed = known&1 > 0, known&4 > 0, known&16 > 0
	for _, at := range sinceNumbers(&s, known) {
		v, n := binary.Varint(b)
		if n <= 0 || v > math.MaxInt32 || v < math.MinInt32 {
			return s, nil, errTorn
		}
		*at, b = int(v), b[n:]
	}
	for _, item := range []int{s.Item, s.Oily} {
		if item < 0 || item >= items {
			return s, nil, errTorn
		}
	}
	return s, b, nil
}

// sinceNumbers are where the numbers of a day 1 stand of which so much is known.
func sinceNumbers(s *flow.Since, known byte) (list []*int) {
	for bit, of := range [][]*int{{&s.Day, &s.Item}, {&s.Ice, &s.Froze, &s.Thaw}, {&s.Oil, &s.Oily}, {&s.OilIce}} {
		if known>>bit&1 > 0 {
			list = append(list, of...)
		}
	}
	return list
}

var errTorn = errors.New("what was played is torn")

// unpackMoves reads what packMoves wrote, behind the moves in list. Items must be below a number.
func unpackMoves(list []Move, b []byte, items int) ([]Move, error) {
	last := int64(0)
	number := func() int64 {
		v, n := binary.Varint(b)
		b = b[max(0, n):]
		return v
	}
	for len(b) > 0 {
		m := Move{Sort: Sort(b[0]) % sorts}
		kind := int(b[0]) / int(sorts)
		item, n := binary.Uvarint(b[1:])
		if n <= 0 || item >= uint64(items) || kind >= len(Kinds) {
			return nil, errTorn
		}
		m.Item, m.Kind, b = int(item), Kinds[kind], b[1+n:]
		last += number()
		m.Entry = last
		switch m.Sort {
		case Took, Alone, Named:
			m.From = m.Entry - number()
		case Found, Emptied:
			list = append(list, m)
			continue
		case Came:
			var err error
			if m.Since, b, err = unpackSince(b, items); err != nil {
				return nil, err
			}
		}
		if len(b) < 8 {
			return nil, errTorn
		}
		m.Amount, b = math.Float64frombits(binary.LittleEndian.Uint64(b)), b[8:]
		list = append(list, m)
	}
	return list, nil
}
