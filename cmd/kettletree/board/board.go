// Package board shows the answers of kettletree in a browser: on a phone at the counter, on a tablet by the pass.
//
// It computes nothing of its own. A page asks the same functions as the commands and shows their answers. Every page
// is a URL that holds its whole state, so it can be bookmarked, sent, and used without JavaScript; with it, links and
// forms fetch the same URLs and put the new <main> in the place of the old. What a cook writes down goes into the
// log book as text, in the grammar of "kettletree log".
//
// # What is kept
//
// What a page does not take of a URL is dropped, so that what is kept is kept by what matters. Answers are kept, gzipped, by what they
// follow from: the kitchen file and the log book ([state].key), the day or minute, and the URL; so are whole weeks, and pictures,
// which are drawn once and marked for each chosen thing. Of all that, what was asked for last goes last. Of a kitchen file with a mistake, the page says so and shows the last good version. Devices hear of news by
// server-sent events. The log book stays open while somebody asks ([openBook]): what follows a write is asked all at once. How work was
// given to hands, and how a flow was laid out, is kept by the work and by the flow, which most entries leave alone.
//
// # What takes long
//
// Answers go by queues ([queue]), so that a page that is quick to answer never waits behind one that isn't, and nobody behind a
// device that asks and asks: devices take turns. A page goes by the quick queue, whose deadline is short; one that does not meet
// it, asks about many weeks or by a rule that plans is worked out beside the pages, one at a time ([asked.study]), and the page shows
// how far it is. Plan, Specials and Guide have a queue of their own.
//
// # Writing
//
// Texts are written all or none, and nothing is overwritten, for a log book only grows; the number of the last entry that a form
// saw tells what others wrote meanwhile, and a form that is sent twice writes once. What is struck off or lost is written with its
// date, for a weekday would mean another day next week. A device without the network is refused: the kitchen goes on meanwhile, and a
// sale that arrives tomorrow would be booked at a wrong time. A plan is kept beside the kitchen file (keep.go), the very one that the
// page showed.
//
// # Three languages
//
// A page is said in the language of the device (language.go): of ?lang= in the address, else as chosen under More, else as the browser
// asks. In templates, t "%[1]s to buy" .Wanted says a sentence, many n "1 dish" "%[1]s dishes" one for one or several, b puts a part of
// it in bold, $.T is t where a text is handed on; amount, count, weekday, list and called (a name of the kitchen, by "also") are in the
// language by themselves, lang is its tag. Handlers have a.T, a.Many, a.Called, a.Amount, a.Day and so on (speaker.go). The English is
// the key; Spanish and Chinese stand beside it in menu/tongue/board_*.go, a table for each page: whoever adds words adds them there,
// all three, and writes the list for a native cook to review again (go test ./menu/guide -run Glossary -update). What forms send, links
// and the log book stay as the kitchen file has them. A sentence that comes finished, in English, goes through said or sentence, which
// look it up, and mark as English what has no translation. Tests fail for a sentence without translations, and for text that stands in a
// template as it is: testdata/untranslated.txt lists what is still to do, and only shrinks (go test ./cmd/kettletree/board -run
// Untranslated -update).
//
// # Who may do what
//
// A request comes through a [door]: from this machine, or from a device that was paired by a code. See door.go.
package board

// The board: what it is made of, and its way from a request to an answer.

import (
	"context"
	"errors"
	"net/http"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"kettletree/menu"
	"kettletree/menu/clock"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
	"kettletree/menu/plan"
	"kettletree/menu/week"
)

// Frame is how a page frames its question: as it stands in the URL, "" where the URL says nothing, and by its own needs.
type Frame struct {
	From, Days, Rule string
	All              bool   // every card is kept to
	Cards            string // dishes that are kept to their cards, a line each
	Afresh           bool   // what is to come without the plan that is kept: see menu.Options
	FromNow          bool   // what can still be done: see menu.Options
	Standing         bool   // the standing week alone, without the log book and the days that differ
}

