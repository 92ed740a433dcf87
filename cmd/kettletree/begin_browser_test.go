//go:build browser

package main

// A pie shop entered on a phone, by tapping and typing alone: four things go into the pot, four come out, three dishes are sold.

import (
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
)

func TestBrowserBegin(t *testing.T) {
	b := openTab(t, serveFolder(t, t.TempDir()), phone)
	touched, before := 0, 0 // taps on buttons, and fields that are filled
	fill := func(name, text string) {
		touched++
		b.do(chromedp.SendKeys(chromedp.CSS(fmt.Sprintf("input[name=%q]", name)), text))
	}
	tap := func(what string) {
		touched++
		b.tap(what)
		t.Logf("%d taps and fields up to %q", touched-before, what)
		before = touched
	}
	b.open("/")
	b.sees("Your kitchen")
	b.sound("begin-1")
	fill("name", "Corner Pies")
	fill("open", "tue-sat")
	fill("lunch", "11:30-15:00")
	tap("Go on")
	b.sees("The pot")
	b.sound("begin-2")
	fill("pot", "shin pot")
	fill("days", "tue fri")
	fill("lit", "06:00")
	fill("holds", "60 L")
	fill("pots", "1")
	for n, in := range [][2]string{{"20 kg beef shin", "9.80"}, {"26 L water", ""}, {"3 kg onion", "1.40"}, {"200 g thyme", "12"}} {
		fill(fmt.Sprintf("in %d what", n+1), in[0])
		if in[1] != "" {
			fill(fmt.Sprintf("in %d price", n+1), in[1])
		}
	}
	touched++
	b.do(chromedp.Click(chromedp.CSS(`input[name="in 1 raw"]`)))
	touched++
	b.do(chromedp.Click(chromedp.CSS(`input[name="cooks"][value="yes"]`)))
	for n, out := range []string{"30 L stock, 8 h", "9 kg shin meat, 4 h", "1 kg dripping, 8 h", "2 kg bones, 8 h"} {
		fill(fmt.Sprintf("out %d what", n+1), out)
	}
	tap("Go on")
	b.sees("What is sold of it")
	b.until(`document.querySelector(".drawn img")?.naturalWidth > 0`, "the flow is drawn")
	assert.True(t, evaluate[bool](b, `(r => r.left >= 0 && r.right <= innerWidth && r.top >= 0 && r.bottom < innerHeight)(document.querySelector(".drawn img").getBoundingClientRect())`),
		"all of the flow is seen at once")
	b.sound("begin-3")
	for n, dish := range [][4]string{{"shin pie", "150 g shin meat, 100 mL stock", "8.50", "40"}, {"cup of broth", "250 mL stock", "4", "15"}, {"dripping toast", "20 g dripping, 1 each toast", "3", "8"}} {
		for at, of := range []string{"name", "takes", "price", "sells"} {
			fill(fmt.Sprintf("dish %d %s", n+1, of), dish[at])
		}
	}
	tap("Write it down, and lose the pot")
	b.sees("shin pot is lost")
	b.sees("of contribution")
	assert.LessOrEqual(t, touched, 40, "taps and fields")
	t.Logf("%d taps and fields from an empty folder to what follows when the pot is lost", touched)
}
