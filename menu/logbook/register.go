package logbook

// The register: of every entry what is needed to find it, in memory. In the file it stands in sealed leaves, and what is behind the
// last leaf is read from the entries themselves. So no question goes by an index of the database: one that is damaged would hide an
// entry, and the answer would be another.

import (
	"context"
	"database/sql"
	"encoding/binary"
	"errors"
	"hash/fnv"
	"slices"
	"time"
)

// perLeaf is how many entries a leaf has. A book that is open has read at most so many entries to begin with.
const perLeaf = 256

// noted is what the register has of an entry.
type noted struct {
	at       int64 // in seconds since 1970
	moment   int64 // at which it counts: at, but where a clock was wrong, see settle
	place    int64 // among entries of one moment: the number of the entry; of what stands in for another, that of the other
	corrects int64
	kind     Kind
	clocked  bool // at is when it was written, by the clock
	taken    bool // over from a file
}

// marking is a lot's mark, shortened, that an entry names.
type marking struct {
	mark uint32
	id   int64
}

// register is what is known of the entries, by number from 1.
type register struct {
	list     []noted
	markings []marking // in the order of writing
	chain    digest    // of the last entry
	leaves   int64     // in the file, or to be with the transaction that goes on
	seal     digest    // of the last leaf
	tail     []kept    // the entries behind the last leaf
	sorted   []int64   // all numbers in the order in which entries count; nil before it is needed, and where that is the order of writing
	gone     map[int64]int64
	read     map[int64]*kept // some of the latest entries, see lately
	settled  int             // of the list, see settle
	latest   int64           // at which an entry that is settled was written by the clock
}

// last is the number of the entry that was written last.
func (r *register) last() int64 { return int64(len(r.list)) }

// of is an entry by its number.
func (r *register) of(id int64) *noted { return &r.list[id-1] }

// add takes in the next entry.
func (r *register) add(e *kept) {
	r.list = append(r.list, noted{at: e.instant(), corrects: e.Corrects, kind: e.Kind, clocked: e.At.Equal(e.Written), taken: e.source != nil})
	for _, mark := range e.marks() {
		r.markings = append(r.markings, marking{mark, e.ID})
	}
	r.chain = e.chain
	r.tail = append(r.tail, *e)
}

// marks are those of the lots that an entry brought, shortened.
func (e *Entry) marks() (list []uint32) {
	put := func(mark string) {
		if m := shortMark(mark); mark != "" && !slices.Contains(list, m) {
			list = append(list, m)
		}
	}
	put(e.Mark)
	for _, a := range e.Gives {
		put(a.Mark)
	}
	return list
}

func shortMark(mark string) uint32 {
	h := fnv.New32a()
	_, _ = h.Write([]byte(mark)) // it takes all
	return h.Sum32()
}

// What stands before an entry in a leaf.
const (
	isClocked = 1 << iota
	isTaken
	hasZone
)

// leaf writes down the entries of the tail, of which there are as many as a leaf has.
func (r *register) leaf() []byte {
	var b []byte
	before := int64(0)
	for i := range r.tail {
		e := &r.tail[i]
		flags := byte(0)
		if e.At.Equal(e.Written) {
			flags |= isClocked
		}
		if e.source != nil {
			flags |= isTaken
		}
		if e.Zone != "" {
			flags |= hasZone
		}
		b = append(b, byte(slices.Index(allKinds, e.Kind)), flags)
		b = binary.AppendVarint(b, e.At.Unix()-before)
		before = e.At.Unix()
		if e.Zone != "" {
			east, _ := zoneMinutes(e.Zone) // it was read as one
			b = binary.AppendVarint(b, int64(east))
		}
		if b = binary.AppendUvarint(b, 0); e.Corrects > 0 {
			b = binary.AppendUvarint(b[:len(b)-1], uint64(e.ID-e.Corrects))
		}
		marks := e.marks()
		b = binary.AppendUvarint(b, uint64(len(marks)))
		for _, m := range marks {
			b = binary.BigEndian.AppendUint32(b, m)
		}
	}
	return b
}

