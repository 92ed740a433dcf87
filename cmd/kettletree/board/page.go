package board

// Pages: what each answers, what it is given, and how it is made and sent.

import (
	"bytes"
	"cmp"
	"compress/gzip"
	"context"
	"crypto/rand"
	"crypto/sha256"
	"embed"
	"errors"
	"fmt"
	"html/template"
	"io"
	"maps"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"kettletree/cmd/kettletree/show"
	"kettletree/graph/measure"
	"kettletree/menu/ask"
	"kettletree/menu/clock"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
	"kettletree/menu/tongue"
	"kettletree/menu/week"
)

// page is one page of the board. Its template is html/FILE.html and defines "main".
type page struct {
	Path  string // "/map"
	Name  string // "Map"
	File  string // "map"
	Takes []string
	// Shocks tells that the page takes the changes that "whatif" takes, as in ?lose=night+kettle@tue.
	Shocks bool
	// Afresh, FromNow and Standing are what the page needs of its frame, see [Frame].
	Afresh, FromNow, Standing bool
	// Studies tells that Answer itself is quick: what takes long it studies.
	Studies bool
	// EveryMinute tells that the page is to be renewed every minute where it is left open.
	EveryMinute bool
	// Answer asks the question. What it returns is .Answer in the template. A question that can't be taken is a [*Refusal].
	Answer func(ctx context.Context, a *asked) (any, error)
}

// pages in the order in which they are offered. A page adds itself here.
var pages = []*page{todayPage, buyPage, logPage, mapPage, morePage, planPage, specialsPage, costsPage, guidePage, clockPage, tonightPage, weakPage,
	popularityPage, allergensPage, labelsPage, onHandPage, counterPage, forecastPage, yieldsPage, coolingPage, dayPage, tracePage, devicesPage, rescuePage, stockTakePage, tastePage,
	chancePage, whyPage, originsPage, checkPage, amendPage, openPage, amendmentsPage, recipesPage, pricesPage, weighPage, sheetsPage, drawingPage}

// frameWords are the query parameters that frame every page's question.
var frameWords = []string{"from", "days", "rule", "keep-to-the-card", "to-the-card", languageWord}

// againWord is the query parameter that asks for a new answer.
const againWord = "again"

// asked is what a page is asked, and by whom.
type asked struct {
	*Opened
	*speaker
	Kitchen *kitchen.Kitchen
	Query   url.Values // only what the page takes, so that it can be part of a key
	Now     time.Time
	Role    Role
	Device  string  // who asks
	Last    int64   // number of the last entry of the log book
	Form    *filled // what stands in the fields of a form that is shown again; it says nothing where none is

	board *Board
	page  *page
	state *state

	again   bool      // a new answer is asked for
	held    time.Time // the moment from which the page looks ahead, where that is not now
	hurried bool      // the page waits for no study: it has something to show
	passing bool      // the answer may change by itself: it is not kept
	shows   string    // stands for what the page shows of a study meanwhile
	keptAs  string    // the key of the page; "" for one that is not kept
}

// asTyped is a change as a command has it, before what is wrong with it.
var asTyped = regexp.MustCompile(`^--\S+ (?:"[^"]*": )?`)

// shockFault is what is wrong with a change.
func shockFault(err error) string { return asTyped.ReplaceAllString(err.Error(), "") }

// Shocks are the changes in the URL, kind by kind.
func (a *asked) Shocks() (list []week.Shock, err error) {
	for _, k := range week.ShockKinds {
		for _, text := range a.Query[k.Name] {
			s, err := a.Week.Shock(k.Name, text)
			if err != nil {
				return nil, &Refusal{Msg: shockFault(err), Hint: "open the page without this change"}
			}
			list = append(list, s)
		}
	}
	if len(list) > mostShocks {
		return nil, &Refusal{Msg: fmt.Sprintf("%d changes at once: ask about at most %d", len(list), mostShocks)}
	}
	return list, nil
}

const mostShocks = 20

// Minute is now, in minutes after the midnight before day 0 of the week; it may lie before or behind the week.
func (a *asked) Minute() int { return int(a.Now.Sub(a.Week.From).Minutes()) }

// today is the kitchen's day as a day of the week that is asked about, or the first of its days when it is none of them.
func (a *asked) today() int {
	if day := a.Week.Today(a.Now); day > 0 && day < a.Week.Days {
		return day
	}
	return 0
}

// date is the kitchen's day.
func (a *asked) date() string { return a.Kitchen.DayAt(a.Now).Format(time.DateOnly) }

