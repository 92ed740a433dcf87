package main

// A kitchen begun on pages, asked as a browser would.

import (
	"bytes"
	"context"
	"html"
	"io"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// hiddenOn are the answers of other pages that a page carries.
func hiddenOn(page string) url.Values {
	all := url.Values{}
	for _, m := range regexp.MustCompile(`<input type="hidden" name="([^"]*)" value="([^"]*)">`).FindAllStringSubmatch(page, -1) {
		all.Set(m[1], html.UnescapeString(m[2]))
	}
	return all
}

// with are the answers that a page carries, and those that are typed on it.
func with(page string, typed map[string]string) url.Values {
	all := hiddenOn(page)
	for name, value := range typed {
		all.Set(name, value)
	}
	return all
}

// What is typed about a pie shop, page by page.
var (
	pieHouse = map[string]string{"name": "Corner Pies", "open": "tue-sat", "lunch": "11:30-15:00"}
	piePot   = map[string]string{"pot": "shin pot", "days": "tue fri", "lit": "06:00", "in 1 what": "20 kg beef shin", "in 1 price": "9,80", "in 1 raw": "yes", "in 2 what": "26 L water",
		"out 1 what": "30 L stock", "out 2 what": "9 kg shin meat at 4 h"}
	pieSold = map[string]string{"dish 1 name": "shin pie", "dish 1 takes": "150 g shin meat, 100 mL stock", "dish 1 price": "8.50", "dish 1 sells": "40"}
)

func TestBeginOnPages(t *testing.T) {
	o := serveFolder(t, t.TempDir())
	file := filepath.Join(o.folder, "kitchen.yaml")
	assert.Contains(t, o.printed.String(), "There is no kitchen file here yet. Begin one at ")
	post := func(screen string, form url.Values) (int, string) {
		t.Helper()
		status, text, _ := o.send(http.MethodPost, "/start?screen="+screen, form, nil)
		return status, text
	}

	status, text, _ := o.get("/")
	assert.Equal(t, 200, status)
	assert.Contains(t, text, "<h1>Your kitchen</h1>")
	assert.Contains(t, text, "Whatever you skip stays an open question, to answer later.")
	status, _, _ = o.get("/start/flow.svg")
	assert.Equal(t, 404, status, "nothing is told yet")
	status, _, _ = o.send(http.MethodGet, "/", nil, http.Header{"Host": {"kitchen.example"}})
	assert.Equal(t, 403, status)
	status, _, _ = o.send(http.MethodPost, "/start?screen=1", url.Values{"name": {"x"}}, http.Header{"Origin": {"http://elsewhere.example"}, "Sec-Fetch-Site": {"cross-site"}})
	assert.Equal(t, 403, status)

	// What is no page, or not the whole of one, is refused and writes nothing.
	for _, screen := range []string{"9", "0", "", "x"} {
		status, text = post(screen, url.Values{"x": {"1"}, "dish 1 name": {""}})
		assert.Equal(t, 404, status, screen)
		assert.Contains(t, text, "a kitchen is begun on pages 1 to 3")
	}
	status, text = post("3", url.Values{"x": {"1"}})
	assert.Equal(t, 400, status)
	assert.Contains(t, text, "The form did not come whole")
	assert.NoFileExists(t, file)

	// A slip is told beside what was typed, and nothing that was typed is lost.
	_, text = post("1", with("", map[string]string{"name": "Corner Pies", "open": "tomorrow", "lunch": "11:30-15:00"}))
	assert.Contains(t, text, "&#34;tomorrow&#34; are no days.")
	assert.Contains(t, text, `name="name" value="Corner Pies"`)
	assert.Contains(t, text, `name="open" value="tomorrow" placeholder="tue-sat" autocomplete="off" aria-invalid="true"`)
	_, two := post("1", with("", pieHouse))
	assert.Contains(t, two, "<h1>The pot</h1>")

	form := with(two, piePot)
	form.Set("more", "yes")
	_, text = post("2", form)
	assert.Contains(t, text, `name="in 6 what"`)
	assert.Contains(t, text, `value="20 kg beef shin"`)
	form.Del("more")
	form.Set("back", "yes")
	_, text = post("2", form)
	assert.Contains(t, text, `name="name" value="Corner Pies"`)
	assert.Equal(t, "26 L water", hiddenOn(text).Get("in 2 what"), "the way back loses nothing")
	_, three := post("2", with(two, piePot))
	assert.Contains(t, three, "<h1>What is sold of it</h1>")
	drawn := regexp.MustCompile(`<img src="(/start/flow.svg[^"]*)"`).FindStringSubmatch(three)
	require.NotNil(t, drawn)
	status, text, _ = o.get(html.UnescapeString(drawn[1]))
	assert.Equal(t, 200, status)
	assert.Contains(t, text, "shin pot")
	assert.NoFileExists(t, file)

	_, text = post("3", with(three, map[string]string{"dish 1 name": "shin pie", "dish 1 takes": "150 g shin meat, 100 mL stok"}))
	assert.Contains(t, text, "Did you mean &#34;stock&#34;?")
	// What is wrong on this page holds nobody at an earlier one.
	form = with(text, pieHouse)
	form.Set("dish 1 takes", "100 mL stok")
	_, text = post("1", form)
	assert.Contains(t, text, "<h1>The pot</h1>")
	status, text = post("3", with(three, pieSold))
	assert.Equal(t, 200, status)
	assert.Contains(t, html.UnescapeString(text), "What if: Tuesday's shin pot is lost")
	assert.Contains(t, text, "Runs out 11:30")
	written, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Contains(t, string(written), "  beef shin: {price: 9.80/kg, raw: yes}\n")
	assert.Contains(t, string(written), "      - 9 kg shin meat, out at 4 h\n")
	assert.Contains(t, string(written), "  shin pie: {price: 8.50, takes: [150 g shin meat, 100 mL stock], sells: 40}\n")
	status, text = post("3", with(three, pieSold))
	assert.Equal(t, 200, status, "a second tap")
	assert.Contains(t, html.UnescapeString(text), "What if: Tuesday's shin pot is lost")

	status, text, _ = o.get("/") // from now on it is the board
	assert.Equal(t, 200, status)
	assert.Contains(t, text, "Corner Pies")
	status, text, _ = o.get("/start?screen=2")
	assert.Equal(t, 200, status)
	assert.Contains(t, text, "Corner Pies")
	assert.Zero(t, o.stop())
}

// Two devices that begin at once see nothing of each other; the second that is done loses nothing, and is told.
func TestBeginOnTwoDevices(t *testing.T) {
	o := serveFolder(t, t.TempDir())
	post := func(screen string, form url.Values) (int, string) {
		t.Helper()
		status, text, _ := o.send(http.MethodPost, "/start?screen="+screen, form, nil)
		return status, text
	}
	_, mine := post("1", with("", pieHouse))
	_, theirs := post("1", with("", map[string]string{"name": "Fish Shed"}))
	_, mine = post("2", with(mine, piePot))
	_, theirs = post("2", with(theirs, map[string]string{"pot": "fumet pot", "in 1 what": "8 kg bones", "out 1 what": "12 L fumet"}))
	assert.NotContains(t, theirs, "shin")
	status, _ := post("3", with(mine, pieSold))
	assert.Equal(t, 200, status)
	written, err := os.ReadFile(filepath.Join(o.folder, "kitchen.yaml"))
	require.NoError(t, err)
	assert.Contains(t, string(written), "shin pot:")
	assert.NotContains(t, string(written), "fumet")

	status, text := post("3", with(theirs, map[string]string{"dish 1 name": "chowder", "dish 1 takes": "300 mL fumet"}))
	assert.Equal(t, 409, status)
	assert.Contains(t, text, "The kitchen has been begun meanwhile")
	assert.Contains(t, text, `<a href="/">Open the kitchen</a>`)
	assert.Contains(t, text, `value="chowder"`)
	assert.Equal(t, "8 kg bones", hiddenOn(text).Get("in 1 what"))
	status, text = post("1", with("", map[string]string{"name": "Fish Shed"}))
	assert.Equal(t, 409, status)
	assert.Contains(t, text, `value="Fish Shed"`)
	again, err := os.ReadFile(filepath.Join(o.folder, "kitchen.yaml"))
	require.NoError(t, err)
	assert.Equal(t, string(written), string(again))
	assert.Zero(t, o.stop())
}

// A program that is closed while somebody types goes on with what the page carries, and a file that was made by hand meanwhile is not written over.
func TestBeginAgain(t *testing.T) {
	o := serveFolder(t, t.TempDir())
	_, two, _ := o.send(http.MethodPost, "/start?screen=1", with("", pieHouse), nil)
	assert.Zero(t, o.stop())
	o = serveFolder(t, o.folder)
	status, three, _ := o.send(http.MethodPost, "/start?screen=2", with(two, piePot), nil)
	assert.Equal(t, 200, status)
	assert.Contains(t, three, "<h1>What is sold of it</h1>")

	byHand := "kitchen: By Hand\n"
	require.NoError(t, os.WriteFile(filepath.Join(o.folder, "kitchen.yaml"), []byte(byHand), 0o600))
	status, text, _ := o.send(http.MethodPost, "/start?screen=3", with(three, pieSold), nil)
	assert.Equal(t, 409, status)
	assert.Contains(t, text, `value="shin pie"`)
	status, text, _ = o.get("/")
	assert.Equal(t, 200, status)
	assert.Contains(t, text, "By Hand")
	left, err := os.ReadFile(filepath.Join(o.folder, "kitchen.yaml"))
	require.NoError(t, err)
	assert.Equal(t, byHand, string(left))
	assert.Zero(t, o.stop())
}

// Interrupted, the questions say that nothing is written.
func TestStartInterrupted(t *testing.T) {
	folder := t.TempDir()
	file := filepath.Join(folder, "kitchen.yaml")
	ctx, stop := context.WithCancel(t.Context())
	answers, typing := io.Pipe()
	go func() {
		_, _ = io.WriteString(typing, "Corner Pies\ntue-sat\n")
		stop()
	}()
	var stdout, stderr bytes.Buffer
	assert.Equal(t, interrupted, run(ctx, []string{"kettletree", "start", file}, answers, &stdout, &stderr))
	assert.Contains(t, stderr.String(), file+" is not written. What you answered stands above, and is kept nowhere.")
	assert.NoFileExists(t, file)
}

func TestBeginNeedsThisMachine(t *testing.T) {
	got := runIn(t, nil, "serve", t.TempDir(), "--lan")
	assert.Equal(t, failed, got.code)
	assert.Contains(t, got.stderr, "begin it at this machine first")
}
