package measure

import (
	"math"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestParse(t *testing.T) {
	for _, c := range []struct {
		written string
		base    float64
		printed string
	}{
		{"450 mL", 450, "450 mL"},
		{"450mL", 450, "450 mL"},
		{"12 kg", 12000, "12 kg"},
		{"1 1/2 cup", 1.5 * 236.5882365, "1½ cups"},
		{"1/2 lb", 226.796185, "0.5 lb"},
		{"2/3 cup", 2.0 / 3 * 236.5882365, "⅔ cup"},
		{"2 doz", 24, "2 doz"},
		{"3 uk fl oz", 3 * 28.4130625, "3 uk fl oz"},
		{"0.25 L", 250, "0.25 L"},
		{"0 g", 0, "0 g"},
		// Sums as GNU units 2.22 does them.
		{"8 lb", 3628.73896, "8 lb"},
		{"6 qt", 5678.117676, "6 qt"},
		{"40 qt", 37854.11784, "40 qt"},
		{"2.5 gal", 320 * 29.5735295625, "2.5 gal"},
		{"105 fl oz", 3105.2206040625, "105 fl oz"}, // a no. 10 can
		{"4 oz", 113.3980925, "4 oz"},               // a stick of butter
	} {
		q, err := Parse(c.written)
		if assert.NoError(t, err, c.written) {
			if c.base == 0 {
				assert.Zero(t, q.Base())
			} else {
				assert.InEpsilon(t, c.base, q.Base(), 1e-11, c.written)
			}
			assert.Equal(t, c.printed, q.String())
		}
	}
}

func TestParsePrefix(t *testing.T) {
	for _, c := range []struct{ written, quantity, rest string }{
		{"450 mL pozole broth", "450 mL", "pozole broth"},
		{"2 fl oz lime juice", "2 fl oz", "lime juice"},
		{"2 uk fl oz lime juice", "2 uk fl oz", "lime juice"},
		{"1 1/2 cup cooked hominy", "1½ cups", "cooked hominy"},
		{"8 each stewing hen", "8 each", "stewing hen"},
		{"3 each cup cakes", "3 each", "cup cakes"},
		{"2 kg", "2 kg", ""},
		{"2  kg  lard", "2 kg", "lard"},
		{"1 oz fl oz", "1 oz", "fl oz"}, // the unit is the longest that stands first
	} {
		q, rest, err := ParsePrefix(c.written)
		if assert.NoError(t, err, c.written) {
			assert.Equal(t, c.quantity, q.String())
			assert.Equal(t, c.rest, rest)
		}
	}
}

func TestParseFaults(t *testing.T) {
	for _, c := range []struct {
		written string
		want    Error
	}{
		{"", Error{Msg: "a number is missing", Hint: "write a number such as 450, 1.5, 1/2 or 1 1/2", Len: 0}},
		{"kg", Error{Msg: `"kg" is not a number`, Hint: "write a number such as 450, 1.5, 1/2 or 1 1/2", Len: 2,
			NoNumber: true}},
		{"450", Error{Msg: "a unit is missing", Hint: "write a unit such as g, kg, mL, L or each after the number",
			Len: 3}},
		{"8 stewing hen", Error{Msg: `no unit after the number in "8 stewing hen"`,
			Hint: `write "8 each stewing hen" to count, or a unit such as g, kg, mL or L`, At: 2, Len: 7}},
		{"450 mll broth", Error{Msg: `unknown unit "mll"`, Hint: `did you mean "mL"?`, At: 4, Len: 3}},
		{"2 T lard", Error{Msg: `unknown unit "T"`, Hint: "write tsp or tbsp", At: 2, Len: 1}},
		{"1,5 kg", Error{Msg: `number "1,5" has a comma`,
			Hint: "write 1.5 for one and a half and 1500 for fifteen hundred", Len: 3}},
		{"-2 kg", Error{Msg: `number "-2" has a sign`, Hint: "numbers here are zero or more, without a sign", Len: 2}},
		{"+2 kg", Error{Msg: `number "+2" has a sign`, Hint: "numbers here are zero or more, without a sign", Len: 2}},
		{"Inf kg", Error{Msg: `"Inf" is not a number that can be measured`, Hint: "write a number such as 450 or 1.5",
			Len: 3}},
		{"NaN kg", Error{Msg: `"NaN" is not a number that can be measured`, Hint: "write a number such as 450 or 1.5",
			Len: 3}},
		{"1/0 kg", Error{Msg: `"1/0" divides by zero`, Hint: "write a fraction such as 1/2", Len: 3}},
		{"0/0 kg", Error{Msg: `"0/0" divides by zero`, Hint: "write a fraction such as 1/2", Len: 3}},
		{"2000000000000 kg", Error{Msg: "number is too large", Hint: "the largest is 1000000000000", Len: 13}},
		{strings.Repeat("9", 400) + " kg", Error{Msg: "number is too large", Hint: "the largest is 1000000000000",
			Len: 400}},
		{"1/" + strings.Repeat("9", 400) + " kg", Error{Msg: "number is too small to tell from nothing",
			Hint: "the smallest is 0.000000001", Len: 402}},
		{"0." + strings.Repeat("0", 400) + "1 kg", Error{Msg: "number is too small to tell from nothing",
			Hint: "the smallest is 0.000000001", Len: 403}},
		{"1-2 tsp salt", Error{Msg: `"1-2" is a range`, Hint: "write one amount, such as the larger: 2 tsp salt", Len: 4}},
		{"10 to 12 clams", Error{Msg: `"10 to 12" is a range`, Hint: "write one amount, such as the larger: 12 clams", Len: 9}},
		{"2 kg lard", Error{Msg: `"lard" stands after the quantity`, Hint: `write only "2 kg"`, At: 5, Len: 4}},
	} {
		_, err := Parse(c.written)
		c.want.NoUnit = strings.HasPrefix(c.want.Msg, "unknown unit") || strings.HasPrefix(c.want.Msg, "no unit")
		assert.Equal(t, &c.want, err, "%.40s", c.written)
	}
	assert.EqualError(t, &Error{Msg: "found this", Hint: "write that"}, "found this: write that")
	assert.EqualError(t, &Error{Msg: "found this"}, "found this")
}

func TestFormatNumber(t *testing.T) {
	for x, want := range map[float64]string{
		0: "0", math.Copysign(0, -1): "0", 1: "1", 1.5: "1.5", 0.125: "0.125", 1.0 / 3: "0.3333", 12.3456: "12.35",
		1234.56: "1235",
		123456:  "123456", 1e12: "1000000000000", 0.000012345: "0.00001234", -2.50: "-2.5", 999.96: "1000", 0.99999: "1",
	} {
		assert.Equal(t, want, FormatNumber(x))
	}
}

// What is printed can be read, and is the same to four digits, or by the third of a cup or spoon that is meant.
func TestPrintedQuantitiesCanBeRead(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u := rapid.SampledFrom(units).Draw(t, "unit").Unit
		q := Quantity{rapid.Float64Range(1e-5, 1e9).Draw(t, "amount"), u}
		if q.Base() < 1e-5 {
			t.Skip("less than any scale shows")
		}
		near := 6e-4 * q.Amount
		if u.Spooned() {
			near = max(near, 0.004) // of a cup or spoon, 0.33 is a third
		}
		back, err := Parse(q.String())
		if err != nil || back.Unit != q.Unit || math.Abs(back.Amount-q.Amount) > near {
			t.Fatalf("%v is printed as %q and read as %v, %v", q.Amount, q, back, err)
		}
	})
}

