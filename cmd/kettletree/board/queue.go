package board

// Queues: how many answers are worked out at once, for how long, and whose turn it is, so that a device that asks and asks keeps
// nobody else waiting. What is there at once has another queue than what isn't, and so never waits behind it.

import (
	"context"
	"errors"
	"net/http"
	"runtime"
	"slices"
	"sync"
	"time"
)

// What an answer may take, by its queue.
const (
	quickThought = 8 * time.Second
	mostThought  = time.Minute
	mostStudied  = 10 * time.Minute
)

// quickDays is how many days a quick page asks about at most.
const quickDays = 5 * 7

// errLate tells that an answer was not there in time.
var errLate = errors.New("the answer takes too long")

// queue gives turns to answers. Those of one device take turns with those of the others. A question as the board itself asks
// it, for the usual days, goes before one that somebody has made up; and those that are made up never have all turns.
type queue struct {
	atOnce   int           // how many have their turn
	ofDevice int           // how many of them are made up by one device
	mostOf   int           // how many of one device may be in the queue
	limit    time.Duration // from when an answer has its turn

	mu      sync.Mutex
	waiting []*turn
	running []*turn
	served  map[string]int // by device that is in the queue: when it had its last turn, counted in turns
	turns   int
}

// devices is how many devices can fill a queue; more may be waiting, with fewer questions each.
const devices = 16

// turn is a place in a queue.
type turn struct {
	device string
	plain  bool
	begins chan struct{} // closed when it has its turn
}

// quickQueue, slowQueue and longQueue are those of pages that are there at once, of pages that aren't, and of studies.
func quickQueue() *queue {
	return &queue{atOnce: 2 * runtime.GOMAXPROCS(0), ofDevice: max(2, runtime.GOMAXPROCS(0)), mostOf: 32, limit: quickThought, served: map[string]int{}}
}
func slowQueue() *queue {
	return &queue{atOnce: 1, ofDevice: 1, mostOf: 4, limit: mostThought, served: map[string]int{}}
}
func longQueue() *queue {
	return &queue{atOnce: 2, ofDevice: 1, mostOf: 4, limit: mostStudied, served: map[string]int{}}
}

// enter takes a place at the end.
func (q *queue) enter(device string, plain bool) (*turn, error) {
	q.mu.Lock()
	defer q.mu.Unlock()
	all, own := 0, 0
	for _, list := range [][]*turn{q.waiting, q.running} {
		for _, t := range list {
			all++
			if t.device == device {
				own++
			}
		}
	}
	if own >= q.mostOf {
		return nil, &Refusal{Status: http.StatusTooManyRequests, Msg: "the board is still working out what this device asked before", Hint: "try again when it has those answers"}
	}
	if all >= q.mostOf*devices {
		return nil, &Refusal{Status: http.StatusServiceUnavailable, Msg: "the board is working out too much already", Hint: "try again in a minute"}
	}
	t := &turn{device, plain, make(chan struct{})}
	q.waiting = append(q.waiting, t)
	q.next()
	return t, nil
}

// do works something out when its turn has come. At the limit it gives up waiting with [errLate]; the work, which is said to
// stop, keeps its turn until it has.
func (q *queue) do(ctx context.Context, device string, plain bool, work func(context.Context) (any, error)) (any, error) {
	t, err := q.enter(device, plain)
	if err != nil {
		return nil, err
	}
	return q.take(ctx, t, work)
}

// take is do for who has a place already.
func (q *queue) take(ctx context.Context, t *turn, work func(context.Context) (any, error)) (any, error) {
	select {
	case <-t.begins:
	case <-ctx.Done():
		q.leave(t)
		return nil, context.Cause(ctx)
	}
	ctx, stop := context.WithTimeoutCause(ctx, q.limit, errLate)
	defer stop()
	type outcome struct {
		answer any
		err    error
	}
	done := make(chan outcome, 1)
	go func() {
		answer, err := caught(ctx, work)
		if err != nil && (errors.Is(err, context.DeadlineExceeded) || errors.Is(context.Cause(ctx), errLate)) {
			err = errLate
		}
		q.leave(t)
		done <- outcome{answer, err}
	}()
	select {
	case o := <-done:
		return o.answer, o.err
	case <-ctx.Done():
		return nil, context.Cause(ctx)
	}
}

// leave gives up a place, wherever it is.
func (q *queue) leave(t *turn) {
	q.mu.Lock()
	defer q.mu.Unlock()
	is := func(other *turn) bool { return other == t }
	q.waiting, q.running = slices.DeleteFunc(q.waiting, is), slices.DeleteFunc(q.running, is)
	of := func(other *turn) bool { return other.device == t.device }
	if !slices.ContainsFunc(q.waiting, of) && !slices.ContainsFunc(q.running, of) {
		delete(q.served, t.device)
	}
	q.next()
}

// next gives turns while there are any; the lock is held.
func (q *queue) next() {
	for len(q.running) < q.atOnce {
		var best *turn
		for _, t := range q.waiting {
			if q.mayRun(t) && (best == nil || t.plain && !best.plain || t.plain == best.plain && q.served[t.device] < q.served[best.device]) {
				best = t
			}
		}
		if best == nil {
			return
		}
		q.turns++
		q.served[best.device] = q.turns
		q.waiting = slices.DeleteFunc(q.waiting, func(t *turn) bool { return t == best })
		q.running = append(q.running, best)
		close(best.begins)
	}
}

// mayRun tells whether a turn that is free is for this one: the board's own questions are few, so they may have all turns.
func (q *queue) mayRun(t *turn) bool {
	own, madeUp := 0, 0
	for _, r := range q.running {
		if r.plain {
			continue
		}
		madeUp++
		if r.device == t.device {
			own++
		}
	}
	return t.plain || own < q.ofDevice && madeUp < max(1, q.atOnce-1)
}

// length is how many are in the queue.
func (q *queue) length() int {
	q.mu.Lock()
	defer q.mu.Unlock()
	return len(q.waiting) + len(q.running)
}
