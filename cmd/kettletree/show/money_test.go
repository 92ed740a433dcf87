package show

// Money: what is shown adds up.

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"kettletree/graph/measure"
)

func sum(parts []int64) (total int64) {
	for _, p := range parts {
		total += p
	}
	return total
}

// Joint costs shared to the cent. The sources give the exact shares; that the rounded ones add up to the joint cost is
// the law that is tested.
func TestPartsAddUpToTheCent(t *testing.T) {
	m := MoneyOf("USD")
	for _, c := range []struct {
		source string
		shares []float64
		want   []int64
	}{
		// Joint cost 50,000 shared by the sales values 25,200 and 27,000: 24,137.93 and 25,862.07.
		// The inputs are a published exercise's; the shares are arithmetic.
		{"sales value", []float64{50000 * 25200 / 52200.0, 50000 * 27000 / 52200.0}, []int64{2413793, 2586207}},
		// Joint cost 53,000 by constant gross margin: 19,425.53 and 33,574.47; the exercise prints 19,428, for it
		// rounds the margin first (wizedu.com/questions/186656).
		{"constant gross margin", []float64{
			12500*4.5*(1-(176250-101600)/176250.0) - 13000,
			15000*8*(1-(176250-101600)/176250.0) - 35600,
		}, []int64{1942553, 3357447}},
		// OpenStax, Principles of Accounting, vol. 2: Managerial Accounting, 10.5: 66,000 over 44 lb and 66 lb.
		{"weight", []float64{66000 * 44 / 110.0, 66000 * 66 / 110.0}, []int64{2640000, 3960000}},
		// Arithmetic: thirds of a dollar, and a share below zero.
		{"thirds", []float64{1 / 3.0, 1 / 3.0, 1 / 3.0}, []int64{34, 33, 33}},
		{"sevenths", []float64{1 / 7.0, 2 / 7.0, 4 / 7.0}, []int64{14, 29, 57}},
		{"below zero", []float64{-5.005, 15.005}, []int64{-500, 1500}},
		{"nothing", []float64{0, 0}, []int64{0, 0}},
		{"one", []float64{2.675}, []int64{268}},
		{"none", nil, []int64{}},
	} {
		got := m.Parts(c.shares...)
		assert.Equal(t, c.want, got, c.source)
		total := 0.0
		for _, s := range c.shares {
			total += s
		}
		assert.Equal(t, m.Units(total), sum(got), c.source)
	}
}

// Parts add up to the rounded total, and none is a whole unit off.
func TestPartsLaw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := MoneyOf(rapid.SampledFrom([]string{"USD", "JPY", "KWD", ""}).Draw(t, "currency"))
		shares := rapid.SliceOfN(rapid.Float64Range(-1e6, 1e6), 1, 20).Draw(t, "shares")
		parts := m.Parts(shares...)
		total := 0.0
		for i, s := range shares {
			total += s
			exact := s
			for range m.decimals {
				exact *= 10
			}
			if d := float64(parts[i]) - exact; d < -1 || d > 1 {
				t.Fatalf("part %v of %v is %d off", parts[i], s, int(d))
			}
		}
		if got, want := sum(parts), m.Units(total); got != want {
			t.Fatalf("parts add up to %d, not %d", got, want)
		}
	})
}

