package guide

// The guide as CommonMark.

import (
	"bytes"
	"net/url"
	"regexp"
	"strings"
)

// Markdown is the guide as CommonMark, which has no tables and no pictures of its own: the flow stands in words in place of the map.
func (g *Guide) Markdown() []byte {
	t := newTeller(g)
	m := &marking{}
	m.heading(1, t.say("Guide for new cooks: %[1]s", t.free(g.Kitchen)))
	m.paragraph(marked(t.say("Made from the standing week of %[1]s, %[2]s.", t.date(g.From), t.voice.Days(g.Days))))
	for _, s := range g.sections() {
		m.section(2, s, t)
	}
	return m.Bytes()
}

// marking is Markdown being written.
type marking struct{ bytes.Buffer }

func (m *marking) heading(level int, title line) {
	if m.Len() > 0 {
		m.WriteByte('\n')
	}
	m.WriteString(strings.Repeat("#", level) + " " + inside(title) + "\n")
}

func (m *marking) paragraph(text string) { m.WriteString("\n" + text + "\n") }

func (m *marking) section(level int, s section, t *teller) {
	m.heading(level, s.Title)
	for _, b := range s.Blocks {
		switch {
		case b.Photo != "":
			m.paragraph("![" + inside(b.Text) + "](" + (&url.URL{Path: b.Photo}).EscapedPath() + ")")
		case b.Text != nil:
			m.paragraph(marked(b.Text))
		case b.Warning != nil:
			m.paragraph("> **" + marked(t.say("Caution:")) + "** " + inside(b.Warning))
		case b.Rows != nil:
			m.WriteByte('\n')
			for _, r := range b.Rows {
				m.WriteString("- **" + marked(r.Head) + "** " + inside(r.Text) + "\n")
			}
		case b.Stages != nil:
			m.stages(b.Stages, t)
		case b.Options != nil:
			m.WriteByte('\n')
			for n, o := range b.Options {
				m.WriteString("- " + string(rune('A'+n)) + ": " + inside(o) + "\n")
			}
		case b.Points != nil || b.Flow != nil:
			m.WriteByte('\n')
			for _, p := range append(b.Points, b.Flow...) {
				m.WriteString("- " + marked(p) + "\n")
			}
		}
	}
	for _, below := range s.Sections {
		m.section(level+1, below, t)
	}
}

// stages are a list, for there are no tables.
func (m *marking) stages(list []stage, t *teller) {
	m.WriteByte('\n')
	for _, s := range list {
		m.WriteString("- **" + marked(s.When) + "** " + inside(s.Held) + "\n")
		for _, text := range s.In {
			m.WriteString("  - " + inside(t.say("%[1]s: %[2]s", t.say("In"), text)) + "\n")
		}
		for _, text := range s.Out {
			m.WriteString("  - " + inside(t.say("%[1]s: %[2]s", t.say("Out"), text)) + "\n")
		}
	}
}

var (
	signs    = regexp.MustCompile("[\\\\`*_\\[\\]<>#&|~]")
	leads    = regexp.MustCompile(`^[+=-]`)
	numbered = regexp.MustCompile(`^(\d+)([.)])`)
)

// inside is a text, behind other text of its line, in which no sign of the kitchen file's has a meaning.
func inside(l line) string {
	return signs.ReplaceAllString(strings.Join(strings.Fields(l.plain()), " "), `\$0`)
}

// marked is such a text at the beginning of a line.
func marked(l line) string {
	text := leads.ReplaceAllString(inside(l), `\$0`)
	return numbered.ReplaceAllString(text, `$1\$2`)
}
