package kitchen

import (
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"kettletree/graph/measure"
)

// printed is the line that a card was read from, in its plainest spelling.
func (c card) printed() string {
	var b strings.Builder
	if c.either {
		b.WriteString("either ")
	}
	for i, r := range c.choices {
		if i > 0 {
			b.WriteString(" or ")
		}
		b.WriteString(r.Quantity.String() + " " + r.item)
	}
	if c.spread.Amount > 0 {
		b.WriteString(" ± " + c.spread.String())
	}
	if c.inAt != notTimed {
		b.WriteString(", in at " + measure.FormatDuration(c.inAt))
	}
	if c.outAt != notTimed {
		b.WriteString(", out at " + measure.FormatDuration(c.outAt))
	}
	switch {
	case c.without == 1:
		b.WriteString(", to taste")
	case c.without > 0:
		b.WriteString(", give or take " + FormatPercent(c.without))
	case c.optional:
		b.WriteString(", optional")
	}
	if c.carried {
		b.WriteString(", from yesterday")
	}
	if c.atLeast > 0 {
		b.WriteString(", at least " + FormatPercent(c.atLeast))
	}
	if c.atMost > 0 {
		b.WriteString(", at most " + FormatPercent(c.atMost))
	}
	return b.String()
}

func TestParseLine(t *testing.T) {
	for _, c := range []struct {
		in             place
		written, plain string
	}{
		{plated, "450 mL pozole broth", "450 mL pozole broth"},
		{plated, "110 g pulled shoulder or 110 g pulled hen or 1 each egg",
			"110 g pulled shoulder or 110 g pulled hen or 1 each egg"},
		{plated, "either 110 g pulled shoulder or  110 g pulled hen", "either 110 g pulled shoulder or 110 g pulled hen"},
		{used, "either  3 kg neck bones or 3 kg back bones or 2 kg feet, in at 1 h, at most 6%",
			"either 3 kg neck bones or 3 kg back bones or 2 kg feet, in at 1 h, at most 6%"},
		{plated, "20g cracklings , optional", "20 g cracklings, optional"},
		{used, "8 each stewing hen, in at 90 min", "8 each stewing hen, in at 1 h 30 min"},
		{used, "30 L master stock, from yesterday, in at 1 h, optional",
			"30 L master stock, in at 1 h, optional, from yesterday"},
		{used, "40 g bay leaf,to taste, in at 7 h 30 min", "40 g bay leaf, in at 7 h 30 min, to taste"},
		{plated, "2 g chile salt, to taste", "2 g chile salt, to taste"},
		{used, "8 kg marrow bones, give or take 20 %", "8 kg marrow bones, give or take 20%"},
		{used, "1/2 lb chile, at most 6%, at least 2.5 %", "0.5 lb chile, at least 2.5%, at most 6%"},
		{given, "55 L kettle stock ± 4 L, out at 9 h", "55 L kettle stock ± 4 L, out at 9 h"},
		{given, "55 L kettle stock +- 4000 mL", "55 L kettle stock ± 4000 mL"},
		{given, "55 L kettle stock ±4 L", "55 L kettle stock ± 4 L"},
		{used, "2 fl oz oil", "2 fl oz oil"},
		{used, "1 kg mirror carp for stock", "1 kg mirror carp for stock"}, // "or" only as a word
	} {
		read, err := parseLine(c.written, c.in)
		require.NoError(t, err, c.written)
		assert.Equal(t, c.plain, read.printed())
		assert.Regexp(t, regexp.MustCompile(entire(linePattern(c.in))), c.written)
		for _, r := range read.choices {
			assert.Equal(t, r.item, c.written[r.at:r.at+r.length])
		}
	}
}

var anyItem = rapid.StringMatching(`[a-zé][a-z]{0,8}( [a-z1-9]{1,7}){0,2}`).Filter(func(s string) bool {
	return nameFault(s) == "" && !strings.HasPrefix(s, "oz ") // "fl oz" is one unit
})

