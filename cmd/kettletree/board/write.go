package board

// Writing: what a cook marks or types goes into the log book, in the grammar of "kettletree log".

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"kettletree/graph/measure"
	"kettletree/menu"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
	"kettletree/menu/plan"
)

// receipts remember what forms have written, so that a form that a bad network sends twice writes once.
type receipts struct {
	mu    sync.Mutex
	kept  map[string]span // by form: what it wrote; zero while it is being written
	order []string
}

const mostReceipts = 2000

// span is a row of entries, from the first to the last; zero for none.
type span struct{ first, last int64 }

// String is "17" or "17-19"; readSpan reads it.
func (s span) String() string {
	if s.first == s.last {
		return strconv.FormatInt(s.first, 10)
	}
	return fmt.Sprintf("%d-%d", s.first, s.last)
}

func readSpan(text string) span {
	from, to, found := strings.Cut(text, "-")
	if !found {
		to = from
	}
	first, err := strconv.ParseInt(from, 10, 64)
	last, err2 := strconv.ParseInt(to, 10, 64)
	if err != nil || err2 != nil || first < 1 || last < first || last-first >= mostEntries {
		return span{}
	}
	return span{first, last}
}

func newReceipts() *receipts { return &receipts{kept: map[string]span{}} }

// begin is false when a form was written before, or is being written; what it wrote is said.
func (r *receipts) begin(form string) (wrote span, fresh bool) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if s, ok := r.kept[form]; ok {
		return s, false
	}
	if len(r.order) == mostReceipts {
		delete(r.kept, r.order[0])
		r.order = r.order[1:]
	}
	r.kept[form], r.order = span{}, append(r.order, form)
	return span{}, true
}

// end tells what a form wrote: nothing, and it may be sent again.
func (r *receipts) end(form string, wrote span) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if wrote != (span{}) {
		r.kept[form] = wrote
		return
	}
	delete(r.kept, form)
	r.order = slices.DeleteFunc(r.order, func(f string) bool { return f == form })
}

// mostEntries bounds what one form writes.
const mostEntries = 300

// post writes down what a form says, all of it or nothing, and leads back to the page it came from. The fields are text
// (any number of entries; those that are empty don't count) or those of one kind of entry (fields.go), at (when it happened; now when
// empty), corrects, seen (the last entry that the page knew), once (what a device calls this one form, however often it sends it with the same in it),
// form (which of a page's forms it is) and back (a page of the board).
func (b *Board) post(w http.ResponseWriter, r *http.Request) {
	if !b.mayWrite(w, r) {
		return
	}
	who, typed := visitorOf(r), filledIn(r.PostForm)
	texts, faults := fielded(b.watch.state().kitchen, r.PostForm)
	if len(faults) > 0 {
		b.showAgain(w, r, &Refusal{Msg: faults[0].Msg, Hint: faults[0].Hint}, faults)
		return
	}
	r.PostForm["text"] = append(r.PostForm["text"], texts...)
	form := strings.Join(append([]string{who.Device, r.PostFormValue("seen"), r.PostFormValue("again"), r.PostFormValue("at"),
		r.PostFormValue("corrects"), r.PostFormValue("sure")}, slices.Concat(r.PostForm["text"], r.PostForm["further"], r.PostForm["elsewhere"])...), "\x00")
	if once := r.PostFormValue("once"); once != "" {
		form = who.key(r) + "\x00" + once + "\x00" + typed // one that says something else is another, though the answer to the first never came
	}
	done, fresh := b.once.begin(form)
	if !fresh && done == (span{}) {
		b.refuse(w, r, http.StatusConflict, &Refusal{Msg: "this is already being written down", Hint: "look at the latest entries"})
		return
	}
	if fresh {
		var err error
		if done, err = b.writeForm(r, form); err != nil {
			refused, ok := errors.AsType[*Refusal](err)
			if !ok {
				b.fail(w, r, err)
				return
			}
			b.showAgain(w, r, refused, []fault{{Field: refused.Field, Msg: refused.Msg, Hint: refused.Hint, Excerpt: refused.Excerpt}})
			return
		}
		_ = b.watch.lookAfresh(r.Context()) // it is written; what can't be read now is said by the page that follows
	}
	path, q := b.back(r)
	q.Set("wrote", done.String())
	if seen, err := strconv.ParseInt(r.PostFormValue("seen"), 10, 64); err == nil && seen >= 0 && seen < done.first-1 {
		q.Set("seen", strconv.FormatInt(seen, 10))
	}
	if !fresh {
		q.Set("twice", "yes")
	}
	if decides(r) {
		q.Set("took", "yes")
	}
	if now, err := b.Clock(); err == nil && (q.Get("on") == "" || q.Get("on") == now.Format(time.DateOnly)) {
		for _, rest := range rests(b.watch.state().kitchen, r.PostForm) {
			q.Add("rest", rest)
		}
	}
	if path == logPage.Path { // the next entry is about something else
		for _, chosen := range []string{"item", "lot", "step", "day"} {
			q.Del(chosen)
		}
	}
	if next := r.PostForm["next"]; len(next) > 0 {
		if q.Del("line"); next[0] != "" {
			q.Set("line", next[0])
		}
	}
	leadTo(w, r, path, q)
}

