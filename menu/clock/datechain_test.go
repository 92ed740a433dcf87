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
			{"thawed stock", "2026-06-20", "2026-06-18", "2026-06-24", "3-501.17(C)", "frozen at the end of 2 June, 2 days used; 20 June counts as day 3, so 18 June as day 1"},
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
