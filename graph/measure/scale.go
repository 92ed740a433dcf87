package measure

// How amounts that were worked out are shown.

import (
	"math"
	"strconv"
)

// OnScale is a quantity as the kitchen's scale and jug show it, for an amount that was worked out and not written: 0.1 g below 10 g,
// 1 g below 100 g, 5 g below 1 kg and 10 g above, and so in millilitres; 0.1 oz below a pound and 0.05 lb, or half an ounce, above (2 lb 2 oz stays so), fluid ounces alike; quarts and gallons in 0.05, and below one and a
// quarter, where that would read too coarse, as [Near] says; pieces in quarters; cups and
// spoons in quarters, below two in eighths, and in thirds of a cup or tablespoon (a teaspoon) where one is nearer; all else with three digits. What is too little for that stands with three digits. (Common practice, no source.)
func (q Quantity) OnScale() Quantity {
	if _, sign := q.spoonfuls(); sign != "" || q.inHalfOunces() {
		return q // as on a card
	}
	x := digits(q.Amount, 3)
	if jugs[q.Unit.Name] {
		x = Near(q.Amount)
	}
	if grain := q.grain(); grain > 0 {
		r := math.Round(q.Base()/grain) * grain / q.Unit.Factor
		if third := math.Round(q.Amount*3) / 3; thirds[q.Unit.Name] && math.Abs(third-q.Amount) < math.Abs(r-q.Amount) {
			r = third
		}
		if r != 0 || q.Amount == 0 {
			x = digits(r, 12) // less the dust of the two factors
		}
	}
	return Quantity{x, q.Unit}
}

// Derived is a quantity as a derivation counts with it: exactly, but pounds with more decimals than anybody writes, for they are written
// in kilograms, as the scale shows them: 5.5 lb of 2.5 kg.
func (q Quantity) Derived() Quantity {
	const speck = 1e-6
	hundredths := math.Abs(q.Amount) * 100
	if q.Unit.Name != "lb" || hundredths < 100 || math.Abs(hundredths-math.Round(hundredths)) < speck {
		return q
	}
	shown := Quantity{math.Abs(q.Amount), q.Unit}.OnScale()
	shown.Amount = math.Copysign(shown.Amount, q.Amount)
	return shown
}

// Pieces is how many pieces of something a kitchen counts: quarters, and from ten on whole ones where so many were worked out that are
// no quarters. (Common practice, no source.)
func Pieces(x float64) float64 {
	const speck = 1e-6
	quarters := math.Round(x*4) / 4
	if math.Abs(x) >= 10 && math.Abs(x-quarters) > speck {
		return math.Round(x)
	}
	return quarters
}

// FormatPieces prints [Pieces]: "14", "2½". What nobody counts is "<¼".
func FormatPieces(x float64) string {
	const speck = 1e-6
	whole, part := math.Modf(Pieces(x))
	sign := map[float64]string{0.25: "¼", 0.5: "½", 0.75: "¾"}[math.Abs(part)]
	switch {
	case whole == 0 && part == 0 && x > speck:
		return "<¼"
	case whole == 0 && part == 0:
		return "0"
	case sign == "":
		return strconv.FormatFloat(whole, 'f', 0, 64) // never -0
	case whole == 0 && x < 0:
		return "-" + sign
	case whole == 0:
		return sign
	}
	return strconv.FormatFloat(whole, 'f', 0, 64) + sign
}

// Handy is a quantity in the smaller of two units where a scale shows less than one of the larger, and in the larger from there on: 450 g
// for 0.45 kg, 1.25 kg for 1250 g, 8 oz for half a pound; what a scale shows as 1 kg is never 1000 g.
func (q Quantity) Handy() Quantity {
	in := func(name string) Quantity {
		u, _ := unitSpelt(name) // one of ours
		return Quantity{q.Base() / u.Factor, u}
	}
	switch small, ok := smallerUnit[q.Unit.Name]; {
	case ok && math.Abs(q.Amount) < 1:
		if less := in(small); math.Abs(less.OnScale().Base()) < q.Unit.Factor-dust {
			return less
		}
	case q.Unit.Name == "g" && math.Abs(q.OnScale().Amount) >= 1000:
		return in("kg")
	case q.Unit.Name == "qt" && math.Abs(q.Amount) < 0.5:
		return in("fl oz")
	case q.Unit.Name == "mL" && math.Abs(q.OnScale().Amount) >= 1000:
		return in("L")
	}
	return q
}

