package kitchen

// Amounts of a kitchen's items as they were measured, on the scale or with a dipstick, and its names as they are
// written. The faults told here are of type *measure.Error and point into what was written.

import (
	"fmt"
	"iter"
	"math"
	"regexp"
	"strings"

	"golang.org/x/text/unicode/norm"

	"kettletree/graph"
	"kettletree/graph/measure"
)

// Measured is how much of an item was found by the scale, the jug or the dipstick.
type Measured struct {
	Item  int     // of Graph.Items; never a dish
	Base  float64 // in base units of the item; may be zero
	Typed string  // as it was written, without the item: "18.46 lb", "23.5 cm in big kettle"
}

// ReadMeasured reads the amount that s begins with, and returns what comes after it, without leading spaces. It is
// written as on a recipe card, "18.46 lb pork shoulder", or as a dip, "kettle stock 23.5 cm in big kettle": the depth
// of the item, or of its layer, in a vessel of known inside diameter. A name ends where the text does, or where ends
// matches; nil matches nowhere. Of several names that fit, the longest is meant.
func (k *Kitchen) ReadMeasured(s string, ends *regexp.Regexp) (m Measured, rest string, err error) {
	q, named, err := measure.ParsePrefix(s)
	if err != nil && (err.(*measure.Error).NoNumber || s == "") {
		return k.readDip(s, ends)
	}
	bare := false
	if err != nil {
		if n, after, bad := measure.Number(s); bad == nil { // "60 crackers"
			after = strings.TrimLeft(after, " ")
			item, _, bad := k.itemAt(after, 0, ends)
			switch at := len(s) - len(after); {
			case bad != nil:
			case k.Graph.Items[item].Unit.Kind == measure.Count:
				q, named, err, bare = measure.Quantity{Amount: n, Unit: k.Graph.Items[item].Unit}, after, nil, true
			default:
				q = measure.Quantity{Amount: n, Unit: k.Graph.Items[item].Unit}
				return m, s, &measure.Error{Msg: fmt.Sprintf("there is no unit between %q and %q", strings.TrimSpace(s[:at]), k.Graph.Items[item].Name),
					Hint: fmt.Sprintf("write it with one, such as %s %s", q, k.Graph.Items[item].Name), At: at, Len: len(nameUpTo(after, ends))}
			}
		}
	}
	if err != nil {
		return m, s, k.oneOf(s, ends, err)
	}
	at := len(s) - len(named)
	if m.Typed = strings.TrimRight(s[:at], " "); bare {
		m.Typed = q.String()
	}
	if nameUpTo(named, ends) == "" {
		return m, s, &measure.Error{Msg: fmt.Sprintf("no item after %q", m.Typed),
			Hint: "write the item after its quantity: " + k.Example().Out, Len: len(m.Typed)}
	}
	if m.Item, rest, err = k.itemAt(named, at, ends); err != nil {
		return m, s, err
	}
	m.Base, err = k.baseOf(m.Item, q, 0, len(m.Typed))
	return m, rest, err
}

// oneOf leads on from an amount in something that is no unit: of "4 kegs cider", to how cider is counted here.
func (k *Kitchen) oneOf(s string, ends *regexp.Regexp, fault error) error {
	e, ok := fault.(*measure.Error)
	_, after, err := measure.Number(s)
	word, named, more := strings.Cut(strings.TrimLeft(after, " "), " ")
	if !ok || err != nil || !more || word == "" || strings.HasPrefix(e.Hint, "did you mean") {
		return fault
	}
	item, _, err := k.itemAt(strings.TrimLeft(named, " "), 0, ends)
	if err != nil {
		return fault
	}
	it, number := k.Graph.Items[item], strings.TrimSpace(s[:len(s)-len(after)])
	hint := fmt.Sprintf("%q is counted in %s: write how many %s that is", it.Name, it.Unit.Of(1), it.Unit.Of(2))
	if it.Unit.Kind == measure.Count {
		hint += fmt.Sprintf(", such as %s %s %s if it is as many", number, it.Unit.Of(2), it.Name)
	}
	return &measure.Error{Msg: fmt.Sprintf("%q is no unit that is known here", word), Hint: hint, At: e.At, Len: len(word)}
}

// MeasuredAs is an amount whose item and quantity were written apart, as in the columns of a delivery note.
func (k *Kitchen) MeasuredAs(item int, quantity string) (m Measured, err error) {
	q, err := measure.Parse(quantity)
	if err != nil {
		return m, err
	}
	m = Measured{Item: item, Typed: quantity}
	m.Base, err = k.baseOf(item, q, 0, len(quantity))
	return m, err
}

// baseOf converts a quantity, which is written at some bytes, to base units of the item.
func (k *Kitchen) baseOf(item int, q measure.Quantity, at, length int) (float64, error) {
	it := k.Graph.Items[item]
	if msg, hint := otherCount(it, it.Unit, q); msg != "" {
		return 0, &measure.Error{Msg: msg, Hint: hint, At: at, Len: length}
	}
	base, ok := it.Bridge().Convert(q.Base(), q.Unit.Kind, it.Unit.Kind)
	if !ok {
		return 0, &measure.Error{Msg: fmt.Sprintf("%s of %q is %s, but it is counted in %s, which is %s", q, it.Name,
			q.Unit.Kind, it.Unit.Of(2), it.Unit.Kind), Hint: bridgeHint(it, q.Unit.Kind), At: at, Len: length}
	}
	return base, nil
}

