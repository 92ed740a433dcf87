//go:build browser

package main

import (
	"fmt"
	"net/http"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// News that come above what is looked at, or within a part that was unfolded there, move nothing under the thumb.
func TestBrowserNewsKeepThePlace(t *testing.T) {
	for _, s := range []screen{phone, tablet} {
		o := withLogBook(t)
		b := openTab(t, o, s)
		for n, path := range []string{"/", "/buy", "/log", "/clock", "/map", "/cooling", "/costs", "/labels", "/on-hand", "/specials"} {
			for _, unfolded := range []bool{false, true} {
				b.open(path)
				b.until(`document.querySelector("main").dataset.mark && !document.querySelector("[data-again]")`, "%s is there", path)
				evaluate[bool](b, fmt.Sprintf(`[...document.querySelectorAll("main details")].forEach((d) => { if (%v) d.open = true }), true`, unfolded))
				// what stands a third below the top of the screen, in the middle of the page
				stood := evaluate[struct {
					Text string
					Top  float64
					Far  float64
				}](b, `new Promise((done) => {
					scrollTo(0, (document.documentElement.scrollHeight - innerHeight) / 2);
					requestAnimationFrame(() => requestAnimationFrame(() => {
						const all = [...document.querySelectorAll("main h2, main h3, main p, main li, main summary")].filter((e) => e.checkVisibility() && !e.closest(".follows, .strip, .sheet"));
						const once = all.filter((e) => e.textContent.trim() && all.filter((o) => o.textContent === e.textContent).length === 1 && e.getBoundingClientRect().top > 20 && e.getBoundingClientRect().top < innerHeight);
						window.marked = once[0];
						done(once.length ? { Text: once[0].textContent, Top: once[0].getBoundingClientRect().top, Far: scrollY } : { Text: "", Top: 0, Far: scrollY });
					}));
				})`)
				if stood.Far < 1 || stood.Text == "" {
					continue // it fits on the screen
				}
				mark := evaluate[string](b, `document.querySelector("main").dataset.mark`)
				status, page := o.write(fmt.Sprintf("binned %d.%d kg cooked hominy", n+1, map[bool]int{true: 1}[unfolded]), fmt.Sprintf("lost night kettle of 2026-11-2%d", 4+n%2*2))
				require.Equal(t, http.StatusOK, status, "%.2000s", page)
				b.until(fmt.Sprintf(`document.querySelector("main").dataset.mark !== %q`, mark), "%s has the news", path)
				moved := evaluate[float64](b, fmt.Sprintf(`new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => {
					const like = [...document.querySelectorAll("main h2, main h3, main p, main li, main summary")].filter((e) => e.checkVisibility() && e.textContent === %q);
					done(like.length === 1 ? like[0].getBoundingClientRect().top - %v : 0); // of two that say the same nobody knows which stood there
				})))`, stood.Text, stood.Top))
				assert.InDelta(t, 0, moved, 3, "%s at %s, unfolded %v: %.60q moves", path, s.name, unfolded, stood.Text)
				t.Logf("%s %s %v: moved %.1f, %.40q", s.name, path, unfolded, moved, stood.Text)
				last := o.logged()
				status, page = o.write(fmt.Sprintf("undo %d", len(last)-1), fmt.Sprintf("undo %d", len(last)))
				require.Equal(t, http.StatusOK, status, "%.2000s", page)
			}
		}
	}
}
