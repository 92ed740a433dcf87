//go:build browser

package main

// The main jobs without a mouse and without a finger: what comes is received, something is thrown away, taken back, and the map is read.

import (
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// tabsTo presses Tab until what has the focus is such as is wanted: e in an expression. It is seen to have it.
func (b *tab) tabsTo(wanted string) {
	b.t.Helper()
	for range 200 {
		b.do(chromedp.KeyEvent(kb.Tab))
		if evaluate[bool](b, fmt.Sprintf(`(e => %s)(document.activeElement)`, wanted)) {
			assert.NotEqual(b.t, "none", evaluate[string](b, "getComputedStyle(document.activeElement).outlineStyle"), "the focus on %s is seen", wanted)
			return
		}
	}
	require.Fail(b.t, "no key leads to it", wanted)
}

// enters presses Enter.
func (b *tab) enters() {
	b.t.Helper()
	b.do(chromedp.KeyEvent(kb.Enter))
}

func TestBrowserByKeys(t *testing.T) {
	b := openTab(t, kettles(t), tablet)
	bar := func(place string) string {
		return fmt.Sprintf(`e.matches("header nav a") && e.textContent.trim() === %q`, place)
	}
	b.open("/")
	b.tabsTo(bar("Buy"))
	b.enters()
	b.sees("to buy")
	b.tabsTo(`e.matches("summary") && e.textContent.includes("pork shoulder")`)
	b.enters()
	b.tabsTo(`e.matches("input[name=amount]")`)
	b.keys("34,5")
	b.tabsTo(`e.matches("input[name=ask]")`)
	b.keys("5.60")
	b.enters() // sends the form
	b.sees(`received 34.5 kg pork shoulder for 193.20 from "butcher"`)

	b.open("/")
	b.tabsTo(bar("Log"))
	b.enters()
	b.sees("Latest entries")
	b.tabsTo(`e.matches("a") && e.textContent.trim() === "Binned"`)
	b.enters()
	b.until(`(document.querySelector("#entry-form input[name=kind]") || {}).value === "binned"`, "the form is there")
	b.tabsTo(`e.matches("#entry-form input[name=item]")`)
	b.keys("lard")
	b.tabsTo(`e.matches("#entry-form input[name=amount]")`)
	b.keys("0.2")
	b.enters()
	b.sees("binned 0.2 kg lard")
	b.tabsTo(`e.matches("#written button") && e.textContent.trim() === "Undo"`)
	b.enters()
	b.sees("undone undo")

	b.open("/")
	b.tabsTo(bar("Map"))
	b.enters()
	b.until(`location.pathname === "/map"`, "the map is there")
	b.tabsTo(`e.closest("main") && e.matches("a") && e.href.includes("item=")`)
	b.enters()
	b.until(`new URLSearchParams(location.search).has("item")`, "something is chosen")
	assert.Equal(t, []string{`received 34.5 kg pork shoulder for 193.20 from "butcher"`, "binned 0.2 kg lard", fmt.Sprintf("undone undo %d", b.o.before+2)}, b.o.news())
}
