package kitchen

// What is measured of every batch of a step, or of an item from time to time: by eye, tongue and hand on a scale, or with an instrument.

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v4"

	"kettletree/graph"
	"kettletree/graph/measure"
)

// Measure is something that is measured of a batch or an item. What is judged has a scale of whole numbers that is tapped, such as
// colour 1-5. What is read off an instrument, a clock or by counting has a unit, or a figure behind the point. Both have an aim where the
// file gives one. What is neither is said in a word, such as who cooked.
type Measure struct {
	Name string
	Sort MeasureSort

	Low, High float64 // ends of the scale, of what is judged
	Aim       *Range  // where it should be; nil where the file does not say
	Unit      string  // of what is read; "" for none

	Handling bool // it tells what was done with the batch, and not how it came out
}

// MeasureSort tells measures apart.
type MeasureSort uint8

const (
	Judged  MeasureSort = iota // on a scale of whole numbers
	Gauged                     // off an instrument or a clock, or counted
	InWords                    // said in a word
)

const wordMeasure = "words"

// What is dissolved is known by the measure's name or by its unit: salt by name, for much else is counted in parts of a hundred; sugar by
// the degrees of a refractometer.
var (
	partUnits     = map[string]float64{"%": 0.01, "‰": 0.001, "ppt": 0.001, "g/kg": 0.001, "g/L": 0.001} // for thin stocks, a litre is a kilo
	sugarUnits    = []string{"°Bx", "Bx"}
	sugarMeasures = []string{"brix"}
	saltMeasures  = []string{"salt", "salinity", "sal", "salinidad", "salz", "sel", "盐", "盐度", "咸度", "鹽", "鹽度", "鹹度"}
)

// Salt is how much of the whole one of the measure's units is, where it reads salt; 0 where it does not.
func (m *Measure) Salt() float64 {
	if m.Sort != Gauged || !slices.Contains(saltMeasures, strings.ToLower(m.Name)) {
		return 0
	}
	return partUnits[m.Unit]
}

// Note tells whether the measure is what is written about a batch, which every batch has a place for.
func (m *Measure) Note() bool {
	return m.Sort == InWords && slices.Contains([]string{"note", "notes", "nota", "notas", "备注", "備註"}, strings.ToLower(m.Name))
}

// IsSalt tells whether an item is salt by its name: "salt", "sea salt", "sal gruesa".
func IsSalt(name string) bool {
	return slices.ContainsFunc(strings.Fields(strings.ToLower(name)), func(word string) bool { return slices.Contains(saltMeasures, word) })
}

// IsStrong tells whether the file treats what a line takes as strong: how much of it is drawn is bounded, or one of its choices has a strength.
func (k *Kitchen) IsStrong(l graph.Line) bool {
	return l.Weakest > 0 || l.Strongest > 0 || l.AtMost > 0 || slices.ContainsFunc(l.Choices, func(c graph.Choice) bool { return k.Graph.Items[c.Item].Strength > 0 })
}

// Sugar tells whether the measure reads what is dissolved off a refractometer.
func (m *Measure) Sugar() bool { return m.Sort == Gauged && slices.Contains(sugarUnits, m.Unit) }

// Value is a measured value as it is said: "4 of 5", "3.8 °Bx", "70 min".
func (m *Measure) Value(v float64) string {
	text := measure.FormatNumber(math.Round(v*1000) / 1000)
	switch {
	case m.Sort == Judged:
		return text + " of " + measure.FormatNumber(m.High)
	case m.Unit == "":
		return text
	case m.Unit == "%":
		return text + "%"
	}
	return text + " " + m.Unit
}

// AimText says where the measure should be: "3 to 4 of 5", "0.9 to 1.1%"; "" where the file does not say.
func (m *Measure) AimText() string {
	switch {
	case m.Aim == nil:
		return ""
	case m.Aim.Low == m.Aim.High:
		return m.Value(m.Aim.High)
	case m.Aim.Low == 0 && m.Sort == Gauged:
		return "at most " + m.Value(m.Aim.High)
	}
	return measure.FormatNumber(m.Aim.Low) + " to " + m.Value(m.Aim.High)
}

// mostOverAim is how many times its aim a reading may be: beyond it, the point is in the wrong place.
const mostOverAim = 20

