package kitchen

import (
	"strings"
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
	// From memory: above, and 75 °C in the core within an hour of leaving the cold.
	assert.Equal(t, &Hold{At: 75, Section: "reheating"}, code["Codex"].Reheat)
	assert.Equal(t, 60, code["Codex"].Again)
	assert.Contains(t, code["Codex"].Others, Rule{"reheating", "reheat the core to 75 °C (167 °F) or hotter within 1 h of leaving the cold"})
	// Not under 82 °C, but for what that would harm: legislation.gov.uk uksi/1995/2200, regulation 14, and ssi/2006/3, Schedule 4, paragraph 3,
	// since; held "above 63 °C": paragraph 2(1)(b), where England, Wales and Northern Ireland have "at or above".
	assert.Equal(t, &Hold{At: 82, Section: "Schedule 4, paragraph 3"}, code["Scotland"].Reheat)
	assert.Contains(t, code["Scotland"].Others, Rule{"Schedule 4, paragraph 3", "reheat to 82 °C (179.6 °F) or hotter, unless that spoils it"})
	assert.Equal(t, &Hold{At: 63, Section: "Schedule 4, paragraph 2", Above: true}, code["Scotland"].Hot)
	assert.False(t, code["UK"].Hot.Above)
	assert.Nil(t, code["Scotland"].Cold)
	// From memory: Regulation 852/2004, Annex II, chapter IX(6), "as quickly as possible", and no number anywhere.
	assert.Equal(t, Code{Name: "EU", Title: "EU Regulation 852/2004", Scale: "C",
		Others: []Rule{{"Annex II, chapter IX(6)", "cool as quickly as possible; no figure is named"}}}, *code["EU"])
	for _, c := range Codes {
		for _, s := range append(append([]Stage{}, c.Cooling...), c.FromRoom...) {
			assert.NotEmpty(t, s.Section, c.Name)
			assert.Greater(t, s.From, s.To)
		}
		assert.Contains(t, []string{"F", "C"}, c.Scale)
		assert.Equal(t, c.Keeps > 0, c.Dated != "", c.Name)
	}
}

// Every limit of the US code that this program goes by, beside its section. Read in adoptions that copy the wording (Del. 16, Wis. ATCP 75,
// Minn. R. 4626, WAC 246-215, Ga. 511-6-1-.04), but for those marked m, which are from memory.
func TestLimitsOfTheUSCode(t *testing.T) {
	c := &Codes[0]
	type limit struct {
		section string
		figure  float64 // °F
		time    int     // minutes, of cooking and reheating seconds
	}
	var got []limit
	for _, x := range c.Cook {
		got = append(got, limit{x.Section, x.At, x.Seconds})
	}
	got = append(got, limit{c.Receive.Section, c.Receive.At, 0}, limit{c.ComesHot.Section, c.ComesHot.At, 0}, limit{c.Reheat.Section, c.Reheat.At, c.For})
	for _, x := range append(append([]Stage{}, c.Cooling...), c.FromRoom...) {
		got = append(got, limit{x.Section, x.To, x.Within})
	}
	got = append(got, limit{c.Hot.Section, c.Hot.At, 0}, limit{c.Cold.Section, c.Cold.At, 0})
	assert.Equal(t, []limit{
		{"3-401.11(A)(3)", 165, 0},  // m: poultry, stuffed
		{"3-401.11(A)(2)", 155, 17}, // m: ground, injected, pooled eggs
		{"3-401.11(A)(1)", 145, 15}, // m: fish, whole cuts, an egg to order
		{"3-202.11(A)", 41, 0},
		{"3-202.11(D)", 135, 0}, // m
		{"3-403.11(A)", 165, 15},
		{"3-501.14(A)", 70, 120},
		{"3-501.14(A)", 41, 360}, // in all, not 4 h from the first
		{"3-501.14(B)", 41, 240},
		{"3-501.16(A)", 135, 0},
		{"3-501.16(A)", 41, 0},
	}, got)
	assert.Equal(t, 120, c.Again, "3-403.11(D): within 2 h")
	assert.Equal(t, "3-403.11(A), (D)", c.Reheating())
	assert.Equal(t, []any{7, "3-501.17(A)", "3-501.17(C)", "3-501.18", "3-603.11", "3-302.13", "3-402.11"}, []any{c.Keeps, c.Dated, c.Mixed, c.Frozen, c.Advisory, c.Eggs, c.Parasites})
	said := map[string]string{}
	for _, r := range c.Others {
		said[r.Section] = r.Says
	}
	for section, figures := range map[string][]string{
		"3-401.11(A)": {"74 °C (165 °F)", "68 °C (155 °F) for 17 s", "63 °C (145 °F) for 15 s"}, "3-401.11(B)": {"63 °C (145 °F) for 4 min"}, // both m
		"3-403.11": {"all parts", "74 °C (165 °F) for 15 s within 2 h", "stirred or turned and covered", "covered for 2 min", "just opened, to 57 °C (135 °F)"}, "3-501.15": {"one or more", "shallow pans", "ice water", "loosely, or open"}, // 3-501.15: m
		"3-501.16(A)": {"54 °C (130 °F)"}, "3-501.18": {"discard", "past its date mark", "too warm", "bears no mark", "too late"}, "3-501.19(A)": {"written down beforehand"}, "3-501.19(B)": {"5 °C (41 °F)", "57 °C (135 °F)", "4 h"},
		"3-501.19(C)": {"5 °C (41 °F)", "21 °C (70 °F)", "6 h"}, "3-501.19(B)(2)": {"21 °C (70 °F)", "4 h"},
		"3-501.14(C)": {"to 5 °C (41 °F)", "within 4 h"}, "3-501.14(D)": {"eggs", "7 °C (45 °F)"}, // (D): m
	} {
		for _, f := range figures {
			assert.Contains(t, said[section], f, section)
		}
	}
	for _, c := range Codes { // whatever is said in one scale is said in the other too
		for _, r := range c.Others {
			assert.Equal(t, strings.Count(r.Says, "°C"), strings.Count(r.Says, "°F"), "%s: %s", c.Name, r.Says)
		}
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
