// Package private keeps the machine code that the drawing engine is compiled into, in a folder of the user's own.
//
// The engine is WebAssembly. Compiling it takes half a second of processor time, so the result, which is executable code, is kept:
// below kettletree in [os.UserCacheDir], where only this user can put files.
//
// Code is compiled once and shared. Kept code has a seal: the length and checksum of each of its files. A start that
// finds code that is as its seal says uses it. A start that does not takes the lock, looks again, throws away what is
// there, and compiles into a folder beside it, which is sealed and renamed into place; those that start meanwhile wait for the
// lock, and find code. A start that is killed gives the lock back, and what it leaves is thrown away by the next that compiles.
//
// Without such a folder (none can be made, it belongs to someone else, others may write to it, the disk is full, the
// lock can't be had) nothing is kept and the start compiles for itself: slower, never unsafe.
package private

import (
	"os"
	"path/filepath"
	"strings"
	"time"
)

const (
	// room is more than the compiled code takes (7 MB). A start that has to keep the code sees first whether the disk has the room.
	room = 8 << 20
	// begins is how the names of all folders of code begin.
	begins = "engine-"
	// engine names the folder of the code of one version. What it names is all that code depends on, but for the processor; the last
	// number is that of how we keep it.
	engine = begins + "go-graphviz-0.2.10-wazero-1.10.1-2"
	// beside is where code is compiled into.
	beside = begins + "new"
)

// patience is how long a start waits for the code that another compiles. That takes half a second, and several on a small or
// busy machine.
var patience = 5 * time.Second

// start is what a start of the engine does with the code.
type start struct {
	folder string // where code is looked for and kept; "" for nowhere
	into   string // where it is to be renamed to, "" when it is in its place or is not kept
	unlock func() // gives the lock back; nil when it was not taken
}

// Folder is where the engine's code is, or is to be compiled into; "" when it can't be kept. Kept is called once the engine has
// read its code, or has compiled and written it.
func Folder() (folder string, kept func()) {
	parent, err := os.UserCacheDir()
	if err != nil {
		return "", func() {}
	}
	s := open(parent)
	return s.folder, s.done
}

// open finds the code that is kept below parent, or a place to compile it into, or nowhere.
func open(parent string) start {
	if os.MkdirAll(parent, 0o700) != nil {
		return start{}
	}
	home := filepath.Join(parent, "kettletree")
	_ = os.Mkdir(home, 0o700) // when it is there already, trusted decides
	if !trusted(parent, home) {
		return start{}
	}
	kept := filepath.Join(home, engine)
	if whole(kept) {
		return start{folder: kept}
	}
	unlock := lock(filepath.Join(home, "lock"), patience)
	if unlock == nil {
		return start{}
	}
	if whole(kept) { // another was faster
		unlock()
		return start{folder: kept}
	}
	folder := filepath.Join(home, beside)
	sweep(home)
	if !roomy(home) || os.Mkdir(folder, 0o700) != nil {
		unlock()
		return start{}
	}
	return start{folder, kept, unlock}
}

// sweep throws away all code: what is damaged, what a start that was killed left, and what is of another version.
func sweep(home string) {
	entries, _ := os.ReadDir(home) // what can't be listed stays, and is in nobody's way
	for _, e := range entries {
		if strings.HasPrefix(e.Name(), begins) {
			_ = os.RemoveAll(filepath.Join(home, e.Name()))
		}
	}
}

// roomy reports whether the disk has the room for the code.
func roomy(home string) bool {
	probe := filepath.Join(home, begins+"room")
	written := os.WriteFile(probe, make([]byte, room), 0o600)
	return os.Remove(probe) == nil && written == nil
}

// done ends a start.
func (s start) done() {
	switch {
	case s.into != "":
		if seal(s.folder) != nil || os.Rename(s.folder, s.into) != nil {
			_ = os.RemoveAll(s.folder)
		}
	case s.folder != "" && unsealed(s.folder):
		_ = seal(s.folder) // a processor of another kind has had its own code compiled
	}
	if s.unlock != nil {
		s.unlock()
	}
}
