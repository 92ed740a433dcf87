package logbook

// Entries are kept: each with its digest and its link, in one transaction with the end of the chain.

import (
	"context"
	"database/sql"
	"fmt"
	"time"

	"kettletree/graph/measure"
)

// EntryError says why an entry can't be kept as it is.
type EntryError struct{ Msg, Hint string }

func (e *EntryError) Error() string { return e.Msg }

// Append keeps entries, all of them or none, and returns them with their numbers. When it returns without an error,
// they are on the disk for good. An entry that corrects another must name one that stands, and be of its kind: else the
// error is an [*EntryError]. Without a time of its own it happened when the other did.
func (j *Book) Append(ctx context.Context, entries ...Entry) (list []Entry, err error) {
	err = j.write(ctx, func(tx *sql.Tx) error {
		list, err = j.appendTo(ctx, tx, entries, nil)
		return err
	})
	if err != nil {
		return nil, err
	}
	return list, nil
}

// Undo takes an entry back. To undo an undoing brings the entry back.
func (j *Book) Undo(ctx context.Context, id int64, now time.Time) (Entry, error) {
	kept, err := j.Append(ctx, Entry{Kind: Undone, Corrects: id, At: now, Written: now, Text: fmt.Sprintf("undo %d", id)})
	if err != nil {
		return Entry{}, err
	}
	return kept[0], nil
}

// fromFile is what a file that is taken over has beside its entries.
type fromFile struct {
	source *source
	rows   [][]byte // of the entries
}

// appendTo adds entries within a transaction, which writes alone: the chain goes on from where all others have left it.
func (j *Book) appendTo(ctx context.Context, tx *sql.Tx, entries []Entry, from *fromFile) (list []Entry, err error) {
	if err := j.refresh(ctx, tx); err != nil {
		return nil, err
	}
	w, err := newPen(ctx, tx)
	if err != nil {
		return nil, err
	}
	defer w.close()
	r := j.register
	before := r.last()
	for i, e := range entries {
		if e.Corrects != 0 {
			if err := correctable(ctx, tx, r, &e); err != nil {
				return nil, err
			}
		}
		e.ID = r.last() + 1
		if e.Zone == "" && Here != time.UTC {
			e.Zone = ZoneHere(e.At)
		} else if e.Zone != "" && !e.At.Equal(e.Written) && e.Corrects == 0 {
			e.Zone = ZoneHere(e.At) // which may have been another than when it was written
		}
		if e.Kind != Temperature {
			e.Celsius = 0
		}
		k := kept{Entry: e}
		if from != nil {
			k.source, k.row = from.source, from.rows[i]
		}
		k.digest = digestOf(&k)
		k.chain = linkOf(r.chain, k.digest)
		if err := w.write(ctx, &k); err != nil {
			return nil, err
		}
		if r.add(&k); e.Corrects > 0 {
			r.gone = nil
		}
		if len(r.tail) == perLeaf {
			if err := checkTail(ctx, tx, r, before); err != nil {
				return nil, err
			}
			if err := keepLeaf(ctx, tx, r); err != nil {
				return nil, err
			}
		}
		k.here()
		list = append(list, k.Entry)
	}
	if err := checkTail(ctx, tx, r, before); err != nil {
		return nil, err
	}
	r.settle()
	return list, setHead(ctx, tx, r)
}

// setHead writes down where the chain ends.
func setHead(ctx context.Context, tx *sql.Tx, r *register) error {
	_, err := tx.ExecContext(ctx, "INSERT OR REPLACE INTO head (one, last, chain, leaves, seal) VALUES (1, ?, ?, ?, ?)", r.last(),
		r.chain[:], r.leaves, r.seal[:])
	return err
}

// keepLeaf writes down a leaf that is full.
func keepLeaf(ctx context.Context, tx *sql.Tx, r *register) error {
	full := r.turn()
	_, err := tx.ExecContext(ctx, "INSERT INTO leaf (number, register, chain, seal) VALUES (?, ?, ?, ?)", r.leaves, full, r.chain[:], r.seal[:])
	return err
}

// checkTail reads back what was written after an entry and behind the last leaf. An entry that the database keeps otherwise than it was given would
// be taken for damaged from then on: nothing is written then.
func checkTail(ctx context.Context, tx *sql.Tx, r *register, after int64) error {
	var ids []int64
	for id := max(after, r.leaves*perLeaf) + 1; id <= r.last(); id++ {
		ids = append(ids, id)
	}
	return load(ctx, tx, ids, func(*kept) error { return nil })
}

// pen writes entries within a transaction.
type pen struct{ row, part, due, taste *sql.Stmt }

