//go:build browser

package main

// More, and what stands under it.

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestBrowserMore(t *testing.T) {
	atBothSizes(t, kettles, func(b *tab) {
		b.open("/more")
		b.sees("Inspector")
		b.sound("more")
		b.dark()
		b.sound("more-dark")
		for page, says := range map[string]string{"Allergens": "red pozole", "On hand, lot by lot": "lard", "What to sell": "red pozole", "The inspector's day": "counted",
			"Stock-take": "log book:", "Devices": "No other device is paired", "Labels": "use by", "What sells and what earns": "red pozole", "What hurts most if it fails": "night kettle"} {
			b.goes(page)
			b.sees(says)
			b.sound(page)
		}
	})
}

// torn are the names that have no room for a word of theirs, and what has a word cut in two or running off the screen.
const torn = `[...document.querySelectorAll("main strong, main .name, main .cost, main label, main :is(h2, h3, button, .button, th, td, b, summary)")].filter(e => {
	const r = e.getBoundingClientRect(), long = Math.max(...e.textContent.split(/\s+/).map(w => w.length));
	if (r.height <= 1 || !e.checkVisibility() || getComputedStyle(e).hyphens === "auto") return false;
	if (e.matches("strong, .name, label, h2") && long > 3 && r.width < 48) return true;
	const texts = document.createTreeWalker(e, NodeFilter.SHOW_TEXT), word = document.createRange();
	for (let n; n = texts.nextNode();) {
		if (n.parentElement.closest(".hear, pre")) continue;
		for (const m of n.data.matchAll(/[\p{Script=Latin}\d.,:]{2,}/gu)) {
			word.setStart(n, m.index); word.setEnd(n, m.index + m[0].length);
			const parts = [...word.getClientRects()].filter(p => p.width > 0);
			if (parts.some(p => Math.abs(p.top - parts[0].top) > 5)) return true;
			if (parts.some(p => p.right > innerWidth + 1) && !e.closest(".wide, .sideways, .sheet, .lanes")) return true;
		}
	}
	return false }).map(e => e.textContent.trim().replace(/\s+/g, " ").slice(0, 40))`

// glued are the buttons that have two words of theirs run together: what begins a part of a box that is laid out by itself, loses its blank.
const glued = `[...document.querySelectorAll("button, .button")].filter(e => getComputedStyle(e).display.includes("flex") && [...e.children].some(c => {
	const before = c.previousSibling && c.previousSibling.textContent, r = c.getBoundingClientRect();
	return before && before.trim() && r.width > 1 && r.height > 1 && /^\s|\s$/.test(c.textContent.slice(0, 1) + before.slice(-1)) &&
		!parseFloat(getComputedStyle(c).marginLeft) && !parseFloat(getComputedStyle(e).columnGap) })).map(e => e.textContent.trim())`

// At twice the size of text nothing is wider than the screen, and names are not torn into letters.
func TestBrowserLargeText(t *testing.T) {
	b := openTab(t, kettles(t), phone)
	b.o.t = t
	b.o.write("lost night kettle of 2026-11-24")
	for _, path := range []string{"/", "/buy", "/log?kind=received", "/map", "/more", "/stock-take", "/rescue?lose=night+kettle@tue"} {
		b.open(path)
		b.enlarges(200)
		b.until(`getComputedStyle(document.documentElement).fontSize === "32px"`, "the text is large")
		assert.LessOrEqual(t, evaluate[float64](b, "document.documentElement.scrollWidth"), float64(b.s.width), "%s is wider than the screen", path)
		assert.Empty(t, evaluate[[]string](b, torn), "%s tears names into letters", path)
		b.shoot("large " + path)
	}
}
