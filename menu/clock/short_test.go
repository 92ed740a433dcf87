package clock

// What comes late behind other work says so, and help is there when the work is due.

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/language"

	"kettletree/menu/week/weektest"
)

// pozole is a cantina's pot of hens, pulled by one cook; between, it is skimmed.
const pozole = `
services: {dinner: "17:00-21:00"}
hands: {07:00-20:00: cook}
vessels: {pot: {holds: 60 L}}
bought: {water: {price: 0/L, density: 1 kg/L}, hen: {price: 9/each, each: 2 kg, raw: yes}}
steps:
  boil hens:
    vessel: pot
    starts: "09:00"
    takes: [30 L water, 10 each hen]
    gives: ["7 kg pulled hen, out at 3 h", "24 L broth, out at 5 h"]
    share cost by: main
    cooks through: yes
    work: {load: 20 min, skim: 5 min an hour, take out: 15 min, pull: 2 h 30 min, strain: 20 min}
    batches: {tue: 1}
made: {pulled hen: {keeps: 3 days}, broth: {keeps: 3 days, density: 1 kg/L}}
dishes: {bowl: {price: 6, takes: [100 g pulled hen, 300 mL broth], sells: {tue dinner: 20}}}
`

// The fourth skimming, of 13:00 to 14:00, would begin by 14:10 at the latest. The hens come out at 12:00, are pulled from 12:15 to 14:45 and set to
// cool until 15:00, then what can't wait longer: it is skimmed at 15:05, which takes 5 min, 55 min too late.
func TestHourlyWorkIsLateBehindOtherWork(t *testing.T) {
	for lang, want := range map[string]string{
		"en": "Tue 24 Nov 14:10 to 14:30: skim (Tuesday's boil hens) comes 55 min too late; hands are busy until 15:05 with pull and cool; " +
			"this would do: one more pair of hands from Tue 24 Nov 14:00 to 14:30",
		"es": "de mar 24 nov 14:10 a 14:30: espumar (boil hens) llega 55 min tarde; hasta las 15:05 hay manos ocupadas con: deshebrar, enfriar; " +
			"esto bastaría: una persona más, de mar 24 nov 14:00 a 14:30",
		"zh": "11月24日（周二）14:10至14:30：撇沫（boil hens）晚 55 分钟；15:05 之前人手忙于：撕肉、降温；以下任何一项都可以：11月24日（周二）14:00至14:30 多一个人",
	} {
		w, _ := weektest.SmallDays(t, pozole, 2).InLanguage(language.MustParse(lang))
		a := of(t, w)
		require.NotEmpty(t, a.Conflicts)
		c := a.Conflicts[len(a.Conflicts)-1]
		assert.Equal(t, want, c.Text, lang)
		assert.Equal(t, 55, c.Short)
		for _, c := range a.Conflicts {
			t.Log(c.Text)
			assert.NotContains(t, c.Text, "skim (Tuesday's boil hens) needs")
			assert.NotContains(t, c.Text, "skim (Tuesday's boil hens) 1 h 50 min")
		}
	}
}

// Bones come out of the pot at 06:00, which takes 20 min: who comes at 06:05, or at 06:15, is late for that, if only by the clock's grace.
func TestHelpIsThereWhenWorkIsDue(t *testing.T) {
	for _, hands := range []string{"{20:00-05:00: night cook}", "{20:00-05:00: night cook, 06:20-14:00: day cook}"} {
		a := of(t, weektest.SmallDays(t, `
services: {lunch: "12:00-15:00"}
hands: `+hands+`
vessels: {pot: {holds: 60 L}}
bought: {water: {price: 0/L, density: 1 kg/L}, bone: {price: 2/kg}}
steps:
  bone pot:
    vessel: pot
    starts: "22:00"
    takes: [30 L water, 10 kg bone]
    gives: ["24 L broth, out at 8 h"]
    work: {load: 20 min, take out: 20 min}
    batches: {mon: 1}
made: {broth: {keeps: 3 days, density: 1 kg/L}}
dishes: {bowl: {price: 6, takes: [300 mL broth], sells: {tue lunch: 20}}}
`, 2))
		helps := 0
		for _, c := range a.Conflicts {
			if c.At != "2026-11-24T06:00" {
				continue
			}
			t.Log(c.Text)
			for _, help := range c.Helps {
				helps++
				assert.NotRegexp(t, `from Tue 24 Nov 06:(0[1-9]|[1-5]\d)`, help)
			}
		}
		assert.Positive(t, helps)
	}
}

// What is taken out and cooled later than it should be, because the one cook is busy, comes too late: it needs no more minutes than there are.
func TestTakenOutLateIsOnlyLate(t *testing.T) {
	w := weektest.SmallDays(t, `services: {lunch: 12:00-15:00}
hands: {07:00-15:00: cook}
bought: {bones: {price: 1/kg, raw: yes, allergens: []}, roots: {price: 1/kg, allergens: []}}
steps:
  broth: {takes: [8 kg bones], gives: ["8 kg broth, out at 2 h"], cooks through: yes, starts: "08:00", batches: {mon: 1}}
  roast: {takes: [3 kg roots], gives: ["3 kg roots roasted, out at 1 h"], cooks through: yes, starts: "09:00", batches: {mon: 1}}
dishes: {soup: {price: 9, takes: [0.3 kg broth, 0.1 kg roots roasted], sells: {lunch: 6}}}
`, 1)
	a, err := Of(t.Context(), w, nil)
	require.NoError(t, err)
	require.NotEmpty(t, a.Conflicts)
	for _, c := range a.Conflicts {
		assert.NotContains(t, c.Text, "more than", c.Text)
		assert.Contains(t, c.Text, "too late", c.Text)
	}
}

