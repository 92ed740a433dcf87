package main

// The commands as they are typed: testdata/script has a script for each job and each fault. Scripts ask in this process ("ends"), as
// starting a program costs more than most answers; what only a program of its own shows (standard input, a terminal, standard output
// as a device, GOMAXPROCS) is started ("starts").

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"flag"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "rewrite what scripts and goldens expect")

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"kettletree": main})
}

func TestScripts(t *testing.T) {
	oneAfterAnother(t)
	examples := copyOfExamples(t)
	scripts, err := filepath.Abs(filepath.Join("testdata", "script")) // absolute, as other scripts are run from other folders
	if err != nil {
		t.Fatal(err)
	}
	files, err := filepath.Glob(filepath.Join(scripts, "*.txtar"))
	require.NoError(t, err)
	for _, file := range files {
		script, err := os.ReadFile(file)
		require.NoError(t, err)
		assert.NotRegexp(t, `(?m)^(! *)?exec kettletree`, string(script), "%s: \"ends 0 kettletree\" asks in this process, in a tenth of the time", filepath.Base(file))
	}
	cache := t.TempDir() // where the first that is started keeps the code of the drawing engine
	testscript.Run(t, testscript.Params{
		Dir:                 scripts,
		UpdateScripts:       *update,
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Setup: func(env *testscript.Env) error {
			env.Setenv("EXAMPLES", examples)
			env.Setenv("LANG", "C.UTF-8")
			env.Setenv("XDG_CACHE_HOME", cache)
			env.Setenv(clockName, "2026-11-20 09:00") // before the days that scripts name: what can still be done there doesn't go by the day of the test
			env.Setenv("GORACE", "atexit_sleep_ms=0") // with -race each command would wait a second before it ends
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"ends": ends, "starts": starts, "only": only, "large": large, "nested": nested, "byte": patch,
		},
	})
}

// oneAfterAnother leaves a test to runs without the race detector, under which it takes minutes: its commands come one after
// another, and what goes on at once within them is tested, with the detector, where it is written.
func oneAfterAnother(t *testing.T) {
	if testing.Short() {
		t.Skip("its commands come one after another")
	}
}

// turn lets one command at a time have the folder and the environment of this process.
var turn sync.Mutex

// ends asks a question in this process, as the program would in the script's folder and with the script's environment, and wants it
// to end with a code: ends 2 kettletree whatfi. It has nobody at its standard input; for those see starts.
func ends(ts *testscript.TestScript, negated bool, args []string) {
	want := codeAndProgram(ts, "ends", negated, args)
	if args[1] != "kettletree" {
		ts.Fatalf("ends knows kettletree only; starts starts any program")
	}
	turn.Lock()
	defer turn.Unlock()
	defer lend(ts)()
	var stdout bytes.Buffer
	got := run(context.Background(), args[1:], strings.NewReader(""), io.MultiWriter(ts.Stdout(), &stdout), ts.Stderr())
	wantCode(ts, want, got)
	if slices.Contains(args, "--json") && stdout.Len() > 0 {
		ts.Check(documented(args[2:], stdout.String()))
	}
}

// lend gives this process the folder and the environment of a script, as far as the program asks for it, until the function that it
// returns is called.
func lend(ts *testscript.TestScript) (back func()) {
	home, err := os.Getwd()
	ts.Check(err)
	ts.Check(os.Chdir(ts.MkAbs(".")))
	former := map[string]string{}
	for _, name := range asked {
		if value, set := os.LookupEnv(name); set {
			former[name] = value
		}
		ts.Check(os.Setenv(name, ts.Getenv(name)))
	}
	return func() {
		for _, name := range asked {
			_ = os.Unsetenv(name)
			if value, set := former[name]; set {
				_ = os.Setenv(name, value)
			}
		}
		if err := os.Chdir(home); err != nil {
			panic(err)
		}
	}
}

// asked are the variables of the environment that the program asks for; one that is empty is as one that is not there.
var asked = []string{clockName, "COLUMNS", "LANG", "LC_ALL", "LC_CTYPE", "NO_COLOR", "TERM"}

// starts is ends with a program of its own, which reads what stdin or ttyin gave it: starts 1 kettletree check -.
func starts(ts *testscript.TestScript, negated bool, args []string) {
	want := codeAndProgram(ts, "starts", negated, args)
	got := 0
	if err := ts.Exec(args[1], args[2:]...); err != nil {
		exit, ok := errors.AsType[*exec.ExitError](err)
		if !ok {
			ts.Fatalf("%v", err)
		}
		got = exit.ExitCode()
	}
	wantCode(ts, want, got)
}

// TestInterruptOfTheProgram has a program of its own end well when it is said to.
func TestInterruptOfTheProgram(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("no signal can be sent to another program")
	}
	program := exec.Command("kettletree", "serve", filepath.Join(copyOfExamples(t), "first-pot"), "--port", "0")
	stdout, err := program.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, program.Start())
	lines := bufio.NewScanner(stdout)
	require.True(t, lines.Scan())
	assert.Contains(t, lines.Text(), "The board is open at ")
	require.NoError(t, program.Process.Signal(os.Interrupt))
	require.True(t, lines.Scan())
	assert.Contains(t, lines.Text(), "The board is closed.")
	assert.NoError(t, program.Wait())
}

// codeAndProgram reads the code that a program should end with.
func codeAndProgram(ts *testscript.TestScript, word string, negated bool, args []string) int {
	if negated || len(args) < 2 {
		ts.Fatalf("usage: %s CODE PROGRAM ARGUMENT...", word)
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	return want
}

func wantCode(ts *testscript.TestScript, want, got int) {
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

// patch changes a byte of a file: byte kitchen.logbook 63 9.
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
