//go:build browser

package main

// After straining: how a kettle came out is tapped in without a keyboard, and so is a trial that finds out why.

import (
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
)

// taps counts what is tapped.
type taps struct {
	*tab
	n int
}

func (b *taps) tap(what string) {
	b.t.Helper()
	b.tab.tap(what)
	b.n++
}

// choose taps a box of a group by what it says.
func (b *taps) choose(group, box string) {
	b.t.Helper()
	at := fmt.Sprintf(`//fieldset[legend[starts-with(normalize-space(.), %q)]]//label[normalize-space(.)=%q]`, group, box)
	b.do(chromedp.ScrollIntoView(chromedp.Search(at)), chromedp.Click(chromedp.Search(at), chromedp.NodeVisible))
	b.until(fmt.Sprintf(`document.evaluate(%q, document, null, XPathResult.FIRST_ORDERED_NODE_TYPE).singleNodeValue.querySelector("input").checked`, at), "%s %s is tapped", group, box)
	b.n++
}

func TestBrowserTaste(t *testing.T) {
	b := &taps{tab: openTab(t, fromList(t), phone)}
	b.o.t = t
	b.o.write("cooked night kettle of 2026-11-23")

	// The card: at about a second a tap, no more than ten of them from Log on.
	b.open("/log")
	b.tap("Measured")
	b.sees("Measure night kettle of Mon 23 Nov")
	b.sound("card")
	b.choose("Colour", "4")
	b.choose("Clarity", "2")
	b.choose("Gel", "5")
	b.tap("Write it down")
	b.sees("last: 4")
	assert.LessOrEqual(t, b.n, 10, "taps")
	assert.Equal(t, "measured night kettle of 2026-11-23: colour 4, clarity 2, gel 5", b.o.logged()[1])
	b.sound("measured")

	// Figures: on keys of the page, from the first field to the last, and the phone's own keyboard stays away. Figures, keys and the tap that writes are
	// fourteen taps, at two in three seconds ten seconds.
	b.open("/taste")
	b.until(`document.querySelector("[data-pad]").inputMode === "none"`, "no keyboard comes up")
	b.n = 0
	press := func(all ...string) {
		for _, one := range all {
			at := chromedp.Search(fmt.Sprintf(`//*[@class="pad"]/button[normalize-space(.)=%q]`, one))
			b.do(chromedp.Click(at, chromedp.NodeVisible))
			b.n++
		}
	}
	b.do(chromedp.Click(chromedp.Search(`//input[@id="taste-3"]`), chromedp.NodeVisible))
	b.n++
	b.sound("pad")
	press("3", ".", ".", "8", "5", "⌫", "Next figure") // a second point is none
	press("6", "0", "Next figure")
	press("4", "Done")
	assert.False(t, evaluate[bool](b.tab, `!!document.querySelector(".pad")`), "the keys are gone")
	b.tap("Write it down")
	b.sees("last: 3.8")
	assert.LessOrEqual(t, b.n, 14, "taps")
	assert.Equal(t, "measured night kettle of 2026-11-23: brix 3.8, to the boil 60, skims 4", b.o.logged()[2])

	// A trial: what is known of a batch can be varied, and what Today and the sheets then say is what the command says.
	b.open("/taste")
	b.sees("Begin the trial")
	for _, thing := range []string{"to the boil", "skims"} {
		if !evaluate[bool](b.tab, fmt.Sprintf(`[...document.querySelectorAll("[name=vary]")].some(e => e.value === %q && e.checked)`, thing)) {
			b.choose("What to vary", thing)
		}
	}
	b.sound("to vary")
	b.tap("Begin the trial")
	b.sees("Next, batch 1")
	b.sound("trial")
	b.tap("End the trial")
	b.sees("Begin the trial")
}
