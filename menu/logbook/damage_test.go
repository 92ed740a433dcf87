package logbook

// Damage: whatever happens to the bytes of a log book, it is told or the answers are the same. "go run -tags harness ./cmd/harness
// damages" does the same to the whole program, and more often.

import (
	"context"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/kitchen"
)

// aYear is a log book of some hundred entries, with marks, corrections and what was played, as it lies there when all is closed.
func aYear(t testing.TB, k *kitchen.Kitchen) []byte {
	t.Helper()
	j := newLogBook(t)
	one := typed(t, k, `
		0/07 received 60 kg pork shoulder for 306 from butcher lot A17
		0/09 cooked braise x10: 60 kg pork shoulder, 60 L water -> 36 kg pulled shoulder, 45 L shoulder broth
		0/12 sold 3 tacos at lunch
		0/13 binned 200 g pulled shoulder, dropped
		0/14 counted 32 kg pulled shoulder
		0/15 temperature shoulder broth 50 C`)
	for day := range 70 {
		for _, e := range one {
			e.ID, e.At = 0, e.At.AddDate(0, 0, day)
			e.Written = e.At
			_, err := j.Append(t.Context(), e)
			require.NoError(t, err)
		}
		if day%10 == 3 {
			_, err := j.Undo(t.Context(), int64(day*len(one)), at(day, 16))
			require.NoError(t, err)
		}
	}
	_, err := j.OnHand(t.Context(), k, at(71, 0)) // keeps what was played
	require.NoError(t, err)
	require.NoError(t, j.Close())
	file, err := os.ReadFile(j.file)
	require.NoError(t, err)
	return file
}

// answers are what a log book says, or the error that tells why it does not.
func answers(ctx context.Context, k *kitchen.Kitchen, file string) (text string, err error) {
	j, err := Open(ctx, file)
	if err != nil {
		return "", err
	}
	defer func() { _ = j.Close() }() // it was only read
	all, err := j.Entries(ctx)
	if err != nil {
		return "", err
	}
	stock, err := j.OnHand(ctx, k, at(71, 0))
	if err != nil {
		return "", err
	}
	trace, err := j.TraceLot(ctx, k, "A17", at(71, 0))
	if err != nil {
		return "", err
	}
	cost, err := j.AsItWas(ctx, k, at(71, 0), at(0, 0), at(71, 0))
	if err != nil {
		return "", err
	}
	yields, err := j.Yields(ctx, k, About{Step: -1, Output: -1})
	if err != nil {
		return "", err
	}
	trace.LogBook, yields.LogBook = "", ""
	b, err := json.Marshal([]any{Lines(k, stock, all, all), stock, trace, cost, yields})
	return string(b), err
}

// hurt damages a file in some way, and says how.
func hurt(file []byte) (harmed []byte, how string) {
	harmed = append([]byte{}, file...)
	const page = 4096
	switch rand.IntN(4) {
	case 0:
		at := rand.IntN(len(file))
		return harmed[:at], fmt.Sprintf("cut at %d", at)
	case 1:
		at := rand.IntN(len(file)/page) * page
		clear(harmed[at : at+page])
		return harmed, fmt.Sprintf("page at %d zeroed", at)
	}
	at, bit := rand.IntN(len(file)), rand.IntN(8)
	harmed[at] ^= 1 << bit
	return harmed, fmt.Sprintf("bit %d flipped at %d", bit, at)
}

func TestDamageIsToldOrChangesNothing(t *testing.T) {
	shortStretches(t, 50)
	k := someKitchen(t)
	sound := aYear(t, k)
	folder := t.TempDir()
	whole := filepath.Join(folder, "whole.logbook")
	require.NoError(t, os.WriteFile(whole, sound, 0o600))
	want, err := answers(t.Context(), k, whole)
	require.NoError(t, err)
	told := 0
	for n := range 15 {
		harmed, how := hurt(sound)
		file := filepath.Join(folder, fmt.Sprintf("%d.logbook", n))
		require.NoError(t, os.WriteFile(file, harmed, 0o600))
		got, err := answers(t.Context(), k, file)
		if err == nil {
			require.Equal(t, want, got, how)
			continue
		}
		told++
		require.IsType(t, &FileError{}, err, how)
		require.NotContains(t, err.Error(), "sql:", how)
		list, c, err := SoundEntries(t.Context(), file)
		if err != nil {
			require.IsType(t, &FileError{}, err, how)
			continue
		}
		assert.False(t, c.Whole, how)
		for _, e := range list {
			require.Contains(t, want, fmt.Sprintf(`"entry":%d,"kind":%q,"at":%q`, e.ID, e.Kind, e.At.Format(seconds)), how)
		}
	}
	assert.Positive(t, told)
}

