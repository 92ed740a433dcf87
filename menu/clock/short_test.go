package clock

// What comes late behind other work says so, and help is there when the work is due.

import (
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
