//go:build browser

package main

// The board in a real browser, by tapping: go test -tags browser -run Browser ./cmd/kettletree. Debian's chromium is used; axe-core
// is taken from the folder that AXE names, or fetched with npm. SHOTS names a folder for pictures of what was seen.

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// axeVersion is the version of axe-core, the checker of accessibility, that pages are held against.
const axeVersion = "4.14.1"

// axe is its script.
var axe = sync.OnceValues(func() (string, error) {
	folder := os.Getenv("AXE")
	if folder == "" {
		temp, err := os.MkdirTemp("", "axe")
		if err != nil {
			return "", err
		}
		defer func() { _ = os.RemoveAll(temp) }()
		npm := exec.Command("npm", "pack", "--silent", "axe-core@"+axeVersion)
		npm.Dir, npm.Stderr = temp, os.Stderr
		if err := npm.Run(); err != nil {
			return "", fmt.Errorf("npm pack axe-core: %w", err)
		}
		tar := exec.Command("tar", "xzf", "axe-core-"+axeVersion+".tgz")
		tar.Dir = temp
		if err := tar.Run(); err != nil {
			return "", err
		}
		folder = filepath.Join(temp, "package")
	}
	src, err := os.ReadFile(filepath.Join(folder, "axe.min.js"))
	return string(src), err
})

// screen is a size at which pages are tried.
type screen struct {
	name          string
	width, height int64
	finger        bool
}

var (
	phone  = screen{"360x740", 360, 740, true}
	tablet = screen{"1280x800", 1280, 800, false}
)

// tab is a page in a browser, with a browser's memory of its own.
type tab struct {
	t        testing.TB
	ctx      context.Context
	o        *served
	s        screen
	patience time.Duration
	close    func() // ends its browser
}

// openTab starts a browser of its own, which shares nothing with others.
func openTab(t testing.TB, o *served, s screen) *tab {
	t.Helper()
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath("/usr/bin/chromium"), chromedp.UserDataDir(t.TempDir()), chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.Flag("disable-quic", true), chromedp.NoFirstRun, chromedp.Flag("disable-background-networking", true),
		chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true),
		chromedp.Flag("host-resolver-rules", "MAP "+networked+" "+loopedBack))
	allocator, stop := chromedp.NewExecAllocator(context.WithoutCancel(t.Context()), options...)
	t.Cleanup(stop)
	ctx, stop := chromedp.NewContext(allocator)
	end := sync.OnceFunc(func() { _ = chromedp.Cancel(ctx); stop() })
	t.Cleanup(end)
	var how []chromedp.EmulateViewportOption
	if s.finger {
		how = append(how, chromedp.EmulateMobile, chromedp.EmulateTouch)
	}
	require.NoError(t, chromedp.Do(ctx, chromedp.EmulateViewport(s.width, s.height, how...)))
	return &tab{t, ctx, o, s, tabPatience, end}
}

// atBothSizes runs a test in a fresh tab on a phone and on a tablet; each has a board of its own.
func atBothSizes(t *testing.T, board func(*testing.T) *served, test func(*tab)) {
	for _, s := range []screen{phone, tablet} {
		t.Run(s.name, func(t *testing.T) { test(openTab(t, board(t), s)) })
	}
}

// tabPatience is how long a tab may take to show what it should.
const tabPatience = 10 * time.Second

// do does things one after the other.
func (b *tab) do(steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	ctx, stop := context.WithTimeout(b.ctx, b.patience)
	defer stop()
	require.NoError(b.t, chromedp.Do(ctx, steps...))
}

// open goes to a page, as one does who types its address.
func (b *tab) open(path string) {
	b.t.Helper()
	b.do(chromedp.Navigate(b.o.url+path), chromedp.WaitVisible(chromedp.CSS("main")))
}

// noScript switches JavaScript off.
func (b *tab) noScript() {
	b.t.Helper()
	b.do(func(ctx context.Context, t *chromedp.Target) (chromedp.Void, error) {
		_, err := chromedp.Call(ctx, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true})
		return chromedp.Void{}, err
	})
}

