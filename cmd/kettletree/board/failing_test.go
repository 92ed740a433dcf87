package board

// Handlers that fail: they close what they opened, leave the form free to be sent again, and say so.

import (
	"context"
	"errors"
	"net/http"
	"net/url"
	"os"
	"runtime"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// handles counts what this process has open; -1 where the system does not say.
func handles(t *testing.T) int {
	t.Helper()
	if runtime.GOOS != "linux" {
		return -1
	}
	list, err := os.ReadDir("/proc/self/fd")
	require.NoError(t, err)
	return len(list)
}

// withoutVessels breaks the kitchen of a board as no file can: whoever asks for a vessel of it panics, which a batch that is lit does
// when the log book is open already. It gives a way back.
func (o *served) withoutVessels() (back func()) {
	w := o.board.watch
	w.mu.Lock()
	defer w.mu.Unlock()
	was := w.now
	broken, st := *was.kitchen, *was
	broken.Vessels, st.kitchen = nil, &broken
	w.now = &st
	return func() {
		w.mu.Lock()
		defer w.mu.Unlock()
		w.now = was
	}
}

// 130 forms whose handler panicked once ended a board: each left two files open, and got "already being written down" for ever.
func TestBoardFailingWritesLeaveNothingOpen(t *testing.T) {
	o := openBoard(t, "three-kettles")
	_, _ = o.write("counted 3 kg lard")
	form := url.Values{"text": {"lit night kettle of mon: 12 kg pork trotters, 70 L water"}, "seen": {"1"}}
	back := o.withoutVessels()
	before := handles(t)
	for range 50 {
		w := o.ask(http.MethodPost, "/write", form, nil)
		require.Equal(t, http.StatusInternalServerError, w.Code)
		says(t, w.Body.String(), "The program made a mistake (")
		says(t, w.Body.String(), "what was written down before stands")
	}
	assert.LessOrEqual(t, handles(t), before+5)
	back()
	assert.Len(t, o.logged(), 1)
	status, _, _ := o.send(http.MethodPost, "/write", form, nil) // the very same form
	assert.Equal(t, http.StatusOK, status)
	assert.Len(t, o.logged(), 2)
}

// Whatever fails, and wherever, a sentence answers.
func TestBoardFailingHandlersAnswer(t *testing.T) {
	o := openBoard(t, "first-pot")
	_, _ = o.write("counted 3 each chicken")
	plan := url.Values{"do": {"keep"}, "back": {"/plan"}}
	clock := o.board.Clock
	before := handles(t)
	for n := range 200 {
		o.board.Clock = func() (time.Time, error) { panic("the clock has stopped") }
		if n%2 == 0 {
			o.board.Clock = func() (time.Time, error) { return time.Time{}, errors.New("the clock has stopped") }
		}
		for path, form := range map[string]url.Values{"/": nil, "/log": nil, "/write": {"text": {"counted 4 each chicken"}}, "/keep": plan, "/pair": {"code": {"x"}}} {
			method := http.MethodGet
			if form != nil {
				method = http.MethodPost
			}
			w := o.ask(method, path, form, nil)
			require.Equal(t, http.StatusInternalServerError, w.Code, path)
			require.Contains(t, w.Body.String(), "clock has stopped", path)
		}
	}
	assert.LessOrEqual(t, handles(t), before+5)
	o.board.Clock = clock
	status, _ := o.write("counted 4 each chicken")
	assert.Equal(t, http.StatusOK, status)
	assert.Equal(t, http.StatusConflict, o.ask(http.MethodPost, "/keep", plan, nil).Code) // no lock is left behind
}

// A form that panics while it is written may be sent again.
func TestReceiptsAreFreedByAPanic(t *testing.T) {
	once := newReceipts()
	for range 3 {
		_, fresh := once.begin("form")
		require.True(t, fresh)
		_, err := caught(t.Context(), func(context.Context) (int, error) {
			defer once.end("form", span{})
			panic("x")
		})
		assert.ErrorContains(t, err, "made a mistake (x)")
	}
}
