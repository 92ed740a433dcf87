package main

// Files that answers are written to.

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestWriteFileKeepsALink(t *testing.T) {
	folder := t.TempDir()
	target, link := filepath.Join(folder, "target"), filepath.Join(folder, "link")
	require.NoError(t, os.WriteFile(target, []byte("old"), 0o666))
	require.NoError(t, os.Symlink(target, link))
	require.NoError(t, writeFile(link, []byte("new")))
	text, err := os.ReadFile(target)
	require.NoError(t, err)
	assert.Equal(t, "new", string(text))
	at, err := os.Readlink(link)
	require.NoError(t, err)
	assert.Equal(t, target, at)
}

func TestWriteFileLeavesNothingBeside(t *testing.T) {
	folder := t.TempDir()
	require.NoError(t, writeFile(filepath.Join(folder, "a"), []byte("text")))
	require.Error(t, writeFile(filepath.Join(folder, "a", "b"), []byte("text")))
	require.Error(t, writeFile(folder, []byte("text")))
	entries, err := os.ReadDir(folder)
	require.NoError(t, err)
	require.Len(t, entries, 1)
	assert.Equal(t, "a", entries[0].Name())
}

func TestWriteFileToWhatIsNoPlainFile(t *testing.T) {
	require.NoError(t, writeFile(os.DevNull, []byte("text")))
	info, err := os.Stat(os.DevNull)
	require.NoError(t, err)
	assert.False(t, info.Mode().IsRegular(), "the device is still there")
}
