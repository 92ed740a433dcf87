package logbook

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A copy that is restored is what you get: after a crash that left a -wal, which the database would play over it.
func TestRestoreAfterACrash(t *testing.T) {
	k, folder := readKitchen(t, nightShop), t.TempDir()
	file, copied := filepath.Join(folder, "kitchen.logbook"), filepath.Join(folder, "copy.logbook")
	j, err := Open(t.Context(), file)
	require.NoError(t, err)
	_, err = j.Append(t.Context(), typed(t, k, "0/08 counted 3 L stock\n0/09 counted 2 L glaze")...)
	require.NoError(t, err)
	require.NoError(t, j.Backup(t.Context(), copied))
	_, err = j.Append(t.Context(), typed(t, k, "0/10 counted 9 L stock\n0/11 counted 8 L glaze")...)
	require.NoError(t, err)

	// While it is open nothing is changed.
	_, err = Restore(t.Context(), file, copied, at(1, 0))
	require.ErrorContains(t, err, "another program has the log book open")

	// The crash: the file and its -wal as they lie there, elsewhere.
	crashed := filepath.Join(t.TempDir(), "kitchen.logbook")
	for _, end := range []string{"", "-wal"} {
		text, err := os.ReadFile(file + end)
		require.NoError(t, err)
		require.NotEmpty(t, text, "the entries are in the -wal%s", end)
		require.NoError(t, os.WriteFile(crashed+end, text, 0o600))
	}
	require.NoError(t, j.Close())
	r, err := Restore(t.Context(), crashed, copied, at(1, 0))
	require.NoError(t, err)
	assert.Equal(t, Restored{LogBook: crashed, From: copied, Entries: 2, Aside: crashed + ".before-2026-11-25-000000", Read: true, Lost: 2, First: 3, Last: 4}, *r)
	texts := func(file string) (list []string) {
		j, err := Open(t.Context(), file)
		require.NoError(t, err)
		defer func() { _ = j.Close() }()
		all, err := j.Entries(t.Context())
		require.NoError(t, err)
		for _, e := range all {
			list = append(list, e.Text)
		}
		return list
	}
	assert.Equal(t, []string{"3 L stock", "2 L glaze"}, texts(crashed))
	assert.Equal(t, []string{"3 L stock", "2 L glaze", "9 L stock", "8 L glaze"}, texts(r.Aside), "nothing of the old one is gone")
}

// A damaged log book is set aside as it lies there; a damaged copy, or what is none, changes nothing.
func TestRestoreOfDamage(t *testing.T) {
	k, folder := readKitchen(t, nightShop), t.TempDir()
	file, copied := filepath.Join(folder, "kitchen.logbook"), filepath.Join(folder, "copy.logbook")
	j, err := Open(t.Context(), file)
	require.NoError(t, err)
	_, err = j.Append(t.Context(), typed(t, k, "0/08 counted 3 L stock")...)
	require.NoError(t, err)
	require.NoError(t, j.Backup(t.Context(), copied))
	require.NoError(t, j.Close())
	whole, err := os.ReadFile(copied)
	require.NoError(t, err)
	for name, text := range map[string][]byte{"empty": nil, "cut": whole[:len(whole)-5000], "another file": []byte("item,counted\nstock,3 L\n")} {
		bad := filepath.Join(folder, "bad.logbook")
		require.NoError(t, os.WriteFile(bad, text, 0o600))
		_, err := Restore(t.Context(), file, bad, time.Time{})
		require.ErrorContains(t, err, "this is no sound copy of a log book", name)
	}
	_, err = Restore(t.Context(), file, file, time.Time{})
	require.ErrorContains(t, err, "this is the log book itself")

	require.NoError(t, os.WriteFile(file, []byte("something that was spilt over it, which is no log book any more"), 0o600))
	r, err := Restore(t.Context(), file, copied, at(1, 0))
	require.NoError(t, err)
	assert.False(t, r.Read)
	assert.Equal(t, 1, r.Entries)
	spilt, err := os.ReadFile(r.Aside)
	require.NoError(t, err)
	assert.Contains(t, string(spilt), "spilt")
	left, err := filepath.Glob(filepath.Join(folder, ".*"))
	require.NoError(t, err)
	assert.Empty(t, left, "no half copy is left behind")
}
