package board

// Questions that may take long. They are worked out beside the pages, few at a time, which show what was found last and how far
// the next answer is.

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"time"

	"kettletree/graph/measure"
)

// study is a question with what was found last.
type study struct {
	mu    sync.Mutex
	found *finding // nil when nothing was found yet
	next  *finding // being worked out; nil for none
}

// finding is an answer, or why there is none.
type finding struct {
	key    string // of the state that it follows from
	asOf   time.Time
	answer any
	err    error
	quick  bool // it was there within what a page waits for

	said  string // how far it is; the study's lock is held
	ready chan struct{}
}

// studied is what a page shows of a study.
type studied struct {
	Found   any    // nil when nothing was found yet
	AsOf    string // when that was asked
	Old     bool   // the kitchen or the log book changed since
	Working bool   // a new answer is being worked out
	Said    string // how far it is
}

const (
	soon        = 1500 * time.Millisecond // what a page waits for an answer
	mostStudied = 10 * time.Minute
	keptStudies = 16
	mostAtOnce  = 2 // of what is worked out
	mostWaiting = 8 // to be worked out, those that are among them: a device that asks and asks must not starve the others
)

// study asks a question that may take long. A page whose answer may change by itself is not kept. anew asks for a new answer
// though there is one from before, of tells apart what one page asks; one that is quick to find is asked for anew by itself.
func (a *asked) study(ctx context.Context, of string, anew bool, ask func(ctx context.Context, say func(string)) (any, error)) (*studied, error) {
	b := a.board
	key := a.key + " " + a.Now.Format(time.DateOnly)
	st, err := b.studies.get(ctx, a.page.Path+" "+of+" "+a.frameKey(), func(context.Context) (*study, error) { return &study{}, nil })
	if err != nil {
		return nil, err
	}
	st.mu.Lock()
	fresh := st.found != nil && st.found.key == key
	if !fresh && st.next == nil && (st.found == nil || anew || st.found.quick) {
		if b.waiting.Add(1) > mostWaiting {
			b.waiting.Add(-1)
			st.mu.Unlock()
			return nil, &Refusal{Msg: "too much is being worked out already", Hint: "ask again in a minute"}
		}
		f := &finding{key: key, asOf: a.Now, ready: make(chan struct{})}
		st.next = f
		go b.workOut(st, f, ask)
	}
	next := st.next
	st.mu.Unlock()
	if next != nil && !fresh {
		wait := time.NewTimer(soon)
		defer wait.Stop()
		select {
		case <-next.ready:
		case <-wait.C:
		case <-ctx.Done():
			return nil, context.Cause(ctx)
		}
	}
	st.mu.Lock()
	defer st.mu.Unlock()
	s := &studied{Working: st.next != nil}
	if s.Working {
		s.Said = st.next.said
	}
	if st.found == nil {
		a.passing = true
		return s, nil
	}
	s.Found, s.Old = st.found.answer, st.found.key != key
	s.AsOf = measure.FormatMoment(st.found.asOf)
	a.passing = s.Working || s.Old
	return s, st.found.err
}

// workOut finds an answer when its turn has come.
func (b *Board) workOut(st *study, f *finding, ask func(context.Context, func(string)) (any, error)) {
	defer b.waiting.Add(-1)
	ctx, stop := context.WithTimeout(b.life, mostStudied)
	defer stop()
	began := time.AfterFunc(soon, func() {})
	select {
	case b.turn <- struct{}{}:
		f.answer, f.err = caught(ctx, func(ctx context.Context) (any, error) {
			return ask(ctx, func(text string) {
				st.mu.Lock()
				defer st.mu.Unlock()
				f.said = text
			})
		})
		<-b.turn
	case <-ctx.Done():
		f.err = context.Cause(ctx)
	}
	f.quick = began.Stop()
	st.mu.Lock()
	defer st.mu.Unlock()
	if st.next = nil; b.life.Err() == nil {
		if errors.Is(f.err, context.DeadlineExceeded) {
			f.err = &Refusal{Msg: fmt.Sprintf("nothing was found within %d minutes", int(mostStudied.Minutes())),
				Hint: "ask about fewer days: ?days=3"}
		}
		st.found = f
	}
	close(f.ready)
}
