package board

// Questions that may take long. They are worked out beside the pages, few at a time; a page shows what was found last and how
// far the next answer is.

import (
	"context"
	"errors"
	"fmt"
	"slices"
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
	quick  bool  // it was there within what a page waits for
	last   int64 // number of the last entry of the log book by then
	began  time.Time
	rests  time.Time // until then it is not asked again by itself

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
	glance      = 20 * time.Millisecond   // the same, where it can show what was found before
	keptStudies = 32
	// What is quick to find is asked again by itself, but not all the time: for each second that it took, it rests so many. What was
	// there in a blink rests longer for it, up to a short while, so that a night of entries leaves the processor to the other pages.
	rest      = 4
	blinkRest = 30
	shortRest = 3 * time.Second
)

// rested is how long what took so long rests.
func rested(took time.Duration) time.Duration {
	return max(rest*took, min(blinkRest*took, shortRest))
}

// wrotes are the last entries that devices wrote: what a device is shown must know of them, or say that it does not.
type wrotes struct {
	mu   sync.Mutex
	last map[string]int64
}

// mostWrote is how many devices are remembered.
const mostWrote = 1000

func (w *wrotes) note(device string, entry int64) {
	w.mu.Lock()
	defer w.mu.Unlock()
	if w.last == nil || len(w.last) >= mostWrote {
		w.last = map[string]int64{} // who is forgotten is shown an older plan for a second, which says so
	}
	w.last[device] = entry
}

func (w *wrotes) by(device string) int64 {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.last[device]
}

// study asks a question that may take long, in a queue. A page whose answer may change by itself is not kept. What was found
// before stays until a new answer is asked for, but one that is quick to find is asked for again by itself, now and then, and at once
// when the device has written something since. of tells apart what one page asks.
func (a *asked) study(ctx context.Context, q *queue, of string, ask func(ctx context.Context, say func(string)) (any, error)) (*studied, error) {
	b, key := a.board, a.studyKey()
	st, err := b.studies.get(ctx, a.page.Path+" "+of, func(context.Context) (*study, error) { return &study{}, nil })
	if err != nil {
		return nil, err
	}
	st.mu.Lock()
	found := st.found
	fresh := found != nil && found.key == key
	urgent := found == nil || a.again || found.last < b.wrotes.by(a.Device)
	may := !fresh && st.next == nil && (urgent || found.quick)
	resting := may && !urgent && time.Now().Before(found.rests)
	if may && !resting && (found == nil || a.again || found.quick) {
		place, err := q.enter(a.Device, a.plain())
		if err != nil {
			st.mu.Unlock()
			return nil, err
		}
		f := &finding{key: key, asOf: a.Now, last: a.Last, began: time.Now(), ready: make(chan struct{})}
		st.next = f
		go b.workOut(q, place, st, f, ask)
	}
	next := st.next
	st.mu.Unlock()
	if next != nil && !fresh {
		patience := glance
		if urgent && !a.hurried { // not again for each page that looks how far it is
			patience = max(glance, soon-time.Since(next.began))
		}
		wait := time.NewTimer(patience)
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
	s := &studied{}
	if st.next != nil {
		s.Working, s.Said = true, st.next.said
	}
	if st.found == nil {
		a.passing = true
		return s, nil
	}
	defer func() { a.shows += fmt.Sprintf("%d %t %t %q\n", st.found.began.UnixNano(), s.Working, s.Old, s.Said) }()
	s.Found, s.Old = st.found.answer, st.found.key != key
	s.Working = s.Working || s.Old && resting // its turn comes when it has rested and is asked for
	s.AsOf = measure.FormatMoment(st.found.asOf)
	a.passing = s.Working || s.Old
	return s, st.found.err
}

// plain tells that a page asks for the usual days by the usual rule, and what if nothing.
func (a *asked) plain() bool {
	for _, w := range slices.Concat(frameWords, shockWords()) {
		if w != languageWord && a.Query.Has(w) {
			return false
		}
	}
	return true
}

// studyKey stands for the state that an answer follows from.
func (a *asked) studyKey() string {
	moment := time.DateOnly
	if a.page.EveryMinute {
		moment = logbook.Minutes
	}
	switch {
	case a.page.Standing:
		return a.state.alone + " " + a.Now.Format(time.DateOnly)
	case a.page.Afresh:
		return a.state.apart + " " + a.Now.Format(moment) // keeping what was found makes it no older
	}
	return a.state.key + " " + a.Now.Format(moment)
}

// questionKey stands for the page's whole question, and the language of its answer.
func (a *asked) questionKey() string { return a.tag.String() + " " + a.question().Encode() }

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

// foundBefore is what a study found last, and when that was asked; nil for nothing. It is not studied for that.
func (a *asked) foundBefore(of string) (any, string) {
	st, ok := a.board.studies.peek(a.page.Path + " " + of)
	if !ok {
		return nil, ""
	}
	st.mu.Lock()
	defer st.mu.Unlock()
	if st.found == nil || st.found.err != nil {
		return nil, ""
	}
	return st.found.answer, measure.FormatMoment(st.found.asOf)
}

// workOut finds an answer when its turn has come.
func (b *Board) workOut(q *queue, place *turn, st *study, f *finding, ask func(context.Context, func(string)) (any, error)) {
	began := time.Now()
	answer, err := q.take(b.life, place, func(ctx context.Context) (any, error) {
		return ask(ctx, func(text string) {
			st.mu.Lock()
			defer st.mu.Unlock()
			f.said = text
		})
	})
	took := time.Since(began)
	st.mu.Lock()
	defer st.mu.Unlock()
	f.answer, f.err, f.quick, f.rests = answer, err, took < soon, time.Now().Add(rested(took))
	if st.next = nil; b.life.Err() == nil {
		if errors.Is(err, errLate) {
			f.err = &Refusal{Msg: fmt.Sprintf("no answer within %s", measure.FormatDuration(int(q.limit.Minutes()))),
				Hint: "ask about fewer days, such as ?days=3"}
		}
		st.found = f
	}
	close(f.ready)
}
