package clock

// Chains of food through a kitchen, worked by hand from the FDA Food Code 2022. The sections' words, as far as they are read in
// state adoptions that copy them (Wis. ATCP 75 and Minn. R. 4626.0400 for 3-501.17; WAC 246-215-03527 for 3-501.18):
//
//	3-501.17(A)  ready food held cold more than 24 h is used within 7 days, the day of preparation being day 1
//	3-501.17(C)  what is made of several ready foods keeps the date of the one that was prepared earliest
//	3-501.18     time in which it is frozen does not count
//	3-401.11     raw food of animals is cooked: only then is it ready food (from memory)
//	3-403.11     ready food is reheated; no section says that this begins a new day 1 (from memory)

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// 1 June 2026 is a Monday.
const chained = `
days: {2026-06-06: {works: no}, 2026-06-13: {works: no}}
bought:
  chicken: {price: 4/kg, raw: yes, allergens: []}
  beef:    {price: 9/kg, raw: yes, allergens: []}
  carrots: {price: 2/kg, allergens: []}
  cod:     {price: 9/kg, raw: yes, allergens: [fish: cod]}
  rice:    {price: 2/kg, allergens: []}
steps:
  boil:     {takes: [10 kg chicken], gives: [9 kg stock], cooks through: yes, batches: {mon: 1}}
  reduce:   {takes: [1 kg stock], gives: [0.2 kg glaze], HEATS, batches: {fri: 1}}
  roast:    {takes: [1 kg beef], gives: [0.7 kg roast], cooks through: yes, batches: {wed: 1}}
  combine:  {takes: [1 kg stock, 0.5 kg roast, 0.2 kg carrots], gives: [1.5 kg soup], batches: {thu: 1}}
  freeze:   {takes: [1 kg stock], gives: [1 kg frozen stock], batches: {tue: 1}}
  thaw:     {takes: [1 kg frozen stock], gives: [1 kg thawed stock], batches: {sat: 1}}
  poach:    {takes: [1 kg beef, 1 kg stock], gives: [0.7 kg poached beef], cooks through: yes, batches: {thu: 1}}
  fillet:   {takes: [1 kg cod], gives: [0.5 kg fillet], cooks through: no, batches: {tue: 1}}
  stuff:    {takes: [0.1 kg stock, 1 kg beef, 0.2 kg rice], gives: [1.2 kg stuffed beef], cooks through: no, batches: {wed: 1}}
  roast it: {takes: [1 kg stuffed beef], gives: [0.8 kg roast stuffed], cooks through: yes, batches: {fri: 1}}
  cure:     {takes: [0.4 kg fillet], gives: [0.4 kg cured cod], cooks through: no, batches: {wed: 1}}
made: {frozen stock: {frozen: yes}, glaze: {keeps: 30 days}}
dishes:
  cured plate: {price: 9, takes: [100 g cured cod], cooks through: no}
`

