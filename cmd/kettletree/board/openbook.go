package board

// The log book as the board has it open: to open it and play what is in it takes longer than most questions, and what follows a write
// is asked all at once.

import (
	"context"
	"errors"
	"strings"
	"sync"
	"time"

	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
)

// How long the log book stays open when nobody asks any more, and at most: a program that was stopped leaves nothing beside its file, a
// copy can be put back in its place, and what is damaged on the disk is found.
const (
	stayOpen = time.Second
	mostOpen = time.Minute
)

// openBook lends one open log book to all who ask at the same time.
type openBook struct {
	file string

	mu    sync.Mutex
	now   *lent // nil where it is shut
	ended bool  // it stays open for nobody
	opens int   // how often it was opened
}

// lent is an open log book and who has it.
type lent struct {
	*logbook.Book
	of    *kitchen.Kitchen // whose former names it knows
	sign  string           // of its file: another program may have put another in its place
	since time.Time
	users int
	idle  *time.Timer // runs while nobody has it
}

// use has a question answered by the open log book, of which there must be one.
func (o *openBook) use(ctx context.Context, k *kitchen.Kitchen, ask func(*logbook.Book) error) error {
	l, err := o.take(ctx, k)
	if err != nil {
		return err
	}
	defer o.give(l)
	err = ask(l.Book)
	if _, broken := errors.AsType[*logbook.FileError](err); broken { // who asks next finds it as it lies there
		o.mu.Lock()
		defer o.mu.Unlock()
		if o.now == l {
			o.now = nil
		}
	}
	return err
}

// write is use for what is written; the log book's file is another then by itself.
func (o *openBook) write(ctx context.Context, k *kitchen.Kitchen, ask func(*logbook.Book) error) error {
	return o.use(ctx, k, func(j *logbook.Book) error {
		defer func() {
			o.mu.Lock()
			defer o.mu.Unlock()
			if o.now != nil && o.now.Book == j {
				o.now.sign = o.signs()
			}
		}()
		return ask(j)
	})
}

// signs tell one state of the file from another, with what was written last beside it.
func (o *openBook) signs() string { return sign(o.file) + " " + lastWritten(o.file) }

func (o *openBook) take(ctx context.Context, k *kitchen.Kitchen) (*lent, error) {
	o.mu.Lock()
	defer o.mu.Unlock()
	if l := o.now; l != nil && (l.of != k || l.sign != o.signs() || time.Since(l.since) > mostOpen) {
		o.shut(l)
	}
	if o.now == nil {
		before := sign(o.file)
		j, err := logbook.Open(ctx, o.file)
		if err != nil {
			return nil, err
		}
		signs := o.signs()
		if !strings.HasPrefix(signs, before) && before != noFile { // changed meanwhile: who asks next opens it again
			signs = ""
		}
		j.Know(k)
		o.opens++
		o.now = &lent{Book: j, of: k, sign: signs, since: time.Now()}
	}
	l := o.now
	if l.users++; l.idle != nil {
		l.idle.Stop()
		l.idle = nil
	}
	return l, nil
}

func (o *openBook) give(l *lent) {
	o.mu.Lock()
	defer o.mu.Unlock()
	if l.users--; l.users > 0 {
		return
	}
	if o.now != l {
		_ = l.Close() // what was kept is on the disk
		return
	}
	if o.ended {
		o.shut(l)
		return
	}
	l.idle = time.AfterFunc(stayOpen, func() {
		o.mu.Lock()
		defer o.mu.Unlock()
		if o.now == l && l.users == 0 {
			o.shut(l)
		}
	})
}

// shut lends it to nobody else, and closes it as soon as nobody has it; the lock is held.
func (o *openBook) shut(l *lent) {
	if o.now = nil; l.users == 0 {
		_ = l.Close() // what was kept is on the disk
	}
}

// close shuts it, and whoever still asks shuts it behind them: the board ends.
func (o *openBook) close() {
	o.mu.Lock()
	defer o.mu.Unlock()
	o.ended = true
	if o.now != nil {
		o.shut(o.now)
	}
}
