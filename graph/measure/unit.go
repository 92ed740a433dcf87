// Package measure holds quantities and their units: weights, volumes and counts as they are written on a recipe card,
// with exact factors, and the bridges that lead from one kind to another.
//
// Inside the program an amount is a float64 in base units: grams, millilitres or ones. A [Unit] says how many base
// units it stands for, a [Bridge] what one item weighs. This package knows no item, price or file.
//
// Factors are products of exact definitions (NIST Handbook 44, appendix C; NIST SP 811, appendix B; Units of
// Measurement Regulations 1995 for the UK's), so none is rounded. Within a kind, an amount converts by the two factors
// alone. Between kinds a bridge is needed: a density leads from volume to weight and back, the weight of one from count
// to weight and back, and both together from count to volume.
//
// Numbers are written with a full stop or as fractions: 450, 1.5, 1/2, 1 1/2. All faults are of type [*Error].
package measure

// Units, their factors and their names.

import (
	"fmt"
	"slices"
	"strings"

	"github.com/agnivade/levenshtein"
)

// Kind is what a unit measures.
type Kind uint8

const (
	Weight Kind = iota // base unit: gram
	Volume             // base unit: millilitre
	Count              // base unit: one
)

// String names the kind in a sentence: "a weight".
func (k Kind) String() string {
	return [...]string{"a weight", "a volume", "a count"}[k]
}

// Unit is a unit of measure.
type Unit struct {
	Name   string  // as it is printed: "kg"
	Kind   Kind    // what it measures
	Factor float64 // grams, millilitres or ones in one unit
	Many   string  // what several are called, where that differs: "bunches"

	// Ounces tells that a card has it in pounds with ounces behind them: "3 lb 4 oz".
	Ounces bool

	// Apart tells that one of it is a part of what is counted, or holds several: a clove, a tray. It can't be led to another count.
	Apart bool
}

// Counts tells whether one of another unit is one of this: an each is a bunch or a bottle, and never a tray.
func (u Unit) Counts(other Unit) bool {
	return u.Kind == Count && other.Kind == Count && (u.Name == other.Name || !u.Apart && !other.Apart)
}

// Exact definitions. Weight and US volume: NIST Handbook 44, appendix C (NIST SP 811, appendix B, footnote 22 for the
// pound). UK volume: Units of Measurement Regulations 1995. All else is derived from these, so no rounded factor is
// used.
const (
	gram  = 1.0
	pound = 453.59237 * gram

	millilitre = 1.0
	cubicInch  = 2.54 * 2.54 * 2.54 * millilitre
	gallon     = 231 * cubicInch
	bushel     = 2150.42 * cubicInch
	ukGallon   = 4546.09 * millilitre
)

// spelling is a unit with the other ways to write it, in lower-case letters a to z and spaces. Case never matters, a
// final full stop neither.
type spelling struct {
	Unit
	also []string
}

