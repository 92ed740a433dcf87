package takeover

// Amounts as the trade writes them: decimals parted by commas, units by many names, packs times size, all in one cell.

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
)

// decimals is what parts decimals in a file.
type decimals uint8

const (
	unsure decimals = iota // nothing in the file tells
	byPoint
	byComma
)

var (
	aNumber   = regexp.MustCompile(`[0-9]+(?:[.,'’\x{00A0}\x{202F}][0-9]+)*`)
	sureComma = regexp.MustCompile(`(?:^|[^0-9.,])(?:0,[0-9]+|[0-9]+,(?:[0-9]{1,2}|[0-9]{4,})|[1-9][0-9]{0,2}(?:\.[0-9]{3}){2,})(?:[^0-9.,]|$)|[0-9]\.[0-9]{3},[0-9]`)
	surePoint = regexp.MustCompile(`(?:^|[^0-9.,])(?:0\.[0-9]+|[0-9]+\.(?:[0-9]{1,2}|[0-9]{4,})|[1-9][0-9]{0,2}(?:,[0-9]{3}){2,})(?:[^0-9.,]|$)|[0-9],[0-9]{3}\.[0-9]`)
	grouped   = regexp.MustCompile(`^[1-9][0-9]{0,2}(?:[.,'’\x{00A0}\x{202F}][0-9]{3})+$`)
)

// survey tells what parts decimals in a file, from all numbers that can be read one way only: "1,500" and "1.500" are none of them. Where
// they speak for both, and not plainly for one, nothing tells.
func survey(grids []*logbook.Grid) decimals {
	comma, point := 0, 0
	for _, g := range grids {
		for _, r := range g.Rows {
			for n, text := range r.Texts() {
				if r.IsNumber(n) || !strings.ContainsAny(text, ".,") {
					continue
				}
				if sureComma.MatchString(text) {
					comma++
				}
				if surePoint.MatchString(text) {
					point++
				}
			}
		}
	}
	const plainly = 4 // times as many: the others are slips
	switch {
	case comma > plainly*point:
		return byComma
	case point > plainly*comma:
		return byPoint
	}
	return unsure
}

// twofold is a number that may be one with decimals or one of thousands, in a file that does not tell.
type twofold struct{ number string }

// Two are what it may be, as they are written with points.
func (e *twofold) Two() (decimal, thousands string) {
	return strings.Replace(e.number, ",", ".", 1), strings.NewReplacer(",", "", ".", "").Replace(e.number)
}

func (e *twofold) Error() string {
	decimal, thousands := e.Two()
	return fmt.Sprintf("%q may be %s or %s, and no other number of the file tells", e.number, decimal, thousands)
}

// plainly writes the numbers of a text with points. A number that could be two is a [*twofold].
func (d decimals) plainly(text string) (plain string, err error) {
	plain = aNumber.ReplaceAllStringFunc(text, func(number string) string {
		bare := strings.NewReplacer("'", "", "’", "", "\u00A0", "", "\u202F", "").Replace(number)
		dot, comma := strings.LastIndexByte(bare, '.'), strings.LastIndexByte(bare, ',')
		switch {
		case dot < 0 && comma < 0:
			return bare
		case dot >= 0 && comma >= 0: // the last one parts decimals
			if dot > comma {
				return strings.ReplaceAll(bare, ",", "")
			}
			return strings.Replace(strings.ReplaceAll(bare, ".", ""), ",", ".", 1)
		}
		sign := byte('.')
		if comma >= 0 {
			sign = ','
		}
		many := strings.Count(bare, string(sign)) > 1
		groups := grouped.MatchString(bare)
		switch {
		case many && groups, groups && sign == ',' && d == byPoint, groups && sign == '.' && d == byComma:
			return strings.ReplaceAll(bare, string(sign), "")
		case many:
			if err == nil {
				err = &measure.Error{Msg: fmt.Sprintf("%q is no number", number), Hint: "write it without what parts thousands"}
			}
			return number
		case groups && d == unsure:
			if err == nil {
				err = &twofold{number}
			}
			return number
		}
		return strings.Replace(bare, ",", ".", 1)
	})
	return plain, err
}