// dark asks for dark pages.
func (b *tab) dark() {
	b.t.Helper()
	b.do(func(ctx context.Context, t *chromedp.Target) (chromedp.Void, error) {
		_, err := chromedp.Call(ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
			Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: "dark"}}})
		return chromedp.Void{}, err
	})
}

// tap taps the first link, button or summary that says something, by its words or its label.
func (b *tab) tap(what string) {
	b.t.Helper()
	for range 5 { // the page may just be giving way to the next
		ctx, stop := context.WithTimeout(b.ctx, b.patience)
		err := chromedp.Do(ctx, chromedp.ScrollIntoView(chromedp.Search(labelled(what))), chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
			_, err := chromedp.Run(ctx, chromedp.Evaluate[chromedp.Void](fmt.Sprintf( // away from the bar, as a thumb scrolls
				`document.evaluate(%q, document, null, XPathResult.FIRST_ORDERED_NODE_TYPE).singleNodeValue?.scrollIntoView({block: "center"}); undefined`, labelled(what))))
			return err
		}), chromedp.Click(chromedp.Search(labelled(what)), chromedp.NodeVisible))
		stop()
		if err == nil {
			return
		}
		if !strings.Contains(err.Error(), "find node") {
			require.NoError(b.t, err, "tapping %q", what)
		}
	}
	require.Fail(b.t, "nothing to tap", what)
}

// goes opens a page that stands under More.
func (b *tab) goes(page string) {
	b.t.Helper()
	b.tap("More")
	b.sees("Newcomer")
	b.do(chromedp.Click(chromedp.Search(fmt.Sprintf(`//main//a[b[normalize-space(.)=%q]]`, page)), chromedp.NodeVisible)) // the first of them
	b.seesNot("Newcomer")
}

// labelled finds a link, button or summary by what it says.
func labelled(what string) string {
	q := fmt.Sprintf("%q", what)
	return fmt.Sprintf(`//*[self::a or self::button or self::summary][normalize-space(.)=%s or @aria-label=%s]`, q, q)
}

// saidNow is what the page says, the drawings aside.
const saidNow = `[...document.body.querySelectorAll("#line, #unsent, header, main > *:not(.atlas), .side, .atlas .doors")].map(e => e.innerText).join(" ").replace(/\s+/g, " ")`

// sees waits until the page says something.
func (b *tab) sees(words string) {
	b.t.Helper()
	b.until(fmt.Sprintf("(%s).includes(%q)", saidNow, words), "the page says %q", words)
}

// seesNot waits until the page no longer says something.
func (b *tab) seesNot(words string) {
	b.t.Helper()
	b.until(fmt.Sprintf("!(%s).includes(%q)", saidNow, words), "the page no longer says %q", words)
}

// asksAgain is how long a page has to answer before it is asked again.
const asksAgain = 5 * time.Second

// until waits for an expression to be true.
func (b *tab) until(expression, what string, args ...any) {
	b.t.Helper()
	deadline := time.Now().Add(b.patience)
	for time.Now().Before(deadline) {
		ctx, cancel := context.WithTimeout(b.ctx, asksAgain) // a page that goes away under the question never answers it
		is, err := chromedp.Run(ctx, chromedp.Evaluate[bool](expression, chromedp.EvalAwaitPromise))
		if cancel(); err == nil && is {
			return
		}
		select {
		case <-b.t.Context().Done():
			return
		case <-time.After(20 * time.Millisecond):
		}
	}
	text, _ := chromedp.Run(b.ctx, chromedp.Evaluate[string](saidNow))
	b.shoot("in vain")
	require.Fail(b.t, fmt.Sprintf("waited in vain until "+what, args...), text)
}

