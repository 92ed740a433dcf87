package kitchen

// The small values of a kitchen file: names, prices, percentages, lengths. Errors are of type *measure.Error.

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"kettletree/graph/batch"
	"kettletree/graph/measure"
)

// Regular expressions for what the functions here read, in the syntax shared by Go and JSON Schema.
const (
	namePattern    = `[^\s,@=±](?:[^,@=±]*[^\s,@=±])?`
	percentPattern = measure.NumberPattern + ` *%`
	drawnPattern   = measure.NumberPattern + ` *g h/L`
	rangePattern   = measure.NumberPattern + ` *[-–] *` + measure.NumberPattern + ` *%`
	keepsPattern   = `[1-9][0-9]{0,3} (?:day|week)s?`
	lengthPattern  = measure.NumberPattern + ` *(?:mm|cm|in)`
	guestsPattern  = `(?:0|[1-9][0-9]{0,6}) *(?:±|[+]-) *(?:0|[1-9][0-9]{0,6})`
)

// orInName is a regular expression for names that would be cut in two by "or".
const orInName = `^or | or | or$`

const nameRule = `write names without commas, @, =, ± and the word "or"`

var cutByOr = regexp.MustCompile(orInName)

// nameFault says what is wrong with a name of the user's own, "" when nothing is. What is refused has a meaning elsewhere: in a
// line of a recipe, or where a batch is named as "night kettle@tue=40%".
func nameFault(name string) string {
	switch {
	case name == "":
		return "can't be empty"
	case strings.ContainsAny(name, ",@=±"):
		_, size := utf8.DecodeRuneInString(name[strings.IndexAny(name, ",@=±"):])
		at := strings.IndexAny(name, ",@=±")
		return "can't hold \"" + name[at:at+size] + "\""
	case strings.Contains(name, "+-"):
		return `can't hold "+-"`
	case cutByOr.MatchString(" " + name + " "):
		return `can't hold the word "or"`
	case strings.TrimSpace(name) != name:
		return "can't begin or end with a space"
	}
	return TextFault(name, MostLetters)
}

// price is money for a quantity.
type price struct {
	money float64
	per   measure.Quantity
}

// perBase is the money for one base unit.
func (p price) perBase() float64 { return p.money / p.per.Base() }

// parsePrice reads "4.20/kg" or "42.00 for 10 kg".
func parsePrice(s string) (price, error) {
	money, rest, err := measure.Number(s)
	if err != nil {
		if e := err.(*measure.Error); strings.ContainsFunc(s, func(r rune) bool { return unicode.Is(unicode.Sc, r) }) {
			e.Hint = `write the number only, such as 4.20/kg; the currency is written once, at "money"`
		}
		return price{}, err
	}
	if unit, ok := strings.CutPrefix(strings.TrimLeft(rest, " "), "/"); ok {
		at := len(s) - len(strings.TrimLeft(unit, " "))
		u, err := measure.UnitNamed(strings.Trim(unit, " "))
		if err != nil {
			return price{}, shifted(err, at)
		}
		return price{money, measure.Quantity{Amount: 1, Unit: u}}, nil
	}
	if quantity, ok := strings.CutPrefix(rest, " for "); ok {
		q, err := measure.Parse(strings.Trim(quantity, " "))
		if err != nil {
			return price{}, shifted(err, len(s)-len(strings.TrimLeft(quantity, " ")))
		}
		if q.Amount == 0 {
			return price{}, &measure.Error{Msg: fmt.Sprintf("%q is a price for none of it", s),
				Hint: "write it as 42.00 for 10 kg", Len: len(s)}
		}
		return price{money, q}, nil
	}
	return price{}, &measure.Error{Msg: fmt.Sprintf("price %q does not say for how much", s),
		Hint: "write it as 4.20/kg, 9.50/each or 42.00 for 10 kg", Len: len(s)}
}

// parseDisposal reads what a weight of waste costs, as money for a gram.
func parseDisposal(s string) (float64, error) {
	p, err := parsePrice(s)
	if err == nil && p.per.Unit.Kind != measure.Weight {
		err = &measure.Error{Msg: fmt.Sprintf("disposal %q is not for a weight", s), Hint: "write it as 0.15/kg", Len: len(s)}
	}
	if err != nil {
		return 0, err
	}
	return p.perBase(), nil
}

