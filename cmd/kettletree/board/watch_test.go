package board

import (
	"context"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu"
	"kettletree/menu/logbook"
)

// watchFirstPot watches a kitchen whose log book has one entry.
func watchFirstPot(t *testing.T) *watch {
	t.Helper()
	logBook := filepath.Join(t.TempDir(), "kitchen.logbook")
	j, err := logbook.Open(t.Context(), logBook)
	require.NoError(t, err)
	when := time.Date(2026, 11, 24, 14, 5, 0, 0, time.UTC)
	_, err = j.Append(t.Context(), logbook.Entry{Kind: logbook.Struck, Dish: "chicken soup", At: when, Written: when, Text: "chicken soup"})
	require.NoError(t, err)
	require.NoError(t, j.Close())
	return newWatch(Config{Options: menu.Options{Kitchen: menu.File("../../../examples/first-pot/kitchen.yaml"), LogBook: logBook}})
}

// Who asks and goes away is no trouble of the log book, for all others who look at it.
func TestWhoGoesAwayTroublesNobody(t *testing.T) {
	w := watchFirstPot(t)
	gone, leave := context.WithCancel(t.Context())
	leave()
	require.NoError(t, w.look(gone))
	assert.Empty(t, w.state().trouble)
	assert.Equal(t, int64(1), w.state().last)
}

// Trouble that passes and leaves no trace on the files is over all the same, and is said without the folder.
func TestTroublePasses(t *testing.T) {
	w := watchFirstPot(t)
	info, err := os.Stat(w.c.LogBook)
	require.NoError(t, err)
	good, err := os.ReadFile(w.c.LogBook)
	require.NoError(t, err)
	write := func(src []byte) {
		require.NoError(t, os.WriteFile(w.c.LogBook, src, 0o600))
		require.NoError(t, os.Chtimes(w.c.LogBook, info.ModTime(), info.ModTime()))
	}
	write(make([]byte, len(good)))
	require.NoError(t, w.look(t.Context()))
	assert.Contains(t, w.state().trouble, "kitchen.logbook: ")
	assert.NotContains(t, w.state().trouble, filepath.Dir(w.c.LogBook))
	bad := sign(w.c.LogBook)
	write(good)
	require.Equal(t, bad, sign(w.c.LogBook), "as long and as old as before")
	require.NoError(t, w.look(t.Context()))
	assert.Empty(t, w.state().trouble)
	assert.Equal(t, int64(1), w.state().last)
}
