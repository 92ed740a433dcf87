package logbook

import (
	"math/bits"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph/lawtest"
	"kettletree/menu/kitchen"
)

// shortStretches makes stretches so short that a test's log book has many.
func shortStretches(t testing.TB, n int) {
	was := stretch
	stretch = n
	t.Cleanup(func() { stretch = was })
}

// What is on hand, and all movements, are the same whether what was played before was kept in the file or not: whatever
// is written meanwhile, late or to correct, and whichever moments are asked about in between.
func TestPlayedWithAndWithoutWhatWasKept(t *testing.T) {
	lawtest.Few(t, 25)
	shortStretches(t, 3)
	k := someKitchen(t)
	kept := 0
	rapid.Check(t, func(r *rapid.T) {
		j := newLogBook(t)
		entries := drawnLots(r, k, 40)
		var written []Entry
		for len(entries) > 0 {
			n := rapid.IntRange(1, min(9, len(entries))).Draw(r, "more")
			more, err := j.Append(t.Context(), entries[:n]...)
			require.NoError(r, err)
			entries, written = entries[n:], append(written, more...)
			if rapid.IntRange(0, 2).Draw(r, "undo") == 0 {
				e, err := j.Undo(t.Context(), rapid.Int64Range(1, int64(len(written))).Draw(r, "which"), at(6, 0))
				if err == nil { // else it was undone before
					written = append(written, e)
					for i := range entries {
						entries[i].ID++ // what the log book will number them
					}
				}
			}
			require.NoError(r, j.Close())
			j = open(t, j.file)
			asOf := at(0, rapid.IntRange(0, 160).Draw(r, "as of"))
			got, err := j.OnHand(t.Context(), k, asOf)
			require.NoError(r, err)
			want, err := Play(k, written, asOf)
			require.NoError(r, err)
			require.Equal(r, want, got)

			j.turn.Lock()
			w, err := j.playedUpTo(t.Context(), &j.warm, k, at(9, 0))
			require.NoError(r, err)
			parts, ok, err := j.moves(t.Context(), w)
			j.turn.Unlock()
			require.NoError(r, err)
			require.True(r, ok)
			kept += len(parts)
			reel := &reel{parts: parts, tail: w.p.moves, items: len(k.Graph.Items)}
			var moves []Move
			for group := range reel.forwards() {
				moves = append(moves, group...)
			}
			links, err := Links(k, written)
			require.NoError(r, err)
			require.Equal(r, links, moves)
		}
		require.NoError(r, j.Close())
	})
	assert.Positive(t, kept, "something was kept")
}

// What was played is a copy: it may be thrown away, torn or of another kitchen file, and nothing changes.
func TestWhatWasPlayedIsOnlyACopy(t *testing.T) {
	shortStretches(t, 2)
	k := someKitchen(t)
	j := newLogBook(t)
	_, err := j.Append(t.Context(), day(t)...)
	require.NoError(t, err)
	want, err := j.OnHand(t.Context(), k, at(2, 0))
	require.NoError(t, err)
	count := func() (n int) {
		require.NoError(t, j.db.QueryRow("SELECT count(*) FROM played").Scan(&n))
		return n
	}
	assert.Equal(t, 2, count(), "7:00 and 8:00; 10:00 and both of 14:00")
	again := func() {
		t.Helper()
		j = open(t, j.file)
		got, err := j.OnHand(t.Context(), k, at(2, 0))
		require.NoError(t, err)
		assert.Equal(t, want, got)
		trace, err := j.TraceLot(t.Context(), k, "A17", at(2, 0))
		require.NoError(t, err)
		assert.Len(t, trace.Sales, 1)
	}
	for _, harm := range []string{"DELETE FROM played", "DELETE FROM playing", "UPDATE played SET shelves = x'7b'",
		"UPDATE played SET told = x'5b'", "UPDATE played SET moves = x'ffffff'", "UPDATE playing SET kitchen = 'another'",
		"UPDATE playing SET last = 99", "UPDATE playing SET turn = 7",
		`UPDATE played SET shelves = CAST('{"Shelves":[]}' AS BLOB)`} {
		t.Run(harm, func(t *testing.T) {
			_, err := j.db.Exec(harm)
			require.NoError(t, err)
			again()
		})
	}
	// While another program writes, nobody waits to keep what was played: this test would not end.
	was := patience
	patience = time.Hour
	t.Cleanup(func() { patience = was })
	_, err = j.db.Exec("DELETE FROM played; DELETE FROM playing")
	require.NoError(t, err)
	other := open(t, j.file)
	tx, err := other.db.Begin()
	require.NoError(t, err)
	again()
	assert.Zero(t, count())
	require.NoError(t, tx.Rollback())
}

// A kitchen file that changed is played again.
func TestPlayedForAnotherKitchen(t *testing.T) {
	shortStretches(t, 2)
	j := newLogBook(t)
	_, err := j.Append(t.Context(), day(t)...)
	require.NoError(t, err)
	_, err = j.OnHand(t.Context(), someKitchen(t), at(2, 0))
	require.NoError(t, err)
	k, faults := kitchen.Read("kitchen.yaml", []byte(braiseShop[:len(braiseShop)-1]+" # changed\n"))
	require.NoError(t, faults.Err())
	want, err := j.OnHand(t.Context(), k, at(2, 0))
	require.NoError(t, err)
	var of string
	require.NoError(t, j.db.QueryRow("SELECT kitchen FROM playing").Scan(&of))
	assert.Equal(t, playedFor(k), of)
	assert.NotEmpty(t, want.Lots)
}

// Shelves are kept of few rows, and always of one not much further back than what is gone on from.
func TestSpared(t *testing.T) {
	for rows := int64(1); rows < 2000; rows++ {
		n := 0
		for row := int64(1); row <= rows; row++ {
			if spared(row, rows) {
				n++
			}
		}
		require.True(t, spared(rows, rows))
		require.LessOrEqual(t, n, 2*bits.Len64(uint64(rows))+1)
		for back := int64(1); back < rows; back *= 2 {
			found := false
			for row := max(1, rows-4*back); row <= rows-back; row++ {
				found = found || spared(row, rows)
			}
			require.True(t, found || rows-4*back < 1, "%d rows, %d back", rows, back)
		}
	}
}
