package clock

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/graph/flow"
	"kettletree/menu/kitchen"
	"kettletree/menu/tongue"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// labelsOf are the labels of one item in the whole period.
func labelsOf(t *testing.T, w *week.Week, item string) (list []Label) {
	t.Helper()
	days := make([]int, w.Days)
	for d := range days {
		days[d] = d
	}
	a, err := LabelsOn(t.Context(), w, days, tongue.Voice{})
	require.NoError(t, err)
	assert.Equal(t, kitchen.Caution+" Allergens are as the kitchen file states them: check them against the packages.", a.Caution)
	for _, l := range a.Labels {
		if l.Item == item {
			list = append(list, l)
		}
	}
	require.NotEmpty(t, list, item)
	return list
}

const burgers = `
bought: {beef: {price: 9/kg, raw: yes}, beans: {price: 2/kg}}
steps:
  cook burgers: {takes: [1 kg beef], gives: [0.8 kg burgers], cooks through: yes, batches: {mon: 1}}
  chili: {takes: [0.8 kg burgers, 1 kg beans], gives: [1.8 kg chili], batches: {wed: 1}}
`

// burgersFrom is a week of them from a Monday on.
func burgersFrom(t *testing.T, date string) *week.Week {
	t.Helper()
	from, err := time.Parse(time.DateOnly, date)
	require.NoError(t, err)
	return weektest.Stocked(t, burgers, "", week.Period{From: from, Days: 7})
}

// Prepared on 1 April, use or discard by the end of 7 April; on 1 May, 7 May (3-501.17(A), the day of preparation being
// day 1: southernnevadahealthdistrict.org/faq-items/how-long-can-i-keep-tcs-food/; cityofdubuque.org message 259495).
func TestSevenDays(t *testing.T) {
	for from, want := range map[string]string{"2024-04-01": "2024-04-07", "2023-05-01": "2023-05-07"} { // both are Mondays
		l := labelsOf(t, burgersFrom(t, from), "burgers")[0]
		assert.Equal(t, from, l.Made)
		assert.Equal(t, want, *l.UseBy)
		assert.Contains(t, l.Because, "US FDA Food Code 2022, 3-501.17(A)")
	}
}

// Burgers cooked on 1 June that go into a chili on 3 June: the chili's last day is 7 June (3-501.17(C), the example of
// the same page).
func TestEarliestIngredient(t *testing.T) {
	l := labelsOf(t, burgersFrom(t, "2026-06-01"), "chili")[0]
	assert.Equal(t, "2026-06-03", l.Made)
	assert.Equal(t, "2026-06-01", l.DayOne)
	assert.Equal(t, "burgers", l.From)
	assert.Equal(t, "2026-06-07", *l.UseBy)
	assert.Contains(t, l.Because, "US FDA Food Code 2022, 3-501.17(C)")
}

// A perpetual stock carries the day 1 of its oldest part, boiled daily or not (3-501.17(C); no section lets boiling renew it), and
// nobody knows when that was. With an approval of the authority named, each boil of fresh raw bones begins a day 1.
func TestPerpetualStock(t *testing.T) {
	const pot = `
bought: {bones: {price: 2/kg, raw: yes}, water: {price: 0/L, density: 1 kg/L}}
steps:
  boil: {takes: ["2 L stock, from yesterday", 2 kg bones, 6 L water], gives: [7 L stock]COOKS, batches: {mon-sun: 1}}
made: {stock: {keeps: 2 days, density: 1 kg/L}}
`
	read := func(cooks, approved string) []Label {
		src := replaceOnce(t, replaceOnce(t, pot, "COOKS", cooks), "keeps: 2 days", "keeps: 2 days"+approved)
		return labelsOf(t, weektest.Stocked(t, src, "item,quantity,made\nstock,3 L,2026-11-22\n", week.Period{From: weektest.Monday, Days: 7}), "stock")
	}
	const approved = ", date approved by: the county"
	renewed := read(", cooks through: yes", approved)
	require.Len(t, renewed, 7)
	for _, l := range renewed {
		assert.Equal(t, l.Made, l.DayOne)
		assert.NotEmpty(t, l.Cool)
		assert.Equal(t, "the county", l.Approved)
		assert.NotNil(t, l.UseBy)
	}
	for _, l := range read("", approved) { // an approval is printed only where it begins a day 1
		assert.Empty(t, l.Approved)
	}
	for _, cooks := range []string{", cooks through: yes", ", reheats: yes", ", cooks through: no", ""} {
		for _, l := range read(cooks, "") {
			if cooks == ", cooks through: yes" {
				assert.Nil(t, l.UseBy, l.Made)
				assert.Contains(t, l.Because, "oldest part, which is not on record (US FDA Food Code 2022, 3-501.17(C))")
			} else {
				assert.Equal(t, []string{"bones"}, l.Raw, "nothing cooks the bones through")
			}
		}
	}
}

