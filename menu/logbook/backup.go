package logbook

// A copy of the log book, whole and checked, while others may be writing.

import (
	"context"
	"crypto/rand"
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
)

// Backup copies the log book to a file, which is replaced when it is there: beside it first, checked, then in its place.
// Entries that are kept meanwhile are not in it.
func (j *Book) Backup(ctx context.Context, to string) (err error) {
	if a, errA := os.Stat(j.file); errA == nil {
		if b, errB := os.Stat(to); errB == nil && os.SameFile(a, b) {
			return &FileError{File: to, Msg: "this is the log book itself", Hint: "name another file for the copy"}
		}
	}
	copied := &Book{file: to}
	beside, err := filepath.Abs(filepath.Join(filepath.Dir(to), "."+filepath.Base(to)+"."+rand.Text()))
	if err != nil {
		return copied.fault(err)
	}
	defer func() {
		if err != nil {
			_ = os.Remove(beside)
		}
	}()
	if info, err := os.Stat(filepath.Dir(beside)); err != nil || !info.IsDir() {
		return &FileError{File: to, Msg: "the folder for the copy does not exist", Hint: "name a file in a folder that exists"}
	}
	if _, err := j.db.ExecContext(ctx, "VACUUM INTO ?", beside); err != nil {
		return j.fault(err)
	}
	if err := sound(ctx, beside); err != nil {
		return &FileError{File: to, Msg: "the copy is damaged: " + err.Error(), Hint: "the last backup is unchanged"}
	}
	f, err := os.OpenFile(beside, os.O_RDWR, 0)
	if err != nil {
		return copied.fault(err)
	}
	if err := errors.Join(f.Sync(), f.Close()); err != nil {
		return copied.fault(err)
	}
	return copied.fault(os.Rename(beside, to))
}

// sound checks a file that nobody else has open.
func sound(ctx context.Context, path string) error {
	db, err := sql.Open("sqlite", address(path, url.Values{"immutable": {"1"}}))
	if err != nil {
		return err
	}
	defer func() { _ = db.Close() }()
	var verdict string
	if err := db.QueryRowContext(ctx, "PRAGMA integrity_check(1)").Scan(&verdict); err != nil {
		return err
	}
	if verdict != "ok" {
		return fmt.Errorf("%s", verdict)
	}
	return nil
}
