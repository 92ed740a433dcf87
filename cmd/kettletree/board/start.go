package board

// A folder without a kitchen file: three pages ask what the first one needs, and the board opens on it.

import (
	"bytes"
	"cmp"
	"context"
	"embed"
	"errors"
	"fmt"
	"html/template"
	"net"
	"net/http"
	"net/url"
	"os"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"kettletree/graph/draw"
	"kettletree/graph/measure"
	"kettletree/menu"
	"kettletree/menu/ask"
	"kettletree/menu/kitchen"
)

//go:embed starting
var startingFiles embed.FS

// Starting asks for a kitchen, writes it, and is its board from then on. What is typed is held by the pages alone, each of which carries all of it:
// no device sees another's, and a program that was closed meanwhile loses nothing.
type Starting struct {
	File  string // of the kitchen, which is not there yet
	Clock func() (time.Time, error)
	Save  func(name string, text []byte) error
	Open  func() (http.Handler, error) // the board of the file, once it is written

	mu     sync.Mutex
	text   []byte       // of the file, once it is written
	after  string       // the page that it led to
	next   http.Handler // the board; nil until the file is written
	files  *assets
	layout *template.Template
}

// usualRows are those that a page has at first.
const usualRows = 4

// Handler answers requests from this machine.
func (s *Starting) Handler() http.Handler {
	s.files = newAssets()
	s.layout = template.Must(template.New("start.html").Funcs(template.FuncMap{"inc": func(n int) int { return n + 1 }}).
		ParseFS(startingFiles, "starting/start.html"))
	mux := http.NewServeMux()
	mux.HandleFunc("GET /{$}", func(w http.ResponseWriter, r *http.Request) {
		http.Redirect(w, r, "/start?screen=1", http.StatusSeeOther)
	})
	mux.HandleFunc("GET /start", func(w http.ResponseWriter, r *http.Request) {
		if screen, ok := s.screenOf(w, r); ok {
			s.show(w, r, screen, kitchen.Starter{}, nil)
		}
	})
	mux.HandleFunc("POST /start", s.take)
	mux.HandleFunc("/", func(w http.ResponseWriter, r *http.Request) {
		s.refuse(w, r, http.StatusNotFound, "There is no page \"%[1]s\": a kitchen is begun on pages 1 to %[2]s.", r.URL.Path, strconv.Itoa(lastScreen))
	})
	mux.HandleFunc("GET /start/flow.svg", s.flow)
	s.files.routes(mux)
	inside := http.NewCrossOriginProtection().Handler(mux)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		s.mu.Lock()
		next := s.next
		s.mu.Unlock()
		if next != nil && r.URL.Path == "/start" && r.Method == http.MethodGet {
			http.Redirect(w, r, "/", http.StatusSeeOther)
			return
		}
		if next != nil && r.URL.Path != "/start" { // another device may still be typing
			next.ServeHTTP(w, r)
			return
		}
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Cache-Control", "private, no-cache") // the browser's way back shows what was typed
		host, _, err := net.SplitHostPort(r.Host)
		if err != nil {
			host = r.Host
		}
		if ip := net.ParseIP(host); host != "localhost" && (ip == nil || !ip.IsLoopback()) {
			s.refuse(w, r, http.StatusForbidden, "The kitchen is begun at this machine, by the name localhost.")
			return
		}
		r.Body = http.MaxBytesReader(w, r.Body, mostBody)
		inside.ServeHTTP(w, r)
	})
}

// lastScreen is the page that writes the file.
const lastScreen = 3

// refuse says what can't be done, with the way to the first page.
func (s *Starting) refuse(w http.ResponseWriter, r *http.Request, status int, says string, args ...any) {
	v := newSpeaker(languageOf(r), nil)
	s.put(w, status, startPage{speaker: v, Says: v.T(says, args...)})
}

// screenOf is the page that an address asks for, or says that there is none.
func (s *Starting) screenOf(w http.ResponseWriter, r *http.Request) (screen int, ok bool) {
	asked := r.URL.Query().Get("screen")
	screen, err := strconv.Atoi(asked)
	if err != nil || screen < 1 || screen > lastScreen {
		s.refuse(w, r, http.StatusNotFound, "There is no page \"%[1]s\": a kitchen is begun on pages 1 to %[2]s.", asked, strconv.Itoa(lastScreen))
		return 0, false
	}
	return screen, true
}