// ownFields are what a form has beside what was filled in: it may change while it waits to be sent again. So may its time, for one that is sent late asks for it.
var ownFields = []string{"once", "form", "back", "seen", "again", "sure", "choose", "next", "at", "planned-of"}

// filledIn is what was filled into a form, the same for one that is sent again.
func filledIn(form url.Values) string {
	typed := url.Values{}
	for name, values := range form {
		if !slices.Contains(ownFields, name) && !strings.HasSuffix(name, behindElse) && slices.ContainsFunc(values, func(v string) bool { return v != "" }) {
			typed[name] = values
		}
	}
	return typed.Encode()
}

// writeForm writes down what a form says. Whatever becomes of that, the form may be sent again unless it wrote something.
func (b *Board) writeForm(r *http.Request, form string) (done span, err error) {
	defer func() { b.once.end(form, done) }()
	written, err := caught(r.Context(), func(ctx context.Context) ([]logbook.Entry, error) {
		return b.write(ctx, r.PostForm["text"], r.PostFormValue("at"), r.PostFormValue("corrects"), r.PostFormValue("sure") != "",
			func() error { return b.decide(r) })
	})
	if len(written) > 0 {
		done = span{written[0].ID, written[len(written)-1].ID}
		b.wrotes.note(visitorOf(r).key(r), done.last)
	}
	return done, err
}

// back is the page that a form leads to, with its query; Today when it names none of the board's.
func (b *Board) back(r *http.Request) (path string, query url.Values) {
	u, err := url.Parse(r.PostFormValue("back"))
	if err != nil || u.Host != "" || u.Scheme != "" || !slices.ContainsFunc(pages, func(p *page) bool { return p.Path == u.Path }) {
		return "/", url.Values{}
	}
	return u.Path, u.Query()
}

// showAgain shows the page whose form could not be written down, with all that was typed and what is wrong beside its field.
func (b *Board) showAgain(w http.ResponseWriter, r *http.Request, why *Refusal, faults []fault) {
	path, q := b.back(r)
	at := slices.IndexFunc(pages, func(p *page) bool { return p.Path == path })
	if !hasField(r.PostForm) || at < 0 {
		b.refuse(w, r, http.StatusUnprocessableEntity, why)
		return
	}
	for name, field := range map[string]string{"kind": "kind", "corrects": "corrects", "line": "item"} {
		if name == "line" && r.PostForm.Get("missed") != "" {
			field = "missed"
		}
		if value := r.PostForm.Get(field); value != "" && slices.Contains(pages[at].Takes, name) {
			q.Set(name, value)
		}
	}
	if r.PostForm.Get("kind") == string(logbook.Cooked) && slices.Contains(pages[at].Takes, "step") {
		q.Set("step", r.PostForm.Get("step"))
	}
	a, st, err := b.asked(r, pages[at], q)
	if err != nil {
		b.fail(w, r, err)
		return
	}
	a.Form = &filled{Values: r.PostForm, Faults: faults, Asks: why.Asks}
	s, err := b.sheet(r.Context(), pages[at], a, st)
	if err != nil {
		b.fail(w, r, err)
		return
	}
	if s.status != http.StatusOK { // the page itself can't be shown
		b.refuse(w, r, http.StatusUnprocessableEntity, why)
		return
	}
	s.status = http.StatusUnprocessableEntity
	s.send(w, r)
}

// refuse says why nothing was written, and shows what was, so that it can be put right and sent again.
func (b *Board) refuse(w http.ResponseWriter, r *http.Request, status int, why *Refusal) {
	path, q := b.back(r)
	back := path
	if len(q) > 0 {
		back += "?" + q.Encode()
	}
	b.plain(w, r, status, "refused", struct {
		*Refusal
		Texts                          []string
		Back, Seen, At, Corrects, Once string
	}{why, r.PostForm["text"], back, r.PostForm.Get("seen"), r.PostForm.Get("at"), r.PostForm.Get("corrects"), r.PostForm.Get("once")})
}