// depths match the depth of a dip behind the item's name.
var depths = regexp.MustCompile(` +(` + lengthPattern + `)(?: |,|$)`)

// readDip reads "kettle stock 23.5 cm in big kettle".
func (k *Kitchen) readDip(s string, ends *regexp.Regexp) (m Measured, rest string, err error) {
	if nameUpTo(s, depths) == s { // no depth at all
		fault := &measure.Error{Msg: "there is no amount here",
			Hint: "write the amount first: " + k.Example().Out}
		if dip := k.Example().Dip; depths.MatchString(dip + " ") {
			fault.Hint += ", or a dip: " + dip
		}
		if name := nameUpTo(s, ends); name != "" {
			fault.Msg, fault.Len = fmt.Sprintf("%q does not begin with a quantity", name), len(name)
			if item, after, err := k.itemAt(s, 0, quantityBehind); err == nil { // "cream 2 L"
				if q, rest, err := measure.ParsePrefix(after); err == nil {
					fault.Hint = fmt.Sprintf("write the amount first: %s %s%s", q, k.Graph.Items[item].Name, spaced(rest))
				}
			}
			if figures, ok := measure.InFigures(s); ok { // "half an onion"
				fault.Hint = "write the amount first: " + figures
			}
		}
		return m, s, fault
	}
	if m.Item, rest, err = k.itemAt(s, 0, depths); err != nil {
		return m, s, err
	}
	at := len(s) - len(rest)
	depth := depths.FindStringSubmatch(" " + rest)
	cm, err := parseLength(depth[1])
	if err != nil {
		return m, s, shifted(err, at)
	}
	of, ok := strings.CutPrefix(strings.TrimLeft(rest[len(depth[1]):], " "), "in ")
	if !ok {
		return m, s, &measure.Error{Msg: fmt.Sprintf("depth %q does not say in which vessel", depth[1]),
			Hint: "write it as 23.5 cm in big kettle", At: at, Len: len(depth[1])}
	}
	of = strings.TrimLeft(of, " ")
	where := len(s) - len(of)
	v, after, err := k.vesselAt(of, where, ends)
	if err != nil {
		return m, s, err
	}
	m.Typed = strings.TrimRight(s[at:len(s)-len(after)], " ")
	vessel := k.Vessels[v]
	volume := vessel.Dip(cm)
	switch {
	case vessel.Diameter == 0:
		return m, s, &measure.Error{Msg: fmt.Sprintf("%q has no inside diameter", vessel.Name),
			Hint: `add "inside diameter: ... cm" to it under "vessels"`, At: where, Len: len(vessel.Name)}
	case vessel.Holds > 0 && volume > vessel.Holds*(1+dipSlack):
		return m, s, &measure.Error{Msg: fmt.Sprintf("%s in %q are %s, and it holds %s", depth[1], vessel.Name,
			k.inPot(volume), k.inPot(vessel.Holds)), Hint: "measure the depth from the bottom of the layer to its top",
			At: at, Len: len(m.Typed)}
	}
	it := k.Graph.Items[m.Item]
	if m.Base, ok = it.Bridge().Convert(volume, measure.Volume, it.Unit.Kind); !ok {
		return m, s, &measure.Error{Msg: fmt.Sprintf("a depth of %q is %s, but it is counted in %s, which is %s", it.Name,
			measure.Volume, it.Unit.Name, it.Unit.Kind), Hint: bridgeHint(it, measure.Volume), At: at, Len: len(m.Typed)}
	}
	return m, after, nil
}

// quantityBehind matches where an amount may begin behind a name.
var quantityBehind = regexp.MustCompile(` +[0-9]`)

// spaced is a text with a space before it where there is any.
func spaced(rest string) string {
	if rest == "" {
		return ""
	}
	return " " + rest
}

// dipSlack is how much more than a vessel holds a dip may come to: capacities are round numbers.
const dipSlack = 0.05

// Dip is the volume in millilitres that stands so many centimetres deep in the vessel, an upright cylinder: the area of
// its inside diameter times the depth. It is 0 where the diameter is not known.
func (v Vessel) Dip(centimetres float64) (millilitres float64) {
	return math.Pi / 4 * v.Diameter * v.Diameter * centimetres
}

// ItemNamed finds the item that s begins with, of those that can be on hand, and returns what comes after it; see
// [Kitchen.ReadMeasured]. The error names the nearest.
func (k *Kitchen) ItemNamed(s string, ends *regexp.Regexp) (item int, rest string, err error) {
	return k.itemAt(norm.NFC.String(s), 0, ends)
}

