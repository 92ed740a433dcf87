//go:build browser

package main

// What was wrong with the board before it was built again, each played again as it was found, by a network that takes its time: at all
// five delays, and read back from the log book. What is drawn at random stands in TestBrowserTyping (1, 2); the whole night in
// TestBrowserMishaps.

import (
	"context"
	"fmt"
	"net"
	"net/url"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/logbook"
)

// wrongs are the faults, by their numbers, with the moment at which each was found.
var wrongs = []struct {
	name, now string
	board     func(*testing.T) *served
	plays     func(*tab)
}{
	{"1 and 2, what stands in the box", "2026-11-24 08:05", fishHouse, wrongAmounts},
	{"3, one now", tuesday, kettles, wrongNow},
	{"5, a loss leaves its trace", tuesday, kettles, wrongLoss},
	{"6, names and numbers as they are typed", tuesday, kettles, wrongNames},
	{"7, one output weighed", tuesday, kettles, wrongOutputs},
	{"8, a board that was away", tuesday, forNetwork, wrongGap},
	{"9, waiting, place and size", tuesday, kettles, wrongSizes},
	{"4, the service just over", "2026-11-24 22:05", kettles, wrongService},
}

// atOnce is how many of them are played at the same time.
const atOnce = 10

// fishHouse is the fish house, when its fish comes.
func fishHouse(t *testing.T) *served { return openBoard(t, "fish-house").counted() }

// forNetwork is the smallest kitchen, served to a network.
func forNetwork(t *testing.T) *served {
	o := openBoard(t, "first-pot", "--lan")
	here, err := url.Parse(o.url)
	require.NoError(t, err)
	o.url = "http://" + net.JoinHostPort(networked, here.Port())
	return o
}

func TestBrowserWrong(t *testing.T) {
	onNetwork(t)
	browser := openTab(t, &served{}, phone)
	for n, first := range wrongs {
		if n > 0 && wrongs[n-1].now == first.now {
			continue // those of one moment are played together: there is one clock
		}
		t.Run(first.now, func(t *testing.T) {
			t.Setenv(clockName, first.now)
			var all sync.WaitGroup
			places := make(chan bool, atOnce)
			for n := len(slowness) - 1; n >= 0; n-- { // the slowest first
				for _, w := range wrongs {
					if w.now != first.now {
						continue
					}
					places <- true
					all.Go(func() {
						defer func() { <-places }()
						t.Run(fmt.Sprintf("%s, %d ms", w.name, slowness[n]), func(t *testing.T) {
							o := w.board(t)
							o.t = t
							w.plays(alongside(t, browser, o, slowness[n]*time.Millisecond))
						})
					})
				}
			}
			all.Wait()
		})
	}
}

// alongside opens a tab in the same browser with a memory of its own, at the other end of a slow network.
func alongside(t *testing.T, browser *tab, o *served, delay time.Duration) *tab {
	t.Helper()
	ctx, stop := chromedp.NewContext(browser.ctx, chromedp.WithNewBrowserContext())
	t.Cleanup(stop)
	require.NoError(t, chromedp.Do(ctx, chromedp.EmulateViewport(browser.s.width, browser.s.height, chromedp.EmulateMobile, chromedp.EmulateTouch)))
	slow := *o
	slow.url = delaying(t, o, delay).address
	return &tab{t, ctx, &slow, browser.s, 3 * tabPatience, stop} // many are played at once
}

// wrote waits until the log book has just these entries.
func (b *tab) wrote(want ...string) {
	b.t.Helper()
	require.EventuallyWithT(b.t, func(c *assert.CollectT) { assert.Equal(c, want, b.o.news()) }, b.patience, 50*time.Millisecond)
}

