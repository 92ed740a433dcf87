package show

// Texts of help on a page.

import (
	"slices"
	"strings"
)

// Help lays a text of help out. Where a paragraph, or what an option means, is wider than the page, it is wrapped; usage lines, headings,
// lists, examples and tables stay as they are written.
func Help(p Page, text string) string {
	var b strings.Builder
	usage := strings.HasPrefix(text, "kettletree ")
	options := false // what is indented by eight below "Options:" says what an option means
	lines := strings.Split(strings.TrimSuffix(text, "\n"), "\n")
	for len(lines) > 0 {
		// What belongs together: prose up to a line that is none, or one such line.
		n := max(1, len(lines))
		if at := slices.IndexFunc(lines, func(line string) bool { return !prose(line) }); at >= 0 {
			n = max(1, at)
		}
		block := lines[:n]
		lines = lines[n:]

		meaning, isMeaning := strings.CutPrefix(block[0], "        ")
		switch wide := slices.ContainsFunc(block, func(line string) bool { return width(line) > p.Width }); {
		case wide && prose(block[0]) && !usage:
			b.WriteString(p.text(0, strings.Join(block, " ")))
		case wide && options && isMeaning && !strings.HasPrefix(meaning, " "):
			b.WriteString(p.text(8, meaning))
		default:
			b.WriteString(strings.Join(block, "\n") + "\n")
		}
		usage, options = false, options || block[0] == "Options:"
	}
	return b.String()
}

// prose says whether a line is one of a paragraph.
func prose(line string) bool {
	return line != "" && !strings.HasPrefix(line, "- ") && !strings.HasPrefix(line, "#") && !strings.HasPrefix(line, " ")
}
