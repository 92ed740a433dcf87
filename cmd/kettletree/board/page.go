package board

// Pages: what each answers, what it is given, and how it is made and sent.

import (
	"bytes"
	"cmp"
	"context"
	"crypto/rand"
	"embed"
	"errors"
	"fmt"
	"html/template"
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"kettletree/cmd/kettletree/show"
	"kettletree/graph/measure"
	"kettletree/menu/ask"
	"kettletree/menu/clock"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
	"kettletree/menu/tongue"
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
	Rests   []logbook.Part      // what is missing of what came, of that
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
	"slug": slug, "anchor": anchor, "saidLines": saidLines, "unbroken": tongue.Unbroken,
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
	if last, _ := utf8.DecodeLastRuneInString(text); text == "" || strings.ContainsRune(".?!。？！", last) {
		return show.Capital(text)
	}
	return show.Capital(text) + "."
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
