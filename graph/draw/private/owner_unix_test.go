//go:build unix

package private

import (
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Where others may write, nothing is kept: they could put code of their own there.
func TestTrustsNoOpenFolder(t *testing.T) {
	assert.Equal(t, start{folder: nowhere}, open(""), "no home")
	cases := map[string]func(t *testing.T, p place){
		"folder open to the group": func(t *testing.T, p place) {
			require.NoError(t, os.Mkdir(p.home, 0o700))
			require.NoError(t, os.Chmod(p.home, 0o770))
		},
		"parent open to all": func(t *testing.T, p place) { require.NoError(t, os.Chmod(p.parent, 0o777)) },
		"symbolic link":      func(t *testing.T, p place) { require.NoError(t, os.Symlink(t.TempDir(), p.home)) },
		"file in its place":  func(t *testing.T, p place) { require.NoError(t, os.WriteFile(p.home, nil, 0o600)) },
	}
	if os.Geteuid() == 0 { // only root can give a folder away
		cases["someone else's"] = func(t *testing.T, p place) {
			require.NoError(t, os.Mkdir(p.home, 0o700))
			require.NoError(t, os.Chown(p.home, 1, 1))
		}
	}
	for name, prepare := range cases {
		t.Run(name, func(t *testing.T) {
			p := newPlace(t)
			prepare(t, p)
			assert.Equal(t, start{folder: nowhere}, open(p.parent))
			_, err := os.Stat(p.kept)
			assert.Error(t, err, "nothing is kept there")
		})
	}
}
