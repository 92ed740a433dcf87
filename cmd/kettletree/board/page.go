package board

// Pages: what each answers, what it is given, and how it is laid out and sent.

import (
	"bytes"
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
	"slices"
	"strconv"
	"strings"
	"time"

	"kettletree/cmd/kettletree/show"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
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
	// Whole and Standing are what the page needs of its frame, see [Frame].
	Whole, Standing bool
	// EveryMinute tells that the page is to be renewed every minute where it is left open.
	EveryMinute bool
	// Answer asks the question. What it returns is .Answer in the template. A question that can't be taken is a [*Refusal].
	Answer func(ctx context.Context, a *asked) (any, error)
}

// pages in the order in which they are offered. A page adds itself here.
var pages = []*page{todayPage, mapPage, counterPage, planPage, specialsPage, costsPage, logPage, guidePage, clockPage}

// frameWords are the query parameters that frame every page's question.
var frameWords = []string{"from", "days", "rule"}

// asked is what a page is asked, and by whom.
type asked struct {
	*Framed
	Kitchen *kitchen.Kitchen
	Query   url.Values // only what the page takes, so that it can be part of a key
	Now     time.Time
	Role    Role
	Last    int64 // number of the last entry of the log book

	board *Board
	page  *page
	key   string // of the state

	passing bool // the answer may change by itself: it is not kept
}

// Shocks are the changes in the URL, kind by kind.
func (a *asked) Shocks() (list []week.Shock, err error) {
	for _, k := range week.ShockKinds {
		for _, text := range a.Query[k.Name] {
			s, err := a.Week.Shock(k.Name, text)
			if err != nil {
				return nil, &Refusal{Msg: err.Error(), Hint: "open the page without this change"}
			}
			list = append(list, s)
		}
	}
	if len(list) > mostShocks {
		return nil, &Refusal{Msg: fmt.Sprintf("%d changes at once: at most %d can be asked about", len(list), mostShocks)}
	}
	return list, nil
}

const mostShocks = 20

// Minute is now, in minutes after the midnight before day 0 of the week; it may lie before or behind the week.
func (a *asked) Minute() int { return int(a.Now.Sub(a.Week.From).Minutes()) }

// frame is the frame that the URL asks for.
func (a *asked) frame() Frame {
	return Frame{From: a.Query.Get("from"), Days: a.Query.Get("days"), Rule: a.Query.Get("rule"), Whole: a.page.Whole, Standing: a.page.Standing}
}

// Open opens the kitchen over days of the page's own choice.
func (a *asked) Open(ctx context.Context, f Frame) (*Framed, error) {
	key := fmt.Sprintf("%s %s %+v", a.key, a.Now.Format(logbook.Minutes), f) // a day that is under way goes on from now
	return a.board.laid.get(ctx, key, func(ctx context.Context) (*Framed, error) {
		return a.board.Config.open(ctx, a.Kitchen, a.Now, f)
	})
}

// view is what a template is given.
type view struct {
	*asked
	Page    *page
	Pages   []*page
	Answer  any
	Refused *Refusal            // in place of the answer
	Faults  kitchen.Diagnostics // of the newest kitchen file, while the last good one serves
	Trouble string              // of the log book
	Mark    string              // of the state
	Wrote   []logbook.Line      // what this device has just written down
	Others  []logbook.Line      // what others wrote meanwhile
	Twice   bool                // the form had come before
	Money   show.Money
}

// Writes tells whether the visitor may write.
func (v *view) Writes() bool { return v.Role == Write }

