package show

// Cooling curves as SVG: a panel for each item. Dots are readings, dashes a projection, and a hatched field is what
// breaks a limit: above its temperature, after it is due. Nothing is said by colour.

import (
	"bytes"
	"cmp"
	"encoding/xml"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"kettletree/menu/clock"
	"kettletree/menu/tongue"
)

// A panel in the units of the drawing, which is as wide as the narrowest phone: letters are read there, and print grows
// with the page.
const (
	curvesWide  = 400.0
	plotLeft    = 68.0
	plotRight   = 388.0
	plotTop     = 26.0
	plotTall    = 170.0
	lineTall    = 15.0
	lettersWide = 62 // of the small print, on a line
)

// curves is a drawing that grows downwards.
type curves struct {
	bytes.Buffer
	voice tongue.Voice
	down  float64 // where the next panel begins
}

// CoolingCurves draws the logs.
func CoolingCurves(v tongue.Voice, a *clock.Cooling) []byte {
	body := curves{voice: v}
	for n, c := range a.Items {
		if len(c.Readings) > 0 { // else there is no curve
			body.panel(n, a, c)
		}
	}
	for _, line := range wrap(v.Sentences(a.Code+v.Say("."), a.Caution, v.Say("Projections stand in for no reading.")), lettersWide) {
		body.words(8, body.down+12, 11, "start", line)
		body.down += lineTall
	}
	var all curves
	all.print(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %.0f %.0f" width="100%%" role="img" `+
		`aria-labelledby="curves-title curves-desc" font-family="DejaVu Sans, Verdana, Arial, sans-serif">`+"\n", curvesWide, body.down+8)
	all.print("<title id=\"curves-title\">%s</title>\n<desc id=\"curves-desc\">%s</desc>\n",
		escaped(v.Say("Cooling, by %[1]s", a.Code)), escaped(describeCurves(v, a)))
	all.print(`<defs><pattern id="over" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">` +
		`<rect width="6" height="6" fill="#ffffff"/><line x1="0" y1="0" x2="0" y2="6" stroke="#777777" stroke-width="1.6"/></pattern></defs>` + "\n")
	all.print(`<rect width="%.0f" height="%.0f" fill="#ffffff"/>`+"\n", curvesWide, body.down+8)
	all.Write(body.Bytes())
	all.print("</svg>\n")
	return all.Bytes()
}

// describeCurves tells in words what the drawing shows.
func describeCurves(v tongue.Voice, a *clock.Cooling) string {
	var parts []string
	for _, c := range a.Items {
		said := func(what string) { parts = append(parts, v.Say("%[1]s: %[2]s", c.Item, what)+v.Say(".")) }
		for _, s := range c.Stages {
			said(v.Say("%[1]s: %[2]s", limitWords(v, s, a.Scale), v.Say("%[1]s, %[2]s", stateWord(v, s.State), s.Says)))
		}
		for _, j := range c.Projected {
			said(j.Says)
		}
	}
	return v.Sentences(parts...)
}

func (s *curves) print(format string, args ...any) { fmt.Fprintf(s, format, args...) }

// escaped makes any text fit for XML.
func escaped(text string) string {
	var b strings.Builder
	_ = xml.EscapeText(&b, []byte(text)) // a strings.Builder doesn't fail
	return b.String()
}

func (s *curves) words(x, y, size float64, anchor, text string) {
	s.print(`<text x="%.1f" y="%.1f" font-size="%.0f" text-anchor="%s">%s</text>`+"\n", x, y, size, anchor, escaped(text))
}

func (s *curves) line(x1, y1, x2, y2, thick float64, dashes string) {
	s.print(`<line x1="%.1f" y1="%.1f" x2="%.1f" y2="%.1f" stroke="#000000" stroke-width="%.1f" stroke-dasharray="%s"/>`+"\n",
		x1, y1, x2, y2, thick, dashes)
}

// plot leads from moments and temperatures to places.
type plot struct {
	from, to  time.Time
	low, high float64
	top       float64
}

