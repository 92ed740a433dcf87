package logbook

// The log book's file: opened, read and added to.

import (
	"context"
	"database/sql"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"

	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"

	"kettletree/graph/measure"
)

// Book is an open log book. It may be shared between goroutines, and its file between programs: who comes second
// waits, for ten seconds at most.
type Book struct {
	file string
	db   *sql.DB

	turn    sync.Mutex // of those that ask what follows from the entries
	warm    *warm      // what was played last; nil before anything was
	before  *warm      // the same up to an earlier moment, from which a present is played
	dear    *warm      // the same with book of money and sales, see books
	learned *learning  // what was learned last; nil before anything was
}

// FileError is what keeps a log book from being read or written.
type FileError struct {
	File string
	Msg  string
	Hint string // what to do about it, "" when there is nothing to add
	Err  error  // what the system or the database said; nil when there is no more to say
}

func (e *FileError) Error() string { return e.File + ": " + e.Msg }

func (e *FileError) Unwrap() error { return e.Err }

// Exists tells whether there is a log book at a path, or one by its former name there, which [Open] then refuses.
func Exists(file string) bool {
	return isThere(file) || isThere(former(file))
}

func isThere(file string) bool {
	_, err := os.Stat(file)
	return err == nil
}

// former is what a log book was called by earlier versions: kitchen.journal for kitchen.logbook.
func former(file string) string { return strings.TrimSuffix(file, ".logbook") + ".journal" }

// Open opens the log book of a file, makes it when there is none, and brings an older one up to date. Errors are of type
// [*FileError].
func Open(ctx context.Context, file string) (*Book, error) {
	j := &Book{file: file}
	path, err := filepath.Abs(file)
	if err != nil {
		return nil, j.fault(err)
	}
	if info, err := os.Stat(path); err == nil && !info.Mode().IsRegular() {
		return nil, &FileError{File: file, Msg: "the log book is not a plain file", Hint: "move what is there out of the way"}
	} else if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, j.fault(err)
	}
	if was := former(path); !isThere(path) && isThere(was) {
		// A new log book beside it would begin empty, and nobody would notice.
		return nil, &FileError{File: former(file), Msg: "this log book has its former name",
			Hint: fmt.Sprintf("rename it: mv %s %s", filepath.ToSlash(former(file)), filepath.ToSlash(file))}
	}
	settings := url.Values{"_txlock": {"immediate"}, "_pragma": {
		"busy_timeout(10000)", // first: the others may have to wait already
		"journal_mode(WAL)", "synchronous(FULL)", "foreign_keys(1)", "recursive_triggers(1)"}}
	if j.db, err = sql.Open("sqlite", address(path, settings)); err != nil {
		return nil, j.fault(err)
	}
	j.db.SetMaxOpenConns(1)
	if err := j.migrate(ctx); err != nil {
		_ = j.db.Close()
		return nil, j.fault(err)
	}
	return j, nil
}

// address is a path as the database library takes it, with settings.
func address(path string, settings url.Values) string {
	at := url.URL{Scheme: "file", Path: "/" + strings.TrimPrefix(filepath.ToSlash(path), "/"), RawQuery: settings.Encode()}
	return at.String()
}

// Close ends the work with the file.
func (j *Book) Close() error { return j.db.Close() }

// migrate brings the tables up to the last version.
func (j *Book) migrate(ctx context.Context) error {
	var version, app, tables int
	look := func(on interface {
		QueryRowContext(context.Context, string, ...any) *sql.Row
	}) error {
		return errors.Join(on.QueryRowContext(ctx, "PRAGMA user_version").Scan(&version),
			on.QueryRowContext(ctx, "PRAGMA application_id").Scan(&app),
			on.QueryRowContext(ctx, "SELECT count(*) FROM sqlite_schema").Scan(&tables))
	}
	if err := look(j.db); err != nil {
		return err
	}
	if version == versions && app == application {
		return nil
	}
	return j.write(ctx, func(tx *sql.Tx) error {
		if err := look(tx); err != nil { // another may have been faster
			return err
		}
		switch {
		case app != application && (app != 0 || tables > 0):
			return &FileError{File: j.file, Msg: "this is a database, but not a kettletree log book",
				Hint: "move it away: the log book of a kitchen lies beside its file, with the ending .logbook"}
		case version > versions:
			return &FileError{File: j.file, Msg: fmt.Sprintf("the log book is of version %d, which a newer kettletree wrote; "+
				"this one knows %d", version, versions), Hint: "use the newer kettletree, or a backup from before it"}
		}
		for v := version + 1; v <= versions; v++ {
			if _, err := tx.ExecContext(ctx, migration(v)); err != nil {
				return err
			}
		}
		_, err := tx.ExecContext(ctx, fmt.Sprintf("PRAGMA user_version = %d; PRAGMA application_id = %d", versions, application))
		return err
	})
}

