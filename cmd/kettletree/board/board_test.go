package board

// The board as a browser on this machine sees it: its pages, and what its forms write down.

import (
	"compress/gzip"
	"context"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu"
	"kettletree/menu/logbook"
)

// served is a board that is open to a browser on this machine.
type served struct {
	t      testing.TB
	board  *Board
	pages  http.Handler
	folder string // with kitchen.yaml, on-hand.csv and kitchen.logbook
	now    time.Time

	mu     sync.Mutex
	cookie *http.Cookie
}

// tuesday is what time it is in these tests, but for those that set the clock themselves.
const tuesday = "2026-11-24 14:05"

func moments(t testing.TB, text string) time.Time {
	t.Helper()
	at, err := time.Parse(logbook.Minutes, text)
	require.NoError(t, err)
	return at
}

// from sets the first day.
func from(date string) func(*menu.Options) {
	return func(o *menu.Options) { o.From, _ = time.Parse(time.DateOnly, date) }
}

// openBoard opens the board of a copy of an example.
func openBoard(t testing.TB, example string, set ...func(*menu.Options)) *served {
	t.Helper()
	folder := t.TempDir()
	require.NoError(t, os.CopyFS(folder, os.DirFS(filepath.Join("..", "..", "..", "examples", example))))
	return openFolder(t, folder, set...)
}

func openFolder(t testing.TB, folder string, set ...func(*menu.Options)) *served {
	t.Helper()
	o := &served{folder: folder, now: moments(t, tuesday)}
	o.t = t
	c := Config{Options: menu.Options{Kitchen: menu.File(filepath.Join(folder, "kitchen.yaml")), LogBook: filepath.Join(folder, "kitchen.logbook"),
		Plan: menu.File(filepath.Join(folder, "kitchen.plan"))},
		Clock: func() (time.Time, error) { return o.now, nil },
		Save:  func(name string, text []byte) error { return os.WriteFile(name, text, 0o600) },
		Until: func(time.Duration) time.Time { return time.Time{} }}
	for _, s := range set {
		s(&c.Options)
	}
	life, end := context.WithCancel(context.WithoutCancel(t.Context()))
	t.Cleanup(end)
	var err error
	o.board, err = New(life, c)
	require.NoError(t, err)
	o.pages = o.board.Handler()
	return o
}