func replaceOnce(t *testing.T, s, old, by string) string {
	t.Helper()
	require.Contains(t, s, old)
	return strings.Replace(s, old, by, 1)
}

// Frozen time does not count (3-501.18, as WAC 246-215-03527 has it): stock made on Monday and frozen on Wednesday has
// used 3 of its 7 days; thawed into a soup on Saturday, that is day 4, and three more are left.
func TestFreezing(t *testing.T) {
	const freezer = `
bought: {bones: {price: 2/kg, raw: yes}, carrots: {price: 2/kg}}
steps:
  boil: {takes: [2 kg bones], gives: [1 kg stock], cooks through: yes, batches: {mon: 1}}
  freeze: {takes: [1 kg stock], gives: [1 kg frozen stock], batches: {wed: 1}}
  thaw: {takes: [1 kg frozen stock, 1 kg carrots], gives: [2 kg soup], batches: {sat: 1}}
made: {frozen stock: {frozen: yes, keeps: 90 days}}
`
	w := weektest.SmallWeek(t, freezer)
	frozen := labelsOf(t, w, "frozen stock")[0]
	assert.True(t, frozen.Frozen)
	assert.Equal(t, 4, *frozen.LeftDays)
	assert.Equal(t, "2027-02-22", *frozen.UseBy)
	assert.Contains(t, frozen.Because, "3 of 7 days are used when it is frozen; frozen time does not count (US FDA Food Code 2022, 3-501.18)")
	soup := labelsOf(t, w, "soup")[0]
	assert.Equal(t, []any{"2026-11-23", "2026-11-26", "2026-11-27", 2}, []any{soup.DayOne, soup.Froze, soup.Thaws, soup.Ice}, "Monday is its day 1; Thursday and Friday do not count")
	assert.Equal(t, "2026-12-01", *soup.UseBy)
}

// What needs no date mark begins none and hands none on; without a code that names days, only the kitchen's own count.
func TestUndated(t *testing.T) {
	const rub = `
food code: CODE
bought: {salt: {price: 1/kg}, beef: {price: 9/kg}}
steps:
  mix rub: {takes: [1 kg salt], gives: [1 kg rub], batches: {mon: 1}}
  slice: {takes: [1 kg beef, 1 kg rub], gives: [2 kg cured beef], batches: {thu: 1}}
made: {rub: {date mark: no}}
`
	w := weektest.SmallWeek(t, replaceOnce(t, rub, "CODE", "US FDA Food Code 2022"))
	assert.Nil(t, labelsOf(t, w, "rub")[0].UseBy)
	assert.Equal(t, "2026-12-02", *labelsOf(t, w, "cured beef")[0].UseBy)
	w = weektest.SmallWeek(t, replaceOnce(t, rub, "CODE", "UK"))
	assert.Nil(t, labelsOf(t, w, "cured beef")[0].UseBy)
	w = weektest.SmallWeek(t, replaceOnce(t, rub, "CODE", "Codex"))
	assert.Equal(t, "2026-11-30", *labelsOf(t, w, "cured beef")[0].UseBy, "5 days with the day of cooking (CXC 39-1993, from memory)")
}