// evaluate is what an expression comes to.
func evaluate[T any](b *tab, expression string) T {
	b.t.Helper()
	v, err := chromedp.Run(b.ctx, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
	require.NoError(b.t, err)
	return v
}

// types fills a field in, found by its label.
func (b *tab) types(label, text string) {
	b.t.Helper()
	b.do(chromedp.SetValue(chromedp.Search(fmt.Sprintf(`//*[@id=//label[normalize-space(.)=%q]/@for or @aria-label=%q]`, label, label)), text))
}

// sound holds what is shown against axe and the rules of the house: nothing wider than the screen, nothing to tap smaller than 44 px
// but links within sentences. Shot keeps a picture of it where SHOTS says.
func (b *tab) sound(shot string) {
	b.t.Helper()
	script, err := axe()
	require.NoError(b.t, err)
	b.do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := chromedp.Run(ctx, chromedp.Evaluate[chromedp.Void](script+"; undefined"))
		return err
	}))
	faults := evaluate[[]string](b, `axe.run(document, {runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}).then(
		r => r.violations.flatMap(v => v.nodes.slice(0, 3).map(n => v.id + ": " + v.help + ": " + n.html.slice(0, 200) + " " + (n.failureSummary || ""))))`)
	assert.Empty(b.t, faults, "axe finds fault with %s", shot)
	assert.LessOrEqual(b.t, evaluate[float64](b, "document.documentElement.scrollWidth"), float64(b.s.width), "%s is wider than the screen", shot)
	small := evaluate[[]string](b, `[...document.querySelectorAll("a, button, summary, input:not([type=hidden]), select, textarea")].filter(e => {
		const r = (e.matches("[type=radio], [type=checkbox]") && e.closest("label") || e).getBoundingClientRect(); // a label is tapped for its box
		return r.width > 0 && !e.closest("svg, p, li li, .skip") && (r.height < 43.5 || r.width < 43.5)}).map(e => e.outerHTML.slice(0, 120))`)
	assert.Empty(b.t, small, "%s has things too small to tap", shot)
	b.shoot(shot)
}

// shoot keeps a picture where SHOTS says.
func (b *tab) shoot(shot string) {
	folder := os.Getenv("SHOTS")
	if folder == "" {
		return
	}
	png, err := chromedp.Run(b.ctx, chromedp.FullScreenshot(100))
	require.NoError(b.t, err)
	name := strings.NewReplacer("/", "-", " ", "-").Replace(b.t.Name() + " " + shot)
	require.NoError(b.t, os.WriteFile(filepath.Join(folder, name+".png"), png, 0o666))
}

// kettles is the pozole cantina on Tuesday afternoon: its log book tells what was on hand when the day began.
func kettles(t *testing.T) *served { return withLogBook(t) }

func TestBrowserToday(t *testing.T) {
	atBothSizes(t, kettles, func(b *tab) {
		b.open("/")
		b.sees("Tue 24 Nov, lunch")
		b.sound("today")
		b.tap("86 red pozole")
		b.sees("What if: red pozole, Tue 24 Nov lunch, is 86'd")
		b.sees("With red pozole 86'd at Tuesday's lunch")
		assert.Empty(b.t, b.o.news(), "nothing is written before it is said to be")
		b.sound("struck")
		b.tap("Cancel")
		b.seesNot("What if")
		b.tap("Lost: Tuesday's bone out shoulder")
		b.sees("What if: Tuesday's bone out shoulder is lost")
		b.sound("lost")
		b.tap("Write it down")
		b.sees("lost bone out shoulder of 2026-11-24")
		b.sound("written")
		assert.Equal(b.t, []string{"lost bone out shoulder of 2026-11-24"}, b.o.news())
		b.tap("Undo")
		b.sees("undone undo")
		assert.Equal(b.t, []string{"lost bone out shoulder of 2026-11-24", fmt.Sprintf("undone undo %d", b.o.before+1)}, b.o.news())
		b.dark()
		b.sound("dark")
	})
}

