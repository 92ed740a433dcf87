package kitchen

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// The figures of the codes, each with the text in which it was read.
func TestCodes(t *testing.T) {
	code := map[string]*Code{}
	for i := range Codes {
		code[Codes[i].Name] = &Codes[i]
	}
	us := code["US FDA Food Code 2022"]
	assert.Same(t, &Codes[0], us, "the usual one")
	// 135 to 70 °F within 2 h, 135 to 41 °F within a total of 6 h: Del. 16 and Wis. ATCP 75, 3-501.14.
	assert.Equal(t, []Stage{{135, 70, 120, "3-501.14(A)"}, {135, 41, 360, "3-501.14(A)"}}, us.Cooling)
	// Ingredients at room temperature: to 41 °F within 4 h; the same texts.
	assert.Equal(t, 240, us.FromRoom[0].Within)
	assert.Equal(t, 41.0, us.FromRoom[0].To)
	// Hot at 135 °F or above, cold at 41 °F or below: Del. and Wis. 3-501.16; WAC 246-215-03525.
	assert.Equal(t, 135.0, us.Hot.At)
	assert.Equal(t, 41.0, us.Cold.At)
	// Seven days with the day of preparation: Minn. R. 4626.0400.
	assert.Equal(t, 7, us.Keeps)
	// At or below 8 °C, at or above 63 °C: legislation.gov.uk wsi/2006/31, Schedule 4.
	assert.Equal(t, 8.0, code["UK"].Cold.At)
	assert.Equal(t, 63.0, code["UK"].Hot.At)
	assert.Empty(t, code["UK"].Cooling)
	// Core from 63 to 10 °C in under 2 h: acfri.com's page on the official text.
	assert.Equal(t, Stage{63, 10, 120, "arrêté of 21 December 2009"}, code["France"].Cooling[0])
	// From memory: CXC 39-1993, core 60 to 10 °C in 2 h, then 4 °C; 5 days with the day of cooking.
	assert.Equal(t, Stage{60, 10, 120, "cooling"}, code["Codex"].Cooling[0])
	assert.Equal(t, 5, code["Codex"].Keeps)
	for _, c := range Codes {
		for _, s := range append(append([]Stage{}, c.Cooling...), c.FromRoom...) {
			assert.NotEmpty(t, s.Section, c.Name)
			assert.Greater(t, s.From, s.To)
		}
		assert.Contains(t, []string{"F", "C"}, c.Scale)
		assert.Equal(t, c.Keeps > 0, c.Dated != "", c.Name)
	}
}

func TestDegrees(t *testing.T) {
	// °F to °C: (F - 32) * 5/9, exact by definition; the code's own °C are rounded.
	assert.InDelta(t, 57.222, Degrees{135, "F"}.In("C"), 1e-3)
	assert.Equal(t, 41.0, Degrees{5, "C"}.In("F"))
	assert.Equal(t, "57 °C", Degrees{57, "C"}.String())
	assert.Equal(t, "4.5 °C", Degrees{4.5, "C"}.String())
	for text, want := range map[string]Degrees{"57 °C": {57, "C"}, "135F": {135, "F"}, " 4.5 °C ": {4.5, "C"}, "-18 c": {-18, "C"}, "41°F": {41, "F"}} {
		got, err := ReadDegrees(text)
		assert.NoError(t, err, text)
		assert.Equal(t, want, got, text)
	}
	for _, text := range []string{"", "57", "C", "57 K", "57 CC", "5 7 C", "NaN C", "inf C", "1e3 C", "0x10 C", "-300 C", "57 C F", "- C"} {
		_, err := ReadDegrees(text)
		assert.Error(t, err, text)
	}
}
