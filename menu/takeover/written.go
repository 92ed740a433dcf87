package takeover

// Quantities and money as they are written into the kitchen file and shown.

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"golang.org/x/text/currency"

	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
)

// handy is a quantity in the unit that a scale shows it in: 300 g, not 0.3 kg.
func handy(q measure.Quantity) measure.Quantity {
	if q.Unit.Name == "doz" && q.Amount < 1 {
		q = measure.Quantity{Amount: q.Base(), Unit: measure.Each}
	}
	for _, less := range [][2]string{{"kg", "g"}, {"L", "mL"}, {"lb", "oz"}, {"gal", "qt"}, {"qt", "fl oz"}} {
		if q.Unit.Name == less[0] && q.Amount < 1 {
			if u, err := measure.UnitNamed(less[1]); err == nil {
				q = measure.Quantity{Amount: q.Base() / u.Factor, Unit: u}
			}
		}
	}
	return q
}

// sum is money with two decimals, or more where it has more: a gram of what is cheap costs less than 0.0001.
func sum(n float64) string {
	decimals := 4
	if n > 0 && n < 1 {
		decimals = 4 - int(math.Floor(math.Log10(n)))
	}
	text := strings.TrimRight(strconv.FormatFloat(n, 'f', decimals, 64), "0")
	if at := strings.IndexByte(text, '.'); len(text)-at < 3 {
		text += strings.Repeat("0", 3-(len(text)-at))
	}
	return text
}

// fractions are the parts that cooks type on cards.
var fractions = map[float64]string{0.125: "1/8", 0.25: "1/4", 0.375: "3/8", 0.5: "1/2", 0.625: "5/8", 0.75: "3/4", 0.875: "7/8"}

// written is a quantity as a card has it: "1 1/2 cups", "1/2 bunch", "1.5 kg".
func written(q measure.Quantity) string {
	whole, part := math.Modf(q.Amount)
	if text, ok := fractions[part]; ok && (q.Unit.Kind == measure.Count || q.Unit.Spooned()) {
		if whole > 0 {
			text = measure.FormatNumber(whole) + " " + text
		}
		return text + " " + q.Unit.Of(q.Amount)
	}
	return measure.FormatNumber(q.Amount) + " " + q.Unit.Of(q.Amount)
}

// each is what one unit of an item costs: "1.40/kg", "9.00 each". Small prices keep the digits that mean something.
func each(k *kitchen.Kitchen, item int, price float64) string {
	u, decimals := k.Written(item), 2
	if c, err := currency.ParseISO(k.Money); err == nil {
		decimals, _ = currency.Standard.Rounding(c)
	}
	money := strconv.FormatFloat(price*u.Factor, 'f', decimals, 64)
	if shown, _ := strconv.ParseFloat(money, 64); math.Abs(shown-price*u.Factor) > 0.005*price*u.Factor {
		money = sum(price * u.Factor)
	}
	if u.Name == measure.Each.Name {
		return money + " each"
	}
	return fmt.Sprintf("%s/%s", money, u.Name)
}