// What is made to order carries the day 1 of what is made to order for it, and what all there is of went into.
func TestToOrderAndAll(t *testing.T) {
	const counter = `
services: {lunch: 12:00-14:00}
bought: {beef: {price: 9/kg, raw: yes}, salt: {price: 1/kg, density: 1 kg/L}}
steps:
  roast: {takes: [2 kg beef], gives: [1.5 kg roast], cooks through: yes, batches: {mon: 1}}
  slice: {takes: [1.5 kg roast], gives: [1.4 kg slices], batches: all of it}
  dress: {takes: [1 kg slices, 10 g salt], gives: [1 kg dressed], batches: to order}
  fill: {takes: [1 kg dressed], gives: [1 kg filling], batches: to order}
made: {slices: {keeps: 4 days}}
dishes: {roll: {price: 9, takes: [100 g filling], sells: {lunch: 2}}}
`
	w := weektest.SmallDays(t, counter, 3)
	filling := labelsOf(t, w, "filling")
	require.Len(t, filling, 3)
	for _, l := range filling {
		assert.Equal(t, "2026-11-23", l.DayOne, l.Made)
		assert.True(t, l.ToOrder)
	}
	assert.Equal(t, "slices", filling[2].From)
	assert.Equal(t, "2026-11-29", *filling[2].UseBy)
}

// Every label of every example carries its allergens, and no date runs beyond what the code leaves.
func TestExampleLabels(t *testing.T) {
	for _, name := range weektest.Examples {
		w := weektest.ExampleWeek(t, name)
		days, err := MadeDays(t.Context(), w)
		require.NoError(t, err)
		require.NotEmpty(t, days, name)
		a, err := LabelsOn(t.Context(), w, days, tongue.Voice{})
		require.NoError(t, err)
		for _, l := range a.Labels {
			first, err := time.Parse(time.DateOnly, l.DayOne)
			require.NoError(t, err)
			require.NotNil(t, l.UseBy, "%s: %s", name, l.Item)
			if len(l.Raw) > 0 {
				assert.Contains(t, l.Because, "raw: a date mark is for ready food", "%s: %s", name, l.Item)
				assert.NotContains(t, l.Because, "7 days", "%s: %s", name, l.Item)
				continue
			}
			assert.LessOrEqual(t, *l.UseBy, first.AddDate(0, 0, 6).Format(time.DateOnly), "%s: %s", name, l.Item)
			assert.GreaterOrEqual(t, *l.UseBy, l.Made, "%s: %s, made of what is past its days", name, l.Item)
		}
		again, err := LabelsOn(t.Context(), w, days, tongue.Voice{})
		require.NoError(t, err)
		assert.Equal(t, a, again)
	}
}

// A pan whose card names no hour is lit at 00:45, while Monday's night is served: what comes of it is Monday's, with the hour at which
// it comes.
func TestWhatIsUnderWayIsOfTheNightThatIsServed(t *testing.T) {
	w := weektest.SmallDays(t, `
kitchen: Night Fryer
services: {night: 22:30-26:00}
bought: {suet: {price: 2/kg}}
steps:
  render: {takes: [1 kg suet], gives: [0.7 kg dripping], batches: {wed: 1}}
made: {dripping: {keeps: 3 days}}
dishes: {toast: {price: 3, takes: [20 g dripping], sells: 4}}
`, 1)
	step, err := w.FindStep("render")
	require.NoError(t, err)
	dripping, err := w.FindItem("dripping")
	require.NoError(t, err)
	at := 24*60 + 45
	w = w.Continued(nil, func(s *flow.Schedule) {
		s.From = at
		s.Pots = []flow.Pot{{Step: step, Day: 1, Start: at, Batches: 1, Gives: []flow.PotLine{{Item: dripping, Amount: 700, Minute: at}}}}
	})
	l := labelsOf(t, w, "dripping")[0]
	assert.Equal(t, "2026-11-24", l.Made)
	assert.Equal(t, "00:45", l.At)
}