// frame is the frame that the URL asks for.
func (a *asked) frame() Frame {
	return Frame{From: a.Query.Get("from"), Days: a.Query.Get("days"), Rule: a.Query.Get("rule"), Afresh: a.page.Afresh, FromNow: a.page.FromNow, Standing: a.page.Standing,
		All: a.Query.Has("keep-to-the-card"), Cards: strings.Join(a.Query["to-the-card"], "\n")}
}

// Open opens the kitchen over days of the page's own choice.
func (a *asked) Open(ctx context.Context, f Frame) (*Opened, error) {
	key := a.stamp() + fmt.Sprintf("%+v", f) // a day that is under way goes on from now
	if f.Standing {                          // no entry touches it
		key = a.standingStamp() + fmt.Sprintf("%+v", f)
	}
	return a.board.opened.get(ctx, key, func(ctx context.Context) (*Opened, error) {
		opened, err := a.board.open(ctx, a.Kitchen, a.moment(), f)
		if opened != nil {
			opened.key = key
		}
		return opened, err
	})
}

// view is what a template is given.
type view struct {
	*asked
	Page    *page
	Places  []*page             // at the thumb
	Answer  any                 // nil while it is being worked out
	Slow    *studied            // how far it is, where the page is slow to answer; nil for one that is not
	Refused *Refusal            // in place of the answer
	Faults  kitchen.Diagnostics // of the newest kitchen file, while the last good one serves
	Trouble string              // of the log book
	Mark    string              // of the state
	Wrote   []logbook.Line      // what this device has just written down
	RunsOut []runsOut           // by what did not come, of that
	Others  []logbook.Line      // what others wrote meanwhile
	Twice   bool                // the form had come before
	Money   money
	Took    bool // a move of a rescue was taken
}

// Writes tells whether the visitor may write.
func (v *view) Writes() bool { return v.Role == Write }

// Warnings are what is to be known of the kitchen and of what is on hand.
func (v *view) Warnings() kitchen.Diagnostics {
	if v.Opened == nil {
		return nil
	}
	return v.Opened.Faults
}

// Here is the URL of this page, as it was asked for, without what was just written.
func (a *asked) Here() string { return a.URL(a.page.Path) }

// URL is a page with the query of this one, as far as it is changed by pairs: "item", "lard" sets a parameter, "+lose",
// "night kettle@tue" adds a value, "-lose", "night kettle@tue" takes one away, "-lose", "" all of them.
func (a *asked) URL(path string, pairs ...string) string {
	q := url.Values{}
	for _, k := range slices.Concat(frameWords, shockWords(), a.page.Takes) {
		if list, ok := a.Query[k]; ok {
			q[k] = slices.Clone(list)
		}
	}
	for i := 0; i+1 < len(pairs); i += 2 {
		name, value := pairs[i], pairs[i+1]
		switch {
		case strings.HasPrefix(name, "+"):
			if !slices.Contains(q[name[1:]], value) {
				q.Add(name[1:], value)
			}
		case strings.HasPrefix(name, "-") && value == "":
			q.Del(name[1:])
		case strings.HasPrefix(name, "-"):
			q[name[1:]] = slices.DeleteFunc(q[name[1:]], func(x string) bool { return x == value })
		default:
			q.Set(name, value)
		}
	}
	for k, list := range q {
		if len(list) == 0 {
			delete(q, k)
		}
	}
	if len(q) == 0 {
		return path
	}
	return path + "?" + q.Encode()
}

// Rest is the state in the URL but for one parameter, for the hidden fields of a form that asks.
func (v *view) Rest(but string) (list []fact) {
	for _, k := range slices.Sorted(maps.Keys(v.Query)) {
		for _, value := range v.Query[k] {
			if k != but {
				list = append(list, fact{k, value})
			}
		}
	}
	return list
}

// Calm is the URL of this page without the changes that it asks about.
func (v *view) Calm() string {
	var pairs []string
	for _, k := range shockWords() {
		pairs = append(pairs, "-"+k, "")
	}
	return v.URL(v.Page.Path, pairs...)
}

// To is the URL of another page with the frame of this one.
func (v *view) To(p *page) string {
	q := url.Values{}
	for _, k := range frameWords {
		if list, ok := v.Query[k]; ok {
			q[k] = slices.Clone(list)
		}
	}
	if len(q) == 0 {
		return p.Path
	}
	return p.Path + "?" + q.Encode()
}

func shockWords() (words []string) {
	for _, k := range week.ShockKinds {
		words = append(words, k.Name)
	}
	return words
}

// pick is the part of a query that a page takes.
func (p *page) pick(q url.Values) url.Values {
	names := slices.Concat(frameWords, p.Takes, writeWords, []string{againWord})
	if p.Shocks {
		names = append(names, shockWords()...)
	}
	picked := url.Values{}
	for _, n := range names {
		if list, ok := q[n]; ok {
			picked[n] = list
		}
	}
	return picked
}

