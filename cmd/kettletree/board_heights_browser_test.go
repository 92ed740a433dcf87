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
		if path != "/guide" && !strings.HasPrefix(path, "/clock") { // the one is handed out on paper, and in the other no kettle that is to be lit tonight may be folded away
			assert.LessOrEqual(t, high, float64(tallest), path)
		}
	}
}
