package guide

// How a page is laid out so that it is one page on paper, whoever prints it.

import (
	"math"

	"golang.org/x/text/width"
)

// fit is the size in which a section is one page, on A4 and on US letter paper.
type fit struct {
	Size    int     // its place among sizes
	Points  float64 // of its letters
	Columns int
	Fits    bool
}

// The page, in points: the width of A4 and the height of US letter, the smaller ones, less margins of 11 mm.
const (
	pageWide = (210.0 - 22) * 72 / 25.4
	pageHigh = (279.4 - 22) * 72 / 25.4
	gutter   = 14.0
	leading  = 1.32 // a line, of the size of its letters
	wideness = 0.52 // of a letter, of its size: about that of wide fonts for screens; a test in a browser measures the pages
)

// sizes in which a page is tried. What is smaller is not read in a kitchen.
var sizes = []fit{{0, 11, 1, false}, {1, 10.5, 2, false}, {2, 10, 2, false}, {3, 9.5, 2, false}, {4, 9, 2, false}, {5, 8.5, 2, false}, {6, 8, 2, false}, {7, 7.5, 2, false}}

// photoHigh is how high a picture stands on paper, in points, as the page's style has it.
const photoHigh = 85.0

// The share of a page that is left free: lines break where words end, and columns where sections do, so that each section takes some.
const slack, slackEach = 0.022, 0.004

// fitted is the largest size in which a section is one page below what else stands on it, or the smallest that there is.
func fitted(s *section, above float64) *fit {
	for _, f := range sizes {
		high := pageHigh - above - f.points(2.4) - blocksHigh(s.Blocks, f, pageWide)
		wide := (pageWide - gutter*float64(f.Columns-1)) / float64(f.Columns)
		need := 0.0
		for _, below := range s.Sections {
			need += f.points(1.05*leading) + 7 + blocksHigh(below.Blocks, f, wide)
		}
		if f.Fits = need <= high*float64(f.Columns)*(1-slack-slackEach*float64(len(s.Sections))); f.Fits {
			return &f
		}
	}
	return &sizes[len(sizes)-1]
}

// points is a length that is so many letters high.
func (f fit) points(letters float64) float64 { return letters * f.Points }

// blocksHigh is about how high blocks stand in a column, in points.
func blocksHigh(blocks []block, f fit, wide float64) (high float64) {
	lines := func(in float64, texts ...line) float64 {
		n := 0.0
		for _, t := range texts {
			n += letters(t)
		}
		return math.Ceil(n*wideness*f.Points/in) * f.points(leading)
	}
	for _, b := range blocks {
		switch {
		case b.Photo != "":
			high += photoHigh + 6
		case b.Text != nil:
			high += 3 + lines(wide, b.Text)
		case b.Warning != nil:
			high += 3 + lines(wide-12, line{{"Caution: ", ""}}, b.Warning)
		case b.Rows != nil:
			for _, r := range b.Rows {
				high += lines(wide, r.Head, r.Text, line{{" ", ""}})
			}
		case b.Points != nil:
			for _, p := range b.Points {
				high += lines(wide-14, p)
			}
		case b.Stages != nil:
			for _, s := range b.Stages {
				in, out := 0.0, 0.0
				for _, t := range s.In {
					in += lines(wide*0.39-10, t, line{{" → ", ""}})
				}
				for _, t := range s.Out {
					out += lines(wide*0.39-10, line{{"→ ", ""}}, t)
				}
				high += max(in, out, f.points(1.1*leading)+lines(wide*0.22-16, s.Held)) + 4
			}
			high += f.points(leading) + 6
		}
	}
	return high
}

// letters is how many letters wide a text is: one of Chinese counts for nearly two.
func letters(l line) (n float64) {
	for _, s := range l {
		for _, r := range s.Text {
			switch width.LookupRune(r).Kind() {
			case width.EastAsianWide, width.EastAsianFullwidth:
				n += 1 / wideness
			default:
				n++
			}
		}
	}
	return n
}