// ask sends one request.
func (o *served) ask(method, path string, form url.Values, header http.Header) *httptest.ResponseRecorder {
	o.t.Helper()
	r := httptest.NewRequestWithContext(o.t.Context(), method, "http://localhost"+path, strings.NewReader(form.Encode()))
	r.RemoteAddr = "127.0.0.1:40000"
	if form != nil {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	for k, v := range header {
		r.Header[k] = v
		if k == "Host" {
			r.Host = v[0]
		}
	}
	o.mu.Lock()
	if o.cookie != nil {
		r.AddCookie(o.cookie)
	}
	o.mu.Unlock()
	w := httptest.NewRecorder()
	o.pages.ServeHTTP(w, r)
	for _, c := range w.Result().Cookies() {
		o.mu.Lock()
		o.cookie = c
		o.mu.Unlock()
	}
	return w
}

// send sends a request and follows where it is led.
func (o *served) send(method, path string, form url.Values, header http.Header) (int, string, http.Header) {
	o.t.Helper()
	w := o.ask(method, path, form, header)
	for hops := 0; w.Code/100 == 3 && hops < 5; hops++ {
		w = o.ask(http.MethodGet, w.Header().Get("Location"), nil, nil)
	}
	return w.Code, w.Body.String(), w.Header()
}

// get opens a page.
func (o *served) get(path string) (status int, text string, header http.Header) {
	o.t.Helper()
	return o.send(http.MethodGet, path, nil, nil)
}

// write sends the form that writes entries down, and gives the page that it leads to.
func (o *served) write(entries ...string) (int, string) {
	o.t.Helper()
	status, text, _ := o.send(http.MethodPost, "/write", url.Values{"text": entries, "back": {"/"}, "seen": {"0"}}, nil)
	return status, text
}

// logged is the log book, as it lies in the folder.
func (o *served) logged() (texts []string) {
	o.t.Helper()
	lines, err := o.board.readEntries(o.t.Context(), o.board.watch.state().kitchen, 1000)
	require.NoError(o.t, err)
	slices.SortFunc(lines, func(x, y logbook.Line) int { return int(x.Entry - y.Entry) })
	for _, l := range lines {
		texts = append(texts, strings.TrimSpace(string(l.Kind)+" "+l.Text))
	}
	return texts
}

// says wants a page to say something; a page is too long to print.
func says(t *testing.T, page, want string) {
	t.Helper()
	plain := strings.NewReplacer("&#39;", "'", "&#34;", `"`, "&#43;", "+", "&nbsp;", " ", `<span class="whole">`, "", "</span>", "")
	assert.True(t, strings.Contains(plain.Replace(page), plain.Replace(want)), "the page does not say %q", want)
}

func TestBoardPages(t *testing.T) {
	o := onList(t)
	for name, c := range map[string]struct {
		path   string
		status int
		wants  []string
	}{
		"today":             {"/", 200, []string{"<h1>Today</h1>", "Tue 24 Nov, lunch", "red pozole", "<b>12</b> of 12", "to 16:05"}},
		"a lost batch":      {"/?lose=night+kettle@tue", 200, []string{"What if: Tuesday&#39;s night kettle is lost", "of contribution.", "Write it down", "lost night kettle of 2026-11-24"}},
		"a dish struck off": {"/?strike=red+pozole@tue+lunch", 200, []string{"Put back", "struck red pozole at 2026-11-24 lunch"}},
		"both":              {"/?lose=night+kettle@tue&strike=red+pozole", 200, []string{"Tuesday&#39;s night kettle is lost; red pozole is 86"}},
		"another kitchen":   {"/?lose=nigth+kettle", 400, []string{"That can't be answered", "did you mean"}},
		"another day":       {"/?from=2026-12-01", 200, []string{"from Tue 1 Dec"}},
		"no day":            {"/?from=tomorrow", 400, []string{"is not a date"}},
		"no page":           {"/menu", 404, []string{"No such page"}},
		"a file":            {"/static/../board.go", 404, nil},
		"a file outside":    {"/static/%2e%2e/%2e%2e/go.mod", 404, nil},
	} {
		t.Run(name, func(t *testing.T) {
			o.t = t
			status, text, header := o.get(c.path)
			assert.Equal(t, c.status, status)
			for _, want := range c.wants {
				says(t, text, want)
			}
			assert.Contains(t, header.Get("Content-Security-Policy"), "default-src 'none'")
			assert.NotContains(t, header.Get("Content-Security-Policy"), "unsafe")
			assert.Equal(t, "nosniff", header.Get("X-Content-Type-Options"))
			assert.Equal(t, "no-referrer", header.Get("Referrer-Policy"))
			assert.Empty(t, regexp.MustCompile(` style=| on[a-z]+="|<style|<script>`).FindString(text), "no style or script within the page")
		})
	}
}

// A form that a bad network sends twice writes once; who wants the same once more sends it from the page that followed.
func TestBoardWritesOnce(t *testing.T) {
	o := openBoard(t, "first-pot")
	_, _, _ = o.get("/") // for the cookie
	for n, want := range []string{"Written down:", "Already written down", "Already written down"} {
		status, text := o.write("sold 4 chicken soup at lunch")
		assert.Equal(t, 200, status)
		says(t, text, want)
		assert.Len(t, o.logged(), 1, "time %d", n+1)
	}
	status, text, _ := o.send(http.MethodPost, "/write", url.Values{"text": {"sold 4 chicken soup at lunch"}, "seen": {"1"}}, nil)
	assert.Equal(t, http.StatusUnprocessableEntity, status) // from another device, or by a second tap: it is asked about
	says(t, text, "this was written already a moment ago, as entry 1")
	says(t, text, "It is right: write it down")
	assert.Len(t, o.logged(), 1)
	_, text, _ = o.send(http.MethodPost, "/write", url.Values{"text": {"sold 4 chicken soup at lunch"}, "seen": {"1"}, "sure": {"yes"}}, nil)
	says(t, text, "2. sold 4 chicken soup at lunch")
	assert.Len(t, o.logged(), 2)

	var at sync.WaitGroup
	for range 6 {
		at.Go(func() {
			status, _, _ := o.send(http.MethodPost, "/write", url.Values{"text": {"counted 2 L chicken stock"}, "seen": {"2"}}, nil)
			assert.Contains(t, []int{http.StatusOK, http.StatusConflict}, status, "written, or being written")
		})
	}
	at.Wait()
	assert.Len(t, o.logged(), 3, "at once")
}

func TestBoardRefuses(t *testing.T) {
	o := openBoard(t, "first-pot")
	for name, c := range map[string]struct {
		form   url.Values
		header http.Header
		status int
		wants  []string
	}{
		"a misspelt item":       {url.Values{"text": {"received 2 kg chicken stok"}}, nil, 422, []string{"Not written down", "chicken stock", "^^^", `value="received 2 kg chicken stok"`}},
		"half of two":           {url.Values{"text": {"sold 1 chicken soup", "sold 1 chicken sop"}}, nil, 422, []string{"chicken soup"}},
		"no such word":          {url.Values{"text": {"cleaned the kitchen"}}, nil, 422, []string{"can't be written down"}},
		"nothing":               {url.Values{"text": {"", " "}}, nil, 422, []string{"Nothing was filled in"}},
		"too many":              {url.Values{"text": strings.Split(strings.Repeat("sold 1 chicken soup\n", 301), "\n")}, nil, 422, []string{"at most 300"}},
		"the future":            {url.Values{"text": {"sold 1 chicken soup"}, "at": {"2031-01-01 10:00"}}, nil, 422, []string{"is in the future"}},
		"no time":               {url.Values{"text": {"sold 1 chicken soup"}, "at": {"noon"}}, nil, 422, []string{"is not a time"}},
		"no such entry":         {url.Values{"text": {"undo 7"}}, nil, 422, []string{"There is no entry 7"}},
		"no number":             {url.Values{"text": {"undo all"}}, nil, 422, []string{"is not the number of an entry"}},
		"a script":              {url.Values{"text": {"<script>alert(1)</script>"}}, nil, 422, []string{"&lt;script&gt;alert(1)&lt;/script&gt;"}},
		"from another site":     {url.Values{"text": {"sold 1 chicken soup"}}, http.Header{"Origin": {"https://elsewhere.example"}}, 403, nil},
		"from a site like it":   {url.Values{"text": {"sold 1 chicken soup"}}, http.Header{"Sec-Fetch-Site": {"same-site"}}, 403, nil},
		"by a name made up":     {url.Values{"text": {"sold 1 chicken soup"}}, http.Header{"Host": {"board.example"}}, 421, []string{"has another name"}},
		"an oversized body":     {url.Values{"text": {strings.Repeat("x", 70<<10)}}, nil, 413, []string{"What was typed is too long: a form holds at most 64 kB."}},
		"a way back to nowhere": {url.Values{"text": {"sold 1 chicken sop"}, "back": {"https://elsewhere.example/"}}, nil, 422, []string{`href="/">Cancel`}},
	} {
		t.Run(name, func(t *testing.T) {
			o.t = t
			status, text, _ := o.send(http.MethodPost, "/write", c.form, c.header)
			assert.Equal(t, c.status, status)
			for _, want := range c.wants {
				says(t, text, want)
			}
			assert.NotContains(t, text, "<script>alert")
			assert.Empty(t, o.logged())
		})
	}
}

// A kitchen whose names are script tags, and a log book that repeats them, run nothing.
func TestBoardEscapes(t *testing.T) {
	folder := t.TempDir()
	kitchen := `kitchen: "<script>alert('kitchen')</script>"
open: tue-sat
services: {"<script>alert('noon')</script>": 11:30-14:30}
bought:
  "<script>alert('hen')</script>": {price: 4/kg, allergens: ["<img src=x onerror=alert('egg')>"]}
steps:
  "</title><script>alert('step')</script>":
    takes: ["2 kg <script>alert('hen')</script>"]
    gives: ["1 kg \"><script>alert('stock')</script>"]
    batches: {tue-sat: 1}
    starts: "15:00"
dishes:
  "javascript:alert('dish')":
    price: 6
    takes: ["100 g \"><script>alert('stock')</script>"]
    sells: 5
`
	require.NoError(t, os.WriteFile(filepath.Join(folder, "kitchen.yaml"), []byte(kitchen), 0o666))
	o := openFolder(t, folder, from("2026-11-24"))
	for _, path := range []string{"/", "/map", "/map?whole=yes", "/map?item=" + url.QueryEscape(`"><script>alert('stock')</script>`), "/?strike=" + url.QueryEscape("javascript:alert('dish')"),
		"/map?item=" + url.QueryEscape("<script>alert(1)</script>"), "/map?by=%3Cscript%3Ealert(1)", "/?from=%3Cscript%3Ealert(1)%3C/script%3E",
		"/map?part=yes&item=" + url.QueryEscape("</title><script>alert('step')</script>")} {
		_, text, _ := o.get(path)
		for _, bad := range []string{"<script>alert", "<svg onload", "<img src=x", `href="javascript:`} {
			assert.False(t, strings.Contains(text, bad), "%s has %s", path, bad)
		}
		says(t, text, "alert(")
	}
	status, text := o.write("sold 2 javascript:alert('dish')")
	assert.Equal(t, 200, status)
	says(t, text, "2 javascript:alert(&#39;dish&#39;)")
}

// A fault in the kitchen file is shown with its excerpt while the last good one serves, and is gone when it is mended.
func TestBoardReloads(t *testing.T) {
	o := openBoard(t, "first-pot")
	_, text, _ := o.get("/")
	says(t, text, "<b>18</b> of 18")
	assert.NotContains(t, text, "Mistake in the kitchen file")
	file := filepath.Join(o.folder, "kitchen.yaml")
	good, err := os.ReadFile(file)
	require.NoError(t, err)
	put := func(src string) {
		beside := file + ".new"
		require.NoError(t, os.WriteFile(beside, []byte(src), 0o666))
		require.NoError(t, os.Rename(beside, file))
	}
	put(strings.Replace(string(good), "60 g pulled chicken", "60 g puled chicken", 1))
	status, text, _ := o.get("/")
	assert.Equal(t, 200, status)
	says(t, text, "Mistake in the kitchen file; showing the last good version.")
	says(t, text, "did you mean &#34;pulled chicken&#34;")
	says(t, text, "^^^^")
	says(t, text, "<b>18</b> of 18")
	put(strings.Replace(string(good), "lunch: 18", "lunch: 17", 1))
	_, text, _ = o.get("/")
	assert.NotContains(t, text, "Mistake in the kitchen file")
	says(t, text, "<b>17</b> of 17")
	require.NoError(t, os.Remove(file))
	_, text, _ = o.get("/")
	says(t, text, "the kitchen file can&#39;t be read")
	says(t, text, "<b>17</b> of 17")
}

func TestBoardIsSmall(t *testing.T) {
	o := openBoard(t, "three-kettles", from("2026-11-23"))
	wire := func(path string) (sent int, text string) {
		w := o.ask(http.MethodGet, path, nil, http.Header{"Accept-Encoding": {"gzip"}})
		require.Equal(t, 200, w.Code, path)
		require.Equal(t, "gzip", w.Header().Get("Content-Encoding"), path)
		sent = w.Body.Len()
		z, err := gzip.NewReader(w.Body)
		require.NoError(t, err)
		plain, err := io.ReadAll(z)
		require.NoError(t, err)
		return sent, string(plain)
	}
	for _, path := range []string{"/", "/map", "/map?whole=yes"} {
		total, text := wire(path)
		for _, m := range regexp.MustCompile(`(?:href|src)="(/(?:static/|board.webmanifest)[^"]*)"`).FindAllStringSubmatch(text, -1) {
			sent, _ := wire(m[1])
			total += sent
		}
		assert.Less(t, total, 150_000, "%s with all that it loads, in bytes", path)
		t.Logf("%s: %d bytes", path, total)
	}
}

// Today goes with the clock: before the first service, in it, between two, after the last, on a closed day, outside the days.
func TestBoardThroughTheWeek(t *testing.T) {
	o := openBoard(t, "three-kettles", from("2026-11-23"))
	for now, wants := range map[string][]string{
		"2026-11-23 09:00": {"Tue 24 Nov, lunch", "to 11:00", "Nothing due. Next:"}, // Monday is closed
		"2026-11-24 09:00": {"Tue 24 Nov, lunch", "11:30 to 14:30<"},
		"2026-11-24 11:30": {"11:30 to 14:30, under way"},
		"2026-11-24 14:30": {"Tue 24 Nov, dinner", "to 16:30", "Bone out shoulder", "bone+out+shoulder%402026-11-24"},
		"2026-11-24 21:59": {"17:30 to 22:00, under way", "START night kettle", "to 23:59"},
		"2026-11-24 23:30": {"Wed 25 Nov, lunch", "(night kettle)", "night+kettle%402026-11-24", "to 01:30"},
		"2026-11-29 22:00": {"No service left"},
		"2026-12-24 12:00": {"Tue 24 Nov, lunch", "from Mon 23 Nov"},
		"2026-01-01 12:00": {"Tue 24 Nov, lunch"},
	} {
		t.Run(now, func(t *testing.T) {
			o.t = t
			o.now = moments(t, now)
			status, text, _ := o.get("/")
			assert.Equal(t, 200, status)
			for _, want := range wants {
				says(t, text, strings.ReplaceAll(want, "+", "&#43;"))
			}
		})
	}
	o.t = t
	o.now = moments(t, tuesday)
	_, text, _ := o.get("/?from=2026-11-23&days=21")
	says(t, text, "strike=red&#43;pozole%402026-11-24&#43;lunch") // a weekday would name three days
}
