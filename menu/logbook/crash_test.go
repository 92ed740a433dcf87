package logbook

// Programs that are killed while they write, and programs that write at once. The other program is this test binary,
// started again with a log book to write to.

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const (
	writerFile  = "LOGBOOK_TEST_LOGBOOK" // variables that tell this binary to be a writer
	writerCount = "LOGBOOK_TEST_COUNT"
)

// most bounds what a writer writes that nobody stops.
const most = 2000

// whole is an entry of so many parts that a torn one would show.
func whole(n int) Entry {
	e := Entry{Kind: Cooked, Step: "braise", Batches: 1, Text: strconv.Itoa(n), At: at(0, 8), Written: at(0, 8)}
	for i := range 4 {
		e.Takes = append(e.Takes, Amount{Item: fmt.Sprintf("in %d", i), Base: 1, Typed: "1 g"})
		e.Gives = append(e.Gives, Amount{Item: fmt.Sprintf("out %d", i), Base: 1, Typed: "1 g"})
	}
	return e
}

// writer keeps entries, by turns one and three at a time, and says of each which number it got once it is kept.
func writer(file string) {
	ctx := context.Background()
	fmt.Println("begun")
	j, err := Open(ctx, file)
	if err != nil {
		fmt.Println(err)
		os.Exit(1)
	}
	count := most
	if n, err := strconv.Atoi(os.Getenv(writerCount)); err == nil {
		count = n
	}
	for n := 0; n < count; {
		var some []Entry
		for range min(1+2*(n%2), count-n) {
			some = append(some, whole(n))
			n++
		}
		kept, err := j.Append(ctx, some...)
		if err != nil {
			fmt.Println(err)
			os.Exit(1)
		}
		for _, e := range kept {
			fmt.Println(e.ID)
		}
	}
	if err := j.Close(); err != nil {
		fmt.Println(err)
		os.Exit(1)
	}
}

// startWriter starts a writer; what it says comes line by line.
func startWriter(t *testing.T, file string, count int) (*exec.Cmd, *bufio.Scanner) {
	cmd := exec.CommandContext(t.Context(), os.Args[0])
	cmd.Env = append(os.Environ(), writerFile+"="+file, writerCount+"="+strconv.Itoa(count), "GORACE=atexit_sleep_ms=0")
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	return cmd, bufio.NewScanner(out)
}

// A writer that is killed at some dozens of moments loses no entry that it said was kept, and leaves none torn.
func TestKilled(t *testing.T) {
	t.Parallel()
	kills := 30
	if testing.Short() {
		kills = 20
	}
	random := rand.New(rand.NewPCG(1, 2))
	file := filepath.Join(t.TempDir(), "kitchen.logbook")
	kept := map[int64]bool{}
	for range kills {
		if random.IntN(10) == 0 { // a log book that is just being made, too
			require.NoError(t, errors.Join(os.RemoveAll(file), os.RemoveAll(file+"-wal"), os.RemoveAll(file+"-shm")))
			clear(kept)
		}
		cmd, said := startWriter(t, file, most)
		var words []string
		for acks := random.IntN(6); len(words) <= acks && said.Scan(); {
			words = append(words, said.Text())
		}
		for range random.IntN(1 << 18) { // go on for a moment, as long as this takes
		}
		require.NoError(t, cmd.Process.Kill())
		for said.Scan() {
			words = append(words, said.Text())
		}
		_ = cmd.Wait() // it was killed
		for _, w := range words {
			if id, err := strconv.ParseInt(w, 10, 64); err == nil {
				kept[id] = true
			} else {
				require.Equal(t, "begun", w)
			}
		}
		j, err := Open(t.Context(), file)
		require.NoError(t, err)
		entries, err := j.Entries(t.Context())
		require.NoError(t, err)
		require.NoError(t, j.Close())
		there := map[int64]bool{}
		for i, e := range entries {
			there[e.ID] = true
			require.Equal(t, int64(i+1), e.ID, "there is no gap")
			require.Len(t, e.Takes, 4, "entry %d is whole", e.ID)
			require.Len(t, e.Gives, 4, "entry %d is whole", e.ID)
		}
		for id := range kept {
			require.True(t, there[id], "entry %d was said to be kept", id)
		}
	}
	assert.NotEmpty(t, kept)
}

// Two programs, and two goroutines of this one, write at once, to a log book that none has made yet: nothing is lost.
func TestWritersAtOnce(t *testing.T) {
	t.Parallel()
	const each = 40
	file := filepath.Join(t.TempDir(), "kitchen.logbook")
	var all sync.WaitGroup
	var said [2][]string
	for w := range said {
		cmd, lines := startWriter(t, file, each)
		all.Go(func() {
			for lines.Scan() {
				said[w] = append(said[w], lines.Text())
			}
			assert.NoError(t, cmd.Wait(), strings.Join(said[w], " "))
		})
	}
	j, err := Open(t.Context(), file)
	require.NoError(t, err)
	for range 2 {
		all.Go(func() {
			for n := range each {
				_, err := j.Append(t.Context(), whole(n))
				assert.NoError(t, err)
			}
		})
	}
	all.Wait()
	entries, err := j.Entries(t.Context())
	require.NoError(t, err)
	assert.Len(t, entries, 4*each)
	texts := map[string]int{}
	for _, e := range entries {
		require.Len(t, e.Gives, 4)
		texts[e.Text]++
	}
	for n := range each {
		assert.Equal(t, 4, texts[strconv.Itoa(n)], "entry %d of each", n)
	}
	require.NoError(t, j.Close())
}

// One that holds the log book for longer than the others wait keeps them from writing, and they say so.
func TestHeldByAnother(t *testing.T) {
	j := newLogBook(t)
	other := open(t, j.file)
	_, err := other.db.Exec("PRAGMA busy_timeout = 1")
	require.NoError(t, err)
	tx, err := j.db.BeginTx(t.Context(), nil)
	require.NoError(t, err)
	_, err = other.Append(t.Context(), whole(1))
	require.ErrorContains(t, err, "another program has held")
	require.NoError(t, tx.Rollback())
	_, err = other.Append(t.Context(), whole(1))
	require.NoError(t, err)
}
