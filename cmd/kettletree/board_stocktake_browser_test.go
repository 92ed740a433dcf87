//go:build browser

package main

// A stock-take by thumb: a kitchen without a log book begins one, and one number is put right afterwards.

import (
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
)

func TestBrowserStockTake(t *testing.T) {
	atBothSizes(t, pot, func(b *tab) {
		b.o.t = b.t
		b.t.Setenv(clockName, tuesday)
		b.open("/stock-take")
		b.sees("There is no log book yet: this begins one.")
		b.focuses("#amount")
		b.keys("2,5")
		b.do(chromedp.KeyEvent(kb.Enter)) // the key at the thumb goes on to the next number, and sends nothing
		b.until(`document.activeElement.id === "amount-1"`, "the next number has the cursor")
		b.keys("4")
		b.sound("counting")
		b.dark()
		b.sound("counting in the dark")
		b.tap("Write down what was counted")
		b.sees("2 counted for the first time")
		first := b.o.news()
		assert.Len(b.t, first, 2)
		b.t.Setenv(clockName, "2026-11-24 14:30")
		b.focuses("#amount")
		b.keys("2")
		b.focuses("#amount-1")
		b.keys("4")
		b.tap("Write down what was counted")
		b.sees("2 are not as the log book had them") // lunch went on meanwhile
		b.until(`(() => { const r = document.querySelector(".taken h2").getBoundingClientRect(); return r.top >= 0 && r.bottom < innerHeight })()`, "what was found is on the screen")
		b.sound("found")
		b.until(`(() => { document.querySelector(".taken .row a").click(); return true })()`, "its name is tapped")
		b.until(`(document.querySelector("#entry-form #amount") || {}).value === "2"`, "the form is filled in")
		b.fills("#entry-form #amount", "2,4")
		b.tap("Write it down")
		b.sees("replaces entry 3")
		assert.Len(b.t, b.o.news(), 5)
	})
}
