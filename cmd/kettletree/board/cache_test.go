package board

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Who can wait longer than who asked first is not told of the other's limit.
func TestOthersLimit(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newCache[string](3)
		made := 0
		produce := func(ctx context.Context) (string, error) {
			made++
			select {
			case <-time.After(3 * time.Second):
				return "a picture", nil
			case <-ctx.Done():
				return "", context.Cause(ctx)
			}
		}
		short, leave := context.WithTimeout(t.Context(), 2*time.Second)
		defer leave()
		first := make(chan error, 1)
		go func() {
			_, err := s.get(short, "map", produce)
			first <- err
		}()
		time.Sleep(time.Second) // no one waits for it: the clock is the test's own
		got, err := s.get(t.Context(), "map", produce)
		require.NoError(t, err)
		assert.Equal(t, "a picture", got)
		assert.Equal(t, 2, made)
		require.ErrorIs(t, <-first, context.DeadlineExceeded)
	})
}

// However large values are, they take no more room than they may; one that is too large by itself is given, and not kept.
func TestKeepsSoManyBytes(t *testing.T) {
	s := newCache[[]byte](100).within(1000, func(text []byte) int { return len(text) })
	get := func(key string, size int) {
		got, err := s.get(t.Context(), key, func(context.Context) ([]byte, error) { return make([]byte, size), nil })
		require.NoError(t, err)
		assert.Len(t, got, size)
		s.mu.Lock() // until what was made is counted
		defer s.mu.Unlock()
		held := 0
		for el := s.used.Front(); el != nil; el = el.Next() {
			held += len(el.Value.(*made[[]byte]).value)
		}
		assert.Equal(t, held, s.held)
		assert.LessOrEqual(t, held, 1000)
	}
	for n := range 50 {
		get(fmt.Sprint("picture ", n), 300)
	}
	_, kept := s.peek("picture 47")
	assert.True(t, kept)
	_, kept = s.peek("picture 46")
	assert.False(t, kept)
	get("poster", 1001)
	_, kept = s.peek("poster")
	assert.False(t, kept)
	get("picture 50", 300)
	s.forget("picture 50")
	get("picture 51", 900)
	s.only("page")
	assert.Zero(t, s.held)
	assert.Empty(t, s.at)
}

// What followed from the log book before an entry, or from a minute that has passed, is not kept: a night of entries needs no more room
// than one.
func TestForgetsThePast(t *testing.T) {
	o := openBoard(t, "three-kettles")
	read := func() {
		for _, at := range []string{"/", "/buy", "/log", "/map", "/clock", "/labels", "/?strike=red+pozole", "/?lose=night+kettle@tue", "/costs"} {
			status, page, _ := o.get(at)
			require.Equal(t, 200, status, "%s: %.2000s", at, page)
		}
	}
	read()
	first := [...]int{len(o.board.kept.at), len(o.board.opened.at), len(o.board.standing.at)}
	for n := range 5 {
		status, page := o.write(fmt.Sprintf("received %d kg lard", n+1))
		require.Equal(t, 200, status, page)
		o.now = o.now.Add(time.Minute)
		read()
	}
	now := o.board.watch.state()
	stamps := []string{now.key + " 2026-11-24 14:10\n", now.alone + " 2026-11-24\n"}
	for what, keys := range map[string][]string{"pages": slices.Collect(maps.Keys(o.board.kept.at)), "weeks": slices.Collect(maps.Keys(o.board.opened.at)),
		"answers": slices.Collect(maps.Keys(o.board.standing.at))} {
		for _, key := range keys {
			assert.True(t, slices.ContainsFunc(stamps, func(s string) bool { return strings.HasPrefix(key, s) }), "%s: %q", what, key)
		}
	}
	for n, number := range [...]int{len(o.board.kept.at), len(o.board.opened.at), len(o.board.standing.at)} {
		assert.InDelta(t, first[n], number, 2, "as many are kept as before the first entry")
	}
}
