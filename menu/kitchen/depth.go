package kitchen

// How deep a pot stands, as it is read off a dipstick while it cooks.

import (
	"fmt"
	"regexp"
	"strings"

	"kettletree/graph/measure"
)

// dipped is a reading: "depth 42 cm", "42 cm", "42 cm in big kettle".
var dipped = regexp.MustCompile(`^(?i:depth +)?(` + lengthPattern + `)(?: +in +([^,]+))?(?:,|$)`)

// Depth reads how deep a step's pot stands, which a text may begin with, as centimetres: "depth 42 cm", "16.5 in in big kettle". Without
// a vessel it is the step's own. It returns how many bytes it read, 0 where the text is no depth.
func (k *Kitchen) Depth(step int, text string) (centimetres float64, vessel, length int, err error) {
	m := dipped.FindStringSubmatchIndex(text)
	if m == nil {
		return 0, -1, 0, nil
	}
	length = m[1]
	if strings.HasSuffix(text[:length], ",") {
		length--
	}
	if centimetres, err = parseLength(text[m[2]:m[3]]); err != nil {
		return 0, -1, length, shifted(err, m[2])
	}
	vessel = k.Steps[step].Vessel
	if m[4] >= 0 {
		if vessel, _, err = k.vesselAt(text[m[4]:m[5]], m[4], nil); err != nil {
			return 0, -1, length, err
		}
	}
	if vessel < 0 {
		return 0, -1, length, &measure.Error{Msg: fmt.Sprintf("%q has no vessel of its own", k.Graph.Steps[step].Name),
			Hint: "say in which: 42 cm in " + firstVessel(k.Vessels), Len: length}
	}
	v := k.Vessels[vessel]
	volume := v.Dip(centimetres)
	switch {
	case v.Diameter == 0:
		return 0, -1, length, &measure.Error{Msg: fmt.Sprintf("%q has no inside diameter", v.Name),
			Hint: `add "inside diameter: ... cm" to it under "vessels"`, Len: length}
	case v.Holds > 0 && volume > v.Holds*(1+dipSlack):
		return 0, -1, length, &measure.Error{Msg: fmt.Sprintf("%s in %q are %s, and it holds %s", text[m[2]:m[3]], v.Name, k.inPot(volume), k.inPot(v.Holds)),
			Hint: "measure the depth from the bottom to the surface", Len: length}
	}
	return centimetres, vessel, length, nil
}

// firstVessel is the name of the first vessel, to show how one is named.
func firstVessel(vessels []Vessel) string {
	if len(vessels) == 0 {
		return "big kettle"
	}
	return vessels[0].Name
}
