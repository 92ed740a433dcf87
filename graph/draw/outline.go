package draw

// The outlines: one for each kind of box, told apart without colour. What is bought is a crate with its left corners
// broken off, what is made is round at the corners, a step points the way the work goes, a dish is a bowl with a rim, a
// special has a second rim.

import (
	"math"
	"strings"
)

// trace writes the data of a path: letters as they are, numbers as coordinates.
func trace(parts ...any) string {
	var b strings.Builder
	for i, part := range parts {
		if x, ok := part.(float64); ok {
			if i > 0 {
				if _, after := parts[i-1].(float64); after {
					b.WriteByte(' ')
				}
			}
			b.WriteString(decimal(x))
		} else {
			b.WriteString(part.(string))
		}
	}
	return b.String()
}

// outline is how boxes of a kind are drawn.
type outline struct {
	side, head, foot float64 // room that the shape takes from the words: at each side, at the top and at the bottom

	// path draws the closed shape round the middle, with half of the width and height.
	path func(middle point, w, h float64) string
	rims int // lines across the top that reach over the sides

	// left and right are where the sides are at dy below the middle, seen from it.
	left, right func(w, h, dy float64) float64

	tint    string // light fill when nothing else decides it
	shape   string // the shape of Graphviz that comes nearest
	rounded bool   // its corners are round
}

const (
	chamfer = 6.0
	tip     = 6.0
	rimOver = 3.0
	rimGap  = 3.0
)

// arc turns clockwise round a quarter of a circle, to the point that follows.
func arc(r float64) string { return trace("A", r, r, " 0 0 1 ") }

func roundness(h float64) float64 { return min(h, 10) }

func bowl(h float64) float64 { return min(1.3*h, 16) }

func straightRight(w, _, _ float64) float64 { return w }

// corner is how far a side with a round corner of radius r is drawn in at over points past the start of the corner.
func corner(r, over float64) float64 {
	if over <= 0 {
		return 0
	}
	return r - math.Sqrt(max(0, r*r-over*over))
}

var bowlOutline = outline{
	side: 2, head: 2, foot: 3, rims: 1, tint: "#fdf3dc", shape: "invtrapezium",
	path: func(m point, w, h float64) string {
		r := bowl(h)
		return trace("M", m.x-w, m.y-h, "H", m.x+w, "V", m.y+h-r, arc(r), m.x+w-r, m.y+h, "H", m.x-w+r, arc(r), m.x-w,
			m.y+h-r, "Z")
	},
	left:  func(w, h, dy float64) float64 { r := bowl(h); return -w + corner(r, dy-(h-r)) },
	right: func(w, h, dy float64) float64 { r := bowl(h); return w - corner(r, dy-(h-r)) },
}

var outlines = map[Kind]outline{
	Bought: {
		side: 1, tint: "#f1f4ec", shape: "octagon",
		path: func(m point, w, h float64) string {
			return trace("M", m.x-w+chamfer, m.y-h, "H", m.x+w, "V", m.y+h, "H", m.x-w+chamfer, "L", m.x-w, m.y+h-chamfer,
				"V", m.y-h+chamfer, "Z")
		},
		left: func(w, h, dy float64) float64 { return -w + max(0, math.Abs(dy)-(h-chamfer)) }, right: straightRight,
	},
	Made: {
		side: 0, tint: "#ffffff", shape: "box", rounded: true,
		path: func(m point, w, h float64) string {
			r := roundness(h)
			return trace("M", m.x-w+r, m.y-h, "H", m.x+w-r, arc(r), m.x+w, m.y-h+r, "V", m.y+h-r, arc(r), m.x+w-r, m.y+h,
				"H", m.x-w+r, arc(r), m.x-w, m.y+h-r, "V", m.y-h+r, arc(r), m.x-w+r, m.y-h, "Z")
		},
		left:  func(w, h, dy float64) float64 { r := roundness(h); return -w + corner(r, math.Abs(dy)-(h-r)) },
		right: func(w, h, dy float64) float64 { r := roundness(h); return w - corner(r, math.Abs(dy)-(h-r)) },
	},
	Step: {
		side: 4, tint: "#e6ebf0", shape: "cds",
		path: func(m point, w, h float64) string {
			return trace("M", m.x-w, m.y-h, "H", m.x+w-tip, "L", m.x+w, m.y, "L", m.x+w-tip, m.y+h, "H", m.x-w,
				"L", m.x-w+tip, m.y, "Z")
		},
		left:  func(w, h, dy float64) float64 { return -w + tip*(1-math.Abs(dy)/h) },
		right: func(w, h, dy float64) float64 { return w - tip*math.Abs(dy)/h },
	},
	Dish: bowlOutline,
	Special: func() outline {
		o := bowlOutline
		o.rims = 2
		return o
	}(),
}

// border is how the outline of a box tells its state.
type border struct {
	stroke string
	width  float64
	dash   string
	fill   string // when the tone doesn't decide it; empty for the tint of the kind
	ink    string
}

var borders = map[State]border{
	None:      {"#26323b", 1, "", "", "#000000"},
	Untouched: {"#6c7780", 0.9, "", "#ffffff", "#3a444c"},
	Short:     {"#000000", 2, "5 2.4", "#fbe7bd", "#000000"},
	Out:       {"#000000", 3.2, "", "#c9ced3", "#000000"},
}
