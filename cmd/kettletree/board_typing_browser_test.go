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
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/graph/measure"
)

// typingTime is how long is typed at each delay: go test -tags browser -run BrowserTyping -typing 2m -timeout 30m ./cmd/kettletree
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
	inside := *to
	inside.Host = strings.Replace(to.Host, networked, loopedBack, 1)
	static := func(r *http.Request) bool { return strings.HasPrefix(r.URL.Path, "/static/") }
	behind := &httputil.ReverseProxy{FlushInterval: -1, ErrorLog: stdlog.New(io.Discard, "", 0), Rewrite: func(r *httputil.ProxyRequest) {
		r.SetURL(&inside)
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
	host := inside.Hostname()
	if host == "localhost" {
		host = "127.0.0.1"
	}
	l, err := new(net.ListenConfig).Listen(t.Context(), "tcp", net.JoinHostPort(host, "0"))
	require.NoError(t, err)
	go func() { _ = front.Serve(l) }()
	t.Cleanup(func() { _ = front.Close() })
	n.address = "http://" + strings.NewReplacer("127.0.0.1", "localhost", loopedBack, networked).Replace(l.Addr().String())
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

// wroteAfter waits until the log book has an entry behind those before that says something, which nobody else writes, and gives it.
func (b *tab) wroteAfter(before int, says string) string {
	b.t.Helper()
	deadline := time.Now().Add(3 * tabPatience)
	for time.Now().Before(deadline) {
		for _, text := range b.o.news()[before:] {
			if strings.Contains(text+" ", says) {
				return text
			}
		}
		_ = evaluate[bool](b, `(() => { const sure = document.querySelector("button[name=sure]"); if (sure) sure.click(); return !!sure })()`)
		select {
		case <-b.t.Context().Done():
		case <-time.After(50 * time.Millisecond):
		}
	}
	require.Fail(b.t, "nothing was written down", "%q; the page says %s", says, evaluate[string](b, saidNow))
	return ""
}

func TestBrowserTyping(t *testing.T) {
	places := typedAt
	if *typingTime == 0 { // another in each run
		places = []workplace{places[rand.IntN(len(places))]}
	}
	for n := range len(places) * len(slowness) {
		place, delay := places[n/len(slowness)], slowness[n%len(slowness)]
		t.Run(fmt.Sprintf("%s %d ms", place.name, delay), func(t *testing.T) {
			seed := rand.Uint64()
			t.Logf("seed %d", seed)
			y := &typist{workplace: place, random: rand.New(rand.NewPCG(seed, 1)), began: time.Now()}
			defer func() {
				t.Logf("%d taps, %d letters, %d entries in %.0f s", y.taps, y.letters, y.entries, time.Since(y.began).Seconds())
			}()
			for i := 0; i < 4 || time.Since(y.began) < *typingTime; i++ {
				if i%shift == 0 { // on another board: of this one most has come, and little is left to be thrown away
					o := place.opens(t)
					y.direct, y.done = o.url, nil
					o.url = delaying(t, o, delay*time.Millisecond).address
					y.tab = openTab(t, o, phone)
					y.open("/buy")
				}
				if i%2 == 0 {
					y.buys()
				} else {
					y.bins(i)
				}
				y.until(`!document.documentElement.classList.contains("waiting")`, "nothing is waited for")
				if t.Failed() {
					return
				}
			}
		})
	}
}

// shift is how many entries a typist writes on one board.
const shift = 40

// workplace is a kitchen that is typed in: what is thrown away there, and what the other device throws away.
type workplace struct {
	name  string
	opens func(*testing.T) *served
	bins  []string
	other string
}

var typedAt = []workplace{
	{"kettles", kettles, []string{"lard", "kettle stock", "second stock", "shoulder meat", "kettle fat", "head cheese", "pulled hen"}, "cracklings"},
	{"inn", func(t *testing.T) *served {
		t.Helper()
		folder := t.TempDir()
		require.NoError(t, os.CopyFS(folder, os.DirFS(filepath.Join("testdata", "inn"))))
		t.Setenv(clockName, "2026-11-24 08:00")
		return serveFolder(t, folder)
	}, []string{"pulled mutton", "mutton fat", "mutton broth", "leek hash"}, "turnips"},
}

// typist types at random.
type typist struct {
	*tab
	workplace
	random *rand.Rand
	began  time.Time
	direct string   // the board without the proxy
	done   []string // what has come

	taps, letters, entries int
}

func (y *typist) tap(button string) { y.t.Helper(); y.taps++; y.tab.tap(button) }

func (y *typist) keys(text string) { y.t.Helper(); y.letters += len([]rune(text)); y.tab.keys(text) }

func (y *typist) fills(field, text string) {
	y.t.Helper()
	y.taps++
	y.letters += len([]rune(text))
	y.tab.fills(field, text)
}

func (y *typist) focuses(field string) { y.t.Helper(); y.taps++; y.tab.focuses(field) }

// chance draws whether something happens that happens once in so many times.
func (y *typist) chance(in int) bool { return y.random.IntN(in) == 0 }

// buys receives something of the list: the amount, then the price, by Tab or by a tap.
func (y *typist) buys() {
	y.t.Helper()
	if !evaluate[bool](y.tab, `location.pathname === "/buy"`) {
		y.tap("Buy")
		y.until(`!!document.querySelector(".buying")`, "the list is there")
	}
	lines := evaluate[[][]string](y.tab, `[...document.querySelectorAll(".buying li:not(.came) form[id^=weigh-]")].map(f => [f.querySelector("input[name=item]").value, f.dataset.keep])`)
	lines = slices.DeleteFunc(lines, func(l []string) bool { return slices.Contains(y.done, l[0]) })
	if len(lines) == 0 { // all has come
		return
	}
	line := lines[y.random.IntN(len(lines))]
	item, form := line[0], fmt.Sprintf(`form[data-keep=%q]`, line[1])
	y.done = append(y.done, item)
	amount, price, before := typedNumber(y.random), typedNumber(y.random), len(y.o.news())
	y.until(fmt.Sprintf(`(() => { const d = document.querySelector(%q); if (!d) return false; for (let e = d; e = e.parentElement && e.parentElement.closest("details");) e.open = true; return true })()`, form), "the line of %s is there", item)
	y.focuses(form + " input[name=amount]")
	y.keys(amount)
	if y.chance(2) {
		y.do(chromedp.KeyEvent(kb.Tab))
	} else {
		y.focuses(form + " input[name=ask]")
	}
	y.keys(price)
	if y.chance(4) {
		y.strays(form+" input[name=amount]", amount)
		y.until(fmt.Sprintf(`(() => { for (let e = document.querySelector(%q); e = e.parentElement && e.parentElement.closest("details");) e.open = true; return true })()`, form), "the line is open")
	}
	perUnit := evaluate[[]string](y.tab, fmt.Sprintf(`(f => [f.unit.value, f.per.value])(document.querySelector(%q))`, form))
	y.until(fmt.Sprintf(`(() => { document.querySelector(%q).click(); return true })()`, form+" button.main"), "Received is tapped")
	y.taps++
	got := y.wroteAfter(before, " "+item+" for ")
	y.entries++
	want := fmt.Sprintf("received %s ", strings.ReplaceAll(amount, ",", "."))
	assert.True(y.t, strings.HasPrefix(got, want), "typed %s at %s of %s; written: %q", amount, price, item, got)
	one, err := measure.UnitNamed(perUnit[0])
	require.NoError(y.t, err)
	per, err := measure.UnitNamed(perUnit[1])
	require.NoError(y.t, err)
	assert.InDelta(y.t, numberOf(y.t, amount)*one.Factor/per.Factor*numberOf(y.t, price), paidOf(y.t, got), 0.0051, "typed %s at %s of %s; written: %q", amount, price, item, got)
}

// bins throws something away; meanwhile another device may write too.
func (y *typist) bins(i int) {
	y.t.Helper()
	y.tap("Log")
	y.sees("Latest entries")
	y.tap("Binned")
	y.until(`(document.querySelector("#entry-form input[name=kind]") || {}).value === "binned"`, "the form is there")
	item, amount, before := y.workplace.bins[y.random.IntN(len(y.workplace.bins))], typedNumber(y.random), len(y.o.news())
	typed := item
	if y.chance(2) {
		typed = strings.ToUpper(item)
	}
	if y.chance(2) {
		other := fmt.Sprintf("binned %d g %s", i+1, y.other)
		go func() { _, _ = http.PostForm(y.direct+"/write", url.Values{"text": {other}, "sure": {"yes"}}) }()
	}
	y.fills("#entry-form input[name=item]", typed)
	y.fills("#entry-form input[name=amount]", amount)
	if y.chance(4) {
		y.strays("#entry-form input[name=amount]", amount)
	}
	y.until(`(() => { document.querySelector("#entry-form button.main:not([name])").click(); return true })()`, "Write it down is tapped")
	y.taps++
	got := y.wroteAfter(before, " "+item)
	y.entries++
	want := fmt.Sprintf("binned %s ", strings.ReplaceAll(amount, ",", "."))
	assert.True(y.t, strings.HasPrefix(got, want), "typed %s of %s; written: %q", amount, item, got)
}

// strays goes to another page in the middle of it, and comes back: what was typed is there.
func (y *typist) strays(field, typed string) {
	y.t.Helper()
	y.tap("Today")
	y.until(`location.pathname === "/" && !!document.querySelector("main[data-page='/']")`, "Today is there")
	y.do(chromedp.Func(func(ctx context.Context, _ *chromedp.Target) error {
		_, err := chromedp.Run(ctx, chromedp.Evaluate[chromedp.Void](`history.back(); undefined`))
		return err
	}))
	y.until(fmt.Sprintf(`((document.querySelector(%q) || {}).value || "").replace(",", ".") === %q`, field, strings.ReplaceAll(typed, ",", ".")), "%s still has %s", field, typed)
}

// typedNumber is a number as it is typed, with a point or a comma.
func typedNumber(r *rand.Rand) string {
	return fmt.Sprintf("%d%s%d", 1+r.IntN(40), []string{".", ","}[r.IntN(2)], 1+r.IntN(9))
}

func numberOf(t testing.TB, text string) (x float64) {
	t.Helper()
	_, err := fmt.Sscanf(strings.ReplaceAll(text, ",", "."), "%g", &x)
	require.NoError(t, err)
	return x
}

// paidOf is what an entry says was paid.
func paidOf(t testing.TB, entry string) float64 {
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
		b.sees("No answer came, so this may not be written down.")
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