// 1. What was typed into the box is what is written, also where it was refused first. 2. Nothing is put under a field in use.
func wrongAmounts(b *tab) {
	b.open("/buy")
	salmon, cod := `form[data-keep$=" whole salmon"] `, `form[data-keep$=" whole cod"] `
	unfold := func(line string) {
		b.until(fmt.Sprintf(`(() => { for (let e = document.querySelector(%q); e = e.parentElement && e.parentElement.closest("details");) e.open = true; return true })()`, line+"input[name=amount]"), "the line is open")
	}
	unfold(salmon)
	b.focuses(salmon + "input[name=amount]")
	b.keys("3.3")
	b.do(chromedp.KeyEvent(kb.Tab)) // what follows is asked for meanwhile
	b.keys("14,50")
	b.tap("Received whole salmon")
	unfold(cod)
	b.focuses(cod + "input[name=amount]") // the thumb goes on before the answer is there
	b.sees("received 3.3 kg whole salmon")
	b.keys("18,5 or so")
	b.tap("Received whole cod")
	b.until(fmt.Sprintf(`!!document.querySelector(%q) && document.querySelector(%q).value === "18,5 or so"`, cod+".says-wrong", cod+"input[name=amount]"), "it is refused beside its field, and kept")
	b.fills(cod+"input[name=amount]", "18,5")
	b.tap("Received whole cod")
	b.wrote(`received 3.3 kg whole salmon for 47.85 from "fish market"`, `received 18.5 kg whole cod for 159.10 from "fish market"`)
}

// 3. Today, Clock and Log go by one now, and by what was just written down.
func wrongNow(b *tab) {
	b.open("/")
	b.sees("3 that nobody wrote down")
	b.tap("3 that nobody wrote down: they count as planned")
	b.tap("Lost cook beans of Tue 24 Nov")
	b.sees("2 that nobody wrote down")
	var asked []string
	for _, path := range []string{"/", "/clock", "/log"} {
		b.open(path)
		asked = append(asked, evaluate[string](b, `document.getElementById("main").dataset.now`))
		b.seesNot("Cook beans of Tue 24 Nov Counts as planned")
	}
	b.sees("lost cook beans of 2026-11-24")
	assert.Equal(b.t, []string{"2026-11-24T14:05", "2026-11-24T14:05", "2026-11-24T14:05"}, asked)
	assert.Equal(b.t, []string{"lost cook beans of 2026-11-24"}, b.o.news())
	last := answers[logbook.Log](b.o, "log", "show", "--last", "1")
	assert.Equal(b.t, "2026-11-24 14:05:00", last.Entries[0].At)
}

// 4. After dinner, dinner is what was sold.
func wrongService(b *tab) {
	b.open("/log")
	b.tap("Sold")
	b.until(`(document.querySelector("#entry-form select[name=service]") || {}).value === "dinner"`, "dinner is what was just served")
	b.types("red pozole", "18")
	b.tap("Write it down")
	b.wrote("sold 18 red pozole at dinner")
	sold := answers[logbook.Log](b.o, "log", "show", "--last", "1").Entries[0]
	assert.Equal(b.t, "dinner", sold.Service)
}

// 5. A loss that is written down stands on Today, with what can be done; a missing ham bone leaves the kettle's other shopping on the list.
func wrongLoss(b *tab) {
	b.open("/buy?line=smoked+ham+bones")
	b.tap("Did not come: smoked ham bones")
	b.sees("Without smoked ham bones no dish runs short, as it stands.") // the kettle takes them to taste
	b.until(`["pork trotters", "stewing hen"].every((of) => [...document.querySelectorAll(".buying li:not(.came) .name")].some((e) => e.textContent.trim().startsWith(of)))`, "what else the kettle takes is still to be bought")
	b.tap("Today")
	b.sees("taken to be none until it comes: smoked ham bones")
	b.tap("Another batch was lost")
	b.tap("Tuesday's night kettle")
	b.sees("What if: Tuesday's night kettle is lost")
	b.tap("Write it down")
	b.sees("Written down:")
	b.tap("What can be done")
	b.until(`location.pathname === "/rescue"`, "what can be done is there, or worked out") // TestBrowserThreeDays does it
	assert.Equal(b.t, []string{"did not come smoked ham bones", "lost night kettle of 2026-11-24"}, b.o.news())
}

