package board

// Questions that may take long. They are worked out beside the pages, few at a time; a page shows what was found last and how
// far the next answer is.

import (
	"context"
	"errors"
	"fmt"
	"sync"
	"time"

	"kettletree/graph/measure"
	"kettletree/menu/logbook"
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
	keptStudies = 32
	mostWaiting = 8 // in a lane, those that have their turn among them: a device that asks and asks must not starve the others
)

// study asks a question that may take long, in a lane. A page whose answer may change by itself is not kept. What was found
// before stays until a new answer is asked for, but one that is quick to find is asked for again by itself. of tells apart what
// one page asks.
func (a *asked) study(ctx context.Context, l *lane, of string, ask func(ctx context.Context, say func(string)) (any, error)) (*studied, error) {
	b, key := a.board, a.studyKey()
	st, err := b.studies.get(ctx, a.page.Path+" "+of, func(context.Context) (*study, error) { return &study{}, nil })
	if err != nil {
		return nil, err
	}
	st.mu.Lock()
	fresh := st.found != nil && st.found.key == key
	if !fresh && st.next == nil && (st.found == nil || a.again || st.found.quick) {
		if l.waiting.Add(1) > mostWaiting {
			l.waiting.Add(-1)
			st.mu.Unlock()
			return nil, &Refusal{Msg: "the board is working out too much already", Hint: "try again in a minute"}
		}
		f := &finding{key: key, asOf: a.Now, ready: make(chan struct{})}
		st.next = f
		go b.workOut(l, st, f, ask)
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

// studyKey stands for the state that an answer follows from.
func (a *asked) studyKey() string {
	moment := time.DateOnly
	if a.page.EveryMinute {
		moment = logbook.Minutes
	}
	key := a.key
	if a.page.Anew {
		key = a.apart // keeping what was found makes it no older
	}
	return key + " " + a.Now.Format(moment)
}

// questionKey stands for the page's whole question.
func (a *asked) questionKey() string { return a.question().Encode() }

// slowBefore tells that a page's question is being studied, or was slow to answer the last time.
func (a *asked) slowBefore(of string) bool {
	st, ok := a.board.studies.peek(a.page.Path + " " + of)
	if !ok {
		return false
	}
	st.mu.Lock()
	defer st.mu.Unlock()
	return st.next != nil || st.found != nil && (!st.found.quick || st.found.key == a.studyKey())
}

// workOut finds an answer when its turn has come.
func (b *Board) workOut(l *lane, st *study, f *finding, ask func(context.Context, func(string)) (any, error)) {
	defer l.waiting.Add(-1)
	began := time.AfterFunc(soon, func() {})
	answer, err := l.do(b.life, func(ctx context.Context) (any, error) {
		return ask(ctx, func(text string) {
			st.mu.Lock()
			defer st.mu.Unlock()
			f.said = text
		})
	})
	quick := began.Stop()
	st.mu.Lock()
	defer st.mu.Unlock()
	f.answer, f.err, f.quick = answer, err, quick
	if st.next = nil; b.life.Err() == nil {
		if errors.Is(err, errLate) {
			f.err = &Refusal{Msg: fmt.Sprintf("no answer within %s", measure.FormatDuration(int(l.limit.Minutes()))),
				Hint: "ask about fewer days, such as ?days=3"}
		}
		st.found = f
	}
	close(f.ready)
}