// StepNamed finds the step that s begins with, see [Kitchen.ItemNamed], and returns what comes after it.
func (k *Kitchen) StepNamed(s string, ends *regexp.Regexp) (step int, rest string, err error) {
	names := namesOf(k.Steps, func(s int, _ StepCard) named { return named{k.Graph.Steps[s].Name, k.StepPos[s].Pos} })
	return k.begins(norm.NFC.String(s), 0, "step", names, ends, "write a step as the kitchen file names it")
}

// DishNamed finds the dish or special that s begins with, and returns what comes after it.
func (k *Kitchen) DishNamed(s string, ends *regexp.Regexp) (dish int, rest string, err error) {
	names := namesOf(k.Dishes, func(_ int, d Dish) named { return named{d.Name, k.ItemPos[d.Item]} })
	return k.begins(norm.NFC.String(s), 0, "dish", names, ends, "write a dish as the kitchen file names it")
}

// ServiceNamed finds the service that s names.
func (k *Kitchen) ServiceNamed(s string) (service int, err error) {
	var names []string
	s = norm.NFC.String(s)
	for n, sv := range k.Services {
		if strings.EqualFold(sv.Name, s) {
			return n, nil
		}
		names = append(names, sv.Name)
	}
	return 0, k.unknown("service", s, 0, plainly(names...), "services are "+strings.Join(names, ", "))
}

// itemAt finds the item that s begins with; s stands at some byte of what was written.
func (k *Kitchen) itemAt(s string, at int, ends *regexp.Regexp) (item int, rest string, err error) {
	item, rest, err = k.begins(s, at, "item", itemNames(k.Graph.Items, k.ItemPos, graph.Bought, graph.Made), ends,
		"write an item as the kitchen file names it")
	if err == nil {
		return item, rest, nil
	}
	if dish, _ := longest(s, itemNames(k.Graph.Items, k.ItemPos, graph.Sold), ends); dish >= 0 {
		first := len(k.Graph.Items) - len(k.Dishes)
		name := k.Graph.Items[first+dish].Name
		err = &measure.Error{Msg: fmt.Sprintf("%q is a dish, which is made when it is served", name),
			Hint: "write what the dish is made of", At: at, Len: len(name)}
	}
	return 0, s, err
}

func (k *Kitchen) vesselAt(s string, at int, ends *regexp.Regexp) (vessel int, rest string, err error) {
	return k.begins(s, at, "vessel", k.vesselNames(), ends, `add it under "vessels", with its inside diameter`)
}

// begins finds the longest of some names that s begins with and that an end stands behind.
func (k *Kitchen) begins(s string, at int, what string, names iter.Seq[named], ends *regexp.Regexp,
	otherwise string) (place int, rest string, err error) {
	if place, rest = longest(s, names, ends); place >= 0 {
		return place, rest, nil
	}
	several := func(yield func(named) bool) { // "20 chowders"
		for name := range names {
			if !yield(named{pluralIn(k.Language, name.name), name.pos}) {
				return
			}
		}
	}
	if place, rest = longest(s, several, ends); place >= 0 {
		return place, rest, nil
	}
	if place, rest = k.formerly(s, what, names, ends); place < 0 {
		return 0, s, k.unknown(what, nameUpTo(s, ends), at, names, otherwise)
	}
	return place, rest, nil
}

func (k *Kitchen) unknown(what, name string, at int, names iter.Seq[named], otherwise string) error {
	if name == "" {
		return &measure.Error{Msg: fmt.Sprintf("no %s is named", what), Hint: otherwise, At: at}
	}
	if says, hint := k.leftOut(name); says != "" {
		return &measure.Error{Msg: says, Hint: hint, At: at, Len: len(name)}
	}
	return &measure.Error{Msg: cut(fmt.Sprintf("unknown %s %q", what, name)),
		Hint: (&source{}).meant(name, names, otherwise), At: at, Len: len(name)}
}

// longest is the place of the longest name that s begins with and that an end stands behind, and what comes after it;
// -1 when there is none.
func longest(s string, names iter.Seq[named], ends *regexp.Regexp) (place int, rest string) {
	place = -1
	best, n := -1, 0
	for name := range names {
		after, ok := cutPrefixFold(s, name.name)
		same := ok && s[:len(name.name)] == name.name // of names that differ in capitals only, the one that is written
		if ok && (len(name.name) > best || len(name.name) == best && same) && nameUpTo(after, ends) == "" {
			place, best, rest = n, len(name.name), strings.TrimLeft(after, " ")
		}
		n++
	}
	return place, rest
}

// cutPrefixFold is [strings.CutPrefix], in capitals or not.
func cutPrefixFold(s, prefix string) (after string, found bool) {
	if len(s) < len(prefix) || !strings.EqualFold(s[:len(prefix)], prefix) {
		return s, false
	}
	return s[len(prefix):], true
}

// nameUpTo is what s holds before the first of ends, without trailing spaces.
func nameUpTo(s string, ends *regexp.Regexp) string {
	if ends != nil {
		if at := ends.FindStringIndex(s); at != nil {
			s = s[:at[0]]
		}
	}
	return strings.TrimRight(s, " ")
}
