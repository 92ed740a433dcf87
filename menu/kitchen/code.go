package kitchen

// The published codes as data: every limit with the section that it stands in.

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// Degrees is a temperature on the scale that it is written in, which is the only one that a code's limits are compared
// in: the °C that stand beside the °F of the US code are rounded.
type Degrees struct {
	Value float64
	Scale string // "F" or "C"
}

// In is the temperature on a scale.
func (d Degrees) In(scale string) float64 {
	switch {
	case d.Scale == scale:
		return d.Value
	case scale == "F":
		return d.Value*9/5 + 32
	}
	return (d.Value - 32) * 5 / 9
}

// String prints it to a tenth: "57 °C".
func (d Degrees) String() string { return formatTenths(d.Value) + " °" + d.Scale }

// Beside prints it with the other scale beside it, to a tenth: "45 °F (7.2 °C)". The °C beside whole °F of a limit are [Code.Both].
func (d Degrees) Beside() string {
	other := "F"
	if d.Scale == "F" {
		other = "C"
	}
	return d.String() + " (" + Degrees{d.In(other), other}.String() + ")"
}

func formatTenths(x float64) string {
	s := strconv.FormatFloat(x, 'f', 1, 64)
	if s = strings.TrimSuffix(s, ".0"); s == "-0" {
		return "0"
	}
	return s
}

// Stage is a limit on cooling: from From the food must come to To within a time, counted from when it leaves From.
type Stage struct {
	From, To float64 // on the scale of the code
	Within   int     // minutes; 0 when the code names none
	Section  string
}

// Hold is a limit on holding.
type Hold struct {
	At      float64 // on the scale of the code; the limit itself is within
	Section string
	Above   bool // only what is hotter is within, not the limit itself
}

// Raw is a kind of raw food that a limit on cooking is for.
type Raw uint8

const (
	Poultry Raw = iota // and wild game, and what is stuffed
	Ground             // meat and fish that is ground, tenderised or injected, and eggs that are not cooked as they are ordered
	Whole              // fish, whole cuts other than roasts, and eggs cooked as they are ordered
)

// Cook is a limit on cooking raw food.
type Cook struct {
	Food    Raw
	At      float64 // at or above, on the scale of the code
	Seconds int     // for so long; 0 for an instant
	Section string
}

// Rule is one more figure of a code, in words.
type Rule struct{ Section, Says string }

// Code is what a published code says of time and temperature.
type Code struct {
	Name      string // as the kitchen file chooses it
	Title     string
	Scale     string  // of all its figures
	Cooling   []Stage // cooked food; empty when the code names no time
	FromRoom  []Stage // food made of what stood at room temperature
	Hot       *Hold   // held hot, at or above; nil when the code names none
	Cold      *Hold   // held cold, at or below
	Receive   *Hold   // cold food as it comes in, at or below; nil when the code names none
	ComesHot  *Hold   // cooked food that comes in hot, at or above; nil when the code names none
	Reheat    *Hold   // reheated, at or above
	For       int     // seconds that it stays so hot when it is reheated; 0 for an instant
	Again     int     // minutes within which food is reheated so, where For is set for hot holding; 0 when the code names none
	Soon      string  // the paragraph of that, in the section of Reheat
	Cook      []Cook  // raw food; nil when the code names none here
	Keeps     int     // days that ready food is held cold, the day made being day 1; 0 when the code names none
	Dated     string  // the section of that
	Mixed     string  // the section by which the earliest day 1 goes with a mix; "" when the code names none
	Advisory  string  // the section that asks for an advisory with what is served raw or undercooked; "" when the code has none here
	Eggs      string  // the section on pasteurised eggs in what is not cooked; "" when the code has none here
	Parasites string  // the section on freezing fish that is served raw; "" when the code has none here
	Oil       string  // the section by which garlic in oil needs time and temperature control; "" when the code names none here
	Ready     string  // the section by which raw food that is served raw is ready to eat, so that Keeps binds it; "" when the code has none here
	Letter    string  // the section on keeping the supplier's letter on parasites; "" when the code has none here
	Frozen    string  // the section by which frozen time does not count; "" when the code names none
	Others    []Rule
}

