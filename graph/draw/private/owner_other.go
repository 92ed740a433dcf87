//go:build !unix

package private

// Where folders have no owner and mode to look at: on Windows a user's cache folder is kept from others by the access
// list of the profile that it lies in, which a new folder inherits.

import (
	"os"
	"time"
)

// variable is what os.TempDir reads first.
const variable = "TMP"

// trusted reports whether the folder is one, and no link to another.
func trusted(_, folder string) bool {
	in, err := os.Lstat(folder)
	return err == nil && in.Mode().Type() == os.ModeDir
}

// stale is an age at which a lock is not held any more: its start was killed.
const stale = time.Minute

// lock takes the lock that a file stands for by making it; it is nil when that can't be done in time.
func lock(file string, patience time.Duration) (unlock func()) {
	for end := time.Now().Add(patience); ; time.Sleep(5 * time.Millisecond) {
		f, err := os.OpenFile(file, os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o600)
		if err == nil {
			_ = f.Close()
			return func() { _ = os.Remove(file) }
		}
		if found, err := os.Stat(file); err == nil && time.Since(found.ModTime()) > stale {
			_ = os.Remove(file)
		} else if time.Now().After(end) {
			return nil
		}
	}
}
