package board

// What the board rests on, the kitchen file and the log book, and how devices hear that it changed.

import (
	"context"
	"crypto/sha256"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"time"

	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
	"kettletree/menu/taste"
)

// state is what is known of the files at a moment. It never changes.
type state struct {
	kitchen *kitchen.Kitchen    // the last good one; nil when there never was one
	faults  kitchen.Diagnostics // why the newest file can't be used; nil when it can
	trouble string              // why the log book can't be read; "" when it can
	last    int64               // number of the last entry of the log book; 0 for none
	key     string              // stands for all of it: answers with the same key are the same
	apart   string              // stands for all of it but the plan that is kept
	alone   string              // stands for the kitchen file and a list of what is on hand, alone
}

// pace is how often the files are looked at when nobody asks.
const pace = 700 * time.Millisecond

type watch struct {
	c    Config
	book *openBook

	turn  sync.Mutex  // of those that look
	signs string      // of the files when they were last read
	read  string      // sign of the kitchen file when it was last read
	again []time.Time // when they are read again though no sign has changed

	mu      sync.Mutex
	now     *state
	changed chan struct{} // closed when the state changes
}

func newWatch(c Config) *watch {
	return &watch{c: c, book: &openBook{file: c.LogBook}, now: &state{}, changed: make(chan struct{})}
}

func (w *watch) state() *state {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.now
}

// news is the state, and a channel that closes when it is no longer so.
func (w *watch) news() (*state, <-chan struct{}) {
	w.mu.Lock()
	defer w.mu.Unlock()
	return w.now, w.changed
}

func (w *watch) run(ctx context.Context) {
	tick := time.NewTicker(pace)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
			_, _ = caught(ctx, func(ctx context.Context) (none struct{}, err error) { return none, w.look(ctx) }) // what can't be read now is said when somebody asks
		}
	}
}

// noFile is the sign of a file that is not there.
const noFile = "-"

// sign tells one state of a file from another.
func sign(file string) string {
	info, err := os.Stat(file)
	if err != nil {
		return noFile
	}
	return fmt.Sprintf("%d %d", info.Size(), info.ModTime().UnixNano())
}

// signsNow are those of all files, the kitchen file's first.
func (w *watch) signsNow() (signs []string) {
	for _, f := range w.c.files() {
		signs = append(signs, sign(f))
	}
	return append(signs, lastWritten(w.c.LogBook))
}

// lastWritten is the sign of what was written last into a log book and lies beside it. An empty file lies there while it is open.
func lastWritten(logBook string) string {
	if info, err := os.Stat(logBook + "-wal"); err != nil || info.Size() == 0 {
		return noFile
	}
	return sign(logBook + "-wal")
}

// afterChange is when files that changed are read again: an entry is in the file of the log book a moment before it counts, and who looked
// in that moment saw the file changed and the entry not. A slow disk makes the moment long.
var afterChange = []time.Duration{50 * time.Millisecond, time.Second, 5 * time.Second}

// lookAfresh is look, whatever the signs say: this program has just written.
func (w *watch) lookAfresh(ctx context.Context) error {
	w.turn.Lock()
	w.signs = ""
	w.turn.Unlock()
	return w.look(ctx)
}

// look reads what changed since the last time. An error tells that the kitchen file can't be read at all.
func (w *watch) look(ctx context.Context) error {
	w.turn.Lock()
	defer w.turn.Unlock()
	signs := w.signsNow()
	all := strings.Join(signs, ";")
	switch now := time.Now(); {
	case all != w.signs:
		w.again = nil
		for _, later := range afterChange {
			w.again = append(w.again, now.Add(later))
		}
	case len(w.again) > 0 && now.After(w.again[0]):
		w.again = w.again[1:]
	default:
		return nil
	}
	old := w.state()
	st := &state{kitchen: old.kitchen, faults: old.faults}
	if signs[0] != w.read { // most often it is only the log book that has changed
		st.faults = nil
		if err := w.kitchen(st); err != nil {
			return err
		}
		if w.read = signs[0]; st.faults != nil {
			w.read = "" // it may become readable without a trace on it
		}
	}
	w.logBook(context.WithoutCancel(ctx), st) // that who asked goes away is no trouble of the log book
	digest := ""
	if st.kitchen != nil {
		digest = st.kitchen.Digest
	}
	faults := sha256.Sum256([]byte(st.faults.Error()))
	st.alone = fmt.Sprintf("%s %q", digest, sign(w.c.OnHand.Name))
	st.apart = fmt.Sprintf("%s %x %d %q", st.alone, faults[:8], st.last, st.trouble)
	st.key = fmt.Sprintf("%s %q", st.apart, sign(w.c.Plan.Name)+sign(taste.Path(w.c.Kitchen.Name))+sign(taste.PhotoFolder(w.c.LogBook)))
	if w.signs = all; st.trouble != "" {
		w.signs = "" // it may pass without a trace on the files, as when another program held the log book
	}
	if st.key == old.key {
		return nil
	}
	w.mu.Lock()
	w.now = st
	close(w.changed)
	w.changed = make(chan struct{})
	w.mu.Unlock()
	return nil
}

