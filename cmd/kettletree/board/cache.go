package board

// What was answered before, kept while there is room.

import (
	"container/list"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"
	"time"
)

// cache keeps at most so many values by key, and where their size is known no more bytes than it may; the one that was asked for
// longest ago goes first. Who asks for a value that is being made waits for it.
type cache[V any] struct {
	room  int
	bytes int         // that values may take together
	size  func(V) int // of a value; nil where only their number is bound

	mu   sync.Mutex
	at   map[string]*list.Element
	used *list.List // of *made[V], the last used first
	held int        // bytes
}

type made[V any] struct {
	key   string
	ready chan struct{} // closed when it is made
	value V
	err   error
	size  int // that it counts; 0 while it is being made
}

func newCache[V any](room int) *cache[V] {
	return &cache[V]{room: room, at: map[string]*list.Element{}, used: list.New()}
}

// within has values take no more than so many bytes.
func (s *cache[V]) within(bytes int, size func(V) int) *cache[V] {
	s.bytes, s.size = bytes, size
	return s
}

// get is the value with a key, made when it isn't there. Errors are not kept. It is made to the end even when who asked
// first goes away, for others may be waiting, but no longer than who asked first could have waited; who can wait longer then has
// it made once more.
func (s *cache[V]) get(ctx context.Context, key string, produce func(context.Context) (V, error)) (V, error) {
	for {
		value, err := s.once(ctx, key, produce)
		last, limited := ctx.Deadline()
		if !errors.Is(err, context.DeadlineExceeded) || ctx.Err() != nil || limited && !time.Now().Before(last) {
			return value, err
		}
	}
}

// once is get, as far as one making goes.
func (s *cache[V]) once(ctx context.Context, key string, produce func(context.Context) (V, error)) (V, error) {
	s.mu.Lock()
	el, ok := s.at[key]
	if ok {
		s.used.MoveToFront(el)
	} else {
		j := &made[V]{key: key, ready: make(chan struct{})}
		el = s.used.PushFront(j)
		s.at[key] = el
		for s.used.Len() > s.room {
			s.drop(s.used.Back())
		}
		go func() {
			defer close(j.ready)
			own := context.WithoutCancel(ctx)
			if last, ok := ctx.Deadline(); ok {
				var stop context.CancelFunc
				own, stop = context.WithDeadline(own, last)
				defer stop()
			}
			j.value, j.err = caught(own, produce)
			s.mu.Lock()
			defer s.mu.Unlock()
			switch {
			case s.at[key] != el: // it went meanwhile
			case j.err != nil:
				s.drop(el)
			case s.size != nil:
				j.size = s.size(j.value)
				for s.held += j.size; s.held > s.bytes; {
					s.drop(s.used.Back())
				}
			}
		}()
	}
	s.mu.Unlock()
	j := el.Value.(*made[V])
	select {
	case <-j.ready:
		return j.value, j.err
	case <-ctx.Done():
		var none V
		return none, context.Cause(ctx)
	}
}

// caught produces a value; a panic becomes an error. net/http does so only in its own goroutine, and there it cuts the connection:
// elsewhere it would end the board for all who use it.
func caught[V any](ctx context.Context, produce func(context.Context) (V, error)) (value V, err error) {
	defer func() {
		if fault := recover(); fault != nil {
			err = mishap(fault)
		}
	}()
	return produce(ctx)
}

// mishap words a panic.
func mishap(fault any) error {
	return fmt.Errorf("the program made a mistake (%v); what was written down before stands, and the Log page shows it", fault)
}

// drop takes a value off; the lock is held.
func (s *cache[V]) drop(el *list.Element) {
	j := el.Value.(*made[V])
	s.used.Remove(el)
	delete(s.at, j.key)
	s.held -= j.size
}

// only takes off what has none of these beginnings of a key: it will not be asked for any more.
func (s *cache[V]) only(beginnings ...string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for key, el := range s.at {
		if !slices.ContainsFunc(beginnings, func(b string) bool { return strings.HasPrefix(key, b) }) {
			s.drop(el)
		}
	}
}

// forget takes a value off that is not to be kept.
func (s *cache[V]) forget(key string) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if el, ok := s.at[key]; ok {
		s.drop(el)
	}
}

// peek is the value with a key, if it is there already.
func (s *cache[V]) peek(key string) (value V, ok bool) {
	s.mu.Lock()
	el, ok := s.at[key]
	s.mu.Unlock()
	if !ok {
		return value, false
	}
	j := el.Value.(*made[V])
	select {
	case <-j.ready:
		return j.value, j.err == nil
	default:
		return value, false
	}
}
