package measure

// The bridges between weight, volume and count.

import (
	"cmp"
	"fmt"
	"strings"
)

// Bridge is what is known of an item to convert between its weight, its volume and its number.
type Bridge struct {
	Density float64 // grams per millilitre; 0 when unknown
	Each    float64 // grams in one; 0 when unknown
	Holds   float64 // millilitres in one; 0 when unknown
}

// Convert leads an amount in base units of one kind to base units of another. Between volume and count the way leads
// over the weight, where it is not known what one holds. ok is false when the bridge that is needed is unknown.
func (b Bridge) Convert(amount float64, from, to Kind) (result float64, ok bool) {
	if from == to {
		return amount, true
	}
	switch {
	case b.Holds > 0 && from == Count && to == Volume:
		return amount * b.Holds, true
	case b.Holds > 0 && from == Volume && to == Count:
		return amount / b.Holds, true
	}
	perFrom, perTo := b.gramsPer(from), b.gramsPer(to)
	if perFrom == 0 || perTo == 0 {
		return 0, false
	}
	return amount * perFrom / perTo, true
}

// gramsPer is the weight of one base unit of a kind; 0 when unknown.
func (b Bridge) gramsPer(k Kind) float64 {
	switch k {
	case Volume:
		return b.Density
	case Count:
		return cmp.Or(b.Each, b.Holds*b.Density)
	}
	return 1
}

// ParseDensity reads a weight per volume, "1.01 kg/L" or "8 oz/cup", as grams per millilitre.
func ParseDensity(s string) (gramsPerMillilitre float64, err error) {
	fault := &Error{Msg: fmt.Sprintf("%q is not a density", s), Hint: "write a weight for a volume, such as 1.01 kg/L",
		Len: len(s)}
	slash := strings.LastIndex(s, "/") // the number may be a fraction
	if slash < 0 {
		return 0, fault
	}
	below := s[slash+1:]
	weight, err := Parse(strings.TrimRight(s[:slash], " "))
	if err != nil {
		err.(*Error).Hint = fault.Hint
		return 0, err
	}
	at := len(s) - len(strings.TrimLeft(below, " "))
	volume, err := UnitNamed(strings.Trim(below, " "))
	if err != nil {
		e := err.(*Error)
		e.At += at
		return 0, e
	}
	if weight.Unit.Kind != Weight || volume.Kind != Volume {
		return 0, fault
	}
	return weight.Base() / volume.Factor, nil
}
