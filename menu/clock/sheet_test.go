package clock

import (
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/week/weektest"
)

const twoShifts = `
kitchen: Pie Room
services: {lunch: 11:30-14:30}
hands: {22:00-06:00: night baker, 06:00-14:00: [day baker, porter]}
vessels: {stock pot: {holds: 40 L}}
bought:
  bones: {price: 2/kg, raw: yes}
  water: {price: 0/L, density: 1 kg/L}
  flour: {price: 1/kg}
  beef:  {price: 9/kg, raw: yes}
steps:
  stock:
    vessel: stock pot
    starts: "22:30"
    takes: [10 kg bones, 20 L water, "1 kg flour, in at 8 h 30 min"]
    gives: ["15 L stock, out at 9 h"]
    work: {light: 20 min, skim: 5 min an hour, take out: 15 min, cool: 15 min, wash: 15 min}
    cooks through: yes
    batches: {mon-sat: 1}
  crust: {takes: [1 kg flour], gives: [0.95 kg crust], station: pastry bench, work: 30 min, batches: {daily: 2}}
  filling: {takes: [2 kg beef, 2 L stock], gives: [3 kg filling], work: 40 min, cooks through: yes, batches: as needed}
made:
  stock:   {keeps: 4 days, density: 1 kg/L}
  crust:   {keeps: 2 days}
  filling: {keeps: 2 days}
dishes: {beef pie: {price: 8, takes: [150 g filling, 80 g crust], sells: 12}}
`

// Who stands at a pot in the morning sees what is done there every hour since the night began, first.
func TestStationGoesOnFromTheEvening(t *testing.T) {
	a, err := SheetsOn(t.Context(), weektest.SmallWeek(t, twoShifts), 2)
	require.NoError(t, err)
	require.NoError(t, a.Only("stock pot", true))
	first := a.Sheets[0].Tasks[0]
	assert.Equal(t, "skim", first.Act)
	assert.Equal(t, "2026-11-24T23:30", first.At)
	assert.Equal(t, "2026-11-25T07:30", first.By)
	skims := 0
	for _, r := range a.Sheets[0].Tasks {
		if r.Act == "skim" {
			skims++
		}
	}
	assert.Equal(t, 2, skims, "last night's and tonight's")
}

// A shift past midnight is one sheet, with what is done after midnight in it; what goes on past its end is on the next one's too.
func TestNightIsOneShift(t *testing.T) {
	w := weektest.SmallWeek(t, twoShifts)
	a, err := SheetsOn(t.Context(), w, 1)
	require.NoError(t, err)
	var names []string
	for _, s := range a.Sheets {
		names = append(names, s.For)
	}
	assert.Equal(t, []string{"day baker", "porter", "night baker", "stock pot", "pastry bench", "bench"}, names)
	night := a.Sheets[2]
	assert.Equal(t, "2026-11-24T22:00", night.From)
	assert.Equal(t, "2026-11-25T06:00", night.To)
	var does []string
	for _, r := range night.Tasks {
		does = append(does, r.At[11:]+" "+r.Do+" "+r.Act)
	}
	assert.Contains(t, does, "22:30 start ")
	assert.Contains(t, does, "23:30 work skim")
	assert.NotContains(t, does, "07:00 put in ", "the day's")

	require.NoError(t, a.Only("night baker", false))
	assert.Len(t, a.Sheets, 1)
	a, err = SheetsOn(t.Context(), w, 1)
	require.NoError(t, err)
	assert.EqualError(t, a.Only("baker", false), `no person is named "baker": did you mean "day baker" or "night baker"?`)
	assert.EqualError(t, a.Only("grill", true), `nothing is done at "grill" on Tue 24 Nov: there is work at stock pot, pastry bench, bench`)
}

// Whatever the timetable gives somebody to do stands on that person's sheet, and on no sheet of anybody who does not do it; each
// deadline stands in front and among the tasks; each step's work stands on its station's sheet.
func TestSheetsAreTheTimetable(t *testing.T) {
	kitchens := map[string]string{"two shifts": twoShifts}
	for name, src := range kitchens {
		w := weektest.SmallWeek(t, src)
		all, err := Of(t.Context(), w, nil)
		require.NoError(t, err)
		given := 0
		for day := range w.Days {
			a, err := SheetsOn(t.Context(), w, day)
			require.NoError(t, err)
			for _, s := range a.Sheets {
				for _, r := range s.Tasks {
					if !s.Station && r.Do != Serve && r.Do != Turn {
						assert.Contains(t, r.Who, s.For, name)
						assert.Less(t, r.At, s.To)
						given++
					}
				}
				for _, l := range s.Limits {
					assert.True(t, slices.ContainsFunc(s.Tasks, func(r Row) bool { return r.Do == Read && r.At == l.At }))
				}
			}
		}
		wanted := 0
		for _, r := range all.Rows {
			if r.Minute() >= 0 && r.At < w.Date(w.Days-1).Format("2006-01-02")+"T06" {
				wanted += min(len(r.Who), 1)
			}
		}
		assert.GreaterOrEqual(t, given, wanted, name)
	}
}

// A job that outlasts a shift stands on both sheets: on that of who takes over from the moment at which they do, for the rest of its minutes.
func TestHandedOverStandsOnBothSheets(t *testing.T) {
	w := weektest.SmallDays(t, `services: {dinner: 18:00-22:00}
hands: {08:00-14:00: [early], 13:00-21:00: [late]}
bought: {roots: {price: 1/kg, allergens: []}}
steps:
  peel: {takes: [9 kg roots], gives: ["9 kg roots peeled, out at 3 h"], starts: "12:00", work: {light: 3 h}, batches: {mon: 1}}
dishes: {soup: {price: 9, takes: [0.3 kg roots peeled], sells: {dinner: 6}}}
`, 1)
	a, err := SheetsOn(t.Context(), w, 0)
	require.NoError(t, err)
	got := map[string][]string{}
	for _, s := range a.Sheets {
		for _, r := range s.Tasks {
			if !s.Station && r.Do == Start {
				got[s.For] = append(got[s.For], fmt.Sprintf("%s, %d min", r.At, r.Minutes))
			}
		}
	}
	assert.Equal(t, map[string][]string{"early": {"2026-11-23T12:00, 180 min"}, "late": {"2026-11-23T14:00, 60 min"}}, got)
}
