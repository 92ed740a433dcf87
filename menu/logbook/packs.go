package logbook

// Packs times size: "6 x 2 kg", columns for packs and their size, and quantities that count packs.

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"kettletree/graph/measure"
)

// packWords stand for a number of packs, whose size is to be said.
var packWords = []string{"pack", "packs", "case", "cases", "box", "boxes", "bag", "bags", "tray", "trays", "carton", "cartons", "sack",
	"sacks", "crate", "crates", "tub", "tubs", "bucket", "buckets", "tin", "tins", "jar", "jars", "bottle", "bottles"}

var (
	timesSize = regexp.MustCompile(`^(` + measure.NumberPattern + `) ?[x×*] ?([0-9].*)$`)
	ofPacks   = regexp.MustCompile(`^(` + measure.NumberPattern + `) ?([A-Za-z]+)\.?$`)
)

// amount is how much came, in words that can be measured, and the cell that says it.
func (r *rowReader) amount() (words string, at cell, ok bool) {
	quantity, packs, size := r.field("quantity"), r.field("packs"), r.field("pack size")
	unit := r.field("unit").text
	if onlyNumber.MatchString(size.text) && r.header.units["pack size"] != "" {
		size.text += " " + r.header.units["pack size"]
	}
	if unit == "" {
		unit = r.header.units["quantity"]
	}
	inPacks := slices.Contains(packWords, strings.ToLower(strings.TrimSuffix(unit, ".")))
	if m := ofPacks.FindStringSubmatch(quantity.text); m != nil && slices.Contains(packWords, strings.ToLower(m[2])) {
		quantity.text, inPacks = m[1], true // "6 cases"
	}
	number := onlyNumber.MatchString(quantity.text)
	switch {
	case packs.text != "" && size.text != "":
		if onlyNumber.MatchString(size.text) && !inPacks {
			size.text = strings.TrimSpace(size.text + " " + unit)
		}
		words, ok = r.multiplied(packs.text+" x "+size.text, packs)
		if ok && quantity.text != "" {
			ok = r.agrees(quantity, unit, words)
		}
		return words, packs, ok
	case quantity.text == "" && packs.text != "":
		r.fail(packs, "bad-quantity", `add a column "pack size", such as 2 kg`, "it is not said how much is in a pack")
		return "", packs, false
	case size.text == "" && number && inPacks:
		r.fail(quantity, "bad-quantity", `add a column "pack size", such as 2 kg`, "%q counts packs, and it is not said how much is in one",
			quantity.text)
		return "", quantity, false
	case size.text == "" || !number || packs.text != "":
		words = quantity.text
		if number && unit != "" || timesSize.MatchString(words) && bare(words) {
			words = strings.TrimSpace(words + " " + unit)
		} else if r.field("unit").text != "" && !number {
			words += " " + unit // which is one unit too much: told when it is measured
		}
		words, ok = r.multiplied(words, quantity)
		return words, quantity, ok
	case unit == "" || inPacks:
		words, ok = r.multiplied(quantity.text+" x "+size.text, quantity)
		return words, quantity, ok
	}
	u, err := measure.UnitNamed(unit)
	if err != nil || u.Kind == measure.Count || onlyNumber.MatchString(size.text) {
		r.fail(quantity, "bad-quantity", `name the column "packs" where it counts packs, or take "pack size" out of the header`,
			"%s may be %s of them in all, or so many packs of %s", quantity.text+" "+unit, quantity.text, size.text)
		return "", quantity, false
	}
	words, ok = r.multiplied(quantity.text+" "+unit, quantity)
	return words, quantity, ok
}

// bare tells whether "6 x 2" has no unit.
func bare(words string) bool {
	m := timesSize.FindStringSubmatch(words)
	return m != nil && (onlyNumber.MatchString(m[2]) || bare(m[2]))
}

// multiplied works "6 x 2 kg" out, and leaves other words as they are.
func (r *rowReader) multiplied(words string, at cell) (string, bool) {
	factor, rest := 1.0, words
	for m := timesSize.FindStringSubmatch(rest); m != nil; m = timesSize.FindStringSubmatch(rest) {
		n, _, err := measure.Number(m[1])
		if err != nil {
			r.misread(at, "bad-quantity", err)
			return words, false
		}
		factor, rest = factor*n, m[2]
	}
	if rest == words {
		return words, true
	}
	q, err := measure.Parse(rest)
	if err != nil {
		e := *err.(*measure.Error)
		r.fail(at, "bad-quantity", e.Hint, "of %q: %s", words, e.Msg)
		return words, false
	}
	if q.Amount *= factor; q.Amount > mostPacked {
		r.fail(at, "bad-quantity", "write packs and their size as 6 x 2 kg", "%q is too much", words)
		return words, false
	}
	r.take(&r.file.Packs, words, exactly(q))
	return exactly(q), true
}

// mostPacked bounds what packs come to.
const mostPacked = 1e9

// agrees tells whether a quantity that is said beside packs and their size is the same.
func (r *rowReader) agrees(quantity cell, unit, words string) bool {
	said := quantity.text
	if onlyNumber.MatchString(said) {
		said = strings.TrimSpace(said + " " + unit)
	}
	packed, err := measure.Parse(words)
	if err != nil {
		return true // told when it is measured
	}
	same := func(a, b float64) bool { return math.Abs(a-b) <= 1e-6*math.Max(a, b) }
	if q, err := measure.Parse(said); err == nil {
		if q.Unit.Kind == packed.Unit.Kind && same(q.Base(), packed.Base()) {
			return true
		}
	} else if n, err := strconv.ParseFloat(said, 64); err == nil && same(n, packed.Amount) {
		return true
	}
	r.fail(quantity, "bad-quantity", "correct one of them", "%s", fmt.Sprintf("%q is not what the packs come to, %s", said, words))
	return false
}
