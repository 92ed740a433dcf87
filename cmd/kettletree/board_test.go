package main

// The board over the network: it is served by the command, in this process, and asked as a browser would.

import (
	"bufio"
	"bytes"
	"compress/gzip"
	"context"
	"encoding/json"
	"fmt"
	"html"
	"image"
	"image/color"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	qr "github.com/piglig/go-qr"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/cmd/kettletree/board"
	"kettletree/cmd/kettletree/show"
	"kettletree/menu"
	"kettletree/menu/ask"
	"kettletree/menu/logbook"
)

// heard is what a program prints; it may be read while it is written.
type heard struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (h *heard) Write(p []byte) (int, error) {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.b.Write(p)
}

func (h *heard) String() string {
	h.mu.Lock()
	defer h.mu.Unlock()
	return h.b.String()
}

// served is a board that is being served.
type served struct {
	t       testing.TB
	url     string // "http://localhost:40123"
	folder  string // with kitchen.yaml, on-hand.csv and kitchen.logbook
	printed *heard
	client  *http.Client
	stop    func() int // ends it and tells how it ended
	before  int        // entries that were written before the test began
}

// tuesday is what time it is in these tests, but for those that set the clock themselves.
const tuesday = "2026-11-24 14:05"

// openBoard serves a copy of an example. It is closed when the test ends.
func openBoard(t testing.TB, example string, args ...string) *served {
	t.Helper()
	return serveFolder(t, filepath.Join(copyOfExamples(t), example), args...)
}

func serveFolder(t testing.TB, folder string, args ...string) *served {
	t.Helper()
	if os.Getenv(clockName) == "" {
		t.Setenv(clockName, tuesday)
	}
	jar, err := cookiejar.New(nil)
	require.NoError(t, err)
	o := &served{folder: folder, printed: new(heard), client: &http.Client{Jar: jar, Timeout: 30 * time.Second}}
	o.t = t
	ctx, stop := context.WithCancel(context.WithoutCancel(t.Context()))
	ended := make(chan int, 1)
	keys, _ := io.Pipe() // nobody types
	go func() {
		ended <- run(ctx, append([]string{"kettletree", "serve", folder, "--port", "0"}, args...), keys, o.printed, o.printed)
	}()
	o.stop = sync.OnceValue(func() int { stop(); return <-ended })
	t.Cleanup(func() { o.stop() })
	address := regexp.MustCompile(`https?://localhost:[0-9]+`)
	require.Eventually(t, func() bool {
		o.url = address.FindString(o.printed.String())
		return o.url != ""
	}, 20*time.Second, 5*time.Millisecond, "the board says where it is")
	return o
}

// get opens a page.
func (o *served) get(path string) (status int, text string, header http.Header) {
	o.t.Helper()
	return o.send(http.MethodGet, path, nil, nil)
}