// allKinds are the kinds by the numbers that leaves have for them, which never change: a new one comes last.
var allKinds = append(slices.DeleteFunc(slices.Clone(Kinds), func(k Kind) bool { return k == Measured }), Undone, Measured)

var errLeaf = damaged("its register can't be read")

// addLeaf takes in a leaf.
func (r *register) addLeaf(b []byte) error {
	number := func() int64 {
		n, size := binary.Varint(b)
		b = b[max(size, 0):]
		return n
	}
	count := func() uint64 {
		n, size := binary.Uvarint(b)
		b = b[max(size, 0):]
		return n
	}
	before := int64(0)
	for range perLeaf {
		if len(b) < 2 || int(b[0]) >= len(allKinds) {
			return errLeaf
		}
		n := noted{kind: allKinds[b[0]], clocked: b[1]&isClocked != 0, taken: b[1]&isTaken != 0}
		zoned := b[1]&hasZone != 0
		b = b[2:]
		before += number()
		if n.at = before; zoned {
			n.at -= number() * 60
		} else {
			n.at = instant(time.Unix(before, 0).UTC())
		}
		id := r.last() + 1
		if back := count(); back > 0 {
			n.corrects = id - int64(back)
		}
		marks := count()
		if n.corrects < 0 || marks*4 > uint64(len(b)) {
			return errLeaf
		}
		for range marks {
			r.markings = append(r.markings, marking{binary.BigEndian.Uint32(b), id})
			b = b[4:]
		}
		r.list = append(r.list, n)
	}
	if len(b) > 0 {
		return errLeaf
	}
	return nil
}

// sealOf seals a leaf.
func sealOf(number int64, before digest, register []byte, chain digest) digest {
	var w encoding
	w.whole(number)
	return sumOf(w.b, before[:], register, chain[:])
}

// refresh brings the register up to the last entry, and checks what it reads: all leaves, and the entries behind them up to the head.
// The lock of the register must be held.
func (j *Book) refresh(ctx context.Context, from querier) error {
	var last, leaves, there int64
	var chain, seal []byte
	row, err := j.headOf(ctx, from)
	if err != nil {
		return err
	}
	if err := row.Scan(&last, &chain, &leaves, &seal, &there); errors.Is(err, sql.ErrNoRows) {
		return damaged("nothing says where its chain ends")
	} else if err != nil {
		return err
	}
	head, ok := asDigest(chain)
	sealed, sound := asDigest(seal)
	switch {
	case !ok || !sound || last < 0 || leaves != last/perLeaf:
		return damaged("what says where its chain ends can't be read")
	case there < last:
		return damaged("it ends with entry %d, and %d were written", there, last)
	case there > last:
		return damaged("its entries go on to %d, and %d were written", there, last)
	}
	r := j.register
	if r == nil || r.last() > last || r.last() == last && r.chain != head {
		r = &register{}
	} else if r.last() == last {
		return nil
	}
	j.register = nil // should it fail half way
	if r.last() == 0 {
		r.list = make([]noted, 0, last+perLeaf)
		if err := r.readLeaves(ctx, from, leaves); err != nil {
			return err
		}
		if r.seal != sealed {
			return damaged("its register does not end as it was written")
		}
	}
	// What comes behind, which may have filled leaves since.
	for r.last() < last {
		until := min((r.leaves+1)*perLeaf, last)
		ids := make([]int64, 0, perLeaf)
		for id := r.last() + 1; id <= until; id++ {
			ids = append(ids, id)
		}
		err := load(ctx, from, ids, func(e *kept) error {
			if linkOf(r.chain, e.digest) != e.chain {
				return damaged("the chain breaks at entry %d", e.ID)
			}
			r.add(e)
			return nil
		})
		if err != nil {
			return err
		}
		if len(r.tail) == perLeaf {
			r.turn()
		}
	}
	if r.chain != head || r.seal != sealed {
		return damaged("the chain does not end at entry %d as it was written", last)
	}
	r.settle()
	j.register = r
	return nil
}

