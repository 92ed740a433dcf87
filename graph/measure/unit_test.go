package measure

import (
	"math"
	"os/exec"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The exact factors. Sources: pound, ounce and US volumes from NIST Handbook 44, appendix C, and NIST SP 811 (2008),
// appendix B, footnote 22; UK volumes from the Units of Measurement Regulations 1995 (the gallon is 4.546 09 L); the
// rest as GNU units 2.22 has them.
func TestFactors(t *testing.T) {
	for _, c := range []struct {
		name string
		kind Kind
		want float64
	}{
		{"g", Weight, 1}, {"kg", Weight, 1000}, {"mg", Weight, 0.001},
		{"lb", Weight, 453.59237}, {"oz", Weight, 28.349523125}, {"stone", Weight, 6350.29318},
		{"mL", Volume, 1}, {"cL", Volume, 10}, {"dL", Volume, 100}, {"L", Volume, 1000},
		{"gal", Volume, 3785.411784}, {"qt", Volume, 946.352946}, {"pt", Volume, 473.176473}, {"cup", Volume,
			236.5882365},
		{"fl oz", Volume, 29.5735295625}, {"tbsp", Volume, 14.78676478125}, {"tsp", Volume, 4.92892159375},
		{"bushel", Volume, 35239.07016688},
		{"uk gal", Volume, 4546.09}, {"uk qt", Volume, 1136.5225}, {"uk pt", Volume, 568.26125}, {"uk fl oz", Volume,
			28.4130625},
		{"metric cup", Volume, 250}, {"au tbsp", Volume, 20}, {"jp cup", Volume, 200},
		{"each", Count, 1}, {"doz", Count, 12},
	} {
		u, err := UnitNamed(c.name)
		require.NoError(t, err)
		assert.Equal(t, Unit{Name: c.name, Kind: c.kind, Factor: u.Factor, Many: u.Many}, u)
		assert.Equal(t, c.want, u.Factor, c.name) // exact: the constants are evaluated without rounding
	}
}

// SP 811, appendix B.8 prints the factors to seven digits; the exact ones round to them (from memory, but for the
// pound).
func TestFactorsRoundToThePrintedOnes(t *testing.T) {
	for name, printed := range map[string]float64{ // g and mL
		"lb": 4.535924e2, "gal": 3.785412e3, "cup": 2.365882e2, "fl oz": 2.957353e1, "tbsp": 1.478676e1,
		"tsp": 4.928922,
	} {
		u, err := UnitNamed(name)
		require.NoError(t, err)
		assert.InEpsilon(t, printed, u.Factor, 5e-7, name)
	}
}

func TestUnitSpellings(t *testing.T) {
	for written, want := range map[string]string{
		"G": "g", "grams": "g", "KG": "kg", "kilos": "kg", "lbs": "lb", "lb.": "lb", "Pounds": "lb", "ounce": "oz",
		"ml": "mL", "ML": "mL", "l": "L", "litres": "L", "Liter": "L", "cl": "cL", "dl": "dL",
		"Tbsp": "tbsp", "teaspoons": "tsp", "cups": "cup", "pints": "pt", "quart": "qt", "gallons": "gal",
		"fl oz": "fl oz", "fl. oz.": "fl oz", "floz": "fl oz", "fluid  ounces": "fl oz", "UK fl oz": "uk fl oz",
		"uk pint":     "uk pt",
		"Metric Cups": "metric cup", "AU tbsp": "au tbsp", "jp cup": "jp cup",
		"ea": "each", "pieces": "each", "dozen": "doz",
	} {
		u, err := UnitNamed(written)
		if assert.NoError(t, err) {
			assert.Equal(t, want, u.Name, written)
		}
	}
}

func TestUnknownUnits(t *testing.T) {
	for written, hint := range map[string]string{
		"kgs": `did you mean "kg"?`, "mll": `did you mean "mL"?`, "literz": `did you mean "L"?`,
		"dozn": `did you mean "doz"?`,
		"T":    "write tsp or tbsp", "t": "write tsp or tbsp",
		"handful": "units are g, kg, oz, lb, mL, L, tsp, tbsp, fl oz, cup, pt, qt, gal, each and doz",
	} {
		_, err := UnitNamed(written)
		assert.Equal(t, &Error{Msg: `unknown unit ` + strconv.Quote(written), Hint: hint, Len: len(written)}, err)
	}
}

// Every spelling is one unit's only, fits the pattern of its kind, and no other kind's.
func TestUnitPattern(t *testing.T) {
	seen := map[string]string{}
	for _, u := range units {
		for _, s := range append([]string{u.Name}, u.also...) {
			low := strings.ToLower(s)
			assert.Empty(t, seen[low], "%s is written as both", low)
			seen[low] = u.Name
			assert.LessOrEqual(t, len(strings.Fields(s)), mostWords, s)
			for _, k := range []Kind{Weight, Volume, Count} {
				fits := regexp.MustCompile("^(?:" + UnitPattern(k) + ")$")
				for _, written := range []string{s, strings.ToUpper(s), s + "."} {
					assert.Equal(t, k == u.Kind, fits.MatchString(written), written)
				}
			}
		}
	}
}

// Cross-checks with GNU units, where it is installed: all that it knows, to its twelve digits.
func TestAgainstGNUUnits(t *testing.T) {
	program, err := exec.LookPath("units")
	if err != nil {
		t.Log("GNU units is not installed: nothing to compare with")
		return
	}
	theirs := map[string]string{
		"fl oz": "usfloz", "cup": "uscup", "pt": "uspint", "qt": "usquart", "gal": "usgallon", "tbsp": "ustablespoon",
		"tsp":    "usteaspoon",
		"bushel": "usbushel", "uk gal": "brgallon", "uk qt": "brquart", "uk pt": "brpint", "uk fl oz": "brfloz",
		"metric cup": "metriccup", "au tbsp": "australiatablespoon", "jp cup": "japancup",
	}
	for _, u := range units {
		base := [...]string{Weight: "g", Volume: "ml"}
		if u.Kind == Count {
			continue // it has no such unit
		}
		name := u.Name
		if theirs[name] != "" {
			name = theirs[name]
		}
		out, err := exec.CommandContext(t.Context(), program, "-o", "%.12g", "-1", "--terse", "1 "+name,
			base[u.Kind]).Output()
		require.NoError(t, err, name)
		want, err := strconv.ParseFloat(strings.TrimSpace(string(out)), 64)
		require.NoError(t, err, "units says %q of %q", out, name)
		assert.InEpsilon(t, want, u.Factor, 1e-11, u.Name)
	}
	// A weight is no volume: the program says so in words, and exits 0 all the same.
	out, _ := exec.CommandContext(t.Context(), program, "-1", "--terse", "1 kg", "ml").CombinedOutput()
	assert.Contains(t, string(out), "conformability error")
}

func TestBridge(t *testing.T) {
	butter := Bridge{Density: 0.958611418535} // GNU units, from Beranbaum, The Cake Bible: 8 oz/cup
	cup := 236.5882365
	grams, ok := butter.Convert(cup, Volume, Weight)
	assert.True(t, ok)
	assert.InEpsilon(t, 226.796185, grams, 1e-11)
	ml, ok := butter.Convert(500, Weight, Volume)
	assert.True(t, ok)
	assert.InEpsilon(t, 2.20462262185, ml/cup, 1e-11) // "500 g / butter" in cups

	egg := Bridge{Each: 50} // the same source: 50 g
	grams, ok = egg.Convert(12, Count, Weight)
	assert.True(t, ok)
	assert.Equal(t, 600.0, grams)

	yolk := Bridge{Each: 18.6, Density: 1.03}
	ml, ok = yolk.Convert(10, Count, Volume)
	assert.True(t, ok)
	assert.InEpsilon(t, 186/1.03, ml, 1e-12)

	// Without a density, a kilo is no number of millilitres.
	for _, c := range []struct {
		Bridge
		from, to Kind
	}{
		{Bridge{}, Weight, Volume}, {Bridge{}, Volume, Weight}, {Bridge{}, Weight, Count}, {Bridge{}, Count, Volume},
		{Bridge{Each: 50}, Weight, Volume}, {Bridge{Each: 50}, Count, Volume}, {Bridge{Density: 1}, Volume, Count},
	} {
		_, ok := c.Convert(1000, c.from, c.to)
		assert.False(t, ok, "%+v", c)
	}
}

// Densities as GNU units 2.22 has them, from Beranbaum, The Cake Bible: grams in one US cup.
func TestDensities(t *testing.T) {
	for _, c := range []struct {
		food, density string
		gramsPerCup   float64
	}{
		{"butter", "8 oz/cup", 226.796185},
		{"clarified butter", "6.8 oz/cup", 192.77675725},
		{"oil", "7.5 oz/cup", 212.621423437},
		{"shortening", "6.75 oz/cup", 191.359281094},
		{"cocoa butter", "9 oz/cup", 255.145708},
		{"sifted flour", "4 oz/cup", 113.3980925},
		{"spooned flour", "4 1/4 oz/cup", 120.485473281},
		{"scooped flour", "5 oz / cup", 141.747615625},
		{"milk", "242 g/cup", 242},
		{"cream", "232 g/cup", 232},
		{"sugar", "200 g/cup", 200},
		{"honey", "11.75 oz/cup", 333.106896719},
		{"cornstarch", "120 g/cup", 120},
		{"salt", "6 g/tsp", 6 * 48},
		{"coarse salt", "2.8 g/tsp", 2.8 * 48},
	} {
		d, err := ParseDensity(c.density)
		require.NoError(t, err, c.food)
		grams, ok := Bridge{Density: d}.Convert(236.5882365, Volume, Weight)
		assert.True(t, ok)
		assert.InEpsilon(t, c.gramsPerCup, grams, 1e-9, c.food) // the printed figures have nine digits or more
	}
	d, err := ParseDensity("1 lb/gal")
	require.NoError(t, err)
	assert.InEpsilon(t, 0.119826427317, d, 1e-11) // GNU units: 119.826427317 g/L

	for written, msg := range map[string]string{
		"1.01": `"1.01" is not a density`, "1 kg": `"1 kg" is not a density`, "1 L/kg": `"1 L/kg" is not a density`,
		"1 kg/each": `"1 kg/each" is not a density`, "1 kg/L/L": `no unit after the number in "1 kg/L"`,
		"1 kg/blob": `unknown unit "blob"`,
		"kg/L":      `"kg" is not a number`,
	} {
		_, err := ParseDensity(written)
		if e, ok := err.(*Error); assert.True(t, ok, written) {
			assert.Equal(t, msg, e.Msg)
		}
	}
}

// There and back is the same amount.
func TestBridgeIsReversible(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := Bridge{Density: rapid.Float64Range(0.01, 5).Draw(t, "density"), Each: rapid.Float64Range(0.1, 1e5).Draw(t,
			"each")}
		kinds := rapid.SampledFrom([]Kind{Weight, Volume, Count})
		from, to := kinds.Draw(t, "from"), kinds.Draw(t, "to")
		amount := rapid.Float64Range(1e-6, 1e9).Draw(t, "amount")
		there, ok := b.Convert(amount, from, to)
		back, ok2 := b.Convert(there, to, from)
		if !ok || !ok2 || math.Abs(back-amount) > 1e-12*amount {
			t.Fatalf("%v %v of %+v is %v %v and back %v", amount, from, b, there, to, back)
		}
	})
}
