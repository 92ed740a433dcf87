//go:build browser

package main

// No page that is read on a phone is longer than eight screens of it.

import (
	"slices"
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
		high := evaluate[float64](b, "document.documentElement.scrollHeight")
		t.Logf("%5.0f px %s", high, path)
		if !slices.ContainsFunc(sheets, func(s string) bool { return strings.HasPrefix(path, s) }) {
			assert.LessOrEqual(t, high, float64(tallest), path)
		}
	}
}

// sheets are pages of a sheet that is printed.
var sheets = []string{}
