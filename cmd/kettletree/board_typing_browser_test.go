//go:build browser

package main

// What is typed is what is written down, however slow the network is: taps and keys at random on a phone behind a proxy that delays,
// while another device writes too; then what was typed is held against the log book.

import (
	"context"
	"flag"
	"fmt"
	"io"
	stdlog "log"
	"math/rand/v2"
	"net"
	"net/http"
	"net/http/httputil"
	"net/url"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// typingTime is how long is typed at each delay: go test -tags browser -run BrowserTyping -typing 2m ./cmd/kettletree
var typingTime = flag.Duration("typing", 0, "how long TestBrowserTyping types at each delay; 0 for a few entries")

// slowness are the delays at which is tried, in milliseconds.
var slowness = []time.Duration{0, 80, 200, 400, 2000}

// network is what lies between devices and the board.
type network struct {
	address string
	cut     atomic.Bool // nothing comes through
	deaf    atomic.Bool // what is written arrives, and its answer is lost
}

// delaying is a proxy before a board, by which every answer takes so much longer: half of it on the way there, half on the way back.
func delaying(t *testing.T, o *served, by time.Duration) *network {
	t.Helper()
	to, err := url.Parse(o.url)
	require.NoError(t, err)
	n := new(network)
	wait := func(ctx context.Context) bool {
		select {
		case <-ctx.Done():
			return false
		case <-time.After(by / 2):
			return true
		}
	}
	static := func(r *http.Request) bool { return strings.HasPrefix(r.URL.Path, "/static/") }
	behind := &httputil.ReverseProxy{FlushInterval: -1, ErrorLog: stdlog.New(io.Discard, "", 0), Rewrite: func(r *httputil.ProxyRequest) {
		r.SetURL(to)
		r.Out.Host = to.Host
		if r.Out.Header.Get("Origin") != "" {
			r.Out.Header.Set("Origin", o.url)
		}
	}, ModifyResponse: func(r *http.Response) error {
		if n.cut.Load() || n.deaf.Load() && r.Request.Method == http.MethodPost || !static(r.Request) && !wait(r.Request.Context()) {
			return http.ErrAbortHandler
		}
		return nil
	}, ErrorHandler: func(http.ResponseWriter, *http.Request, error) { panic(http.ErrAbortHandler) }} // a board that is dead says nothing
	front := &http.Server{ErrorLog: stdlog.New(io.Discard, "", 0), ReadHeaderTimeout: time.Minute, Handler: http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if n.cut.Load() || !static(r) && !wait(r.Context()) {
			panic(http.ErrAbortHandler)
		}
		behind.ServeHTTP(w, r)
	})}
	l, err := new(net.ListenConfig).Listen(t.Context(), "tcp", "127.0.0.1:0")
	require.NoError(t, err)
	go func() { _ = front.Serve(l) }()
	t.Cleanup(func() { _ = front.Close() })
	n.address = "http://" + strings.Replace(l.Addr().String(), "127.0.0.1", "localhost", 1)
	return n
}

// keys types as a hand does: letter by letter, into what has the focus.
func (b *tab) keys(text string) {
	b.t.Helper()
	for _, r := range text {
		b.do(chromedp.KeyEvent(string(r)))
	}
}

// focuses puts the cursor into a field of an open form.
func (b *tab) focuses(field string) {
	b.t.Helper()
	b.until(fmt.Sprintf(`(() => { const e = document.querySelector(%q); if (!e) return false; e.focus(); return document.activeElement === e })()`, field), "%s has the focus", field)
}

// wroteAfter waits until the log book has more entries than before.
func (b *tab) wroteAfter(before int) []string {
	b.t.Helper()
	deadline := time.Now().Add(3 * tabPatience)
	for time.Now().Before(deadline) {
		if now := b.o.news(); len(now) > before {
			return now[before:]
		}
		_ = evaluate[bool](b, `(() => { const sure = document.querySelector("button[name=sure]"); if (sure) sure.click(); return !!sure })()`)
		select {
		case <-b.t.Context().Done():
		case <-time.After(50 * time.Millisecond):
		}
	}
	require.Fail(b.t, "nothing was written down")
	return nil
}