// cards draws a line that may stand in a place.
func cards(in place) *rapid.Generator[card] {
	return rapid.Custom(func(t *rapid.T) card {
		units := []string{"g", "kg", "lb", "oz", "mL", "L", "cup", "uk fl oz", "each", "doz"}
		quantity := func(what string) measure.Quantity {
			u, err := measure.UnitNamed(rapid.SampledFrom(units).Draw(t, what+" unit"))
			if err != nil {
				t.Fatal(err)
			}
			return measure.Quantity{Amount: float64(rapid.IntRange(1, 9999).Draw(t, what)) / 100, Unit: u}
		}
		minutes := func(what string) int {
			return rapid.OneOf(rapid.Just(notTimed), rapid.IntRange(0, 3000)).Draw(t, what)
		}
		c := card{inAt: notTimed, outAt: notTimed}
		choices := 1
		if in != given {
			choices = rapid.IntRange(1, 3).Draw(t, "choices")
			c.optional = rapid.Bool().Draw(t, "optional")
		}
		for range choices {
			c.choices = append(c.choices, ration{Quantity: quantity("amount"), item: anyItem.Draw(t, "item")})
		}
		switch in {
		case given:
			c.outAt = minutes("out at")
			if rapid.Bool().Draw(t, "varies") {
				c.spread = quantity("spread")
			}
		case used:
			c.inAt = minutes("in at")
			if rapid.Bool().Draw(t, "taken out") {
				c.outAt = max(c.inAt, 0) + rapid.IntRange(1, 3000).Draw(t, "out at")
			}
			if c.carried = rapid.Bool().Draw(t, "carried"); !c.carried && !c.optional {
				c.without = float64(rapid.IntRange(0, 99).Draw(t, "without")) / 100
			}
			c.either = choices > 1 && !c.carried && rapid.Bool().Draw(t, "either")
			c.atLeast = float64(rapid.IntRange(0, 50).Draw(t, "at least")) / 100
			c.atMost = float64(rapid.IntRange(51, 100).Draw(t, "at most")) / 100
		}
		return c
	})
}

// A line that is printed reads as the same line, and fits the schema's pattern.
func TestPrintedLinesCanBeRead(t *testing.T) {
	fits := map[place]*regexp.Regexp{}
	for _, in := range []place{used, given, plated} {
		fits[in] = regexp.MustCompile(entire(linePattern(in)))
	}
	rapid.Check(t, func(t *rapid.T) {
		in := rapid.SampledFrom([]place{used, given, plated}).Draw(t, "in")
		line := cards(in).Draw(t, "line").printed()
		c, err := parseLine(line, in)
		if err != nil {
			t.Fatalf("%q: %v", line, err)
		}
		if c.printed() != line {
			t.Fatalf("%q reads as %q", line, c.printed())
		}
		if !fits[in].MatchString(line) {
			t.Fatalf("the schema refuses %q", line)
		}
	})
}

func FuzzParseLine(f *testing.F) {
	for _, c := range faultCases(f) {
		for line := range strings.Lines(string(c.src)) {
			f.Add(strings.Trim(line, " -\n"), uint8(used))
		}
	}
	f.Add("55 L kettle stock ± 4 L, out at 9 h", uint8(given))
	f.Add("either 110 g pulled shoulder or 110 g pulled hen, optional", uint8(plated))
	f.Add("110 g pulled shoulder or 110 g pulled hen, optional", uint8(plated))
	fits := map[place]*regexp.Regexp{}
	for _, in := range []place{used, given, plated} {
		fits[in] = regexp.MustCompile(entire(linePattern(in)))
	}
	f.Fuzz(func(t *testing.T, s string, in uint8) {
		if strings.ContainsAny(s, "\n\r\t\v\f") || place(in) > plated {
			return // a line of a YAML file is one line
		}
		c, err := parseLine(s, place(in))
		if err != nil {
			e, ok := err.(*measure.Error)
			require.True(t, ok)
			require.True(t, 0 <= e.At && 0 <= e.Len && e.At+e.Len <= len(s), "%+v of %q", e, s)
			return
		}
		for _, r := range c.choices {
			require.Equal(t, r.item, s[r.at:r.at+r.length])
		}
		require.Regexp(t, fits[place(in)], s, "the schema refuses what the reader takes")
		again, err := parseLine(c.printed(), place(in))
		require.NoError(t, err, "%q is printed as %q", s, c.printed())
		require.Equal(t, c.printed(), again.printed())
	})
}
