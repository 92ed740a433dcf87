//go:build browser

package main

import (
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
)

// Ticks stay on the device; the bell says that it rings; limits and pages to print can be read in both schemes.
func TestBrowserSheets(t *testing.T) {
	atBothSizes(t, kettles, func(b *tab) {
		b.open("/sheets?for=station+big+kettle&on=2026-11-25")
		b.sees("Big kettle")
		b.sound("sheet")
		b.do(chromedp.Click(chromedp.CSS("label.tick"), chromedp.NodeVisible))
		b.until("document.querySelector('[data-tick]').checked", "it is ticked")
		b.open("/sheets?for=station+big+kettle&on=2026-11-25")
		b.until("document.querySelector('[data-tick]').checked", "the tick is kept")
		b.open("/cooling")
		b.tap("Ring when it is time")
		b.sees("It rings. It rings only while this page is open")
		b.until("document.querySelector('.left').textContent.includes(':')", "it counts down")
		b.sound("cooling")
		b.dark()
		b.sound("cooling, dark")
		b.open("/print/sheets?on=2026-11-25")
		assert.NotEqual(b.t, "Times New Roman", evaluate[string](b, "getComputedStyle(document.body).fontFamily"), "its style is let in")
		assert.Empty(b.t, b.o.news(), "nothing is written by ticking")
	})
}