// The example: 67.20 paid becomes 33.60 by one bit, which the database takes for a number like any other.
func TestAFlippedBitOfAPrice(t *testing.T) {
	k := someKitchen(t)
	j := newLogBook(t)
	_, err := j.Append(t.Context(), entry(t, k, at(0, 7), Received, "8 kg pork shoulder for 67.20"), entry(t, k, at(0, 8), Counted, "3 each hen"))
	require.NoError(t, err)
	require.NoError(t, j.Close())
	file, err := os.ReadFile(j.file)
	require.NoError(t, err)
	price := []byte{0x40, 0x50, 0xCC, 0xCC, 0xCC, 0xCC, 0xCC, 0xCD} // 67.20 in binary64, IEEE 754
	at := indexOf(file, price)
	require.Positive(t, at)
	file[at+1] = 0x40
	require.NoError(t, os.WriteFile(j.file, file, 0o600))

	_, err = Open(t.Context(), j.file)
	require.EqualError(t, err, j.file+": the log book is damaged: entry 1 is not as it was written")
	c, err := Check(t.Context(), j.file)
	require.NoError(t, err)
	assert.Equal(t, []Unsound{{1, "entry 1 is not as it was written"}}, c.Unsound)
	assert.Equal(t, []Range{{2, 2}}, c.Sound)
	list, _, err := SoundEntries(t.Context(), j.file)
	require.NoError(t, err)
	require.Len(t, list, 1)
	assert.Equal(t, "3 each hen", list[0].Text)
	_, err = Restore(t.Context(), filepath.Join(t.TempDir(), "kitchen.logbook"), j.file, time.Time{})
	require.ErrorContains(t, err, "no sound copy of a log book")
}

func indexOf(b, part []byte) int {
	for i := range len(b) - len(part) {
		if string(b[i:i+len(part)]) == string(part) {
			return i
		}
	}
	return -1
}

// What is in the way of a log book is told, and no new one begun in its place.
func TestAnEmptiedLogBook(t *testing.T) {
	file := filepath.Join(t.TempDir(), "kitchen.logbook")
	require.NoError(t, os.WriteFile(file, nil, 0o600))
	_, err := Open(t.Context(), file)
	require.EqualError(t, err, file+": the log book is empty: all that was written in it is gone")
	require.NoError(t, os.Remove(file))
	require.NoError(t, os.WriteFile(file+"-wal", []byte("what was written last"), 0o600))
	_, err = Open(t.Context(), file)
	require.ErrorContains(t, err, "the log book is gone")
	require.NoError(t, os.Remove(file+"-wal"))
	require.NoError(t, open(t, file).Close())
}

// A version that no log book has is told.
func TestAVersionThatNeverWas(t *testing.T) {
	for _, version := range []int{-1, 0} {
		j := newLogBook(t)
		_, err := j.db.Exec(fmt.Sprintf("PRAGMA user_version = %d", version))
		require.NoError(t, err)
		_, err = Open(t.Context(), j.file)
		require.EqualError(t, err, fmt.Sprintf("%s: the log book is damaged: it says that it is of version %d, and there is none", j.file, version))
	}
}

