package logbook

// What is on hand by the log book's file. What was played is kept beside the entries, so that the next command need not
// begin again: stretch by stretch, the shelves as they stood after it and what moved in it. It follows from the entries
// and the kitchen file alone, and may be thrown away at any time.

import (
	"bytes"
	"cmp"
	"context"
	"database/sql"
	"encoding/gob"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"slices"
	"time"

	"kettletree/graph/flow"
	"kettletree/menu/kitchen"
)

// stretch is how many entries are played, at least, before what follows from them is kept. Tests make it short.
var stretch = 4096

const (
	// edition counts the ways of playing: another one means that what was kept is played again.
	edition = 14
	// unkept bounds the stretches that wait in memory to be kept.
	unkept = 32
)

// beginning lies before all moments.
const beginning = math.MinInt64

// warm is what was played of a log book, to go on from there.
type warm struct {
	p    *player
	last int64 // of the entries that were there
	upTo int64 // the moment up to which they were played
	at   int64 // the moment of the entry that was played last
	turn int64 // of what is kept in the file when it was read or written last
	kept int64 // the last moment of what is kept in the file and was gone on from; beginning where there is none
	rows int64 // that are kept up to there
	past bool  // what is kept goes on behind the moment that is asked about: it shall stay

	waiting     []played // stretches that are not kept in the file
	odd, counts int      // what of the player's belongs to stretches
}

// played is a stretch.
type played struct {
	at                   int64
	shelves, told, moves []byte // shelves is nil where they are not kept
}

// OnHand is what the log book says is on hand at a moment: the entries that stand, neither taken back nor replaced, are
// played in the order in which they happened.
//
//   - received adds a lot, and so does what a cooked entry gave.
//   - What is cooked, sold or binned takes the lot that it names, then the oldest lots first. What is sold takes what
//     its dish needs, through the steps that run to order, see [flow.Taker.Take]; so does whatever is taken of an item
//     that such a step makes.
//   - counted is the truth: what is too much in the book goes, the oldest first. What is too little is added to the
//     oldest lot, or where there is none to the day of the lot that was used up last, as it can't be younger.
//
// An item is never below nothing: what is taken beyond what the book had is said in Stock.Odd. Nothing is said about
// bought items that were never received or counted: nobody keeps book of them.
//
// Asked again about the same kitchen, also after the file was closed, it goes on from where it was, unless what is new
// lies further back.
func (j *Book) OnHand(ctx context.Context, k *kitchen.Kitchen, asOf time.Time) (*Stock, error) {
	j.turn.Lock()
	defer j.turn.Unlock()
	w, err := j.playedUpTo(ctx, &j.warm, k, asOf)
	if err != nil {
		return nil, err
	}
	return w.p.shown(), nil
}

// playedUpTo plays what happened up to a moment, going on from memory, or from what is kept in the file. Of money and
// sales no book is kept there. The turn must be held.
func (j *Book) playedUpTo(ctx context.Context, memory **warm, k *kitchen.Kitchen, asOf time.Time) (w *warm, err error) {
	w = *memory
	*memory = nil // should it fail half way
	err = j.ask(ctx, func(r *register) error {
		w, err = j.playOn(ctx, r, w, k, instant(asOf), memory == &j.dear)
		return err
	})
	if err != nil {
		return nil, err
	}
	*memory = w
	return w, nil
}

// playOn plays on from what was played, as far as it still holds, up to a moment.
func (j *Book) playOn(ctx context.Context, r *register, w *warm, k *kitchen.Kitchen, asOf int64, till bool) (_ *warm, err error) {
	if w != nil {
		if first := r.earliest(w.last); first < w.at || w.p.k != k || asOf < w.upTo || w.last > r.last() {
			w = nil
		}
	}
	if w == nil && till {
		p, err := newTill(ctx, k)
		if err != nil {
			return nil, err
		}
		w = &warm{p: p, last: r.last(), upTo: beginning, at: beginning}
	} else if w == nil {
		if w, err = j.resumed(ctx, r, k, asOf); err != nil {
			return nil, err
		}
		if err := j.stretches(ctx, r, w, asOf); err != nil {
			return nil, err
		}
	}
	// Written late but of the last moment that was played counts behind it, as it was written behind it.
	var ids []int64
	from := min(w.upTo, w.at)
	order := r.order()
	at, _ := slices.BinarySearchFunc(order, from, func(id, moment int64) int { return cmp.Compare(r.of(id).moment, moment) })
	for _, id := range order[at:] {
		moment := r.of(id).moment
		if moment > asOf {
			break
		}
		if id > w.last || moment > w.upTo {
			ids = append(ids, id)
		}
	}
	if err := j.playEach(ctx, r, w, ids); err != nil {
		return nil, err
	}
	w.last, w.upTo = r.last(), asOf
	return w, nil
}

