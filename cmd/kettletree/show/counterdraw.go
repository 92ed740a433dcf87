package show

// The curve of the counter as SVG: what each sum of money brings. Nothing is said by colour.

import (
	"fmt"

	"kettletree/menu/counter"
)

// CounterCurve draws what each sum brings, with the money in hand and the sum from which on nothing more pays.
func CounterCurve(a *counter.Answer) []byte {
	m := MoneyOf(a.Money)
	last := a.Curve[len(a.Curve)-1]
	low, high := 0.0, m.coin()
	for _, x := range a.Curve {
		low, high = min(low, x.Brings), max(high, x.Brings)
	}
	x := func(spend float64) float64 { return plotLeft + (plotRight-plotLeft)*spend/last.Spend }
	y := func(brings float64) float64 { return plotTop + plotTall*(high-brings)/(high-low) }
	bottom := plotTop + plotTall
	tall := bottom + 66

	var s curves
	s.print(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %.0f %.0f" width="100%%" role="img" `+
		`aria-labelledby="sums-title sums-desc" font-family="DejaVu Sans, Verdana, Arial, sans-serif">`+"\n", curvesWide, tall)
	s.print("<title id=\"sums-title\">What the money brings</title>\n<desc id=\"sums-desc\">%s</desc>\n", escaped(describeSums(a, m)))
	s.print(`<rect width="%.0f" height="%.0f" fill="#ffffff"/>`+"\n", curvesWide, tall)
	s.words(8, 15, 13, "start", "What the money brings"+m.in())

	// Scales.
	for _, k := range []float64{0, 0.5, 1} {
		at := low + (high-low)*k
		s.line(plotLeft, y(at), plotRight, y(at), 0.5, "2 3")
		s.words(plotLeft-5, y(at)+4, 11, "end", m.Show(at))
		anchor := "middle"
		if k == 1 { // it would run over the edge
			anchor = "end"
		}
		s.words(x(last.Spend*k), bottom+15, 11, anchor, m.Show(last.Spend*k))
	}
	s.words((plotLeft+plotRight)/2, bottom+30, 11, "middle", "to spend")

	// The curve, the money in hand, and where it stops.
	s.print(`<path fill="none" stroke="#000000" stroke-width="2" d="`)
	for n, p := range a.Curve {
		if n == 0 {
			s.print("M%.1f %.1f", x(p.Spend), y(p.Brings))
		} else {
			s.print(" L%.1f %.1f", x(p.Spend), y(p.Brings))
		}
	}
	s.print("\"/>\n")
	s.line(x(a.Spend), plotTop, x(a.Spend), bottom, 1, "none")
	s.print(`<circle cx="%.1f" cy="%.1f" r="4" fill="#000000"/>`+"\n", x(a.Costs), y(a.Brings))
	dashes := "More money pays, all that was looked at."
	if a.Ends() {
		if dashes = fmt.Sprintf("Dashes: more than %s does not pay%s.", m.Show(a.Stops), byCards(a)); !a.All {
			dashes = fmt.Sprintf("Dashes: beyond %s nothing was found that pays%s.", m.Show(a.Stops), byCards(a))
		}
		s.line(x(a.Stops), plotTop, x(a.Stops), bottom, 1, "5 4")
	}
	s.words(8, bottom+46, 11, "start", fmt.Sprintf("Line: %s in hand. Dot: what is bought.", m.Show(a.Spend)))
	s.words(8, bottom+60, 11, "start", dashes)
	s.print("</svg>\n")
	return s.Bytes()
}

func describeSums(a *counter.Answer, m Money) string {
	text := fmt.Sprintf("With %s in hand, what is bought brings %s; from nothing to %s the best set brings up to %s", m.Name(a.Spend),
		m.Name(a.Brings), m.Name(a.Curve[len(a.Curve)-1].Spend), m.Name(a.Curve[len(a.Curve)-1].Brings))
	if a.Ends() {
		if a.All {
			text += fmt.Sprintf(", and more than %s does not pay%s", m.Name(a.Stops), byCards(a))
		} else {
			text += fmt.Sprintf(", and beyond %s nothing was found that pays%s", m.Name(a.Stops), byCards(a))
		}
	}
	return text + "."
}
