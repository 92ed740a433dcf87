package board

import (
	"os"
	"path/filepath"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/logbook"
)

// lastOf asks an open log book for the number of its last entry.
func lastOf(t *testing.T, o *openBook) (last int64) {
	t.Helper()
	require.NoError(t, o.use(t.Context(), nil, func(j *logbook.Book) (err error) {
		_, last, err = j.Head(t.Context())
		return err
	}))
	return last
}

// logBookOf is a log book with some entries.
func logBookOf(t *testing.T, file string, entries int) {
	t.Helper()
	j, err := logbook.Open(t.Context(), file)
	require.NoError(t, err)
	for range entries {
		at := moments(t, tuesday)
		_, err = j.Append(t.Context(), logbook.Entry{Kind: logbook.Struck, Dish: "chicken soup", At: at, Written: at, Text: "chicken soup"})
		require.NoError(t, err)
	}
	require.NoError(t, j.Close())
}

// What is written, and all that is asked about it then, opens the log book once.
func TestOneWriteOpensTheLogBookOnce(t *testing.T) {
	o := openBoard(t, "first-pot")
	o.write("sold 1 chicken soup at lunch")
	before := o.board.book.opens
	o.board.book.mu.Lock()
	o.board.book.shut(o.board.book.now)
	o.board.book.mu.Unlock()
	o.write("sold 2 chicken soup at lunch")
	for _, path := range []string{"/", "/buy", "/log", "/map", "/clock", "/costs"} {
		status, _, _ := o.get(path)
		require.Equal(t, 200, status, path)
	}
	assert.Equal(t, before+1, o.board.book.opens)
}

// It is shut soon after nobody asks any more: nothing lies beside its file then.
func TestTheLogBookIsShut(t *testing.T) {
	file := filepath.Join(t.TempDir(), "kitchen.logbook")
	logBookOf(t, file, 1)
	synctest.Test(t, func(t *testing.T) {
		o := &openBook{file: file}
		assert.Equal(t, int64(1), lastOf(t, o))
		time.Sleep(stayOpen / 2)
		assert.Equal(t, int64(1), lastOf(t, o))
		assert.FileExists(t, file+"-wal")
		time.Sleep(stayOpen + time.Millisecond)
		synctest.Wait()
		assert.NoFileExists(t, file+"-wal")
		assert.Equal(t, int64(1), lastOf(t, o))
		assert.Equal(t, 2, o.opens)
		for begun := time.Now(); time.Since(begun) <= mostOpen; time.Sleep(stayOpen / 2) { // somebody asks all the time
			lastOf(t, o)
		}
		lastOf(t, o)
		assert.Equal(t, 3, o.opens)
		o.close()
	})
}

// What another program writes, or puts in its place, is there at once.
func TestAnotherLogBookInItsPlace(t *testing.T) {
	folder := t.TempDir()
	file, other := filepath.Join(folder, "kitchen.logbook"), filepath.Join(folder, "other.logbook")
	logBookOf(t, file, 1)
	logBookOf(t, other, 5)
	o := &openBook{file: file}
	assert.Equal(t, int64(1), lastOf(t, o))
	logBookOf(t, file, 2)
	assert.Equal(t, int64(3), lastOf(t, o))
	require.NoError(t, os.Rename(other, file))
	assert.Equal(t, int64(5), lastOf(t, o))
	o.close()
}

// Who could not read it does not keep others from finding it as it lies there.
func TestABrokenLogBookIsOpenedAgain(t *testing.T) {
	file := filepath.Join(t.TempDir(), "kitchen.logbook")
	logBookOf(t, file, 1)
	o := &openBook{file: file}
	broken := &logbook.FileError{Msg: "the disk is gone"}
	assert.ErrorIs(t, o.use(t.Context(), nil, func(*logbook.Book) error { return broken }), broken)
	assert.Equal(t, int64(1), lastOf(t, o))
	assert.Equal(t, 2, o.opens)
	o.close()
	assert.NoFileExists(t, file+"-wal")
	assert.Equal(t, int64(1), lastOf(t, o))
	assert.NoFileExists(t, file+"-wal", "who asks when the board has ended leaves nothing behind")
}