func TestDateChains(t *testing.T) {
	from := time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC)
	for _, heats := range []string{"cooks through: yes", "reheats: yes", "cooks through: no"} {
		w := weektest.Stocked(t, replaceOnce(t, chained, "HEATS", heats), "", week.Period{From: from, Days: 21})
		for _, c := range []struct{ item, made, dayOne, last, section, why string }{
			{"stock", "2026-06-01", "2026-06-01", "2026-06-07", "3-501.17(A)", "raw chicken, cooked through on 1 June: that is day 1, and 7 June day 7"},
			{"glaze", "2026-06-05", "2026-06-01", "2026-06-07", "3-501.17(C)", "the stock was ready food before: heating it again, on its day 5, begins no new day 1"},
			{"roast", "2026-06-03", "2026-06-03", "2026-06-09", "3-501.17(A)", "raw beef, cooked through on 3 June"},
			{"soup", "2026-06-04", "2026-06-01", "2026-06-07", "3-501.17(C)", "of stock of 1 June and roast of 3 June, the earlier"},
			{"thawed stock", "2026-06-20", "2026-06-01", "2026-06-24", "3-501.17(C)", "frozen at the end of 2 June, 2 days used; 20 June counts as day 3"},
			{"poached beef", "2026-06-04", "2026-06-01", "2026-06-07", "3-501.17(C)", "raw beef begins a day 1 on 4 June, the stock that it is poached in keeps 1 June"},
			{"roast stuffed", "2026-06-05", "2026-06-01", "2026-06-07", "3-501.17(C)", "the ready stock in the raw stuffing keeps its date through the roasting"},
			{"cured cod", "2026-06-03", "2026-06-03", "2026-06-09", "3-501.17(A)", "raw, but served so by the file's word: ready to eat from the day that it is made"},
		} {
			l := labelsOf(t, w, c.item)[0]
			assert.Equal(t, c.made, l.Made, c.item)
			assert.Equal(t, c.dayOne, l.DayOne, "%s: %s", c.item, c.why)
			require.NotNil(t, l.UseBy, c.item)
			assert.Equal(t, c.last, *l.UseBy, "%s: %s", c.item, c.why)
			assert.Contains(t, l.Because, c.section, c.item)
		}
		thawed := labelsOf(t, w, "thawed stock")[0]
		assert.Equal(t, []any{"2026-06-03", "2026-06-19", 17}, []any{thawed.Froze, thawed.Thaws, thawed.Ice}, "the days between do not count")
		assert.Contains(t, labelsOf(t, w, "cured cod")[0].Because, "raw food that is served raw, with the advisory, is ready to eat (US FDA Food Code 2022, 1-201.10(B), from memory)")
		assert.Equal(t, []string{"cod"}, labelsOf(t, w, "cured cod")[0].Fish, "no letter on parasites is named")
		for _, item := range []string{"fillet", "stuffed beef"} {
			l := labelsOf(t, w, item)[0]
			assert.NotEmpty(t, l.Raw, item)
			if item == "stuffed beef" {
				assert.Nil(t, l.UseBy, "a date mark is for ready food: raw food claims no seven days")
				assert.Contains(t, l.Because, "raw: a date mark is for ready food (US FDA Food Code 2022, 3-501.17(A))")
			}
		}
	}
}

// The days of Codex are for food that was cooked: raw food that is served raw claims none of them.
func TestRawUnderCodex(t *testing.T) {
	w := weektest.Stocked(t, "food code: Codex\n"+replaceOnce(t, chained, "HEATS", "reheats: yes"), "", week.Period{From: time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC), Days: 7})
	l := labelsOf(t, w, "cured cod")[0]
	assert.Nil(t, l.UseBy)
	assert.NotContains(t, l.Because, "ready to eat (")
	assert.Equal(t, "2026-06-05", *labelsOf(t, w, "stock")[0].UseBy)
	frozen := labelsOf(t, w, "frozen stock")[0]
	assert.NotContains(t, frozen.Because, "frozen time does not count", "no section of Codex here says so")
	assert.Contains(t, frozen.Because, "2 of 5 days are used when it is frozen")
}

// The label of raw fish that is served raw has the supplier's letter, or says that none is named; that of fish in which histamine forms
// has the cold, in whatever language it is named. What is cooked through has neither.
func TestFishOnLabels(t *testing.T) {
	const fish = `
services: {lunch: 12:00-14:00}
bought:
  tuna loin: {price: 9/kg, raw: yes, allergens: [fish: tuna], parasite letter: "Deepwater, lot 7, 2026-05-30"}
  bream:     {price: 9/kg, raw: yes, allergens: [fish: bream]}
  small fry: {price: 9/kg, raw: yes, allergens: [fish: sardine]}
  cod:       {price: 9/kg, raw: yes, allergens: [fish: cod]}
steps:
  slice: {takes: [1 kg tuna loin], gives: [0.9 kg slices], cooks through: no, batches: {mon: 1}}
  dice:  {takes: [1 kg bream], gives: [0.9 kg dice], cooks through: no, batches: {mon: 1}}
  salt:  {takes: [1 kg small fry], gives: [0.9 kg salted], cooks through: no, batches: {mon: 1}}
  trim:  {takes: [1 kg cod], gives: [0.8 kg fillets], cooks through: no, batches: {mon: 1}}
  grill: {takes: [0.5 kg small fry], gives: [0.4 kg grilled], cooks through: yes, batches: {mon: 1}}
dishes:
  raw plate: {price: 9, takes: [100 g slices, 100 g dice], cooks through: no, sells: {lunch: 1}}
  fried:     {price: 9, takes: [100 g salted, 100 g fillets], cooks through: yes, sells: {lunch: 1}}
  cold:      {price: 9, takes: [100 g grilled], sells: {lunch: 1}}
`
	w := weektest.Stocked(t, fish, "", week.Period{From: time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC), Days: 1})
	for item, want := range map[string][3][]string{
		"slices":  {nil, {"Deepwater, lot 7, 2026-05-30"}, {"tuna loin"}},
		"dice":    {{"bream"}, nil, nil},
		"salted":  {nil, nil, {"small fry"}},
		"fillets": {},
		"grilled": {},
	} {
		l := labelsOf(t, w, item)[0]
		assert.Equal(t, want, [3][]string{l.Fish, l.Letters, l.Histamine}, item)
	}
}

