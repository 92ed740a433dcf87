package main

// The commands as they are typed: testdata/script has a script for each job and each fault.

import (
	"errors"
	"flag"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

var update = flag.Bool("update", false, "rewrite what scripts and goldens expect")

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"kettletree": main})
}

func TestScripts(t *testing.T) {
	examples, err := filepath.Abs(filepath.Join("..", "..", "examples"))
	if err != nil {
		t.Fatal(err)
	}
	cache := t.TempDir() // the drawing engine compiles itself at a start that finds nothing of an earlier one
	first := exec.Command("kettletree", "help")
	first.Env = append(os.Environ(), "XDG_CACHE_HOME="+cache)
	if err := first.Run(); err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir:                 filepath.Join("testdata", "script"),
		UpdateScripts:       *update,
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Setup: func(env *testscript.Env) error {
			env.Setenv("EXAMPLES", examples)
			env.Setenv("LANG", "C.UTF-8")
			env.Setenv("XDG_CACHE_HOME", cache)
			env.Setenv("GORACE", "atexit_sleep_ms=0") // with -race each command would wait a second before it ends
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"ends": ends, "only": only, "large": large, "nested": nested, "byte": patch,
		},
	})
}

// turn lets one program start at a time: of two that start together, the drawing engine lets one compile itself anew.
var turn sync.Mutex

// ends runs a program and wants it to end with a code: ends 2 kettletree whatfi.
func ends(ts *testscript.TestScript, negated bool, args []string) {
	if negated || len(args) < 2 {
		ts.Fatalf("usage: ends CODE PROGRAM ARGUMENT...")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	turn.Lock()
	defer turn.Unlock()
	got := 0
	if err := ts.Exec(args[1], args[2:]...); err != nil {
		exit, ok := errors.AsType[*exec.ExitError](err)
		if !ok {
			ts.Fatalf("%v", err)
		}
		got = exit.ExitCode()
	}
	if got != want {
		ts.Fatalf("ended with %d, not %d", got, want)
	}
}

// only wants the folder to hold some files and no others, hidden ones among them. The script's own .tmp does not count.
func only(ts *testscript.TestScript, negated bool, args []string) {
	if negated {
		ts.Fatalf("usage: only FILE...")
	}
	entries, err := os.ReadDir(ts.MkAbs("."))
	ts.Check(err)
	var names []string
	for _, e := range entries {
		if e.Name() != ".tmp" {
			names = append(names, e.Name())
		}
	}
	slices.Sort(args)
	if !slices.Equal(names, args) {
		ts.Fatalf("there are %q, not %q", names, args)
	}
}

// large makes a file of so many bytes: large kitchen.yaml 104857600.
func large(ts *testscript.TestScript, _ bool, args []string) {
	size, err := strconv.ParseInt(args[1], 10, 64)
	ts.Check(err)
	f, err := os.Create(ts.MkAbs(args[0]))
	ts.Check(err)
	ts.Check(f.Truncate(size))
	ts.Check(f.Close())
}

// patch changes a byte of a file: byte kitchen.journal 63 9.
func patch(ts *testscript.TestScript, _ bool, args []string) {
	at, err := strconv.Atoi(args[1])
	ts.Check(err)
	value, err := strconv.Atoi(args[2])
	ts.Check(err)
	src, err := os.ReadFile(ts.MkAbs(args[0]))
	ts.Check(err)
	src[at] = byte(value)
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), src, 0o666))
}

// nested makes a file of lists that lie in each other: nested kitchen.yaml 10000.
func nested(ts *testscript.TestScript, _ bool, args []string) {
	depth, err := strconv.Atoi(args[1])
	ts.Check(err)
	text := "kitchen: " + strings.Repeat("[", depth) + strings.Repeat("]", depth) + "\n"
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(text), 0o666))
}
