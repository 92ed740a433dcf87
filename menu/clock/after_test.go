package clock

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/week/weektest"
)

// A temperature that is due when nobody is there says so, and between whom: 3-501.14(A) has what is out at 13:00 at 5 °C (41 °F) by 19:00.
func TestNobodyReads(t *testing.T) {
	w := weektest.SmallDays(t, `services: {lunch: 12:00-14:00}
hands: {07:00-15:00: [cook]}
bought: {bones: {price: 2/kg, raw: yes, allergens: []}}
steps:
  boil: {takes: [10 kg bones], gives: ["9 kg stock, out at 5 h"], cooks through: yes, starts: "08:00", batches: {mon: 1}}
dishes: {cup: {price: 4, takes: [200 g stock], sells: {tue lunch: 10}}}
`, 2)
	a, err := Of(t.Context(), w, nil)
	require.NoError(t, err)
	reads := slices.DeleteFunc(a.Rows, func(r Row) bool { return r.Do != Read })
	require.Len(t, reads, 2)
	assert.Equal(t, "15:00", reads[0].At[11:])
	for _, r := range reads {
		assert.Empty(t, r.Who)
		require.NotNil(t, r.Nobody, r.At)
		assert.Equal(t, []string{"2026-11-23T15:00", "cook", "2026-11-24T07:00"}, []string{r.Nobody.Leaves, r.Nobody.Opens, r.Nobody.At})
	}
	w = weektest.SmallDays(t, strings.Replace(`services: {lunch: 12:00-14:00}
hands: {07:00-15:00: [cook]}
bought: {bones: {price: 2/kg, raw: yes, allergens: []}}
steps:
  boil: {takes: [10 kg bones], gives: ["9 kg stock, out at 5 h"], cooks through: yes, starts: "08:00", batches: {mon: 1}}
dishes: {cup: {price: 4, takes: [200 g stock], sells: {tue lunch: 10}}}
`, "07:00-15:00", "07:00-23:00", 1), 2)
	a, err = Of(t.Context(), w, nil)
	require.NoError(t, err)
	for _, r := range a.Rows {
		assert.Nil(t, r.Nobody)
	}
}

// A pot is washed before the next batch goes into it, however late that is: with one pair of hands, busy when the first is out, the second begins
// when the pot is clean.
func TestWashedBeforeTheNextGoesIn(t *testing.T) {
	w := weektest.SmallDays(t, `services: {dinner: 18:00-21:00}
hands: {07:00-22:00: [cook]}
vessels: {pot: {holds: 40 L}}
bought: {bones: {price: 2/kg, raw: yes, allergens: []}, beans: {price: 2/kg, allergens: []}, eels: {price: 2/kg, raw: yes, allergens: []}}
steps:
  boil: {takes: [10 kg bones], gives: ["9 kg stock, out at 2 h"], cooks through: yes, vessel: pot, starts: "08:00", batches: {mon: 1}}
  skin: {takes: [1 kg eels], gives: ["1 kg skinned, out at 30 min"], starts: "10:00", work: {light: 50 min}, batches: {mon: 1}}
  simmer: {takes: [10 kg beans], gives: ["10 kg soup, out at 3 h"], cooks through: yes, vessel: pot, starts: "10:30", batches: {mon: 1}}
dishes: {cup: {price: 4, takes: [200 g stock, 200 g soup, 10 g skinned], sells: {mon dinner: 10}}}
`, 1)
	a, err := Of(t.Context(), w, nil)
	require.NoError(t, err)
	at := func(do, step string) string {
		n := slices.IndexFunc(a.Rows, func(r Row) bool { return (r.Do == do || r.Act == do) && r.Step == step })
		require.GreaterOrEqual(t, n, 0, "%s %s", do, step)
		return a.Rows[n].At
	}
	assert.Less(t, at("wash", "boil"), at(Start, "simmer"))
}

// Nobody skims an empty pot: where there are no hands for it before the pot is emptied, it is not done, and that is said once.
func TestNobodySkimsAnEmptyPot(t *testing.T) {
	w := weektest.SmallDays(t, `services: {dinner: 18:00-21:00}
hands: {07:00-22:00: [cook]}
vessels: {pot: {holds: 40 L}}
bought: {bones: {price: 2/kg, raw: yes, allergens: []}, eels: {price: 2/kg, raw: yes, allergens: []}}
steps:
  boil: {takes: [10 kg bones], gives: ["1 kg picked, out at 2 h", "9 kg stock, out at 3 h"], cooks through: yes, vessel: pot, starts: "08:00",
    work: {skim: 5 min an hour, take out: 5 min, pick: 60 min}, batches: {mon: 1}}
  skin: {takes: [1 kg eels], gives: ["1 kg skinned, out at 90 min"], starts: "09:00", work: {light: 60 min}, batches: {mon: 1}}
dishes: {cup: {price: 4, takes: [200 g stock, 10 g picked, 10 g skinned], sells: {mon dinner: 10}}}
`, 1)
	a, err := Of(t.Context(), w, nil)
	require.NoError(t, err)
	out, said := "", 0
	for _, r := range a.Rows {
		if r.Do == TakeOut && r.Ends && r.Step == "boil" {
			out = r.At
		}
	}
	for _, r := range a.Rows {
		for _, s := range r.turns {
			assert.False(t, r.Act == "skim" && stamp(w, s.to) > out, "skimmed until %s, out at %s", stamp(w, s.to), out)
		}
	}
	for _, c := range a.Conflicts {
		if strings.Contains(c.Text, "skim") {
			said++
			assert.Contains(t, c.Text, "needs 5 min more than there is time for")
		}
	}
	assert.Equal(t, 1, said, "%+v", a.Conflicts)
}