// units lists every unit. Ounces are a weight: the volume is written "fl oz". What is not marked "uk", "au", "jp" or
// "metric" is US customary.
var units = []spelling{
	{Unit{Name: "g", Kind: Weight, Factor: gram}, []string{"gm", "gms", "gram", "grams", "gramme", "grammes"}},
	{Unit{Name: "kg", Kind: Weight, Factor: 1000 * gram}, []string{"kilo", "kilos", "kilogram", "kilograms"}},
	{Unit{Name: "mg", Kind: Weight, Factor: gram / 1000}, []string{"milligram", "milligrams"}},
	{Unit{Name: "oz", Kind: Weight, Factor: pound / 16}, []string{"ounce", "ounces"}},
	{Unit{Name: "lb", Kind: Weight, Factor: pound}, []string{"lbs", "pound", "pounds"}},
	{Unit{Name: "stone", Kind: Weight, Factor: 14 * pound}, []string{"stones"}},

	{Unit{Name: "mL", Kind: Volume, Factor: millilitre}, []string{"millilitre", "millilitres", "milliliter", "milliliters"}},
	{Unit{Name: "cL", Kind: Volume, Factor: 10 * millilitre}, []string{"centilitre", "centilitres", "centiliter", "centiliters"}},
	{Unit{Name: "dL", Kind: Volume, Factor: 100 * millilitre}, []string{"decilitre", "decilitres", "deciliter", "deciliters"}},
	{Unit{Name: "L", Kind: Volume, Factor: 1000 * millilitre}, []string{"litre", "litres", "liter", "liters"}},

	// A pinch is a sixteenth of a teaspoon, as measuring spoons have it: common practice, no source.
	{Unit{Name: "pinch", Kind: Volume, Factor: gallon / 768 / 16, Many: "pinches"}, []string{"pinches"}},
	{Unit{Name: "tsp", Kind: Volume, Factor: gallon / 768}, []string{"tsps", "teaspoon", "teaspoons"}},
	{Unit{Name: "tbsp", Kind: Volume, Factor: gallon / 256}, []string{"tbsps", "tablespoon", "tablespoons"}},
	{Unit{Name: "fl oz", Kind: Volume, Factor: gallon / 128}, []string{"floz", "fluid ounce", "fluid ounces"}},
	{Unit{Name: "cup", Kind: Volume, Factor: gallon / 16, Many: "cups"}, []string{"cups"}},
	{Unit{Name: "pt", Kind: Volume, Factor: gallon / 8}, []string{"pts", "pint", "pints"}},
	{Unit{Name: "qt", Kind: Volume, Factor: gallon / 4}, []string{"qts", "quart", "quarts"}},
	{Unit{Name: "gal", Kind: Volume, Factor: gallon}, []string{"gals", "gallon", "gallons"}},
	{Unit{Name: "bushel", Kind: Volume, Factor: bushel}, []string{"bu", "bushels"}},

	{Unit{Name: "uk fl oz", Kind: Volume, Factor: ukGallon / 160}, []string{"uk floz", "uk fluid ounce", "uk fluid ounces"}},
	{Unit{Name: "uk pt", Kind: Volume, Factor: ukGallon / 8}, []string{"uk pts", "uk pint", "uk pints"}},
	{Unit{Name: "uk qt", Kind: Volume, Factor: ukGallon / 4}, []string{"uk qts", "uk quart", "uk quarts"}},
	{Unit{Name: "uk gal", Kind: Volume, Factor: ukGallon}, []string{"uk gals", "uk gallon", "uk gallons"}},

	{Unit{Name: "metric cup", Kind: Volume, Factor: 250 * millilitre, Many: "metric cups"}, []string{"metric cups"}},
	{Unit{Name: "au tbsp", Kind: Volume, Factor: 20 * millilitre}, []string{"au tbsps", "au tablespoon", "au tablespoons"}},
	{Unit{Name: "jp cup", Kind: Volume, Factor: 200 * millilitre, Many: "jp cups"}, []string{"jp cups"}},

	{Each, []string{"ea", "piece", "pieces", "pc", "pcs"}},
	{Unit{Name: "doz", Kind: Count, Factor: 12}, []string{"dozen", "dozens"}},

	// One each, by the name that the trade has for it.
	counted("bunch", "bunches"), counted("head", "heads"), counted("sheet", "sheets"), counted("can", "cans", "tin", "tins"),
	counted("bottle", "bottles"), counted("jar", "jars"),

	// And what is a part of one, or holds several.
	apart("clove", "cloves"), apart("sprig", "sprigs"), apart("slice", "slices"), apart("bag", "bags"), apart("box", "boxes"),
	apart("tub", "tubs"), apart("tray", "trays"), apart("case", "cases"),
}

// counted is a unit of what is counted one by one, with other ways to write it.
func counted(name, many string, also ...string) spelling {
	return spelling{Unit{Name: name, Kind: Count, Factor: 1, Many: many}, append([]string{many}, also...)}
}

// apart is a unit of what is counted apart from all other units.
func apart(name, many string) spelling {
	s := counted(name, many)
	s.Apart = true
	return s
}

// Each is the unit of what is counted one by one.
var Each = Unit{Name: "each", Kind: Count, Factor: 1}

// mostWords is the number of words in the longest unit name: "uk fl oz".
const mostWords = 3

// unitNames leads from every lower-case spelling to its place in units.
var unitNames = func() map[string]int {
	names := map[string]int{}
	for i, u := range units {
		names[strings.ToLower(u.Name)] = i
		for _, s := range u.also {
			names[s] = i
		}
	}
	return names
}()