// Fault says what is wrong with a value, and what would be right; "" when nothing is.
func (m *Measure) Fault(v float64) (fault, hint string) {
	switch {
	case math.IsNaN(v) || math.IsInf(v, 0) || v < 0:
		return "is not a measured value", "write it as " + m.Example()
	case m.Sort == Judged && (v < m.Low || v > m.High || v != math.Trunc(v)):
		where := "is off the scale of"
		if v > m.Low && v < m.High {
			where = "is no step of the scale of"
		}
		return fmt.Sprintf("%s %s, %s to %s", where, m.Name, measure.FormatNumber(m.Low), measure.FormatNumber(m.High)),
			"write a whole number from " + measure.FormatNumber(m.Low) + " to " + measure.FormatNumber(m.High)
	case m.Unit == "%" && v > 100:
		return "is more than 100%", "write it as " + m.Example()
	case m.Sort == Gauged && m.Aim != nil && v > mostOverAim*m.Aim.High:
		return fmt.Sprintf("is more than %d times what %s should be, %s", mostOverAim, m.Name, m.AimText()), "is the point in the right place?"
	}
	return "", ""
}

// Example shows how a value is written: "colour 4".
func (m *Measure) Example() string {
	switch {
	case m.Sort == InWords:
		return m.Name + " Ana"
	case m.Aim != nil:
		return m.Name + " " + strings.TrimSuffix(m.Value(m.Aim.Low), " of "+measure.FormatNumber(m.High))
	case m.Sort == Judged:
		return m.Name + " " + measure.FormatNumber(math.Round((m.Low+m.High)/2))
	}
	return strings.TrimSpace(m.Name + " 40 " + m.Unit)
}

// What stands behind a measure: a scale with or without an aim, an aim with or without a unit, a unit, or "words".
const (
	scalePattern = `[0-9]{1,2} *[-–] *[0-9]{1,2}(?: *, *aim +[0-9]{1,2}(?: *[-–] *[0-9]{1,2})?)?`
	gaugeUnit    = `(?:%|‰|°|\p{L})[\p{L}°%‰/]{0,7}`
	gaugePattern = measure.NumberPattern + ` *[-–] *` + measure.NumberPattern + `(?: *` + gaugeUnit + `)?`
	measureShown = "a scale such as 1-5 or 1-5, aim 3-4, an aim such as 0.9-1.1%, a unit such as min, or words"
)

var (
	scaleForm = regexp.MustCompile(`^([0-9]{1,2}) *[-–] *([0-9]{1,2})(?: *, *aim +([0-9]{1,2})(?: *[-–] *([0-9]{1,2}))?)?$`)
	gaugeForm = regexp.MustCompile(`^(` + measure.NumberPattern + `) *[-–] *(` + measure.NumberPattern + `)(?: *(` + gaugeUnit + `))?$`)
	unitForm  = regexp.MustCompile(`^` + gaugeUnit + `$`)
)

var measuresForm = &form{shape: entries, what: "measures such as {colour: 1-5, brix: 3.0-4.5, salt: 0.9-1.1%, cook: words}", pattern: namePattern,
	of: &form{shape: text, what: measureShown, pattern: "(?:" + scalePattern + "|" + gaugePattern + "|" + gaugeUnit + ")"}}

const (
	measuresKey = "measures"
	handlingKey = "handling"
	measuresDoc = "What is measured of it, and where it should be: a scale of whole numbers to tap (colour: 1-5, or 1-5, aim 3-4), an aim of what is " +
		"read off an instrument (brix: 3.0-4.5; salt: 0.9-1.1%), a unit alone, or words."
	handlingDoc = "What is noted of how a batch was handled, in the same way: {to the boil: min, skims: times, cook: words}. The " +
		"taste page holds it against what was measured."
)

// measures reads what is measured of a step or an item.
func (r *reader) measures(body *yaml.Node) (list []Measure) {
	for _, name := range []string{measuresKey, handlingKey} {
		for key, v := range r.pairs(r.value(body, name)) {
			m, err := parseMeasure(v.Value)
			if err != nil {
				r.misread(v, "bad-measure", err)
				continue
			}
			m.Name, m.Handling = key.Value, name == handlingKey
			if m.Unit == "" && slices.Contains(sugarMeasures, strings.ToLower(m.Name)) { // read off a refractometer, with or without a point
				if m.Sort == Judged {
					m = Measure{Name: m.Name, Handling: m.Handling, Sort: Gauged, Aim: &Range{m.Low, m.High}}
				}
				m.Unit = "°Bx"
			}
			if slices.ContainsFunc(list, func(o Measure) bool { return strings.EqualFold(o.Name, m.Name) }) {
				r.fault(r.span(key), "measured-twice", "write it once", "%q stands there twice", m.Name)
				continue
			}
			if strings.ContainsAny(m.Name, "0123456789:\"") {
				r.fault(r.span(key), "bad-name", "a figure follows the name where it is logged: "+m.Example(), "measure %q can't hold figures, colons or quotes", m.Name)
				continue
			}
			list = append(list, m)
		}
	}
	return list
}