// playEach plays the entries of some numbers that stand, which are in the order in which they count.
func (j *Book) playEach(ctx context.Context, r *register, w *warm, ids []int64) error {
	gone := r.fates()
	stand := make([]int64, 0, min(len(ids), atOnce))
	for some := range slices.Chunk(ids, atOnce) {
		stand = stand[:0]
		for _, id := range some {
			if _, is := gone[id]; !is && r.of(id).kind != Undone {
				stand = append(stand, id)
			}
		}
		list, err := j.read(ctx, slices.Sorted(slices.Values(stand)))
		if err != nil {
			return err
		}
		for _, id := range stand {
			at, _ := slices.BinarySearchFunc(list, id, func(e Entry, id int64) int { return cmp.Compare(e.ID, id) })
			e := list[at]
			r.when(&e)
			w.p.play(&e)
			w.at = r.of(id).moment
		}
	}
	return nil
}

// when sets an entry's time to that at which it counts, where its own was of a clock that was wrong.
func (r *register) when(e *Entry) {
	if n := r.of(e.ID); n.moment != n.at {
		e.At = shownHere(n.moment)
	}
}

// earliest is the first moment that something written after an entry changes: its own, or that of what it corrects.
func (r *register) earliest(after int64) int64 {
	first := int64(math.MaxInt64)
	for id := after + 1; id <= r.last(); id++ {
		for of := id; of > 0; of = r.of(of).corrects {
			n := r.of(of)
			first = min(first, n.moment, n.at) // a clock that was wrong moved what lies between
			if of != id {
				first = min(first, n.moment-1)
			}
		}
	}
	return first
}

// resumed is what is kept of what happened up to a moment, as far as it still holds.
func (j *Book) resumed(ctx context.Context, r *register, k *kitchen.Kitchen, asOf int64) (*warm, error) {
	w := &warm{last: r.last(), upTo: beginning, at: beginning, kept: beginning}
	var err error
	if w.p, err = newPlayer(k); err != nil {
		return nil, err
	}
	if j.distrust {
		return w, nil
	}
	kept, err := j.keptFor(ctx, r, w, asOf)
	if err == nil || ctx.Err() != nil || isBusy(err) {
		return kept, err
	}
	j.distrust = true // what is kept can't be read: it is only a copy
	return freshly(w)
}

// keptFor goes on from what is kept of what happened up to a moment.
func (j *Book) keptFor(ctx context.Context, r *register, w *warm, asOf int64) (_ *warm, err error) {
	k := w.p.k
	var of string
	var before int64
	var chain, seal []byte
	err = j.db.QueryRowContext(ctx, "SELECT kitchen, last, turn, chain, seal FROM playing").Scan(&of, &before, &w.turn, &chain, &seal)
	if isNone(err) {
		return w, nil
	}
	if err != nil {
		return nil, err
	}
	if sealed := playingSeal(of, before, w.turn, chain); string(seal) != string(sealed[:]) || of != playedFor(k) || before > r.last() ||
		!j.links(ctx, r, before, chain) {
		return w, nil
	}
	holds := r.earliest(before) // what lies before it
	var shelves []byte
	var at int64
	if err := j.db.QueryRowContext(ctx, "SELECT EXISTS (SELECT 1 FROM played WHERE at > ? AND at < ?)", asOf, holds).
		Scan(&w.past); err != nil {
		return nil, err
	}
	err = j.db.QueryRowContext(ctx, `SELECT at, place, shelves FROM played
		WHERE at <= ? AND at < ? AND shelves IS NOT NULL ORDER BY at DESC LIMIT 1`, asOf, holds).Scan(&at, &w.rows, &shelves)
	if isNone(err) {
		return w, nil
	}
	if err != nil {
		return nil, err
	}
	told, ok, err := j.partsOf(ctx, "told", at, w.rows)
	if err != nil {
		return nil, err
	}
	for _, b := range told {
		var t toldIn
		ok = ok && json.Unmarshal(b, &t) == nil
		w.p.stock.Odd, w.p.stock.Counts = append(w.p.stock.Odd, t.Odd...), append(w.p.stock.Counts, t.Counts...)
	}
	if shelves, sound := unsealed("shelves", at, w.rows, shelves); !ok || !sound || w.p.restore(shelves) != nil {
		return freshly(w)
	}
	w.upTo, w.at, w.kept, w.odd, w.counts = at, at, at, len(w.p.stock.Odd), len(w.p.stock.Counts)
	return w, nil
}

