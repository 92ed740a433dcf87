package board

// What takes long does not keep what is quick waiting.

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"sync"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu"
)

// kettlesBoard is the board of the pozole cantina, without a log book.
func kettlesBoard(ctx context.Context, t *testing.T) *Board {
	t.Helper()
	b, err := New(ctx, Config{Options: menu.Options{Kitchen: menu.File("../../../examples/three-kettles/kitchen.yaml")},
		Clock: func() (time.Time, error) { return time.Date(2026, 11, 24, 14, 5, 0, 0, time.UTC), nil }})
	require.NoError(t, err)
	return b
}

// While pages by the rule that plans are being worked out, a plain page is answered, and they go one after another.
func TestPlainPagesDoNotWaitForPlans(t *testing.T) {
	life, end := context.WithCancel(t.Context())
	b := kettlesBoard(life, t)
	h := b.Handler()
	b.slow.turn <- struct{}{} // whatever the machine: one is being worked out already
	var asking sync.WaitGroup
	for days := 28; days <= 32; days++ {
		asking.Go(func() {
			d := &device{t: t, board: h, from: "127.0.0.1:1", host: "localhost"}
			status, text := d.send(http.MethodGet, fmt.Sprintf("/?rule=best&days=%d", days), nil)
			assert.Equal(t, http.StatusOK, status)
			assert.Contains(t, text, "Working it out")
			assert.Contains(t, text, "Check again")
		})
	}
	asking.Wait()
	require.Len(t, b.slow.turn, 1, "one at a time")
	require.Equal(t, int32(5), b.slow.waiting.Load())
	plain := &device{t: t, board: h, from: "127.0.0.1:2", host: "localhost"}
	began := time.Now()
	status, text := plain.send(http.MethodGet, "/costs", nil)
	assert.Equal(t, http.StatusOK, status)
	assert.Contains(t, text, "red pozole")
	assert.Less(t, time.Since(began), 20*time.Second, "alone it takes some hundredths of a second")
	assert.Equal(t, int32(5), b.slow.waiting.Load(), "they still wait")
	assert.Empty(t, b.quick.turn)
	<-b.slow.turn
	end()
	require.Eventually(t, func() bool { return b.slow.waiting.Load() == 0 }, time.Minute, time.Millisecond, "all of it ends with the board")
}

// A page that turns out to take long leaves the quick lane at its limit, is tried once more beside the pages, and is said to
// stop there at the limit of that lane.
func TestAPageThatTakesLong(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		life, end := context.WithCancel(t.Context())
		b := kettlesBoard(life, t)
		var at, most atomic.Int32
		slow := &page{Path: "/costs", Name: "Costs", File: "costs", Takes: []string{"why"}, Answer: func(ctx context.Context, _ *asked) (any, error) {
			if n := at.Add(1); n > most.Load() {
				most.Store(n)
			}
			defer at.Add(-1)
			<-ctx.Done()
			return nil, ctx.Err()
		}}
		open := func(why string) (*view, error) {
			st := b.watch.state()
			v := &view{asked: &asked{Kitchen: st.kitchen, Query: slow.pick(map[string][]string{"why": {why}}), Now: time.Date(2026, 11, 24, 14, 5, 0, 0, time.UTC),
				board: b, page: slow, key: st.key}, Page: slow}
			return v, v.answer(t.Context())
		}
		began := time.Now()
		v, err := open("a")
		require.NoError(t, err)
		assert.Equal(t, &studied{Working: true}, v.Slow)
		assert.Equal(t, quickThought+soon, time.Since(began))
		assert.True(t, v.passing, "the page is not kept")

		began = time.Now()
		v, err = open("a")
		require.NoError(t, err)
		assert.True(t, v.Slow.Working)
		assert.Equal(t, soon, time.Since(began), "the quick lane is not tried again")
		v, err = open("b")
		require.NoError(t, err)
		assert.True(t, v.Slow.Working)

		time.Sleep(2 * mostThought)
		for _, why := range []string{"a", "b"} {
			_, err = open(why)
			refused, ok := errors.AsType[*Refusal](err)
			require.True(t, ok, "%v", err)
			assert.Equal(t, "no answer within 1 min", refused.Msg)
		}
		assert.Equal(t, int32(2), most.Load(), "one in the quick lane, and one of those that take long")
		end()
		synctest.Wait()
		assert.Empty(t, b.quick.turn)
		assert.Empty(t, b.slow.turn)
	})
}

// Work that does not heed its limit keeps nobody waiting for it, but its place in the lane.
func TestWorkThatDoesNotStop(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		l := newLane(1, time.Second)
		stop := make(chan struct{})
		began := time.Now()
		_, err := l.do(t.Context(), func(context.Context) (any, error) { <-stop; return "late", nil })
		require.ErrorIs(t, err, errLate)
		assert.Equal(t, time.Second, time.Since(began))
		ctx, leave := context.WithTimeout(t.Context(), time.Minute)
		defer leave()
		_, err = l.do(ctx, func(context.Context) (any, error) { return "next", nil })
		require.ErrorIs(t, err, context.DeadlineExceeded, "it has no turn")
		close(stop)
		got, err := l.do(t.Context(), func(context.Context) (any, error) { return "next", nil })
		require.NoError(t, err)
		assert.Equal(t, "next", got)
		_, err = l.do(t.Context(), func(context.Context) (any, error) { panic("a fault") })
		require.ErrorContains(t, err, "made a mistake (a fault)")
		assert.Empty(t, l.turn)
	})
}

// An answer that is there in time is never lost.
func TestAQuickAnswerIsGiven(t *testing.T) {
	l := newLane(2, time.Minute)
	var asking sync.WaitGroup
	for range 4 {
		asking.Go(func() {
			for n := range 500 {
				got, err := l.do(t.Context(), func(context.Context) (any, error) { return n, nil })
				if !assert.NoError(t, err) || !assert.Equal(t, n, got) {
					return
				}
			}
		})
	}
	asking.Wait()
}
