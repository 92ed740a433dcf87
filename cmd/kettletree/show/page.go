// Package show lays answers out: as tables and sentences for a terminal, as JSON, and as CSV.
//
// It computes nothing but what rounding for display asks for. Every function takes an answer of package menu and gives
// text back; what is written where is up to the caller.
package show

// The page that a table is laid out on, and how text is wrapped on it.

import (
	"math"
	"strings"
	"unicode"

	"github.com/rivo/uniseg"

	"kettletree/menu/tongue"
)

// Page is what text is laid out for.
type Page struct {
	Width  int  // columns of the terminal
	Colour bool // bold and dim text may be used; nothing is said by them alone
	Voice  tongue.Voice
	Blocks bool // tables stand as one block a row, and each line is as long as its text: for whoever wraps it
	Plain  bool // the terminal shows ASCII only: no lines, arrows or dashes of our own beyond it

	// Say says what an answer puts on the page, a sentence or a cell of a table, in the language of the page; nil leaves it in English.
	Say func(string) string
	// Beside puts the head of a column before its cell where a table stands as one block a row; nil puts a space between them.
	Beside func(head, cell string) string
}

// said is a text of an answer in the language of the page.
func (p Page) said(s string) string {
	if p.Say == nil || s == "" {
		return s
	}
	return p.Say(s)
}

func (p Page) styled(code, s string) string {
	if !p.Colour || s == "" {
		return s
	}
	return "\x1b[" + code + "m" + s + "\x1b[0m"
}

func (p Page) bold(s string) string { return p.styled("1", s) }

func (p Page) dim(s string) string { return p.styled("2", s) }

// arrow stands between before and after.
func (p Page) arrow() string {
	if p.Plain {
		return "->"
	}
	return "→"
}

// text is a paragraph: wrapped, each line indented, with a line end.
func (p Page) text(indent int, s string) string { return p.lines(indent, p.said(s)) }

// lines are those of a paragraph that is in the language of the page already.
func (p Page) lines(indent int, s string) string {
	var b strings.Builder
	for _, line := range wrap(s, p.room(indent)) {
		b.WriteString(strings.Repeat(" ", indent) + line + "\n")
	}
	return b.String()
}

// leastWidth is the narrowest column that text is wrapped in.
const leastWidth = 12

// room is how wide a line may be.
func (p Page) room(indent int) int {
	if p.Blocks {
		return math.MaxInt
	}
	return max(p.Width-indent, leastWidth)
}

// width is the number of columns that a text takes: two for a wide rune, none for a combining one.
func width(s string) int { return uniseg.StringWidth(s) }

// glue stands for a space at which no line ends: between a figure and its degrees, and in the name of the code. It is as wide as a space.
const glue = "\u2800"

var glued, unglued = strings.NewReplacer(" °", glue+"°", "Food Code 2022", "Food"+glue+"Code"+glue+"2022"), strings.NewReplacer(glue, " ")

// wrap breaks a text at its spaces into lines no wider than most, and Chinese between its characters. A word wider than that is cut.
func wrap(s string, most int) (lines []string) {
	for _, line := range wrapped(glued.Replace(s), most) {
		lines = append(lines, unglued.Replace(line))
	}
	return lines
}

func wrapped(s string, most int) (lines []string) {
	line, used := "", 0
	for _, word := range strings.Fields(s) {
		for n, part := range breakable(word) {
			space := " "
			if n > 0 {
				space = ""
			}
			for width(part) > most {
				if line != "" {
					lines, line, used = append(lines, line), "", 0
				}
				head := cut(part, most)
				lines, part = append(lines, head), part[len(head):]
			}
			w := width(part)
			switch {
			case part == "":
			case line == "":
				line, used = part, w
			case used+len(space)+w > most:
				lines, line, used = append(lines, line), part, w
			default:
				line, used = line+space+part, used+len(space)+w
			}
		}
	}
	if line != "" || len(lines) == 0 {
		lines = append(lines, line)
	}
	return lines
}

// breakable are the parts of a word between which a line may end: of one with Chinese in it, those of Unicode's line breaking, by which no
// line begins with a full stop.
func breakable(word string) (parts []string) {
	if !strings.ContainsFunc(word, func(r rune) bool { return unicode.Is(unicode.Han, r) }) {
		return []string{word}
	}
	for state := -1; word != ""; {
		var part string
		part, word, _, state = uniseg.FirstLineSegmentInString(word, state)
		parts = append(parts, part)
	}
	return parts
}

// cut is the longest beginning of s that is no wider than most, but at least one character.
func cut(s string, most int) string {
	end, used := 0, 0
	for g := uniseg.NewGraphemes(s); g.Next(); {
		if used += g.Width(); used > most && end > 0 {
			break
		}
		_, end = g.Positions()
	}
	return s[:end]
}

// pad fills a text with spaces to a width, on its left when right is set.
func pad(s string, to int, right bool) string {
	fill := strings.Repeat(" ", max(0, to-width(s)))
	if right {
		return fill + s
	}
	return s + fill
}
