package logbook

// A copy of the log book, whole and checked, while others may be writing.

import (
	"context"
	"crypto/rand"
	"errors"
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
	if err := wholeBook(ctx, beside); err != nil {
		return &FileError{File: j.file, Msg: "the log book is damaged, so no copy was made: " + j.why(err),
			Hint: "\"kettletree log check\" says more; the last backup is unchanged", Err: err}
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