// write puts entries into the log book, all or none. An entry is a word of the log and what it takes, such as "sold 3 red
// pozole at lunch", or "undo 7".
// Entries that look wrong are asked about, unless whoever writes them is sure. What goes with them is done first, once nothing is wrong
// with them.
func (b *Board) write(ctx context.Context, texts []string, at, corrects string, sure bool, first func() error) ([]logbook.Entry, error) {
	now, err := b.Clock()
	if err != nil {
		return nil, err
	}
	k := b.watch.state().kitchen
	happened := now
	if at != "" {
		if happened, err = moment(at); err != nil {
			return nil, &Refusal{Msg: fmt.Sprintf("%q is not a time", at), Hint: "write it as 2026-11-24 14:05", Field: "at"}
		}
		if happened.After(now) {
			return nil, &Refusal{Msg: happened.Format(logbook.Minutes) + " is in the future", Hint: "write down what has happened; it is now " + now.Format(logbook.Minutes), Field: "at"}
		}
	}
	var entries []logbook.Entry
	for _, text := range texts {
		if text = strings.TrimSpace(text); text == "" {
			continue
		}
		e, err := read(k, text)
		if err != nil {
			return nil, err
		}
		e.Written, e.At = now, happened
		onDay, err := e.SetDay(k, happened)
		if fault, ok := errors.AsType[*logbook.EntryError](err); ok {
			return nil, &Refusal{Msg: fault.Msg, Hint: fault.Hint}
		}
		if e.Kind != logbook.Undone && corrects != "" {
			if e.Corrects, err = entryNumber(corrects); err != nil {
				return nil, err
			}
			if at == "" && !onDay {
				e.At = time.Time{} // that of the other
			}
		}
		entries = append(entries, e)
	}
	if len(entries) == 0 {
		return nil, &Refusal{Msg: "nothing was filled in", Hint: "fill in at least one field, or type what happened on one line"}
	}
	if len(entries) > mostEntries {
		return nil, &Refusal{Msg: fmt.Sprintf("%d entries are too many for one form", len(entries)), Hint: fmt.Sprintf("write down at most %d at once", mostEntries)}
	}
	var written []logbook.Entry
	byPlan, _ := plan.ReadFile(b.Plan.Name) // one that can't be read keeps nobody from writing
	planned := menu.AsPlanned(k, byPlan)
	err = b.book.write(ctx, k, func(j *logbook.Book) (err error) {
		entries, err = j.Settle(ctx, k, planned, entries...)
		for _, e := range entries {
			if err == nil {
				err = misread(string(e.Kind), e.Text, j.CheckLots(ctx, k, e))
			}
		}
		if err == nil && !sure {
			err = doubted(j.Doubts(ctx, k, planned, entries...))
		}
		if err == nil {
			err = first()
		}
		if err == nil { // What has been begun is finished: whoever sent it may be gone before it is on the disk.
			written, err = j.Append(context.WithoutCancel(ctx), entries...)
		}
		return err
	})
	return written, refusal(err)
}

// doubted asks about what looks wrong.
func doubted(doubts []logbook.Doubt, err error) error {
	if err != nil || len(doubts) == 0 {
		return err
	}
	return &Refusal{Msg: "this looks wrong: " + doubts[0].Msg, Hint: doubts[0].Hint, Asks: true}
}

// misread turns a fault in what stands behind the word of an entry into a refusal that points at it.
func misread(word, text string, err error) error {
	fault, ok := errors.AsType[*measure.Error](err)
	if !ok {
		return err
	}
	at := min(fault.At, len(text))
	mark := strings.Repeat(" ", len([]rune(word+" "+text[:at]))) + strings.Repeat("^", max(1, fault.Len))
	return &Refusal{Msg: fault.Msg, Hint: fault.Hint, Excerpt: word + " " + text + "\n" + mark}
}

// undoWord begins an entry that takes another back.
const undoWord = "undo"

// read reads one entry as it is typed.
func read(k *kitchen.Kitchen, text string) (logbook.Entry, error) {
	word, rest, _ := strings.Cut(text, " ")
	if word == undoWord {
		n, err := entryNumber(strings.TrimSpace(rest))
		return logbook.Entry{Kind: logbook.Undone, Corrects: n, Text: fmt.Sprintf("undo %d", n)}, err
	}
	kind, rest, ok := logbook.KindOf(text)
	if !ok {
		var known []string
		for _, k := range logbook.Kinds {
			known = append(known, string(k))
		}
		return logbook.Entry{}, &Refusal{Msg: fmt.Sprintf("%q can't be written down", word), Excerpt: text,
			Hint: "start with one of: " + strings.Join(known, ", ")}
	}
	e, err := logbook.Parse(k, kind, rest)
	return e, misread(string(kind), rest, err)
}