// kitchen reads the kitchen file; what is at fault is said, and the last good one stays.
func (w *watch) kitchen(st *state) error {
	f, err := os.Open(w.c.Kitchen.Name)
	if err == nil {
		var src []byte
		src, err = io.ReadAll(io.LimitReader(f, kitchen.MostBytes+1))
		err = errors.Join(err, f.Close())
		if err == nil {
			k, found := kitchen.Read(filepath.Base(w.c.Kitchen.Name), src) // devices need not know where it lies
			switch {
			case k == nil:
				st.faults = found
			case st.kitchen == nil || st.kitchen.Digest != k.Digest:
				st.kitchen = k
			}
			return nil
		}
	}
	if st.kitchen == nil {
		return err
	}
	st.faults = kitchen.Diagnostics{{Pos: kitchen.Pos{File: filepath.Base(w.c.Kitchen.Name)}, ID: "unreadable", Msg: "the kitchen file can't be read",
		Hint: "put it back where it was; until then, the last good version is shown"}}
	return nil
}

// log book reads the number of the last entry, when there is a log book.
func (w *watch) logBook(ctx context.Context, st *state) {
	if !logbook.Exists(w.c.LogBook) {
		return
	}
	err := w.book.use(ctx, st.kitchen, func(j *logbook.Book) (err error) {
		_, st.last, err = j.Head(ctx)
		return err
	})
	if err != nil {
		st.trouble = w.c.plainly(err)
	}
}

// mark is what a page carries of the state that it shows, to find out whether there is news.
func (st *state) mark() string { return fmt.Sprintf("%x", sha256.Sum256([]byte(st.key)))[:16] }

// Streams of events, of all devices and of one. A browser opens one for each tab that is seen.
const (
	mostStreams = 64
	mostTabs    = 4
	heartbeat   = 20 * time.Second
)

// moment is the kitchen's time, for devices whose own clock is another; "" when it can't be told.
func (b *Board) moment() string {
	now, err := b.Clock()
	if err != nil {
		return ""
	}
	return now.Format("2006-01-02T15:04:05")
}

// events tells a page of every change, until it goes away, the server ends, or it has to make room: then its page says so, and hears
// again by tap.
func (b *Board) events(w http.ResponseWriter, r *http.Request) {
	if foreign(r) {
		http.Error(w, "The board tells its news to its own pages only.", http.StatusForbidden)
		return
	}
	stream := b.door.enter(visitorOf(r).key(r))
	defer b.door.leave(stream)
	to := http.NewResponseController(w)
	h := w.Header()
	h.Set("Content-Type", "text/event-stream")
	h.Set("Cache-Control", "no-store")
	beat := time.NewTicker(heartbeat)
	defer beat.Stop()
	for {
		out := b.door.puttingOut()
		if _, ok := b.door.who(r); !ok {
			return // it asks again, and hears that it has to be paired
		}
		st, changed := b.watch.news()
		text, err := json.Marshal(map[string]any{"mark": st.mark(), "last": st.last, "now": b.moment()})
		if err == nil {
			_ = to.SetWriteDeadline(b.Until(heartbeat))
			_, err = fmt.Fprintf(w, "event: news\ndata: %s\n\n", text)
		}
		if err != nil || to.Flush() != nil {
			return
		}
		for waiting := true; waiting; {
			select {
			case <-r.Context().Done():
				return
			case <-stream.away:
				_ = to.SetWriteDeadline(b.Until(heartbeat))
				_, _ = fmt.Fprint(w, "event: away\ndata:\n\n")
				return
			case <-changed:
				waiting = false
			case <-out:
				waiting = false
			case <-beat.C:
				_ = to.SetWriteDeadline(b.Until(heartbeat))
				if _, err := fmt.Fprint(w, ": still here\n\n"); err != nil || to.Flush() != nil {
					return
				}
			}
		}
	}
}
