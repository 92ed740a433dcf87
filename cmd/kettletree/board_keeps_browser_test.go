//go:build browser

package main

// What is typed into any form of any page, by the table of routes, is still there after a reload, after Back, while the network is away
// and when the server was killed and started again; so is the place on the page.

import (
	"fmt"
	"math/rand/v2"
	"net/http"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/cmd/kettletree/board"
)

// kept does something with the first field that is typed into of everything that is kept on the device: e of the part called key, with
// what would be typed there. It gives the keys for which that is true.
const kept = `[...document.querySelectorAll("[data-keep]")].flatMap((of) => {
	const e = [...of.querySelectorAll("input:not([type=hidden]), textarea")].find((e) => e.name && !/radio|checkbox|file/.test(e.type) && e.closest("[data-keep]") === of);
	if (!e || new URLSearchParams(location.search).has(e.name)) return [];
	const text = { time: "13:37", date: "2026-11-25", "datetime-local": "2026-11-24T13:37" }[e.type] || "7";
	%s
}).sort().join("\n")`

var (
	typesAll = fmt.Sprintf(kept, `e.value = text; e.dispatchEvent(new Event("input", { bubbles: true })); return [of.dataset.keep];`)
	holdsAll = fmt.Sprintf(kept, `return e.value === text ? [of.dataset.keep] : [];`)
)

// cutForms are the forms of a run under which the network goes away.
const cutForms = 5

func TestBrowserEveryFormKeeps(t *testing.T) {
	o, p := alone(t)
	b := openTab(t, o, phone)
	paths := []string{"/log?kind=received", "/log?kind=sold", "/log?kind=temperature", "/kitchen?list=steps&name=night+kettle", "/kitchen?list=dishes&name=red+pozole", "/kitchen?list=bought&new=yes",
		"/buy?check=all", "/draw?pick=steps/night+kettle", "/weigh?step=bone+out+shoulder", "/taste?of=night+kettle"}
	for _, path := range board.Reads() {
		if !strings.HasPrefix(path, "/print/") && path != "/pair" {
			paths = append(paths, path)
		}
	}
	typed := map[string]string{}
	all := 0
	for _, path := range paths {
		b.open(path)
		keys := evaluate[string](b, typesAll)
		if keys == "" {
			continue
		}
		typed[path] = keys
		all += strings.Count(keys, "\n") + 1
		place := evaluate[float64](b, "scrollTo(0, 240), scrollY")
		b.until("(history.state || {}).y === scrollY || !scrollY", "the place is kept once it rests")
		stays := fmt.Sprintf("location.pathname + location.search === %q && %s === %q && Math.abs(scrollY - %v) < 100", path, holdsAll, keys, place) // a line above the page may have come or gone
		evaluate[bool](b, "window.old = true, location.reload(), true")
		b.until("!window.old && "+stays, path+" after a reload")
		evaluate[bool](b, `window.old = true, location.assign("/devices"), true`)
		b.until(`!window.old && location.pathname === "/devices"`, "another page")
		evaluate[bool](b, "history.back(), true")
		b.until(stays, path+" after Back")
	}
	some := slices.DeleteFunc(slices.Clone(paths), func(path string) bool { return typed[path] == "" })
	rand.Shuffle(len(some), func(i, k int) { some[i], some[k] = some[k], some[i] })
	for _, path := range some[:cutForms] { // others in each run
		b.open(path)
		b.until(fmt.Sprintf("%s === %q", holdsAll, typed[path]), path+" before the network goes")
		b.until("!!navigator.serviceWorker.controller", "the worker that keeps copies is there")
		p.isKilled()
		evaluate[bool](b, `document.querySelector("header nav a:not([aria-current])").click(), true`) // nobody answers
		b.sees("Offline.")
		b.until(fmt.Sprintf("location.pathname + location.search !== %q", path), path+" is left for the copy that the device has of where the tap led")
		evaluate[bool](b, "history.back(), true")
		b.until(fmt.Sprintf("location.pathname + location.search === %q && %s === %q", path, holdsAll, typed[path]), path+": what was typed while nobody answers")
		p.starts(tuesday)
	}
	for _, path := range paths {
		if typed[path] != "" {
			b.open(path)
			b.until(fmt.Sprintf("%s === %q", holdsAll, typed[path]), path+" after the server was started again")
		}
	}
	assert.Greater(t, len(typed), 12, "pages with something to type")
	t.Logf("%d fields of %d pages", all, len(typed))
}

