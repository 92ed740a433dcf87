// Package private gives the drawing engine a private folder for the code that it compiles.
//
// go-graphviz compiles WebAssembly when a program starts and keeps the result, which is executable code, in the folder
// "go-graphviz" of the system's temporary folder: a name that anyone on the machine can take first. It asks for that
// folder with os.TempDir while its own package is initialised, and offers no way to name another.
//
// The order in which packages are initialised is fixed by the Go specification ("Program initialization"): at each
// step, the first package in the order of import paths whose imports are all initialised. This package imports nothing
// but os and what os itself imports, so it comes right after os and before path/filepath; go-graphviz imports
// path/filepath and so comes later. Here the environment is pointed at a folder of the user's own, kettletree in
// [os.UserCacheDir], and package draw, which imports go-graphviz and so comes after it, calls [Restore].
//
// Without such a folder (none can be made, it belongs to someone else, others may write to it) nothing is kept and
// every start compiles anew: slower, never unsafe. So does a start that finds the mark of another which did not get
// through: a damaged file in the folder must not stop the next command too. A mark older than a minute throws the kept
// code away.
package private

import (
	"os"
	"time"
)

const (
	separator = string(os.PathSeparator)
	// nowhere is a path below something that is no folder, so that nothing can be made there.
	nowhere = os.DevNull + separator + "none"
	// room is more than the compiled code takes (6.2 MB). A start that has to keep the code sees first whether the disk
	// has the room, because go-graphviz panics when the disk is full.
	room = 8 << 20
	// patience is longer than any start takes. A younger mark may belong to a command that is starting right now.
	patience = time.Minute
)

var (
	former string // what the variable held before, when it was set
	wasSet bool
	mark   string // path of the mark of this start; empty when no folder is used
)

func init() {
	former, wasSet = os.LookupEnv(variable)
	parent, err := os.UserCacheDir()
	if err != nil {
		parent = ""
	}
	folder := open(parent)
	if folder == "" {
		folder = nowhere
	}
	_ = os.Setenv(variable, folder)
}

// open returns the folder to use below parent, with the mark of this start in it, or "" when there is none to trust.
func open(parent string) string {
	if parent == "" || os.MkdirAll(parent, 0o700) != nil {
		return ""
	}
	folder := parent + separator + "kettletree"
	_ = os.Mkdir(folder, 0o700) // when it is there already, trusted decides
	if !trusted(parent, folder) {
		return ""
	}
	kept, starting := folder+separator+"go-graphviz", folder+separator+"starting"
	if found, err := os.Lstat(starting); err == nil {
		if time.Since(found.ModTime()) > patience {
			_ = os.RemoveAll(kept)
			_ = os.Remove(starting)
		}
		return ""
	}
	var probe []byte
	if _, err := os.Lstat(kept); err != nil {
		probe = make([]byte, room)
	}
	if os.WriteFile(starting, probe, 0o600) != nil {
		_ = os.Remove(starting)
		return ""
	}
	if probe != nil && os.Truncate(starting, 0) != nil { // the room must be free again when it is needed
		_ = os.Remove(starting)
		return ""
	}
	mark = starting
	return folder
}

// Restore puts the environment back as it was and takes the mark away. It is called once go-graphviz is initialised.
func Restore() {
	if wasSet {
		_ = os.Setenv(variable, former)
	} else {
		_ = os.Unsetenv(variable)
	}
	if mark != "" {
		_ = os.Remove(mark)
		mark = ""
	}
}