// parsePercent reads "6.5%" as a share: 0.065.
func parsePercent(s string) (float64, error) {
	value, rest, err := measure.Number(s)
	if err != nil {
		return 0, err
	}
	if strings.TrimLeft(rest, " ") != "%" || value == 0 || value > 100 {
		return 0, &measure.Error{Msg: fmt.Sprintf("%q is not a share", s), Hint: "write it as 6% or 6.5%, up to 100%",
			Len: len(s)}
	}
	return value / 100, nil
}

// drawnUnit is that of what is drawn from a strong thing: grams, times their strength, times hours, per litre.
const drawnUnit = "g h/L"

// parseDrawn reads "120 g h/L".
func parseDrawn(s string) (float64, error) {
	value, rest, err := measure.Number(s)
	if err != nil {
		return 0, err
	}
	if strings.TrimLeft(rest, " ") != drawnUnit || value == 0 {
		return 0, &measure.Error{Msg: fmt.Sprintf("%q is no bound on strength", s), Hint: "write it as 120 g h/L: grams, times " +
			"strength, times the hours that they are in, per litre of stock", Len: len(s)}
	}
	return value, nil
}

// FormatDrawn writes what is drawn from a strong thing.
func FormatDrawn(v float64) string { return measure.FormatNumber(v) + " " + drawnUnit }

// FormatBounded writes a value that a bound is of, and the bound's limit.
func FormatBounded(b batch.Bound, v float64) string {
	if b.Drawn {
		return FormatDrawn(v)
	}
	return FormatPercent(v)
}

// parseStrength reads "0.5".
func parseStrength(s string) (float64, error) {
	value, rest, err := measure.Number(s)
	if err != nil {
		return 0, err
	}
	if rest != "" || value == 0 || value > 1000 {
		return 0, &measure.Error{Msg: fmt.Sprintf("%q is no strength", s),
			Hint: "write how strong it tastes by weight beside things of its kind: 1 as they are, 0.5 half as strong", Len: len(s)}
	}
	return value, nil
}

// parseSteam reads "3 L an hour" as millilitres an hour.
func parseSteam(s string) (float64, error) {
	amount, ok := strings.CutSuffix(s, "an hour")
	q, err := measure.Parse(strings.TrimRight(amount, " "))
	switch {
	case ok && err != nil:
		return 0, err
	case !ok || q.Unit.Kind != measure.Volume:
		return 0, &measure.Error{Msg: fmt.Sprintf("%q does not say how much goes off", s), Hint: "write it as 3 L an hour", Len: len(s)}
	}
	return q.Base(), nil
}

// parseRange reads "66-74%" as shares.
func parseRange(s string) (Range, error) {
	fault := &measure.Error{Msg: fmt.Sprintf("%q is not a range of shares", s), Hint: "write it as 66-74%", Len: len(s)}
	low, rest, err := measure.Number(s)
	if err != nil {
		return Range{}, err
	}
	rest = strings.TrimLeft(rest, " ")
	after, ok := strings.CutPrefix(rest, "-")
	if !ok {
		after, ok = strings.CutPrefix(rest, "–")
	}
	high, err := parsePercent(strings.TrimLeft(after, " "))
	if !ok || err != nil || low <= 0 || low/100 > high {
		return Range{}, fault
	}
	return Range{low / 100, high}, nil
}

func FormatPercent(share float64) string { return measure.FormatNumber(100*share) + "%" }

// parseKeeps reads "3 days" or "2 weeks".
func parseKeeps(s string) (days int, err error) {
	fault := &measure.Error{Msg: fmt.Sprintf("%q is not a number of days", s),
		Hint: "write whole days or weeks, the day made being the first: 1 day, 3 days, 2 weeks", Len: len(s)}
	number, unit, _ := strings.Cut(s, " ")
	length, known := map[string]int{"day": 1, "days": 1, "week": 7, "weeks": 7}[unit]
	n, ok := Digits(number)
	if !known || !ok || n == 0 || n > 9999 || strings.HasPrefix(number, "0") {
		return 0, fault
	}
	return n * length, nil
}

// mostWhole bounds whole numbers: portions, batches, ranks.
const mostWhole = 1_000_000

// octal tells a number that begins with 0, which some readers of YAML take for an octal one.
func octal(s string) bool { return len(s) > 1 && s[0] == '0' && s[1] != '.' && s[1] != '/' }