// A reload right after scrolling, before the page has come to rest, keeps the place.
func TestBrowserReloadWhileScrolling(t *testing.T) {
	atBothSizes(t, kettles, func(b *tab) {
		for _, path := range []string{"/", "/stock-take", "/more"} {
			b.open(path)
			evaluate[bool](b, `new Promise((then) => { addEventListener("scroll", () => { window.old = true; location.reload(); then(true); }, { once: true }); scrollTo(0, 300); })`)
			b.until("!window.old && Math.abs(scrollY - Math.min(300, document.documentElement.scrollHeight - innerHeight)) < 3", path+" stands where it stood")
		}
	})
}

// Who closes what the answer rests on has it closed when news come.
func TestBrowserStaysClosed(t *testing.T) {
	atBothSizes(t, kettles, func(b *tab) {
		b.open("/")
		const rests = `document.querySelector("footer details")`
		b.until(rests+".open", "Today says what it rests on")
		b.tap("What this rests on")
		b.until("!"+rests+".open", "it is closed")
		b.hears("binned 100 g kettle fat")
		b.until("!"+rests+".open", "it stays closed")
	})
}

// hears waits until news of an entry that another device writes are shown.
func (b *tab) hears(entry string) {
	b.t.Helper()
	was := evaluate[string](b, "document.getElementById('main').dataset.mark")
	status, page := b.o.write(entry)
	require.Equal(b.t, http.StatusOK, status, "%.2000s", page)
	b.until(fmt.Sprintf("document.getElementById('main').dataset.mark !== %q", was), "the news are shown")
}

// A page that comes while those that were left still hold all streams of the device hears at once, and nobody is bothered with it.
func TestBrowserStreamsOfPagesLeft(t *testing.T) {
	b := openTab(t, kettles(t), phone)
	b.open("/more")
	evaluate[bool](b, `new Promise((then) => { // as pages that went away, whose streams the server does not know to be closed
		dispatchEvent(new Event("pagehide"));
		let open = 0;
		window.held = [1, 2, 3, 4].map(() => {
			const s = new EventSource("/events");
			s.addEventListener("away", () => s.close());
			s.onopen = () => { if (++open === 4) { dispatchEvent(new Event("pageshow")); then(true); } };
			return s;
		});
	})`)
	b.until("held.some((s) => s.readyState === EventSource.CLOSED)", "the oldest made room")
	assert.True(t, evaluate[bool](b, "document.getElementById('line').hidden"), "nothing is said of it")
	b.hears("binned 100 g kettle fat")
}

// Something else that is typed over what got no answer is not thrown away with that.
func TestBrowserDiscardsWhatWasSent(t *testing.T) {
	o := kettles(t)
	slow := delaying(t, o, 0)
	o.url = slow.address
	b := openTab(t, o, phone)
	b.open("/log?kind=binned")
	b.fills("#item", "lard")
	b.fills("#amount", "1,25")
	slow.cut.Store(true)
	b.tap("Write it down")
	b.sees(noAnswer)
	b.fills("#amount", "2,5")
	b.until(`(() => { document.querySelector("#unsent [data-discards]").click(); return document.getElementById("unsent").hidden })()`, "what was sent is discarded")
	b.until(`document.querySelector("#amount").value === "2,5"`, "what was typed since stays")
	slow.cut.Store(false)
	evaluate[bool](b, "window.old = true, location.reload(), true")
	b.until(`!window.old && (document.querySelector("#amount") || {}).value === "2,5"`, "after a reload, too")
	b.tap("Write it down")
	b.sees("Written down:")
	assert.Equal(t, []string{"binned 2.5 kg lard"}, o.news())
	b.until(`document.querySelector("#amount").value === ""`, "the form is empty again")
}
