package draw

// The legend along the foot of the sheet: it explains what the sheet shows, and nothing else.

import (
	"slices"
)

const (
	keyHigh   = 24.0 // of one row
	keyGap    = 16.0 // between entries
	groupGap  = 26.0 // between groups
	sampleGap = 6.0  // between a sample and its words
)

// key is one entry: a sample of a width, and its words.
type key struct {
	wide  float64
	draw  func(at point) // at is the middle of the left edge of the sample
	words string
}

type group struct {
	head string
	keys []key
}

func (g group) width() float64 {
	w := headFace.width(g.head)
	for _, k := range g.keys {
		w += keyGap + k.wide + sampleGap + keyFace.width(k.words)
	}
	return w
}

// legend draws the legend and returns where the flow has to end.
func (s *sheet) legend() (bottom float64) {
	var rows [][]group
	room := 0.0
	for _, g := range []group{s.boxKeys(), s.stateKeys(), s.lineKeys(), s.toneKeys()} {
		if len(g.keys) == 0 {
			continue
		}
		g.head = s.picture.word(g.head)
		for k := range g.keys {
			g.keys[k].words = s.picture.word(g.keys[k].words)
		}
		if w := g.width() + groupGap; len(rows) == 0 || w > room {
			rows = append(rows, nil)
			room = sheetW - 2*margin - g.width()
		} else {
			room -= w
		}
		rows[len(rows)-1] = append(rows[len(rows)-1], g)
	}
	if len(rows) == 0 {
		return sheetH - margin
	}
	y := sheetH - margin - keyHigh*float64(len(rows)) + 4
	s.print(`<path d="%s" stroke="#b4bcc3" stroke-width="0.7"/>`+"\n", trace("M", margin, y-6, "H", sheetW-margin))
	bottom = y - 14
	for _, row := range rows {
		at := point{margin, y + keyHigh/2}
		for _, g := range row {
			s.text(point{at.x, at.y + 3.2}, "start", headFace, "#000000", g.head)
			at.x += headFace.width(g.head)
			for _, k := range g.keys {
				at.x += keyGap
				k.draw(at)
				at.x += k.wide + sampleGap
				s.text(point{at.x, at.y + 3.2}, "start", keyFace, "#000000", k.words)
				at.x += keyFace.width(k.words)
			}
			at.x += groupGap
		}
		y += keyHigh
	}
	return bottom
}

func (s *sheet) boxKeys() group {
	g := group{head: "Boxes"}
	words := map[Kind]string{Bought: "bought", Made: "made", Step: "step", Dish: "dish", Special: "special"}
	for _, k := range kinds {
		if s.picture.count(func(n *Node) bool { return n.Kind == k }) > 0 {
			g.keys = append(g.keys, key{30, func(at point) { s.sample(k, None, at) }, words[k]})
		}
	}
	return g
}

func (s *sheet) stateKeys() group {
	if !s.shocked {
		return group{}
	}
	g := group{head: "After the shock"}
	if s.picture.count(func(n *Node) bool { return n.Origin }) > 0 {
		g.keys = append(g.keys, key{16, func(at point) { s.mark(point{at.x + 8, at.y}) }, "begins here"})
	}
	for _, st := range []State{Untouched, Short, Out} {
		g.keys = append(g.keys, key{30, func(at point) { s.sample(Made, st, at) }, string(st)})
	}
	line := func(ink string, hollow bool, words string) {
		draw := func(at point) { s.stroke(trace("M", at.x, at.y, "h30"), &Edge{Share: 0.3}, ink, hollow) }
		g.keys = append(g.keys, key{30, draw, words})
	}
	line(lossInk, false, "less comes through")
	line(lossInk, true, "nothing")
	return g
}

// sample draws a small box, filled as the boxes of the sheet are.
func (s *sheet) sample(k Kind, st State, at point) {
	fill := outlines[k].tint
	switch {
	case s.picture.ToneMeans != "" || s.shocked && st == None:
		fill = "#ffffff"
	case st != None:
		fill = borders[st].fill
	}
	s.shape(k, st, fill, point{at.x + 15, at.y}, 15, 7.5)
}

func (s *sheet) lineKeys() group {
	g := group{head: "Lines"}
	has := func(is func(Edge) bool) bool { return slices.ContainsFunc(s.picture.Edges, is) }
	sample := func(e Edge, words string) {
		g.keys = append(g.keys, key{30, func(at point) { s.stroke(trace("M", at.x, at.y, "h30"), &e, lineInk, false) }, words})
	}
	if s.picture.WidthMeans != "" && has(func(e Edge) bool { return e.Share > 0 }) {
		g.keys = append(g.keys, key{30, func(at point) {
			s.print(`<path d="%s" fill="%s"/>`+"\n", trace("M", at.x, at.y, "l30 -2.4v4.8z"), lineInk)
		}, "thicker: larger " + s.picture.WidthMeans})
	}
	if has(func(e Edge) bool { return e.Carried }) {
		sample(Edge{Share: 0.2, Carried: true}, "from yesterday")
	}
	if has(func(e Edge) bool { return e.Substitute }) {
		sample(Edge{Share: 0.2, Substitute: true}, "substitute")
	}
	if has(func(e Edge) bool { return e.Optional }) {
		sample(Edge{Share: 0.2, Optional: true}, "optional")
	}
	return g
}

func (s *sheet) toneKeys() group {
	if s.picture.ToneMeans == "" {
		return group{}
	}
	return group{"Tone", []key{{60, func(at point) {
		for i := range 5 {
			s.print(`<rect x="%s" y="%s" width="12" height="12" fill="%s" stroke="#26323b" stroke-width="0.6"/>`+"\n",
				decimal(at.x+12*float64(i)), decimal(at.y-6), shade(float64(i)/4))
		}
	}, "darker: more " + s.picture.ToneMeans}}}
}