func (p plot) x(t time.Time) float64 {
	return plotLeft + (plotRight-plotLeft)*float64(t.Sub(p.from))/float64(p.to.Sub(p.from))
}

func (p plot) y(t float64) float64 { return p.top + plotTall*(p.high-t)/(p.high-p.low) }

// plotOf frames an item's readings, its limits with the time until they are due, and projections that are not far
// beyond.
func plotOf(a *clock.Cooling, c clock.Cooled, top float64) plot {
	last := c.Readings[len(c.Readings)-1].At
	p := plot{from: c.Readings[0].At, to: last, low: math.Inf(1), high: math.Inf(-1), top: top}
	see := func(t float64) { p.low, p.high = min(p.low, t), max(p.high, t) }
	for _, r := range c.Readings {
		see(r.Temperature)
	}
	if a.Air != nil {
		see(*a.Air)
	}
	later := func(t time.Time) {
		if t.After(p.to) {
			p.to = t
		}
	}
	for _, v := range c.Stages {
		see(v.From)
		see(v.To)
		later(v.DueAt)
	}
	later(p.from.Add(time.Hour))
	whole := p.to.Sub(p.from)
	for _, j := range c.Projected {
		if j.Minutes != nil && *j.Minutes < (whole*3/2-last.Sub(p.from)).Minutes() {
			later(last.Add(time.Duration(*j.Minutes * float64(time.Minute))))
		}
	}
	p.to = p.to.Add(p.to.Sub(p.from) / 15)
	if p.high-p.low < 1 {
		p.high++
	}
	margin := (p.high - p.low) / 20
	p.low, p.high = p.low-margin, p.high+margin
	return p
}

// panel draws one item below those before it.
func (s *curves) panel(n int, a *clock.Cooling, c clock.Cooled) {
	p := plotOf(a, c, s.down+plotTop)
	bottom := p.top + plotTall
	s.words(8, s.down+17, 14, "start", wrap(c.Item, 36)[0])
	s.words(plotRight, s.down+17, 11, "end", s.voice.Date(p.from))
	s.print(`<clipPath id="plot-%d"><rect x="%.1f" y="%.1f" width="%.1f" height="%.1f"/></clipPath>`+"\n", n, plotLeft, p.top,
		plotRight-plotLeft, plotTall)
	for _, v := range c.Stages {
		if v.Due != nil {
			s.print(`<rect x="%.1f" y="%.1f" width="%.1f" height="%.1f" fill="url(#over)" stroke="#000000" stroke-width="0.8"/>`+"\n",
				p.x(v.DueAt), p.top, plotRight-p.x(v.DueAt), p.y(v.To)-p.top)
		}
	}
	s.print(`<rect x="%.1f" y="%.1f" width="%.1f" height="%.1f" fill="none" stroke="#000000"/>`+"\n", plotLeft, p.top,
		plotRight-plotLeft, plotTall)
	s.scale(p, a, c)
	s.hours(p, bottom)
	s.projected(n, p, a, c)
	points := make([]string, len(c.Readings))
	for k, r := range c.Readings {
		points[k] = fmt.Sprintf("%.1f,%.1f", p.x(r.At), p.y(r.Temperature))
	}
	s.print(`<polyline points="%s" fill="none" stroke="#ffffff" stroke-width="5"/>`+"\n", strings.Join(points, " "))
	s.print(`<polyline points="%s" fill="none" stroke="#000000" stroke-width="2"/>`+"\n", strings.Join(points, " "))
	for _, r := range c.Readings {
		s.print(`<circle cx="%.1f" cy="%.1f" r="3.6" stroke="#ffffff"><title>%s, %s</title></circle>`+"\n", p.x(r.At),
			p.y(r.Temperature), r.Time, escaped(r.Written))
	}
	s.down = bottom + 32
	var under []string
	for _, v := range c.Stages {
		text := s.voice.Say("%[1]s: %[2]s", limitWords(s.voice, v, a.Scale), stateWord(s.voice, v.State))
		if v.Due != nil && v.State == clock.LimitOpen {
			text = s.voice.Say("%[1]s, due %[2]s", text, v.DueAt.Format("15:04"))
		}
		under = append(under, s.voice.Say("%[1]s (%[2]s)", text, strings.TrimPrefix(v.Section, a.Code+s.voice.Say(", "))))
	}
	for _, j := range c.Projected {
		under = append(under, capital(j.Says))
	}
	for _, text := range under {
		for _, line := range wrap(text, lettersWide) {
			s.words(8, s.down+12, 11, "start", line)
			s.down += lineTall
		}
	}
	s.down += 10
}

