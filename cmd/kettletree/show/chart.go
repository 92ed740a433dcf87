package show

// The control charts of a step's yields as SVG: each batch against the limits, and below it how far it lies from the
// one before. Nothing is said by colour: the charts are black on white, and what is out of line has a shape and a
// number.

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"kettletree/graph/measure"
	"kettletree/menu/logbook"
)

// The sheet in its own units: narrow, so that its letters can be read on a telephone too.
const (
	chartWidth  = 480.0
	chartLeft   = 12.0
	chartRight  = 350.0 // where the plot ends and the labels begin
	chartLetter = 14.0
	chartLine   = 19.0 // from one line of text to the next

	mostCharted = 40 // batches drawn, the latest
)

// chartSheet is a drawing that grows downwards.
type chartSheet struct {
	strings.Builder
	y float64
}

// YieldCharts draws the charts of all yields of a step that have limits; nil when none has. The drawing has no size of
// its own: it fills the page or column that it stands in.
func YieldCharts(s *logbook.StepYields) []byte {
	d := &chartSheet{y: 8}
	d.lines("bold", stepHeading(*s))
	drawn := 0
	for i := range s.Outputs {
		if s.Outputs[i].Limits != nil {
			d.yield(&s.Outputs[i])
			drawn++
		}
	}
	if drawn == 0 {
		return nil
	}
	d.lines("normal", "Limits: NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2, individuals and moving range.")
	return d.whole("Control charts of " + s.Step)
}

// whole is the drawing as a file.
func (d *chartSheet) whole(title string) []byte {
	return fmt.Appendf(nil, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %g %.0f" role="img" `+
		`font-family="Arial, 'Liberation Sans', Helvetica, sans-serif" font-size="%g">`+"\n<title>%s</title>\n"+
		`<rect width="100%%" height="100%%" fill="#fff"/>`+"\n%s</svg>\n", chartWidth, d.y+10, chartLetter, escaped(title), d.String())
}

// lines writes a paragraph.
func (d *chartSheet) lines(weight, text string) {
	const columns = 58 // of letters of common width
	for _, line := range wrap(text, columns) {
		d.y += chartLine
		fmt.Fprintf(d, `<text x="%g" y="%.1f" font-weight="%s">%s</text>`+"\n", chartLeft, d.y, weight, escaped(line))
	}
}

// level is a line across a plot with its label.
type level struct {
	value float64
	label string
	dash  string // of the line; "" for a whole one
}

// yield draws the two plots of one yield.
func (d *chartSheet) yield(y *logbook.Learned) {
	points, ranges := y.Points, make([]logbook.Point, len(y.Points))
	for i, p := range points {
		ranges[i] = p
		ranges[i].Value = math.NaN()
		if i > 0 {
			ranges[i].Value = math.Abs(p.Value - points[i-1].Value)
		}
	}
	from := max(0, len(points)-mostCharted)
	d.y += 8
	d.lines("bold", y.Output+", "+y.Unit+" a batch")
	l := y.Limits
	number := measure.FormatNumber
	levels := []level{{l.Upper, "upper limit " + number(l.Upper), "6 4"}, {l.Mean, "mean " + number(l.Mean), ""},
		{y.File, "file " + number(y.File), "1 4"}}
	if l.Lower > 0 {
		levels = append(levels, level{l.Lower, "lower limit " + number(l.Lower), "6 4"})
	}
	d.plot(190, points[from:], levels,
		func(p logbook.Point) bool { return p.Side == logbook.Above || p.Side == logbook.Below })
	d.lines("normal", "from one batch to the next")
	d.plot(96, ranges[from:], []level{{l.RangeUpper, "upper limit " + number(l.RangeUpper), "6 4"},
		{l.Range, "mean " + number(l.Range), ""}}, func(p logbook.Point) bool { return p.Side == logbook.Jump })
	span := points[from].At.Format("2006-01-02") + " to " + points[len(points)-1].At.Format("2006-01-02")
	if from > 0 {
		span += fmt.Sprintf(", last %d of %d batches, limits from all", mostCharted, len(points))
	}
	d.lines("normal", span)
}

