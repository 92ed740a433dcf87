package kitchen

// The cooling log: a CSV file with the columns item, time and temperature.

import (
	"encoding/csv"
	"math"
	"regexp"
	"strconv"
	"strings"
	"time"

	"kettletree/graph"
)

var coolingColumns = []string{"item", "time", "temperature"}

// logLayout is how a moment is written in a log.
const logLayout = "2006-01-02 15:04"

// Reading is one row of a cooling log.
type Reading struct {
	At      time.Time
	Degrees Degrees
}

// CoolingLog is what was read of one item, in the order of time. A second pan of an item has a number: "kettle stock
// #2".
type CoolingLog struct {
	Item     string    // as the log names it
	Of       string    // the item of the kitchen file
	Lot, Pan string    // "A17", " #2"; "" for none
	Readings []Reading // of a file, at least one

	// Of what came off the heat, by the log book; zero where nobody wrote that down.
	Out    time.Time // when it did
	Entry  int64     // that says so
	Step   string    // that gave it
	Begins time.Time // the day on which the batch was to begin
	Amount float64   // in base units
	Gone   bool      // none of it is on hand any more
}

// Bounds of what is believed. Food with water in it boils at about 100 °C (fat that is hotter has not begun to cool),
// and what is below -30 °C is no food that cools.
const (
	hottestRead = 110.0 // °C
	coldestRead = -30.0 // °C
	coldestAir  = -60.0 // °C: a blast freezer has -40
	hottestAir  = 60.0  // °C: over a range
	rise        = 1.0   // °C: food that warms by less between two readings is a thermometer that moved
)

// ReadCooling reads a cooling log. Names are checked against the kitchen, unless it is nil. The air that the food cools
// in may be nil; else no reading can be colder. Logs come in the order in which the file first names them; nil when any
// fault is an error.
func ReadCooling(name string, src []byte, k *Kitchen, air *Degrees) ([]CoolingLog, Diagnostics) {
	text, clean, ok := newSource(name, src, "\r\n")
	if !ok {
		return nil, text.found
	}
	l := &logReader{source: text, k: k, air: air, at: map[string]int{}, places: map[string]span{}, logs: []CoolingLog{}}
	such := "stock"
	if k != nil {
		such = k.Example().Made
	}
	such += ",2026-11-25 07:30,57 C"
	l.rows(clean, coolingColumns, "an item, a time and a temperature, such as "+such, l.row)
	if l.found.Err() == nil && len(l.logs) == 0 {
		l.refuse("empty", "write a row for each reading, such as "+such, "file has no readings")
	}
	faults := l.found.sort()
	if faults.Err() != nil {
		return nil, faults
	}
	return l.logs, faults
}

type logReader struct {
	*source
	k      *Kitchen
	air    *Degrees
	at     map[string]int  // of logs, by item
	places map[string]span // where the last reading of an item stands
	logs   []CoolingLog
}

// row reads one reading.
func (l *logReader) row(rows *csv.Reader, row []string) {
	name, place := strings.TrimSpace(row[0]), l.field(rows, row, 2)
	known := l.named(name, l.field(rows, row, 0))
	at, err := time.Parse(logLayout, strings.Replace(strings.TrimSpace(row[1]), "T", " ", 1))
	if err != nil {
		l.fault(l.field(rows, row, 1), "bad-time", "write date and time as 2026-11-25 07:30", "%q is not a date and a time", row[1])
	}
	d, ok := l.degrees(row[2], place)
	if err != nil || !ok || !known {
		return
	}
	n, again := l.at[name]
	if !again {
		n = len(l.logs)
		l.at[name] = n
		of, pan := name, ""
		if at := strings.Index(name, " #"); at >= 0 {
			of, pan = name[:at], name[at:]
		}
		l.logs = append(l.logs, CoolingLog{Item: name, Of: of, Pan: pan})
	}
	log := &l.logs[n]
	if again {
		last := log.Readings[len(log.Readings)-1]
		switch {
		case !at.After(last.At):
			l.fault(l.field(rows, row, 1), "out-of-order", "write the readings of an item in the order they were taken",
				"%q is read at %s, but the row before it is at %s", name, at.Format(logLayout), last.At.Format(logLayout)).
				note(l.places[name].Pos, "the reading before it")
			return
		case d.In("C") > last.Degrees.In("C")+rise:
			l.warn(place, "warmer", "check the number and its scale; food that was reheated starts a new log, as "+name+" #2",
				"%q warms from %s to %s", name, last.Degrees, d).note(l.places[name].Pos, "the reading before it")
		case d.Scale != last.Degrees.Scale:
			l.warn(place, "two-scales", "write C or F as the thermometer shows it",
				"%q is read in %s here, but in %s before", name, d.Scale, last.Degrees.Scale).
				note(l.places[name].Pos, "the reading before it")
		}
	}
	l.places[name] = place
	log.Readings = append(log.Readings, Reading{at, d})
}

