package logbook

// The lineage of lots: what they came from, and where they went.

import (
	"cmp"
	"iter"
	"maps"
	"slices"
)

// lotOf names a lot: what an entry brought of an item.
type lotOf struct {
	Entry int64
	Item  int
}

// Sure says how far a lot is known to be in what it is linked to.
type Sure uint8

const (
	Unlinked Sure = iota
	May           // it lay together with what was taken: that it was another is only an accounting rule
	Is            // it was named, or lay there alone, on every part of the way
)

func (s Sure) String() string { return [...]string{"", "may contain", "contains"}[s] }

// Lineage is what is known of the lots that a question is about.
type Lineage struct {
	Lots map[lotOf]*lotLine
	From []linked // movements on the way to the lots that were asked about, in the order in which they happened
	Into []linked // movements on the way from them
}

// lotLine is a lot with what became of it by the book, in base units. Came is the sum of the others.
type lotLine struct {
	Asked, Before, After           Sure // asked about; found backwards; found forwards
	Came                           float64
	Cooked, Sold, Binned, Off, Lay float64 // Off is what a count found missing, Lay what is left
	fed                            int64   // found backwards: an entry that it may have been taken for
	Moved                          Move    // with which it came first
}

// linked is a movement with what is known of it.
type linked struct {
	Move
	Sure Sure
	Lot  lotOf // found forwards: the lot that reached the entry, by the book where it can be
}

// reel is all movements in the order in which they happened. What is read is handed on entry by entry, and holds until
// the next.
type reel struct {
	parts [][]byte
	tail  []Move
	items int
	torn  error
}

func (r *reel) forwards() iter.Seq[[]Move] { return r.groups(false) }

func (r *reel) backwards() iter.Seq[[]Move] { return r.groups(true) }

func (r *reel) groups(back bool) iter.Seq[[]Move] {
	return func(yield func([]Move) bool) {
		var room []Move
		part := func(n int) []Move {
			if n == len(r.parts) {
				return r.tail
			}
			var err error
			if room, err = unpackMoves(room[:0], r.parts[n], r.items); err != nil {
				r.torn = err
				return nil
			}
			return room
		}
		if back {
			for n := len(r.parts); n >= 0; n-- {
				moves := part(n)
				for end := len(moves); end > 0; {
					from := end - 1
					for from > 0 && moves[from-1].Entry == moves[end-1].Entry {
						from--
					}
					if !yield(moves[from:end]) {
						return
					}
					end = from
				}
			}
			return
		}
		for n := range len(r.parts) + 1 {
			moves := part(n)
			for from := 0; from < len(moves); {
				end := from + 1
				for end < len(moves) && moves[end].Entry == moves[from].Entry {
					end++
				}
				if !yield(moves[from:end]) {
					return
				}
				from = end
			}
		}
	}
}

// trace follows some lots through all movements. Lots of entry e are asked about by
// their item, or all of them, and what was taken for them, where the item is below 0.
//
// A link leads from a lot to an entry that took it by name or where it lay alone ([Is]), and from each lot that lay on
// a shelf to an entry that took from the shelf without naming a lot ([May]); and from an entry to each lot that it
// brought. A lot lies on a shelf until it was used up by name or the shelf was empty; that first in, first out used it
// up earlier is no proof. So B is reached from A exactly when A is reached, backwards, from B.
func trace(r *reel, asked ...lotOf) *Lineage {
	t := &tracing{Lineage: &Lineage{Lots: map[lotOf]*lotLine{}}, asked: map[lotOf]bool{}, entries: map[int64]bool{},
		items: r.items}
	for _, a := range asked {
		t.asked[a], t.entries[a.Entry] = true, true
	}
	t.back(r)
	t.forth(r)
	return t.Lineage
}

type tracing struct {
	*Lineage
	asked   map[lotOf]bool
	entries map[int64]bool // of which anything is asked
	items   int
}

// is tells whether a lot, or with an item below 0 what was taken for an entry, is asked about.
func (t *tracing) is(l lotOf) bool { return t.asked[l] || t.asked[lotOf{l.Entry, -1}] }

func (t *tracing) lot(l lotOf) *lotLine {
	line := t.Lots[l]
	if line == nil {
		line = &lotLine{}
		t.Lots[l] = line
	}
	return line
}

// came adds up what an entry brought by lot; used holds until the next call.
func came(group []Move, used map[lotOf]float64) map[lotOf]float64 {
	clear(used)
	for _, m := range group {
		if m.Sort == Came {
			used[lotOf{m.Entry, m.Item}] += m.Amount
		}
	}
	return used
}

