package kitchen

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestParseMeasure(t *testing.T) {
	for text, want := range map[string]Measure{
		"1-5":            {Low: 1, High: 5},
		"1-5, aim 3-4":   {Low: 1, High: 5, Aim: &Range{3, 4}},
		"0–3, aim 2":     {High: 3, Aim: &Range{2, 2}},
		"3.0-4.5":        {Sort: Gauged, Aim: &Range{3, 4.5}},
		"0.9-1.1%":       {Sort: Gauged, Aim: &Range{0.9, 1.1}, Unit: "%"},
		"3-5 °Bx":        {Sort: Gauged, Aim: &Range{3, 5}, Unit: "°Bx"},
		"0-2 mL":         {Sort: Gauged, Aim: &Range{0, 2}, Unit: "mL"},
		"min":            {Sort: Gauged, Unit: "min"},
		"words":          {Sort: InWords},
		"60 - 90 min":    {Sort: Gauged, Aim: &Range{60, 90}, Unit: "min"},
		"1/2 - 1 1/2 pH": {Sort: Gauged, Aim: &Range{0.5, 1.5}, Unit: "pH"},
	} {
		got, err := parseMeasure(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, got, text)
		assert.Regexp(t, regexp.MustCompile(entire(measuresForm.of.pattern)), text)
	}
	for text, says := range map[string]string{
		"5-1":            "does not go up",
		"0-50":           "more than ten steps",
		"1-5, aim 4-6":   "not on its scale",
		"1.1-0.9%":       "does not go up",
		"often":          "",
		"":               "does not say how",
		"1 to 5":         "does not say how",
		"0.9-1.1 much %": "does not say how",
	} {
		_, err := parseMeasure(text)
		if says == "" {
			assert.NoError(t, err, text) // a unit of the kitchen's own
			continue
		}
		assert.ErrorContains(t, err, says, text)
	}
}

func TestMeasuresAreRead(t *testing.T) {
	src, err := os.ReadFile(filepath.FromSlash("testdata/sound.yaml"))
	require.NoError(t, err)
	k, faults := Read("kitchen.yaml", []byte(strings.Replace(string(src), "    batches: {tue: 1, fri: 1}\n  render", "    batches: {tue: 1, fri: 1}\n"+
		"    measures: {colour: \"1-5, aim 3-4\", Brix: 3-5, salt: 0.9-1.1%}\n    handling: {to the boil: min, cook: words}\n  render", 1)))
	require.NoError(t, faults.Err())
	var list []Measure
	for _, s := range k.Steps {
		list = append(list, s.Measures...)
	}
	require.Len(t, list, 5)
	assert.Equal(t, "3 to 4 of 5", list[0].AimText())
	assert.Equal(t, "3 to 5 °Bx", list[1].AimText())
	assert.True(t, list[1].Sugar())
	assert.Zero(t, list[1].Salt())
	assert.Equal(t, "0.9 to 1.1%", list[2].AimText())
	assert.Equal(t, 0.01, list[2].Salt())
	assert.Zero(t, (&Measure{Name: "fat", Sort: Gauged, Unit: "%"}).Salt(), "much else is counted in parts of a hundred")
	assert.True(t, list[3].Handling)
	assert.Equal(t, InWords, list[4].Sort)

	for v, says := range map[float64]string{6: "off the scale of colour, 1 to 5", 3.5: "is no step of the scale of colour, 1 to 5", -1: "not a measured value", 4: ""} {
		fault, _ := list[0].Fault(v)
		assert.Contains(t, fault, says)
		assert.Equal(t, says == "", fault == "")
	}
	fault, hint := list[2].Fault(98)
	assert.Contains(t, fault, "more than 20 times what salt should be, 0.9 to 1.1%")
	assert.Contains(t, hint, "point")

	m, rest := MeasureNamed(list, "To The Boil 70 min")
	require.NotNil(t, m)
	assert.Equal(t, "to the boil|70 min", m.Name+"|"+rest)
	m, _ = MeasureNamed(list, "colourful")
	assert.Nil(t, m)
}

// What the schema takes for a measure the reader reads, but for scales and aims that do not go up; and nothing else.
func TestMeasurePatternIsWhatIsRead(t *testing.T) {
	pattern := regexp.MustCompile(entire(measuresForm.of.pattern))
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`[0-9]{1,2}(\.[0-9])?( ?- ?[0-9]{1,2}(\.[0-9])?)?( ?(%|min|°Bx|much %))?(, aim [0-9]( ?- ?[0-9])?)?|[a-z]{1,9}`).Draw(t, "text")
		_, err := parseMeasure(text)
		if err != nil && !strings.Contains(err.Error(), "does not say how") {
			return // understood, and refused
		}
		assert.Equal(t, pattern.MatchString(text), err == nil, "%q: %v", text, err)
	})
}