func isNone(err error) bool { return errors.Is(err, sql.ErrNoRows) }

// links tells whether the chain had a link at an entry.
func (j *Book) links(ctx context.Context, r *register, id int64, chain []byte) bool {
	if id == r.last() {
		return string(chain) == string(r.chain[:])
	}
	if id < 1 {
		return id == 0
	}
	found := false
	err := load(ctx, j.db, []int64{id}, func(e *kept) error {
		found = string(e.chain[:]) == string(chain)
		return nil
	})
	return err == nil && found
}

// partsOf is a column of what is kept up to a moment, of so many rows; ok is false where it is not as it was written.
func (j *Book) partsOf(ctx context.Context, column string, upTo, count int64) (parts [][]byte, ok bool, err error) {
	rows, err := j.db.QueryContext(ctx, "SELECT at, place, "+column+" FROM played WHERE at <= ? ORDER BY at", upTo)
	if err != nil {
		return nil, false, err
	}
	defer func() { _ = rows.Close() }()
	ok = true
	for rows.Next() {
		var at, place int64
		var b []byte
		if err := rows.Scan(&at, &place, &b); err != nil {
			return nil, false, err
		}
		b, sound := unsealed(column, at, place, b)
		ok = ok && sound && place == int64(len(parts)+1)
		parts = append(parts, b)
	}
	return parts, ok && int64(len(parts)) == count, rows.Err()
}

// What is kept is sealed, part by part: damage must not make another answer of it. A part that is not as it was written is played
// again.
func sealed(column string, at, place int64, part []byte) []byte {
	if part == nil {
		return nil
	}
	sum := partSum(column, at, place, part)
	return append(sum[:], part...)
}

// unsealed is a part as it was before it was sealed.
func unsealed(column string, at, place int64, part []byte) ([]byte, bool) {
	sum, ok := asDigest(part[:min(len(part), len(digest{}))])
	if !ok {
		return nil, false
	}
	part = part[len(sum):]
	return part, partSum(column, at, place, part) == sum
}

func partSum(column string, at, place int64, part []byte) digest {
	var w encoding
	w.whole(at)
	w.whole(place)
	return sumOf([]byte(column), w.b, part)
}

// playingSeal seals what all rows hold for.
func playingSeal(kitchen string, last, turn int64, chain []byte) digest {
	var w encoding
	w.whole(last)
	w.whole(turn)
	return sumOf([]byte(kitchen), w.b, chain)
}

// freshly begins again where what is kept can't be read: it is only a copy.
func freshly(w *warm) (*warm, error) {
	p, err := newPlayer(w.p.k)
	return &warm{p: p, last: w.last, upTo: beginning, at: beginning, kept: beginning, turn: w.turn, past: w.past}, err
}

// playedFor names the kitchen that something was played for, the way of playing, and the zone of the clock.
func playedFor(k *kitchen.Kitchen) string {
	zone := func(month time.Month) int { return offsetAt(time.Date(2026, month, 15, 0, 0, 0, 0, time.UTC)) / 60 }
	return fmt.Sprintf("%d %s %d %d", edition, k.Digest, zone(time.January), zone(time.July))
}

