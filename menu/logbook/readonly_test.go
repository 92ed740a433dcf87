package logbook

import (
	"os"
	"path/filepath"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// lying is a log book in a folder of its own, as it lies there: with what was written last beside it, or without.
func lying(t *testing.T, beside bool) (file string) {
	t.Helper()
	j := newLogBook(t)
	_, err := j.Append(t.Context(), day(t)...)
	require.NoError(t, err)
	if !beside {
		require.NoError(t, j.Close())
	}
	file = filepath.Join(t.TempDir(), "kitchen.logbook")
	for _, end := range []string{"", "-wal"} {
		text, err := os.ReadFile(j.file + end)
		if end == "" || beside {
			require.NoError(t, err)
			require.NoError(t, os.WriteFile(file+end, text, 0o600))
		}
	}
	return file
}

// A log book that can't be written is read, with all that lies beside it, nothing is written in its folder, and what is to be logged
// is refused.
func TestALogBookThatCantBeWritten(t *testing.T) {
	for name, file := range map[string]string{"closed": lying(t, false), "after a crash": lying(t, true), "of an older version": old(t, 4)} {
		t.Run(name, func(t *testing.T) {
			folder := filepath.Dir(file)
			before, err := os.ReadDir(folder)
			require.NoError(t, err)
			whole, err := os.ReadFile(file)
			require.NoError(t, err)
			temporary := t.TempDir()
			t.Setenv("TMPDIR", temporary)

			j := &Book{file: file}
			require.NoError(t, j.readOnly(t.Context(), file))
			all, err := j.Entries(t.Context())
			require.NoError(t, err)
			assert.GreaterOrEqual(t, len(all), 5)
			_, err = j.OnHand(t.Context(), someKitchen(t), at(2, 0))
			require.NoError(t, err)
			_, err = j.Append(t.Context(), day(t)...)
			require.EqualError(t, err, file+": the log book can't be written to")
			copied := filepath.Join(t.TempDir(), "copy.logbook")
			require.NoError(t, j.Backup(t.Context(), copied))
			require.NoError(t, j.Close())
			c, err := Check(t.Context(), copied)
			require.NoError(t, err)
			assert.True(t, c.Whole)
			assert.EqualValues(t, len(all), c.Entries)

			after, err := os.ReadDir(folder)
			require.NoError(t, err)
			assert.Equal(t, len(before), len(after))
			now, err := os.ReadFile(file)
			require.NoError(t, err)
			assert.Equal(t, whole, now)
			left, err := os.ReadDir(temporary)
			require.NoError(t, err)
			assert.Empty(t, left)
		})
	}
}

// The same by the right to write being taken away, as it is on a mount or in a folder of others.
func TestAFolderThatCantBeWritten(t *testing.T) {
	if os.Getuid() == 0 || runtime.GOOS == "windows" {
		t.Skip("who may do everything, may write here")
	}
	for _, beside := range []bool{false, true} {
		file := lying(t, beside)
		folder := filepath.Dir(file)
		require.NoError(t, os.Chmod(folder, 0o500))
		t.Cleanup(func() { _ = os.Chmod(folder, 0o700) })
		j := open(t, file)
		all, err := j.Entries(t.Context())
		require.NoError(t, err)
		assert.Len(t, all, 6)
		_, err = j.Append(t.Context(), day(t)...)
		require.EqualError(t, err, file+": the log book can't be written to")
		require.NoError(t, j.Close())
	}
}

// A link to a disk that is not there is no kitchen without a log book.
func TestALinkToNowhere(t *testing.T) {
	file := filepath.Join(t.TempDir(), "kitchen.logbook")
	nowhere := filepath.Join(t.TempDir(), "disk", "kitchen.logbook")
	if err := os.Symlink(nowhere, file); err != nil {
		t.Skip(err)
	}
	assert.True(t, Exists(file))
	_, err := Open(t.Context(), file)
	require.EqualError(t, err, file+": the log book is a link to "+nowhere+", where nothing is")
	_, err = Check(t.Context(), file)
	require.ErrorContains(t, err, "is a link to")
	require.NoError(t, os.Mkdir(filepath.Dir(nowhere), 0o700))
	copied, err := empty()
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(nowhere, copied, 0o600))
	require.NoError(t, open(t, file).Close())
}