func TestBrowserMap(t *testing.T) {
	atBothSizes(t, kettles, func(b *tab) {
		b.open("/map?whole=yes")
		b.until("document.querySelectorAll('#sheet a').length > 40", "the map is drawn")
		inFrame := func(box string) {
			b.t.Helper()
			b.until(fmt.Sprintf(`(() => { const f = document.querySelector("#sheet").getBoundingClientRect(), c = document.querySelector(%q).getBoundingClientRect();
				return c.left >= f.left && c.right <= f.right && c.top >= f.top && c.bottom <= f.bottom })()`, box), "it stands within the frame")
		}
		inFrame("#sheet #step-night-kettle")
		b.sound("map")
		b.types("Find", "kettle stock")
		b.sees("Kettle stock made")
		b.until("!!document.querySelector('#sheet .chosen')", "it stands out")
		assert.Greater(b.t, evaluate[float64](b, "document.querySelectorAll('#sheet .above').length"), 2.0)
		assert.Greater(b.t, evaluate[float64](b, "document.querySelectorAll('#sheet .below').length"), 5.0)
		inFrame("#sheet .chosen")
		b.until(inView, "the card is on the screen")
		b.sound("chosen")
		b.tap("night kettle Tue lost?")
		b.sees("fewer portions")
		b.until("!!document.querySelector('#sheet .short')", "the map shows what is short")
		b.sound("lost")
		b.do(chromedp.Click(chromedp.CSS("#sheet #step-press-head-cheese, #sheet #item-head-cheese")))
		b.sees("Head cheese made")
		b.sees("What if: Tuesday's night kettle is lost")
		b.tap("Only what it's connected to")
		b.until("!!document.querySelector('#sheet.part')", "only a part is drawn")
		b.sound("part")
		b.dark()
		b.sound("dark")
	})
}

// inView tells that what stands in the middle begins on the screen.
const inView = `(() => { const r = document.querySelector("#chosen").getBoundingClientRect(); return r.top >= 0 && r.bottom <= innerHeight })()`

// From the pot one walks by tapping; a what-if is asked where one stands; Back comes back to the place.
func TestBrowserMapStepByStep(t *testing.T) {
	atBothSizes(t, kettles, func(b *tab) {
		b.open("/map")
		b.sees("Night kettle step")
		b.until(inView, "the pot is on the screen")
		assert.True(b.t, evaluate[bool](b, `(() => { // three columns, beside each other
			const [from, it, into] = [...document.querySelectorAll(".walk > section")].map((s) => s.getBoundingClientRect());
			return from.right <= it.left && it.right <= into.left && document.querySelector(".it .button").getBoundingClientRect().bottom < innerHeight })()`))
		b.sound("pot")
		place := evaluate[float64](b, `scrollTo(0, 200), [...document.querySelectorAll(".leaf")].find((e) => e.textContent.startsWith("kettle stock")).click(), scrollY`)
		b.sees("Kettle stock made")
		b.until(inView, "what was tapped is on the screen")
		b.tap("season broth takes 10 L")
		b.sees("Season broth step")
		b.do(func(ctx context.Context, t *chromedp.Target) (chromedp.Void, error) {
			return chromedp.Run(ctx, chromedp.Evaluate[chromedp.Void]("history.go(-2); undefined"))
		})
		b.sees("Night kettle step")
		b.until(fmt.Sprintf("Math.abs(scrollY - %v) < 2", place), "Back comes back to the place")
		b.tap("Tue lost?")
		b.sees("What if: Tuesday's night kettle is lost")
		b.sees("First to run out: smoky hen tostadas, Wed 25 Nov at lunch, 11:30")
		b.until(inView, "the box is still there")
		b.until(`(() => { const r = document.querySelector(".follows h2").getBoundingClientRect(); return r.top >= 0 && r.bottom <= innerHeight })()`, "what follows is on the screen too")
		b.sees("kettle stock 70 L Short: 140 of 210 L")
		b.sound("lost")
		b.tap("Tue lost: take it back")
		b.seesNot("What if: Tuesday's")
		b.types("Find", "CALDO DE LA OLLA") // as the file has it for Spanish
		b.sees("Kettle stock made")
		b.types("Find", "trott")
		b.sees("trott may be: trotter meat trotter bones trotter tostadas")
		b.until("document.querySelector('#item').value === 'trott'", "what was typed is kept")
		b.sound("found")
		b.tap("trotter bones")
		b.sees("Trotter bones made")
		b.types("Find", "zzyzx")
		b.sees("Nothing is called zzyzx, or like it.")
		b.dark()
		b.sound("dark")
		assert.Empty(b.t, b.o.news(), "nothing is written by asking")
	})
}

