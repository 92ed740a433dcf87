package draw

// The picture as DOT, the language of Graphviz, for those who want to lay it out or restyle it themselves.

import (
	"bytes"
	"cmp"
	"fmt"
	"io"
	"strings"
)

// WriteDOT writes the picture as DOT: outlines, borders, words and widths as in [Render] as far as Graphviz has them,
// nodes and edges in the order of the picture. It fails when the picture is at fault or w does.
func WriteDOT(w io.Writer, p Picture) error {
	if _, err := p.check(); err != nil {
		return fmt.Errorf("draw: %w", err)
	}
	var b bytes.Buffer
	title := cmp.Or(p.Title, "Flow")
	b.WriteString("digraph flow {\n")
	label := title
	if p.Caption != "" {
		label += "\n" + p.Caption
	}
	fmt.Fprintf(&b, "\tgraph [rankdir=LR, labelloc=t, labeljust=l, fontname=%s, label=%s]\n", quoted("Arial"),
		quoted(label))
	fmt.Fprintf(&b, "\tnode [fontname=%s, fontsize=10, style=filled, margin=\"0.12,0.06\"]\n", quoted("Arial"))
	fmt.Fprintf(&b, "\tedge [fontname=%s, fontsize=9, arrowsize=0.6, color=%s]\n", quoted("Arial"), quoted(lineInk))
	for i := range p.Nodes {
		n := &p.Nodes[i]
		o, look := outlines[n.Kind], borders[n.State]
		fill := cmp.Or(look.fill, o.tint)
		if p.ToneMeans != "" {
			fill = shade(n.Tone)
		}
		words := strings.Join(append([]string{n.Name}, n.Lines...), "\n")
		if state := n.stateWords(); state != "" {
			words += "\n" + state
		}
		style := "filled"
		if o.rounded {
			style += ",rounded"
		}
		if look.dash != "" {
			style += ",dashed"
		}
		fmt.Fprintf(&b,
			"\t%s [id=%s, label=%s, shape=%s, peripheries=%d, style=%s, penwidth=%s, color=%s, fillcolor=%s, tooltip=%s]\n",
			quoted(n.ID), quoted(n.ID), quoted(words), o.shape, max(1, o.rims), quoted(style), decimal(look.width),
			quoted(look.stroke), quoted(fill), quoted(n.describe(p.word)))
	}
	for _, e := range p.Edges {
		fmt.Fprintf(&b, "\t%s -> %s [label=%s, penwidth=%s", quoted(e.From), quoted(e.To), quoted(e.words()),
			decimal(e.width()))
		switch {
		case e.Carried:
			b.WriteString(", style=dashed, constraint=false")
		case e.Substitute:
			b.WriteString(", style=dashed")
		case e.Optional:
			b.WriteString(", style=dotted")
		}
		b.WriteString("]\n")
	}
	b.WriteString("}\n")
	_, err := w.Write(b.Bytes())
	return err
}

// quoted writes a text as a quoted string of DOT. A backslash is doubled, since in labels it starts an escape, and a
// line end becomes the escape for one. What is no text at all (a NUL, broken UTF-8) becomes the sign for that.
func quoted(s string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range s {
		switch {
		case r == '"' || r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r == '\n':
			b.WriteString(`\n`)
		case r < ' ' && r != '\t':
			b.WriteRune('\uFFFD')
		case r == '&':
			b.WriteString("&amp;") // Graphviz reads entities in every string
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}