// An amount that was worked out is written as a scale shows it: with three decimals at most, and within half a step of the scale, or six
// in a thousand of a unit that no scale has.
func TestAmountLaw(t *testing.T) {
	form := regexp.MustCompile(`^(-?[0-9]+(?:\.[0-9]{1,3})?) ([a-z A-Z]+)$`)
	rapid.Check(t, func(t *rapid.T) {
		unit := rapid.SampledFrom([]string{"kg", "g", "L", "mL", "lb", "oz", "qt", "each", "batch"}).Draw(t, "unit")
		x := rapid.OneOf(rapid.Float64Range(-1e9, 1e9), rapid.Float64Range(-1, 1), rapid.Float64Range(-1e-12, 1e-12)).Draw(t, "amount")
		if unit == "each" { // in quarters, from ten on whole
			was, off := strings.TrimSuffix(amount(x, unit), " each"), 0.126
			if math.Abs(x) >= 10 {
				off = max(0.51, 0.00051*math.Abs(x))
			}
			if was == "<0.25" && x > 0 && x < 0.125 {
				return
			}
			if got, err := strconv.ParseFloat(was, 64); err != nil || math.Abs(got-x) > off || was == "-0" {
				t.Fatalf("%v each is written %q", x, was)
			}
			return
		}
		var pounds, ounces float64
		if n, _ := fmt.Sscanf(amount(x, unit), "%f lb %f oz", &pounds, &ounces); n == 2 { // a card's own
			if math.Abs(x*map[string]float64{"lb": 16, "oz": 1}[unit]-16*pounds-ounces) > 1e-6 {
				t.Fatalf("%v %s is written %q", x, unit, amount(x, unit))
			}
			return
		}
		m := form.FindStringSubmatch(amount(x, unit))
		if m == nil {
			t.Fatalf("%v %s is written %q", x, unit, amount(x, unit))
		}
		got, _ := strconv.ParseFloat(m[1], 64)
		of, err := measure.UnitNamed(unit)
		if err != nil {
			of = measure.Each
		}
		in, err := measure.UnitNamed(m[2])
		if err != nil {
			in = of
		}
		base, step := x*of.Factor, 10.0
		switch {
		case in.Name == "lb":
			step = 0.05 * in.Factor
		case in.Name == "oz":
			step = 0.1 * in.Factor
			if math.Abs(got) > 16 {
				step = 0.5 * in.Factor
			}
		case in.Name == "qt":
			step = 0.05 * in.Factor
		case in.Name == "fl oz":
			step = 0.1 * in.Factor
			if math.Abs(got) > 16 {
				step = 0.5 * in.Factor
			}
		case in.Kind == measure.Count:
			step = 0.001
		case math.Abs(base) < 10:
			step = 0.1
		case math.Abs(base) < 100:
			step = 1
		case math.Abs(base) < 1000:
			step = 5
		}
		if off := math.Abs(got*in.Factor - base); off > max(0.51*step, 0.0061*math.Abs(base), 0.00051*in.Factor) {
			t.Fatalf("%v %s is written %q", x, unit, m[0])
		}
		if m[1] == "-0" {
			t.Fatalf("%v is written %q", x, m[1])
		}
	})
}

// The decimals of currencies: ISO 4217.
func TestShow(t *testing.T) {
	for _, c := range []struct {
		code   string
		amount float64
		want   string
	}{
		{"USD", 1843.2, "1,843.20 USD"},
		{"USD", 1.005, "1.01 USD"}, // a hair below in floating point
		{"USD", -1.005, "-1.01 USD"},
		{"USD", -0.001, "0.00 USD"},
		{"USD", 0, "0.00 USD"},
		{"USD", 999.999, "1,000.00 USD"},
		{"USD", -1234567.5, "-1,234,567.50 USD"},
		{"JPY", 1843.5, "1,844 JPY"},
		{"JPY", 0.4, "0 JPY"},
		{"KWD", 1.0005, "1.001 KWD"},
		{"", 3.5, "3.50"},
	} {
		assert.Equal(t, c.want, MoneyOf(c.code).Name(c.amount), "%v %s", c.amount, c.code)
	}
	m := MoneyOf("USD")
	assert.Equal(t, "+12.00", m.Change(1200))
	assert.Equal(t, "-12.00", m.Change(-1200))
	assert.Equal(t, "0.00", m.Change(0))
	for x, want := range map[float64]string{0: "0.00", 13.364: "13.36", 2.131: "2.13", 0.0494: "0.0494", 0.95: "0.950",
		1234.5: "1,234.50", -0.0494: "-0.0494", 1e-12: "0.00"} {
		assert.Equal(t, want, m.Rate(x))
	}
	assert.Equal(t, "+0.0530", m.FineChange(0.05299))
	assert.Equal(t, "0.0000", m.FineChange(-1e-9))
	assert.Equal(t, "1,005", count(1005))
	assert.Equal(t, "-1,005", count(-1005))
}