// The map is made larger and smaller by buttons, keys and fingers, and what was in the middle stays there.
func TestBrowserMapSizes(t *testing.T) {
	b := openTab(t, kettles(t), phone)
	b.open("/map?whole=yes&item=kettle+stock")
	b.until("!!document.querySelector('.sizes button')", "the buttons are there")
	wide := func() float64 {
		return evaluate[float64](b, "document.querySelector('#sheet svg').getBoundingClientRect().width")
	}
	first := wide()
	b.tap("Smaller")
	assert.InDelta(t, first/1.4, wide(), 1)
	b.tap("Larger")
	assert.InDelta(t, first, wide(), 1)
	b.do(chromedp.Focus(chromedp.CSS("#sheet")), chromedp.KeyEvent("-"))
	b.until(fmt.Sprintf("document.querySelector('#sheet svg').getBoundingClientRect().width < %v", first-1), "a key makes it smaller")
	now := wide()
	assert.True(t, evaluate[bool](b, `(() => { // two fingers move apart
		const sheet = document.getElementById("sheet"), r = sheet.getBoundingClientRect();
		const finger = (type, id, x) => sheet.dispatchEvent(new PointerEvent(type, {pointerId: id, pointerType: "touch", clientX: r.left + x, clientY: r.top + 100, bubbles: true}));
		finger("pointerdown", 1, 100); finger("pointerdown", 2, 150);
		finger("pointermove", 2, 200); finger("pointerup", 1, 100); finger("pointerup", 2, 200);
		return true })()`))
	assert.InDelta(t, 2*now, wide(), 2)
	b.tap("night kettle Tue lost?")
	b.sees("fewer portions")
	assert.InDelta(t, 2*now, wide(), 2, "the size stays when the page changes")
}

// Without JavaScript all goes by plain links and forms.
func TestBrowserWithoutScript(t *testing.T) {
	atBothSizes(t, kettles, func(b *tab) {
		b.noScript()
		b.open("/")
		b.tap("86 green pozole")
		b.sees("What if: green pozole, Tue 24 Nov lunch, is 86'd")
		b.tap("Write it down")
		b.sees("struck green pozole at 2026-11-24 lunch")
		b.sees("86'd: green pozole")
		b.tap("Map")
		b.types("Find", "caldo de la olla")
		b.tap("Find")
		b.sees("Kettle stock made")
		b.tap("Whole map")
		b.until("!!document.querySelector('#sheet .chosen')", "it stands out")
		b.tap("Size 1")
		b.until("!!document.querySelector('#sheet.size-1')", "the whole sheet is in the frame")
		b.do(chromedp.Click(chromedp.CSS("#sheet #step-night-kettle")))
		b.sees("Night kettle step")
		b.do(chromedp.Click(chromedp.CSS("#sheet #item-kettle-stock")))
		b.sees("Kettle stock made")
		b.tap("night kettle Thu lost?")
		b.sees("What if: Thursday's night kettle is lost")
		b.shoot("map")
		assert.Equal(b.t, []string{"struck green pozole at 2026-11-24 lunch"}, b.o.news())
	})
}

