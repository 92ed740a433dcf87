package logbook

// A new log book: made whole in memory, and put in its place at once. So a file that is empty was emptied, and is none that is just
// being made.

import (
	"context"
	"crypto/rand"
	"database/sql"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"sync"
)

// blank is the file of a log book without entries.
var blank = sync.OnceValues(func() (file []byte, err error) {
	j := &Book{file: "a new log book"}
	if j.db, err = sql.Open("sqlite", ":memory:"); err != nil {
		return nil, err
	}
	defer func() { _ = j.db.Close() }()
	j.db.SetMaxOpenConns(1)
	ctx := context.Background()
	if err := j.migrate(ctx); err != nil {
		return nil, err
	}
	conn, err := j.db.Conn(ctx)
	if err != nil {
		return nil, err
	}
	defer func() { _ = conn.Close() }()
	err = conn.Raw(func(driver any) error {
		file, err = driver.(interface{ Serialize() ([]byte, error) }).Serialize()
		return err
	})
	if err != nil {
		return nil, err
	}
	file[writeVersion], file[readVersion] = 2, 2 // WAL, https://www.sqlite.org/fileformat2.html, 1.3
	return file, nil
})

// begin puts a new log book at a path, unless another program is faster.
func begin(path string) (err error) {
	file, err := blank()
	if err != nil {
		return err
	}
	beside := filepath.Join(filepath.Dir(path), "."+filepath.Base(path)+"."+rand.Text())
	defer func() { _ = os.Remove(beside) }() // after the link, it is a second name
	f, err := os.OpenFile(beside, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return err
	}
	_, err = f.Write(file)
	if err := errors.Join(err, f.Sync(), f.Close()); err != nil {
		return err
	}
	if err = os.Link(beside, path); err == nil || errors.Is(err, fs.ErrExist) {
		return nil
	}
	// A file system without links: whoever makes the empty file first may put the log book over it.
	claim, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if errors.Is(err, fs.ErrExist) {
		return nil
	}
	if err != nil {
		return err
	}
	return errors.Join(claim.Close(), os.Rename(beside, path))
}
