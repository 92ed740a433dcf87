package kitchen

// The units in which a kitchen is answered.

import (
	"maps"
	"math"
	"slices"

	"kettletree/graph"
	"kettletree/graph/measure"
)

// How the file may want amounts to be shown.
const asWritten, inMetric, inUS = "as written", "metric", "us"

var unitSystems = []string{asWritten, inMetric, inUS}

// spoons are units that both kinds of kitchen measure in.
var spoons = []string{"pinch", "tsp", "tbsp"}

// shownIn is the unit in which an amount is shown that the file writes in another.
func (k *Kitchen) shownIn(u measure.Unit) measure.Unit {
	units, ok := map[string]map[measure.Kind]string{inMetric: {measure.Weight: "kg", measure.Volume: "L"},
		inUS: {measure.Weight: "lb", measure.Volume: "qt"}}[k.systems]
	cups := k.systems == inUS && inCups(u)
	if name := units[u.Kind]; ok && name != "" && !cups && !slices.Contains(spoons, u.Name) {
		u, _ = measure.UnitNamed(name) // one that there is
	}
	return u
}

// showIn puts every item into the unit in which it is shown: sums, prices and packs follow it. What was read stays as it is, for
// amounts are held in base units.
func (k *Kitchen) showIn() {
	if k.systems == asWritten || k.Graph == nil {
		return
	}
	k.written = make([]measure.Unit, len(k.Graph.Items))
	for i := range k.Graph.Items {
		it := &k.Graph.Items[i]
		k.written[i], it.Unit = it.Unit, k.shownIn(it.Unit)
	}
}

// Written is the unit of an item as the file has it, for what is written into the file.
func (k *Kitchen) Written(item int) measure.Unit {
	if k.written != nil {
		return k.written[item]
	}
	return k.Graph.Items[item].Unit
}

// OnPack is what stands on a pack of an item, with so much in it, where it is shown in another unit than the file has it; else "".
func (k *Kitchen) OnPack(item int, base float64) string {
	u := k.Written(item)
	if base == 0 || u == k.Graph.Items[item].Unit {
		return ""
	}
	return measure.Quantity{Amount: base / u.Factor, Unit: u}.String()
}

// OnCard is an amount of an item, in base units, as a line of the card of a step or dish has it (one below 0: as the card does) and a
// scale shows it.
func (k *Kitchen) OnCard(step, line, item int, base float64) measure.Quantity {
	return k.QuantityIn(step, line, item, base).Handy().OnScale()
}

// Weighed is a weight, in kilograms or in a unit of the system that the file asks for.
func (k *Kitchen) Weighed(grams float64) measure.Quantity {
	kilo, _ := measure.UnitNamed("kg") // one that there is
	u := k.shownIn(kilo)
	return measure.Quantity{Amount: grams / u.Factor, Unit: u}
}

// InPot is what a vessel holds, in litres or in a unit of the system that the file asks for, or in which it writes all of its vessels.
func (k *Kitchen) InPot(millilitres float64) measure.Quantity {
	litre, _ := measure.UnitNamed("L") // one that there is
	u := k.shownIn(litre)
	says := func(cups bool) func(Vessel) bool {
		return func(v Vessel) bool { return v.Holds > 0 && inCups(v.Unit) == cups }
	}
	if k.systems == asWritten && slices.ContainsFunc(k.Vessels, says(true)) && !slices.ContainsFunc(k.Vessels, says(false)) {
		u, _ = measure.UnitNamed("qt")
	}
	return inGallons(measure.Quantity{Amount: millilitres / u.Factor, Unit: u}, litre)
}

// inPot is what a vessel holds, as it is said.
func (k *Kitchen) inPot(millilitres float64) string { return k.InPot(millilitres).OnScale().String() }

// Thermometer is the scale, F or C, that a kitchen's thermometers most likely have: that of its code, but °C where nothing in the file is
// weighed or poured in pounds or quarts, or wants to be shown so.
func (k *Kitchen) Thermometer() string {
	us := func(u measure.Unit) bool { return inCups(u) && u.Name != "cup" || u.Name == "lb" || u.Name == "oz" }
	metric := k.systems == inMetric || k.systems == asWritten && !slices.ContainsFunc(k.Graph.Items, func(it graph.Item) bool { return us(it.Unit) }) &&
		!slices.ContainsFunc(k.Vessels, func(v Vessel) bool { return us(v.Unit) }) &&
		!slices.ContainsFunc(k.card, func(lines map[cardItem]measure.Unit) bool {
			return slices.ContainsFunc(slices.Collect(maps.Values(lines)), us)
		})
	if metric {
		return "C"
	}
	return k.Code.Scale
}

// inCups tells whether a unit is one of the volumes of a US kitchen.
func inCups(u measure.Unit) bool {
	return slices.Contains([]string{"fl oz", "cup", "pt", "qt", "gal"}, u.Name)
}

// inGallons is an amount that the file writes in another unit in gallons, from one gallon on, where it is shown in quarts.
func inGallons(q measure.Quantity, written measure.Unit) measure.Quantity {
	if gal, _ := measure.UnitNamed("gal"); q.Unit.Name == "qt" && !inCups(written) && math.Abs(q.Base()) >= gal.Factor {
		return measure.Quantity{Amount: q.Base() / gal.Factor, Unit: gal}
	}
	return q
}
