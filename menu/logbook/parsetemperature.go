package logbook

// Temperatures as a cook writes them: of an item as it lies or cools, of food that is held or reheated, of a delivery, of the place
// where food is kept.

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"kettletree/graph/measure"
)

// Readings of a thermometer lie between these; what is beyond is a slip of the pen.
const (
	coldest = -90.0 // °C
	hottest = 400.0
)

var (
	markWordEnds    = regexp.MustCompile(` `)
	temperatureEnds = regexp.MustCompile(` +(?:lot|hot holding|cold holding|reheating) | +[-+−]?[0-9]`)
	reading         = regexp.MustCompile(`^([-+−]?) ?([0-9]+(?:\.[0-9]+)?) ?°? ?([CcFf])(?: |,|$)`)
	lastReading     = regexp.MustCompile(` +([-+−]? ?[0-9]+(?:\.[0-9]+)? ?°? ?[CcFf])(?:,|$)`)
	bareReading     = regexp.MustCompile(` +([-+−]?[0-9]+(?:\.[0-9]+)?) ?°?(?: *,|$)`)
	didWord         = regexp.MustCompile(`(?:^|[ ,;])did: *`)
)

// Words of the trade by which a place is known where food is kept.
var (
	frozenPlaces = []string{"freezer", "frozen store"}
	hotPlaces    = []string{"steam table", "bain-marie", "bain marie", "hot box", "hot well", "hot cupboard", "warmer", "hot counter", "heat lamp"}
	coldPlaces   = []string{"walk-in", "walk in", "reach-in", "cooler", "fridge", "refrigerator", "chiller", "cold room", "cold store", "cold well",
		"cold counter", "low boy", "lowboy", "drawer", "display case", "ice bath", "ice bin", "cellar", "prep table"}
)

// placeKind is which of the lists of places a name is of; nil of none.
func placeKind(name string) []string {
	words := " " + strings.ToLower(name) + " "
	for _, places := range [][]string{frozenPlaces, hotPlaces, coldPlaces} {
		if slices.ContainsFunc(places, func(p string) bool { return strings.Contains(words, " "+p+" ") }) {
			return places
		}
	}
	return nil
}

// temperature reads [of delivery] ITEM [lot MARK] [hot holding | cold holding | reheating] READING [, NOTE] [, did: ACTION], or
// PLACE READING and the same behind it.
func (r *reader) temperature() error {
	if err := r.measured(); err != nil {
		return err
	}
	m := reading.FindStringSubmatch(r.rest())
	if m == nil {
		if r.rest() == "" {
			return r.fault(0, len(r.text), "write it as "+Form(r.k, Temperature), "no reading follows %q", r.e.Of)
		}
		return r.fault(r.at, len(r.rest()), "write it as 4.5 C or 40 F", "%q is not a temperature", r.rest())
	}
	value, _ := strconv.ParseFloat(m[2], 64) // the pattern lets only numbers through
	if m[1] == "-" || m[1] == "−" {
		value = -value
	}
	written := strings.TrimRight(m[0], " ,")
	if strings.EqualFold(m[3], "f") {
		value = (value - 32) / 1.8
	}
	if value < coldest || value > hottest {
		return r.fault(r.at, len(written), "write the unit that the thermometer shows: 4.5 C or 40 F",
			"%q is more than a kitchen thermometer reads", written)
	}
	r.e.Celsius = value
	r.past(len(written))
	r.e.Reason = r.note()
	if at := didWord.FindStringIndex(r.e.Reason); at != nil {
		r.e.Did = strings.TrimSpace(r.e.Reason[at[1]:])
		r.e.Reason = strings.TrimRight(r.e.Reason[:at[0]], " ,;")
	}
	return nil
}

// measured reads what a temperature is of.
func (r *reader) measured() error {
	item, rest, err := r.k.ItemNamed(r.rest(), temperatureEnds)
	if err != nil {
		if r.place() {
			return nil
		}
		if m := bareReading.FindStringSubmatchIndex(r.rest()); m != nil && placeKind(r.rest()[:m[0]]) != nil {
			number := r.rest()[m[2]:m[3]]
			return r.fault(r.at+m[2], len(number), fmt.Sprintf("write the scale: %s C or %s F", number, number), "%q of which scale?", number)
		}
		if delivered := strings.TrimPrefix(r.rest(), "of "); strings.HasPrefix(delivered, "delivery ") {
			r.past(len(r.rest()) - len(delivered) + len("delivery "))
			r.e.Reading = OfDelivery
			item, rest, err = r.k.ItemNamed(r.rest(), temperatureEnds)
		}
	}
	if err := r.moved(rest, err); err != nil {
		if e, ok := err.(*measure.Error); ok && r.e.Reading == "" && strings.HasPrefix(e.Msg, "unknown item") &&
			!strings.HasPrefix(e.Hint, "did you mean") {
			e.Hint = "write an item of the kitchen file, or a place: walk-in 38 F, reach-in 2 3 C, freezer -18 C, steam table 60 C"
		}
		return err
	}
	r.e.Of = r.k.Graph.Items[item].Name
	if r.e.Mark, err = r.lot(markWordEnds); err != nil {
		return err
	}
	for _, held := range []string{HotHolding, ColdHolding, Reheating} {
		if r.e.Reading == "" && r.next(held+" ") {
			r.e.Reading = held
		}
	}
	return nil
}

// place reads the name of a place, up to the reading, and tells whether there is one.
func (r *reader) place() bool {
	at := lastReading.FindStringIndex(r.rest())
	if at == nil || placeKind(r.rest()[:at[0]]) == nil {
		return false
	}
	r.e.Of, r.e.Reading = strings.TrimSpace(r.rest()[:at[0]]), OfPlace
	r.past(at[0])
	return true
}
