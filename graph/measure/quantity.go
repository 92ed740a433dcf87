package measure

// Numbers and quantities as they are written on a recipe card, read and printed.

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
)

// A number that is not zero lies between these; what is beyond is a slip of the pen, and could overflow further on.
const (
	leastNumber = 1e-9
	mostNumber  = 1e12
)

// NumberPattern is a regular expression for what [Number] reads, in the syntax shared by Go and JSON Schema.
const NumberPattern = `(?:(?:[0-9]+ +)?[0-9]+/[0-9]+|(?:[0-9]+ *)?[½⅓⅔¼¾⅛⅜⅝⅞]|[0-9]+(?:\.[0-9]+)?)`

// fractions are the signs for fractions, which some keyboards and what is printed here have.
var fractions = strings.NewReplacer("½", " 1/2", "⅓", " 1/3", "⅔", " 2/3", "¼", " 1/4", "¾", " 3/4", "⅛", " 1/8", "⅜", " 3/8", "⅝", " 5/8", "⅞", " 7/8")

var (
	leadingNumber = regexp.MustCompile("^" + NumberPattern)
	signedNumber  = regexp.MustCompile(`^[-+−] ?[0-9.]+`)
	decimalComma  = regexp.MustCompile(`^[0-9]+(,[0-9]+)+`)
	notFinite     = regexp.MustCompile(`(?i)^[-+]?\.?(nan|inf(inity)?)\b`)
)

// Quantity is an amount of something.
type Quantity struct {
	Amount float64 // in Unit
	Unit   Unit
}

// Base is the amount in base units: grams, millilitres or ones.
func (q Quantity) Base() float64 { return q.Amount * q.Unit.Factor }

// dust is an amount in base units that only the rounding of sums leaves: a millionth of a gram.
const dust = 1e-6

// String prints the quantity as it would be written: "450 mL", "2 lb 2 oz". See [FormatNumber]; less than a millionth of a gram is nothing.
func (q Quantity) String() string {
	if math.Abs(q.Base()) < dust {
		return "0 " + q.Unit.Of(0)
	}
	if pounds := math.Trunc(q.Amount); q.inHalfOunces() {
		return FormatNumber(pounds) + " lb " + FormatNumber((q.Amount-pounds)*16) + " oz"
	}
	if q.Unit.Ounces && q.Amount >= 1 {
		ounces := math.Round(q.Amount*160) / 10
		pounds := math.Floor(ounces / 16)
		if rest := ounces - pounds*16; math.Abs(rest) >= 0.05 {
			return FormatNumber(pounds) + " lb " + FormatNumber(math.Round(rest*10)/10) + " oz"
		}
		return FormatNumber(pounds) + " lb"
	}
	if whole, sign := q.spoonfuls(); sign != "" {
		if whole > 0 {
			sign = FormatNumber(whole) + sign
		}
		return sign + " " + q.Unit.Of(q.Amount)
	}
	if quarters := q.Amount * 4; q.Unit.Kind == Count && q.Unit.Name != Each.Name && q.Amount > 0 && quarters == math.Trunc(quarters) {
		return FormatPieces(q.Amount) + " " + q.Unit.Of(q.Amount) // half a case, as it is said
	}
	return FormatNumber(q.Amount) + " " + q.Unit.Of(q.Amount)
}

// inHalfOunces tells whether pounds are so many half ounces that hundredths of a pound would not show them: 2.125 lb is 2 lb 2 oz, and
// 3.25 lb stays as it is.
func (q Quantity) inHalfOunces() bool {
	const speck = 1e-9
	whole := func(x float64) bool { return math.Abs(x-math.Round(x)) < speck }
	return q.Unit.Name == "lb" && q.Amount >= 1 && whole(q.Amount*32) && !whole(q.Amount*20)
}

// Of is the unit's name behind an amount: "bunch" behind 1 and behind ½, "bunches" behind 2.
func (u Unit) Of(amount float64) string {
	if u.Many == "" || FormatNumber(amount) == "1" || amount > 0 && amount < 1 {
		return u.Name
	}
	return u.Many
}