// Opened is a kitchen over the days that are asked about.
type Opened struct {
	Week   *week.Week
	Faults kitchen.Diagnostics // warnings, of the kitchen and of what is on hand
	AsOf   []string            // where what is on hand comes from and as of when, and what else the log book says; nil without one

	key string // stands for the week
}

// Refusal is a question or an entry that can't be taken as it is. It is shown to whoever asked.
type Refusal struct {
	Msg, Hint string
	Excerpt   string    // lines that point at the fault, "" for none
	Asks      bool      // what was written only looks wrong: whoever says that it is right may write it
	Status    int       // of the answer, where it is not the question that is at fault; else 0
	Field     string    // of a form that is at fault; "" where it is not one alone
	Sittings  []sitting // to ask about instead
}

// sitting is a service on a day, and the address that asks about it.
type sitting struct{ Date, Service, To string }

func (e *Refusal) Error() string { return e.Msg }

// Config is what the program hands to the board.
type Config struct {
	// Options are those of the command line; what a page asks goes over them. The files are read again as they change.
	menu.Options

	// Clock is the time by the kitchen's clock, held as if it were UTC.
	Clock func() (time.Time, error)
	// Save writes a file whole or not at all.
	Save func(name string, text []byte) error
	// Until is when a wait that begins now ends, for the deadlines of connections.
	Until func(time.Duration) time.Time

	Door Door
}

// files are those that answers rest on.
func (c *Config) files() (list []string) {
	for _, name := range []string{c.Kitchen.Name, c.LogBook, c.OnHand.Name, c.Plan.Name} {
		if name != "" {
			list = append(list, name)
		}
	}
	return list
}

// open opens a kitchen over the days that a frame asks about, as the commands do. A fault in the frame is a [*Refusal].
func (b *Board) open(ctx context.Context, k *kitchen.Kitchen, now time.Time, f Frame) (*Opened, error) {
	o := b.Options
	o.Read, o.Now, o.Afresh, o.FromNow = k, now, f.Afresh, f.FromNow
	if f.Standing {
		o.LogBook, o.Usual = "", true
	}
	if f.All || f.Cards != "" {
		o.Card = week.Card{All: f.All, Dishes: slices.DeleteFunc(strings.Split(f.Cards, "\n"), func(name string) bool { return name == "" })}
	}
	said := map[string]string{"from": f.From, "days": f.Days, "rule": f.Rule}
	err := o.Frame(func(name string) string { return said[name] })
	var w *week.Week
	var faults kitchen.Diagnostics
	open := func(j *logbook.Book) (err error) {
		o.Book = j
		w, faults, err = menu.Open(ctx, o)
		return err
	}
	switch {
	case err != nil:
	case o.OnHand.Name == "" && logbook.Exists(o.LogBook):
		err = b.book.use(ctx, k, open)
	default:
		err = open(nil)
	}
	if option, ok := errors.AsType[*menu.OptionError](err); ok {
		return nil, &Refusal{Msg: option.Msg, Hint: option.Hint}
	}
	if file, ok := errors.AsType[*plan.FileError](err); ok {
		return nil, unreadable(file)
	}
	if err != nil {
		return nil, err
	}
	if w == nil {
		return nil, &Refusal{Msg: "there is a mistake in what is on hand", Excerpt: faults.Error()}
	}
	return &Opened{Week: w, Faults: faults, AsOf: slices.Concat(w.Notes, w.Presumes)}, nil
}

// plainly words an error without saying in which folders the files lie: devices need not know.
func (c *Config) plainly(err error) string { return c.bare(err.Error()) }

// bare is a text without the folders of the files, and of what is written beside them.
func (c *Config) bare(text string) string {
	for _, file := range c.files() {
		real, err := filepath.EvalSymlinks(file)
		for _, name := range []string{file, real} {
			if dir := filepath.Dir(name); name == file || err == nil {
				text = strings.ReplaceAll(text, name, filepath.Base(name))
				if filepath.IsAbs(dir) && dir != filepath.Dir(dir) {
					text = strings.ReplaceAll(text, dir+string(filepath.Separator), "")
				}
			}
		}
	}
	return text
}

