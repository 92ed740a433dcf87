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
func TasteCharts(t Teller, a *taste.Answer) []byte {
	d := &chartSheet{y: 8}
	d.lines("bold", t.several(a.Batches, "%[2]s (%[1]s batch measured)", "%[2]s (%[1]s batches measured)", t.name(a.Of)))
	drawn := false
	for i := range a.Measures {
		m := &a.Measures[i]
		if len(m.Points) < 2 {
			continue
		}
		drawn = true
		d.measure(t, m)
		for _, g := range m.Goes {
			if g.Found {
				d.scatter(t, m, g)
			}
		}
	}
	if !drawn {
		return nil
	}
	return d.whole(t.Say("How %[1]s came out", t.name(a.Of)))
}

// measure draws a measure over the batches.
func (d *chartSheet) measure(t Teller, m *taste.Measured) {
	d.y += 8
	name := t.name(m.Name)
	if m.Unit != "" {
		name = t.Say("%[1]s, %[2]s", name, UnitSaid(t.Voice, m.Unit))
	}
	d.lines("bold", name)
	from := max(0, len(m.Points)-mostCharted)
	points := make([]logbook.Point, 0, mostCharted)
	for _, p := range m.Points[from:] {
		at, _ := time.Parse(time.DateOnly, p.Day) // it was written by us
		points = append(points, logbook.Point{Entry: p.Entry, At: at, Value: p.Value, Side: p.Side})
	}
	var levels []level
	if m.Aim != nil {
		levels = append(levels, level{m.Aim.High, t.Say("aim, at most %[1]s", t.twoDigits(m.Aim.High)), "1 4"})
		if m.Aim.Low > 0 && m.Aim.Low < m.Aim.High {
			levels = append(levels, level{m.Aim.Low, t.Say("aim, at least %[1]s", t.twoDigits(m.Aim.Low)), "1 4"})
		}
	}
	if l := m.Limits; l != nil {
		levels = append(levels, level{l.Upper, t.Say("upper limit %[1]s", t.twoDigits(l.Upper)), "6 4"}, level{l.Mean, t.Say("mean %[1]s", t.twoDigits(l.Mean)), ""})
		if l.Lower > 0 {
			levels = append(levels, level{l.Lower, t.Say("lower limit %[1]s", t.twoDigits(l.Lower)), "6 4"})
		}
	}
	d.plot(170, points, levels, func(p logbook.Point) bool { return p.Side != "" })
	span := t.Say("%[1]s to %[2]s", t.dayOfYear(m.Points[from].Day), t.dayOfYear(m.Points[len(m.Points)-1].Day))
	if from > 0 {
		span = t.Say("%[1]s, last %[2]s of %[3]s batches, limits from all", span, count(mostCharted), count(len(m.Points)))
	}
	d.lines("normal", span)
}

// dayOfYear is a day with its year.
func (t Teller) dayOfYear(day string) string {
	at, err := time.Parse(time.DateOnly, day)
	if err != nil {
		return day
	}
	if t.English() {
		return measure.FormatDayOfYear(at)
	}
	return t.Date(at)
}

// scatter draws a measure against what it goes with.
func (d *chartSheet) scatter(t Teller, m *taste.Measured, g taste.Goes) {
	const height, rim = 130.0, 10.0
	d.y += 6
	d.lines("normal", t.GoesWith(m.Name, g))
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
	name := t.name(m.Name) + " "
	fmt.Fprintf(d, `<text x="%g" y="%.1f">%s</text>`+"\n", chartRight+11, top+chartLetter, escaped(name+t.twoDigits(y1)))
	fmt.Fprintf(d, `<text x="%g" y="%.1f">%s</text>`+"\n", chartRight+11, d.y-2, escaped(name+t.twoDigits(y0)))
	if g.Word != "" {
		d.lines("normal", t.Say("not %[1]s on the left, %[1]s on the right", t.name(g.Word)))
		return
	}
	d.lines("normal", t.Say("%[1]s: %[2]s to %[3]s, from left to right", t.Thing(g.Thing), t.twoDigits(x0), t.of(x1, g.Unit)))
}
