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

// Starting asks for a kitchen, writes it, and is its board from then on.
type Starting struct {
	File  string // of the kitchen, which is not there yet
	Clock func() (time.Time, error)
	Save  func(name string, text []byte) error
	Open  func() (http.Handler, error) // the board of the file, once it is written

	mu     sync.Mutex
	told   kitchen.Starter
	rows   int          // of each kind that the pages have
	next   http.Handler // the board; nil until the file is written
	files  *assets
	layout *template.Template
}

// usualRows are those that a page has at first.
const usualRows = 4

// Handler answers requests from this machine.
func (s *Starting) Handler() http.Handler {
	s.files, s.rows = newAssets(), usualRows
	s.layout = template.Must(template.New("start.html").Funcs(template.FuncMap{"inc": func(n int) int { return n + 1 }, "dec": func(n int) int { return n - 1 }}).
		ParseFS(startingFiles, "starting/start.html"))
	mux := http.NewServeMux()
	mux.HandleFunc("GET /{$}", func(w http.ResponseWriter, r *http.Request) {
		http.Redirect(w, r, "/start?screen=1", http.StatusSeeOther)
	})
	mux.HandleFunc("GET /start", func(w http.ResponseWriter, r *http.Request) { s.show(w, r, screenOf(r), nil) })
	mux.HandleFunc("POST /start", s.take)
	mux.HandleFunc("GET /start/flow.svg", s.flow)
	s.files.routes(mux)
	inside := http.NewCrossOriginProtection().Handler(mux)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		s.mu.Lock()
		next := s.next
		s.mu.Unlock()
		if next != nil {
			next.ServeHTTP(w, r)
			return
		}
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Cache-Control", "no-store")
		host, _, err := net.SplitHostPort(r.Host)
		if err != nil {
			host = r.Host
		}
		if ip := net.ParseIP(host); host != "localhost" && (ip == nil || !ip.IsLoopback()) {
			http.Error(w, "The kitchen is begun at this machine, by the name localhost.", http.StatusForbidden)
			return
		}
		r.Body = http.MaxBytesReader(w, r.Body, mostBody)
		inside.ServeHTTP(w, r)
	})
}

// screenOf is the page that an address asks for.
func screenOf(r *http.Request) int {
	n, _ := strconv.Atoi(r.URL.Query().Get("screen"))
	return min(max(1, n), 3)
}