//go:embed html
var htmlFiles embed.FS

// words are what templates may call, beside what a [speaker] says.
var words = template.FuncMap{
	"capital": capital, "lacks": show.Lacks, "departs": func(d ask.Departure, m money) string { return show.Departs(d, m.Money) }, "canBeHad": show.CanBeHad,
	"clock": show.ClockOf, "number": measure.FormatNumber, "upper": strings.ToUpper,
	"pair":     func(a, b any) struct{ A, B any } { return struct{ A, B any }{a, b} },
	"servings": show.Servings,
	"overdue": func(o clock.Overdue) struct{ Name, Counts string } {
		name, counts := show.Overdue(o)
		return struct{ Name, Counts string }{name, counts}
	},
	"slug": slug, "saidLines": saidLines, "unbroken": tongue.Unbroken,
}

// capital begins a text with a capital letter; one that is HTML stays so.
func capital(text any) any {
	if html, ok := text.(template.HTML); ok {
		return template.HTML(show.Capital(string(html)))
	}
	return show.Capital(fmt.Sprint(text))
}

// sentence makes a message a sentence.
func sentence(text string) string {
	if text == "" || strings.ContainsAny(text[len(text)-1:], ".?!") {
		return show.Capital(text)
	}
	return show.Capital(text) + "."
}

// sheet is a page ready to be sent.
type sheet struct {
	status int
	tag    string
	gz     []byte

	passing bool // not to be kept
}

// packers pack pages: each has a megabyte of its own.
var packers = sync.Pool{New: func() any {
	z, _ := gzip.NewWriterLevel(nil, gzip.BestSpeed) // the level is one that there is
	return z
}}

// newSheet packs a page.
func newSheet(status int, html []byte) *sheet {
	var b bytes.Buffer
	z := packers.Get().(*gzip.Writer)
	z.Reset(&b)
	_, _ = z.Write(html) // a bytes.Buffer doesn't fail
	_ = z.Close()
	packers.Put(z)
	sum := sha256.Sum256(html)
	return &sheet{status: status, tag: fmt.Sprintf("\"%x\"", sum[:8]), gz: b.Bytes()}
}

// send sends a page, or says that the device has it already.
func (s *sheet) send(w http.ResponseWriter, r *http.Request) {
	h := w.Header()
	h.Set("Content-Type", "text/html; charset=utf-8")
	h.Set("Cache-Control", "private, no-cache")
	h.Set("Vary", "Accept-Encoding, Accept-Language, Cookie")
	h.Set("ETag", s.tag)
	if s.status == http.StatusOK && r.Header.Get("If-None-Match") == s.tag {
		w.WriteHeader(http.StatusNotModified)
		return
	}
	if strings.Contains(r.Header.Get("Accept-Encoding"), "gzip") {
		h.Set("Content-Encoding", "gzip")
		h.Set("Content-Length", strconv.Itoa(len(s.gz)))
		w.WriteHeader(s.status)
		_, _ = w.Write(s.gz) // who went away needs no page
		return
	}
	w.WriteHeader(s.status)
	if z, err := gzip.NewReader(bytes.NewReader(s.gz)); err == nil {
		_, _ = io.Copy(w, z)
	}
}

// page answers a request for a page.
func (b *Board) page(w http.ResponseWriter, r *http.Request, p *page) {
	if err := b.watch.look(r.Context()); err != nil {
		b.fail(w, r, err)
		return
	}
	who := visitorOf(r)
	switch {
	case foreign(r):
		if p.Studies || r.URL.RawQuery != "" {
			b.plain(w, r, http.StatusForbidden, "nothing", alone{Head: "Another site led here", To: p.Path + "?" + r.URL.RawQuery, Open: p.Name,
				Says: "The board answers no questions that another site asks. If the question is yours, open it here."})
			return
		}
	case who.Device == "": // so that a form that is sent twice is known again
		b.giveCookie(w, rand.Text())
	}
	a, st, err := b.asked(r, p, r.URL.Query())
	if err != nil {
		b.fail(w, r, err)
		return
	}
	if to := a.dated(r.Context(), r.URL); to != "" {
		http.Redirect(w, r, to, http.StatusFound)
		return
	}
	key := a.stampOf(a.Now) + strings.Join([]string{string(who.Role), a.tag.String(), p.Path, a.Query.Encode(), strconv.FormatBool(a.again)}, "\n")
	if p.Studies && b.wrotes.by(a.Device) == st.last { // who wrote last waits for an answer that knows of it
		key += "\n" + a.Device
	}
	a.keptAs = key
	s, err := b.kept.get(r.Context(), key, func(ctx context.Context) (*sheet, error) { return b.sheet(ctx, p, a, st) })
	if other, ok := errors.AsType[*leads](err); ok {
		http.Redirect(w, r, other.to, http.StatusFound)
		return
	}
	if err != nil {
		b.fail(w, r, err)
		return
	}
	if s.passing {
		b.kept.forget(key)
	}
	s.send(w, r)
}