// startPage is a page as its template sees it.
type startPage struct {
	*speaker
	Screen           int
	S                kitchen.Starter
	In               []kitchen.StartIn
	Out              []kitchen.StartOut
	Sold             []kitchen.StartDish
	Kept             []startField // the answers of the other pages
	Drawn            string       // the address of the pot as it was described; "" where there is nothing to draw
	Begun            bool         // by somebody else, meanwhile
	Fault, Hint      string
	Says             string // in place of a page: what can't be done
	wrong            string
	Icon, Style, Own string
}

// startField is one thing that is asked.
type startField struct {
	Name, Asks, Value, Like string
	Wrong                   bool
}

// Field is one thing that is asked, marked where what was typed can't be understood.
func (p startPage) Field(name, asks, value, like string) startField {
	return startField{name, p.T(asks), value, p.T(like), name == p.wrong}
}

// errBegun is what is wrong with a page where the kitchen file is there by now.
var errBegun = errors.New("the kitchen has been begun meanwhile")

// show gives a page, with what was told so far and what is wrong in it.
func (s *Starting) show(w http.ResponseWriter, r *http.Request, screen int, told kitchen.Starter, fault error) {
	p := startPage{speaker: newSpeaker(languageOf(r), nil), Screen: screen, S: told, In: padded(told.In, usualRows), Out: padded(told.Out, usualRows), Sold: padded(told.Sold, usualRows-1)}
	for at := 1; at <= lastScreen; at++ {
		if at != screen {
			p.Kept = append(p.Kept, answersOn(at, told)...)
		}
	}
	if len(untilEmpty(told.In)) > 0 && len(untilEmpty(told.Out)) > 0 {
		pot := url.Values{}
		for _, f := range append(answersOn(1, told), answersOn(2, told)...) {
			pot.Set(f.Name, f.Value)
		}
		p.Drawn = "/start/flow.svg?" + pot.Encode()
	}
	status := http.StatusOK
	switch {
	case fault == errBegun:
		status, p.Begun = http.StatusConflict, true
		p.Fault = p.T("The kitchen has been begun meanwhile, on another device or by hand. Nothing was written over it; what you typed stands below.")
	case fault != nil:
		status = http.StatusBadRequest
		p.Fault = fault.Error()
		if e, ok := errors.AsType[*kitchen.StarterError](fault); ok {
			p.Hint, p.wrong = e.Hint, e.Field
			p.Fault = e.Msg
		} else if found, ok := errors.AsType[kitchen.Diagnostics](fault); ok {
			p.Fault, p.Hint = found[0].Msg, found[0].Hint
		}
		p.Fault, p.Hint = sentence(p.Phrase(p.Fault)), sentence(p.Phrase(p.Hint))
	}
	s.put(w, status, p)
}

