package measure

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestOnScale(t *testing.T) {
	for written, shown := range map[string]string{
		"34.5 g": "35 g", "336 g": "335 g", "0.443 g": "0.4 g", "7.58 g": "7.6 g", "2.016 kg": "2.02 kg", "0.4537 kg": "0.455 kg",
		"88 L": "88 L", "29.5 mL": "30 mL", "13.246 L": "13.25 L", "1.1023 lb": "1.1 lb", "3.237 lb": "3.25 lb", "1.664 oz": "1.7 oz", "16.4 oz": "16.5 oz",
		"0.5 each": "0.5 each", "2.3 each": "2.25 each", "0.0727 each": "0.0727 each", "1.3333 cup": "1⅓ cups", "1.5 cup": "1½ cups", "2.02 cup": "2 cups", "2.37 cup": "2⅓ cups", "0.34 cup": "⅓ cup", "0.67 cup": "⅔ cup",
		"0.75 tsp": "¾ tsp", "0.125 tsp": "⅛ tsp", "0.26 tbsp": "¼ tbsp", "0.3 tbsp": "⅓ tbsp", "1.13 tbsp": "1⅛ tbsp", "4.45 tbsp": "4½ tbsp", "1.3 tsp": "1¼ tsp", "0.02 tsp": "0.02 tsp", "3 tsp": "3 tsp", "2.125 lb": "2 lb 2 oz", "6.40625 lb": "6 lb 6.5 oz", "0.03 g": "0.03 g", "0 g": "0 g",
		"0.52834 qt": "0.53 qt", "0.757 qt": "0.75 qt", "0.76 qt": "0.76 qt", "1.0567 qt": "1.06 qt", "0.1057 qt": "0.106 qt", "2.861 qt": "2.85 qt", "0.125 qt": "0.125 qt", "1.125 gal": "1.125 gal", "0.2378 gal": "0.24 gal", "1.0205 gal": "1.02 gal", "1.009 gal": "1 gal", "1.3737 qt": "1.35 qt", "0 qt": "0 qt", // 0.946 L are a quart: NIST Handbook 44, appendix C
	} {
		q, err := Parse(written)
		require.NoError(t, err)
		assert.Equal(t, shown, q.OnScale().String(), written)
	}
}

// What is shown lies within half a step of the scale.
func TestOnScaleIsNear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u := rapid.SampledFrom(units).Draw(t, "unit").Unit
		q := Quantity{rapid.Float64Range(0, 1000).Draw(t, "amount"), u}
		shown := q.OnScale()
		if u.Name == "qt" || u.Name == "gal" {
			assert.LessOrEqual(t, math.Abs(shown.Base()-q.Base()), 0.0201*q.Base(), "%v", q)
			assert.Equal(t, shown.String(), shown.OnScale().String(), "what is shown once stays")
			return
		}
		assert.LessOrEqual(t, math.Abs(shown.Base()-q.Base()), max(q.grain()*0.5001, 0.006*q.Base()), "%v", q)
	})
}

// As a kitchen counts: in quarters, from ten on whole where nobody counted quarters (common practice, no source).
func TestFormatPieces(t *testing.T) {
	for x, want := range map[float64]string{
		0: "0", 0.05: "<¼", 0.124: "<¼", 0.126: "¼", 0.5: "½", 0.802: "¾", 0.9: "1", 1: "1", 4.05: "4", 2.3: "2¼", 9.6: "9½", 9.9: "10",
		12.5: "12½", 36.3: "36", 141: "141", 1024.4: "1024", -0.05: "0", -0.5: "-½", -2.25: "-2¼",
	} {
		assert.Equal(t, want, FormatPieces(x), "%v", x)
	}
}

// What rounds up to one of the larger unit is shown in that: a scale never shows 1000 g, or 16 oz, beside kilos or pounds.
func TestHandyOnScale(t *testing.T) {
	for written, shown := range map[string]string{
		"0.45 kg": "450 g", "0.9996 kg": "1 kg", "0.998 kg": "1 kg", "0.997 kg": "995 g", "999.8 g": "1 kg", "1250 g": "1.25 kg", "0.9999 L": "1 L", "999 mL": "1 L", "996 mL": "995 mL",
		"0.5 lb": "8 oz", "0.9999 lb": "1 lb", "0.99 lb": "15.8 oz", "0 kg": "0 g",
	} {
		q, err := Parse(written)
		require.NoError(t, err)
		assert.Equal(t, shown, q.Handy().OnScale().String(), written)
	}
}

func TestTyped(t *testing.T) {
	for written, shown := range map[string]string{"0.7 kg": "0.7 kg", "0.02 L": "20 mL", "0.008 kg": "8 g", "0.1 kg": "0.1 kg", "0.05 lb": "0.8 oz", "0 kg": "0 kg", "2500 g": "2500 g", "0.05 each": "0.05 each"} {
		q, err := Parse(written)
		require.NoError(t, err)
		assert.Equal(t, shown, q.Typed().String(), written)
	}
}

// Pounds with ounces behind them stay so, however much is made of them: a card that says 3 lb 4 oz is read against a scale that does.
func TestPoundsAndOunces(t *testing.T) {
	written, err := Parse("3 lb 4 oz")
	require.NoError(t, err)
	assert.Equal(t, "lb", written.Unit.Name)
	for times, shown := range map[float64]string{1: "3 lb 4 oz", 2: "6 lb 8 oz", 1.5: "4 lb 14 oz", 4: "13 lb", 0.25: "13 oz", 1.0 / 3: "1 lb 1.5 oz", 0.3: "15.6 oz", 0: "0 oz"} {
		q := Quantity{written.Amount * times, written.Unit}
		assert.Equal(t, shown, q.Handy().OnScale().String(), "%v times", times)
	}
	as, err := UnitNamed(written.Unit.ShownAs())
	require.NoError(t, err)
	assert.Equal(t, written.Unit, as)
	plain, err := Parse("3.25 lb")
	require.NoError(t, err)
	assert.Equal(t, "3.25 lb", plain.OnScale().String(), "who writes hundredths has such a scale")
}

// 2.5 kg are 5.512 lb (NIST SP 811: 1 lb is 0.45359237 kg), which no scale shows; what is written in pounds stays as it is.
func TestDerivedPounds(t *testing.T) {
	lb, err := Parse("1 lb")
	require.NoError(t, err)
	for x, want := range map[float64]string{2.5 / 0.45359237: "5.5 lb", -2.5 / 0.45359237: "-5.5 lb", 1.33: "1.33 lb", 6.40625: "6 lb 6.5 oz", 0.1234: "0.1234 lb", 14: "14 lb"} {
		assert.Equal(t, want, Quantity{x, lb.Unit}.Derived().String())
	}
}
