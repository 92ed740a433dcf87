//go:build browser

package main

// No page that is read on a phone is longer than eight screens of it.

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

// tallest is how high a page may be on a phone, in CSS pixels.
const tallest = 6000

func TestBrowserHeights(t *testing.T) {
	b := openTab(t, kettles(t), phone)
	for _, path := range readPages() {
		b.open(path)
		b.until(`!document.querySelector("[data-again]")`, path+" is worked out")
		high := evaluate[float64](b, "document.documentElement.scrollHeight")
		t.Logf("%5.0f px %s", high, path)
		switch {
		case path == "/guide": // which is handed out on paper
		case strings.HasPrefix(path, "/clock"): // a line for each thing to do until tomorrow, and what is overdue: none may be folded away
			assert.LessOrEqual(t, high, 2.0*tallest, path)
		default:
			assert.LessOrEqual(t, high, float64(tallest), path)
		}
	}
}