// named tells whether the kitchen has what a row is about.
func (l *logReader) named(name string, where span) bool {
	item, number, pan := strings.Cut(name, " #")
	if pan {
		if n, ok := Digits(number); !ok || n < 1 {
			l.fault(where, "bad-number", "number the pans of an item as "+item+" #2", "%q is not the number of a pan", number)
			return false
		}
	}
	if name == "" {
		l.fault(where, "empty", "write the item that was read", "there is no item here")
		return false
	}
	if l.k == nil {
		return true
	}
	names := itemNames(l.k.Graph.Items, l.k.ItemPos, graph.Bought, graph.Made)
	for n := range names {
		if strings.EqualFold(n.name, item) || strings.EqualFold(n.name, name) {
			return true
		}
	}
	l.fault(where, "unknown-item", l.meant(item, names, "write an item as the kitchen file names it, with a pan's number as "+item+" #2"),
		"unknown item %q", item)
	return false
}

// degrees reads a temperature and refuses what cannot be one of this food.
func (l *logReader) degrees(text string, where span) (d Degrees, ok bool) {
	d, fault, hint := readDegrees(text)
	if fault != "" {
		l.fault(where, "bad-temperature", hint, "%s", fault)
		return d, false
	}
	other := Degrees{d.Value, map[string]string{"C": "F", "F": "C"}[d.Scale]}
	likely := "check the number and its scale"
	if c := other.In("C"); c <= 100 && c >= 0 {
		likely = "did you mean " + other.String() + "?"
	}
	switch c := d.In("C"); {
	case c > hottestRead:
		l.fault(where, "bad-temperature", likely, "%s is hotter than food that cools can be", d)
	case c < coldestRead:
		l.fault(where, "bad-temperature", likely, "%s is colder than food that cools can be", d)
	case l.air != nil && d.In(l.air.Scale) < l.air.Value:
		l.fault(where, "bad-temperature", likely+"; or give the air as it was where the food stood",
			"%s is colder than the air that it cools in, %s", d, *l.air)
	default:
		return d, true
	}
	return d, false
}

// ReadDegrees reads a temperature with its scale: "57 C", "135 F", "4.5 °C". The error says what would be right.
func ReadDegrees(text string) (Degrees, error) {
	d, fault, hint := readDegrees(text)
	if fault != "" {
		return d, &degreesError{fault, hint}
	}
	return d, nil
}

type degreesError struct{ msg, hint string }

func (e *degreesError) Error() string { return e.msg + ": " + e.hint }

// ReadAir reads the temperature of the air that food cools in.
func ReadAir(text string) (Degrees, error) {
	d, err := ReadDegrees(text)
	if err != nil {
		return d, err
	}
	if c := d.In("C"); c < coldestAir || c > hottestAir {
		return d, &degreesError{d.Beside() + " is no air that food cools in", "check the number and its scale"}
	}
	return d, nil
}

// decimalComma finds a number whose decimals stand behind a comma.
var decimalComma = regexp.MustCompile(`^[-+]?\d+,\d+$`)

// readDegrees is ReadDegrees with the fault apart from what would be right; the fault is "" when there is none.
func readDegrees(text string) (d Degrees, fault, hint string) {
	written := strings.TrimSpace(text)
	hint = "write it with its scale, as 57 C or 135 F"
	number := strings.TrimRight(strings.TrimRight(written, "CcFf"), " °º")
	if decimalComma.MatchString(number) {
		hint = "write the decimals behind a point: " + strings.Replace(written, ",", ".", 1)
	}
	v, err := strconv.ParseFloat(number, 64)
	switch scale := strings.ToUpper(strings.Trim(strings.TrimPrefix(written, number), " °º")); {
	case err != nil || math.IsInf(v, 0) || math.IsNaN(v) || strings.ContainsAny(number, "xX_eE"):
		return d, strconv.Quote(text) + " is not a temperature", hint
	case scale == "":
		return d, strconv.Quote(text) + " has no scale", "write " + number + " C or " + number + " F"
	case scale != "C" && scale != "F":
		return d, strconv.Quote(text) + " is not a temperature", hint
	default:
		d = Degrees{v, scale}
	}
	if d.In("C") < -273.15 {
		return d, d.String() + " is below absolute zero", hint
	}
	return d, "", ""
}
