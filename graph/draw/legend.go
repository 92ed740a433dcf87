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

// legend draws the legend and returns where the flow has to end. A group that is too wide for what is left of a row begins a new
// one; one that is too wide for the sheet goes on below.
func (s *sheet) legend() (bottom float64) {
	type entry struct {
		at   float64
		draw func(at point)
	}
	if s.picture.Bare {
		return s.h - s.margin
	}
	var rows [][]entry
	x := s.w
	for _, g := range []group{s.boxKeys(), s.stateKeys(), s.lineKeys(), s.toneKeys()} {
		if len(g.keys) == 0 {
			continue
		}
		g.head = s.picture.word(g.head)
		for k := range g.keys {
			g.keys[k].words = s.picture.word(g.keys[k].words)
		}
		if x += groupGap; x+g.width() > s.w-margin {
			rows, x = append(rows, nil), margin
		}
		row := &rows[len(rows)-1]
		*row = append(*row, entry{x, func(at point) { s.text(point{at.x, at.y + 3.2}, "start", headFace, "#000000", g.head) }})
		x += headFace.width(g.head)
		for _, k := range g.keys {
			words := keyFace.width(k.words)
			if x += keyGap; x+k.wide+sampleGap+words > s.w-margin {
				rows, x = append(rows, nil), margin
				row = &rows[len(rows)-1]
			}
			*row = append(*row, entry{x, func(at point) {
				k.draw(at)
				s.text(point{at.x + k.wide + sampleGap, at.y + 3.2}, "start", keyFace, "#000000", k.words)
			}})
			x += k.wide + sampleGap + words
		}
	}
	if len(rows) == 0 {
		return s.h - margin
	}
	y := s.h - margin - keyHigh*float64(len(rows)) + 4
	s.print(`<path d="%s" stroke="#b4bcc3" stroke-width="0.7"/>`+"\n", trace("M", margin, y-6, "H", s.w-margin))
	bottom = y - 14
	for _, row := range rows {
		for _, e := range row {
			e.draw(point{e.at, y + keyHigh/2})
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