// write runs what writes as one transaction: all of it is kept, for good when write returns, or none.
func (j *Book) write(ctx context.Context, change func(*sql.Tx) error) error {
	tx, err := j.db.BeginTx(ctx, nil)
	if err != nil {
		return j.fault(err)
	}
	defer func() { _ = tx.Rollback() }() // unless it is kept: also where the change panics, for the file stays open as long as it is under way
	if err := change(tx); err != nil {
		return j.fault(err)
	}
	return j.fault(tx.Commit())
}

// fault words what the database or the system says.
func (j *Book) fault(err error) error {
	if err == nil {
		return nil
	}
	if _, ok := errors.AsType[*FileError](err); ok {
		return err
	}
	if _, ok := errors.AsType[*EntryError](err); ok {
		return err
	}
	if errors.Is(err, context.Canceled) {
		return err
	}
	e := &FileError{File: j.file, Err: err}
	var code int
	if fault, ok := errors.AsType[*sqlite.Error](err); ok {
		code = fault.Code() & 0xff
	}
	switch code {
	case sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_CORRUPT:
		e.Msg = "the log book is damaged, or is not a log book"
		e.Hint = "go back to the last backup: kettletree restore FILE"
	case sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED:
		e.Msg = "another program has held the log book for ten seconds"
		e.Hint = "nothing was written: try again when it has finished"
	case sqlite3.SQLITE_READONLY:
		e.Msg = "the log book can't be written to"
		e.Hint = "give yourself permission to write the file and its folder; nothing was written"
	case sqlite3.SQLITE_FULL:
		e.Msg = "the disk is full"
		e.Hint = "make room and try again; nothing was written"
	case sqlite3.SQLITE_CANTOPEN:
		e.Msg = "the log book can't be opened or made"
		e.Hint = "its folder must exist, and you must have permission to write in it"
	default:
		e.Msg = err.Error()
	}
	return e
}

// EntryError says why an entry can't be kept as it is.
type EntryError struct{ Msg, Hint string }

func (e *EntryError) Error() string { return e.Msg }

// Append keeps entries, all of them or none, and returns them with their numbers. When it returns without an error,
// they are on the disk for good. An entry that corrects another must name one that stands, and be of its kind: else the
// error is an [*EntryError]. Without a time of its own it happened when the other did.
func (j *Book) Append(ctx context.Context, entries ...Entry) (kept []Entry, err error) {
	err = j.write(ctx, func(tx *sql.Tx) error {
		kept, err = appendTo(ctx, tx, entries, nil)
		return err
	})
	if err != nil {
		return nil, err
	}
	return kept, nil
}

// Undo takes an entry back. To undo an undoing brings the entry back.
func (j *Book) Undo(ctx context.Context, id int64, now time.Time) (Entry, error) {
	kept, err := j.Append(ctx, Entry{Kind: Undone, Corrects: id, At: now, Written: now, Text: fmt.Sprintf("undo %d", id)})
	if err != nil {
		return Entry{}, err
	}
	return kept[0], nil
}

