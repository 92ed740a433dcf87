package show

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

func TestHelp(t *testing.T) {
	text := "kettletree plan [KITCHEN] [--of-some-length]\n\n" +
		"Finds what to cook,\nbuy and sell for some days.\n" +
		"    kettletree plan examples/three-kettles\n" +
		"- a list stays as it is\n\n" +
		"Options:\n  --days N\n        number of days (default: 7)\n"
	assert.Equal(t, text, Help(Page{Width: 80}, text), "what fits stays")
	assert.Equal(t, "kettletree plan [KITCHEN] [--of-some-length]\n\n"+
		"Finds what to\ncook, buy and sell\nfor some days.\n"+
		"    kettletree plan examples/three-kettles\n"+
		"- a list stays as it is\n\n"+
		"Options:\n  --days N\n        number of\n        days\n        (default: 7)\n",
		Help(Page{Width: 18}, text))
}

// No word of a text is lost, and its paragraphs fit.
func TestHelpKeepsAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := strings.Join(rapid.SliceOf(rapid.StringMatching(`( {8}| {4}|- |# |)[a-z ]{0,60}`)).Draw(t, "lines"), "\n") + "\n"
		p := Page{Width: rapid.IntRange(20, 90).Draw(t, "width")}
		laid := Help(p, text)
		words, shown := strings.Fields(text), strings.Fields(laid)
		if slices.ContainsFunc(words, func(word string) bool { return width(word) > p.Width-8 }) { // it is parted where the line ends
			words, shown = []string{strings.Join(words, "")}, []string{strings.Join(shown, "")}
		}
		assert.Equal(t, words, shown)
		for line := range strings.Lines(laid) {
			assert.True(t, !prose(line) || width(strings.TrimSpace(line)) <= p.Width, line)
		}
	})
}
