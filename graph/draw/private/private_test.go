package private

// Folders that are trusted and code that is whole: what open decides, on files that stand in for code. What go-graphviz
// itself does with them is shown by package draw's tests, which start programs.

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// place is a user's cache folder.
type place struct{ parent, home, kept, code string }

func newPlace(t *testing.T) place {
	parent := t.TempDir()
	home := filepath.Join(parent, "kettletree")
	kept := filepath.Join(home, engine)
	return place{parent, home, kept, filepath.Join(kept, "go-graphviz", "wazero", "code")}
}

// compiled has a start keep something, as go-graphviz would write it.
func (p place) compiled(t *testing.T) {
	t.Helper()
	s := open(p.parent)
	require.Equal(t, filepath.Join(p.home, beside), s.folder)
	folder := filepath.Join(s.folder, "go-graphviz", "wazero")
	require.NoError(t, os.MkdirAll(folder, 0o700))
	require.NoError(t, os.WriteFile(filepath.Join(folder, "code"), []byte(strings.Repeat("code", 1000)), 0o600))
	s.done()
}

// uses wants the next start to use what is kept, or to compile into a folder beside it.
func (p place) uses(t *testing.T, kept bool) {
	t.Helper()
	s := open(p.parent)
	defer s.done()
	want := filepath.Join(p.home, beside)
	if kept {
		want = p.kept
	}
	assert.Equal(t, want, s.folder)
}

func TestKept(t *testing.T) {
	p := newPlace(t)
	p.compiled(t)
	p.uses(t, true)
	p.uses(t, true)
	entries, err := os.ReadDir(p.home)
	require.NoError(t, err)
	for _, e := range entries {
		assert.Contains(t, []string{engine, "lock"}, e.Name(), "nothing else is left")
	}
	in, err := os.Stat(p.home)
	require.NoError(t, err)
	assert.Zero(t, in.Mode().Perm()&0o077, "only the user looks into it")
}

// Code that is not as it was sealed is not used, and thrown away.
func TestDamaged(t *testing.T) {
	for name, harm := range map[string]func(p place) error{
		"cut short": func(p place) error { return os.Truncate(p.code, 1000) },
		"empty":     func(p place) error { return os.Truncate(p.code, 0) },
		"gone":      func(p place) error { return os.Remove(p.code) },
		"a bit flipped": func(p place) error {
			src, err := os.ReadFile(p.code)
			if err != nil {
				return err
			}
			src[2000] ^= 1
			return os.WriteFile(p.code, src, 0o600)
		},
		"longer": func(p place) error {
			return os.WriteFile(p.code, []byte(strings.Repeat("code", 1000)+"\n"), 0o600)
		},
		"another file beside it": func(p place) error { return os.WriteFile(p.code+"2", nil, 0o600) },
		"without its seal":       func(p place) error { return os.Remove(filepath.Join(p.kept, sealName)) },
		"an empty seal":          func(p place) error { return os.Truncate(filepath.Join(p.kept, sealName), 0) },
		"a file in its place": func(p place) error {
			if err := os.RemoveAll(p.kept); err != nil {
				return err
			}
			return os.WriteFile(p.kept, []byte("no folder"), 0o600)
		},
	} {
		t.Run(name, func(t *testing.T) {
			p := newPlace(t)
			p.compiled(t)
			require.NoError(t, harm(p))
			p.uses(t, false)
			p.compiled(t)
			p.uses(t, true)
		})
	}
}

// A start that was killed while it compiled leaves a folder, and one of another version its code: both go.
func TestSwept(t *testing.T) {
	p := newPlace(t)
	left, old := filepath.Join(p.home, beside, "go-graphviz"), filepath.Join(p.home, begins+"of-old")
	require.NoError(t, os.MkdirAll(left, 0o700))
	require.NoError(t, os.MkdirAll(old, 0o700))
	p.compiled(t)
	assert.NoDirExists(t, filepath.Join(p.home, beside))
	assert.NoDirExists(t, old)
	p.uses(t, true)
}

// A processor of another kind has its own code compiled beside the first, in a folder that is in use.
func TestAnotherProcessor(t *testing.T) {
	p := newPlace(t)
	p.compiled(t)
	s := open(p.parent)
	require.Equal(t, p.kept, s.folder)
	require.NoError(t, os.WriteFile(p.code+"2", []byte("other code"), 0o600))
	s.done()
	p.uses(t, true)
}

// One that compiles is waited for; when that takes too long, the others go without.
func TestLocked(t *testing.T) {
	was := patience
	t.Cleanup(func() { patience = was })
	p := newPlace(t)
	first := open(p.parent)
	require.NotNil(t, first.unlock)
	patience = time.Millisecond
	assert.Equal(t, start{folder: nowhere}, open(p.parent))
	patience = time.Minute
	second := make(chan start, 1)
	go func() { second <- open(p.parent) }()
	folder := filepath.Join(first.folder, "go-graphviz", "wazero")
	require.NoError(t, os.MkdirAll(folder, 0o700))
	require.NoError(t, os.WriteFile(filepath.Join(folder, "code"), []byte("code"), 0o600))
	first.done()
	assert.Equal(t, start{folder: p.kept}, <-second)
}

// What the folder of code is named after is what the program is built of.
func TestEngineIsOfThisVersion(t *testing.T) {
	mod, err := os.ReadFile("../../../go.mod")
	require.NoError(t, err)
	name := begins
	for _, module := range []string{"goccy/go-graphviz", "tetratelabs/wazero"} {
		found := regexp.MustCompile(regexp.QuoteMeta(module) + ` v([0-9.]+)`).FindSubmatch(mod)
		require.NotNil(t, found, module)
		name += filepath.Base(module) + "-" + string(found[1]) + "-"
	}
	assert.Equal(t, strings.TrimSuffix(name, "-"), engine)
}