// All can be done with the keys.
func TestBrowserKeys(t *testing.T) {
	b := openTab(t, kettles(t), tablet)
	b.open("/")
	focused := func() string {
		return evaluate[string](b, "document.activeElement.getAttribute('aria-label') || document.activeElement.textContent.trim()")
	}
	b.do(chromedp.KeyEvent(kb.Tab))
	assert.Equal(t, "Skip to the page", focused())
	b.do(chromedp.KeyEvent(kb.Enter))
	for range 30 {
		if b.do(chromedp.KeyEvent(kb.Tab)); focused() == "86 white pozole" {
			break
		}
	}
	require.Equal(t, "86 white pozole", focused())
	assert.NotEqual(t, "none", evaluate[string](b, "getComputedStyle(document.activeElement).outlineStyle"), "the focus is seen")
	b.do(chromedp.KeyEvent(kb.Enter))
	b.sees("What if: white pozole, Tue 24 Nov lunch, is 86'd")
	b.until("document.activeElement.matches('.follows')", "what follows has the focus")
	for range 5 {
		if b.do(chromedp.KeyEvent(kb.Tab)); focused() == "Write it down" {
			break
		}
	}
	b.do(chromedp.KeyEvent(kb.Enter))
	b.sees("struck white pozole")
}

// Two devices stay in step, and see a fault in the kitchen file come and go.
func TestBrowserInStep(t *testing.T) {
	o := kettles(t)
	counter, pass := openTab(t, o, phone), openTab(t, o, tablet)
	counter.open("/")
	pass.open("/")
	counter.sees("red pozole 12 of 12")
	pass.tap("86 red pozole")
	pass.tap("Write it down")
	pass.sees("Written down")
	counter.sees("86'd: red pozole")
	counter.seesNot("red pozole 12 of 12")
	require.Zero(t, runIn(t, nil, "log", o.folder, "undo", strconv.Itoa(o.before+1)).code)
	counter.sees("red pozole 12 of 12")
	pass.sees("red pozole 12 of 12")

	file := filepath.Join(o.folder, "kitchen.yaml")
	src, err := os.ReadFile(file)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(file, []byte(strings.Replace(string(src), "60 g red base", "60 g red bass", 1)), 0o666))
	counter.sees("Mistake in the kitchen file")
	counter.sees("60 g red bass")
	counter.sound("fault")
	require.NoError(t, os.WriteFile(file, src, 0o666))
	counter.seesNot("Mistake in the kitchen file")
	pass.seesNot("Mistake in the kitchen file")
}

// Without a network the board opens, shows the last answers, says so, and refuses to write.
func TestBrowserOffline(t *testing.T) {
	atBothSizes(t, kettles, func(b *tab) {
		b.open("/")
		b.until("navigator.serviceWorker.ready.then(() => true)", "the worker is ready")
		b.until("!!navigator.serviceWorker.controller", "the worker rules the page")
		b.tap("86 red pozole")
		b.sees("With red pozole 86'd at Tuesday's lunch")
		b.o.stop()
		b.sees("Offline. Showing 14:05. What you type is kept on this device until it can be sent.")
		b.tap("Write it down")
		b.sees("No answer came, so this may not be written down.")
		b.open("/")
		b.sees("Offline. Showing 14:05")
		b.sees("red pozole 12 of 12")
		b.sound("offline")
		b.tap("Map")
		b.until("document.querySelectorAll('.leaf').length > 10", "the map is kept too")
		b.open("/?strike=white+pozole")
		b.sees("Offline. Showing 14:05")
		assert.Empty(b.t, b.o.news())
	})
}

// The whole map is put in the place of another, for to compare all that is drawn takes longer: once what is said of it is on the screen.
func TestBrowserMapIsPutInWhole(t *testing.T) {
	b := openTab(t, withLogBook(t), tablet)
	b.open("/map?whole=yes&item=kettle+stock")
	b.until(`!!document.querySelector(".sizes.two-only")`, "the map's own script runs")
	evaluate[bool](b, `document.querySelector("#sheet > svg").before_ = document.querySelector("#sheet g[id]").before_ = true`)
	evaluate[bool](b, `document.addEventListener("shown", () => requestAnimationFrame(() => { window.first_ = !!document.querySelector(".follows") &&
		document.querySelector("#sheet g[id]").before_ && !document.querySelector("#sheet .short") }), {once: true}), true`)
	b.tap("night kettle Tue lost?")
	b.until(`!!document.querySelector("#sheet .short")`, "the map shows what is short")
	assert.True(t, evaluate[bool](b, `window.first_`), "what follows was told before")
	assert.True(t, evaluate[bool](b, `document.querySelector("#sheet > svg").before_ === true`), "the drawing keeps its place and its size")
	assert.False(t, evaluate[bool](b, `document.querySelector("#sheet g[id]").before_ === true`))
	assert.Equal(t, 1, evaluate[int](b, `document.querySelectorAll("#sheet > svg").length`))
}

