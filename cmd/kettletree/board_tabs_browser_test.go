//go:build browser

package main

// Every page that the board has, by its table of routes, and its forms, in every language, with the Tab key alone: it leads to every control in the order of the page, is
// seen where it is, and leads out of the page again. A panel that is opened gives the focus back.

import (
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/cmd/kettletree/board"
	"kettletree/menu/tongue"
)

// watchesTabs notes what the focus comes to, and counts what it should come to.
const watchesTabs = `(() => {
	const group = (e) => e.type === "radio" && [...document.getElementsByName(e.name)].find((r) => r.form === e.form && (r.checked || !document.querySelector("input[name='" + r.name + "']:checked")));
	const all = [...document.querySelectorAll("a[href], button, input:not([type=hidden]), select, textarea, summary, [tabindex]")]
		.filter((e) => !e.disabled && e.tabIndex >= 0 && e.checkVisibility({ visibilityProperty: true }) && (e.type !== "radio" || group(e) === e));
	const called = (e) => e.tagName + " " + (e.name || e.textContent.trim().replace(/\s+/g, " ").slice(0, 30));
	const drawn = (e) => [e, e.parentElement, e.nextElementSibling, e.querySelector(".shape")].map((x) => { // a box of a drawing has a thicker line
		const s = x && getComputedStyle(x);
		return s ? [s.outlineStyle, s.stroke, s.strokeWidth, s.strokeDasharray].join() : "";
	}).join("|");
	const before = new Map(all.map((e) => [e, drawn(e)]));
	const tabs = window.tabs = { all, seen: [], unseen: [] };
	addEventListener("focusin", ({ target: e }) => {
		tabs.seen.push(all.indexOf(e));
		if (before.has(e) && before.get(e) === drawn(e)) tabs.unseen.push(called(e));
	});
	tabs.tell = () => {
		const told = [], first = tabs.seen.filter((n, k) => n >= 0 && tabs.seen.indexOf(n) === k);
		for (const [n, e] of all.entries()) if (!first.includes(n)) told.push("no key leads to " + called(e));
		for (const what of tabs.unseen) told.push("the focus is not seen on " + what);
		if (first.some((n, k) => k && n < first[k - 1])) told.push("the order is another than the page's: " + first.join(" "));
		if (all.some((e) => e.tabIndex > 0)) told.push("something is before its turn");
		if (tabs.seen.length < all.length || tabs.seen.at(-1) === tabs.seen.at(-2)) told.push("no key leads out of " + called(document.activeElement));
		return told.join("\n");
	};
	return all.length;
})()`

func TestBrowserEveryPageByTab(t *testing.T) {
	b := openTab(t, kettles(t), tablet)
	for _, path := range readPages() {
		for _, l := range tongue.Languages {
			t.Run(path+" "+l.String(), func(t *testing.T) {
				b.t = t
				b.open(in(path, l))
				n := int(evaluate[float64](b, watchesTabs))
				b.do(chromedp.KeyEvent(strings.Repeat(kb.Tab, n+3)))
				assert.Empty(t, evaluate[string](b, "tabs.tell()"))
			})
		}
	}
}

// doesNow is what has the focus, and what it would do: where it leads, or what it would write down.
const doesNow = `(() => { const e = document.activeElement, f = e.form && new FormData(e.form);
	if (f) for (const own of ["seen", "back", "again"]) f.delete(own);
	return [e.tagName, e.name || "", e.textContent.trim().replace(/\s+/g, " ").slice(0, 60), e.href || "", f ? new URLSearchParams(f) : ""].join(" | ") })()`

func TestBrowserPanelsByKey(t *testing.T) {
	atBothSizes(t, kettles, func(b *tab) {
		for _, panel := range []struct{ path, opens, says string }{
			{"/", "86 red pozole", "What if: red pozole, Tue 24 Nov lunch, is 86'd"},
			{"/", "Lost: Tuesday's bone out shoulder", "What if: Tuesday's bone out shoulder is lost"},
			{"/map?item=kettle+stock", "night kettle Tue lost?", "What if: Tuesday's night kettle is lost"},
			{"/map?step=night+kettle", "Tue lost?", "What if: Tuesday's night kettle is lost"},
		} {
			b.open(panel.path)
			opener := fmt.Sprintf(`[...document.querySelectorAll("main a, main button, main summary")].find((e) => e.checkVisibility() && [e.textContent.trim().replace(/\s+/g, " "), e.getAttribute("aria-label")].includes(%q))`, panel.opens)
			b.until(fmt.Sprintf(`(() => { const e = %s; if (e) e.focus(); return !!e && document.activeElement === e })()`, opener), "%s is there", panel.opens)
			b.enters()
			b.sees(panel.says)
			b.until(`!!document.activeElement.closest(".follows")`, "the panel of %s has the focus", panel.opens)
			b.do(chromedp.KeyEvent(kb.Tab))
			assert.True(b.t, evaluate[bool](b, `!!document.activeElement.closest(".follows")`), "the first key leads into the panel")
			b.do(chromedp.KeyEvent(kb.Escape))
			b.seesNot(panel.says)
			b.until(fmt.Sprintf(`document.activeElement === %s`, opener), "%s has the focus again", panel.opens)
		}
		b.open("/log")
		b.until(`(() => { const e = document.querySelector("main summary"); e.focus(); return document.activeElement === e })()`, "something that unfolds")
		was := evaluate[bool](b, `document.activeElement.parentElement.open`)
		b.do(chromedp.KeyEvent(" "))
		assert.NotEqual(b.t, was, evaluate[bool](b, `document.activeElement.parentElement.open`), "the space bar unfolds")
		b.enters()
		assert.Equal(b.t, was, evaluate[bool](b, `document.activeElement.parentElement.open`), "so does Enter")
		assert.Empty(b.t, b.o.news(), "nothing is written by asking")
	})
}

// What somebody is at keeps the focus when news change the page.
func TestBrowserNewsKeepTheFocus(t *testing.T) {
	b := openTab(t, kettles(t), tablet)
	for n, path := range board.Reads() {
		if strings.HasPrefix(path, "/print/") || path == "/pair" {
			continue
		}
		t.Run(path, func(t *testing.T) {
			b.t = t
			b.open(path)
			b.until(`!document.querySelector("[data-again]")`, "all is worked out")
			// Of three in the main part the middle one, the last but one, and so on in turn: not the first of its words.
			b.until(fmt.Sprintf(`(() => { const all = [...document.querySelectorAll("main a[href], main button, main summary, main input:not([type=hidden]), main select")]
				.filter((e) => !e.disabled && e.checkVisibility() && !e.closest("svg") && (e.type !== "radio" || e.checked));
				if (!all.length) { document.getElementById("main").focus(); return true }
				window.at = all[Math.floor(all.length * %v)]; at.focus(); return document.activeElement === at })()`, []float64{0.5, 0.75, 0.99}[n%3]), "something has the focus")
			says := evaluate[string](b, doesNow)
			mark := evaluate[string](b, `document.getElementById("main").dataset.mark || ""`)
			_, text := b.o.write(fmt.Sprintf("binned %d g white onion", n+1))
			require.Contains(t, text, "Written down:")
			if mark == "" {
				return
			}
			b.until(fmt.Sprintf(`document.getElementById("main").dataset.mark !== %q || !document.getElementById("line").hidden`, mark), "the news are there")
			assert.Equal(t, says, evaluate[string](b, doesNow), "the focus went to another")
			assert.False(t, evaluate[bool](b, `document.activeElement === document.body`), "the focus on %s is lost", says)
		})
	}
}