// startPage is a page as its template sees it.
type startPage struct {
	*speaker
	Screen           int
	S                kitchen.Starter
	In               []kitchen.StartIn
	Out              []kitchen.StartOut
	Sold             []kitchen.StartDish
	Drawn            bool
	Fault, Hint      string
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

// show gives a page, with what is wrong in it.
func (s *Starting) show(w http.ResponseWriter, r *http.Request, screen int, fault error) {
	s.mu.Lock()
	p := startPage{speaker: newSpeaker(languageOf(r), nil), Screen: screen, S: s.told}
	p.In = append(slices.Clone(s.told.In), make([]kitchen.StartIn, max(0, s.rows-len(s.told.In)))...)
	p.Out = append(slices.Clone(s.told.Out), make([]kitchen.StartOut, max(0, s.rows-len(s.told.Out)))...)
	p.Sold = append(slices.Clone(s.told.Sold), make([]kitchen.StartDish, max(0, s.rows-1-len(s.told.Sold)))...)
	s.mu.Unlock()
	p.Drawn = len(p.S.In) > 0 && len(p.S.Out) > 0
	status := http.StatusOK
	if fault != nil {
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

// take takes what a page was told, and goes on to the next, or says what can't be understood. What was typed stays either way.
func (s *Starting) take(w http.ResponseWriter, r *http.Request) {
	if err := r.ParseForm(); err != nil {
		if _, large := errors.AsType[*http.MaxBytesError](err); large {
			http.Error(w, fmt.Sprintf("What was typed is too long: a page holds at most %d kB. Go back and shorten the longest text.", mostBody>>10), http.StatusRequestEntityTooLarge)
			return
		}
		http.Error(w, "The form did not come whole. Go back and send it again.", http.StatusBadRequest)
		return
	}
	screen := screenOf(r)
	s.mu.Lock()
	s.keep(screen, r.PostForm)
	more := r.PostForm.Get("more") != ""
	if more && s.rows < 30 {
		s.rows += usualRows
	}
	told := s.told
	s.mu.Unlock()
	now, err := s.Clock()
	if err == nil && !more {
		_, err = told.Upto(screen).Text(measure.FormatDayOfYear(now)) // what is told on later pages is asked for there
	}
	switch {
	case err != nil || more:
		s.show(w, r, screen, err)
	case elsewhere[r.PostForm.Get("then")] != "":
		s.write(w, r, told.Upto(1), now, elsewhere[r.PostForm.Get("then")])
	case screen < 3:
		http.Redirect(w, r, fmt.Sprintf("/start?screen=%d", screen+1), http.StatusSeeOther)
	default:
		s.write(w, r, told, now, "")
	}
}

// keep holds what a page was told.
func (s *Starting) keep(screen int, form url.Values) {
	said := func(format string, args ...any) string {
		return strings.TrimSpace(form.Get(fmt.Sprintf(format, args...)))
	}
	switch t := &s.told; screen {
	case 1:
		t.Name, t.Open, t.Lunch, t.Dinner = said("name"), said("open"), said("lunch"), said("dinner")
	case 2:
		t.Pot, t.Days, t.Lit, t.Holds, t.Pots, t.In, t.Out = said("pot"), said("days"), said("lit"), said("holds"), said("pots"), nil, nil
		t.Cooks = said("cooks")
		for n := 1; form.Has(fmt.Sprintf("in %d what", n)); n++ {
			t.In = append(t.In, kitchen.StartIn{What: said("in %d what", n), Price: said("in %d price", n), Raw: form.Has(fmt.Sprintf("in %d raw", n))})
		}
		for n := 1; form.Has(fmt.Sprintf("out %d what", n)); n++ {
			t.Out = append(t.Out, kitchen.StartOut{What: said("out %d what", n), At: said("out %d at", n)})
		}
	case 3:
		t.Sold = nil
		for n := 1; form.Has(fmt.Sprintf("dish %d name", n)); n++ {
			t.Sold = append(t.Sold, kitchen.StartDish{Name: said("dish %d name", n), Takes: said("dish %d takes", n), Price: said("dish %d price", n),
				Sells: said("dish %d sells", n)})
		}
	}
}

// elsewhere are the pages on which a kitchen can be told that has a name and hours only.
var elsewhere = map[string]string{"recipes": recipesPage.Path}

// write writes the file, opens the board on it, and leads to a page, or else asks what follows when the pot is lost.
func (s *Starting) write(w http.ResponseWriter, r *http.Request, told kitchen.Starter, now time.Time, to string) {
	text, err := told.Text(measure.FormatDayOfYear(now))
	if err != nil {
		page := 3
		if e, ok := errors.AsType[*kitchen.StarterError](err); ok {
			page = e.Page()
		}
		s.show(w, r, page, err)
		return
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.next == nil {
		if _, err = os.Lstat(s.File); err == nil {
			err = fmt.Errorf("%s has been made in the meantime, and nothing was written over it: close the board and open it again", s.File)
		} else {
			err = s.Save(s.File, text)
		}
		if err == nil {
			s.next, err = s.Open()
		}
		if err != nil {
			http.Error(w, err.Error(), http.StatusInternalServerError)
			return
		}
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
	http.Redirect(w, r, cmp.Or(to, "/"), http.StatusSeeOther)
}

// flow draws the pot as far as it is told.
func (s *Starting) flow(w http.ResponseWriter, r *http.Request) {
	s.mu.Lock()
	told := s.told
	s.mu.Unlock()
	drawn, err := s.picture(r.Context(), told)
	if err != nil || len(told.In) == 0 || len(told.Out) == 0 {
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