// asked is what a request asks of a page.
func (b *Board) asked(r *http.Request, p *page, query url.Values) (*asked, *state, error) {
	now, err := b.Clock()
	if err != nil {
		return nil, nil, err
	}
	who, st := visitorOf(r), b.watch.state()
	picked := p.pick(query)
	again := picked.Has(againWord)
	picked.Del(againWord)
	a := &asked{speaker: b.layouts.speaker(languageOf(r), st.kitchen), Kitchen: st.kitchen, Query: picked, again: again, Now: now, Role: who.Role, Device: who.key(r), Last: st.last,
		Form: &filled{}, board: b, page: p, state: st}
	if moment := b.hold(a); p.FromNow {
		a.held = moment
	}
	b.dropPast(a)
	return a, st, nil
}

// hold is the moment from which pages that look ahead from now do so: what was worked out from it does not grow old by the minute, while prices are
// typed. It is held for a quarter of an hour, as long as nothing is written down.
func (b *Board) hold(a *asked) time.Time {
	b.holding.mu.Lock()
	defer b.holding.mu.Unlock()
	h := &b.holding
	if past := a.Now.Sub(h.at); h.state != a.state.key || past < 0 || past >= holdsFor || !a.Kitchen.DayAt(h.at).Equal(a.Kitchen.DayAt(a.Now)) {
		if !a.page.FromNow {
			return time.Time{}
		}
		h.state, h.at = a.state.key, a.Now
	}
	return h.at
}

// holdsFor is how long a moment is held.
const holdsFor = 15 * time.Minute

// held is a moment, and the state of the files at it.
type held struct {
	mu    sync.Mutex
	state string
	at    time.Time
}

// moment is that from which the page looks.
func (a *asked) moment() time.Time {
	if a.held.IsZero() {
		return a.Now
	}
	return a.held
}

// stamp begins the key of what follows from all files at a minute, standingStamp of what follows from the kitchen file on a day.
func (a *asked) stamp() string { return a.stampOf(a.moment()) }
func (a *asked) stampOf(at time.Time) string {
	return a.state.key + " " + at.Format(logbook.Minutes) + "\n"
}
func (a *asked) standingStamp() string {
	return a.state.alone + " " + a.Now.Format(time.DateOnly) + "\n"
}

// dropPast forgets what followed from files as they were, or from a minute that has passed: nobody asks for it any more, and a night of
// entries would fill all the room there is with it.
func (b *Board) dropPast(a *asked) {
	stamp, standing, held := a.stampOf(a.Now), a.standingStamp(), a.stampOf(b.hold(a))
	if last := b.stamp.Swap(&stamp); last != nil && *last == stamp {
		return
	}
	b.kept.only(stamp)
	b.opened.only(stamp, standing, held)
	b.standing.only(stamp, standing)
	b.counters.only(stamp, standing, held)
}

// sheet makes a page.
func (b *Board) sheet(ctx context.Context, p *page, a *asked, st *state) (*sheet, error) {
	ctx, stop := context.WithTimeoutCause(ctx, mostThought, errors.New("the board is busy: try again in a moment"))
	defer stop()
	v := &view{asked: a, Page: p, Places: places, Faults: st.faults, Trouble: st.trouble, Mark: st.mark(), Money: money{show.MoneyOf(a.Kitchen.Money), a.speaker}}
	status := http.StatusOK
	if err := v.answer(ctx); err != nil {
		refused, ok := errors.AsType[*Refusal](err)
		if !ok {
			return nil, err
		}
		status, v.Refused = cmp.Or(refused.Status, http.StatusBadRequest), refused
		a.passing = a.passing || refused.Status != 0
	}
	if err := b.wrote(ctx, v); err != nil {
		return nil, err
	}
	draw := func(context.Context) (*sheet, error) { return b.render(status, p.File, v) }
	if !a.passing || a.shows == "" || a.keptAs == "" || v.Refused != nil {
		s, err := draw(ctx)
		if err != nil {
			return nil, err
		}
		s.passing = a.passing
		return s, nil
	}
	// What a study found last is shown again and again while the next answer is worked out: it is written once.
	s, err := b.kept.get(ctx, a.keptAs+"\n"+a.shows, draw)
	if err != nil {
		return nil, err
	}
	return &sheet{status: s.status, tag: s.tag, gz: s.gz, passing: true}, nil
}