// FormatNumber prints a number with four significant digits, and all digits before the point, without trailing zeros
// and without an exponent. What is smaller than any number that can be written in a kitchen file is nothing.
func FormatNumber(x float64) string {
	const significant = 4
	decimals := 0
	if math.Abs(x) < leastNumber {
		return "0"
	}
	if x != 0 && !math.IsInf(x, 0) && !math.IsNaN(x) {
		decimals = max(0, significant-1-int(math.Floor(math.Log10(math.Abs(x)))))
	}
	s := strconv.FormatFloat(x, 'f', decimals, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}

// typedComma is a number at the beginning of a text with a comma before its decimals.
var typedComma = regexp.MustCompile(`^( *[0-9]+),([0-9]{1,2})([^0-9,]|$)`)

// Pointed is a text as it was typed, with a point for the comma of the number that it begins with: "1,10" is 1.10. "1,100" stays, for it may be
// eleven hundred.
func Pointed(typed string) string { return typedComma.ReplaceAllString(typed, "$1.$2$3") }

// Number reads the number that s begins with and returns what comes after it. Numbers are zero or more and finite.
func Number(s string) (value float64, rest string, err error) {
	written := leadingNumber.FindString(s)
	if comma := decimalComma.FindString(s); comma != "" {
		return 0, s, &Error{
			Msg:  fmt.Sprintf("number %q has a comma", comma),
			Hint: "write 1.5 for one and a half and 1500 for fifteen hundred",
			Len:  len(comma),
		}
	}
	if written == "" {
		return 0, s, noNumber(s)
	}
	rest = s[len(written):]
	fault := &Error{Len: len(written)}

	plain := strings.TrimSpace(fractions.Replace(written))
	whole, fraction, mixed := strings.Cut(plain, " ")
	if !mixed {
		whole, fraction = "", plain
	}
	numerator, denominator, isFraction := strings.Cut(strings.TrimSpace(fraction), "/")
	if !isFraction {
		denominator = "1"
	}
	if whole == "" {
		whole = "0"
	}
	// The pattern leaves only digits and one point, so what ParseFloat can refuse is too large; it then gives infinity.
	w, _ := strconv.ParseFloat(whole, 64)
	n, _ := strconv.ParseFloat(numerator, 64)
	d, _ := strconv.ParseFloat(denominator, 64)
	switch value = w + n/d; {
	case d == 0:
		fault.Msg, fault.Hint = fmt.Sprintf("%q divides by zero", written), "write a fraction such as 1/2"
		return 0, s, fault
	case math.IsNaN(value) || value > mostNumber:
		fault.Msg, fault.Hint = "number is too large", "the largest is 1000000000000"
		return 0, s, fault
	case value < leastNumber && strings.ContainsAny(whole+numerator, "123456789"):
		fault.Msg, fault.Hint = "number is too small to tell from nothing", "the smallest is 0.000000001"
		return 0, s, fault
	}
	return value, rest, nil
}

func noNumber(s string) *Error {
	word, _, _ := strings.Cut(s, " ")
	switch {
	case s == "":
		return &Error{Msg: "a number is missing", Hint: "write a number such as 450, 1.5, 1/2 or 1 1/2"}
	case signedNumber.MatchString(s):
		written := signedNumber.FindString(s)
		return &Error{Msg: fmt.Sprintf("number %q has a sign", written),
			Hint: "numbers here are zero or more, without a sign",
			Len:  len(written)}
	case notFinite.MatchString(s):
		return &Error{Msg: fmt.Sprintf("%q is not a number that can be measured", word),
			Hint: "write a number such as 450 or 1.5",
			Len:  len(word)}
	}
	return &Error{Msg: fmt.Sprintf("%q is not a number", word), Hint: "write a number such as 450, 1.5, 1/2 or 1 1/2",
		Len:      len(word),
		NoNumber: true}
}

// Parse reads a quantity that fills s: "450 mL", "1 1/2 cup", "2 doz".
func Parse(s string) (Quantity, error) {
	q, rest, err := ParsePrefix(s)
	if err != nil {
		return Quantity{}, err
	}
	if rest != "" {
		at := len(s) - len(rest)
		return Quantity{}, &Error{Msg: fmt.Sprintf("%q stands after the quantity", rest),
			Hint: fmt.Sprintf("write only %q", strings.TrimSpace(s[:at])), At: at, Len: len(rest)}
	}
	return q, nil
}

// ParsePrefix reads the quantity that s begins with and returns what comes after it, without leading spaces:
// "450 mL pozole broth" gives 450 mL and "pozole broth". The longest unit wins, so "2 fl oz lime" is a volume. "3 lb 4 oz" is 3.25 lb.
// An amount in words is read where its meaning is plain: "half a case of lemons".
func ParsePrefix(s string) (q Quantity, rest string, err error) {
	value, after, err := Number(s)
	if err != nil {
		if q, rest, ok := worded(s); ok {
			return q, rest, nil
		}
		return Quantity{}, s, err
	}
	at := len(s) - len(strings.TrimLeft(after, " "))
	unit, rest, ok := unitPrefix(s[at:])
	if !ok {
		if _, high, behind, ok := Range(s); ok {
			return Quantity{}, s, &Error{Msg: fmt.Sprintf("%q is a range", strings.TrimSpace(s[:len(s)-len(behind)])), Len: len(s) - len(behind),
				Hint: fmt.Sprintf("write one amount, such as the larger: %s", strings.TrimSpace(FormatNumber(high)+" "+behind))}
		}
		return Quantity{}, s, noUnit(s, at)
	}
	q = Quantity{Amount: value, Unit: unit}
	more, after, ok := remainder(q, rest)
	switch {
	case ok && more.Base() >= unit.Factor: // nobody means the lesser unit of another amount
		q.Amount += more.Base() / unit.Factor
		q.Unit.Ounces = unit.Name == "lb" && more.Unit.Name == "oz"
		return Quantity{}, s, &Error{Msg: fmt.Sprintf("%s is not less than one %s", more, unit.Name), Hint: fmt.Sprintf("write it as one amount: %s", q),
			At: len(s) - len(rest), Len: len(strings.TrimRight(rest[:len(rest)-len(after)], " "))}
	case ok:
		q.Amount += more.Base() / unit.Factor
		q.Unit.Ounces = unit.Name == "lb" && more.Unit.Name == "oz"
		rest = after
	}
	return q, rest, nil
}

var toAnother = regexp.MustCompile(`^ *(?:[-–—]|to ) *`)

// Range reads two numbers that a text begins with, the smaller first: the "1-2" of "1-2 tsp salt", and gives what comes after them. "1-1/2" is none.
func Range(s string) (low, high float64, rest string, ok bool) {
	low, after, err := Number(s)
	if err != nil {
		return 0, 0, s, false
	}
	to := toAnother.FindString(after)
	high, rest, err = Number(after[len(to):])
	if to == "" || err != nil || high <= low {
		return 0, 0, s, false
	}
	return low, high, strings.TrimLeft(rest, " "), true
}

// remainder reads what stands in a smaller unit behind a whole number of a larger one: the 4 oz of "3 lb 4 oz".
func remainder(q Quantity, s string) (more Quantity, rest string, ok bool) {
	if q.Unit.Kind == Count || q.Amount != math.Trunc(q.Amount) {
		return Quantity{}, s, false
	}
	value, after, err := Number(s)
	if err != nil {
		return Quantity{}, s, false
	}
	unit, rest, ok := unitPrefix(strings.TrimLeft(after, " "))
	more = Quantity{Amount: value, Unit: unit}
	return more, rest, ok && unit.Kind == q.Unit.Kind && unit.Factor < q.Unit.Factor
}

// noUnit says that a quantity has no unit at byte at, where its number ends.
func noUnit(s string, at int) *Error {
	number := strings.TrimRight(s[:at], " ")
	word, _, _ := strings.Cut(s[at:], " ")
	if word == "" {
		return &Error{Msg: "a unit is missing", Hint: "write a unit such as g, kg, mL, L or each after the number",
			Len: len(number)}
	}
	if hint, near := unitHint(word); near {
		return &Error{Msg: fmt.Sprintf("unknown unit %q", word), Hint: hint, At: at, Len: len(word), NoUnit: true}
	}
	return &Error{Msg: fmt.Sprintf("no unit after the number in %q", s), At: at, Len: len(word), NoUnit: true,
		Hint: fmt.Sprintf("write %q to count, or a unit such as g, kg, mL or L", number+" each "+s[at:])}
}

// unitPrefix reads the longest unit that s begins with, and returns what comes after it.
func unitPrefix(s string) (u Unit, rest string, ok bool) {
	words := strings.SplitN(s, " ", mostWords+1)
	for n := min(len(words), mostWords); n > 0; n-- {
		written := strings.Join(words[:n], " ")
		if u, ok := unitSpelt(written); ok {
			return u, strings.TrimLeft(s[len(written):], " "), true
		}
	}
	return Unit{}, s, false
}

// FormatList joins names: "a, b and c".
func FormatList(names []string) string {
	if last := len(names) - 1; last > 0 {
		return strings.Join(names[:last], ", ") + " and " + names[last]
	}
	return strings.Join(names, "")
}
