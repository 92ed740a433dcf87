//go:build unix

package private

// Whom a folder belongs to, and who else may write to it, where that is said by owner and mode.

import (
	"os"
	"syscall"
	"time"
)

// variable is what os.TempDir reads first.
const variable = "TMPDIR"

// trusted reports whether only this user can put files into the folder, or another folder in its place.
func trusted(parent, folder string) bool {
	above, err := os.Stat(parent)
	if err != nil || parent[0] != '/' {
		return false
	}
	if stat, ok := above.Sys().(*syscall.Stat_t); !ok || stat.Uid != 0 && int(stat.Uid) != os.Geteuid() {
		return false
	}
	if above.Mode().Perm()&0o022 != 0 && above.Mode()&os.ModeSticky == 0 {
		return false
	}
	in, err := os.Lstat(folder) // not Stat: a symbolic link is refused
	if err != nil || in.Mode().Type() != os.ModeDir || in.Mode().Perm()&0o022 != 0 {
		return false
	}
	owner, ok := in.Sys().(*syscall.Stat_t)
	return ok && int(owner.Uid) == os.Geteuid()
}

// lock takes the lock that a file stands for; it is nil when that can't be had in time. The system gives it back when
// the program ends, however it ends.
func lock(file string, patience time.Duration) (unlock func()) {
	f, err := os.OpenFile(file, os.O_RDWR|os.O_CREATE, 0o600)
	if err != nil {
		return nil
	}
	for end := time.Now().Add(patience); ; time.Sleep(5 * time.Millisecond) {
		err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB)
		if err == nil {
			return func() { _ = f.Close() }
		}
		if err != syscall.EWOULDBLOCK && err != syscall.EINTR || time.Now().After(end) {
			_ = f.Close()
			return nil
		}
	}
}
