package logbook

// A copy put back in the log book's place. What lies beside a log book, its -wal, belongs to the old one: left there, it would be
// played over the copy.

import (
	"context"
	"crypto/rand"
	"database/sql"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"time"

	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"
)

// Restored says what became of a log book that was restored.
type Restored struct {
	LogBook string   `json:"log_book"`
	From    string   `json:"from"`    // the copy
	Entries int      `json:"entries"` // that the log book has now
	Aside   string   `json:"aside"`   // where the old log book is; "" when there was none
	Read    bool     `json:"read"`    // the old one could be read
	Lost    int      `json:"lost"`    // entries that only the old one has
	First   int64    `json:"first"`   // of them, the first; 0 for none
	Last    int64    `json:"last"`
	Beside  []string `json:"beside"` // what became of what lies beside it: the plan that is kept, and what names mean; null for nothing
}

// besides are the files that the database keeps beside its own.
var besides = []string{"-wal", "-shm"}

// Restore puts a copy, checked, in the place of the log book of a file. The old one is set aside with all that lies beside it. While
// another program has it open nothing is done; it is waited for a little.
func Restore(ctx context.Context, file, from string, now time.Time) (r *Restored, err error) {
	r = &Restored{LogBook: file, From: from}
	here := &Book{file: file}
	if a, errA := os.Stat(file); errA == nil {
		if b, errB := os.Stat(from); errB == nil && os.SameFile(a, b) {
			return nil, &FileError{File: from, Msg: "this is the log book itself", Hint: "name the copy that \"kettletree backup\" made"}
		}
	}

	// The copy, beside the log book first.
	beside, err := filepath.Abs(filepath.Join(filepath.Dir(file), "."+filepath.Base(file)+"."+rand.Text()))
	if err != nil {
		return nil, here.fault(err)
	}
	defer func() {
		if err != nil {
			_ = os.Remove(beside)
		}
	}()
	if err := copied(from, beside); err != nil {
		return nil, (&Book{file: from}).fault(err)
	}
	kept, err := entriesOf(ctx, beside)
	if err == nil {
		err = wholeBook(ctx, beside)
	}
	if err != nil {
		return nil, &FileError{File: from, Msg: "this is no sound copy of a log book: " + here.why(err), Hint: "nothing was changed; use another backup"}
	}
	r.Entries = len(kept)

	// The old one, alone and whole, or as it lies there.
	if isThere(file) {
		if err := alone(ctx, file); err != nil {
			return nil, err
		}
		if old, err := entriesOf(ctx, file); err == nil {
			r.Read = true
			for id, text := range old {
				if kept[id] == text {
					continue
				}
				if r.Lost++; r.First == 0 || id < r.First {
					r.First = id
				}
				r.Last = max(r.Last, id)
			}
		}
		r.Aside = file + ".before-" + now.Format("2006-01-02-150405")
		if isThere(r.Aside) {
			return nil, &FileError{File: r.Aside, Msg: "an older log book lies there already", Hint: "move it away"}
		}
		for _, end := range append([]string{""}, besides...) {
			if err := os.Rename(file+end, r.Aside+end); err != nil && (end == "" || !errors.Is(err, fs.ErrNotExist)) {
				return nil, here.fault(err)
			}
		}
	}
	if err := os.Rename(beside, file); err != nil {
		if r.Aside != "" {
			_ = os.Rename(r.Aside, file) // as it was
		}
		return nil, here.fault(err)
	}
	return r, nil
}

// copied copies a file, for good.
func copied(from, to string) error {
	in, err := os.Open(from)
	if err != nil {
		return err
	}
	defer func() { _ = in.Close() }() // it was only read
	out, err := os.OpenFile(to, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	_, err = io.Copy(out, in)
	return errors.Join(err, out.Sync(), out.Close())
}

// mostWait is how long Restore waits for whoever has the log book open: a board lets go a second after the last question.
const mostWait = 3 * time.Second

// alone makes sure that no other program has a log book open, and brings all of it into its file. A damaged one stays as it is.
func alone(ctx context.Context, file string) error {
	for until, again := time.Now().Add(mostWait), time.NewTicker(mostWait/30); ; {
		err := aloneNow(ctx, file)
		if _, held := errors.AsType[*FileError](err); !held || time.Now().After(until) {
			again.Stop()
			return err
		}
		select {
		case <-again.C:
		case <-ctx.Done():
		}
	}
}

// aloneNow does so once: what leaves the -wal waits for nobody.
func aloneNow(ctx context.Context, file string) error {
	path, err := filepath.Abs(file)
	if err != nil {
		return err
	}
	db, err := sql.Open("sqlite", address(path, url.Values{"_pragma": {"busy_timeout(2000)"}}))
	if err != nil {
		return nil
	}
	defer func() { _ = db.Close() }()
	db.SetMaxOpenConns(1)
	var mode string
	err = db.QueryRowContext(ctx, "PRAGMA journal_mode = DELETE").Scan(&mode) // only who is alone may leave the -wal
	busy, ok := errors.AsType[*sqlite.Error](err)
	if ok && busy.Code()&0xff == sqlite3.SQLITE_BUSY || err == nil && !strings.EqualFold(mode, "delete") {
		return &FileError{File: file, Msg: "another program has the log book open", Hint: "stop it, or leave the board alone for three seconds, and restore again; nothing was changed"}
	}
	return context.Cause(ctx)
}

// entriesOf are the entries of a log book that nobody has open, of any version, each in a text of its own, by number.
func entriesOf(ctx context.Context, path string) (map[int64]string, error) {
	path, err := filepath.Abs(path)
	if err != nil {
		return nil, err
	}
	db, err := sql.Open("sqlite", address(path, url.Values{"immutable": {"1"}}))
	if err != nil {
		return nil, err
	}
	defer func() { _ = db.Close() }()
	var app int
	if err := db.QueryRowContext(ctx, "PRAGMA application_id").Scan(&app); err != nil {
		return nil, err
	}
	if app != application {
		return nil, errors.New("it is no log book")
	}
	rows, err := db.QueryContext(ctx, "SELECT id, kind, at, text FROM entry")
	if err != nil {
		return nil, err
	}
	defer func() { _ = rows.Close() }()
	list := map[int64]string{}
	for rows.Next() {
		var id, at int64
		var kind, text string
		if err := rows.Scan(&id, &kind, &at, &text); err != nil {
			return nil, err
		}
		list[id] = fmt.Sprintf("%s %d %s", kind, at, text)
	}
	return list, rows.Err()
}