func newPen(ctx context.Context, tx *sql.Tx) (w *pen, err error) {
	w = &pen{}
	for _, s := range []struct {
		to   **sql.Stmt
		text string
	}{
		{&w.row, `INSERT INTO entry (id, kind, at, written, corrects, text, step, batches, dish, portions, service, paid, supplier,
			mark, reason, of, celsius, file, day, share, begins, until, whom, reading, did, zone, row, digest, chain)
			VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`},
		{&w.part, "INSERT INTO amount (entry, place, gives, item, base, measure, typed, mark) VALUES (?, ?, ?, ?, ?, ?, ?, ?)"},
		{&w.taste, "INSERT INTO taste (entry, place, name, value, unit, word) VALUES (?, ?, ?, ?, ?, ?)"},
		{&w.due, "INSERT INTO due (entry, place, gives, item, base, measure, after) VALUES (?, ?, ?, ?, ?, ?, ?)"},
	} {
		if *s.to, err = tx.PrepareContext(ctx, s.text); err != nil {
			w.close()
			return nil, err
		}
	}
	return w, nil
}

func (w *pen) close() {
	for _, s := range []*sql.Stmt{w.row, w.part, w.due, w.taste} {
		if s != nil {
			_ = s.Close()
		}
	}
}

func (w *pen) write(ctx context.Context, e *kept) error {
	var file, zone any
	if e.source != nil {
		file = e.source.id
	}
	if east, ok := zoneMinutes(e.Zone); ok {
		zone = east
	}
	if _, err := w.row.ExecContext(ctx, e.ID, e.Kind, e.At.Unix(), e.Written.Unix(), some(e.Corrects), e.Text, some(e.Step),
		some(e.Batches), some(e.Dish), some(e.Portions), some(e.Service), e.Paid, some(e.Supplier), some(e.Mark),
		some(e.Reason), some(e.Of), celsius(&e.Entry), file, some(e.Day), some(e.Share), begins(&e.Entry),
		some(e.Until), some(e.To), some(e.Reading), some(e.Did), zone, e.row, e.digest[:], e.chain[:]); err != nil {
		return err
	}
	place := 0
	for gives, list := range [][]Amount{e.Takes, e.Gives} {
		for _, a := range list {
			if _, err := w.part.ExecContext(ctx, e.ID, place, gives, a.Item, a.Base, measures[a.Kind], a.Typed, some(a.Mark)); err != nil {
				return err
			}
			place++
		}
	}
	for n, t := range e.Tastes {
		if _, err := w.taste.ExecContext(ctx, e.ID, n, t.Name, t.Value, some(t.Unit), some(t.Word)); err != nil {
			return err
		}
	}
	for n, d := range e.Card {
		if _, err := w.due.ExecContext(ctx, e.ID, n, d.Out, d.Item, d.Base, measures[d.Kind], d.After); err != nil {
			return err
		}
	}
	return nil
}

// some is a value, or nothing where it is zero.
func some[T comparable](v T) any {
	var zero T
	if v == zero {
		return nil
	}
	return v
}

func celsius(e *Entry) any {
	if e.Kind == Temperature {
		return e.Celsius
	}
	return nil
}

func begins(e *Entry) any {
	if e.Begins.IsZero() {
		return nil
	}
	return e.Begins.Format(time.DateOnly)
}

// measures are the base units as they are kept, by [measure.Kind].
var measures = [...]string{measure.Weight: "g", measure.Volume: "mL", measure.Count: "each"}

// correctable checks that what an entry corrects stands, and takes its time from there.
func correctable(ctx context.Context, tx *sql.Tx, r *register, e *Entry) error {
	if e.Corrects < 1 || e.Corrects > r.last() {
		return &EntryError{fmt.Sprintf("there is no entry %d", e.Corrects), "\"kettletree log show\" lists them"}
	}
	kind := r.of(e.Corrects).kind
	if by, gone := r.fates()[e.Corrects]; gone {
		if r.of(by).kind == Undone {
			return &EntryError{fmt.Sprintf("entry %d was undone by entry %d", e.Corrects, by), fmt.Sprintf("to bring it back, undo %d", by)}
		}
		return &EntryError{fmt.Sprintf("entry %d was corrected by entry %d", e.Corrects, by), fmt.Sprintf("correct or undo %d", by)}
	}
	if e.Kind != Undone && e.Kind != kind {
		return &EntryError{fmt.Sprintf("entry %d is %q, so %q can't replace it", e.Corrects, kind, e.Kind),
			fmt.Sprintf("undo %d, and log the new one", e.Corrects)}
	}
	return load(ctx, tx, []int64{e.Corrects}, func(old *kept) error {
		at := *old
		at.here()
		if !e.At.IsZero() && (!e.At.Equal(at.At) || e.At.Equal(e.Written)) {
			if e.Zone != "" && !e.At.Equal(e.Written) {
				e.Zone = ZoneHere(e.At)
			}
			return nil
		}
		// When the other happened, by the clock of whoever wrote it.
		e.Written = e.Written.Add(old.At.Sub(at.At))
		e.At, e.Zone = old.At, old.Zone
		return nil
	})
}
