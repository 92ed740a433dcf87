package logbook

// A log book that can't be written is read all the same: as it lies there, or, where something lies beside it that is to be played over
// it, or its tables are of an older version, in a copy.

import (
	"context"
	"errors"
	"net/url"
	"os"
	"path/filepath"

	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"
)

// cantWrite tells whether an error says that the file or its folder may only be read.
func cantWrite(err error) bool {
	if errors.Is(err, os.ErrPermission) {
		return true
	}
	fault, ok := errors.AsType[*sqlite.Error](err)
	if !ok {
		return false
	}
	switch fault.Code() & 0xff {
	case sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_PERM:
		return true
	}
	return fault.Code()&0xff == sqlite3.SQLITE_IOERR && readOnlyFolder(err)
}

// readOnlyFolder tells whether the database could not make the files that it wants beside its own.
func readOnlyFolder(err error) bool {
	fault, ok := errors.AsType[*sqlite.Error](err)
	return ok && (fault.Code() == sqlite3.SQLITE_IOERR_SHMOPEN || fault.Code() == sqlite3.SQLITE_IOERR_LOCK)
}

// toRead opens a log book of a path to be read, without writing anything beside it where that can't be done. shut ends it.
func (j *Book) toRead(ctx context.Context, path string) (shut func(), err error) {
	shut = func() { _ = j.db.Close() }
	reading := url.Values{"mode": {"ro"}, "_pragma": {"busy_timeout(10000)", "query_only(1)", "cell_size_check(1)"}}
	if err := j.connect(path, reading); err != nil {
		return nil, err
	}
	if _, err = stateOf(ctx, j.db); err == nil || !cantWrite(err) {
		return shut, nil // what reads it says what is damaged
	}
	shut()
	return j.still(path)
}

// readOnly opens a log book of a path that can't be written.
func (j *Book) readOnly(ctx context.Context, path string) (err error) {
	if j.shut, err = j.still(path); err != nil {
		j.shut = func() {}
		return err
	}
	s, err := stateOf(ctx, j.db)
	if err == nil && s.version < versions {
		if err = s.check(j.file); err == nil {
			j.shut()
			if j.shut, err = j.inCopy(path); err != nil {
				j.shut = func() {}
				return err
			}
			err = j.migrate(ctx)
		}
	}
	j.only = true
	return err
}

// still opens a log book that nobody can write: in its place where nothing lies beside it, else a copy of all of it.
func (j *Book) still(path string) (shut func(), err error) {
	if left, err := os.Stat(path + "-wal"); err != nil || left.Size() == 0 {
		err := j.connect(path, url.Values{"mode": {"ro"}, "immutable": {"1"}, "_pragma": {"cell_size_check(1)"}})
		return func() { _ = j.db.Close() }, err
	}
	return j.inCopy(path)
}

// inCopy opens a copy of a log book with what lies beside it, in a folder of its own that shut takes away.
func (j *Book) inCopy(path string) (shut func(), err error) {
	folder, err := os.MkdirTemp("", "kettletree-logbook-")
	if err != nil {
		return nil, err
	}
	away := func() { _ = os.RemoveAll(folder) }
	to := filepath.Join(folder, "kitchen.logbook")
	if err := copiedWhole(path, to); err != nil {
		away()
		return nil, err
	}
	if err := j.connect(to, writing()); err != nil {
		away()
		return nil, err
	}
	return func() { _ = j.db.Close(); away() }, nil
}

// copiedWhole copies a log book and its -wal; once more where another program wrote meanwhile.
func copiedWhole(from, to string) error {
	for tries := 0; ; tries++ {
		before := asItLies(from)
		for _, end := range []string{"-wal", ""} { // what is brought from the one into the other meanwhile is in both
			err := copied(from+end, to+end)
			if err != nil && (end == "" || !errors.Is(err, os.ErrNotExist)) {
				return err
			}
		}
		if asItLies(from) == before || tries == 5 {
			return nil
		}
		for _, end := range []string{"-wal", ""} {
			_ = os.Remove(to + end)
		}
	}
}

// lies is how long two files are and when they were written.
type lies struct{ size, at, walSize, walAt int64 }

func asItLies(path string) (l lies) {
	if info, err := os.Stat(path); err == nil {
		l.size, l.at = info.Size(), info.ModTime().UnixNano()
	}
	if info, err := os.Stat(path + "-wal"); err == nil {
		l.walSize, l.walAt = info.Size(), info.ModTime().UnixNano()
	}
	return l
}