// back goes from the last movement to the first.
func (t *tracing) back(r *reel) {
	wanted := map[lotOf]Sure{}                  // lots that entries in question took by name, or where they lay alone
	open := make([]bool, t.items)               // by item: such an entry took from the shelf without naming a lot
	fed := make([]int64, t.items)               // by item: that entry
	named := make([]map[lotOf]float64, t.items) // by item: what was taken by name before that
	brought := map[lotOf]float64{}
	for group := range r.backwards() {
		entry := group[0].Entry
		sure := Unlinked
		if t.entries[entry] {
			for a := range t.asked {
				if a.Entry == entry {
					sure = Is
				}
			}
		}
		for l, amount := range came(group, brought) {
			found, feeds := wanted[l], int64(0)
			delete(wanted, l)
			if open[l.Item] && amount-named[l.Item][l] > slack*amount {
				found, feeds = max(found, May), fed[l.Item]
			}
			if found > Unlinked && !t.is(l) {
				line := t.lot(l)
				line.Before, line.fed = found, feeds
				sure = max(sure, found)
			}
		}
		if sure > Unlinked {
			for _, m := range slices.Backward(group) {
				if l := (lotOf{m.Entry, m.Item}); m.Sort == Came && t.Lots[l] != nil && t.Lots[l].Before > Unlinked {
					t.From = append(t.From, linked{Move: m, Sure: t.Lots[l].Before})
				}
			}
		}
		for _, m := range slices.Backward(group) {
			switch l := (lotOf{m.From, m.Item}); m.Sort {
			case Emptied:
				open[m.Item] = false
			case Took, Beyond, Found:
				if sure > Unlinked {
					open[m.Item], fed[m.Item], named[m.Item] = true, entry, nil
					t.From = append(t.From, linked{Move: m, Sure: May})
				}
			case Alone, Named:
				if sure > Unlinked && m.From != entry {
					wanted[l] = max(wanted[l], sure)
					t.From = append(t.From, linked{Move: m, Sure: sure})
				}
				if m.Sort == Named && open[m.Item] {
					if named[m.Item] == nil {
						named[m.Item] = map[lotOf]float64{}
					}
					named[m.Item][l] += m.Amount
				}
			}
		}
	}
	slices.Reverse(t.From)
}

// loose is a lot on a shelf with what was not taken of it by name.
type loose struct {
	lotOf
	left, came float64
}

// forth goes from the first movement to the last, and adds up what became of all lots.
func (t *tracing) forth(r *reel) {
	// All movements from the first to the last, entry by entry.
	shelves := make([][]loose, t.items) // by item: lots in question, in the order in which they came
	brought := map[lotOf]float64{}
	for group := range r.forwards() {
		entry := group[0].Entry

		// How surely what the entry takes is of a lot in question.
		sure := Unlinked
		for _, m := range group {
			from := lotOf{m.From, m.Item}
			link := linked{Move: m, Lot: from}
			line := t.Lots[from]
			switch m.Sort {
			case Emptied:
				shelves[m.Item] = nil
			case Took, Beyond, Found:
				if len(shelves[m.Item]) > 0 {
					link.Sure = May
					if line == nil || line.After+line.Asked == Unlinked {
						link.Lot = shelves[m.Item][0].lotOf
					}
				}
			case Alone, Named:
				if line != nil && m.From != entry {
					link.Sure = max(line.Asked, line.After)
				}
				if m.Sort == Named {
					shelves[m.Item] = without(shelves[m.Item], from, m.Amount)
				}
			}
			if link.Sure > Unlinked {
				sure = max(sure, link.Sure)
				t.Into = append(t.Into, link)
			}
		}

		// What the entry brings is then of it too, as surely.
		if sure > Unlinked || t.entries[entry] || t.knows(group) {
			came(group, brought)
		}
		for _, m := range group {
			l := lotOf{entry, m.Item}
			if m.Sort != Came || sure == Unlinked && !t.entries[entry] && t.Lots[l] == nil {
				continue
			}
			reached := sure
			if t.is(l) {
				reached = Is
				t.lot(l).Asked = Is
			}
			if reached > Unlinked {
				line := t.lot(l)
				if line.Asked == Unlinked {
					line.After = reached
				}
				t.Into = append(t.Into, linked{Move: m, Sure: reached})
				if amount, first := brought[l]; first {
					delete(brought, l)
					shelves[m.Item] = append(shelves[m.Item], loose{l, amount, amount})
				}
			}
			if line := t.Lots[l]; line != nil {
				if line.Came == 0 {
					line.Moved = m
				}
				line.Came += m.Amount
			}
		}

		// What left the lots in question.
		for _, m := range group {
			if line := t.Lots[lotOf{m.From, m.Item}]; line != nil && m.From != 0 {
				line.used(m)
			}
		}
	}

	// What is left of each.
	for _, l := range t.Lots {
		if l.Lay = l.Came - l.Cooked - l.Sold - l.Binned - l.Off; l.Lay <= slack*l.Came {
			l.Lay = 0
		}
	}
}

// knows tells whether lots of an entry were found backwards.
func (t *tracing) knows(group []Move) bool {
	return slices.ContainsFunc(group, func(m Move) bool { return m.Sort == Came && t.Lots[lotOf{m.Entry, m.Item}] != nil })
}

// without takes some of a lot off a shelf by name, and the lot when nothing is left that may lie there.
func without(shelf []loose, named lotOf, amount float64) []loose {
	n := slices.IndexFunc(shelf, func(l loose) bool { return l.lotOf == named })
	if n < 0 {
		return shelf
	}
	if shelf[n].left -= amount; shelf[n].left <= slack*shelf[n].came {
		return slices.Delete(shelf, n, n+1)
	}
	return shelf
}

// used books what was taken of a lot.
func (l *lotLine) used(m Move) {
	switch m.Kind {
	case Lit, PutIn, Done, Cooked:
		l.Cooked += m.Amount
	case Sold, Gave, Dropped:
		l.Sold += m.Amount
	case Binned:
		l.Binned += m.Amount
	default:
		l.Off += m.Amount
	}
}

// sorted are lots by their numbers, and those of one entry by their items.
func (g *Lineage) sorted() []lotOf {
	return slices.SortedFunc(maps.Keys(g.Lots), func(a, b lotOf) int {
		return cmp.Or(cmp.Compare(a.Entry, b.Entry), cmp.Compare(a.Item, b.Item))
	})
}
