package kitchen

import (
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/graph/measure"
)

func TestParsePrice(t *testing.T) {
	for written, perBase := range map[string]float64{
		"4.20/kg": 0.0042, "9.50/each": 9.5, "42.00 for 10 kg": 0.0042, "0/L": 0, "6/doz": 0.5, "1/2/kg": 0.0005,
		"4.20 / kg":     0.0042,
		"3 for 2 fl oz": 3 / (2 * 29.5735295625), "2.10/lb": 2.10 / 453.59237,
	} {
		p, err := parsePrice(written)
		require.NoError(t, err, written)
		assert.InDelta(t, perBase, p.perBase(), 1e-12, written)
	}
}

func TestParsePercent(t *testing.T) {
	for written, share := range map[string]float64{"6%": 0.06, "6.5%": 0.065, "100 %": 1, "1/2%": 0.005} {
		got, err := parsePercent(written)
		require.NoError(t, err, written)
		assert.InEpsilon(t, share, got, 1e-12)
	}
	for _, written := range []string{"", "6", "%", "0%", "101%", "-1%", "6%%", "six%", "6 percent"} {
		_, err := parsePercent(written)
		assert.Error(t, err, written)
	}
}

func TestParseLength(t *testing.T) {
	for written, cm := range map[string]float64{"55 cm": 55, "550mm": 55, "22 in": 55.88} {
		got, err := parseLength(written)
		require.NoError(t, err, written)
		assert.InEpsilon(t, cm, got, 1e-12)
	}
}

func TestNames(t *testing.T) {
	for _, good := range []string{"pozole broth", "jalapeño", "no. 10 can", "oregano", "salt & vinegar", "7-bone roast",
		"(old) lard"} {
		assert.Empty(t, nameFault(good), good)
	}
	for _, bad := range []string{"", " a", "a ", "a,b", "a@b", "a=b", "a±b", "a +- b", "a or b", "or b",
		"mirror or", "a\nb", "a\tb", "a\x7fb"} {
		assert.NotEmpty(t, nameFault(bad), bad)
	}
}

// FuzzValues: what a reader of a value takes, the schema's pattern takes too; and no reader fails with anything but a
// fault that lies in the text.
func FuzzValues(f *testing.F) {
	type value struct {
		pattern *regexp.Regexp
		read    func(s string) error
	}
	of := func(pattern string, read func(s string) error) value {
		return value{regexp.MustCompile(entire(pattern)), read}
	}
	values := []value{
		of(priceForm.pattern, func(s string) error { _, err := parsePrice(s); return err }),
		of(percentPattern, func(s string) error { _, err := parsePercent(s); return err }),
		of(keepsPattern, func(s string) error { _, err := parseKeeps(s); return err }),
		of(lengthPattern, func(s string) error { _, err := parseLength(s); return err }),
		of(densityForm.pattern, func(s string) error { _, err := parseDensity(s); return err }),
		of(eachForm.pattern, func(s string) error { _, err := parseEach(s); return err }),
		of(quantityOf(measure.Volume), func(s string) error { _, err := parseHolds(s); return err }),
		of(anyQuantity, func(s string) error { _, err := measure.Parse(s); return err }),
		of(daysPattern, func(s string) error { _, err := parseDays(s); return err }),
		of(clockForm.pattern, func(s string) error { _, err := measure.ParseClock(s); return err }),
		of(measure.DurationPattern, func(s string) error { _, err := measure.ParseDuration(s); return err }),
	}
	for _, s := range []string{"4.20/kg", "42 for 10 kg", "6.5 %", "3 days", "55 cm", "1.01 kg/L", "1 1/2 lb/gal",
		"1.9 kg", "2 fl. oz.", "tue-sun fri", "24:30",
		"1 h 30 min", "$4/kg", "4,20/kg", "1e3/kg", "", "daily"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		for _, v := range values {
			err := v.read(s)
			if err == nil {
				require.Regexp(t, v.pattern, s)
				continue
			}
			e, ok := err.(*measure.Error)
			require.True(t, ok, "%T", err)
			require.NotEmpty(t, e.Msg)
			require.True(t, 0 <= e.At && 0 <= e.Len && e.At+e.Len <= len(s), "%+v of %q", e, s)
		}
		if nameFault(s) == "" {
			require.Regexp(t, entire(namePattern), s)
			require.NotRegexp(t, orInName, s)
		}
	})
}