// measuredTwice refuses to measure an item that is named like a step of which something is measured: "measured stock: colour 4" would not say of which.
func (r *reader) measuredTwice(item int, name string, body *yaml.Node) {
	if r.k.Measures[item] == nil {
		return
	}
	for step, at := range r.stepAt {
		if at < len(r.k.Steps) && r.k.Steps[at].Measures != nil && strings.EqualFold(step, name) {
			r.fault(r.span(r.value(body, measuresKey)), "measured-twice", "write all that is measured of it under the step, or give the item another name",
				"%q is the name of a step too, and that step is measured already", name)
			return
		}
	}
}

// parseMeasure reads what stands behind a measure.
func parseMeasure(s string) (m Measure, err error) {
	fail := func(hint, format string, args ...any) (Measure, error) {
		return Measure{}, &measure.Error{Msg: fmt.Sprintf(format, args...), Hint: hint, Len: len(s)}
	}
	if s == wordMeasure {
		return Measure{Sort: InWords}, nil
	}
	if f := scaleForm.FindStringSubmatch(s); f != nil {
		whole := func(n int) float64 { v, _ := strconv.Atoi(f[n]); return float64(v) }
		m = Measure{Low: whole(1), High: whole(2)}
		if m.Low >= m.High {
			return fail("write the lower end first, such as 1-5", "the scale %q does not go up", s)
		}
		if m.High-m.Low > 9 {
			return fail("write a scale of up to ten steps, such as 1-5; what is read off an instrument has a unit behind it", "the scale %q has more than ten steps", s)
		}
		if f[3] != "" {
			aim := Range{whole(3), whole(3)}
			if f[4] != "" {
				aim.High = whole(4)
			}
			if aim.Low > aim.High || aim.Low < m.Low || aim.High > m.High {
				return fail("write an aim within the scale, such as 1-5, aim 3-4", "the aim of %q is not on its scale", s)
			}
			m.Aim = &aim
		}
		return m, nil
	}
	if f := gaugeForm.FindStringSubmatch(s); f != nil {
		m = Measure{Sort: Gauged, Unit: f[len(f)-1], Aim: &Range{}}
		low, rest, err := measure.Number(s)
		if err != nil {
			return Measure{}, err
		}
		high, _, err := measure.Number(strings.TrimLeft(strings.TrimSpace(rest), "-– "))
		if err != nil {
			return Measure{}, err
		}
		if *m.Aim = (Range{low, high}); low > high || high == 0 {
			return fail("write the lower end first, such as 0.9-1.1%", "the aim %q does not go up", s)
		}
		return m, nil
	}
	if unitForm.MatchString(s) {
		return Measure{Sort: Gauged, Unit: s}, nil
	}
	return fail("write "+measureShown, "%q does not say how it is measured", s)
}

// MeasureNamed finds a measure by its name at the start of a text, in any case: the longest one that a blank, a comma or the end follows.
func MeasureNamed(list []Measure, text string) (m *Measure, rest string) {
	for i := range list {
		name := list[i].Name
		if len(text) < len(name) || !strings.EqualFold(text[:len(name)], name) {
			continue
		}
		if after := text[len(name):]; (after == "" || after[0] == ' ' || after[0] == ',') && (m == nil || len(name) > len(m.Name)) {
			m, rest = &list[i], strings.TrimLeft(after, " ")
		}
	}
	return m, rest
}

// MeasuresOf are those of a step, or of an item where no step is named; nil where nothing is measured of it.
func (k *Kitchen) MeasuresOf(step, item string) []Measure {
	if step != "" {
		if at, err := k.FindStep(step); err == nil && at < len(k.Steps) {
			return k.Steps[at].Measures
		}
		return nil
	}
	if at, err := k.FindItem(item); err == nil {
		return k.Measures[at]
	}
	return nil
}

// MeasuredItems are the items of which something is measured, in the order of the graph.
func (k *Kitchen) MeasuredItems() (list []int) {
	for i, m := range k.Measures {
		if m != nil {
			list = append(list, i)
		}
	}
	return list
}