// stretches plays whole stretches up to a moment, and keeps them.
func (j *Book) stretches(ctx context.Context, r *register, w *warm, asOf int64) error {
	order := r.order()
	at, _ := slices.BinarySearchFunc(order, w.upTo, func(id, moment int64) int {
		if r.of(id).moment <= moment {
			return -1
		}
		return 1
	})
	for order = order[at:]; len(order) >= stretch; {
		end := r.of(order[stretch-1]).moment // a stretch ends with a moment, never within
		if end > asOf {
			break
		}
		n := stretch
		for n < len(order) && r.of(order[n]).moment == end {
			n++
		}
		if err := j.playEach(ctx, r, w, order[:n]); err != nil {
			return err
		}
		order = order[n:]
		w.upTo, w.at = end, end
		done, err := w.stretch(end)
		if err != nil {
			return err
		}
		w.waiting = append(w.waiting, done)
		for n := range w.waiting[:len(w.waiting)-1] {
			if !spared(w.rows+int64(n)+1, w.rows+int64(len(w.waiting))) {
				w.waiting[n].shelves = nil
			}
		}
		if len(w.waiting)%unkept == 0 {
			j.keep(ctx, r, w)
		}
	}
	if len(w.waiting) > 0 {
		j.keep(ctx, r, w)
	}
	return nil
}

// spared tells whether the shelves of a row stay when there are so many rows: the further back, the fewer, so that
// there are some to go on from when something is written down late, and no more than twice the logarithm of the rows.
func spared(row, rows int64) bool { return rows-row <= 2*(row&-row) }

// stretch takes what was played since the last one out of the player.
func (w *warm) stretch(end int64) (played, error) {
	p := w.p
	shelves, err := p.shelved()
	if err != nil {
		return played{}, err
	}
	told, err := json.Marshal(toldIn{p.stock.Odd[w.odd:], p.stock.Counts[w.counts:]})
	if err != nil {
		return played{}, err
	}
	done := played{end, shelves, told, packMoves(p.moves)}
	w.odd, w.counts, p.moves = len(p.stock.Odd), len(p.stock.Counts), p.moves[:0]
	return done, nil
}

// keep writes the stretches that wait into the file. It is no harm when that can't be done, as when the file may only
// be read, or another writes: they stay in memory.
func (j *Book) keep(ctx context.Context, r *register, w *warm) {
	if w.past || j.distrust {
		return
	}
	conn, err := j.db.Conn(ctx)
	if err != nil {
		return
	}
	defer func() { _ = conn.Close() }()
	if _, err := conn.ExecContext(ctx, "PRAGMA busy_timeout = 0"); err != nil { // nobody shall wait for this
		return
	}
	defer func() {
		_, _ = conn.ExecContext(context.WithoutCancel(ctx), fmt.Sprintf("PRAGMA busy_timeout = %d", patience.Milliseconds()))
	}()
	tx, err := conn.BeginTx(ctx, nil)
	if err != nil {
		return
	}
	defer func() { _ = tx.Rollback() }() // of what was committed, it does nothing
	var turn int64
	if tx.QueryRowContext(ctx, "SELECT coalesce((SELECT turn FROM playing), 0)").Scan(&turn) != nil || turn != w.turn {
		return // another kept something meanwhile
	}
	if _, err := tx.ExecContext(ctx, "DELETE FROM played WHERE at > ?", w.kept); err != nil {
		return
	}
	rows := w.rows
	for _, s := range w.waiting {
		rows++
		if _, err := tx.ExecContext(ctx, "INSERT INTO played (at, place, shelves, told, moves) VALUES (?, ?, ?, ?, ?)", s.at,
			rows, sealed("shelves", s.at, rows, s.shelves), sealed("told", s.at, rows, s.told), sealed("moves", s.at, rows, s.moves)); err != nil {
			return
		}
	}
	if _, err := tx.ExecContext(ctx, `UPDATE played SET shelves = NULL
		WHERE shelves IS NOT NULL AND ?1 - place > 2 * (place & -place)`, rows); err != nil { // see spared
		return
	}
	of := playedFor(w.p.k)
	seal := playingSeal(of, r.last(), turn+1, r.chain[:])
	if _, err := tx.ExecContext(ctx, "INSERT OR REPLACE INTO playing (one, kitchen, last, turn, chain, seal) VALUES (1, ?, ?, ?, ?, ?)",
		of, r.last(), turn+1, r.chain[:], seal[:]); err != nil || tx.Commit() != nil {
		return
	}
	w.turn, w.kept, w.rows, w.waiting = turn+1, w.waiting[len(w.waiting)-1].at, rows, nil
}

