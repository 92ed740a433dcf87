package taste

// What puts a batch right now, by mass balance: what is dissolved stays when water is added or goes off as steam.

import (
	"math"

	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
)

// Thin is how much water thins so much of what reads "reads" to "aim", in the unit of the amount: what is dissolved stays, so
// amount * reads = (amount + water) * aim. It is 0 where it is thin enough.
func Thin(amount, reads, aim float64) float64 { return max(0, amount*(reads/aim-1)) }

// Reduce is how much must go off as steam: amount * reads = (amount - steam) * aim. It is 0 where it is strong enough.
func Reduce(amount, reads, aim float64) float64 { return max(0, amount*(1-reads/aim)) }

// Add is how much of what is dissolved itself brings it up, reading as parts of the whole (0.01 for 1 %): amount * reads + x =
// (amount + x) * aim, all by weight.
func Add(amount, reads, aim float64) float64 { return max(0, amount*(aim-reads)/(1-aim)) }

// jugOf is the unit in which a liquid is measured out: litres, or gallons or quarts where the kitchen file writes it in a unit of the United States.
func jugOf(k *kitchen.Kitchen, step, item int) measure.Unit {
	name := "L"
	switch u := k.QuantityOn(max(step, 0), item, 1).Unit; u.Name {
	case "gal":
		name = "gal"
	case "qt", "pt", "cup", "fl oz", "tbsp", "tsp":
		name = "qt"
	}
	u, _ := measure.UnitNamed(name) // one that there is
	return u
}

// jugRound rounds an amount down to what a cook measures: a half below ten, whole ones above, of gallons a quarter; too little can be put
// right again, too much can't. Common practice, no source.
func jugRound(jug measure.Unit, amount float64) float64 {
	const hair = 1e-9 // an amount that comes out even stays
	step := jugStep(jug, amount)
	return math.Floor(amount/step+hair) / math.Round(1/step)
}

// jugSteps are the steps, the coarsest first, of which the first is taken that comes out between two limits.
var jugSteps = []float64{1, 0.5, 0.25, 0.05, 0.01}

// jugWithin rounds an amount to what a cook measures so that it still holds: down, but to no less than least; else up, but to no more than most;
// where the jug is too coarse for that, in finer steps. Where nothing lies between the two, as between limits that shut each other out, it is rounded down.
func jugWithin(jug measure.Unit, amount, least, most float64) float64 {
	const hair = 1e-9
	first := jugStep(jug, amount)
	for _, step := range jugSteps {
		if step > first {
			continue
		}
		per := math.Round(1 / step)
		if much := math.Floor(amount*per+hair) / per; much >= least-hair {
			return much
		}
		if much := math.Ceil(least*per-hair) / per; much <= most+hair {
			return much
		}
	}
	return jugRound(jug, amount)
}

// jugStep is the step in which so much of a liquid is measured.
func jugStep(jug measure.Unit, amount float64) float64 {
	switch {
	case amount < 1:
		return 0.05
	case jug.Name == "gal":
		return 0.25
	case amount < 10:
		return 0.5
	}
	return 1
}

// scaleWithin rounds grams to what a scale shows, down, unless that is less than least: then up, or in tenths of that where it would be more than most.
func scaleWithin(jug measure.Unit, grams, least, most float64) (much float64, unit string) {
	much, unit = scaleRound(jug, grams)
	u, _ := measure.UnitNamed(unit) // one that there is
	step := map[string]float64{"g": 5, "kg": 0.01, "oz": 0.1, "lb": 0.05}[unit]
	for range 2 {
		const hair = 1e-9
		per := 1 / step
		if much*u.Factor >= least-hair {
			return much, unit
		}
		if up := math.Ceil(least/u.Factor*per-hair) / per; up*u.Factor <= most+hair {
			return up, unit
		}
		step /= 10
		much = math.Floor(grams/u.Factor/step+hair) / math.Round(1/step)
	}
	return much, unit
}

// scaleRound rounds grams down to what a scale shows: 5 g below a kilo, else 10 g; beside gallons and quarts a tenth of an ounce below a
// pound, else a twentieth of a pound.
func scaleRound(jug measure.Unit, grams float64) (much float64, unit string) {
	const hair, pound = 1e-9, 453.59237
	switch {
	case jug.Name == "L" && grams < 1000:
		return 5 * math.Floor(grams/5+hair), "g"
	case jug.Name == "L":
		return math.Floor(grams/10+hair) / 100, "kg"
	case grams < pound:
		return math.Floor(160*grams/pound+hair) / 10, "oz"
	}
	return math.Floor(20*grams/pound+hair) / 20, "lb"
}
