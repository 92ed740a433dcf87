//go:build browser

package main

// Every page that the board has, by its table of routes, with the Tab key alone: it leads to every control in the order of the page, is
// seen where it is, and leads out of the page again. A panel that is opened gives the focus back.

import (
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"

	"kettletree/cmd/kettletree/board"
)

// watchesTabs notes what the focus comes to, and counts what it should come to.
const watchesTabs = `(() => {
	const group = (e) => e.type === "radio" && [...document.getElementsByName(e.name)].find((r) => r.form === e.form && (r.checked || !document.querySelector("input[name='" + r.name + "']:checked")));
	const all = [...document.querySelectorAll("a[href], button, input:not([type=hidden]), select, textarea, summary, [tabindex]")]
		.filter((e) => !e.disabled && e.tabIndex >= 0 && e.checkVisibility({ visibilityProperty: true }) && (e.type !== "radio" || group(e) === e));
	const called = (e) => e.tagName + " " + (e.name || e.textContent.trim().slice(0, 30));
	const tabs = window.tabs = { all, seen: [], unseen: [] };
	addEventListener("focusin", ({ target: e }) => {
		tabs.seen.push(all.indexOf(e));
		const drawn = [e, e.parentElement, e.nextElementSibling].some((x) => x && getComputedStyle(x).outlineStyle !== "none");
		if (!drawn) tabs.unseen.push(called(e));
	});
	tabs.tell = () => {
		const told = [], first = tabs.seen.filter((n, k) => n >= 0 && tabs.seen.indexOf(n) === k);
		for (const [n, e] of all.entries()) if (!first.includes(n)) told.push("no key leads to " + called(e));
		for (const what of tabs.unseen) told.push("the focus is not seen on " + what);
		if (first.some((n, k) => k && n < first[k - 1])) told.push("the order is another than the page's: " + first.join(" "));
		if (all.some((e) => e.tabIndex > 0)) told.push("something is before its turn");
		if (document.activeElement !== document.body && tabs.seen.at(-1) !== tabs.seen[0] && tabs.seen.length <= all.length) told.push("no key leads out of " + called(document.activeElement));
		return told.join("\n");
	};
	return all.length;
})()`

func TestBrowserEveryPageByTab(t *testing.T) {
	b := openTab(t, kettles(t), tablet)
	for _, path := range board.Reads() {
		if strings.HasPrefix(path, "/print/") {
			continue
		}
		t.Run(path, func(t *testing.T) {
			b.t = t
			b.open(path)
			n := int(evaluate[float64](b, watchesTabs))
			b.do(chromedp.KeyEvent(strings.Repeat(kb.Tab, n+3)))
			assert.Empty(t, evaluate[string](b, "tabs.tell()"))
		})
	}
}