// Board serves the pages of one kitchen.
type Board struct {
	Config
	watch    *watch
	book     *openBook
	rosters  clock.Memory
	door     *door
	kept     *cache[*sheet]         // pages, ready to be sent
	opened   *cache[*Opened]        // kitchens over days
	counters *cache[*waiting]       // searches before a counter
	drawn    *cache[[]byte]         // pictures
	stamp    atomic.Pointer[string] // of what was asked last, see dropPast
	holding  held                   // see hold
	sketch   atomic.Pointer[[]byte] // the kitchen file as it was drawn on last
	standing *cache[any]            // answers about weeks as they stand
	once     *receipts
	uploads  uploads
	keeps    sync.Mutex // of those who keep a plan
	files    *assets
	layouts  layouts

	studies *cache[*study] // questions that take long
	quick   *queue         // of answers that are there at once
	slow    *queue         // of pages whose answer takes long
	long    *queue         // of questions that may take minutes
	wrotes  wrotes
	halts   halts
	life    context.Context
}

// Sizes of what is kept. A page is some 10 kB, that of a map 40 kB; a picture is some 200 kB, in a large kitchen ten times as much.
const (
	keptPages, pageBytes       = 512, 8 << 20
	keptPictures, pictureBytes = 64, 4 << 20
	keptWeeks                  = 32
)

// New reads the kitchen and makes its board; what takes long is worked out until ctx ends. The error is of type [kitchen.Diagnostics] when the kitchen file is at fault.
func New(ctx context.Context, c Config) (*Board, error) {
	for _, s := range []*menu.Source{&c.Kitchen, &c.OnHand, &c.Plan} {
		s.Text = nil // read again as they change
	}
	b := &Board{Config: c, kept: newCache[*sheet](keptPages).within(pageBytes, func(s *sheet) int { return len(s.gz) }),
		opened: newCache[*Opened](keptWeeks), counters: newCache[*waiting](keptCounters),
		drawn: newCache[[]byte](keptPictures).within(pictureBytes, func(svg []byte) int { return len(svg) }), standing: newCache[any](mostStanding), studies: newCache[*study](keptStudies), once: newReceipts(), files: newAssets()}
	b.life = clock.Remembering(ctx, &b.rosters)
	b.quick, b.slow, b.long = quickQueue(), slowQueue(), longQueue()
	b.layouts.asset = b.files.url
	b.watch = newWatch(c)
	b.book = b.watch.book
	context.AfterFunc(ctx, b.book.close)
	if err := b.watch.look(ctx); err != nil {
		return nil, err
	}
	if st := b.watch.state(); st.kitchen == nil {
		return nil, st.faults
	}
	var err error
	b.door, err = newDoor(c.Door, c.Clock)
	return b, err
}

// Close ends the work with the log book's file, when nobody asks any more.
func (b *Board) Close() { b.book.close() }

// Watch looks at the files until ctx ends, and tells those who listen what is new.
func (b *Board) Watch(ctx context.Context) { b.watch.run(ctx) }

// route is what the board answers, and who answers it. Read is the path of one that somebody reads in a browser, "" of others.
type route struct {
	pattern string
	handle  http.HandlerFunc
	read    string
}