// Warnings are what is to be known of the kitchen and of what is on hand.
func (v *view) Warnings() kitchen.Diagnostics {
	if v.Framed == nil {
		return nil
	}
	return v.Framed.Faults
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
		if v.Query.Has(k) {
			q.Set(k, v.Query.Get(k))
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
	names := slices.Concat(frameWords, p.Takes, writeWords)
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

// words are what templates may call.
var words = template.FuncMap{
	"amount": show.Amount, "count": show.Count, "percent": show.Percent, "weekday": show.Weekday, "capital": show.Capital,
	"sentence": sentence, "list": show.List, "chain": show.Chain, "swap": show.SwapText, "doing": show.Doing, "forWhom": show.ForWhom,
	"howMuch": show.HowMuch, "clock": show.ClockOf, "number": measure.FormatNumber, "upper": strings.ToUpper,
	"pair":     func(a, b any) struct{ A, B any } { return struct{ A, B any }{a, b} },
	"shortDay": show.Weekday, "servings": show.Servings, "whenOf": show.WhenOf, "duration": measure.FormatDuration,
	"asset": func(name string) (string, error) { return "", errors.New("the assets name it") },
}

// sentence makes a message a sentence.
func sentence(text string) string {
	if text == "" || strings.ContainsAny(text[len(text)-1:], ".?!") {
		return show.Capital(text)
	}
	return show.Capital(text) + "."
}

// layouts has a template for each page, and for what stands alone.
func layouts(asset func(string) (string, error)) map[string]*template.Template {
	all := map[string]*template.Template{}
	base := template.Must(template.New("").Funcs(words).Funcs(template.FuncMap{"asset": asset}).ParseFS(htmlFiles, "html/layout.html", "html/study.html"))
	names := []string{"pair", "nothing", "refused"}
	for _, p := range pages {
		names = append(names, p.File)
	}
	for _, name := range names {
		all[name] = template.Must(template.Must(base.Clone()).ParseFS(htmlFiles, "html/"+name+".html"))
	}
	return all
}

// sheet is a page ready to be sent.
type sheet struct {
	status int
	tag    string
	gz     []byte

	passing bool // not to be kept
}

// newSheet packs a page.
func newSheet(status int, html []byte) *sheet {
	var b bytes.Buffer
	z, _ := gzip.NewWriterLevel(&b, gzip.BestSpeed) // the level is one that there is
	_, _ = z.Write(html)                            // a bytes.Buffer doesn't fail
	_ = z.Close()
	sum := sha256.Sum256(html)
	return &sheet{status: status, tag: fmt.Sprintf("\"%x\"", sum[:8]), gz: b.Bytes()}
}

// send sends a page, or says that the device has it already.
func (s *sheet) send(w http.ResponseWriter, r *http.Request) {
	h := w.Header()
	h.Set("Content-Type", "text/html; charset=utf-8")
	h.Set("Cache-Control", "private, no-cache")
	h.Set("Vary", "Accept-Encoding, Cookie")
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
		b.fail(w, err)
		return
	}
	who := visitorOf(r)
	if who.Device == "" { // so that a form that is sent twice is known again
		b.giveCookie(w, rand.Text())
	}
	now, err := b.Clock()
	if err != nil {
		b.fail(w, err)
		return
	}
	st := b.watch.state()
	a := &asked{Kitchen: st.kitchen, Query: p.pick(r.URL.Query()), Now: now, Role: who.Role, Last: st.last, board: b, page: p, key: st.key}
	key := strings.Join([]string{st.key, now.Format(logbook.Minutes), string(who.Role), p.Path, a.Query.Encode()}, "\n")
	s, err := b.kept.get(r.Context(), key, func(ctx context.Context) (*sheet, error) { return b.sheet(ctx, p, a, st) })
	if err != nil {
		b.fail(w, err)
		return
	}
	if s.passing {
		b.kept.forget(key)
	}
	s.send(w, r)
}

// mostThought bounds how long an answer may take.
const mostThought = 60 * time.Second

// sheet makes a page.
func (b *Board) sheet(ctx context.Context, p *page, a *asked, st *state) (*sheet, error) {
	ctx, stop := context.WithTimeout(ctx, mostThought)
	defer stop()
	select {
	case b.making <- struct{}{}:
		defer func() { <-b.making }()
	case <-ctx.Done():
		return nil, errors.New("too much is asked at once: ask again")
	}
	v := &view{asked: a, Page: p, Pages: pages, Faults: st.faults, Trouble: st.trouble, Mark: st.mark(), Money: show.MoneyOf(a.Kitchen.Money)}
	framed, err := a.Open(ctx, a.frame())
	if err == nil {
		a.Framed = framed
		v.Answer, err = p.Answer(ctx, a)
	}
	status := http.StatusOK
	if err != nil {
		refused, ok := errors.AsType[*Refusal](err)
		if !ok {
			return nil, err
		}
		status, v.Refused = http.StatusBadRequest, refused
	}
	if err := b.wrote(ctx, v); err != nil {
		return nil, err
	}
	s, err := b.lay(status, p.File, v)
	if err != nil {
		return nil, err
	}
	s.passing = a.passing
	return s, nil
}

// lay lays a page out.
func (b *Board) lay(status int, file string, v *view) (*sheet, error) {
	var html bytes.Buffer
	if err := b.files.layouts[file].ExecuteTemplate(&html, "layout", v); err != nil {
		return nil, err
	}
	return newSheet(status, html.Bytes()), nil
}

// plain sends a page that shows nothing of the kitchen.
func (b *Board) plain(w http.ResponseWriter, status int, file string, what any) {
	var html bytes.Buffer
	if err := b.files.layouts[file].ExecuteTemplate(&html, "alone", what); err != nil {
		b.fail(w, err)
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.Header().Set("Cache-Control", "no-store")
	w.WriteHeader(status)
	_, _ = w.Write(html.Bytes())
}

// alone is what a page that stands alone says.
type alone struct{ Head, Says string }

func (b *Board) nowhere(w http.ResponseWriter, _ *http.Request) {
	b.plain(w, http.StatusNotFound, "nothing", alone{"There is no such page", "Begin with Today."})
}

func (b *Board) stranger(w http.ResponseWriter, _ *http.Request) {
	b.plain(w, http.StatusForbidden, "nothing", alone{"This device is not paired",
		"Pair it with a code that the machine prints which serves the board."})
}

// fail tells what went wrong here.
func (b *Board) fail(w http.ResponseWriter, err error) {
	b.plain(w, http.StatusInternalServerError, "nothing", alone{"This can't be answered now", show.Capital(b.plainly(err)) + "."})
}