// headOf is the row that says where the chain ends. It is asked before every question: read by the database, the words of it took longer
// than the answer.
func (j *Book) headOf(ctx context.Context, from querier) (_ *sql.Row, err error) {
	const ends = "SELECT last, chain, leaves, seal, (SELECT coalesce(max(id), 0) FROM entry) FROM head WHERE one = 1"
	if from != j.db { // within a transaction
		return from.QueryRowContext(ctx, ends), nil
	}
	if j.head == nil {
		if j.head, err = j.db.PrepareContext(ctx, ends); err != nil {
			return nil, err
		}
	}
	return j.head.QueryRowContext(ctx), nil
}

// readLeaves reads and checks the leaves that there are.
func (r *register) readLeaves(ctx context.Context, from querier, leaves int64) error {
	rows, err := from.QueryContext(ctx, "SELECT number, register, chain, seal FROM leaf WHERE number <= ? ORDER BY number", leaves)
	if err != nil {
		return err
	}
	defer func() { _ = rows.Close() }()
	for rows.Next() {
		var number int64
		var list, chain, seal sql.RawBytes
		if err := rows.Scan(&number, &list, &chain, &seal); err != nil {
			return err
		}
		link, ok := asDigest(chain)
		sealed, sound := asDigest(seal)
		if !ok || !sound || number != r.leaves+1 || sealOf(number, r.seal, list, link) != sealed {
			return damaged("its register is not as it was written, from entry %d on", r.last()+1)
		}
		if err := r.addLeaf(list); err != nil {
			return err
		}
		r.leaves, r.seal, r.chain = number, sealed, link
	}
	if err := rows.Err(); err != nil {
		return err
	}
	if r.leaves != leaves {
		return damaged("its register ends with entry %d", r.last())
	}
	return nil
}

// turn begins a new leaf behind a full one, which it returns.
func (r *register) turn() (full []byte) {
	full = r.leaf()
	r.leaves++
	r.seal = sealOf(r.leaves, r.seal, full, r.chain)
	r.tail = nil
	return full
}

// corrections are the entries that correct others or take them back: their numbers and kinds, and what they correct.
func (r *register) corrections() (list []Entry) {
	for i := range r.list {
		if n := &r.list[i]; n.corrects > 0 {
			list = append(list, Entry{ID: int64(i + 1), Kind: n.kind, Corrects: n.corrects})
		}
	}
	return list
}

// fates is the last word on every entry that does not stand.
func (r *register) fates() map[int64]int64 {
	if r.gone == nil {
		r.gone = fates(r.corrections())
	}
	return r.gone
}

// pick are the numbers of the entries for which something holds, in the order of writing.
func (r *register) pick(which func(*noted) bool) (ids []int64) {
	for i := range r.list {
		if which(&r.list[i]) {
			ids = append(ids, int64(i+1))
		}
	}
	return ids
}

// marked are the numbers of the entries that may have brought lots of a mark; of all marks where it is "".
func (r *register) marked(mark string) (ids []int64) {
	m := shortMark(mark)
	for _, k := range r.markings {
		if (mark == "" || k.mark == m) && (len(ids) == 0 || ids[len(ids)-1] != k.id) {
			ids = append(ids, k.id)
		}
	}
	return ids
}

// compare orders entries by when they count.
func (r *register) compare(a, b int64) int {
	x, y := r.of(a), r.of(b)
	switch {
	case x.moment != y.moment && x.moment < y.moment || x.moment == y.moment && x.place < y.place:
		return -1
	case x.moment != y.moment || x.place != y.place:
		return 1
	}
	return int(a - b)
}

// order are all numbers in the order in which the entries count.
func (r *register) order() []int64 {
	if r.sorted == nil {
		r.sorted = make([]int64, len(r.list))
		for i := range r.sorted {
			r.sorted[i] = int64(i + 1)
		}
		if !slices.IsSortedFunc(r.sorted, r.compare) {
			slices.SortFunc(r.sorted, r.compare)
		}
	}
	return r.sorted
}