func (o *served) send(method, path string, form url.Values, header http.Header) (int, string, http.Header) {
	o.t.Helper()
	var body io.Reader
	if form != nil {
		body = strings.NewReader(form.Encode())
	}
	r, err := http.NewRequestWithContext(o.t.Context(), method, o.url+path, body)
	require.NoError(o.t, err)
	if form != nil {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	for k, v := range header {
		r.Header[k] = v
		if k == "Host" {
			r.Host = v[0]
		}
	}
	got, err := o.client.Do(r)
	require.NoError(o.t, err)
	defer func() { _ = got.Body.Close() }()
	text, err := io.ReadAll(got.Body)
	require.NoError(o.t, err)
	return got.StatusCode, string(text), got.Header
}

// write sends the form that writes entries down, and gives the page that it leads to.
func (o *served) write(entries ...string) (int, string) {
	o.t.Helper()
	status, text, _ := o.send(http.MethodPost, "/write", url.Values{"text": entries, "back": {"/"}, "seen": {"0"}}, nil)
	return status, text
}

// logged is the log book, as the command shows it.
func (o *served) logged() (texts []string) {
	o.t.Helper()
	if !logbook.Exists(filepath.Join(o.folder, "kitchen.logbook")) {
		return nil
	}
	got := runIn(o.t, nil, "log", o.folder, "show", "--last", "1000", "--json")
	require.Zero(o.t, got.code, got.stderr)
	var a logbook.Log
	require.NoError(o.t, json.Unmarshal([]byte(got.stdout), &a))
	for _, e := range a.Entries {
		texts = append(texts, strings.TrimSpace(string(e.Kind)+" "+e.Text))
	}
	return texts
}

// says wants a page to say something; a page is too long to print.
func says(t *testing.T, page, want string) {
	t.Helper()
	assert.True(t, strings.Contains(page, want), "the page does not say %q", want)
}

// news is what was written since the test began.
func (o *served) news() []string { return append([]string{}, o.logged()[o.before:]...) }

func TestBoardPages(t *testing.T) {
	o := openBoard(t, "three-kettles", "--from", "2026-11-23", "--on-hand", filepath.Join("..", "..", "examples", "three-kettles", "on-hand.csv"))
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

// Two cooks write at once, through the board and by the command: nothing is lost.
func TestBoardWrites(t *testing.T) {
	o := openBoard(t, "first-pot")
	assert.Empty(t, o.logged(), "a board that is only looked at makes no log book")
	status, text := o.write("received 8 each chicken for 67.20", "counted 3 L chicken stock")
	assert.Equal(t, 200, status)
	says(t, text, "Written down:")
	says(t, text, "1. received 8 each chicken for 67.20")
	says(t, text, "2. counted 3 L chicken stock")
	assert.Equal(t, []string{"received 8 each chicken for 67.20", "counted 3 L chicken stock"}, o.logged())

	require.Zero(t, runIn(t, nil, "log", o.folder, "sold", "4", "chicken", "soup", "at", "lunch").code)
	status, text, _ = o.send(http.MethodPost, "/write", url.Values{"text": {"binned 1 L chicken stock, cloudy"}, "back": {"/?strike=chicken+roll"}, "seen": {"2"}}, nil)
	assert.Equal(t, 200, status)
	says(t, text, "4. binned 1 L chicken stock, cloudy")
	says(t, text, "Meanwhile, others wrote:")
	says(t, text, "3. sold 4 chicken soup at lunch")
	says(t, text, "What if: chicken roll is 86")

	var both sync.WaitGroup
	for cook := range 8 {
		both.Go(func() {
			form := url.Values{"text": {"sold " + strings.Repeat("1", 1+cook%2) + " chicken roll"}, "seen": {strings.Repeat("9", cook+1)}}
			got, err := o.client.PostForm(o.url+"/write", form)
			if assert.NoError(t, err) {
				assert.Equal(t, 200, got.StatusCode)
				_ = got.Body.Close()
			}
		})
	}
	both.Wait()
	assert.Len(t, o.logged(), 12)
	status, text = o.write("undo 4")
	assert.Equal(t, 200, status)
	says(t, text, "13. undone undo 4")
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
	_, text, _ := o.send(http.MethodPost, "/write", url.Values{"text": {"sold 4 chicken soup at lunch"}, "seen": {"1"}}, nil)
	says(t, text, "2. sold 4 chicken soup at lunch")
	assert.Len(t, o.logged(), 2)

	var at sync.WaitGroup
	for range 6 {
		at.Go(func() {
			got, err := o.client.PostForm(o.url+"/write", url.Values{"text": {"counted 2 L chicken stock"}, "seen": {"2"}})
			if assert.NoError(t, err) {
				_ = got.Body.Close()
			}
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
		"no such word":          {url.Values{"text": {"cleaned the kitchen"}}, nil, 422, []string{"can&#39;t be written down"}},
		"nothing":               {url.Values{"text": {"", " "}}, nil, 422, []string{"write at least one"}},
		"too many":              {url.Values{"text": strings.Split(strings.Repeat("sold 1 chicken soup\n", 101), "\n")}, nil, 422, []string{"at most 100"}},
		"the future":            {url.Values{"text": {"sold 1 chicken soup"}, "at": {"2031-01-01 10:00"}}, nil, 422, []string{"is in the future"}},
		"no time":               {url.Values{"text": {"sold 1 chicken soup"}, "at": {"noon"}}, nil, 422, []string{"is not a time"}},
		"no such entry":         {url.Values{"text": {"undo 7"}}, nil, 422, []string{"There is no entry 7"}},
		"no number":             {url.Values{"text": {"undo all"}}, nil, 422, []string{"is not the number of an entry"}},
		"a script":              {url.Values{"text": {"<script>alert(1)</script>"}}, nil, 422, []string{"&lt;script&gt;alert(1)&lt;/script&gt;"}},
		"from another site":     {url.Values{"text": {"sold 1 chicken soup"}}, http.Header{"Origin": {"https://elsewhere.example"}}, 403, nil},
		"from a site like it":   {url.Values{"text": {"sold 1 chicken soup"}}, http.Header{"Sec-Fetch-Site": {"same-site"}}, 403, nil},
		"by a name made up":     {url.Values{"text": {"sold 1 chicken soup"}}, http.Header{"Host": {"board.example"}}, 421, []string{"has another name"}},
		"an oversized body":     {url.Values{"text": {strings.Repeat("x", 70<<10)}}, nil, 413, []string{"too long for an entry"}},
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
	o := serveFolder(t, folder, "--from", "2026-11-24")
	require.NotEmpty(t, o.url, o.printed.String())
	for _, path := range []string{"/", "/map", "/map?item=" + url.QueryEscape(`"><script>alert('stock')</script>`), "/?strike=" + url.QueryEscape("javascript:alert('dish')"),
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

// Devices hear of what others write, and of changes of the kitchen file.
func TestBoardTellsNews(t *testing.T) {
	o := openBoard(t, "first-pot")
	r, err := http.NewRequestWithContext(t.Context(), http.MethodGet, o.url+"/events", nil)
	require.NoError(t, err)
	got, err := http.DefaultClient.Do(r)
	require.NoError(t, err)
	defer func() { _ = got.Body.Close() }()
	assert.Equal(t, "text/event-stream", got.Header.Get("Content-Type"))
	lines := bufio.NewScanner(got.Body)
	next := func() (last float64, mark string) {
		for lines.Scan() {
			if data, ok := strings.CutPrefix(lines.Text(), "data: "); ok {
				var news struct {
					Last float64 `json:"last"`
					Mark string  `json:"mark"`
				}
				require.NoError(t, json.Unmarshal([]byte(data), &news))
				return news.Last, news.Mark
			}
		}
		require.Fail(t, "the stream ended")
		return 0, ""
	}
	last, mark := next()
	assert.Zero(t, last)
	_, text, _ := o.get("/")
	says(t, text, `data-mark="`+mark+`"`)
	o.write("sold 4 chicken soup at lunch")
	last, mark = next()
	assert.Equal(t, 1.0, last)
	require.Zero(t, runIn(t, nil, "log", o.folder, "sold", "1", "chicken", "roll").code)
	last, newer := next()
	assert.Equal(t, 2.0, last, "what the command writes")
	assert.NotEqual(t, mark, newer)
	file := filepath.Join(o.folder, "kitchen.yaml")
	src, err := os.ReadFile(file)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(file, append(src, "# more\n"...), 0o666))
	_, newest := next()
	assert.NotEqual(t, newer, newest, "the kitchen file")
	assert.Zero(t, o.stop(), "a stream that is open does not keep the program")
}

// Pages answer as the commands do.
func TestBoardSaysTheSame(t *testing.T) {
	o := openBoard(t, "first-pot")
	o.write("counted 5 L chicken stock", "counted 1.4 kg pulled chicken")
	_, text, _ := o.get("/?lose=poach+chickens@wed")
	command := runIn(t, nil, "whatif", o.folder, "--lose", "poach chickens@wed", "--json")
	require.Zero(t, command.code)
	var a ask.Consequences
	require.NoError(t, json.Unmarshal([]byte(command.stdout), &a))
	says(t, text, html.EscapeString(show.WhatIfAnswer(&a)))
	for _, d := range a.Dishes {
		if d.Date == "2026-11-24" {
			says(t, text, fmt.Sprintf("<b>%d</b> of %d", d.After, d.Forecast))
		}
	}
	_, text, _ = o.get("/map?lose=poach+chickens@wed")
	says(t, text, html.EscapeString(show.WhatIfAnswer(&a)))
	drawn := runIn(t, nil, "map", o.folder, "--lose", "poach chickens@wed")
	require.Zero(t, drawn.code)
	bare := regexp.MustCompile(`</?a( href="[^"]*")?>\n`).ReplaceAllString(text, "")
	says(t, bare, strings.Replace(drawn.stdout, `role="img"`, `role="group"`, 1))
}

func TestBoardIsSmall(t *testing.T) {
	o := openBoard(t, "three-kettles", "--from", "2026-11-23")
	client := &http.Client{Transport: &http.Transport{DisableCompression: true}}
	wire := func(path string) (sent int, text string) {
		r, err := http.NewRequestWithContext(t.Context(), http.MethodGet, o.url+path, nil)
		require.NoError(t, err)
		r.Header.Set("Accept-Encoding", "gzip")
		got, err := client.Do(r)
		require.NoError(t, err)
		defer func() { _ = got.Body.Close() }()
		require.Equal(t, 200, got.StatusCode, path)
		raw, err := io.ReadAll(got.Body)
		require.NoError(t, err)
		require.Equal(t, "gzip", got.Header.Get("Content-Encoding"), path)
		z, err := gzip.NewReader(bytes.NewReader(raw))
		require.NoError(t, err)
		plain, err := io.ReadAll(z)
		require.NoError(t, err)
		return len(raw), string(plain)
	}
	for _, path := range []string{"/", "/map"} {
		total, text := wire(path)
		for _, m := range regexp.MustCompile(`(?:href|src)="(/(?:static/|board.webmanifest)[^"]*)"`).FindAllStringSubmatch(text, -1) {
			sent, _ := wire(m[1])
			total += sent
		}
		assert.Less(t, total, 150_000, "%s with all that it loads, in bytes", path)
		t.Logf("%s: %d bytes", path, total)
	}
}

// The codes that are printed let devices in that are not this machine; board/door_test.go follows them from there.
func TestCodesAreTold(t *testing.T) {
	b, err := board.New(t.Context(), board.Config{Options: menu.Options{Kitchen: menu.File("../../examples/first-pot/kitchen.yaml")}})
	require.NoError(t, err)
	var printed bytes.Buffer
	tellAddress(&printed, b, board.Door{LAN: true, Hosts: []string{"192.168.178.23"}}, 8410)
	codes := regexp.MustCompile(`to (look|write), with the code ([A-Z2-9]{4}-[A-Z2-9]{4}) at\nhttp://192\.168\.178\.23:8410/pair\?code=([A-Z2-9-]{9})\n`).FindAllStringSubmatch(printed.String(), -1)
	require.Len(t, codes, 2)
	for _, c := range codes {
		assert.Equal(t, c[2], c[3])
	}
	for _, want := range []string{"▀", "Each code works once", "nothing is encrypted"} {
		assert.Contains(t, printed.String(), want)
	}
}

// Where nobody asked for the network, the board is not there.
func TestBoardStaysHome(t *testing.T) {
	o := openBoard(t, "first-pot")
	hosts, err := addresses()
	require.NoError(t, err)
	for _, host := range hosts {
		_, err := (&http.Client{Timeout: time.Second}).Get(strings.Replace(o.url, "localhost", host, 1))
		assert.Error(t, err, host)
	}
	status, _, header := o.get("/")
	assert.Equal(t, 200, status)
	cookie := header.Get("Set-Cookie")
	for _, want := range []string{"HttpOnly", "SameSite=Strict"} {
		assert.Contains(t, cookie, want)
	}
}

// The picture that is printed leads where the words say.
func TestBlocks(t *testing.T) {
	const at = "http://192.168.178.23:8410/pair?code=ABCD-EFGH"
	var rows [][]bool // dark
	for line := range strings.Lines(blocks(at)) {
		line = strings.TrimSuffix(strings.TrimPrefix(strings.TrimSpace(line), "\x1b[30;47m"), "\x1b[0m")
		var upper, lower []bool
		for _, r := range line {
			upper, lower = append(upper, r == '▀' || r == '█'), append(lower, r == '▄' || r == '█')
		}
		rows = append(rows, upper, lower)
	}
	const dot = 4
	picture := image.NewGray(image.Rect(0, 0, dot*(len(rows[0])+8), dot*(len(rows)+8)))
	for y := range picture.Rect.Dy() {
		for x := range picture.Rect.Dx() {
			row, col := y/dot-4, x/dot-4
			light := row < 0 || row >= len(rows) || col < 0 || col >= len(rows[row]) || !rows[row][col]
			if light {
				picture.SetGray(x, y, color.Gray{Y: 255})
			}
		}
	}
	read, err := qr.Decode(picture)
	require.NoError(t, err)
	assert.Equal(t, at, read)
}

// A board that is open already, or another program at its port, is told.
func TestPortTaken(t *testing.T) {
	o := openBoard(t, "first-pot")
	port := o.url[strings.LastIndex(o.url, ":")+1:]
	got := runIn(t, nil, "serve", o.folder, "--port", port)
	assert.Equal(t, failed, got.code)
	assert.Empty(t, got.stdout)
	assert.Equal(t, "kettletree: error: port "+port+" is taken by another program\n"+
		"kettletree: hint: is the board open already? If not, choose another with --port, or any free one with --port 0\n", got.stderr)
	assert.Zero(t, o.stop(), "Ctrl-C is how a board is closed")
	assert.Contains(t, o.printed.String(), "The board is closed. What was written down is in the log book.")
}

// Today goes with the clock: before the first service, in it, between two, after the last, on a closed day, outside the days.
func TestBoardThroughTheWeek(t *testing.T) {
	o := openBoard(t, "three-kettles", "--from", "2026-11-23")
	for now, wants := range map[string][]string{
		"2026-11-23 09:00": {"Tue 24 Nov, lunch", "to 11:00", "Nothing due. Next:"}, // Monday is closed
		"2026-11-24 09:00": {"Tue 24 Nov, lunch", "11:30 to 14:30<"},
		"2026-11-24 11:30": {"11:30 to 14:30, under way"},
		"2026-11-24 14:30": {"Tue 24 Nov, dinner", "to 16:30", "Bone out shoulder", "bone+out+shoulder%40tue"},
		"2026-11-24 21:59": {"17:30 to 22:00, under way", "START night kettle", "to 23:59"},
		"2026-11-24 23:30": {"Wed 25 Nov, lunch", "(night kettle)", "night+kettle%40tue", "to 01:30"},
		"2026-11-29 22:00": {"No service left"},
		"2026-12-24 12:00": {"Tue 24 Nov, lunch", "from Mon 23 Nov"},
		"2026-01-01 12:00": {"Tue 24 Nov, lunch"},
	} {
		t.Run(now, func(t *testing.T) {
			o.t = t
			t.Setenv(clockName, now)
			status, text, _ := o.get("/")
			assert.Equal(t, 200, status)
			for _, want := range wants {
				says(t, text, strings.ReplaceAll(want, "+", "&#43;"))
			}
		})
	}
	o.t = t
	_, text, _ := o.get("/?from=2026-11-23&days=21")
	says(t, text, "strike=red&#43;pozole%402026-11-24&#43;lunch") // a weekday would name three days
}
