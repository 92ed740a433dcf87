//go:build unix

package private

// Whom a folder belongs to, and who else may write to it, where that is told by owner and mode.

import (
	"os"
	"syscall"
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