// plot draws points and levels over some height.
func (d *chartSheet) plot(height float64, points []logbook.Point, levels []level, out func(logbook.Point) bool) {
	least, most := math.Inf(1), math.Inf(-1)
	see := func(v float64) {
		if !math.IsNaN(v) {
			least, most = min(least, v), max(most, v)
		}
	}
	for _, p := range points {
		see(p.Value)
	}
	for _, l := range levels {
		see(l.value)
	}
	if most-least <= dust*math.Abs(most) { // all alike
		least, most = least-1, most+1
	}
	const rim = 14.0 // for what is written beside the outermost points
	top := d.y + 6
	at := func(v float64) float64 { return top + rim + (height-2*rim)*(most-v)/(most-least) }
	d.y = top + height
	fmt.Fprintf(d, `<rect x="%g" y="%.1f" width="%g" height="%g" fill="none" stroke="#000" stroke-width="0.6"/>`+"\n",
		chartLeft, top, chartRight-chartLeft, height)
	d.levels(levels, at, top+chartLetter, d.y)
	step := (chartRight - chartLeft) / float64(len(points))
	x := func(i int) float64 { return chartLeft + step*(float64(i)+0.5) }
	var path []string
	for i, p := range points {
		if !math.IsNaN(p.Value) {
			path = append(path, fmt.Sprintf("%.1f,%.1f", x(i), at(p.Value)))
		}
	}
	fmt.Fprintf(d, `<polyline points="%s" fill="none" stroke="#000"/>`+"\n", strings.Join(path, " "))
	const numberRoom = 60.0 // of a number: where the next stands nearer it is left out
	numbered := -numberRoom
	for i, p := range points {
		switch {
		case math.IsNaN(p.Value):
		case out(p):
			fmt.Fprintf(d, `<rect x="%.1f" y="%.1f" width="11" height="11" fill="#fff" stroke="#000" stroke-width="2"/>`+
				"\n", x(i)-5.5, at(p.Value)-5.5)
			anchor, beside := "start", 9.0
			if x(i) > (chartLeft+chartRight)/2 {
				anchor, beside = "end", -9.0
			}
			if x(i)-numbered >= numberRoom {
				numbered = x(i)
				fmt.Fprintf(d, `<text x="%.1f" y="%.1f" text-anchor="%s" stroke="#fff" stroke-width="3" paint-order="stroke">`+
					"no. %d</text>\n", x(i)+beside, at(p.Value)+5, anchor, p.Entry)
			}
		default:
			fmt.Fprintf(d, `<circle cx="%.1f" cy="%.1f" r="3"/>`+"\n", x(i), at(p.Value))
		}
	}
}

// levels draws lines across, and their labels beside them, pushed apart where they would lie on each other.
func (d *chartSheet) levels(levels []level, at func(float64) float64, top, bottom float64) {
	slices.SortStableFunc(levels, func(a, b level) int { return cmp.Compare(b.value, a.value) })
	places := make([]float64, len(levels))
	for i, l := range levels {
		places[i] = max(top, at(l.value)+5)
		if i > 0 {
			places[i] = max(places[i], places[i-1]+chartLetter+2)
		}
	}
	for i, lowest := len(levels)-1, bottom; i >= 0; i-- {
		places[i] = min(places[i], lowest)
		lowest = places[i] - chartLetter - 2
	}
	for i, l := range levels {
		fmt.Fprintf(d, `<path d="M%g %.1fH%gL%g %.1f" fill="none" stroke="#000" stroke-dasharray="%s"/>`+"\n", chartLeft,
			at(l.value), chartRight, chartRight+8, places[i]-5, cmp.Or(l.dash, "none"))
		fmt.Fprintf(d, `<text x="%g" y="%.1f">%s</text>`+"\n", chartRight+11, places[i], escaped(l.label))
	}
}
