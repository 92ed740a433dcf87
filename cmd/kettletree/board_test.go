package main

// The board over the network: it is served by the command, in this process, and asked as a browser would.

import (
	"bufio"
	"bytes"
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

// withLogBook is the pozole cantina, whose log book tells what was on hand when Tuesday began.
func withLogBook(t testing.TB) *served {
	t.Helper()
	return openBoard(t, "three-kettles").counted()
}

// counted begins the log book with what its list says.
func (o *served) counted() *served {
	t := o.t
	t.Helper()
	src, err := os.ReadFile(filepath.Join(o.folder, "on-hand.csv"))
	require.NoError(t, err)
	var entries []string
	if filepath.Base(o.folder) == "three-kettles" {
		entries = append(entries, "counted 24 kg cooked hominy")
	}
	for row := range strings.Lines(string(src)) {
		if f := strings.Split(strings.TrimSpace(row), ","); len(f) == 3 && f[0] != "item" {
			entries = append(entries, "counted "+f[1]+" "+f[0])
		}
	}
	status, _, _ := o.send(http.MethodPost, "/write", url.Values{"text": entries, "at": {"2026-11-24"}}, nil)
	require.Equal(t, 200, status)
	o.before = len(o.logged())
	return o
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

// answers asks a command about the kitchen that is served.
func answers[T any](o *served, command string, args ...string) (a T) {
	o.t.Helper()
	got := runIn(o.t, nil, append([]string{command, o.folder, "--json"}, args...)...)
	require.Zero(o.t, got.code, got.stderr)
	require.NoError(o.t, json.Unmarshal([]byte(got.stdout), &a))
	return a
}

// news is what was written since the test began.
func (o *served) news() []string { return append([]string{}, o.logged()[o.before:]...) }

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
			form := url.Values{"text": {fmt.Sprintf("sold %d chicken roll", 1+cook)}, "seen": {strings.Repeat("9", cook+1)}}
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
	says(t, html.UnescapeString(text), show.WhatIfAnswer(&a))
	for _, d := range a.Dishes {
		if d.Date == "2026-11-24" {
			says(t, text, fmt.Sprintf("<b>%d</b> of %d", d.After, d.Forecast))
		}
	}
	_, text, _ = o.get("/map?lose=poach+chickens@wed&whole=yes")
	says(t, html.UnescapeString(text), show.WhatIfAnswer(&a))
	drawn := runIn(t, nil, "map", o.folder, "--lose", "poach chickens@wed")
	require.Zero(t, drawn.code)
	words := func(page string) (list []string) { // all but the caption, which on a page names no options
		for _, m := range regexp.MustCompile(`(?s)<g [^>]*>.*?</g>`).FindAllString(page, -1) {
			for _, t := range regexp.MustCompile(`<text[^>]*>([^<]*)</text>`).FindAllStringSubmatch(m, -1) {
				list = append(list, t[1])
			}
		}
		return list
	}
	require.NotEmpty(t, words(drawn.stdout))
	assert.Equal(t, words(drawn.stdout), words(text[strings.Index(text, `viewBox="0 0 1190`):]))
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
	for _, want := range []string{"▀", "Each code works once", "Nothing is encrypted"} {
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

// A board that is open already, or another program at its port, is said.
func TestPortTaken(t *testing.T) {
	o := openBoard(t, "first-pot")
	port := o.url[strings.LastIndex(o.url, ":")+1:]
	got := runIn(t, nil, "serve", o.folder, "--port", port)
	assert.Equal(t, failed, got.code)
	assert.Empty(t, got.stdout)
	assert.Equal(t, "kettletree: error: port "+port+" is used by another program\n"+
		"kettletree: hint: is the board open already? If not, choose another with --port, or any free one with --port 0\n", got.stderr)
	assert.Zero(t, o.stop(), "Ctrl-C is how a board is closed")
	assert.Contains(t, o.printed.String(), "The board is closed. What you logged is in the log book.")
}