// A key changes the size of the map once, however many what-ifs were asked before.
func TestBrowserMapIsSizedOnce(t *testing.T) {
	b := openTab(t, withLogBook(t), tablet)
	b.open("/map?whole=yes&item=kettle+stock")
	b.until(`!!document.querySelector(".sizes.two-only")`, "the map's own script runs")
	for _, what := range []string{"night kettle Tue lost?", "night kettle Thu lost?"} {
		b.tap(what)
		b.until(fmt.Sprintf(`[...document.querySelectorAll(".ifs .now")].some(a => %q.startsWith(a.textContent.split(":")[0]))`, what), "it follows from %s", what)
	}
	wide := `document.querySelector("#sheet > svg").getBoundingClientRect().width`
	was := evaluate[float64](b, wide)
	evaluate[bool](b, `document.querySelector("#sheet").dispatchEvent(new KeyboardEvent("keydown", {key: "+"}))`)
	assert.InDelta(t, 1.25*was, evaluate[float64](b, wide), 2)
}

// BenchmarkBrowserWhatIf takes the time from the tap on "what if" to the next picture of the map on the screen: it should be under 100 ms.
// What is said comes before it (BrowserTaps). Every lap asks what was not asked before, so all is computed, drawn, sent and shown.
func BenchmarkBrowserWhatIf(bench *testing.B) {
	o := withLogBook(bench)
	b := openTab(bench, o, tablet)
	b.open("/map?whole=yes&item=kettle+stock")
	n := 0
	var all []float64
	for bench.Loop() {
		n++
		b.open(fmt.Sprintf("/map?whole=yes&item=kettle+stock&lose=night+kettle@thu=%d.%d%%25", n%90+1, n/90))
		all = append(all, evaluate[float64](b, `new Promise(done => {
			document.addEventListener("drawn", () => requestAnimationFrame(() => setTimeout(() => done(performance.now() - begun))), {once: true});
			const link = [...document.querySelectorAll(".it a")].find(a => a.textContent.startsWith("night kettle Tue lost"));
			const begun = performance.now();
			link.click() })`))
	}
	slices.Sort(all)
	bench.ReportMetric(all[len(all)/2], "ms/tap")
	bench.ReportMetric(all[len(all)-1], "ms/slowest-tap")
}

// BenchmarkBrowserFirstPaint takes the time from opening Today on a phone that is four times as slow as this machine, which never had the
// board before, to the first words on its screen: it should be under a second.
func BenchmarkBrowserFirstPaint(bench *testing.B) {
	o := withLogBook(bench)
	var all []float64
	for bench.Loop() {
		b := openTab(bench, o, phone)
		b.do(func(ctx context.Context, _ *chromedp.Target) (chromedp.Void, error) {
			_, err := chromedp.Call(ctx, emulation.SetCPUThrottlingRate, emulation.SetCPUThrottlingRateParams{Rate: 4})
			return chromedp.Void{}, err
		})
		b.open("/")
		b.until(`performance.getEntriesByName("first-contentful-paint").length > 0`, "something is painted")
		all = append(all, evaluate[float64](b, `performance.getEntriesByName("first-contentful-paint")[0].startTime`))
		b.close() // else each lap would wait for the pages of all laps before
	}
	slices.Sort(all)
	bench.ReportMetric(all[len(all)/2], "ms/first-paint")
	bench.ReportMetric(all[len(all)-1], "ms/slowest-first-paint")
}
