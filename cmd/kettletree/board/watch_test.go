package board

import (
	"context"
	"os"
	"path/filepath"
	"strings"
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

// An entry is in the file a moment before it counts. Who looks in that moment sees the file changed and the entry not; it is seen all the
// same, at once by who wrote it, and soon by all others.
func TestWhoLooksTooSoonLooksAgain(t *testing.T) {
	for name, look := range map[string]func(*watch) error{
		"who wrote it": func(w *watch) error { return w.lookAfresh(t.Context()) },
		"others": func(w *watch) error {
			w.again = []time.Time{time.Now().Add(-time.Millisecond)}
			return w.look(t.Context())
		},
	} {
		w := watchFirstPot(t)
		require.NoError(t, w.look(t.Context()))
		require.Equal(t, int64(1), w.state().last)
		j, err := logbook.Open(t.Context(), w.c.LogBook)
		require.NoError(t, err)
		when := time.Date(2026, 11, 24, 14, 6, 0, 0, time.UTC)
		_, err = j.Append(t.Context(), logbook.Entry{Kind: logbook.Struck, Dish: "chicken roll", At: when, Written: when, Text: "chicken roll"})
		require.NoError(t, err)
		require.NoError(t, j.Close())
		w.signs, w.again = strings.Join(w.signsNow(), ";"), nil // as who looked too soon left them
		require.NoError(t, w.look(t.Context()))
		require.Equal(t, int64(1), w.state().last, "nothing tells that it changed")
		require.NoError(t, look(w), name)
		assert.Equal(t, int64(2), w.state().last, name)
	}
	w := watchFirstPot(t)
	require.NoError(t, w.look(t.Context()))
	assert.Len(t, w.again, len(afterChange), "what has changed is looked at again")
}