// appendTo adds entries within a transaction.
func appendTo(ctx context.Context, tx *sql.Tx, entries []Entry, file *int64) (kept []Entry, err error) {
	row, err := tx.PrepareContext(ctx, `INSERT INTO entry (kind, at, written, corrects, text, step, batches, dish,
		portions, service, paid, supplier, mark, reason, of, celsius, file, day, share, begins, until, whom, reading, did)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`)
	if err != nil {
		return nil, err
	}
	defer func() { _ = row.Close() }()
	part, err := tx.PrepareContext(ctx,
		`INSERT INTO amount (entry, place, gives, item, base, measure, typed, mark) VALUES (?, ?, ?, ?, ?, ?, ?, ?)`)
	if err != nil {
		return nil, err
	}
	defer func() { _ = part.Close() }()
	due, err := tx.PrepareContext(ctx,
		`INSERT INTO due (entry, place, gives, item, base, measure, after) VALUES (?, ?, ?, ?, ?, ?, ?)`)
	if err != nil {
		return nil, err
	}
	defer func() { _ = due.Close() }()
	for _, e := range entries {
		if e.Corrects != 0 {
			if err := correctable(ctx, tx, &e); err != nil {
				return nil, err
			}
		}
		done, err := row.ExecContext(ctx, e.Kind, e.At.Unix(), e.Written.Unix(), some(e.Corrects), e.Text, some(e.Step),
			some(e.Batches), some(e.Dish), some(e.Portions), some(e.Service), e.Paid, some(e.Supplier), some(e.Mark),
			some(e.Reason), some(e.Of), celsius(&e), file, some(e.Day), some(e.Share), begins(&e),
			some(e.Until), some(e.To), some(e.Reading), some(e.Did))
		if err != nil {
			return nil, err
		}
		if e.ID, err = done.LastInsertId(); err != nil {
			return nil, err
		}
		place := 0
		for gives, list := range [][]Amount{e.Takes, e.Gives} {
			for _, a := range list {
				if _, err := part.ExecContext(ctx, e.ID, place, gives, a.Item, a.Base, measures[a.Kind], a.Typed,
					some(a.Mark)); err != nil {
					return nil, err
				}
				place++
			}
		}
		for n, d := range e.Card {
			if _, err := due.ExecContext(ctx, e.ID, n, d.Out, d.Item, d.Base, measures[d.Kind], d.After); err != nil {
				return nil, err
			}
		}
		kept = append(kept, e)
	}
	return kept, nil
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
func correctable(ctx context.Context, tx *sql.Tx, e *Entry) error {
	others, err := read(ctx, tx, "WHERE e.id IN ("+correcting+" UNION ALL SELECT ?) ORDER BY e.id, a.place", e.Corrects)
	if err != nil {
		return err
	}
	var old *Entry
	for i := range others {
		if others[i].ID == e.Corrects {
			old = &others[i]
		}
	}
	if old == nil {
		return &EntryError{fmt.Sprintf("there is no entry %d", e.Corrects), "\"kettletree log show\" lists them"}
	}
	if by, gone := fates(others)[old.ID]; gone {
		for _, o := range others {
			if o.ID == by && o.Kind == Undone {
				return &EntryError{fmt.Sprintf("entry %d was undone by entry %d", old.ID, by),
					fmt.Sprintf("to bring it back, undo %d", by)}
			}
		}
		return &EntryError{fmt.Sprintf("entry %d was corrected by entry %d", old.ID, by),
			fmt.Sprintf("correct or undo %d", by)}
	}
	if e.Kind != Undone && e.Kind != old.Kind {
		return &EntryError{fmt.Sprintf("entry %d is %q, so %q can't replace it", old.ID, old.Kind, e.Kind),
			fmt.Sprintf("undo %d, and log the new one", old.ID)}
	}
	if e.At.IsZero() {
		e.At = old.At
	}
	return nil
}

// Entries are all entries in the order of writing, those that do not stand among them.
func (j *Book) Entries(ctx context.Context) ([]Entry, error) {
	list, err := read(ctx, j.db, "ORDER BY e.id, a.place")
	return list, j.fault(err)
}

// Latest are the entries that were written last, at most n, in the order of writing.
func (j *Book) Latest(ctx context.Context, n int) ([]Entry, error) {
	list, err := read(ctx, j.db, "WHERE e.id > (SELECT coalesce(max(id), 0) - ? FROM entry) ORDER BY e.id, a.place", n)
	return list, j.fault(err)
}

// correcting picks the entries that correct others. They are few: without the hint, all entries would be gone through.
const correcting = "SELECT id FROM entry INDEXED BY correction WHERE corrects IS NOT NULL"

// Corrections are the entries that correct others or take them back.
func (j *Book) Corrections(ctx context.Context) ([]Entry, error) {
	list, err := read(ctx, j.db, "WHERE e.id IN ("+correcting+") ORDER BY e.id, a.place")
	return list, j.fault(err)
}

// standing lists the entries that a condition picks, without those that were taken back or replaced.
func (j *Book) standing(ctx context.Context, which string, args ...any) ([]Entry, error) {
	list, err := read(ctx, j.db, which, args...)
	if err != nil || len(list) == 0 {
		return nil, j.fault(err)
	}
	corrections, err := j.Corrections(ctx)
	if err != nil {
		return nil, err
	}
	gone := fates(corrections)
	return slices.DeleteFunc(list, func(e Entry) bool { _, is := gone[e.ID]; return is }), nil
}

// read lists the entries that a condition picks.
func read(ctx context.Context, from querier, which string, args ...any) (list []Entry, err error) {
	err = each(ctx, from, func(e *Entry) { list = append(list, *e) }, which, args...)
	if err != nil || !slices.ContainsFunc(list, func(e Entry) bool { return e.Kind == Lit }) {
		return list, err
	}
	return list, cards(ctx, from, list)
}

// cards reads the card of each entry that lit a batch.
func cards(ctx context.Context, from querier, list []Entry) error {
	at := map[int64]*Entry{}
	var ids []int64
	for i := range list {
		if list[i].Kind == Lit {
			at[list[i].ID] = &list[i]
			ids = append(ids, list[i].ID)
		}
	}
	which, err := json.Marshal(ids)
	if err != nil {
		return err
	}
	rows, err := from.QueryContext(ctx, `SELECT entry, gives, item, base, measure, after FROM due
		WHERE entry IN (SELECT value FROM json_each(?)) ORDER BY entry, place`, string(which))
	if err != nil {
		return err
	}
	defer func() { _ = rows.Close() }()
	for rows.Next() {
		var id int64
		var unit string
		var d Due
		if err := rows.Scan(&id, &d.Out, &d.Item, &d.Base, &unit, &d.After); err != nil {
			return err
		}
		d.Kind = measure.Kind(slices.Index(measures[:], unit))
		at[id].Card = append(at[id].Card, d)
	}
	return rows.Err()
}

// querier is a database or a transaction.
type querier interface {
	QueryContext(context.Context, string, ...any) (*sql.Rows, error)
}

// each hands on entries one by one, without their cards; which picks and orders them, those of one entry together.
func each(ctx context.Context, from querier, one func(*Entry), which string, args ...any) error {
	rows, err := from.QueryContext(ctx, `SELECT e.id, e.kind, e.at, e.written, e.corrects, e.text, e.step, e.batches,
		e.dish, e.portions, e.service, e.paid, e.supplier, e.mark, e.reason, e.of, e.celsius, e.day, e.share, e.begins,
		e.until, e.whom, e.reading, e.did, a.gives, a.item, a.base, a.measure, a.typed, a.mark FROM entry e LEFT JOIN amount a ON a.entry = e.id `+which, args...)
	if err != nil {
		return err
	}
	defer func() { _ = rows.Close() }()
	names := map[string]string{} // one copy of each name and unit
	once := func(b sql.RawBytes) string {
		known, ok := names[string(b)]
		if !ok {
			known = string(b)
			names[known] = known
		}
		return known
	}
	var e Entry
	for rows.Next() {
		var id, at, written int64
		var corrects, portions, until, side sql.NullInt64
		var batches, paid, celsius, share, base sql.NullFloat64
		var kind, text, step, dish, service, supplier, mark, reason, of, day, begins, whom, reading, did, item, unit, typed,
			lot sql.RawBytes
		if err := rows.Scan(&id, &kind, &at, &written, &corrects, &text, &step, &batches, &dish, &portions, &service, &paid,
			&supplier, &mark, &reason, &of, &celsius, &day, &share, &begins, &until, &whom, &reading, &did, &side,
			&item, &base, &unit, &typed, &lot); err != nil {
			return err
		}
		if e.ID != id {
			if e.ID > 0 {
				one(&e)
			}
			e = Entry{ID: id, Kind: Kind(once(kind)), At: time.Unix(at, 0).UTC(), Written: time.Unix(written, 0).UTC(),
				Corrects: corrects.Int64, Text: string(text), Step: once(step), Batches: batches.Float64, Dish: once(dish),
				Portions: int(portions.Int64), Service: once(service), Supplier: once(supplier), Mark: string(mark),
				Reason: string(reason), Of: once(of), Celsius: celsius.Float64, Day: once(day), Share: share.Float64,
				Until: int(until.Int64), To: string(whom), Reading: once(reading), Did: string(did)}
			e.Begins, _ = time.Parse(time.DateOnly, string(begins)) // what is no date is as good as none
			if paid.Valid {
				e.Paid = new(paid.Float64)
			}
		}
		if !side.Valid {
			continue
		}
		a := Amount{Item: once(item), Base: base.Float64, Typed: string(typed), Mark: string(lot)}
		a.Kind = measure.Kind(slices.Index(measures[:], once(unit)))
		if side.Int64 == 1 {
			e.Gives = append(e.Gives, a)
		} else {
			e.Takes = append(e.Takes, a)
		}
	}
	if e.ID > 0 {
		one(&e)
	}
	return rows.Err()
}
