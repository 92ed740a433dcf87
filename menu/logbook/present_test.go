package logbook

// A week that goes on from the present: as long as all goes by the plan, it serves what was planned, whenever it is asked.

import (
	"context"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/graph/flow"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

const nightShop = `kitchen: Night Shop
services: {lunch: 11:30-14:30, dinner: 18:00-21:00}
bought:
  water: {price: 0/L, density: 1 kg/L}
  bones: {price: 2/kg, arrives: mon, keeps: 3 days}
  salt:  {price: 1/kg, arrives: mon}
steps:
  night pot:
    starts: "22:30"
    takes:   [10 kg bones, 20 L water]
    gives:  ["16 L stock, out at 9 h"]
    batches:   {mon: 1, tue: 1}
  reduce: {takes: [6 L stock], gives: [1 L glaze], batches: {wed: 1}}
made:
  stock: {keeps: 2 days, density: 1 kg/L}
  glaze: {keeps: 4 days, density: 1 kg/L}
dishes:
  soup:  {price: 6, takes: [400 mL stock, 4 g salt], sells: {lunch: 9, dinner: 14}}
  roast: {price: 12, takes: [40 mL glaze], sells: {dinner: 5}}
`

// servedOn are the portions of each dish at each service of Wednesday, day 1 of these tests, as a week serves them that is
// asked at a moment; a dish and service that are over are left out.
func servedOn(t *testing.T, k *kitchen.Kitchen, entries []Entry, asOf time.Time) map[string]float64 {
	t.Helper()
	j := newLogBook(t)
	_, err := j.Append(t.Context(), entries...)
	require.NoError(t, err)
	w := goingOn(t, j, k, asOf)
	o := w.Case.Flow.Walk(w.Case.Schedule, flow.Fair, nil)
	served := map[string]float64{}
	for slot, sit := range w.Sittings {
		for d, dish := range w.Dishes {
			if w.Date(sit.Day).Equal(at(1, 0)) && w.Case.Schedule.Wants[d].Forecast[slot] > 0 {
				served[dish.Name+" at "+w.Services[sit.Service].Name] = o.Served[slot*len(w.Dishes)+d]
			}
		}
	}
	return served
}

// goingOn is the week that goes on from a moment, by the kitchen file.
func goingOn(t present, j *Book, k *kitchen.Kitchen, asOf time.Time) *week.Week {
	t.Helper()
	return goingOnFrom(t, j, k, k.DayAt(asOf), asOf)
}

// goingOnFrom is the week that begins on a day, as it is known at a moment.
func goingOnFrom(t present, j *Book, k *kitchen.Kitchen, from, asOf time.Time) *week.Week {
	t.Helper()
	planned := Planned(func(from time.Time, days int) (*week.Week, error) {
		w, err := week.Over(k, week.Period{From: from, Days: days})
		if err == nil {
			w, _, _, err = j.Decisions(t.Context(), w, asOf)
		}
		return w, err
	})
	p, err := j.Present(t.Context(), k, planned, from, asOf)
	require.NoError(t, err)
	period := week.Period{From: from, Days: 3}
	on := period.From
	if asOf.After(on) {
		on = asOf
	}
	period.OnHand, _ = p.Stock.OnHand(k, period.From, on)
	w, err := week.Over(k, period)
	require.NoError(t, err)
	w, _, _, err = j.Decisions(t.Context(), w, asOf)
	require.NoError(t, err)
	return p.Stores(p.Continue(w))
}

func TestThePresentGoesOnAsPlanned(t *testing.T) {
	k := readKitchen(t, nightShop)
	all := map[string]float64{"soup at lunch": 9, "soup at dinner": 14, "roast at dinner": 5}
	before := `
		-1/08 received 20 kg bones
		-1/22 counted 0 L stock
		0/08 cooked night pot
		0/15 sold 9 soup at lunch
		0/20 sold 14 soup at dinner`
	// Of Monday's pot 16 - 23 * 0.4 = 6.8 L are left for Wednesday; the glaze takes 6 L.
	for name, c := range map[string]struct {
		more string
		asOf time.Time
		want map[string]float64
	}{
		"before dinner of the day before":      {"", at(0, 17), all},
		"before the pot is lit":                {"", at(0, 22), all},
		"while it boils":                       {"", at(1, 3), all},
		"when it is out, and nobody wrote":     {"", at(1, 9), all},
		"when it is written down":              {"1/08 cooked night pot", at(1, 9), all},
		"when the glaze is made":               {"1/08 cooked night pot\n1/09 cooked reduce", at(1, 10), all},
		"while lunch goes on":                  {"1/08 cooked night pot\n1/09 cooked reduce\n1/12 sold 4 soup", at(1, 13), map[string]float64{"soup at lunch": 5, "soup at dinner": 14, "roast at dinner": 5}},
		"after lunch":                          {"1/08 cooked night pot\n1/09 cooked reduce\n1/12 sold 9 soup", at(1, 16), map[string]float64{"soup at dinner": 14, "roast at dinner": 5}},
		"half of the pot lost":                 {"1/02 lost 50% of night pot", at(1, 3), map[string]float64{"soup at lunch": 9, "soup at dinner": 13, "roast at dinner": 5}},
		"half of it lost, said when it is out": {"1/09 lost 50% of night pot", at(1, 9), map[string]float64{"soup at lunch": 9, "soup at dinner": 13, "roast at dinner": 5}},
		"less came than the recipe says":       {"1/08 cooked night pot: 10 kg bones, 20 L water -> 7 L stock", at(1, 9), map[string]float64{"soup at lunch": 9, "soup at dinner": 10, "roast at dinner": 5}},
		"written down, and taken for unsaid":   {"1/08 cooked night pot\n1/08 counted 18 L stock", at(1, 9), all},
	} {
		t.Run(name, func(t *testing.T) {
			entries := typed(t, k, before+"\n"+c.more)
			list := entries[:0]
			for _, e := range entries {
				if !e.At.After(c.asOf) {
					list = append(list, e)
				}
			}
			assert.Equal(t, c.want, servedOn(t, k, list, c.asOf))
		})
	}
}

// present is a test, of one case or of a property.
type present interface {
	require.TestingT
	Helper()
	Context() context.Context
}

// A batch under way survives edits of the file: what it gives is by the card as it was when it was lit, and when its step is gone
// from the file, what comes out of it is there all the same.
func TestABatchUnderWaySurvivesEdits(t *testing.T) {
	k := readKitchen(t, nightShop)
	j := newLogBook(t)
	entries, err := j.Settle(t.Context(), k, asInFile(k), typed(t, k, "0/08 counted 0 L stock\n0/20 received 10 kg bones\n0/22 lit night pot of tue")...)
	require.NoError(t, err)
	_, err = j.Append(t.Context(), entries...)
	require.NoError(t, err)
	for name, c := range map[string]struct {
		edit *strings.Replacer
		pots int
	}{
		"another yield":   {strings.NewReplacer("16 L stock, out at 9 h", "4 L stock, out at 9 h"), 1},
		"another name":    {strings.NewReplacer("night pot:", "bone pot:"), 0},
		"another hour":    {strings.NewReplacer(`starts: "22:30"`, `starts: "05:00"`, "out at 9 h", "out at 2 h"), 1},
		"other inputs":    {strings.NewReplacer("[10 kg bones, 20 L water]", "[4 kg bones, 18 L water]"), 1},
		"on another day":  {strings.NewReplacer("{mon: 1, tue: 1}", "{sat: 1}"), 1},
		"nothing changed": {strings.NewReplacer(), 1},
	} {
		t.Run(name, func(t *testing.T) {
			edited := readKitchen(t, c.edit.Replace(nightShop))
			w := goingOn(t, j, edited, at(1, 3))
			assert.Len(t, w.Case.Schedule.Pots, c.pots)
			var soup float64
			for dish, n := range still(w, at(1, 0), at(1, 3), at(2, 0)) {
				if strings.HasPrefix(dish, "soup") {
					soup += n
				}
			}
			assert.Equal(t, 23.0, soup, "9 at lunch and 14 at dinner, of 16 L")
		})
	}
}

// Who counts in the morning, before prep without a time of its own is done, finds none of it: it is still to be made.
func TestACountBeforePrepLeavesItToBeMade(t *testing.T) {
	k := readKitchen(t, nightShop)
	j := newLogBook(t)
	_, err := j.Append(t.Context(), typed(t, k, "1/08 counted 16 L stock\n1/09 counted 0 L glaze")...)
	require.NoError(t, err)
	assert.Equal(t, 5.0, still(goingOn(t, j, k, at(1, 10)), at(1, 0), at(1, 10), at(2, 0))["roast at Wed 25 Nov dinner"], "the glaze is to be made by 11:30")
}