// Error is a fault in something written.
type Error struct {
	Msg     string // what was found, lower case, no full stop
	Hint    string // what would be right, "" when there is nothing to add
	At, Len int    // the bytes of the text that it is about

	NoNumber bool // a number should begin the text, and there is nothing like one
	NoUnit   bool // a word stands behind the number that is no unit
}

func (e *Error) Error() string {
	if e.Hint == "" {
		return e.Msg
	}
	return e.Msg + ": " + e.Hint
}

// inOunces is what pounds with ounces behind them are shown in.
const inOunces = "lb oz"

// ShownAs is the name by which [UnitNamed] finds the unit as a card has it: "lb oz" for pounds with ounces behind them, else its own.
func (u Unit) ShownAs() string {
	if u.Ounces {
		return inOunces
	}
	return u.Name
}

// UnitNamed finds a unit by any of its spellings. The error is a [*Error] and names the nearest unit.
func UnitNamed(s string) (Unit, error) {
	if s == inOunces {
		u, _ := unitSpelt("lb")
		u.Ounces = true
		return u, nil
	}
	if u, ok := unitSpelt(s); ok {
		return u, nil
	}
	hint, _ := unitHint(s)
	return Unit{}, &Error{Msg: fmt.Sprintf("unknown unit %q", s), Hint: hint, Len: len(s)}
}

func unitSpelt(s string) (Unit, bool) {
	words := strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return r == ' ' })
	for i, w := range words {
		words[i] = strings.TrimSuffix(w, ".")
	}
	i, ok := unitNames[strings.Join(words, " ")]
	if !ok {
		return Unit{}, false
	}
	return units[i].Unit, true
}

// unitHint says what was meant by a unit that does not exist; near is false when nothing looks like it.
func unitHint(s string) (hint string, near bool) {
	if s == "t" || s == "T" {
		return "write tsp or tbsp", true
	}
	if name, ok := nearestUnit(s); ok {
		return fmt.Sprintf("did you mean %q?", name), true
	}
	return "units are g, kg, oz, lb, mL, L, tsp, tbsp, fl oz, cup, pt, qt, gal, each and doz", false
}

// nearestUnit is the unit with a spelling one or two letters away from s; the first of units when several are as near.
func nearestUnit(s string) (name string, ok bool) {
	s = strings.ToLower(s)
	best := 2
	if len(s) > 4 {
		best = 3
	}
	for _, u := range units {
		for _, spelt := range append([]string{strings.ToLower(u.Name)}, u.also...) {
			if len(s) < 2 || len(spelt) < 2 || len(s)-len(spelt) >= best {
				continue // a letter says nothing, and a long text is no unit
			}
			if d := levenshtein.ComputeDistance(s, spelt); d < best {
				best, name, ok = d, u.Name, true
			}
		}
	}
	return name, ok
}

// Misspelt tells whether a word is one letter from a unit, or a letter that may be two of them.
func Misspelt(word string) bool {
	word = strings.TrimSuffix(strings.ToLower(word), ".")
	return word == "t" || slices.ContainsFunc(units, func(u spelling) bool {
		return slices.ContainsFunc(append([]string{strings.ToLower(u.Name)}, u.also...), func(spelt string) bool {
			return len(word) > 1 && len(spelt) > 1 && levenshtein.ComputeDistance(word, spelt) == 1
		})
	})
}

// UnitPattern is a regular expression, in the syntax shared by Go and JSON Schema, for the units of the kinds given.
func UnitPattern(kinds ...Kind) string {
	var spellings []string
	for _, u := range units {
		if slices.Contains(kinds, u.Kind) {
			spellings = append(append(spellings, strings.ToLower(u.Name)), u.also...)
		}
	}
	// Longest first, so that "cups" is not read as "cup" with something left over.
	slices.SortStableFunc(spellings, func(a, b string) int { return len(b) - len(a) })
	var b strings.Builder
	b.WriteString("(?:")
	for i, s := range spellings {
		if i > 0 {
			b.WriteByte('|')
		}
		for _, letter := range []byte(s) {
			if letter == ' ' {
				b.WriteString(`\.? +`)
			} else {
				b.Write([]byte{'[', letter - 'a' + 'A', letter, ']'})
			}
		}
	}
	b.WriteString(`)\.?`)
	return b.String()
}