// toldIn is what was told in a stretch.
type toldIn struct {
	Odd    []Oddity `json:",omitempty"`
	Counts []Count  `json:",omitempty"`
}

// paused is a player between two entries. Lots stand in columns, which are quick to read where there are many.
type paused struct {
	Entries int
	AsOf    int64
	Shelves []shelfNow
	Pots    []potNow
}

// shelfNow is a shelf; the last of its lots is the one that was used up last.
type shelfNow struct {
	Have                         float64
	Uncounted, Seen, Mixed, Over bool
	First                        int64
	Amounts                      []float64
	Made, Entries                []int64 // Made in seconds
	Marks                        []string
	Since                        []flow.Since
}

// shelved writes the player's shelves down, and restore reads them.
func (p *player) shelved() ([]byte, error) {
	s := paused{Entries: p.stock.Entries, AsOf: p.stock.AsOf.Unix(), Pots: p.shelvedPots()}
	for i := range p.shelves {
		on := &p.shelves[i]
		now := shelfNow{Have: p.have[i], Uncounted: p.uncounted[i], Seen: p.seen[i], Mixed: on.mixed, Over: on.over,
			First: on.first}
		put := func(l *Lot) {
			now.Amounts, now.Made = append(now.Amounts, l.Amount), append(now.Made, l.Made.Unix())
			now.Entries, now.Marks = append(now.Entries, l.Entry), append(now.Marks, l.Mark)
			now.Since = append(now.Since, l.Since)
		}
		for n := range on.Lots() {
			put(&on.Lots()[n])
		}
		put(&on.last)
		s.Shelves = append(s.Shelves, now)
	}
	var b bytes.Buffer
	err := gob.NewEncoder(&b).Encode(s)
	return b.Bytes(), err
}

func (p *player) restore(src []byte) error {
	var s paused
	if err := gob.NewDecoder(bytes.NewReader(src)).Decode(&s); err != nil {
		return err
	}
	if len(s.Shelves) != len(p.shelves) {
		return errTorn
	}
	p.stock.Entries, p.stock.AsOf = s.Entries, time.Unix(s.AsOf, 0).UTC()
	p.restorePots(s.Pots)
	for i, on := range s.Shelves {
		last := len(on.Amounts) - 1
		if last < 0 || len(on.Made) != last+1 || len(on.Entries) != last+1 || len(on.Marks) != last+1 || len(on.Since) != last+1 {
			return errTorn
		}
		lot := func(n int) Lot {
			return Lot{Item: i, Amount: on.Amounts[n], Made: time.Unix(on.Made[n], 0).UTC(), Entry: on.Entries[n], Mark: on.Marks[n],
				Since: on.Since[n]}
		}
		p.have[i], p.uncounted[i], p.seen[i] = on.Have, on.Uncounted, on.Seen
		p.shelves[i] = shelf{last: lot(last), first: on.First, mixed: on.Mixed, over: on.Over}
		for n := range last {
			p.shelves[i].Put(lot(n))
		}
	}
	return nil
}

// moves hands on what is kept of all movements up to the moment that was played, stretch by stretch; the last, which is
// not kept, is returned apart. ok is false when another changed what is kept meanwhile, or it is not as it was written.
func (j *Book) moves(ctx context.Context, w *warm) (parts [][]byte, ok bool, err error) {
	if w.rows > 0 {
		if parts, ok, err = j.partsOf(ctx, "moves", w.kept, w.rows); err != nil {
			return nil, false, err
		}
		var turn int64
		if err := j.db.QueryRowContext(ctx, "SELECT turn FROM playing").Scan(&turn); err != nil && !isNone(err) {
			return nil, false, err
		}
		ok = ok && turn == w.turn
	}
	for _, s := range w.waiting {
		parts = append(parts, s.moves)
	}
	return parts, ok || w.rows == 0, nil
}
