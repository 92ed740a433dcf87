package kitchen

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A hold that a program left behind is taken away once, and those who waited go one after another: nothing is lost.
func TestAStaleHoldIsBrokenOnce(t *testing.T) {
	for round := range 5 {
		file := filepath.Join(t.TempDir(), "kitchen.yaml")
		require.NoError(t, os.WriteFile(file, []byte(changing), 0o600))
		left := filepath.Join(filepath.Dir(file), ".kitchen.yaml.hold")
		require.NoError(t, os.WriteFile(left, []byte("DEAD"), 0o600))
		long := time.Now().Add(-time.Minute)
		require.NoError(t, os.Chtimes(left, long, long))
		var all sync.WaitGroup
		for n := range 6 {
			all.Go(func() {
				for {
					src, err := os.ReadFile(file)
					if !assert.NoError(t, err) {
						return
					}
					err = Store(file, src, append(src, fmt.Sprintf("# %d\n", n)...), Kept{Who: "test"}, wholeFileOf(n))
					if err == ErrChanged {
						continue
					}
					assert.NoError(t, err)
					return
				}
			})
		}
		all.Wait()
		src, err := os.ReadFile(file)
		require.NoError(t, err)
		for n := range 6 {
			assert.Equal(t, 1, strings.Count(string(src), fmt.Sprintf("# %d\n", n)), "round %d, writer %d", round, n)
		}
		kept, err := Changes(file)
		require.NoError(t, err)
		assert.Len(t, kept, 6)
		beside, err := filepath.Glob(filepath.Join(filepath.Dir(file), ".*"))
		require.NoError(t, err)
		assert.Empty(t, beside, "nothing is left behind")
	}
}

// wholeFileOf is [wholeFile] of one of several writers.
func wholeFileOf(writer int) func(string, []byte) error {
	return func(name string, text []byte) error {
		beside := fmt.Sprintf("%s.new%d", name, writer)
		if err := os.WriteFile(beside, text, 0o600); err != nil {
			return err
		}
		return os.Rename(beside, name)
	}
}

// Who was too slow, so that another has the hold by now, does not take that away.
func TestOnlyTheOwnerLetsGo(t *testing.T) {
	file := filepath.Join(t.TempDir(), "kitchen.yaml")
	slow, err := holdOf(file)
	require.NoError(t, err)
	(&hold{slow.file, slow.token}).free() // by one who took it for stale
	next, err := holdOf(file)
	require.NoError(t, err)
	slow.free()
	assert.False(t, slow.held())
	assert.True(t, next.held())
	next.free()
	assert.NoFileExists(t, next.file)
}

// An editor that saves while a change is being stored loses nothing: before the file is replaced the change is given up; in the instant in
// which it is, what the editor wrote is put beside the file, and said.
func TestAnEditorSavesMeanwhile(t *testing.T) {
	const theirs = "kitchen: Theirs\n"
	to := []byte(strings.Replace(changing, "5/kg", "6/kg", 1))
	for name, c := range map[string]struct {
		while   func(saved string) bool // when the editor saves: as so much is being saved
		replace bool                    // it puts a new file in the place of the old one
		want    string
	}{
		"before, into the file":         {func(saved string) bool { return strings.HasSuffix(saved, ".changes") }, false, theirs},
		"before, with a new file":       {func(saved string) bool { return strings.HasSuffix(saved, ".changes") }, true, theirs},
		"in the instant, into the file": {func(saved string) bool { return strings.HasSuffix(saved, ".yaml") }, false, string(to)},
	} {
		t.Run(name, func(t *testing.T) {
			file := filepath.Join(t.TempDir(), "kitchen.yaml")
			require.NoError(t, os.WriteFile(file, []byte(changing), 0o600))
			done := false
			err := Store(file, []byte(changing), to, Kept{}, func(name string, text []byte) error {
				if c.while(name) && !done {
					done = true
					if c.replace {
						require.NoError(t, wholeFile(file, []byte(theirs)))
					} else {
						require.NoError(t, os.WriteFile(file, []byte(theirs), 0o600))
					}
				}
				return wholeFile(name, text)
			})
			src, read := os.ReadFile(file)
			require.NoError(t, read)
			assert.Equal(t, c.want, string(src))
			if c.want == theirs {
				assert.ErrorIs(t, err, ErrChanged)
				kept, err := Changes(file)
				require.NoError(t, err)
				assert.Empty(t, kept)
				return
			}
			assert.ErrorContains(t, err, "another program wrote kitchen.yaml in the same instant")
			beside, read := os.ReadFile(file + ".theirs")
			require.NoError(t, read)
			assert.Equal(t, theirs, string(beside))
		})
	}
}