// What only the rounding of sums leaves is nothing, and no number is drawn out into a row of zeros.
func TestNoDustIsPrinted(t *testing.T) {
	for _, x := range []float64{1.776e-15, 3.1e-16, -4.4e-16, math.Copysign(0, -1)} {
		assert.Equal(t, "0", FormatNumber(x))
		assert.Equal(t, "0 each", Quantity{x, Unit{Name: "each", Kind: Count, Factor: 1}}.String())
	}
	rapid.Check(t, func(t *rapid.T) {
		u := rapid.SampledFrom(units).Draw(t, "unit").Unit
		sum, parts := 0.0, rapid.SliceOfN(rapid.Float64Range(0, 1e6), 1, 20).Draw(t, "grams")
		for _, x := range parts {
			sum += x
		}
		for _, x := range parts {
			sum -= x
		}
		if got := (Quantity{sum / u.Factor, u}).String(); got != "0 "+u.Of(0) {
			t.Fatalf("%v of nothing is printed as %q", sum, got)
		}
		x := rapid.Float64().Draw(t, "number")
		if got := FormatNumber(x); math.Abs(x) < mostNumber && len(got) > len("-0.000000001000") {
			t.Fatalf("%v is printed as %q", x, got)
		}
	})
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"450 mL", "1 1/2 cup", "8 stewing hen", "1,5 kg", "-2 kg", "1/0 g", "2 uk fl oz x",
		"9e9 kg", "NaN g", "0 g", "½ cup", " 1 g"} {
		f.Add(s)
	}
	fits := regexp.MustCompile("^(?:" + NumberPattern + " *" + UnitPattern(Weight, Volume, Count) + ")")
	f.Fuzz(func(t *testing.T, s string) {
		q, rest, err := ParsePrefix(s)
		if err != nil {
			e, ok := err.(*Error)
			require.True(t, ok)
			require.NotEmpty(t, e.Msg)
			require.True(t, 0 <= e.At && 0 <= e.Len && e.At+e.Len <= len(s), "%+v of %q", e, s)
			return
		}
		require.False(t, math.IsNaN(q.Amount) || math.IsInf(q.Base(), 0) || q.Amount < 0, "%q is %v", s, q)
		require.True(t, strings.HasSuffix(s, rest))
		require.Regexp(t, fits, s)
		if q.Amount == 0 {
			return
		}
		back, err := Parse(q.String())
		if q.Amount >= 1e-8 { // below, four digits may not reach the smallest number
			require.NoError(t, err)
			require.Equal(t, q.Unit, back.Unit)
		}
	})
}
