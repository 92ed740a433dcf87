// Package private gives the drawing engine a private folder for the code that it compiles.
//
// go-graphviz compiles WebAssembly when a program starts and keeps the result, which is executable code, in the folder
// "go-graphviz" of the system's temporary folder: a name that anyone on the machine can take first. It asks for that
// folder with os.TempDir while its own package is initialised, offers no way to name another, and panics when what it
// finds there is damaged.
//
// # How it is said
//
// The order in which packages are initialised is fixed by the Go specification ("Program initialization"): at each
// step, the first package in the order of import paths whose imports are all initialised. This package imports nothing
// but os, hash/crc32 and what is initialised with or before os, so it comes right after them and before path/filepath;
// go-graphviz imports path/filepath and so comes later. Here the environment is pointed at a folder of the user's own,
// below kettletree in [os.UserCacheDir], and package draw, which imports go-graphviz and so comes after it, calls
// [Restore].
//
// # How it is kept
//
// Code is compiled once and shared. Kept code has a seal: the length and checksum of each of its files. A start that
// finds code that is as its seal says uses it. A start that does not takes the lock, looks again, throws away what is
// there, and has go-graphviz compile into a folder beside it, which is sealed and renamed into place once go-graphviz
// is initialised; those that start meanwhile wait for the lock, and find code. A start that is killed gives the lock
// back, and what it leaves is thrown away by the next that compiles.
//
// Without such a folder (none can be made, it belongs to someone else, others may write to it, the disk is full, the
// lock can't be had) nothing is kept and the start compiles for itself: slower, never unsafe.
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
	// begins is how the names of all folders of code begin.
	begins = "engine-"
	// engine names the folder of the code of one version. What it names is all that code depends on, but for the processor.
	engine = begins + "go-graphviz-0.2.10-wazero-1.10.1"
	// beside is where code is compiled into.
	beside = begins + "new"
)

// patience is how long a start waits for the code that another compiles. That takes half a second, and many on a small or
// busy machine, where compiling it once more would take longer still.
var patience = 20 * time.Second

var (
	former  string // what the variable held before, when it was set
	wasSet  bool
	current start
)

// start is what a start of a program does with the code.
type start struct {
	folder string // where go-graphviz looks for it
	into   string // where it is to be renamed to, "" when it is in its place or is not kept
	unlock func() // gives the lock back; nil when it was not taken
}

func init() {
	former, wasSet = os.LookupEnv(variable)
	parent, err := os.UserCacheDir()
	if err != nil {
		parent = ""
	}
	current = open(parent)
	_ = os.Setenv(variable, current.folder)
}

// open finds the code that is kept below parent, or a place to compile it into, or nowhere.
func open(parent string) start {
	if parent == "" || os.MkdirAll(parent, 0o700) != nil {
		return start{folder: nowhere}
	}
	home := parent + separator + "kettletree"
	_ = os.Mkdir(home, 0o700) // when it is there already, trusted decides
	if !trusted(parent, home) {
		return start{folder: nowhere}
	}
	kept := home + separator + engine
	if whole(kept) {
		return start{folder: kept}
	}
	unlock := lock(home+separator+"lock", patience)
	if unlock == nil {
		return start{folder: nowhere}
	}
	if whole(kept) { // another was faster
		unlock()
		return start{folder: kept}
	}
	folder := home + separator + beside
	sweep(home)
	if !roomy(home) || os.Mkdir(folder, 0o700) != nil {
		unlock()
		return start{folder: nowhere}
	}
	return start{folder, kept, unlock}
}

// sweep throws away all code: what is damaged, what a start that was killed left, and what is of another version.
func sweep(home string) {
	entries, _ := os.ReadDir(home) // what can't be listed stays, and is in nobody's way
	for _, e := range entries {
		if name := e.Name(); len(name) > len(begins) && name[:len(begins)] == begins {
			_ = os.RemoveAll(home + separator + name)
		}
	}
}

// roomy reports whether the disk has the room for the code.
func roomy(home string) bool {
	probe := home + separator + begins + "room"
	written := os.WriteFile(probe, make([]byte, room), 0o600)
	return os.Remove(probe) == nil && written == nil
}

// done ends a start: go-graphviz has read its code, or has compiled and written it.
func (s start) done() {
	switch {
	case s.into != "":
		if seal(s.folder) != nil || os.Rename(s.folder, s.into) != nil {
			_ = os.RemoveAll(s.folder)
		}
	case s.folder != nowhere && unsealed(s.folder):
		_ = seal(s.folder) // a processor of another kind has had its own code compiled
	}
	if s.unlock != nil {
		s.unlock()
	}
}

// Restore puts the environment back as it was and keeps the code. It is called once go-graphviz is initialised.
func Restore() {
	if wasSet {
		_ = os.Setenv(variable, former)
	} else {
		_ = os.Unsetenv(variable)
	}
	current.done()
}
