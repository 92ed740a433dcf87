//go:build browser

package main

// How long a tap takes until what it asked for is on the screen: AXE=... go test -tags browser -run '^$' -bench BrowserTaps ./cmd/kettletree

import (
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// tapped is what became of a tap, in ms after it: the answer is there, it is put in, it is on the screen, and so is a map.
type tapped struct{ Answer, Put, Drawn, Map float64 }

// taps taps the first button or link within main that says what a regular expression has, and waits until the answer is on the screen.
func (b *tab) timed(what string) tapped {
	b.t.Helper()
	b.until(fmt.Sprintf(`[...document.querySelectorAll("main a, main button")].some(e => e.checkVisibility() && %s.test(e.textContent))`, what), "%s is there", what)
	return evaluate[tapped](b, fmt.Sprintf(`new Promise(done => {
		const to = [...document.querySelectorAll("main a, main button")].find(e => e.checkVisibility() && %s.test(e.textContent));
		performance.clearResourceTimings();
		const frame = () => new Promise(is => requestAnimationFrame(() => setTimeout(() => is(performance.now() - begun))));
		const drawn = document.querySelector("#sheet") && new Promise(is => document.addEventListener("drawn", () => is(), {once: true}));
		document.addEventListener("shown", async () => {
			const put = performance.now() - begun, shown = await frame();
			const came = performance.getEntriesByType("resource").filter(e => e.initiatorType === "fetch");
			await drawn;
			done({Answer: came.length ? came.at(-1).responseEnd - begun : put, Put: put, Drawn: shown, Map: drawn ? await frame() : shown})
		}, {once: true});
		const begun = performance.now();
		to.click() })`, what))
}

// tapKinds are the taps that are timed.
var tapKinds = []struct {
	name, page, what string
	at               string // by the clock; "" for Tuesday afternoon
	fill             string // what is done to the page before
	undone           bool   // it writes, and is undone after
	screen           screen
}{
	{name: "what if on the map", page: "/map?whole=yes&item=kettle+stock&lose=night+kettle@thu=%d.%d%%25", what: "/^night kettle Tue lost/", screen: tablet},
	{name: "what if by steps", page: "/map?item=kettle+stock&lose=night+kettle@thu=%d.%d%%25", what: "/^night kettle Tue lost/", screen: phone},
	{name: "86", page: "/?lose=night+kettle@thu=%d.%d%%25", what: "/^86$/", screen: phone},
	{name: "lit", page: "/", what: "/^Lit/", at: "2026-11-24 22:20", undone: true, screen: phone},
	{name: "done", page: "/", what: "/^Done/", undone: true, screen: phone},
	{name: "received", page: "/buy", what: "/^Received /", fill: `document.querySelector(".buying li:not(.came) details").open = true`, undone: true, screen: phone},
	{name: "sold", page: "/log?kind=sold&item=red+pozole", what: "/^Write it down/", fill: `document.querySelector("#entry-form [name=portions]").value = 3`, undone: true, screen: phone},
}

// BenchmarkBrowserTaps takes the time from a tap to its answer on the screen, for each kind of tap: the median should be under 100 ms.
// All is computed, written, sent and shown at each lap.
func BenchmarkBrowserTaps(bench *testing.B) {
	for _, kind := range tapKinds {
		bench.Run(kind.name, func(bench *testing.B) {
			b := openTab(bench, withLogBook(bench), kind.screen)
			if kind.at != "" {
				bench.Setenv(clockName, kind.at)
			}
			var took, undone []tapped
			n := 0
			for bench.Loop() {
				n++
				path := kind.page
				if !kind.undone {
					path = fmt.Sprintf(path, n%90+1, n/90)
				}
				b.open(path)
				if kind.fill != "" {
					evaluate[any](b, kind.fill)
				}
				took = append(took, b.timed(kind.what))
				if kind.undone {
					b.sees("Written down")
					undone = append(undone, b.timed("/^Undo$/"))
				}
			}
			said := func(name string, all []tapped) {
				for what, of := range map[string]func(tapped) float64{"": func(t tapped) float64 { return t.Drawn }, "-answer": func(t tapped) float64 { return t.Answer },
					"-put": func(t tapped) float64 { return t.Put }, "-map": func(t tapped) float64 { return t.Map }} {
					var list []float64
					for _, t := range all {
						list = append(list, of(t))
					}
					slices.Sort(list)
					bench.ReportMetric(list[len(list)/2], "ms/"+name+what)
					if what == "" {
						bench.ReportMetric(list[min(len(list)-1, len(list)*9/10)], "ms/"+name+"-90th")
					}
				}
			}
			said("tap", took)
			if kind.undone {
				said("undo", undone)
			}
			require.NotEmpty(bench, took)
		})
	}
}