// answer asks the page's question, in the queue that it belongs to.
func (v *view) answer(ctx context.Context) error {
	a, b := v.asked, v.board
	opened, err := b.quick.do(ctx, a.Device, a.plain(), func(ctx context.Context) (any, error) { return a.Open(ctx, a.frame()) })
	if err != nil {
		return err
	}
	a.Opened = opened.(*Opened)
	if v.Page.Studies {
		v.Answer, err = v.Page.Answer(ctx, a)
		return err
	}
	of := a.questionKey()
	if !a.Week.Rule.Plans() && a.Week.Days <= quickDays && !a.slowBefore(of) {
		got, err := b.quick.do(ctx, a.Device, a.plain(), a.whole())
		if !errors.Is(err, errLate) {
			v.take(got)
			return err
		}
	}
	work := a.whole()
	if v.Slow, err = a.study(ctx, b.slow, of, func(ctx context.Context, _ func(string)) (any, error) { return work(ctx) }); err != nil {
		return err
	}
	v.take(v.Slow.Found)
	return nil
}

// whole is a page's answer, with what the page made of the query.
type whole struct {
	answer  any
	query   url.Values
	passing bool
}

// whole is the work of answering the page's question, once. It has the question for itself: an answer that is late may still be
// worked on.
func (a *asked) whole() func(context.Context) (any, error) {
	c := *a
	c.Query = url.Values{}
	for k, list := range a.question() {
		c.Query[k] = slices.Clone(list)
	}
	return func(ctx context.Context) (any, error) {
		answer, err := c.page.Answer(ctx, &c)
		return whole{answer, c.Query, c.passing}, err
	}
}

// take shows an answer, when there is one.
func (v *view) take(found any) {
	w, ok := found.(whole)
	if !ok {
		return
	}
	v.Answer, v.passing = w.answer, v.passing || w.passing
	if own, ok := v.Answer.(interface{ fills() *filled }); ok && len(v.Form.Values) == 0 && own.fills() != nil {
		v.Form = own.fills()
	}
	for _, own := range writeWords {
		if list, ok := v.Query[own]; ok {
			w.query[own] = list
		}
	}
	v.Query = w.query
}

// question is the query without what says how one came here.
func (a *asked) question() url.Values {
	q := maps.Clone(a.Query)
	for _, own := range writeWords {
		q.Del(own)
	}
	return q
}

// render makes a page of its template.
func (b *Board) render(status int, file string, v *view) (*sheet, error) {
	var html bytes.Buffer
	if err := b.layouts.of(v.speaker, file).ExecuteTemplate(&html, "layout", v); err != nil {
		return nil, err
	}
	return newSheet(status, html.Bytes()), nil
}

// plain sends a page that shows nothing of the kitchen.
func (b *Board) plain(w http.ResponseWriter, r *http.Request, status int, file string, what any) {
	var html bytes.Buffer
	if err := b.layouts.of(b.layouts.speaker(languageOf(r), b.watch.state().kitchen), file).ExecuteTemplate(&html, "alone", what); err != nil {
		b.fail(w, r, err)
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.Header().Set("Cache-Control", "no-store")
	w.WriteHeader(status)
	_, _ = w.Write(html.Bytes())
}

// foreign tells that a page of another site has a browser ask, as Fetch Metadata (W3C) has it; a browser that is too old to say so
// says nothing.
func foreign(r *http.Request) bool {
	switch r.Header.Get("Sec-Fetch-Site") {
	case "cross-site", "same-site":
		return true
	}
	return false
}

// alone is what a page that stands alone says.
type alone struct {
	Head, Says string
	To, Open   string // where it leads, and the page there; "" for Today
}

func (b *Board) nowhere(w http.ResponseWriter, r *http.Request) {
	b.plain(w, r, http.StatusNotFound, "nothing", alone{Head: "No such page", Says: "Start with Today."})
}

func (b *Board) stranger(w http.ResponseWriter, r *http.Request) {
	b.plain(w, r, http.StatusForbidden, "nothing", alone{Head: "This device is not paired",
		Says: "Pair it with a code from the computer that runs the board."})
}

// fail tells what went wrong here.
func (b *Board) fail(w http.ResponseWriter, r *http.Request, err error) {
	b.plain(w, r, http.StatusInternalServerError, "nothing", alone{Head: "That can't be answered now", Says: show.Capital(b.plainly(err)) + "."})
}