// Garlic in oil keeps its earliest day from one oil into the next, with a date mark of its own or without, and frozen days left out: 4
// days at most, the day made counted (CDC, from memory). 1 June 2026 is a Monday.
func TestOilChains(t *testing.T) {
	const oils = `
days: {2026-06-06: {works: no}}
bought:
  garlic:    {price: 9/kg, allergens: []}
  olive oil: {price: 9/kg, allergens: []}
  walnuts:   {price: 9/kg, allergens: [tree nuts: walnut]}
  tomatoes:  {price: 3/kg, allergens: []}
  chicken:   {price: 4/kg, raw: yes, allergens: []}
steps:
  confit:  {takes: [2 kg garlic, 4 kg olive oil], gives: [6 kg confit], batches: {mon: 1}}
  pound:   {takes: [1 kg confit, 0.5 kg walnuts], gives: [1.5 kg pesto], batches: {wed: 1}}
  coat:    {takes: [0.5 kg pesto, 0.1 kg walnuts], gives: [0.6 kg rub], batches: {thu: 1}}
  fresh:   {takes: [1 kg garlic, 2 kg olive oil], gives: [3 kg fresh oil], batches: {thu: 1}}
  dress:   {takes: [0.2 kg confit, 5 kg tomatoes], gives: [5 kg sauce], batches: {wed: 1}}
  soak:    {takes: [1 kg confit, 1 kg chicken], gives: [2 kg marinade], cooks through: no, batches: {wed: 1}}
  freeze:  {takes: [1 kg confit], gives: [1 kg frozen confit], batches: {tue: 1}}
  thaw:    {takes: [1 kg frozen confit], gives: [1 kg thawed confit], batches: {sun: 1}}
made: {frozen confit: {frozen: yes}, confit: {MARK}}
`
	from := time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC)
	for _, mark := range []string{"keeps: 4 days", "keeps: 4 days, date mark: no"} {
		w := weektest.Stocked(t, replaceOnce(t, oils, "MARK", mark), "", week.Period{From: from, Days: 14})
		for _, c := range []struct{ item, last, because, why string }{
			{"confit", "2026-06-04", "in oil or fat 4 days at most, the day made counted", "made on 1 June, and 4 June is day 4"},
			{"pesto", "2026-06-04", "in oil or fat 4 days at most, counted from Mon 1 Jun, the day of the confit", "two thirds of it are oil of 1 June"},
			{"rub", "2026-06-04", "counted from Mon 1 Jun, the day of the confit", "of that oil through the pesto"},
			{"fresh oil", "2026-06-07", "in oil or fat 4 days at most, the day made counted", "nothing in it lay in oil before"},
			{"marinade", "2026-06-04", "counted from Mon 1 Jun, the day of the confit", "raw food has no date mark, but the oil on it has its days"},
			{"thawed confit", "2026-06-08", "counted from Mon 1 Jun, the day of the confit; 4 days in the freezer not counted", "1 and 2 June are days 1 and 2, 3 to 6 June lay frozen, 7 June is day 3"},
		} {
			l := labelsOf(t, w, c.item)[0]
			require.NotNil(t, l.UseBy, c.item)
			assert.Equal(t, c.last, *l.UseBy, "%s: %s", c.item, c.why)
			assert.Contains(t, l.Because, c.because, c.item)
		}
		sauce := labelsOf(t, w, "sauce")[0] // a twenty-fifth of it is oil: the code's days bind it, from the oil's day 1
		if mark == "keeps: 4 days" {
			assert.Equal(t, "2026-06-07", *sauce.UseBy)
			assert.Equal(t, "2026-06-01", sauce.DayOne)
		}
		frozen := labelsOf(t, w, "frozen confit")[0]
		require.NotNil(t, frozen.LeftDays)
		assert.Equal(t, 2, *frozen.LeftDays, "two of four days were used when it was frozen")
	}
}

