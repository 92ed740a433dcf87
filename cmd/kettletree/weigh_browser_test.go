//go:build browser

package main

// A cod broken down at the bench: each field that is left says what is still on the board; a wet thumb loses nothing.

import (
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
)

func TestBrowserBreakDown(t *testing.T) {
	atBothSizes(t, func(t *testing.T) *served { return openBoard(t, "fish-house") }, func(b *tab) {
		leaves := func(field, text string) { // types, and goes on to the next field
			b.do(chromedp.SendKeys(chromedp.CSS("#"+field), text+"\t"))
		}
		b.open("/")
		b.goes("Break down")
		b.sees("as it comes off the knife")
		b.sound("weigh-1")
		b.do(chromedp.Click(chromedp.Search(`//main//a[contains(@href, "fillet+cod")]`), chromedp.NodeVisible))
		b.sees("Whole: whole cod, kg")
		leaves("whole", "6")
		b.sees("6 kg of 6 kg is still on the board")
		leaves("part-0", "2.6")
		b.sees("3.4 kg of 6 kg is still on the board")
		assert.Equal(b.t, "part-1", evaluate[string](b, "document.activeElement.id"), "nobody is taken out of the field that is next")
		leaves("part-1", "9")
		b.sees("The parts weigh 5.6 kg more than the whole")
		b.sound("weigh-2")
		evaluate[string](b, `document.getElementById("part-1").value = ""`)
		leaves("part-1", "2.3")
		b.sees("1.1 kg of 6 kg is still on the board")
		b.sound("weigh-3")

		for _, field := range []string{"part-2", "part-1", "part-0", "price", "whole"} { // from below, as one goes back to a field
			under := evaluate[float64](b, fmt.Sprintf(`(document.activeElement.blur(), scrollTo(0, document.body.scrollHeight), document.getElementById(%q).focus(), document.querySelector("label[for=%[1]s]").getBoundingClientRect().top -
				document.querySelector(".cut-line").getBoundingClientRect().bottom)`, field))
			assert.GreaterOrEqual(b.t, under, 0.0, "the line of what is left lies over %s", field)
		}

		b.tap("Today") // somebody calls
		b.until(`location.pathname === "/"`, "today is there")
		b.open("/weigh?step=fillet+cod")
		b.sees("Kept from")
		assert.Equal(b.t, "6 2.6 2.3", evaluate[string](b, `["whole", "part-0", "part-1"].map(id => document.getElementById(id).value).join(" ")`), "what was typed is kept")
		b.tap("What does it come to?")
		b.sees("1.1 kg of 6 kg is still on the board")
		leaves("part-2", "0.5")
		b.sees("0.6 kg of 6 kg is trim")
		b.dark()
		b.sound("weigh-4")
		before := len(b.o.logged())
		b.tap("Keep it as a batch")
		b.sees("Written down")
		b.sees("1 piece kept")
		assert.Contains(b.t, strings.Join(b.o.logged()[before:], "\n"), "fillet cod")
		b.open("/weigh?step=fillet+cod")
		assert.Empty(b.t, evaluate[string](b, `document.getElementById("whole").value`), "what is written down is not kept to be sent")
		b.sound("weigh-5")
	})
}