// tradeUnits are further names of units, in small letters.
var tradeUnits = map[string]string{
	"gr": "g", "grs": "g", "gramm": "g", "gramo": "g", "gramos": "g", "克": "g", "kgs": "kg", "kilogramm": "kg", "公斤": "kg", "千克": "kg", "#": "lb", "libra": "lb", "libras": "lb",
	"lt": "L", "lts": "L", "ltr": "L", "ltrs": "L", "litro": "L", "litros": "L", "升": "L", "毫升": "mL",
	"tbs": "tbsp", "tbl": "tbsp", "tb": "tbsp", "el": "tbsp", "cda": "tbsp", "cdas": "tbsp", "ts": "tsp", "tl": "tsp", "cdta": "tsp", "cdtas": "tsp",
	"taza": "cup", "tazas": "cup", "c": "cup", "galon": "gal", "galón": "gal",
	"ct": "each", "count": "each", "unit": "each", "units": "each", "no": "each", "stk": "each", "stück": "each", "pieza": "each", "piezas": "each", "pza": "each",
	"pzas": "each", "unidad": "each", "unidades": "each", "ud": "each", "uds": "each", "u": "each", "个": "each", "只": "each",
	"dz": "doz", "docena": "doz", "docenas": "doz", "dutzend": "doz", "打": "doz", "bund": "bunch", "bd": "bunch", "manojo": "bunch", "manojos": "bunch", "把": "bunch",
	"bnch": "bunch", "bun": "bunch", "diente": "clove", "dientes": "clove", "zehe": "clove", "zehen": "clove", "lata": "can", "latas": "can", "dose": "can", "dosen": "can",
	"botella": "bottle", "botellas": "bottle", "btl": "bottle", "flasche": "bottle", "pizca": "pinch", "prise": "pinch", "hoja": "sheet", "cabeza": "head", "cabezas": "head",
}

// tradeUnit is a unit as this program names it, or as it is written.
func tradeUnit(text string) string {
	text = strings.TrimSpace(text)
	if name, ok := tradeUnits[strings.ToLower(strings.TrimSuffix(text, "."))]; ok {
		return name
	}
	return text
}

// packWords count packs, whose size is to be known.
var packWords = []string{"case", "cases", "cs", "pack", "packs", "pk", "pkt", "packet", "packets", "carton", "cartons", "ctn", "sack", "sacks", "crate", "crates",
	"bucket", "buckets", "box", "boxes", "bx", "bag", "bags", "tray", "trays", "tub", "tubs", "caja", "cajas", "saco", "sacos", "kiste", "kisten", "karton", "ktn", "箱", "袋"}

func isPack(unit string) bool {
	return slices.Contains(packWords, strings.ToLower(strings.TrimSuffix(strings.TrimSpace(unit), ".")))
}

var (
	hyphened  = regexp.MustCompile(`^([0-9]+)-([0-9]+/[0-9]+)`)
	timesSize = regexp.MustCompile(`^(` + measure.NumberPattern + `)(?: ?[A-Za-z.]+)? ?[x×*] ?([0-9].*)$`)
	numberEnd = regexp.MustCompile(`^(` + measure.NumberPattern + `) ?(.*)$`)
)

// amountOf reads a quantity, and what stands behind it. A unit that nobody knows is named by its word: then ok is false.
func amountOf(text string) (q measure.Quantity, rest, unknown string, ok bool) {
	text = hyphened.ReplaceAllString(strings.TrimSpace(text), "$1 $2")
	if m := timesSize.FindStringSubmatch(text); m != nil {
		if n, _, err := measure.Number(m[1]); err == nil {
			if q, rest, _, ok = amountOf(m[2]); ok && n > 0 {
				q.Amount *= n
				return q, rest, "", true
			}
		}
	}
	q, rest, err := measure.ParsePrefix(text)
	if err == nil {
		return q, strings.TrimSpace(rest), "", true
	}
	m := numberEnd.FindStringSubmatch(text)
	if m == nil {
		return q, text, "", false
	}
	n, _, err := measure.Number(m[1])
	if err != nil {
		return q, text, "", false
	}
	word, after, _ := strings.Cut(strings.TrimSpace(m[2]), " ")
	if name := tradeUnit(word); name != word {
		if u, err := measure.UnitNamed(name); err == nil {
			return measure.Quantity{Amount: n, Unit: u}, strings.TrimSpace(after), "", true
		}
	}
	return measure.Quantity{Amount: n, Unit: measure.Each}, strings.TrimSpace(after), word, false
}

// nameOf is what is written of a thing as a name of a kitchen file: without bullets and commas; in small letters where all are capitals.
func nameOf(text string) string {
	text = strings.TrimSpace(strings.TrimLeft(text, "-–•*·>☐ "))
	text = strings.NewReplacer(",", " ", "@", " ", "=", " ", "±", " ", "+-", " ", "#", " ", ":", " ", ";", " ", "\"", "", "[", "(", "]", ")", "{", "(", "}", ")").Replace(text)
	words := strings.Fields(text)
	for n, w := range words {
		if strings.EqualFold(w, "or") {
			words[n] = "/"
		}
	}
	text = strings.Join(words, " ")
	if text == strings.ToUpper(text) {
		text = strings.ToLower(text)
	}
	if r := []rune(text); len(r) > kitchen.MostLetters {
		text = strings.TrimSpace(string(r[:kitchen.MostLetters]))
	}
	return text
}

// moneyOf is a price without its currency, and the sign or letters that stood for that.
func moneyOf(text string, d decimals) (number, currency string, err error) {
	bare := strings.TrimSpace(strings.Map(func(r rune) rune {
		if strings.ContainsRune("$€£¥", r) {
			currency += string(r)
			return -1
		}
		return r
	}, text))
	number, err = d.plainly(bare)
	return strings.TrimSpace(number), currency, err
}