func TestBrowserTyping(t *testing.T) {
	for _, delay := range slowness {
		t.Run(fmt.Sprintf("%d ms", delay), func(t *testing.T) {
			o := kettles(t)
			address := o.url
			o.url = delaying(t, o, delay*time.Millisecond).address
			b := openTab(t, o, phone)
			seed := rand.Uint64()
			t.Logf("seed %d", seed)
			random := rand.New(rand.NewPCG(seed, 1))
			b.open("/buy")
			lines := evaluate[[]string](b, `[...document.querySelectorAll(".buying form[data-keep] input[name=item]")].map(e => e.value)`)
			require.NotEmpty(t, lines)
			began := time.Now()
			for i := 0; i < 3 || time.Since(began) < *typingTime; i++ {
				if len(lines) == 0 {
					break
				}
				at := random.IntN(len(lines)) // each once: what has come is on the list no more
				item := lines[at]
				lines = slices.Delete(lines, at, at+1)
				amount, price := typedNumber(random), typedNumber(random)
				before := len(o.news())
				if i%3 == 2 { // another device writes while this one types
					other := fmt.Sprintf("binned %d g lard", i+1)
					go func() { _, _ = http.PostForm(address+"/write", url.Values{"text": {other}, "sure": {"yes"}}) }()
					before++
				}
				form := fmt.Sprintf(`form[data-keep$=%q]`, " "+item)
				b.until(fmt.Sprintf(`(() => { const d = document.querySelector(%q); if (!d) return false; for (let e = d; e = e.parentElement && e.parentElement.closest("details");) e.open = true; return true })()`, form), "the line of %s is there", item)
				b.focuses(form + " input[name=amount]")
				b.keys(amount)
				if random.IntN(2) == 0 {
					b.do(chromedp.KeyEvent(kb.Tab))
				} else {
					b.focuses(form + " input[name=ask]")
				}
				b.keys(price)
				b.until(fmt.Sprintf(`(() => { document.querySelector(%q).click(); return true })()`, form+" button.main"), "Received is tapped")
				want := fmt.Sprintf("received %s ", strings.ReplaceAll(amount, ",", "."))
				got := b.wroteAfter(before)
				var mine string
				for _, text := range got {
					if strings.Contains(text, " "+item+" for ") {
						mine = text
					}
				}
				assert.True(t, strings.HasPrefix(mine, want), "typed %s at %s of %s; written: %q", amount, price, item, got)
				assert.InDelta(t, numberOf(t, amount)*numberOf(t, price), paidOf(t, mine), 0.0051, "typed %s at %s of %s; written: %q", amount, price, item, got)
				b.until(`!document.documentElement.classList.contains("waiting")`, "nothing is waited for")
			}
		})
	}
}

// typedNumber is a number as it is typed, with a point or a comma.
func typedNumber(r *rand.Rand) string {
	return fmt.Sprintf("%d%s%d", 1+r.IntN(40), []string{".", ","}[r.IntN(2)], 1+r.IntN(9))
}

func numberOf(t *testing.T, text string) (x float64) {
	t.Helper()
	_, err := fmt.Sscanf(strings.ReplaceAll(text, ",", "."), "%g", &x)
	require.NoError(t, err)
	return x
}

// paidOf is what an entry says was paid.
func paidOf(t *testing.T, entry string) float64 {
	t.Helper()
	_, paid, found := strings.Cut(entry, " for ")
	require.True(t, found, entry)
	paid, _, _ = strings.Cut(paid, " ")
	return numberOf(t, paid)
}

// What is typed outlives Back, a reload and a lost network, and is written down once, however often it is sent.
func TestBrowserKeepsWhatIsTyped(t *testing.T) {
	atBothSizes(t, kettles, func(b *tab) {
		o := b.o
		slow := delaying(b.t.(*testing.T), o, 20*time.Millisecond)
		o.url = slow.address
		b.open("/log?kind=binned")
		b.focuses("#item")
		b.keys("LARD")
		b.focuses("#amount")
		b.keys("1,25")
		b.tap("Sold")
		b.sees("hen tortilla soup")
		b.tap("Binned")
		b.until(`(document.querySelector("#amount") || {}).value === "1,25" && document.querySelector("#item").value === "LARD"`, "what was typed is there")
		b.sees("not sent.")
		b.open("/log?kind=binned")
		b.until(`(document.querySelector("#amount") || {}).value === "1,25"`, "what was typed is there after a reload")
		b.sound("kept")
		slow.cut.Store(true)
		b.tap("Write it down")
		b.sees("Not written down: there is no answer")
		slow.cut.Store(false)
		b.until(`document.querySelector("#amount").value === "1,25"`, "what was typed is still there")
		b.tap("Write it down")
		b.sees("Written down:")
		assert.Equal(b.t, []string{"binned 1.25 kg lard"}, o.news())
		b.until(`document.querySelector("#amount").value === ""`, "the form is empty again")
		b.focuses("#amount")
		b.keys("9")
		b.open("/log?kind=binned")
		b.tap("Discard")
		b.until(`document.querySelector("#amount").value === ""`, "it is discarded")
	})
}