// scale writes the temperatures that matter beside the plot, apart where they would touch.
func (s *curves) scale(p plot, a *clock.Cooling, c clock.Cooled) {
	var marks []float64
	for _, v := range c.Stages {
		marks = append(marks, v.From, v.To)
	}
	for k, t := range marks {
		if !slices.Contains(marks[:k], t) {
			s.line(plotLeft, p.y(t), plotRight, p.y(t), 0.8, "2 3")
		}
	}
	if a.Air != nil {
		s.line(plotLeft, p.y(*a.Air), plotRight, p.y(*a.Air), 0.8, "8 4")
		marks = append(marks, *a.Air)
	}
	if len(c.Stages) == 0 {
		for _, r := range c.Readings {
			marks = append(marks, r.Temperature)
		}
		marks = []float64{slices.Max(marks), slices.Min(marks)}
	}
	slices.SortFunc(marks, func(x, y float64) int { return cmp.Compare(y, x) })
	marks = slices.Compact(marks)
	free := math.Inf(-1)
	for _, t := range marks {
		y := max(p.y(t)+4, free)
		free = y + 12
		label := degrees(t, a.Scale)
		if a.Air != nil && t == *a.Air {
			label = s.voice.Say("air %[1]s", label)
		}
		s.words(plotLeft-4, y, 11, "end", label)
	}
}

// hours writes the time below the plot.
func (s *curves) hours(p plot, bottom float64) {
	length := p.to.Sub(p.from)
	step, layout := 15*time.Minute, "15:04"
	for length/step > 6 {
		step *= 2
	}
	if step >= 24*time.Hour {
		layout = "2 Jan"
	}
	for n := range 8 {
		t := p.from.Add(step * time.Duration(n))
		if t.After(p.to) {
			break
		}
		s.line(p.x(t), bottom, p.x(t), bottom+4, 1, "")
		s.words(min(p.x(t), curvesWide-18), bottom+16, 11, "middle", t.Format(layout))
	}
}

// projected draws how the cooling would go on, within the plot.
func (s *curves) projected(n int, p plot, a *clock.Cooling, c clock.Cooled) {
	if c.Rate == 0 {
		return
	}
	last := c.Readings[len(c.Readings)-1]
	const pieces = 40
	points := make([]string, 0, pieces+1)
	for k := range pieces + 1 {
		t := last.At.Add(p.to.Sub(last.At) * time.Duration(k) / pieces)
		temperature := *a.Air + (last.Temperature-*a.Air)*math.Exp(-c.Rate*t.Sub(last.At).Hours())
		points = append(points, fmt.Sprintf("%.1f,%.1f", p.x(t), p.y(temperature)))
	}
	s.print(`<polyline points="%s" fill="none" stroke="#ffffff" stroke-width="5" clip-path="url(#plot-%d)"/>`+"\n", strings.Join(points, " "), n)
	s.print(`<polyline points="%s" fill="none" stroke="#000000" stroke-width="1.6" stroke-dasharray="6 4" clip-path="url(#plot-%d)"/>`+"\n",
		strings.Join(points, " "), n)
	for _, j := range c.Projected {
		if j.Minutes == nil || *j.Minutes > p.to.Sub(last.At).Minutes() {
			continue
		}
		x, y := p.x(last.At.Add(time.Duration(*j.Minutes*float64(time.Minute)))), p.y(j.To)
		s.print(`<path d="M%.1f %.1fl5 5l-5 5l-5 -5z" fill="#ffffff" stroke="#000000" stroke-width="1.4"/>`+"\n", x, y-5)
	}
}
