package show

// Measures over the batches as SVG, and what goes with them: black on white, what is out of line has a shape and a number.

import (
	"fmt"
	"math"
	"time"

	"kettletree/graph/measure"
	"kettletree/menu/logbook"
	"kettletree/menu/taste"
)

// TasteCharts draws each measure that was measured at least twice, its aim and its limits, and below it what it was found to go with; nil
// when there is none. The drawing has no size of its own: it fills the page or column that it stands in.
func TasteCharts(a *taste.Answer) []byte {
	d := &chartSheet{y: 8}
	d.lines("bold", a.Of+" ("+plural(a.Batches, "batch", "batches")+" measured)")
	drawn := false
	for i := range a.Measures {
		m := &a.Measures[i]
		if len(m.Points) < 2 {
			continue
		}
		drawn = true
		d.measure(m)
		for _, g := range m.Goes {
			if g.Found {
				d.scatter(m, g)
			}
		}
	}
	if !drawn {
		return nil
	}
	return d.whole("How " + a.Of + " came out")
}

// measure draws a measure over the batches.
func (d *chartSheet) measure(m *taste.Measured) {
	d.y += 8
	name := m.Name
	if m.Unit != "" {
		name += ", " + m.Unit
	}
	d.lines("bold", name)
	from := max(0, len(m.Points)-mostCharted)
	points := make([]logbook.Point, 0, mostCharted)
	for _, p := range m.Points[from:] {
		at, _ := time.Parse(time.DateOnly, p.Day) // it was written by us
		points = append(points, logbook.Point{Entry: p.Entry, At: at, Value: p.Value, Side: p.Side})
	}
	number := func(v float64) string { return measure.FormatNumber(math.Round(v*100) / 100) }
	var levels []level
	if m.Aim != nil {
		levels = append(levels, level{m.Aim.High, "aim, at most " + number(m.Aim.High), "1 4"})
		if m.Aim.Low > 0 && m.Aim.Low < m.Aim.High {
			levels = append(levels, level{m.Aim.Low, "aim, at least " + number(m.Aim.Low), "1 4"})
		}
	}
	if l := m.Limits; l != nil {
		levels = append(levels, level{l.Upper, "upper limit " + number(l.Upper), "6 4"}, level{l.Mean, "mean " + number(l.Mean), ""})
		if l.Lower > 0 {
			levels = append(levels, level{l.Lower, "lower limit " + number(l.Lower), "6 4"})
		}
	}
	d.plot(170, points, levels, func(p logbook.Point) bool { return p.Side != "" })
	span := whenDay(m.Points[from].Day) + " to " + whenDay(m.Points[len(m.Points)-1].Day)
	if from > 0 {
		span += fmt.Sprintf(", last %d of %d batches, limits from all", mostCharted, len(m.Points))
	}
	d.lines("normal", span)
}

func whenDay(day string) string {
	at, err := time.Parse(time.DateOnly, day)
	if err != nil {
		return day
	}
	return measure.FormatDayOfYear(at)
}

// scatter draws a measure against what it goes with.
func (d *chartSheet) scatter(m *taste.Measured, g taste.Goes) {
	const height, rim = 130.0, 10.0
	d.y += 6
	d.lines("normal", GoesWith(m.Name, g))
	top := d.y + 6
	d.y = top + height
	span := func(list []float64) (least, most float64) {
		least, most = math.Inf(1), math.Inf(-1)
		for _, v := range list {
			least, most = min(least, v), max(most, v)
		}
		return least, max(most, least+dust)
	}
	x0, x1 := span(g.X)
	y0, y1 := span(g.Y)
	fmt.Fprintf(d, `<rect x="%g" y="%.1f" width="%g" height="%g" fill="none" stroke="#000" stroke-width="0.6"/>`+"\n", chartLeft, top, chartRight-chartLeft, height)
	for i := range g.X {
		fmt.Fprintf(d, `<circle cx="%.1f" cy="%.1f" r="4" fill="none" stroke="#000" stroke-width="1.5"/>`+"\n",
			chartLeft+rim+(chartRight-chartLeft-2*rim)*(g.X[i]-x0)/(x1-x0), top+rim+(height-2*rim)*(y1-g.Y[i])/(y1-y0))
	}
	number := func(v float64) string { return measure.FormatNumber(math.Round(v*100) / 100) }
	fmt.Fprintf(d, `<text x="%g" y="%.1f">%s</text>`+"\n", chartRight+11, top+chartLetter, escaped(m.Name+" "+number(y1)))
	fmt.Fprintf(d, `<text x="%g" y="%.1f">%s</text>`+"\n", chartRight+11, d.y-2, escaped(m.Name+" "+number(y0)))
	if g.Word != "" {
		d.lines("normal", "not "+g.Word+" on the left, "+g.Word+" on the right")
		return
	}
	d.lines("normal", fmt.Sprintf("%s: %s to %s %s, from left to right", g.Thing, number(x0), number(x1), g.Unit))
}
