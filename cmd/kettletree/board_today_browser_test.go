//go:build browser

package main

// Today at a glance: what matters most stands on the first screen of a phone.

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// On the first 740 px of a phone, less the bar, stand the worst trouble, what is to be done next, and how the next service stands: on a
// day that was counted, and after a week whose pots have left food past its date mark.
func TestBrowserTodayAtAGlance(t *testing.T) {
	counted := func(t testing.TB, example string) *served { return openBoard(t, example).counted() }
	for _, day := range []struct {
		example string
		serve   func(testing.TB, string) *served
	}{{"three-kettles", counted}, {"fish-house", counted}, {"evergreen-braise", counted}, {"three-kettles", afterAWeek}, {"fish-house", afterAWeek}, {"evergreen-braise", afterAWeek}} {
		t.Run(day.example, func(t *testing.T) {
			b := openTab(t, day.serve(t, day.example), phone)
			b.open("/")
			b.until(`!!document.querySelector("#due")`, "Today is there")
			bar := evaluate[float64](b, `document.querySelector("header").getBoundingClientRect().top`)
			ends := func(first string) float64 { // where the first of it ends; 0 where there is none
				return evaluate[float64](b, `(document.querySelector("`+first+`") || document.head).getBoundingClientRect().bottom`)
			}
			assert.LessOrEqual(t, ends(".alarm .row strong"), bar, "the worst trouble")
			assert.LessOrEqual(t, ends("[aria-labelledby=due] .row strong"), bar, "what is to be done next")
			assert.Greater(t, ends(".glance a:nth-child(2)"), 0.0, "both services are there")
			assert.LessOrEqual(t, ends(".glance a:nth-child(2)"), bar, "how the next services stand")
			_ = evaluate[bool](b, `(() => { document.body.style.cssText = "height: 740px; overflow: hidden"; return true })()`) // for the picture
			b.shoot("glance")
		})
	}
}