// turnovers is a fish house: cod is boiled and flaked at the range, turnovers are rolled and filled at the bench, and the sauce is of what the
// cod was boiled in.
const turnovers = `
services: {lunch: "11:30-14:30"}
burners: 1
hands: {07:00-15:00: 2}
stations: {bench: {room for: 1}}
vessels: {pot: {holds: 30 L}}
bought: {cod: {price: 9/kg, keeps: 3 days}, water: {price: 0/L, density: 1 kg/L}, flour: {price: 1/kg}, butter: {price: 8/kg}, peas: {price: 3/kg}}
steps:
  cod pot:
    vessel: pot
    station: range
    starts: "07:00"
    takes: [10 kg cod, 8 L water]
    gives: ["9 kg flakes, out at 3 h", "5 L liquor, out at 3 h 30 min"]
    cooks through: yes
    work: {light: 20 min, skim: 10 min an hour, pull: 60 min}
    batches: {daily: 1}
  roll: {station: bench, takes: [3 kg flour, 2 kg butter], gives: [5 kg paste], work: 90 min, batches: {daily: 1}}
  turnovers: {station: bench, takes: [4 kg flakes, 3 kg paste], gives: [30 each turnover], work: 75 min, batches: {daily: 1}}
  sauce: {station: range, takes: [4 L liquor, 200 g flour], gives: [4 L sauce], reheats: yes, work: 40 min, batches: {daily: 1}}
  mash: {station: range, takes: [3 kg peas, 1 L water], gives: [3.8 kg pea mash], work: 50 min, batches: {daily: 1}}
made:
  flakes: {keeps: 3 days}
  liquor: {keeps: 3 days, density: 1 kg/L}
  paste: {keeps: 2 days}
  turnover: {keeps: 2 days, each: 220 g}
  sauce: {keeps: 1 day, density: 1 kg/L}
  pea mash: {keeps: 1 day}
dishes: {plate: {price: 11, takes: [1 each turnover, 100 mL sauce, 100 g pea mash], sells: {lunch: 25}}}
`

// What is short of room is done there: sauce at the range does not need more than there is room for at the bench.
func TestRoomIsShortWhereTheWorkIsDone(t *testing.T) {
	found := 0
	for _, c := range of(t, weektest.SmallDays(t, turnovers, 6)).Conflicts {
		if strings.Contains(c.Text, "sauce needs") && !strings.Contains(c.Text, "turnovers") {
			found++
			assert.NotContains(t, c.Text, "room for at bench", "it is done at the range")
		}
	}
	assert.Positive(t, found)
}

// Nothing is proposed that check refuses: where there is room for one, no two do one job at once.
func TestHelpHasRoom(t *testing.T) {
	shared := func(room string) bool {
		w := weektest.SmallDays(t, strings.Replace(turnovers, "room for: 1", "room for: "+room, 1), 1)
		table, err := newTable(t.Context(), w, w.Case)
		require.NoError(t, err)
		require.NoError(t, table.fill(t.Context(), func(int) bool { return true }, nil))
		at := slices.IndexFunc(table.night.works, func(x work) bool { return w.Graph.Steps[x.step].Name == "roll" })
		return slices.ContainsFunc(table.remedies(&Conflict{works: []int{at}}), func(r remedy) bool { return strings.Contains(r.says, "by 2 people at once") })
	}
	assert.False(t, shared("1"))
	assert.True(t, shared("2"))
}

// What two people must do where one is there is never done; what comes too late besides says so by itself, with its minutes and with help.
func TestNeverDoneStandsAlone(t *testing.T) {
	w := weektest.SmallDays(t, `services: {lunch: 11:30-14:00}
hands: {08:00-14:00: 1}
bought: {pork: {price: 5/kg, raw: yes, allergens: []}}
steps:
  sausage: {takes: [1 kg pork], gives: [1 kg links], cooks through: yes, work: 150 min, batches: {mon: 1}}
  potting: {takes: [1 kg pork], gives: [1 kg rillettes], cooks through: yes, work: "100 min with 2 people", batches: {mon: 1}}
  slicing: {takes: [1 kg pork], gives: [1 kg ham], cooks through: yes, work: 90 min, batches: {mon: 1}}
dishes: {plate: {price: 10, takes: [50 g links, 50 g rillettes, 50 g ham], sells: {lunch: 10}}}
`, 1)
	a, err := Of(t.Context(), w, nil)
	require.NoError(t, err)
	var never, late []Conflict
	for _, c := range a.Conflicts {
		if strings.Contains(c.Text, "so many people are never there") {
			never = append(never, c)
		} else if c.Short > 0 {
			late = append(late, c)
		}
	}
	require.Len(t, never, 1)
	assert.Contains(t, never[0].Text, "potting")
	assert.NotContains(t, never[0].Text, "slicing")
	require.Len(t, late, 1)
	assert.NotContains(t, late[0].Text, "potting")
	assert.Contains(t, late[0].Text, "more than 1 person")
	assert.NotEmpty(t, late[0].Helps)
	assert.Positive(t, late[0].Short)
}
