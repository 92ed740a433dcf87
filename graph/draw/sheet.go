package draw

// The sheet: A3 in landscape, in points, or for a part of a flow as large as that needs; with title, flow and legend.

import (
	"bytes"
	"cmp"
	"context"
	"encoding/xml"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// Ids of the sheet's title and description.
const (
	titleID = "map-title"
	descID  = "map-desc"
)

// The sheet in points of 1/72 inch: 420 mm by 297 mm. A part's is at least as wide as A5, so that its title and legend have room.
const (
	sheetW = 1190.55
	sheetH = 841.89
	partW  = 595.28
	partPx = 1.4 // pixels of the screen for each point: 11 for the smallest print
	margin = 24.0
	hem    = 6.0 // the margin of what has no title and no legend

	mostScale = 1.45 // a small flow isn't blown up further than this
	smallest  = 6.0  // points: smaller print is warned of
)

var (
	titleFace   = face{21, true}
	captionFace = face{10.5, false}
	keyFace     = face{9, false}
	headFace    = face{9, true}
	noteFace    = face{8, false}
)

// Render draws the picture as an SVG document. The same picture gives the same bytes. It fails when the picture is at
// fault (an edge to a node that isn't there, say), when it has more than [MaxSize] nodes and edges, and when ctx ends.
//
// The document of a whole flow has the proportions of A3 in landscape and no size of its own: it fills the page or the column
// that it stands in. That of a part ([Picture.Part]) is as large as its print can be read on a screen. Its title and description have the ids map-title and map-desc.
func Render(ctx context.Context, p Picture) ([]byte, error) {
	l, err := arranged(ctx, &p)
	if err != nil {
		return nil, err
	}
	s := &sheet{picture: &p, plan: l, shocked: p.shocked(), w: sheetW, h: sheetH, margin: margin}
	if p.Bare {
		s.margin = hem
	}
	if p.Part && len(l.boxes) > 0 {
		s.shrink()
	}
	s.open()
	top := s.heading()
	bottom := s.legend()
	s.flow(top, bottom)
	s.print("</svg>\n")
	return s.Bytes(), nil
}

// shrink makes the sheet as small as the flow in its full size allows: what is read on a screen has the width of a column, not of
// A3.
func (s *sheet) shrink() {
	wide, _, high := s.plan.least()
	wide += 2 * s.plan.edge()
	s.w = wide + 2*(s.margin+rimOver)
	if !s.picture.Bare {
		s.w = max(s.w, partW)
	}
	s.w = min(s.w, sheetW)
	scale := min((s.w-2*(s.margin+rimOver))/wide, 1)
	trial := &sheet{picture: s.picture, plan: s.plan, shocked: s.shocked, w: s.w, h: sheetH, margin: s.margin}
	s.h = min(high*scale+trial.heading()+sheetH-trial.legend(), sheetH)
}

type sheet struct {
	bytes.Buffer
	picture *Picture
	plan    *plan
	shocked bool
	w, h    float64
	margin  float64
}

func (s *sheet) print(format string, args ...any) { fmt.Fprintf(s, format, args...) }

// decimal writes a coordinate, to a hundredth of a point.
func decimal(x float64) string {
	t := strconv.FormatFloat(x, 'f', 2, 64)
	t = strings.TrimRight(strings.TrimRight(t, "0"), ".")
	if t == "-0" {
		return "0"
	}
	return t
}

// esc makes any text fit for XML, in elements and attributes.
func esc(text string) string {
	var b strings.Builder
	_ = xml.EscapeText(&b, []byte(text)) // a strings.Builder doesn't fail
	return b.String()
}

// text sets one line of words; anchor is start, middle or end.
func (s *sheet) text(at point, anchor string, f face, ink, words string) {
	s.print(`<text x="%s" y="%s" font-size="%s" fill="%s"`, decimal(at.x), decimal(at.y), decimal(f.size), ink)
	if anchor != "start" {
		s.print(` text-anchor="%s"`, anchor)
	}
	if f.bold {
		s.print(` font-weight="700"`)
	}
	if w := f.width(words); w > 0 {
		s.print(` textLength="%s" lengthAdjust="spacingAndGlyphs"`, decimal(w))
	}
	s.print(">%s</text>\n", esc(words))
}

func (s *sheet) open() {
	size := "100%"
	if s.picture.Part {
		size = decimal(math.Round(s.w * partPx))
	}
	s.print(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %s %s" width="%s" role="img" `+
		`aria-labelledby="%s %s" font-family="%s">`+"\n", decimal(s.w), decimal(s.h), size, titleID, descID, esc(fonts))
	s.print("<title id=\"%s\">%s</title>\n<desc id=\"%s\">%s</desc>\n",
		titleID, esc(cmp.Or(s.picture.Title, "Flow")), descID, esc(s.picture.describe()))
	s.print(`<rect width="%s" height="%s" fill="#ffffff"/>`+"\n", decimal(s.w), decimal(s.h))
}

// describe tells in words what the sheet shows, for those who can't see it.
func (p *Picture) describe() string {
	var b strings.Builder
	if p.Caption != "" {
		b.WriteString(p.Caption + "\n")
	}
	b.WriteString(p.word("A flow from left to right:"))
	sep := " "
	for _, k := range kinds {
		if c := p.count(func(n *Node) bool { return n.Kind == k }); c > 0 {
			fmt.Fprintf(&b, "%s%s %d", sep, p.word(string(k)), c)
			sep = ", "
		}
	}
	b.WriteString(".")
	for _, st := range []State{Out, Short} {
		var told []string
		for _, n := range p.Nodes {
			if n.State == st {
				told = append(told, n.Name+" ("+n.stateWords()+")")
			}
		}
		if len(told) > 0 {
			fmt.Fprintf(&b, "\n%s: %s.", map[State]string{Out: "Out", Short: "Short"}[st], strings.Join(told, "; "))
		}
	}
	return b.String()
}

func (p *Picture) count(is func(*Node) bool) int {
	c := 0
	for i := range p.Nodes {
		if is(&p.Nodes[i]) {
			c++
		}
	}
	return c
}

// heading sets title and caption and returns where the flow may begin.
func (s *sheet) heading() (top float64) {
	if s.picture.Bare {
		return s.margin
	}
	y := margin + 16
	for _, t := range titleFace.wrap(s.picture.Title, s.w-2*margin, 1) {
		s.text(point{margin, y}, "start", titleFace, "#000000", t)
	}
	y += 4
	for _, t := range captionFace.wrap(s.picture.Caption, s.w-2*margin, 3) {
		y += 14
		s.text(point{margin, y}, "start", captionFace, "#2b343b", t)
	}
	return y + 12
}

// flow draws lines and boxes between two heights of the sheet.
func (s *sheet) flow(top, bottom float64) {
	l := s.plan
	if len(l.boxes) == 0 {
		s.text(point{s.w / 2, (top + bottom) / 2}, "middle", captionFace, "#2b343b", "Nothing to draw.")
		return
	}
	w, h := s.w-2*(s.margin+rimOver), bottom-top
	l.fit(w, h)
	scale := min(w/l.w, h/l.h, mostScale)
	if small := amountFace.size * scale; small < smallest {
		s.text(point{s.w - margin, margin + 14}, "end", noteFace, "#000000",
			fmt.Sprintf(s.picture.word("Small print: %.1f points on A3. A part of it (--around ITEM) is easier to read."), small))
	}
	s.print(`<g transform="translate(%s %s) scale(%.4f)">`+"\n",
		decimal((s.w-l.w*scale)/2), decimal(top+(h-l.h*scale)/2), scale)
	order := make([]int, len(l.lines))
	for i := range order {
		order[i] = i
	}
	// Thin lines lie on thick ones, so that none is hidden; what is lost lies on top.
	lost := func(i int) float64 {
		if s.ink(l.boxes[l.lines[i].from].node, l.boxes[l.lines[i].to].node) == lossInk {
			return 1
		}
		return 0
	}
	slices.SortStableFunc(order, func(i, j int) int {
		return cmp.Or(cmp.Compare(lost(i), lost(j)), cmp.Compare(l.lines[j].edge.Share, l.lines[i].edge.Share))
	})
	for _, i := range order {
		s.line(&l.lines[i])
	}
	for i := range l.boxes {
		s.box(&l.boxes[i])
	}
	s.print("</g>\n")
}

// Inks of lines. After a shock, those between boxes that are out or short stand out.
const (
	lineInk  = "#77838d"
	lossInk  = "#000000"
	quietInk = "#a9b2b9"
)

func (n *Node) hit() bool { return n.State == Short || n.State == Out }

func (s *sheet) ink(from, to *Node) string {
	switch {
	case !s.shocked:
		return lineInk
	case from.hit() && to.hit():
		return lossInk
	}
	return quietInk
}

// line draws a line with its arrow and amount.
func (s *sheet) line(ln *line) {
	from, to := &s.plan.boxes[ln.from], &s.plan.boxes[ln.to]
	start := point{from.mid.x + outlines[from.node.Kind].right(from.halfW, from.halfH, ln.slotFrom), ln.way[0].y}
	end := point{to.mid.x + outlines[to.node.Kind].left(to.halfW, to.halfH, ln.slotTo), ln.way[len(ln.way)-1].y}
	x0, x1 := start.x, end.x-arrowLen+0.5 // the ends of the stroke
	label, anchor := point{}, "start"
	switch wide := amountFace.width(ln.label); {
	case ln.label == "":
	case ln.edge.labelAtHead(to.node):
		label, anchor = point{to.mid.x - to.halfW - arrowLen - 1.5, end.y + 2.6}, "end"
		x1 = label.x - wide - 2
	default:
		label = point{from.mid.x + from.halfW + 3, start.y + 2.6}
		x0 = label.x + wide + 2
	}
	way := []any{"M", x0, start.y, "H", ln.way[0].x, "C"}
	for _, q := range ln.way[1:] {
		way = append(way, q.x, q.y)
	}

	s.print("<g class=\"line\" data-from=\"%s\" data-to=\"%s\">\n<title>%s</title>\n", esc(ln.edge.From), esc(ln.edge.To),
		esc(strings.TrimSuffix(from.node.Name+" "+s.picture.word("to")+" "+to.node.Name+": "+s.picture.words(*ln.edge), ": ")))
	s.stroke(trace(append(way, "H", x1)...), ln.edge, s.ink(from.node, to.node), from.node.State == Out)
	half := 2.4 + ln.edge.width()/4
	s.print(`<path d="%s" fill="#3a444c"/>`+"\n", trace("M", end.x, end.y, "L", end.x-arrowLen, end.y-half, "V",
		end.y+half, "Z"))
	if ln.label != "" {
		s.text(label, anchor, amountFace, "#000000", ln.label)
	}
	s.print("</g>\n")
}

// stroke draws the way of a line: in white first, wider, so that lines that cross can be told apart.
func (s *sheet) stroke(d string, e *Edge, ink string, hollow bool) {
	w := e.width()
	s.print(`<path d="%s" fill="none" stroke="#ffffff" stroke-width="%s"/>`+"\n", d, decimal(w+2.4))
	dash := ""
	switch {
	case e.Carried:
		dash = ` stroke-dasharray="9 3 2 3"`
	case e.Substitute:
		dash = ` stroke-dasharray="6 4"`
	case e.Optional:
		dash = ` stroke-dasharray="2 3"`
	}
	if hollow {
		s.print(`<path d="%s" fill="none" stroke="#000000" stroke-width="%s"%s/>`+"\n", d, decimal(w+1.6), dash)
		s.print(`<path d="%s" fill="none" stroke="#ffffff" stroke-width="%s"/>`+"\n", d, decimal(w))
		return
	}
	s.print(`<path d="%s" fill="none" stroke="%s" stroke-width="%s"%s/>`+"\n", d, ink, decimal(w), dash)
}

// box draws a node.
func (s *sheet) box(b *box) {
	node := b.node
	class := strings.TrimSpace(string(node.Kind) + " " + string(node.State))
	s.print("<g id=\"%s\" class=\"%s\">\n<title>%s</title>\n", esc(node.ID), class, esc(node.describe(s.picture.word)))
	o, look := outlines[node.Kind], borders[node.State]
	ink, fill := look.ink, cmp.Or(look.fill, o.tint)
	if s.picture.ToneMeans != "" {
		ink, fill = "#000000", shade(node.Tone)
	}
	s.shape(node.Kind, node.State, fill, b.mid, b.halfW, b.halfH)
	y := b.mid.y - b.textHeight()/2 + b.head/2 - o.foot/2
	for _, t := range b.name {
		s.text(point{b.mid.x, y + 8.2}, "middle", nameFace, ink, t)
		y += nameLead
	}
	for _, t := range b.lines {
		s.text(point{b.mid.x, y + 6.9}, "middle", lineFace, ink, t)
		y += lineLead
	}
	if len(b.state) > 0 {
		s.band(b, y)
	}
	if node.Origin {
		s.mark(point{b.mid.x, b.mid.y - b.halfH})
	}
	s.print("</g>\n")
}

// mark draws the sign of where a shock began: an exclamation mark on black.
func (s *sheet) mark(at point) {
	s.print(`<circle cx="%s" cy="%s" r="%s" fill="#000000" stroke="#ffffff"/>`+"\n", decimal(at.x), decimal(at.y),
		decimal(markR))
	s.print(`<path d="%s" stroke="#ffffff" stroke-width="2.2"/>`+"\n", trace("M", at.x, at.y-4.8, "v5.8m0 1.6v2.2"))
}

// band sets the words of the state: white on black when it is out, framed when it is short.
func (s *sheet) band(b *box, y float64) {
	w, h := 0.0, float64(len(b.state))*stateLead+1
	for _, t := range b.state {
		w = max(w, stateFace.width(t))
	}
	paper, ink, frame := "#ffffff", "#000000", "#000000"
	switch b.node.State {
	case Out:
		paper, ink = "#000000", "#ffffff"
	case Untouched:
		frame = "none"
	}
	y += bandPad - 1
	s.print(`<rect x="%s" y="%s" width="%s" height="%s" rx="2" fill="%s" stroke="%s" stroke-width="0.7"/>`+"\n",
		decimal(b.mid.x-w/2-bandPad), decimal(y), decimal(w+2*bandPad), decimal(h), paper, frame)
	for _, t := range b.state {
		s.text(point{b.mid.x, y + 7.7}, "middle", stateFace, ink, t)
		y += stateLead
	}
}

// shape draws an outline in the border of a state.
func (s *sheet) shape(k Kind, st State, fill string, m point, w, h float64) {
	o, b := outlines[k], borders[st]
	s.print(`<path class="shape" d="%s" fill="%s" stroke="%s" stroke-width="%s" stroke-linejoin="round"`, o.path(m, w,
		h), fill,
		b.stroke, decimal(b.width))
	if b.dash != "" {
		s.print(` stroke-dasharray="%s"`, b.dash)
	}
	s.print("/>\n")
	for r := range o.rims {
		y := m.y - h - float64(r)*rimGap
		s.print(`<path d="%s" stroke="%s" stroke-width="%s" stroke-linecap="round"/>`+"\n",
			trace("M", m.x-w-rimOver, y, "H", m.x+w+rimOver), b.stroke, decimal(max(1.4, b.width)))
	}
}

// shade is the fill for a tone: white to amber, dark enough to be told apart in grey and light enough to read black on.
func shade(tone float64) string {
	mix := func(light, dark float64) int { return int(light + (dark-light)*tone + 0.5) }
	return fmt.Sprintf("#%02x%02x%02x", mix(255, 222), mix(255, 158), mix(255, 60))
}

// describe tells in words what the box tells by its looks.
func (n *Node) describe(word func(string) string) string {
	parts := append([]string{n.Name + " (" + word(string(n.Kind)) + ")"}, n.Lines...)
	if n.Origin {
		parts = append(parts, "the shock begins here")
	}
	if n.State != None {
		parts = append(parts, cmp.Or(n.stateWords(), string(n.State)))
	}
	return strings.Join(parts, "\n")
}
