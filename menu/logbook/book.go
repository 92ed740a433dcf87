package logbook

// The log book's file: opened, read and added to.

import (
	"context"
	"database/sql"
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

	"kettletree/menu/kitchen"
)

// Book is an open log book. It may be shared between goroutines, and its file between programs: who comes second
// waits, for ten seconds at most.
type Book struct {
	file string
	db   *sql.DB
	head *sql.Stmt // asks where the chain ends; nil before that was asked
	shut func()    // closes it
	only bool      // it may only be read

	kitchen *kitchen.Kitchen // that knows former names; nil for none

	reading  sync.Mutex // of those that use the register, or write
	register *register  // nil before anything was read, and after something failed

	turn    sync.Mutex // of those that ask what follows from the entries
	warm    *warm      // what was played last; nil before anything was
	before  *warm      // the same up to an earlier moment, from which a present is played
	dear    *warm      // the same with book of money and sales, see books
	learned *learning  // what was learned last; nil before anything was

	distrust bool // what is kept of what was played was found damaged: it is not read any more
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

// Exists tells whether there is a log book at a path, or one by its former name there, which [Open] then refuses; and so it does a
// link to where nothing is.
func Exists(file string) bool {
	return isThere(file) || isThere(former(file))
}

func isThere(file string) bool {
	_, err := os.Lstat(file)
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
	if err := j.place(path); err != nil {
		return nil, j.fault(err)
	}
	if err := wholeFile(path); errors.Is(err, fs.ErrPermission) {
		return nil, &FileError{File: file, Msg: "the log book can't be read", Hint: "give yourself permission to read the file", Err: err}
	} else if err != nil {
		return nil, j.fault(err)
	}
	if err = j.connect(path, writing()); err != nil {
		return nil, j.fault(err)
	}
	j.shut = func() { _ = j.db.Close() }
	if err = j.migrate(ctx); cantWrite(err) {
		j.shut()
		err = j.readOnly(ctx, path)
	}
	if err == nil {
		err = j.ask(ctx, func(*register) error { return nil })
	}
	if err != nil {
		j.shut()
		return nil, j.fault(err)
	}
	return j, nil
}

// place sees to it that there is a log book at a path: a new one where there is nothing.
func (j *Book) place(path string) error {
	info, err := os.Stat(path)
	switch to, link := os.Readlink(path); {
	case errors.Is(err, fs.ErrNotExist) && link == nil:
		return &FileError{File: j.file, Msg: fmt.Sprintf("the log book is a link to %s, where nothing is", to),
			Hint: "connect the disk on which it lies; or put a link to the right place here"}
	case errors.Is(err, fs.ErrNotExist):
	case err != nil:
		return err
	case !info.Mode().IsRegular():
		return &FileError{File: j.file, Msg: "the log book is not a plain file", Hint: "move what is there out of the way"}
	case info.Size() == 0:
		return &FileError{File: j.file, Msg: "the log book is empty: all that was written in it is gone",
			Hint: "go back to the last backup: kettletree restore FILE; where nothing was ever logged, take the empty file away"}
	default:
		return nil
	}
	if was := former(path); isThere(was) {
		// A new log book beside it would begin empty, and nobody would notice.
		return &FileError{File: former(j.file), Msg: "this log book has its former name",
			Hint: fmt.Sprintf("rename it: mv %s %s", filepath.ToSlash(former(j.file)), filepath.ToSlash(j.file))}
	}
	if left, err := os.Stat(path + "-wal"); err == nil && left.Size() > 0 {
		return &FileError{File: j.file, Msg: "the log book is gone, and what was written in it last lies beside its place, in " + filepath.Base(path) + "-wal",
			Hint: "put the log book back where it was; or go back to the last backup: kettletree restore FILE"}
	}
	if err := begin(path); err != nil {
		return &FileError{File: j.file, Msg: "the log book can't be opened or made",
			Hint: "its folder must exist, and you must have permission to write in it", Err: err}
	}
	return nil
}

// connect opens a file of a database.
func (j *Book) connect(path string, settings url.Values) (err error) {
	j.head = nil
	if j.db, err = sql.Open("sqlite", address(path, settings)); err == nil {
		j.db.SetMaxOpenConns(1)
	}
	return err
}

// patience is how long a program waits for others that write.
var patience = 10 * time.Second

// writing is how a log book is opened to be read and written.
func writing() url.Values {
	return url.Values{"_txlock": {"immediate"}, "_pragma": {
		fmt.Sprintf("busy_timeout(%d)", patience.Milliseconds()), // first: the others may have to wait already
		"journal_mode(WAL)", "synchronous(FULL)", "foreign_keys(1)", "recursive_triggers(1)", "cell_size_check(1)"}}
}

// address is a path as the database library takes it, with settings.
func address(path string, settings url.Values) string {
	at := url.URL{Scheme: "file", Path: "/" + strings.TrimPrefix(filepath.ToSlash(path), "/"), RawQuery: settings.Encode()}
	return at.String()
}

// Close ends the work with the file.
func (j *Book) Close() error {
	err := j.db.Close()
	j.shut()
	return err
}

// write runs what writes as one transaction: all of it is kept, for good when write returns, or none.
func (j *Book) write(ctx context.Context, change func(*sql.Tx) error) error {
	j.reading.Lock() // before the connection, of which there is one
	defer j.reading.Unlock()
	if j.only {
		return j.fault(fs.ErrPermission)
	}
	tx, err := j.db.BeginTx(ctx, nil)
	if err != nil {
		return j.fault(err)
	}
	done := false
	defer func() { // also where the change panics, for the file stays open as long as it is under way
		if !done {
			_ = tx.Rollback() // it does nothing where the commit failed
			j.register = nil
		}
	}()
	if err = change(tx); err == nil {
		err = tx.Commit()
		done = err == nil
	}
	return j.fault(err)
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
	const restore = "go back to the last backup: kettletree restore FILE"
	e := &FileError{File: j.file, Err: err}
	if d, ok := errors.AsType[*damage](err); ok {
		e.Msg = "the log book is damaged: " + d.what
		e.Hint = "\"kettletree log check\" says which entries are sound, \"kettletree log export --sound FILE\" saves them; or " + restore
		return e
	}
	const none = "the log book is damaged, or is not a log book"
	fault, ok := errors.AsType[*sqlite.Error](err)
	if errors.Is(err, errNoBook) {
		e.Msg, e.Hint = none, restore
		return e
	}
	const unwritable, allow = "the log book can't be written to", "give yourself permission to write the file and its folder; nothing was written"
	if errors.Is(err, fs.ErrPermission) {
		e.Msg, e.Hint = unwritable, allow
		return e
	}
	if !ok {
		e.Msg = sentence(err)
		return e
	}
	switch fault.Code() & 0xff {
	case sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_CORRUPT:
		e.Msg = none
		e.Hint = restore
	case sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED:
		e.Msg = "another program has held the log book for ten seconds"
		e.Hint = "nothing was written: try again when it has finished"
	case sqlite3.SQLITE_READONLY, sqlite3.SQLITE_PERM:
		e.Msg, e.Hint = unwritable, allow
	case sqlite3.SQLITE_FULL:
		e.Msg = "the disk is full"
		e.Hint = "make room and try again; nothing was written"
	case sqlite3.SQLITE_CANTOPEN:
		e.Msg = "the log book can't be opened or made"
		e.Hint = "its folder must exist, and you must have permission to write in it"
	case sqlite3.SQLITE_IOERR:
		e.Msg = "the disk on which the log book lies can't be read or written"
		e.Hint = "see whether it is still connected and has room; nothing was written that was not said to be; copy the log book elsewhere while it can be read"
	case sqlite3.SQLITE_NOMEM:
		e.Msg = "there is not enough memory"
		e.Hint = "end other programs and try again"
	default: // the tables are not those of a log book
		e.Msg = "the log book is damaged: its tables are not as they were made"
		e.Hint = restore
	}
	return e
}

// isBusy tells whether another program held the log book for too long.
func isBusy(err error) bool {
	fault, ok := errors.AsType[*sqlite.Error](err)
	return ok && slices.Contains([]int{sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED}, fault.Code()&0xff)
}

// sentence words an error of the system or of the database's driver.
func sentence(err error) string {
	text := err.Error()
	if strings.HasPrefix(text, "sql: Scan error") {
		return "the log book is damaged: what stands in it can't be read"
	}
	var at *fs.PathError
	if errors.As(err, &at) {
		return at.Err.Error()
	}
	return text
}