// Where the code sets no days, ready food keeps its earliest date all the same: the kitchen's own days of what is the oldest in it. That a
// mix lasts no longer than its oldest part is common practice, no source.
func TestChainsWithoutCodeDays(t *testing.T) {
	from := time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC)
	kept := replaceOnce(t, replaceOnce(t, chained, "HEATS", "reheats: yes"), "made: {frozen stock: {frozen: yes}, glaze: {keeps: 30 days}}",
		"made: {stock: {keeps: 6 days}, frozen stock: {frozen: yes, keeps: 90 days}, thawed stock: {keeps: 6 days}, glaze: {keeps: 6 days}, soup: {keeps: 2 days}, roast: {keeps: 4 days}}")
	for _, code := range []string{"UK", "Scotland", "France", "EU"} {
		w := weektest.Stocked(t, "food code: "+code+"\n"+kept, "", week.Period{From: from, Days: 21})
		for _, c := range []struct{ item, dayOne, last, because string }{
			{"stock", "2026-06-01", "2026-06-06", "the kitchen keeps it 6 days"},
			{"glaze", "2026-06-01", "2026-06-06", "6 days from the day 1 of stock: the kitchen's own days, for the code sets none"},
			{"soup", "2026-06-01", "2026-06-05", "the kitchen keeps it 2 days; the kitchen's 6 days from the day 1 of stock end Sat 6 Jun"},
			{"thawed stock", "2026-06-01", "2026-06-23", "6 days from the day 1 of stock"}, // 2 days used when frozen, 20 June is day 3
			{"poached beef", "2026-06-01", "2026-06-06", "6 days from the day 1 of stock"}, // without days of its own
		} {
			l := labelsOf(t, w, c.item)[0]
			require.NotNil(t, l.UseBy, c.item)
			assert.Equal(t, []string{c.dayOne, c.last}, []string{l.DayOne, *l.UseBy}, "%s under %s", c.item, code)
			assert.Contains(t, l.Because, c.because, c.item)
		}
		assert.Equal(t, 4, *labelsOf(t, w, "frozen stock")[0].LeftDays, code)
	}
}

// What another step made and yesterday left is a batch like any other; only what comes of itself carries a day 1 that is not on record,
// under any code.
func TestFromYesterday(t *testing.T) {
	from := time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC)
	for code, want := range map[string]string{"US FDA Food Code 2022": "2026-06-07", "UK": "2026-06-06"} {
		w := weektest.Stocked(t, "food code: "+code+`
bought: {chicken: {price: 4/kg, raw: yes, allergens: []}, bones: {price: 1/kg, allergens: []}}
steps:
  boil:   {takes: [10 kg chicken], gives: [9 kg stock], cooks through: yes, batches: {mon: 1}}
  reduce: {takes: ["1 kg stock, from yesterday"], gives: [0.2 kg glaze], reheats: yes, batches: {fri: 1}}
  top up: {takes: ["1 kg old pot, from yesterday", 1 kg bones], gives: [2 kg old pot], cooks through: yes, batches: {mon-sun: 1}}
made: {stock: {keeps: 6 days}, glaze: {keeps: 7 days}, old pot: {keeps: 3 days}}
`, "item,quantity,made\nold pot,5 kg,2026-05-31\n", week.Period{From: from, Days: 7})
		glaze := labelsOf(t, w, "glaze")[0]
		require.NotNil(t, glaze.UseBy, code)
		assert.Equal(t, []string{"2026-06-01", "stock", want}, []string{glaze.DayOne, glaze.From, *glaze.UseBy}, code)
		pot := labelsOf(t, w, "old pot")[0]
		assert.Nil(t, pot.UseBy, code)
		assert.Contains(t, pot.Because, "it carries the day 1 of its oldest part, which is not on record", code)
	}
}