// An entry that was taken out, put in or changed by another program, with all its guards off, is told.
func TestTheChainTellsWhatWasChanged(t *testing.T) {
	const unguarded = "PRAGMA foreign_keys = 0; DROP TRIGGER entry_stays; DROP TRIGGER entry_kept; DROP TRIGGER amount_stays; DROP TRIGGER amount_kept; "
	for change, want := range map[string]string{
		"DELETE FROM entry WHERE id = 6":                                             "it ends with entry 5, and 6 were written",
		"DELETE FROM entry WHERE id = 3":                                             "entry 3 is missing",
		"UPDATE entry SET at = at + 60 WHERE id = 2":                                 "entry 2 is not as it was written",
		"UPDATE entry SET corrects = 1 WHERE id = 2":                                 "entry 2 is not as it was written",
		"UPDATE entry SET zone = 60 WHERE id = 2":                                    "entry 2 is not as it was written",
		"UPDATE amount SET base = 2 * base WHERE entry = 1":                          "entry 1 is not as it was written",
		"DELETE FROM amount WHERE entry = 3 AND place = 0":                           "entry 3 is not as it was written",
		"UPDATE entry SET chain = (SELECT chain FROM entry WHERE id = 4) WHERE id=5": "the chain breaks at entry 5",
		"DELETE FROM head":                                                           "nothing says where its chain ends",
		"UPDATE head SET last = 5":                                                   "its entries go on to 6, and 5 were written",
		"UPDATE entry SET kind = 'counted' WHERE id = 5":                             "entry 5 is not as it was written",
	} {
		j := newLogBook(t)
		_, err := j.Append(t.Context(), day(t)...)
		require.NoError(t, err)
		_, err = j.db.Exec(unguarded + change)
		require.NoError(t, err)
		_, err = Open(t.Context(), j.file)
		assert.EqualError(t, err, j.file+": the log book is damaged: "+want, change)
		c, err := Check(t.Context(), j.file)
		require.NoError(t, err)
		assert.False(t, c.Whole, change)
		assert.Error(t, j.Backup(t.Context(), filepath.Join(t.TempDir(), "copy.logbook")), change)
	}
}

// Entries deep in a log book are held against the chain when they are read, and all of it when it is checked.
func TestDamageBehindTheTail(t *testing.T) {
	k := someKitchen(t)
	j := newLogBook(t)
	var list []Entry
	for n := range 3*perLeaf + 7 {
		list = append(list, whole(n))
	}
	_, err := j.Append(t.Context(), list...)
	require.NoError(t, err)
	c, err := Check(t.Context(), j.file)
	require.NoError(t, err)
	chain, last, err := j.Head(t.Context())
	require.NoError(t, err)
	assert.Equal(t, &Checked{LogBook: j.file, Whole: true, Entries: last, Chain: chain, Sound: []Range{{1, last}}, Unsound: []Unsound{},
		Faults: []string{}}, c)
	_, err = j.db.Exec("DROP TRIGGER entry_stays; UPDATE entry SET batches = 2 WHERE id = 300")
	require.NoError(t, err)
	again := open(t, j.file) // the tail is whole
	_, err = again.Latest(t.Context(), 20)
	require.NoError(t, err)
	_, err = again.OnHand(t.Context(), k, at(9, 0))
	require.ErrorContains(t, err, "entry 300 is not as it was written")
	c, err = Check(t.Context(), j.file)
	require.NoError(t, err)
	assert.Equal(t, []Range{{1, 299}, {301, last}}, c.Sound)
	assert.Equal(t, []Unsound{{300, "entry 300 is not as it was written"}}, c.Unsound)
}

// What was written last and lies beside the log book, after a crash, is held to be whole too.
func TestDamageWithinTheWAL(t *testing.T) {
	j := newLogBook(t)
	for n := range 5 {
		_, err := j.Append(t.Context(), whole(n))
		require.NoError(t, err)
	}
	file, err := os.ReadFile(j.file)
	require.NoError(t, err)
	wal, err := os.ReadFile(j.file + "-wal")
	require.NoError(t, err)
	crashed := func(harm func([]byte) []byte) error {
		path := filepath.Join(t.TempDir(), "kitchen.logbook")
		require.NoError(t, os.WriteFile(path, file, 0o600))
		require.NoError(t, os.WriteFile(path+"-wal", harm(append([]byte{}, wal...)), 0o600))
		c, err := Open(t.Context(), path)
		if err == nil {
			err = c.Close()
		}
		return err
	}
	require.NoError(t, crashed(func(b []byte) []byte { return b }))
	require.NoError(t, crashed(func(b []byte) []byte { return b[:len(b)-100] }), "the machine stopped while the last was written")
	require.ErrorContains(t, crashed(func(b []byte) []byte { b[walHeader+walFrame+77] ^= 1; return b }), "is damaged within")
	require.ErrorContains(t, crashed(func(b []byte) []byte { b[13] ^= 1; return b }), "can't be read")
}
