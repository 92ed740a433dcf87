//go:build unix

package draw

// What a start of a program leaves behind: package private and go-graphviz at work. All of it happens while packages are
// initialised, so the tests start this test binary again, as a program that draws.

import (
	"context"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// asProgram is a variable that has this binary be the program: it says where its temporary folder is, and draws.
const asProgram = "DRAW_TEST_PROGRAM"

func TestMain(m *testing.M) {
	if os.Getenv(asProgram) == "" {
		os.Exit(m.Run())
	}
	fmt.Println(os.TempDir())
	plain, err := arrange(context.Background(), []byte("digraph { stock -> soup }"))
	if err != nil {
		fmt.Println(err)
		os.Exit(1)
	}
	fmt.Print(string(plain))
}

// place is a home and a temporary folder for the program to start in.
type place struct{ home, temp, cache string }

func newPlace(t *testing.T) place {
	home := t.TempDir()
	return place{home, t.TempDir(), filepath.Join(home, "cache")}
}

// start starts the program and checks what must hold for every start: it draws, sees the temporary folder that it was
// given, and leaves nothing there.
func (p place) start(t *testing.T, env ...string) {
	command := exec.Command(os.Args[0])
	command.Dir = p.home
	command.Env = append(env, asProgram+"=1", "GORACE=atexit_sleep_ms=0")
	temp := "/tmp"
	if p.temp != "" {
		temp = p.temp
		command.Env = append(command.Env, "TMPDIR="+p.temp)
	}
	out, err := command.CombinedOutput()
	assert.NoError(t, err, string(out))
	at, plain, _ := strings.Cut(string(out), "\n")
	assert.Equal(t, temp, at)
	assert.Regexp(t, `(?s)^graph .*\nnode stock .*\nnode soup .*\nedge stock soup .*\nstop\n$`, plain)
	if p.temp != "" {
		left, err := os.ReadDir(p.temp)
		assert.NoError(t, err)
		assert.Empty(t, left)
	}
}

// sixAtOnce starts the program six times before any can have ended.
func (p place) sixAtOnce(t *testing.T) {
	t.Helper()
	var all sync.WaitGroup
	for range 6 {
		all.Go(func() { p.start(t, "XDG_CACHE_HOME="+p.cache) })
	}
	all.Wait()
}

// code is the one file of compiled code that is kept.
func (p place) code(t *testing.T) (path string, info fs.FileInfo) {
	t.Helper()
	var found []string
	err := filepath.WalkDir(p.cache, func(path string, d fs.DirEntry, err error) error {
		if err == nil && d.Type().IsRegular() && d.Name() != "lock" && d.Name() != "seal" {
			found = append(found, path)
		}
		return err
	})
	require.NoError(t, err)
	require.Len(t, found, 1)
	info, err = os.Stat(found[0])
	require.NoError(t, err)
	return found[0], info
}

// Of starts at once, one compiles and all draw; whoever starts later uses what it kept, until that is damaged.
func TestStartsShareTheirCode(t *testing.T) {
	p := newPlace(t)
	p.sixAtOnce(t)
	path, first := p.code(t)
	src, err := os.ReadFile(path)
	require.NoError(t, err)
	p.sixAtOnce(t)
	_, again := p.code(t)
	assert.True(t, os.SameFile(first, again), "the code of the first is used")

	require.NoError(t, os.Truncate(path, 1000))
	damaged := first.ModTime().AddDate(-1, 0, 0) // by its time it is told apart: a new file may get the number of the old one
	require.NoError(t, os.Chtimes(path, damaged, damaged))
	p.sixAtOnce(t)
	path, anew := p.code(t)
	assert.NotEqual(t, damaged, anew.ModTime(), "the damaged code is thrown away")
	is, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Len(t, is, len(src), "and whole code is in its place")

	p.temp = "" // which is unset again for the program
	p.start(t, "XDG_CACHE_HOME="+p.cache)
}

func TestStartWithoutAHome(t *testing.T) {
	p := newPlace(t)
	p.start(t)
	left, err := os.ReadDir(p.home)
	require.NoError(t, err)
	assert.Empty(t, left)
}
