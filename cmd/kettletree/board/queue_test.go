package board

// What takes long does not keep what is quick waiting, nor a device that asks much the others.

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
	"golang.org/x/text/language"

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

// holds takes a turn, and gives it back at the end.
func holds(t *testing.T, q *queue, device string, plain bool) (release func()) {
	t.Helper()
	place, err := q.enter(device, plain)
	require.NoError(t, err)
	<-place.begins
	return func() { q.leave(place) }
}

// While pages by the rule that plans are being worked out, a plain page is answered, and they go one after another; a device that
// asks for more of them than it may is told so, and others are not.
func TestPlainPagesDoNotWaitForPlans(t *testing.T) {
	life, end := context.WithCancel(t.Context())
	b := kettlesBoard(life, t)
	h := b.Handler()
	release := holds(t, b.slow, "another", true) // whatever the machine: one is being worked out already
	ask := func(cookie string, days int) (int, string) {
		d := &device{t: t, board: h, from: "127.0.0.1:1", host: "localhost", cookie: cookie}
		return d.send(http.MethodGet, fmt.Sprintf("/?rule=best&days=%d", days), nil)
	}
	var asking sync.WaitGroup
	for n := range b.slow.mostOf {
		asking.Go(func() {
			status, text := ask("asks", 28+n)
			assert.Equal(t, http.StatusOK, status)
			assert.Contains(t, text, "Working it out")
			assert.Contains(t, text, "Check again")
		})
	}
	asking.Wait()
	status, text := ask("asks", 33)
	assert.Equal(t, http.StatusTooManyRequests, status)
	assert.Contains(t, text, "The board is still working out what this device asked before.")
	status, _ = ask("other", 33)
	assert.Equal(t, http.StatusOK, status)
	require.Equal(t, 6, b.slow.length())
	plain := &device{t: t, board: h, from: "127.0.0.1:2", host: "localhost"}
	status, text = plain.send(http.MethodGet, "/costs", nil)
	assert.Equal(t, http.StatusOK, status)
	assert.Contains(t, text, "red pozole")
	assert.Equal(t, 6, b.slow.length(), "they still wait")
	assert.Zero(t, b.quick.length())
	release()
	end()
	require.Eventually(t, func() bool { return b.slow.length() == 0 }, time.Minute, time.Millisecond, "all of it ends with the board")
}

// Devices take turns, whatever they ask; a question of the board's own goes before one that is made up, and those never have all turns.
func TestWhoseTurnItIs(t *testing.T) {
	q := longQueue()
	place := func(device string, plain bool) *turn {
		p, err := q.enter(device, plain)
		require.NoError(t, err)
		return p
	}
	began := func(p *turn) bool {
		select {
		case <-p.begins:
			return true
		default:
			return false
		}
	}
	var greedy []*turn
	for range q.mostOf {
		greedy = append(greedy, place("greedy", false))
	}
	_, err := q.enter("greedy", true)
	refused, ok := errors.AsType[*Refusal](err)
	require.True(t, ok)
	assert.Equal(t, http.StatusTooManyRequests, refused.Status)
	assert.True(t, began(greedy[0]))
	assert.False(t, began(greedy[1]), "one at a time")

	other := place("other", false)
	assert.False(t, began(other), "a turn is left for the board's own questions")
	honest := place("honest", true)
	assert.True(t, began(honest))
	q.leave(greedy[0])
	assert.True(t, began(other), "devices take turns")
	assert.False(t, began(greedy[1]))
	q.leave(other)
	assert.True(t, began(greedy[1]))
	q.leave(honest)
	assert.False(t, began(greedy[2]))
	q.leave(greedy[3]) // who waits may go
	q.leave(greedy[2])
	q.leave(greedy[1])
	assert.Zero(t, q.length())
	assert.Empty(t, q.served)

	for n := range q.mostOf * devices {
		place(fmt.Sprint(n), false)
	}
	_, err = q.enter("one more", true)
	refused, ok = errors.AsType[*Refusal](err)
	require.True(t, ok)
	assert.Equal(t, http.StatusServiceUnavailable, refused.Status)
}

// A page that turns out to take long leaves the quick queue at its limit, is tried once more beside the pages, and is said to
// stop there at the limit of that queue.
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
			v := &view{asked: &asked{speaker: newSpeaker(language.English, st.kitchen), Kitchen: st.kitchen, Query: slow.pick(map[string][]string{"why": {why}}), Now: time.Date(2026, 11, 24, 14, 5, 0, 0, time.UTC),
				Device: "a device", board: b, page: slow, state: st}, Page: slow}
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
		assert.Equal(t, glance, time.Since(began), "neither is the quick queue tried again, nor is it waited for once more")
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
		assert.Equal(t, int32(2), most.Load(), "one of the quick ones, and one of those that take long")
		end()
		synctest.Wait()
		assert.Zero(t, b.quick.length())
		assert.Zero(t, b.slow.length())
	})
}

// Work that does not heed its limit keeps nobody waiting for it, but its turn.
func TestWorkThatDoesNotStop(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		q := slowQueue()
		stop := make(chan struct{})
		began := time.Now()
		_, err := q.do(t.Context(), "a device", true, func(context.Context) (any, error) { <-stop; return "late", nil })
		require.ErrorIs(t, err, errLate)
		assert.Equal(t, mostThought, time.Since(began))
		ctx, leave := context.WithTimeout(t.Context(), time.Minute)
		defer leave()
		_, err = q.do(ctx, "a device", true, func(context.Context) (any, error) { return "next", nil })
		require.ErrorIs(t, err, context.DeadlineExceeded, "it has no turn")
		close(stop)
		got, err := q.do(t.Context(), "a device", true, func(context.Context) (any, error) { return "next", nil })
		require.NoError(t, err)
		assert.Equal(t, "next", got)
		_, err = q.do(t.Context(), "a device", true, func(context.Context) (any, error) { panic("a fault") })
		require.ErrorContains(t, err, "made a mistake (a fault)")
		assert.Zero(t, q.length())
	})
}

// An answer that is there in time is never lost.
func TestAQuickAnswerIsGiven(t *testing.T) {
	q := quickQueue()
	var asking sync.WaitGroup
	for range 4 {
		asking.Go(func() {
			for n := range 500 {
				got, err := q.do(t.Context(), "a device", true, func(context.Context) (any, error) { return n, nil })
				if !assert.NoError(t, err) || !assert.Equal(t, n, got) {
					return
				}
			}
		})
	}
	asking.Wait()
}
