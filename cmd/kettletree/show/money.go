package show

// Money as it is shown: the only place where it is rounded.

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"golang.org/x/text/currency"

	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
)

// Money shows amounts of one currency.
type Money struct {
	code     string
	decimals int
}

// MoneyOf is the currency with an ISO 4217 code. Without a code, amounts have two decimals and no name.
func MoneyOf(code string) Money {
	m := Money{code: code, decimals: 2}
	if unit, err := currency.ParseISO(code); err == nil {
		m.decimals, _ = currency.Standard.Rounding(unit)
	}
	return m
}

// Units is an amount in whole units of the last decimal, cents for USD, halves rounded away from zero.
func (m Money) Units(amount float64) int64 {
	// A price such as 1.005 is a hair below what is written; a hundredth of a millionth of a cent makes up for it.
	exact := amount * math.Pow10(m.decimals)
	return int64(math.Round(exact + math.Copysign(1e-8, exact)))
}

// Parts are amounts in whole units that add up to the total of the amounts, rounded: each is rounded down, and what is
// then missing goes, a unit each, to those with the largest remainders, the earlier one when two are as large.
func (m Money) Parts(amounts ...float64) []int64 {
	parts, rest, order := make([]int64, len(amounts)), make([]float64, len(amounts)), make([]int, len(amounts))
	total := 0.0
	var given int64
	for i, a := range amounts {
		exact := a * math.Pow10(m.decimals)
		if nearest := math.Round(exact); math.Abs(exact-nearest) < 1e-8 { // a whole number but for float's sake
			exact = nearest
		}
		floor := math.Floor(exact)
		parts[i], rest[i], order[i] = int64(floor), exact-floor, i
		given += parts[i]
		total += a
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(rest[j], rest[i]) })
	missing := m.Units(total) - given
	for n := range missing {
		parts[order[int(n)%len(order)]]++
	}
	return parts
}

// Less is how much less an amount is once something is lost of it, in whole units, as its figures before and after say.
func (m Money) Less(before, lost float64) int64 { return m.Units(before) - m.Units(before-lost) }

// Show is an amount with all decimals of the currency: "1,843.20".
func (m Money) Show(amount float64) string { return m.ShowUnits(m.Units(amount)) }

// Name is [Money.Show] with the currency behind it: "1,843.20 USD".
func (m Money) Name(amount float64) string { return m.named(m.Show(amount)) }

// NameUnits is [Money.Name] for whole units.
func (m Money) NameUnits(units int64) string { return m.named(m.ShowUnits(units)) }

func (m Money) named(amount string) string { return strings.TrimSpace(amount + " " + m.code) }

// in is " in USD" for headings, or nothing.
func (m Money) in() string {
	if m.code == "" {
		return ""
	}
	return ", in " + m.code
}

// ShowUnits shows whole units.
func (m Money) ShowUnits(units int64) string {
	sign := ""
	if units < 0 {
		sign, units = "-", -units
	}
	digits := fmt.Sprintf("%0*d", m.decimals+1, units)
	whole, decimals := digits[:len(digits)-m.decimals], digits[len(digits)-m.decimals:]
	if decimals != "" {
		decimals = "." + decimals
	}
	return sign + thousands(whole) + decimals
}

// Change shows whole units with a sign: "+12.00".
func (m Money) Change(units int64) string {
	if units > 0 {
		return "+" + m.ShowUnits(units)
	}
	return m.ShowUnits(units)
}

// Rate is a cost for a unit of something: with the decimals of the currency, and more where these leave fewer than
// three digits that mean something.
func (m Money) Rate(amount float64) string {
	decimals := m.decimals
	if math.Abs(amount) > dust {
		decimals = max(decimals, min(8, 2-int(math.Floor(math.Log10(math.Abs(amount))))))
	}
	return m.fixed(amount, decimals)
}

// Fine is an amount with two decimals more than the currency has, for derivations.
func (m Money) Fine(amount float64) string { return m.fixed(amount, m.decimals+2) }

// FineChange is [Money.Fine] with a sign.
func (m Money) FineChange(amount float64) string {
	if amount > 0 {
		return "+" + m.Fine(amount)
	}
	return m.Fine(amount)
}

func (m Money) fixed(amount float64, decimals int) string {
	text := strconv.FormatFloat(amount, 'f', decimals, 64)
	if strings.Trim(text, "-0.") == "" {
		text = strings.TrimPrefix(text, "-") // a hair below nothing is nothing
	}
	whole, rest, found := strings.Cut(text, ".")
	if found {
		rest = "." + rest
	}
	if number, negative := strings.CutPrefix(whole, "-"); negative {
		return "-" + thousands(number) + rest
	}
	return thousands(whole) + rest
}

