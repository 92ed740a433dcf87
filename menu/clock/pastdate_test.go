package clock

import (
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/language"

	"kettletree/menu/tongue"
	"kettletree/menu/week"
	"kettletree/menu/week/weektest"
)

// Stock of Monday 1 June may be used until the 7th, its day 7, and what is made of it too (FDA Food Code 2022, 3-501.17(A) and (C); 3-501.18
// has it discarded after that). 1 June 2026 is a Monday.
const pastDated = `
services: {lunch: 12:00-14:00}
bought: {chicken: {price: 4/kg, raw: yes, allergens: []}, beans: {price: 2/kg, allergens: []}}
steps:
  boil: {takes: [10 kg chicken], gives: [9 kg stock], cooks through: yes, batches: {mon: 1}}
  stew: {takes: [6 kg stock, 2 kg beans], gives: [8 kg stew], reheats: yes, batches: {thu: 1}}
dishes:
  bowl: {price: 9, takes: [500 g stew], sells: {SELLS}}
`

func TestPastDate(t *testing.T) {
	from := time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC)
	conflicts := func(sells string, tongues ...language.Tag) (list []Conflict) {
		w := weektest.Stocked(t, replaceOnce(t, pastDated, "SELLS", sells), "", week.Period{From: from, Days: 9})
		for _, l := range tongues {
			w, _ = w.InLanguage(l)
		}
		a, err := Of(t.Context(), w, nil)
		require.NoError(t, err)
		for _, c := range a.Conflicts {
			if c.Kind == PastDate {
				list = append(list, c)
			}
		}
		return list
	}
	// Sold out on Sunday, its last day.
	assert.Empty(t, conflicts("sun lunch: 16"))
	// Half is left for the days after: Monday and Tuesday serve it past its date.
	got := conflicts("sun lunch: 8, mon lunch: 4, tue lunch: 4")
	require.Len(t, got, 1)
	assert.Equal(t, "stew of Thu 4 Jun may be used until the end of Sun 7 Jun by its date mark, but 4 kg of it would be used after that, from Mon 8 Jun on: bowl. "+
		"Make it later, or less of it, and serve none of it after its last day", got[0].Text)
	assert.Equal(t, "2026-06-04", got[0].At[:10], "it is read before it is made")
	assert.Equal(t, "2026-06-09", got[0].Until[:10])
	for tag, say := range map[language.Tag]string{language.Spanish: "dom 7 jun", language.SimplifiedChinese: "6月7日（周日）"} {
		told := conflicts("sun lunch: 8, mon lunch: 4, tue lunch: 4", tag)
		require.Len(t, told, 1)
		assert.Contains(t, told[0].Text, say)
		assert.NotContains(t, told[0].Text, "date mark")
	}

	// The label of the lot and whatever else answers from the same walk say so in the same words.
	w := weektest.Stocked(t, replaceOnce(t, pastDated, "SELLS", "sun lunch: 8, mon lunch: 4, tue lunch: 4"), "", week.Period{From: from, Days: 9})
	labels, err := LabelsOn(t.Context(), w, []int{3}, tongue.Voice{})
	require.NoError(t, err)
	assert.Contains(t, labels.Says, got[0].Text)
	labels, err = LabelsOn(t.Context(), w, []int{0}, tongue.Voice{})
	require.NoError(t, err)
	assert.NotContains(t, labels.Says, got[0].Text, "of another day's")
	played, err := w.Play(t.Context())
	require.NoError(t, err)
	assert.Equal(t, []string{got[0].Text}, w.CantBe(played))
}

// What was made past its last day is named by what brought the day: the stew, of stock that was kept too long.
func TestMadePastDate(t *testing.T) {
	src := replaceOnce(t, replaceOnce(t, pastDated, "batches: {thu: 1}", "batches: {wed: 1}"), "SELLS", "thu lunch: 16")
	w := weektest.Stocked(t, src, "item,quantity,made\nstock,6 kg,2026-05-27\n", week.Period{From: time.Date(2026, 6, 2, 0, 0, 0, 0, time.UTC), Days: 3})
	played, err := w.Play(t.Context())
	require.NoError(t, err)
	assert.Equal(t, []string{"stock of Wed 27 May may be used until the end of Tue 2 Jun by its date mark, but 6 kg of it would be used after that, from Wed 3 Jun on: bowl. " +
		"Make it later, or less of it, and serve none of it after its last day"}, w.CantBe(played))
}

// What nobody can do is said in the same words by the clock and by whatever answers from the walk.
func TestNeverThere(t *testing.T) {
	w := weektest.SmallDays(t, `services: {lunch: 11:30-14:00}
hands: {08:00-14:00: 1, sun 09:00-10:00: 1}
bought: {pork: {price: 5/kg, raw: yes, allergens: []}}
steps:
  potting: {takes: [1 kg pork], gives: [1 kg rillettes], cooks through: yes, work: "100 min with 2 people", batches: {mon: 1}}
  kettle: {takes: [1 kg pork], gives: ["1 kg soup, out at 2 h"], cooks through: yes, starts: "08:00", work: {lift: 10 min at 1 h with 3 people}, batches: {mon: 1}}
dishes: {plate: {price: 10, takes: [50 g soup, 50 g rillettes], sells: {lunch: 10}}}
`, 1)
	a, err := Of(t.Context(), w, nil)
	require.NoError(t, err)
	played, err := w.Play(t.Context())
	require.NoError(t, err)
	said := w.CantBe(played)
	require.Len(t, said, 2)
	assert.Equal(t, "potting takes 2 pairs of hands at once for 1 h 40 min, but so many people are never there together that long: what it gives is counted on, and nobody can make it", said[0])
	assert.Contains(t, said[1], "lift (kettle) takes 3 pairs of hands at once for 10 min")
	for _, text := range said {
		assert.True(t, slices.ContainsFunc(a.Conflicts, func(c Conflict) bool { return c.Kind == NoHands && strings.Contains(c.Text, text) }), "%s\n%v", text, a.Conflicts)
	}
}
