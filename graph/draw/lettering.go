package draw

// How wide letters are, and how text is broken into lines.
//
// The sheet asks for Arial, Liberation Sans or Helvetica, which share their widths; each text carries the length that
// is computed here, so that another font is fitted to it and never runs over the edge of its box.

import (
	"strings"
	"unicode"
)

// fonts is the font-family of every text.
const fonts = "Arial, 'Liberation Sans', Helvetica, sans-serif"

// Widths of the printable ASCII characters from the space on, in thousandths of the size: the advance widths of
// Liberation Sans Regular and Bold.
var (
	regular = [95]uint16{
		278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278,
		556, 556, 556, 556, 556, 556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556,
		1015, 667, 667, 722, 722, 667, 611, 778, 722, 278, 500, 667, 556, 833, 722, 778,
		667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 278, 278, 278, 469, 556,
		333, 556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500, 222, 833, 556, 556,
		556, 556, 333, 500, 278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584,
	}
	bold = [95]uint16{
		278, 333, 474, 556, 556, 889, 722, 238, 333, 333, 389, 584, 278, 333, 278, 278,
		556, 556, 556, 556, 556, 556, 556, 556, 556, 556, 333, 333, 584, 584, 584, 611,
		975, 722, 722, 722, 722, 667, 611, 778, 722, 278, 556, 722, 611, 833, 722, 778,
		667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 333, 278, 333, 584, 556,
		333, 556, 611, 556, 611, 556, 333, 611, 611, 278, 278, 556, 278, 889, 611, 611,
		611, 611, 389, 556, 333, 611, 556, 778, 556, 556, 500, 389, 280, 389, 584,
	}
)

// face is a size and weight of the letters, in points.
type face struct {
	size float64
	bold bool
}

// width is how wide the text is set, in points. Letters without a table are taken as wide as they commonly are.
func (f face) width(s string) float64 {
	table := &regular
	if f.bold {
		table = &bold
	}
	sum := 0
	for _, r := range s {
		switch {
		case r >= ' ' && r <= '~':
			sum += int(table[r-' '])
		case !seen(r):
		case r >= 0x1100 && r < 0x1200 || r >= 0x2e80 && r < 0xd7b0 || r >= 0xf900 && r < 0xfb00 || r >= 0xff00 && r < 0xff61:
			sum += 1000 // ideographs and other full-width letters
		case r >= 0x2600 && r < 0x27c0 || r >= 0x1f000:
			sum += 1300 // pictures
		case unicode.IsUpper(r) || r == '…' || r == '—':
			sum += 740
		default:
			sum += 590
		}
	}
	return float64(sum) * f.size / 1000
}

// seen reports whether a character takes room of its own: accents, joiners and marks of direction don't.
func seen(r rune) bool { return !unicode.In(r, unicode.Mn, unicode.Me, unicode.Cf, unicode.Cc) }

// longest is the number of characters of a text that are looked at; no more would ever fit into its place.
const longest = 600

// wrap breaks a text into lines no wider than room points, at spaces where it can and inside a word where it must. What
// is beyond the given number of lines is cut off, with an ellipsis. The lines are about as long as each other.
func (f face) wrap(s string, room float64, lines int) []string {
	s = strings.ToValidUTF8(s, "\uFFFD")
	if r := []rune(s); len(r) > longest {
		s = string(r[:longest]) + "…"
	}
	all := f.fill(s, room)
	if len(all) > lines {
		last := []rune(all[lines-1])
		for len(last) > 0 && f.width(string(last)+"…") > room {
			last = last[:len(last)-1]
		}
		return append(all[:lines-1], strings.TrimRight(string(last), " ")+"…")
	}
	// The narrowest room that needs no more lines, and cuts no word, sets them evenly.
	for narrow := room - f.size/2; narrow > room/2; narrow -= f.size / 2 {
		even := f.fill(s, narrow)
		if len(even) > len(all) || strings.Join(even, " ") != strings.Join(strings.Fields(s), " ") {
			break
		}
		all = even
	}
	return all
}

// fill breaks a text into lines, each as full as it can be.
func (f face) fill(s string, room float64) []string {
	var lines []string
	line := ""
	for word := range strings.FieldsSeq(s) {
		if line != "" && f.width(line+" "+word) <= room {
			line += " " + word
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		line = ""
		for _, r := range word {
			if seen(r) && line != "" && f.width(line+string(r)) > room {
				lines = append(lines, line)
				line = ""
			}
			line += string(r)
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}