// Codes are the codes that a kitchen can choose among; the first is the usual one. Where a figure was read, and what is
// from memory, stands beside it.
var Codes = []Code{
	{
		Name: "US FDA Food Code 2022", Title: "US FDA Food Code 2022", Scale: "F",
		// Read in state adoptions that copy the wording: Del. 16 and Wis. ATCP 75, 3-501.14 and 3-501.16.
		Cooling:  []Stage{{135, 70, 120, "3-501.14(A)"}, {135, 41, 360, "3-501.14(A)"}},
		FromRoom: []Stage{{70, 41, 240, "3-501.14(B)"}},
		Hot:      &Hold{At: 135, Section: "3-501.16(A)"}, Cold: &Hold{At: 41, Section: "3-501.16(A)"},
		// The same adoptions, 3-202.11(A), 3-403.11(A) on the heat and (D) on the two hours; 3-202.11(D) from memory.
		Receive: &Hold{At: 41, Section: "3-202.11(A)"}, ComesHot: &Hold{At: 135, Section: "3-202.11(D)"}, Reheat: &Hold{At: 165, Section: "3-403.11(A)"}, For: 15, Again: 120, Soon: "(D)",
		// From memory: poultry, wild game and what is stuffed; what is ground, tenderised or injected, and eggs that are not for at
		// once; fish, whole cuts, an egg cooked as it is ordered.
		Cook: []Cook{{Poultry, 165, 0, "3-401.11(A)(3)"}, {Ground, 155, 17, "3-401.11(A)(2)"}, {Whole, 145, 15, "3-401.11(A)(1)"}},
		// Minn. R. 4626.0400; Wis. ATCP 75, 3-501.17(C); WAC 246-215-03527.
		Keeps: 7, Dated: "3-501.17(A)", Mixed: "3-501.17(C)", Frozen: "3-501.18",
		Advisory: "3-603.11", Eggs: "3-302.13", Parasites: "3-402.11", Oil: "1-201.10(B)", // the first three from memory; an older text of the last in NAVMED P-5010-1
		Ready: "1-201.10(B)", Letter: "3-402.12", // from memory: raw food of animals is ready to eat where the guest is advised as 3-401.11(D) has it, or fish was frozen as 3-402.11 has it
		Others: []Rule{
			{"3-401.11(A)", "cook poultry, wild game and stuffed food to 74 °C (165 °F); what is ground, tenderised or injected, and eggs not cooked to order, to 68 °C (155 °F) for 17 s; fish, whole cuts and eggs to order to 63 °C (145 °F) for 15 s"}, // from memory
			{"3-401.11(B)", "whole roasts: by the table there, such as 63 °C (145 °F) for 4 min"}, // from memory
			{"3-403.11", "reheat for hot holding, all parts of it, to 74 °C (165 °F) for 15 s within 2 h; in a microwave stirred or turned and covered, then left covered for 2 min; what a plant packed ready to eat, just opened, to 57 °C (135 °F)"},
			// Wis. ATCP 75 has (C); the air of (D) is from memory, as are the foods of (C).
			{"3-501.14(C)", "what a law lets come in warmer than 5 °C (41 °F), such as milk and shellfish: to 5 °C (41 °F) or colder within 4 h"},
			{"3-501.14(D)", "raw eggs in the shell: at once into air of 7 °C (45 °F) or colder"},
			{"3-501.15", "cool in one or more ways that suit the food: shallow pans, small or thin portions, quick chillers, stirred in a pan in ice water, containers that let the heat out, ice as an ingredient; covered loosely, or open where nothing can fall in"}, // from memory
			{"3-501.16(A)", "roasts cooked by the tables of 3-401.11(B), or reheated by 3-403.11(E), may be held hot at 54 °C (130 °F)"},
			{"3-501.18", "discard what is past its date mark or was too warm (frozen time is not counted), what bears no mark, and what bears a day that is too late"}, // WAC 246-215-03527; the mark that is too late from memory
			{"3-501.19(A)", "held by time only: the procedures are written down beforehand and kept at hand"},                                                          // from memory
			{"3-501.19(B)", "held by time only, from 5 °C (41 °F) or colder or 57 °C (135 °F) or hotter: mark the time, serve or discard within 4 h; discard what is not marked"},
			// Read as Ga. 511-6-1-.04(6)(i) has it.
			{"3-501.19(B)(2)", "held by time only, ready to eat: produce just cut and what comes out of a can or pack just opened, from 21 °C (70 °F) or colder and never above it: mark the time, serve or discard within 4 h"},
			{"3-501.19(C)", "held by time only, from 5 °C (41 °F) or colder and never above 21 °C (70 °F): mark the time, serve or discard within 6 h; discard what is not marked"},
		},
	},
	{
		Name: "UK", Title: "UK temperature rules of England, Wales and Northern Ireland", Scale: "C",
		// legislation.gov.uk wsi/2006/31, nisr/2006/3, uksi/2005/2059, Schedule 4: "at or above 63 °C". England's stands in uksi/2013/2996,
		// Schedule 4, since (from memory).
		Hot: &Hold{At: 63, Section: "Schedule 4"}, Cold: &Hold{At: 8, Section: "Schedule 4"},
		Others: []Rule{{"Schedule 4", "on display once: under 4 h above 8 °C (46.4 °F), under 2 h below 63 °C (145.4 °F)"}},
	},
	{
		Name: "Scotland", Title: "Food Hygiene (Scotland) Regulations 2006", Scale: "C",
		// legislation.gov.uk ssi/2006/3, Schedule 4, paragraph 2: "above 63 °C", not at it; cold without a figure; (2)(c) on cooling. The 82 °C
		// of paragraph 3 as uksi/1995/2200, regulation 14, has them.
		Hot:    &Hold{At: 63, Section: "Schedule 4, paragraph 2", Above: true},
		Reheat: &Hold{At: 82, Section: "Schedule 4, paragraph 3"},
		Others: []Rule{
			{"Schedule 4, paragraph 2", "hold hot above 63 °C (145.4 °F), or keep it in a refrigerator or a cool, ventilated place; no figure is named for cold"},
			{"Schedule 4, paragraph 2", "after cooking, cool it under hygienic conditions as quickly as possible; no time is named"},
			{"Schedule 4, paragraph 3", "reheat to 82 °C (179.6 °F) or hotter, unless that spoils it"},
		},
	},
	{
		Name: "France", Title: "French cooling rule", Scale: "C",
		Cooling: []Stage{{63, 10, 120, "arrêté of 21 December 2009"}}, // the decree's date from memory
	},
	{
		Name: "Codex", Title: "Codex CXC 39-1993, mass catering", Scale: "C", // figures from memory
		Cooling: []Stage{{60, 10, 120, "cooling"}, {60, 4, 0, "cooling"}},
		Hot:     &Hold{At: 60, Section: "serving"}, Cold: &Hold{At: 4, Section: "storage"}, Reheat: &Hold{At: 75, Section: "reheating"}, Again: 60,
		Keeps: 5, Dated: "storage",
		Others: []Rule{{"reheating", "reheat the core to 75 °C (167 °F) or hotter within 1 h of leaving the cold"}},
	},
	{
		Name: "EU", Title: "EU Regulation 852/2004", Scale: "C", // from memory
		Others: []Rule{{"Annex II, chapter IX(6)", "cool as quickly as possible; no figure is named"}},
	},
}