// Typed is a quantity for a field that somebody types over: in its own unit, in which they think of it, but for less than a tenth of
// one, which is [Quantity.Handy]: 0.7 kg stays so, 0.02 L is 20 mL.
func (q Quantity) Typed() Quantity {
	if q.Amount != 0 && math.Abs(q.Amount) < 0.1 {
		return q.Handy()
	}
	return q
}

var smallerUnit = map[string]string{"kg": "g", "L": "mL", "lb": "oz"}

// grain is the step of the scale for a quantity, in base units; 0 where there is none.
func (q Quantity) grain() float64 {
	base := math.Abs(q.Base())
	switch q.Unit.Name {
	case "g", "kg", "mL", "cL", "dL", "L":
		switch {
		case base < 10:
			return 0.1
		case base < 100:
			return 1
		case base < 1000:
			return 5
		}
		return 10
	case "oz", "lb":
		switch {
		case base < pound:
			return 0.1 * pound / 16
		case q.Unit.Name == "oz", q.Unit.Ounces:
			return 0.5 * pound / 16
		}
		return 0.05 * pound
	case "fl oz":
		if base < gallon/8 {
			return 0.1 * gallon / 128
		}
		return 0.5 * gallon / 128
	case "qt", "gal":
		if base >= 1.25*q.Unit.Factor {
			return 0.05 * q.Unit.Factor
		}
	case "each":
		return 0.25
	}
	if spooned[q.Unit.Name] {
		if math.Abs(q.Amount) < 2 {
			return q.Unit.Factor / 8
		}
		return q.Unit.Factor / 4
	}
	return 0
}

// eighths are the signs of the parts that a cup or a spoon is marked with.
var eighths = []string{"", "⅛", "¼", "⅜", "½", "⅝", "¾", "⅞"}

// spoonfuls is how a cook reads cups and spoons: 1.5 cups are 1 and ½, 0.33 cup is ⅓. The sign is "" where there is none for the amount, or
// the unit is no such measure.
func (q Quantity) spoonfuls() (whole float64, sign string) {
	const speck = 1e-9
	if !q.Unit.Spooned() || q.Amount <= 0 {
		return 0, ""
	}
	whole, part := math.Modf(q.Amount)
	if n := math.Round(part * 8); math.Abs(part*8-n) < speck && n < 8 {
		return whole, eighths[int(n)]
	}
	for n, sign := range []string{"⅓", "⅔"} {
		if third := float64(n+1) / 3; math.Abs(part-third) < 0.004 { // 0.33 and 0.333, as some write it; 0.67
			return whole, sign
		}
	}
	return 0, ""
}

// Spooned tells whether a unit is a cup or a spoon.
func (u Unit) Spooned() bool { return spooned[u.Name] }

var spooned = map[string]bool{"cup": true, "metric cup": true, "jp cup": true, "tbsp": true, "tsp": true}

// thirds are the measures that are marked in thirds, or hold three teaspoons.
var thirds = map[string]bool{"cup": true, "metric cup": true, "jp cup": true, "tbsp": true}

// jugs are the measures that are read in parts of one: a quart has eight half cups.
var jugs = map[string]bool{"qt": true, "gal": true}

// Near is an amount with the fewest digits, two or three, that read true within 2 %: 0.53 of 0.528, 1.06 of 1.057. A
// quarter that is nearer than 1 % goes first, as jugs are marked, and eighths stay as they are.
func Near(x float64) float64 {
	const (
		speck  = 1e-9
		off    = 0.015 // three digits are off by 0.005 at most
		beside = 0.01  // less than two digits lie from a quarter, so that what is shown once stays
	)
	if math.Abs(x*8-math.Round(x*8)) < speck {
		return x
	}
	three := digits(x, 3)
	if quarter := math.Round(three*4) / 4; math.Abs(quarter-three) <= beside*three {
		return quarter
	}
	if two := digits(three, 2); math.Abs(two-three) <= off*math.Abs(three) {
		return two
	}
	return three
}

// digits rounds to so many significant digits.
func digits(x float64, n int) float64 {
	rounded, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'g', n, 64), 64) // what was formatted can be read
	return rounded
}