func (s *Starting) put(w http.ResponseWriter, status int, p startPage) {
	p.Icon, _ = s.files.url("icon.svg")
	p.Style, _ = s.files.url("board.css")
	p.Own, _ = s.files.url("start.css")
	var page bytes.Buffer
	if err := s.layout.Execute(&page, p); err != nil {
		http.Error(w, "the page can't be made: "+err.Error(), http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.WriteHeader(status)
	_, _ = w.Write(page.Bytes())
}

// take takes what a page was told, and gives the next, or says what can't be understood. What was typed stays either way.
func (s *Starting) take(w http.ResponseWriter, r *http.Request) {
	screen, ok := s.screenOf(w, r)
	if !ok {
		return
	}
	err := r.ParseForm()
	if _, large := errors.AsType[*http.MaxBytesError](err); large {
		s.refuse(w, r, http.StatusRequestEntityTooLarge, "What was typed is too long: a page holds at most %[1]s kB. Go back and shorten the longest text.", strconv.Itoa(mostBody>>10))
		return
	}
	if err != nil || !r.PostForm.Has(map[int]string{1: "name", 2: "pot", 3: "dish 1 name"}[screen]) {
		s.refuse(w, r, http.StatusBadRequest, "The form did not come whole. Go back and send it again.")
		return
	}
	told := answersIn(r.PostForm)
	now, err := s.Clock()
	if err != nil {
		s.show(w, r, screen, told, err)
		return
	}
	switch {
	case r.PostForm.Get("more") != "":
		told.In, told.Out, told.Sold = longer(told.In), longer(told.Out), longer(told.Sold)
		s.show(w, r, screen, told, nil)
		return
	case r.PostForm.Get("back") != "":
		s.show(w, r, max(1, screen-1), told, nil)
		return
	}
	if _, err = told.Upto(screen).Text(measure.FormatDayOfYear(now)); err != nil { // what later pages ask for is left to them
		if e, ok := errors.AsType[*kitchen.StarterError](err); ok {
			screen = e.Page()
		}
		s.show(w, r, screen, told, err)
		return
	}
	to := elsewhere[r.PostForm.Get("then")]
	switch {
	case to != "":
		s.write(w, r, screen, told, told.Upto(1), now, to)
	case screen < lastScreen:
		s.mu.Lock()
		begun := s.begun()
		s.mu.Unlock()
		if begun != nil {
			s.show(w, r, screen, told, begun)
			return
		}
		s.show(w, r, screen+1, told, nil)
	default:
		s.write(w, r, screen, told, told, now, "")
	}
}

// mostRows bounds what a page asks of one kind.
const mostRows = 30

// untilEmpty are rows without the empty ones at the end.
func untilEmpty[T comparable](rows []T) []T {
	var none T
	for len(rows) > 0 && rows[len(rows)-1] == none {
		rows = rows[:len(rows)-1]
	}
	return rows
}

// padded are as many rows as a page has at least.
func padded[T any](rows []T, least int) []T {
	return append(slices.Clone(rows), make([]T, max(0, least-len(rows)))...)
}

// longer are a few rows more.
func longer[T any](rows []T) []T { return padded(rows, min(len(rows)+usualRows, mostRows)) }

// answersOn are the answers of a page, by the names that they have in its form.
func answersOn(screen int, t kitchen.Starter) (fields []startField) {
	put := func(value, format string, args ...any) {
		fields = append(fields, startField{Name: fmt.Sprintf(format, args...), Value: value})
	}
	switch screen {
	case 1:
		put(t.Name, "name")
		put(t.Open, "open")
		put(t.Lunch, "lunch")
		put(t.Dinner, "dinner")
	case 2:
		put(t.Pot, "pot")
		put(t.Days, "days")
		put(t.Lit, "lit")
		put(t.Holds, "holds")
		put(t.Pots, "pots")
		put(t.Cooks, "cooks")
		for n, in := range untilEmpty(t.In) {
			put(in.What, "in %d what", n+1)
			put(in.Price, "in %d price", n+1)
			if in.Raw {
				put("yes", "in %d raw", n+1)
			}
		}
		for n, out := range untilEmpty(t.Out) {
			put(out.What, "out %d what", n+1)
		}
	case 3:
		for n, d := range untilEmpty(t.Sold) {
			put(d.Name, "dish %d name", n+1)
			put(d.Takes, "dish %d takes", n+1)
			put(d.Price, "dish %d price", n+1)
			put(d.Sells, "dish %d sells", n+1)
		}
	}
	return fields
}

// answersIn are the answers that a form carries, of all pages.
func answersIn(form url.Values) (t kitchen.Starter) {
	said := func(format string, args ...any) string {
		return strings.TrimSpace(form.Get(fmt.Sprintf(format, args...)))
	}
	t.Name, t.Open, t.Lunch, t.Dinner = said("name"), said("open"), said("lunch"), said("dinner")
	t.Pot, t.Days, t.Lit, t.Holds, t.Pots, t.Cooks = said("pot"), said("days"), said("lit"), said("holds"), said("pots"), said("cooks")
	for n := 1; n <= mostRows && form.Has(fmt.Sprintf("in %d what", n)); n++ {
		t.In = append(t.In, kitchen.StartIn{What: said("in %d what", n), Price: said("in %d price", n), Raw: form.Has(fmt.Sprintf("in %d raw", n))})
	}
	for n := 1; n <= mostRows && form.Has(fmt.Sprintf("out %d what", n)); n++ {
		t.Out = append(t.Out, kitchen.StartOut{What: said("out %d what", n)})
	}
	for n := 1; n <= mostRows && form.Has(fmt.Sprintf("dish %d name", n)); n++ {
		t.Sold = append(t.Sold, kitchen.StartDish{Name: said("dish %d name", n), Takes: said("dish %d takes", n), Price: said("dish %d price", n),
			Sells: said("dish %d sells", n)})
	}
	return t
}

// elsewhere are the pages on which a kitchen can be told that has a name and hours only.
var elsewhere = map[string]string{"recipes": recipesPage.Path}

// write writes the file of some of the answers, opens the board on it, and leads to a page, or else asks what follows when the pot is lost.
func (s *Starting) write(w http.ResponseWriter, r *http.Request, screen int, all, told kitchen.Starter, now time.Time, to string) {
	text, err := told.Text(measure.FormatDayOfYear(now))
	if err != nil {
		s.show(w, r, screen, all, err)
		return
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if bytes.Equal(s.text, text) { // a second tap
		http.Redirect(w, r, s.after, http.StatusSeeOther)
		return
	}
	if begun := s.begun(); begun != nil {
		s.show(w, r, screen, all, begun)
		return
	}
	if err = s.Save(s.File, text); err == nil {
		err = s.opened()
	}
	if err != nil {
		s.show(w, r, screen, all, err)
		return
	}
	if k, _ := kitchen.Read(s.File, text); to == "" && k != nil && len(k.Dishes) > 0 {
		if step, err := k.FindStep(told.PotName()); err == nil {
			for n := range 7 {
				if day := (int(now.Weekday()) + n) % 7; k.Steps[step].Batches[day] > 0 { // the next that is lit
					to = "/?lose=" + url.QueryEscape(told.PotName()+"@"+kitchen.Weekdays[day])
					break
				}
			}
		}
	}
	s.text, s.after = text, cmp.Or(to, "/")
	http.Redirect(w, r, s.after, http.StatusSeeOther)
}

// begun says that the kitchen file is there by now; its board is open then.
func (s *Starting) begun() error {
	if _, err := os.Lstat(s.File); s.next == nil && err != nil {
		return nil
	}
	return cmp.Or(s.opened(), errBegun)
}

// opened opens the board on the file that is there by now, once.
func (s *Starting) opened() (err error) {
	if s.next == nil {
		s.next, err = s.Open()
	}
	return err
}

// flow draws the pot as far as the address tells it.
func (s *Starting) flow(w http.ResponseWriter, r *http.Request) {
	told := answersIn(r.URL.Query())
	if len(told.In) == 0 || len(told.Out) == 0 {
		http.Error(w, "there is nothing to draw yet", http.StatusNotFound)
		return
	}
	drawn, err := s.picture(r.Context(), told)
	if err != nil {
		http.Error(w, "there is nothing to draw yet", http.StatusNotFound)
		return
	}
	w.Header().Set("Content-Type", "image/svg+xml")
	w.Header().Set("Content-Security-Policy", "default-src 'none'; style-src 'unsafe-inline'")
	_, _ = w.Write(drawn)
}

func (s *Starting) picture(ctx context.Context, told kitchen.Starter) ([]byte, error) {
	now, err := s.Clock()
	if err != nil {
		return nil, err
	}
	text, err := told.Text(measure.FormatDayOfYear(now))
	if err != nil {
		return nil, err
	}
	week, _, err := menu.Open(ctx, menu.Options{Kitchen: menu.Source{Name: s.File, Text: text}, Now: now})
	if err != nil {
		return nil, err
	}
	if week == nil {
		return nil, errors.New("the kitchen has mistakes")
	}
	picture, err := ask.Map(ctx, week, nil, "", ask.ByWeight)
	if err != nil {
		return nil, err
	}
	picture.Part, picture.Bare = true, true
	return draw.Render(ctx, picture)
}