// What stands on everything that is said about cooling, holding, date marks and allergens.
const (
	codeFirst = "Local code and the people licensed to judge come first."

	// Caution stands on what is said about cooling, holding and date marks.
	Caution = codeFirst + " This states only what was logged, and which limits of the code named that meets or breaks."

	// AllergenCaution stands on what is said about allergens.
	AllergenCaution = codeFirst + " The allergens are those that the kitchen file states: check them against the packages. What " +
		"was not written down, such as traces and what a pan held before, is not here."
)

// codeNames are the codes as the kitchen file names them.
func codeNames() (names []string) {
	for _, c := range Codes {
		names = append(names, c.Name)
	}
	return names
}

// Limit prints a temperature of the code: "135 F".
func (c *Code) Limit(at float64) string { return Degrees{at, c.Scale}.String() }

// Both prints a temperature of the code on both scales: "57 °C (135 °F)". The °C beside a limit in °F are whole, as the US code
// prints them; the °F beside one in °C are to a tenth. What is judged is the figure on the code's own scale.
func (c *Code) Both(at float64) string {
	d := Degrees{at, c.Scale}
	if c.Scale == "F" {
		return Degrees{math.Round(d.In("C")), "C"}.String() + " (" + d.String() + ")"
	}
	return d.String() + " (" + Degrees{d.In("F"), "F"}.String() + ")"
}

// Chilled is how cold what lies in oil is kept, and on which scale: as the code holds food cold, or at 5 °C where it has no figure or a higher one.
func (c *Code) Chilled() Degrees {
	if c.Cold != nil && (Degrees{c.Cold.At, c.Scale}).In("C") <= 5 {
		return Degrees{c.Cold.At, c.Scale}
	}
	return Degrees{5, "C"}
}

// TakenIn is how cold what must come in cold is taken in, on which scale, and the section of that; "" where the code has no figure here.
func (c *Code) TakenIn() (at Degrees, section string) {
	if c.Receive == nil {
		return c.Chilled(), ""
	}
	return Degrees{c.Receive.At, c.Scale}, c.Cite(c.Receive.Section)
}

// Letters are the sections on raw fish and parasites: on freezing, and on keeping the supplier's letter; "" when the code has none here.
func (c *Code) Letters() string {
	if c.Letter == "" {
		return ""
	}
	return c.Parasites + ", " + c.Letter
}

// AdvisoryCited is the section that asks for an advisory with what is served raw or undercooked; "" when the code has none here.
func (c *Code) AdvisoryCited() string {
	if c.Advisory == "" {
		return ""
	}
	return c.Cite(c.Advisory)
}

// Cite names a section of the code.
func (c *Code) Cite(section string) string { return fmt.Sprintf("%s, %s", c.Title, section) }

// Reheating is the section on reheating, with its paragraph on the time where there is one.
func (c *Code) Reheating() string {
	if c.Soon == "" {
		return c.Reheat.Section
	}
	return c.Reheat.Section + ", " + c.Soon
}

// Heated are the sections on cooking, cooling and holding hot, each once; nil where the code names none.
func (c *Code) Heated() (sections []string) {
	add := func(s string) {
		if s, _, _ = strings.Cut(s, "("); s != "" && !slices.Contains(sections, s) {
			sections = append(sections, s)
		}
	}
	for _, x := range c.Cook {
		add(x.Section)
	}
	for _, x := range c.Cooling {
		add(x.Section)
	}
	if c.Hot != nil {
		add(c.Hot.Section)
	}
	return sections
}