func entryNumber(text string) (int64, error) {
	n, err := strconv.ParseInt(text, 10, 64)
	if err != nil || n < 1 {
		return 0, &Refusal{Msg: fmt.Sprintf("%q is not the number of an entry", text), Hint: "the Log page lists them"}
	}
	return n, nil
}

// refusal turns what the log book says into one.
func refusal(err error) error {
	if e, ok := errors.AsType[*logbook.EntryError](err); ok {
		return &Refusal{Msg: e.Msg, Hint: e.Hint}
	}
	if e, ok := errors.AsType[*logbook.FileError](err); ok {
		return &Refusal{Msg: filepath.Base(e.File) + ": " + e.Msg, Hint: e.Hint} // devices need not know where it lies
	}
	return err
}

// moment reads a time as the log takes it, or as a browser's field for one gives it.
func moment(s string) (time.Time, error) {
	for _, layout := range []string{logbook.Minutes, "2006-01-02T15:04", time.DateOnly} {
		if t, err := time.Parse(layout, s); err == nil {
			return t, nil
		}
	}
	return time.Time{}, errors.New("not a time")
}

// mostTold bounds how many entries of others are said.
const mostTold = 20

// wrote finds what a page tells about entries: those that this device has just written, and those that others wrote
// since it looked.
func (b *Board) wrote(ctx context.Context, v *view) error {
	done := readSpan(v.Query.Get("wrote"))
	seen, err := strconv.ParseInt(v.Query.Get("seen"), 10, 64)
	v.Twice, v.Took = v.Query.Has("twice"), v.Query.Has("took")
	for _, rest := range v.Query["rest"] {
		if words := strings.SplitN(rest, " ", 3); len(words) == 3 {
			if _, err := v.Kitchen.FindItem(words[2]); err == nil {
				v.Rests = append(v.Rests, logbook.Part{Item: words[2], Typed: words[0] + " " + words[1]})
			}
		}
	}
	for _, own := range writeWords {
		v.Query.Del(own)
	}
	if done == (span{}) || done.last > v.Last {
		return nil
	}
	if err != nil || seen < 0 || seen >= done.first {
		seen = done.first - 1
	}
	lines, err := v.entries(ctx, mostEntries+mostTold) // more may have come since the page was asked for
	for _, l := range lines {
		switch {
		case l.Entry >= done.first && l.Entry <= done.last:
			v.Wrote = append(v.Wrote, l)
		case l.Entry > max(seen, done.first-mostTold) && l.Entry < done.first:
			v.Others = append(v.Others, l)
		}
	}
	if err != nil {
		return err
	}
	return v.runOut(ctx)
}

// writeWords are the query parameters by which a form leads back.
var writeWords = []string{"wrote", "seen", "twice", "took", "rest"}

// entries are the latest entries of the log book, in the order of writing, with what is to be said about each. As many as pages commonly
// ask for are read once for all of them.
func (a *asked) entries(ctx context.Context, n int) ([]logbook.Line, error) {
	const common = mostEntries + mostTold
	if n > common {
		return a.board.readEntries(ctx, a.Kitchen, n)
	}
	found, err := a.board.standing.get(ctx, a.stamp()+"entries", func(ctx context.Context) (any, error) { return a.board.readEntries(ctx, a.Kitchen, common) })
	if err != nil {
		return nil, err
	}
	all := found.([]logbook.Line)
	return slices.Clone(all[max(0, len(all)-n):]), nil
}

func (b *Board) readEntries(ctx context.Context, k *kitchen.Kitchen, n int) ([]logbook.Line, error) {
	if !logbook.Exists(b.LogBook) {
		return nil, nil
	}
	now, err := b.Clock()
	if err != nil {
		return nil, err
	}
	byPlan, _ := plan.ReadFile(b.Plan.Name) // one that can't be read keeps nobody from looking
	var lines []logbook.Line
	err = b.book.use(ctx, k, func(j *logbook.Book) error {
		latest, err := j.Latest(ctx, n)
		if err != nil {
			return err
		}
		corrections, err := j.Corrections(ctx)
		if err != nil {
			return err
		}
		stock, err := j.AsTold(ctx, k, menu.AsPlanned(k, byPlan), now)
		lines = logbook.Lines(k, stock, corrections, latest)
		return err
	})
	if err != nil {
		return nil, refusal(err)
	}
	return lines, nil
}
