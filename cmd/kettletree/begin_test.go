package main

// A kitchen begun on pages, asked as a browser would.

import (
	"html"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestBeginOnPages(t *testing.T) {
	o := serveFolder(t, t.TempDir())
	file := filepath.Join(o.folder, "kitchen.yaml")
	assert.Contains(t, o.printed.String(), "There is no kitchen file here yet. Begin one at ")

	status, text, _ := o.get("/")
	assert.Equal(t, 200, status)
	assert.Contains(t, text, "<h1>Your kitchen</h1>")
	status, _, _ = o.get("/start/flow.svg")
	assert.Equal(t, 404, status, "nothing is told yet")
	status, _, _ = o.send(http.MethodGet, "/", nil, http.Header{"Host": {"kitchen.example"}})
	assert.Equal(t, 403, status)
	status, _, _ = o.send(http.MethodPost, "/start?screen=1", url.Values{"name": {"x"}}, http.Header{"Origin": {"http://elsewhere.example"}, "Sec-Fetch-Site": {"cross-site"}})
	assert.Equal(t, 403, status)

	// A slip is told beside what was typed, and nothing that was typed is lost.
	_, text, _ = o.send(http.MethodPost, "/start?screen=1", url.Values{"name": {"Corner Pies"}, "open": {"tomorrow"}, "lunch": {"11:30-15:00"}}, nil)
	assert.Contains(t, text, "&#34;tomorrow&#34; are no days.")
	assert.Contains(t, text, `name="name" value="Corner Pies"`)
	assert.Contains(t, text, `name="open" value="tomorrow" placeholder="tue-sat" autocomplete="off" aria-invalid="true"`)
	_, text, _ = o.send(http.MethodPost, "/start?screen=1", url.Values{"name": {"Corner Pies"}, "open": {"tue-sat"}, "lunch": {"11:30-15:00"}}, nil)
	assert.Contains(t, text, "<h1>The pot</h1>")

	_, text, _ = o.send(http.MethodPost, "/start?screen=2", url.Values{"more": {"yes"}, "pot": {"shin pot"}, "in 1 what": {"20 kg beef shin"}}, nil)
	assert.Contains(t, text, `name="in 8 what"`)
	assert.Contains(t, text, `value="20 kg beef shin"`)
	_, text, _ = o.send(http.MethodPost, "/start?screen=2", url.Values{"pot": {"shin pot"}, "days": {"tue fri"}, "lit": {"06:00"}, "in 1 what": {"20 kg beef shin"},
		"in 1 price": {"9.80"}, "in 1 raw": {"yes"}, "in 2 what": {"26 L water"}, "out 1 what": {"30 L stock"}, "out 2 what": {"9 kg shin meat"}, "out 2 at": {"4"}}, nil)
	assert.Contains(t, text, "<h1>What is sold of it</h1>")
	assert.Contains(t, text, `<img src="/start/flow.svg"`)
	status, text, _ = o.get("/start/flow.svg")
	assert.Equal(t, 200, status)
	assert.Contains(t, text, "shin pot")
	assert.NoFileExists(t, file)

	_, text, _ = o.send(http.MethodPost, "/start?screen=3", url.Values{"dish 1 name": {"shin pie"}, "dish 1 takes": {"150 g shin meat, 100 mL stok"}}, nil)
	assert.Contains(t, text, "Did you mean &#34;stock&#34;?")
	// What is wrong on this page holds nobody at an earlier one.
	_, text, _ = o.send(http.MethodPost, "/start?screen=1", url.Values{"name": {"Corner Pies"}, "open": {"tue-sat"}, "lunch": {"11:30-15:00"}}, nil)
	assert.Contains(t, text, "<h1>The pot</h1>")
	status, text, _ = o.send(http.MethodPost, "/start?screen=3", url.Values{"dish 1 name": {"shin pie"}, "dish 1 takes": {"150 g shin meat, 100 mL stock"},
		"dish 1 price": {"8.50"}, "dish 1 sells": {"40"}}, nil)
	assert.Equal(t, 200, status)
	assert.Contains(t, html.UnescapeString(text), "What if: Tuesday's shin pot is lost")
	assert.Contains(t, text, "Runs out 11:30")
	written, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Contains(t, string(written), "  shin pie: {price: 8.50, takes: [150 g shin meat, 100 mL stock], sells: 40}\n")

	status, text, _ = o.get("/") // from now on it is the board
	assert.Equal(t, 200, status)
	assert.Contains(t, text, "Corner Pies")
	assert.Zero(t, o.stop())
}

func TestBeginNeedsThisMachine(t *testing.T) {
	got := runIn(t, nil, "serve", t.TempDir(), "--lan")
	assert.Equal(t, failed, got.code)
	assert.Contains(t, got.stderr, "begin it at this machine first")
}
