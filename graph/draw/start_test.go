//go:build unix

package draw

// What a start of a program leaves behind: package private at work. The tests start a small program, since all of it
// happens while packages are initialised.

import (
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestStart(t *testing.T) {
	program := filepath.Join(t.TempDir(), "start")
	out, err := exec.Command("go", "build", "-o", program, "./testdata/start").CombinedOutput()
	require.NoError(t, err, string(out))
	for name, test := range map[string]func(t *testing.T, p place){
		"keeps its code in private": keepsItsCodeInPrivate, "trusts no folder that others can write to": trustsNoOpenFolder,
		"without a home": withoutAHome, "without a temporary folder": withoutATemporaryFolder,
		"survives damaged code": survivesDamagedCode,
	} {
		t.Run(name, func(t *testing.T) { test(t, newPlace(t, program)) })
	}
}

// place is a home and a temporary folder for the program to start in.
type place struct{ program, home, temp, cache, folder, kept string }

func newPlace(t *testing.T, program string) place {
	home, temp := t.TempDir(), t.TempDir()
	cache := filepath.Join(home, "cache")
	folder := filepath.Join(cache, "kettletree")
	return place{program, home, temp, cache, folder, filepath.Join(folder, "go-graphviz")}
}

// start starts the program and checks what must hold for every start.
func (p place) start(t *testing.T) {
	t.Helper()
	out, err := p.run("XDG_CACHE_HOME=" + p.cache)
	require.NoError(t, err, out)
	assert.Equal(t, p.temp, out, "the program itself sees the temporary folder that it was given")
	p.checkTemp(t)
}

func (p place) checkTemp(t *testing.T) {
	t.Helper()
	left, err := os.ReadDir(p.temp)
	require.NoError(t, err)
	assert.Empty(t, left, "nothing is left in the temporary folder")
}

func (p place) run(env ...string) (string, error) {
	command := exec.Command(p.program)
	command.Dir = p.home
	command.Env = env
	if p.temp != "" {
		command.Env = append(command.Env, "TMPDIR="+p.temp)
	}
	out, err := command.CombinedOutput()
	return string(out), err
}

// code lists the files of compiled code that are kept.
func (p place) code(t *testing.T) (files []string) {
	t.Helper()
	err := filepath.WalkDir(p.kept, func(path string, d fs.DirEntry, err error) error {
		if err == nil && d.Type().IsRegular() {
			files = append(files, path)
		}
		return err
	})
	if os.IsNotExist(err) {
		return nil
	}
	require.NoError(t, err)
	return files
}

func keepsItsCodeInPrivate(t *testing.T, p place) {
	p.start(t)
	require.Len(t, p.code(t), 1)
	in, err := os.Stat(p.folder)
	require.NoError(t, err)
	assert.Equal(t, fs.ModeDir|0o700, in.Mode())
	assert.NoFileExists(t, filepath.Join(p.folder, "starting"))

	before, err := os.Stat(p.code(t)[0])
	require.NoError(t, err)
	p.start(t)
	after, err := os.Stat(p.code(t)[0])
	require.NoError(t, err)
	assert.True(t, os.SameFile(before, after), "the second start uses the code of the first")
}

func trustsNoOpenFolder(t *testing.T, in place) {
	cases := map[string]func(t *testing.T, p place){
		"folder open to the group": func(t *testing.T, p place) {
			require.NoError(t, os.Mkdir(p.folder, 0o700))
			require.NoError(t, os.Chmod(p.folder, 0o770))
		},
		"parent open to all": func(t *testing.T, p place) { require.NoError(t, os.Chmod(p.cache, 0o777)) },
		"symbolic link": func(t *testing.T, p place) {
			require.NoError(t, os.Symlink(t.TempDir(), p.folder))
		},
		"file in its place": func(t *testing.T, p place) { require.NoError(t, os.WriteFile(p.folder, nil, 0o600)) },
		"another start in progress": func(t *testing.T, p place) {
			require.NoError(t, os.Mkdir(p.folder, 0o700))
			require.NoError(t, os.WriteFile(filepath.Join(p.folder, "starting"), nil, 0o600))
		},
	}
	if os.Geteuid() == 0 { // only root can give a folder away
		cases["someone else's"] = func(t *testing.T, p place) {
			require.NoError(t, os.Mkdir(p.folder, 0o700))
			require.NoError(t, os.Chown(p.folder, 1, 1))
		}
	}
	for name, prepare := range cases {
		t.Run(name, func(t *testing.T) {
			p := newPlace(t, in.program)
			require.NoError(t, os.Mkdir(p.cache, 0o700))
			prepare(t, p)
			p.start(t)
			_, err := os.Stat(p.kept)
			assert.Error(t, err, "nothing is kept there")
		})
	}
}

func withoutAHome(t *testing.T, p place) {
	out, err := p.run()
	require.NoError(t, err, out)
	p.checkTemp(t)
	left, err := os.ReadDir(p.home)
	require.NoError(t, err)
	assert.Empty(t, left)
}

func withoutATemporaryFolder(t *testing.T, p place) {
	p.temp = ""
	out, err := p.run("XDG_CACHE_HOME=" + p.cache)
	require.NoError(t, err, out)
	assert.Equal(t, "/tmp", out, "the variable is unset again")
}

func survivesDamagedCode(t *testing.T, p place) {
	p.start(t)
	code := p.code(t)[0]
	require.NoError(t, os.Truncate(code, 1000))
	_, err := p.run("XDG_CACHE_HOME=" + p.cache)
	require.Error(t, err, "go-graphviz can't start from damaged code")
	p.start(t) // but the next start goes without
	mark := filepath.Join(p.folder, "starting")
	require.FileExists(t, mark)
	old := time.Now().Add(-2 * time.Minute)
	require.NoError(t, os.Chtimes(mark, old, old))
	p.start(t) // throws the damaged code away
	require.Empty(t, p.code(t))
	p.start(t)
	require.Len(t, p.code(t), 1)
	assert.NoFileExists(t, mark)
}