// 6. Names and numbers are taken as they are typed; what can be meant is a list to tap; what is put right opens where it is seen.
func wrongNames(b *tab) {
	b.open("/log?kind=binned")
	b.fills("#item", "Lard")
	b.fills("#amount", "1,25")
	b.tap("Write it down")
	b.sees("binned 1.25 kg lard")
	b.tap("Binned")
	b.until(`!location.search.includes("wrote") && document.querySelector("#amount").value === ""`, "the form is there, and empty")
	b.fills("#item", "stock")
	b.fills("#amount", "15,5")
	b.tap("Write it down")
	b.sees("Which of these is")
	assert.Equal(b.t, "15,5", evaluate[string](b, `document.querySelector("#amount").value`))
	b.tap("kettle stock")
	b.sees("binned 15.5 L kettle stock")
	b.tap(fmt.Sprintf("Correct entry %d", b.o.before+2))
	b.until(`(() => { const e = document.querySelector("#entry-form #amount"); if (!e || e.value !== "15.5") return false; const r = e.getBoundingClientRect(); return r.top >= 0 && r.bottom <= innerHeight })()`,
		"the form is filled in, and seen")
	assert.Equal(b.t, []string{"binned 1.25 kg lard", "binned 15.5 L kettle stock"}, b.o.news())
}

// 7. What was not weighed is by the card, at the size that was planned.
func wrongOutputs(b *tab) {
	b.open("/log?kind=cooked")
	b.tap("bone out shoulder Tue 24 Nov × 4")
	b.sees("Bone out shoulder")
	b.puts("shoulder meat, kg", "22.4")
	b.tap("Write it down")
	b.sees("cooked bone out shoulder x4 of 2026-11-24 gives 22.4 kg shoulder meat")
	for _, p := range answers[logbook.Log](b.o, "log", "show", "--last", "1").Entries[0].Gives {
		assert.Positive(b.t, p.Amount, p.Item)
		assert.Equal(b.t, p.Item == "shoulder meat", p.Typed != "", p.Item)
	}
}

// 8. A phone by plain http outlives a board that was away: a tap meanwhile waits, and nothing has to be paired again.
func wrongGap(b *tab) {
	there := b.o
	code := regexp.MustCompile(`to write, with the code (\S+) at`).FindStringSubmatch(there.printed.String())
	require.Len(b.t, code, 2)
	b.open("/")
	b.fills("#code", strings.ToLower(code[1]))
	b.tap("Pair")
	b.sees("chicken soup")
	assert.False(b.t, evaluate[bool](b, `"serviceWorker" in navigator`), "by plain http no page is kept")
	port := regexp.MustCompile(`localhost:(\d+)`).FindStringSubmatch(there.printed.String())[1]
	there.stop()
	b.sees("Offline.")
	b.tap("Log")
	b.until(`document.documentElement.classList.contains("waiting")`, "the tap is seen to be taken")
	serveFolder(b.t.(*testing.T), there.folder, "--lan", "--port", port)
	b.sees("Latest entries")
	b.seesNot("Offline")
	b.tap("Received")
	b.fills("#item", "chick")
	b.fills("#amount", "7")
	b.tap("Write it down")
	b.sees("Written down:")
	assert.Equal(b.t, []string{"received 7 each chicken"}, b.o.logged())
}

// 9. That something is waited for is seen at once; Back comes back to the place; text at 150 % tears no name; the bar takes one row.
func wrongSizes(b *tab) {
	b.open("/")
	place := evaluate[float64](b, `scrollTo(0, 400), scrollY`)
	assert.True(b.t, evaluate[bool](b, `new Promise((seen) => { document.querySelector("header nav a[href^='/log']").click();
		setTimeout(() => seen(document.documentElement.classList.contains("waiting") || location.pathname === "/log"), 100) })`), "a tap is seen to be taken")
	b.sees("Latest entries")
	b.do(chromedp.Func(func(ctx context.Context, _ *chromedp.Target) error {
		_, err := chromedp.Run(ctx, chromedp.Evaluate[chromedp.Void](`history.back(); undefined`))
		return err
	}))
	b.until(fmt.Sprintf(`location.pathname === "/" && Math.abs(scrollY - %v) < 2`, place), "Back comes back to the place")
	b.enlarges(150)
	assert.True(b.t, evaluate[bool](b, `(() => { const all = [...document.querySelectorAll("header nav a")].map((a) => a.getBoundingClientRect());
		return all.length === 5 && all.every((r) => r.top === all[0].top && r.bottom - r.top < innerHeight / 6) })()`), "five places in one row")
	assert.Empty(b.t, evaluate[[]string](b, torn), "names are not torn into letters")
	b.tap("Map")
	b.sees("Night kettle step")
	b.until(inView, "the pot is on the screen")
	assert.Empty(b.t, b.o.news())
}
