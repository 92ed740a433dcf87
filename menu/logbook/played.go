package logbook

// What is on hand by the log book's file. What was played is kept beside the entries, so that the next command need not
// begin again: stretch by stretch, the shelves as they stood after it and what moved in it. It follows from the entries
// and the kitchen file alone, and may be thrown away at any time.

import (
	"bytes"
	"context"
	"database/sql"
	"encoding/gob"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"time"

	"kettletree/menu/kitchen"
)

// stretch is how many entries are played, at least, before what follows from them is kept. Tests make it short.
var stretch = 4096

const (
	// edition counts the ways of playing: another one means that what was kept is played again.
	edition = 3
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
func (j *Book) playedUpTo(ctx context.Context, memory **warm, k *kitchen.Kitchen, asOf time.Time) (*warm, error) {
	w, last := *memory, int64(0)
	*memory = nil // should it fail half way
	// Entries are only ever added, so those up to the last that is there now are one state of the log book.
	if err := j.db.QueryRowContext(ctx, "SELECT coalesce(max(id), 0) FROM entry").Scan(&last); err != nil {
		return nil, j.fault(err)
	}
	if w != nil {
		written, corrected, err := j.earliest(ctx, w.last, last)
		if err != nil {
			return nil, j.fault(err)
		}
		if at := w.p.stock.AsOf.Unix(); written < at || corrected <= at || w.p.k != k || asOf.Unix() < w.upTo {
			w = nil
		}
	}
	corrections, err := read(ctx, j.db, "WHERE e.id IN ("+correcting+" AND id <= ?) ORDER BY e.id, a.place", last)
	if err != nil {
		return nil, j.fault(err)
	}
	gone := fates(corrections)
	play := func(e *Entry) {
		if _, is := gone[e.ID]; !is && e.Kind != Undone {
			w.p.play(e)
		}
	}
	if w == nil && memory == &j.dear {
		p, err := newTill(ctx, k)
		if err != nil {
			return nil, err
		}
		w = &warm{p: p, last: last, upTo: beginning}
	} else if w == nil {
		if w, err = j.resumed(ctx, k, last, asOf.Unix()); err != nil {
			return nil, j.fault(err)
		}
		if err := j.stretches(ctx, w, last, asOf.Unix(), play); err != nil {
			return nil, j.fault(err)
		}
	}
	// Written late but of the last moment that was played counts behind it, as it was written behind it.
	err = each(ctx, j.db, play, `WHERE +e.id <= ? AND e.at <= ? AND e.at >= ? AND (+e.id > ? OR e.at > ?)
		ORDER BY e.at, e.id, a.place`, // the plus signs leave only the index of moments to go by
		last, asOf.Unix(), min(w.upTo, w.p.stock.AsOf.Unix()), w.last, w.upTo)
	if err != nil {
		return nil, j.fault(err)
	}
	w.last, w.upTo = last, asOf.Unix()
	*memory = w
	return w, nil
}

// earliest are the first moment of the entries after one, up to a last, and the first of those that they correct.
func (j *Book) earliest(ctx context.Context, after, last int64) (written, corrected int64, err error) {
	err = j.db.QueryRowContext(ctx, `WITH RECURSIVE chain (id) AS (
			SELECT corrects FROM entry INDEXED BY correction WHERE corrects IS NOT NULL AND id > ?1 AND id <= ?2
			UNION SELECT e.corrects FROM entry e JOIN chain USING (id) WHERE e.corrects IS NOT NULL)
		SELECT coalesce((SELECT min(at) FROM entry NOT INDEXED WHERE id > ?1 AND id <= ?2), ?3),
			coalesce((SELECT min(at) FROM entry NOT INDEXED WHERE id IN (SELECT id FROM chain)), ?3)`, after, last,
		int64(math.MaxInt64)).Scan(&written, &corrected)
	return written, corrected, err
}

// resumed is what is kept of what happened up to a moment, as far as it still holds.
func (j *Book) resumed(ctx context.Context, k *kitchen.Kitchen, last, asOf int64) (*warm, error) {
	w := &warm{last: last, upTo: beginning, kept: beginning}
	var err error
	if w.p, err = newPlayer(k); err != nil {
		return nil, err
	}
	var of string
	var before int64
	err = j.db.QueryRowContext(ctx, "SELECT kitchen, last, turn FROM playing").Scan(&of, &before, &w.turn)
	if errors.Is(err, sql.ErrNoRows) {
		return w, nil
	}
	if err != nil || of != playedFor(k) || before > last {
		return w, err
	}
	written, corrected, err := j.earliest(ctx, before, last)
	if err != nil {
		return nil, err
	}
	var shelves []byte
	var at int64
	holds := min(written, corrected) // what lies before it
	if err := j.db.QueryRowContext(ctx, "SELECT EXISTS (SELECT 1 FROM played WHERE at > ? AND at < ?)", asOf, holds).
		Scan(&w.past); err != nil {
		return nil, err
	}
	err = j.db.QueryRowContext(ctx, `SELECT at, place, shelves FROM played
		WHERE at <= ? AND at < ? AND shelves IS NOT NULL ORDER BY at DESC LIMIT 1`, asOf, holds).Scan(&at, &w.rows, &shelves)
	if errors.Is(err, sql.ErrNoRows) {
		return w, nil
	}
	if err != nil {
		return nil, err
	}
	rows, err := j.db.QueryContext(ctx, "SELECT told FROM played WHERE at <= ? ORDER BY at", at)
	if err != nil {
		return nil, err
	}
	defer func() { _ = rows.Close() }()
	for rows.Next() {
		var told sql.RawBytes
		if err := rows.Scan(&told); err != nil {
			return nil, err
		}
		var t toldIn
		if err := json.Unmarshal(told, &t); err != nil {
			return freshly(w)
		}
		w.p.stock.Odd, w.p.stock.Counts = append(w.p.stock.Odd, t.Odd...), append(w.p.stock.Counts, t.Counts...)
	}
	if err := rows.Err(); err != nil {
		return nil, err
	}
	if err := w.p.restore(shelves); err != nil {
		return freshly(w)
	}
	w.upTo, w.kept, w.odd, w.counts = at, at, len(w.p.stock.Odd), len(w.p.stock.Counts)
	return w, nil
}

// freshly begins again where what is kept can't be read: it is only a copy.
func freshly(w *warm) (*warm, error) {
	p, err := newPlayer(w.p.k)
	return &warm{p: p, last: w.last, upTo: beginning, kept: beginning, turn: w.turn, past: w.past}, err
}

// playedFor names the kitchen that something was played for, and the way of playing.
func playedFor(k *kitchen.Kitchen) string { return fmt.Sprintf("%d %s", edition, k.Digest) }

// stretches plays whole stretches up to a moment, and keeps them.
func (j *Book) stretches(ctx context.Context, w *warm, last, asOf int64, play func(*Entry)) error {
	for {
		var end int64 // a stretch ends with a moment, never within
		err := j.db.QueryRowContext(ctx, "SELECT at FROM entry WHERE at > ? AND +id <= ? ORDER BY at LIMIT 1 OFFSET ?",
			w.upTo, last, stretch-1).Scan(&end)
		if errors.Is(err, sql.ErrNoRows) || err == nil && end > asOf {
			break
		}
		if err != nil {
			return err
		}
		if err := each(ctx, j.db, play, "WHERE +e.id <= ? AND e.at > ? AND e.at <= ? ORDER BY e.at, e.id, a.place", last,
			w.upTo, end); err != nil {
			return err
		}
		w.upTo = end
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
			j.keep(ctx, w, last)
		}
	}
	if len(w.waiting) > 0 {
		j.keep(ctx, w, last)
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
func (j *Book) keep(ctx context.Context, w *warm, last int64) {
	if w.past {
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
	defer func() { _, _ = conn.ExecContext(context.WithoutCancel(ctx), "PRAGMA busy_timeout = 10000") }()
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
			rows, s.shelves, s.told, s.moves); err != nil {
			return
		}
	}
	if _, err := tx.ExecContext(ctx, `UPDATE played SET shelves = NULL
		WHERE shelves IS NOT NULL AND ?1 - place > 2 * (place & -place)`, rows); err != nil { // see spared
		return
	}
	if _, err := tx.ExecContext(ctx, "INSERT OR REPLACE INTO playing (one, kitchen, last, turn) VALUES (1, ?, ?, ?)",
		playedFor(w.p.k), last, turn+1); err != nil || tx.Commit() != nil {
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
		if last < 0 || len(on.Made) != last+1 || len(on.Entries) != last+1 || len(on.Marks) != last+1 {
			return errTorn
		}
		lot := func(n int) Lot {
			return Lot{Item: i, Amount: on.Amounts[n], Made: time.Unix(on.Made[n], 0).UTC(), Entry: on.Entries[n], Mark: on.Marks[n]}
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
// not kept, is returned apart. ok is false when another changed what is kept meanwhile.
func (j *Book) moves(ctx context.Context, w *warm) (parts [][]byte, ok bool, err error) {
	rows, err := j.db.QueryContext(ctx,
		"SELECT moves, (SELECT turn FROM playing) FROM played WHERE at <= ? ORDER BY at", w.kept)
	if err != nil {
		return nil, false, err
	}
	defer func() { _ = rows.Close() }()
	ok = true
	for rows.Next() {
		var b []byte
		var turn int64
		if err := rows.Scan(&b, &turn); err != nil {
			return nil, false, err
		}
		ok = ok && turn == w.turn
		parts = append(parts, b)
	}
	for _, s := range w.waiting {
		parts = append(parts, s.moves)
	}
	return parts, ok, rows.Err()
}
