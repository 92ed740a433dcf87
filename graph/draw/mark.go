package draw

// A drawn sheet as a page shows it: boxes lead somewhere, and some stand out.

import (
	"bytes"
	"fmt"
)

// Marks are what [Mark] adds to a sheet. Each may be nil.
type Marks struct {
	Link  func(id string) (url string) // where a box leads; "" for nowhere
	Class func(id string) string       // further classes of a box
	Line  func(from, to string) string // further classes of a line
}

// Mark adds links and classes to a sheet that [Render] drew. The sheet itself stays as it is. With links it is no longer
// one picture to those who hear it, but a group of what can be chosen; and no line of it ends, for a browser makes a node of each end.
func Mark(sheet []byte, m Marks) []byte {
	var b bytes.Buffer
	b.Grow(len(sheet) + len(sheet)/4)
	if m.Link != nil {
		sheet = bytes.Replace(sheet, []byte(` role="img" `), []byte(` role="group" `), 1)
	}
	link := false // a link is open: boxes hold no groups, so it ends with theirs
	for line := range bytes.Lines(sheet) {
		id, isBox := uptoQuote(line, `<g id="`)
		from, isLine := uptoQuote(line, `<g class="line" data-from="`)
		switch {
		case isBox:
			class, _ := uptoQuote(line[bytes.Index(line, []byte(` class="`))+1:], `class="`)
			if m.Class != nil {
				class = joined(class, m.Class(id))
			}
			url := ""
			if m.Link != nil {
				url = m.Link(id)
			}
			fmt.Fprintf(&b, "<g id=\"%s\" class=\"%s\">", esc(id), esc(class))
			if link = url != ""; link {
				fmt.Fprintf(&b, "<a href=\"%s\">", esc(url))
			}
		case isLine && m.Line != nil:
			to, _ := uptoQuote(line[bytes.Index(line, []byte(` data-to="`))+1:], `data-to="`)
			fmt.Fprintf(&b, "<g class=\"%s\" data-from=\"%s\" data-to=\"%s\">", esc(joined("line", m.Line(from, to))), esc(from), esc(to))
		case link && bytes.Equal(line, []byte("</g>\n")):
			link = false
			b.WriteString("</a></g>")
		case bytes.HasSuffix(line, []byte(">\n")):
			b.Write(line[:len(line)-1])
		default:
			b.Write(line)
		}
	}
	return b.Bytes()
}

// uptoQuote is what stands between quotes behind the beginning of a line. Ids and classes need no escaping.
func uptoQuote(line []byte, begins string) (text string, ok bool) {
	rest, ok := bytes.CutPrefix(line, []byte(begins))
	if !ok {
		return "", false
	}
	end := bytes.IndexByte(rest, '"')
	return string(rest[:max(end, 0)]), end >= 0
}

func joined(class, more string) string {
	if more == "" {
		return class
	}
	return class + " " + more
}