// Digits reads a whole number without sign.
func Digits(s string) (n int, ok bool) {
	if s == "" || octal(s) || strings.Trim(s, "0123456789") != "" {
		return 0, false
	}
	n, err := strconv.Atoi(s)
	return n, err == nil && n <= mostWhole
}

// parseGuests reads "40 ± 6" as portions.
func parseGuests(s string) (number, spread int, err error) {
	for _, sign := range spreadSigns {
		before, after, found := strings.Cut(s, sign)
		number, plain := Digits(strings.TrimRight(before, " "))
		if spread, sound := Digits(strings.Trim(after, " ")); found && plain && sound {
			return number, spread, nil
		}
	}
	return 0, 0, &measure.Error{Msg: fmt.Sprintf("%q is not a number of portions", s),
		Hint: "write {lunch: 22, fri dinner: 60}, or 40 without quotes, or with its spread 40 ± 6", Len: len(s)}
}

// parseLength reads "55 cm" as centimetres.
func parseLength(s string) (centimetres float64, err error) {
	value, rest, err := measure.Number(s)
	if err != nil {
		return 0, err
	}
	unit, ok := map[string]float64{"mm": 0.1, "cm": 1, "in": 2.54}[strings.TrimLeft(rest, " ")]
	if !ok || value == 0 {
		return 0, &measure.Error{Msg: fmt.Sprintf("%q is not a length", s), Hint: "write it as 55 cm, 550 mm or 22 in",
			Len: len(s)}
	}
	return value * unit, nil
}

// parseDensity reads "1.01 kg/L" as grams per millilitre, within what food can be.
func parseDensity(s string) (float64, error) {
	const lightest, heaviest = 0.01, 5.0 // g/mL; puffed grain and salt lie well inside
	d, err := measure.ParseDensity(s)
	if err == nil && (d < lightest || d > heaviest) {
		err = &measure.Error{Msg: fmt.Sprintf("density %q is %s kg/L", s, measure.FormatNumber(d)),
			Hint: "food lies between 0.01 and 5 kg/L, water at 1 kg/L", Len: len(s)}
	}
	return d, err
}

// parseEach reads the weight of one, or what one holds.
func parseEach(s string) (measure.Quantity, error) {
	const hint = "write a weight such as 1.9 kg, or what one holds, such as 750 mL"
	q, err := measure.Parse(s)
	switch {
	case err != nil:
		err.(*measure.Error).Hint = hint
	case q.Unit.Kind == measure.Count || q.Amount == 0:
		says := hint
		if q.Amount > 0 {
			says += fmt.Sprintf("; how many are in a pack stands at the price, such as \"price: 20 for %s\"", s)
		}
		err = &measure.Error{Msg: fmt.Sprintf("%q is neither the weight of one nor what one holds", s), Hint: says, Len: len(s)}
	}
	return q, err
}

// parseHolds reads the volume of a vessel, in millilitres.
func parseHolds(s string) (float64, error) {
	return parseOf(measure.Volume, s, "a volume", "write how much it holds, such as 120 L")
}

// parseOf reads a quantity above nothing of one kind, in base units.
func parseOf(k measure.Kind, s, what, hint string) (float64, error) {
	q, err := measure.Parse(s)
	if err != nil {
		err.(*measure.Error).Hint = hint
		return 0, err
	}
	if q.Unit.Kind != k || q.Amount == 0 {
		return 0, &measure.Error{Msg: fmt.Sprintf("%q is not %s", s, what), Hint: hint, Len: len(s)}
	}
	return q.Base(), nil
}

// mostMoney bounds prices and costs.
const mostMoney = 1e9

// money reads a plain number such as 15.50.
func money(s string) (float64, error) {
	value, rest, err := measure.Number(s)
	switch {
	case err != nil:
		return 0, err
	case rest != "" || octal(s) || strings.Contains(s, "/"):
		return 0, &measure.Error{Msg: fmt.Sprintf("%q is not a plain number", s), Hint: "write it as 15.50",
			Len: len(s)}
	case value > mostMoney:
		return 0, &measure.Error{Msg: fmt.Sprintf("%q is more than 1,000,000,000", s),
			Hint: "write it in units of the currency", Len: len(s)}
	}
	return value, nil
}