// routes are all of a board for those who came in.
func (b *Board) routes() (list []route) {
	for _, p := range pages {
		path := p.Path
		if path == "/" {
			path = "/{$}"
		}
		list = append(list, route{"GET " + path, func(w http.ResponseWriter, r *http.Request) { b.page(w, r, p) }, p.Path})
		if p.Prints() {
			list = append(list, route{"GET /print" + p.Path, func(w http.ResponseWriter, r *http.Request) { b.print(w, r, p) }, "/print" + p.Path})
		}
	}
	for from, to := range moved {
		list = append(list, route{pattern: "GET " + from, handle: move(to)})
	}
	for pattern, handle := range map[string]http.HandlerFunc{
		"GET /events":                 b.events,
		"GET /photo/{file...}":        b.photo,
		"POST " + photoPath:           b.keepPhoto,
		"POST " + trialPath:           b.trial,
		"GET /batch-photo/{file}":     b.batchPhoto,
		"POST /write":                 b.post,
		"POST /keep":                  b.keep,
		"POST /stop":                  b.halt,
		"POST /take":                  b.take,
		"POST /devices":               b.takeOut,
		"POST " + amendPage.Path:      b.amending(amendPage, b.amended),
		"POST " + openPage.Path:       b.amending(openPage, b.answer),
		"POST " + drawingPage.Path:    b.amending(drawingPage, b.drawWrite),
		"POST " + amendmentsPage.Path: b.undoAmend,
		"POST " + recipesPage.Path:    b.takeFile(recipesPage),
		"POST " + pricesPage.Path:     b.takeFile(pricesPage),
		"POST " + weighPage.Path:      b.amending(weighPage, b.weighed),
		"POST /language":              b.chooseLanguage,
		"POST /pair":                  b.takeCode,
	} {
		list = append(list, route{pattern: pattern, handle: handle})
	}
	return append(list, route{"GET /pair", b.askCode, "/pair"}) // a device that may look may come to write
}

// Reads are the paths of all pages that somebody reads in a browser.
func Reads() (paths []string) {
	for _, r := range new(Board).routes() {
		if r.read != "" {
			paths = append(paths, r.read)
		}
	}
	return paths
}

// Handler answers requests.
func (b *Board) Handler() http.Handler {
	mux := http.NewServeMux()
	for _, r := range b.routes() {
		mux.HandleFunc(r.pattern, r.handle)
	}
	b.files.routes(mux)
	mux.HandleFunc("/", b.nowhere)
	if b.Door.Trust != nil {
		mux.HandleFunc("GET /certificate", b.authority)
	}

	outside := http.NewServeMux() // what is open to a device that is not paired
	outside.HandleFunc("GET /pair", b.askCode)
	outside.HandleFunc("POST /pair", b.takeCode)
	b.files.routes(outside)
	outside.HandleFunc("GET /{$}", func(w http.ResponseWriter, r *http.Request) { http.Redirect(w, r, "/pair", http.StatusSeeOther) })
	outside.HandleFunc("/", b.stranger)
	if b.Door.Trust != nil {
		outside.HandleFunc("GET /certificate", b.authority)
	}
	return b.guard(mux, outside)
}

// mostBody bounds what a form may send.
const mostBody = 64 << 10

// policy is what a page may do: load what this server has, and nothing that is written into the page itself.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; " +
	"manifest-src 'self'; worker-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

// guard lets in who may come in, and bounds what they send.
func (b *Board) guard(inside, outside http.Handler) http.Handler {
	inside, outside = http.NewCrossOriginProtection().Handler(inside), http.NewCrossOriginProtection().Handler(outside)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		defer func() {
			switch fault := recover(); fault {
			case nil:
			case http.ErrAbortHandler: // said by those who mean to cut the connection
				panic(fault)
			default:
				b.fail(w, r, mishap(fault))
			}
		}()
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		if !b.door.knows(r.Host) {
			http.Error(w, "This board has another name. Open it at the address that kettletree serve printed.",
				http.StatusMisdirectedRequest)
			return
		}
		r.Body = http.MaxBytesReader(w, r.Body, mostOf(r))
		who, ok := b.door.who(r)
		if !ok {
			outside.ServeHTTP(w, r)
			return
		}
		ctx := clock.Remembering(r.Context(), &b.rosters)
		inside.ServeHTTP(w, r.WithContext(context.WithValue(ctx, visitorKey{}, who)))
	})
}

type visitorKey struct{}

// visitorOf is who sent a request that came through the door.
func visitorOf(r *http.Request) visitor {
	who, _ := r.Context().Value(visitorKey{}).(visitor)
	return who
}