// thousands puts commas into a row of digits.
func thousands(digits string) string {
	var b strings.Builder
	for i, d := range digits {
		if i > 0 && (len(digits)-i)%3 == 0 {
			b.WriteByte(',')
		}
		b.WriteRune(d)
	}
	return b.String()
}

// count is a whole number with commas.
func count(n int) string {
	if n < 0 {
		return "-" + thousands(strconv.Itoa(-n))
	}
	return thousands(strconv.Itoa(n))
}

// plural is a count of things: "1 portion", "158 portions".
func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return count(n) + " " + many
}

// percent shows a share of 1 with one decimal: "17.5%".
func percent(share float64) string {
	text := strconv.FormatFloat(100*share, 'f', 1, 64)
	if text == "-0.0" {
		text = "0.0"
	}
	return text + "%"
}

// smaller are the units in which little of something is weighed or poured.
var smaller = map[string]struct {
	unit string
	per  float64
}{"kg": {"g", 1000}, "L": {"mL", 1000}, "lb": {"oz", 16}}

// dust is an amount that only the rounding of sums leaves.
const dust = 1e-9

// number is the one way in which an amount is written: four digits that mean something, and no more than three decimals.
func number(x float64) string {
	if math.Abs(x) < 1 {
		x = math.Round(x*1000) / 1000
	}
	return measure.FormatNumber(x)
}

// inUnit shows quantities of one thing in its unit, or all in a smaller one where none of them is a tenth of it.
func inUnit(unit string, quantities ...float64) (shown []string, in string) {
	most := 0.0
	for _, x := range quantities {
		most = max(most, math.Abs(x))
	}
	per := 1.0
	if s, ok := smaller[unit]; ok && most > dust && most < 0.1 {
		unit, per = s.unit, s.per
	}
	for _, x := range quantities {
		shown = append(shown, number(x*per))
	}
	return shown, unit
}

// amount shows one quantity that was worked out, as a scale shows it, with its unit: "805 g" of 0.8047 kg.
func amount(x float64, unit string) string {
	u, err := measure.UnitNamed(unit)
	switch {
	case err == nil && u == measure.Each && math.Abs(x) > dust:
		return inPieces(x) + " " + unit
	case err != nil || u.Kind == measure.Count || math.Abs(x) <= dust:
		return written(x, unit)
	}
	q := measure.Quantity{Amount: x, Unit: u}.Handy().OnScale()
	if text := q.String(); q.Unit.Name == "lb" && strings.HasSuffix(text, " oz") { // 2 lb 2 oz
		return text
	}
	return number(q.Amount) + " " + q.Unit.Of(q.Amount)
}

// onScale shows two quantities of one thing as a scale shows them, in the unit that is handy for the larger.
func onScale(unit string, a, b float64) (shown [2]string, in string) {
	u, err := measure.UnitNamed(unit)
	if err == nil && u == measure.Each {
		return [2]string{inPieces(a), inPieces(b)}, unit
	}
	if err != nil || u.Kind == measure.Count {
		two, in := inUnit(unit, a, b)
		return [2]string{two[0], two[1]}, in
	}
	handy := measure.Quantity{Amount: max(math.Abs(a), math.Abs(b)), Unit: u}.Handy().Unit
	for n, x := range []float64{a, b} {
		shown[n] = number(measure.Quantity{Amount: x * u.Factor / handy.Factor, Unit: handy}.OnScale().Amount)
	}
	return shown, handy.Name
}

// inPieces is how many there are of what is counted, in a table: 0.75, 36.
func inPieces(x float64) string {
	n := measure.Pieces(x)
	if n == 0 && x > dust {
		return "<0.25"
	}
	return number(n)
}

// pack is what a pack holds: as the file writes it, or on the scale in the unit that the file asks for with what stands on it behind.
func pack(x float64, unit, onPack string) string {
	if onPack == "" {
		return written(x, unit)
	}
	return amount(x, unit) + " (" + onPack + ")"
}

// written shows one quantity with its unit as somebody wrote it, on a card, a pack or in the log book.
func written(x float64, unit string) string {
	shown, unit := inUnit(unit, x)
	if u, err := measure.UnitNamed(unit); err == nil {
		unit = u.Of(x)
	}
	return shown[0] + " " + unit
}

// things is an amount with its name: "14 stewing hens", "12 kg pork trotters". many is what several are called.
func things(x float64, unit, name, many string) string {
	if unit != "each" {
		return amount(x, unit) + " " + name
	}
	return kitchen.PiecesOf(x, name, many)
}

// soMany is an amount beside the name of what it is of: "12 kg", and of what is counted one by one "14".
func soMany(x float64, unit string) string { return strings.TrimSuffix(amount(x, unit), " each") }

// list joins names: "a, b and c".
func list(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
}
