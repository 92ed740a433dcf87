package board

// Lanes: how many answers are worked out at once, and for how long. A page that is quick to answer has another lane than one
// that isn't, and so never waits behind it.

import (
	"context"
	"errors"
	"sync/atomic"
	"time"
)

// lane is the way of answers that take about as long as each other. The others wait for their turn.
type lane struct {
	turn    chan struct{}
	limit   time.Duration // from when it has its turn
	waiting atomic.Int32  // studies that wait for their turn, or have it
}

func newLane(atOnce int, limit time.Duration) *lane {
	return &lane{turn: make(chan struct{}, atOnce), limit: limit}
}

// What an answer may take, by its lane.
const (
	quickThought = 8 * time.Second
	mostThought  = time.Minute
	mostStudied  = 10 * time.Minute
)

// quickDays is how many days a quick page asks about at most.
const quickDays = 5 * 7

// errLate tells that an answer was not there in time.
var errLate = errors.New("the answer takes too long")

// do works something out when its turn has come. At the limit it gives up waiting with [errLate]; the work, which is said to
// stop, keeps its place in the lane until it has.
func (l *lane) do(ctx context.Context, work func(context.Context) (any, error)) (any, error) {
	select {
	case l.turn <- struct{}{}:
	case <-ctx.Done():
		return nil, context.Cause(ctx)
	}
	ctx, stop := context.WithTimeoutCause(ctx, l.limit, errLate)
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
		<-l.turn
		done <- outcome{answer, err}
	}()
	select {
	case o := <-done:
		return o.answer, o.err
	case <-ctx.Done():
		return nil, context.Cause(ctx)
	}
}
