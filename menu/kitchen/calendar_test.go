package kitchen

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// datedKitchen has hours by weekday, a service past midnight, and days that differ.
const datedKitchen = `
open: tue-sun
services: {lunch: 11:30-14:30, dinner: 17:30-22:00, fri-sat dinner: 17:30-24:30, sun lunch: 12:00-16:00, sun dinner: closed, brunch: closed}
closed: [2026-12-25, 2026-12-26]
days:
  2026-12-24: {dinner: closed}
  2026-12-26: {works: no}
  2026-12-28: {dinner: 18:00-23:00}
  2026-12-31: {dinner: 1.6 of forecast}
  2027-01-01: {brunch: 9:00-11:00, dinner: 18:00-21:00 at 1/2 of forecast}
works: tue-sun
bought: {rice: {price: 1/kg, arrives: mon fri}}
steps: {boil rice: {takes: [1 kg rice], gives: [1 kg cooked rice], batches: {fri sat: 2}}}
dishes:
  bowl: {price: 5, takes: [100 g cooked rice], sells: {lunch: 20, dinner: 43 ± 10, fri dinner: 60}}
`

func on(date string) time.Time {
	t, err := time.Parse("2006-01-02", date)
	if err != nil {
		panic(err)
	}
	return t
}

func TestCalendar(t *testing.T) {
	k, faults := Read("kitchen.yaml", []byte(datedKitchen))
	require.Empty(t, faults, "%s", faults.Error())
	for _, c := range []struct {
		date, services string // each with its hours and what is sold of the bowl
		works          bool
	}{
		{"2026-12-22", "lunch 11:30-14:30 20, dinner 17:30-22:00 43", true},
		{"2026-12-20", "lunch 12:00-16:00 20", true},
		{"2026-12-21", "", false},
		{"2026-12-24", "lunch 11:30-14:30 20", true},
		{"2026-12-25", "", true},
		{"2026-12-26", "", false},
		{"2026-12-19", "lunch 11:30-14:30 20, dinner 17:30-24:30 43", true},
		{"2026-12-28", "dinner 18:00-23:00 43", true},
		{"2026-12-31", "lunch 11:30-14:30 20, dinner 17:30-22:00 69", true}, // 1.6 times 43 is 68.8
		{"2027-01-01", "brunch 09:00-11:00 0, lunch 11:30-14:30 20, dinner 18:00-21:00 30", true},
	} {
		got := ""
		for _, m := range k.MealsOn(on(c.date)) {
			if got != "" {
				got += ", "
			}
			sells, _ := k.SellsOn(0, on(c.date), m.Service)
			got += k.Services[m.Service].Name + " " + m.Hours.String() + " " + fmt.Sprint(sells)
		}
		assert.Equal(t, c.services, got, c.date)
		assert.Equal(t, c.works, k.WorksOn(on(c.date)), c.date)
	}

	dinner, err := k.ServiceNamed("dinner")
	require.NoError(t, err)
	_, spread := k.SellsOn(0, on("2026-12-31"), dinner)
	assert.InDelta(t, 16, spread, 1e-9, "the spread grows with the forecast")
	assert.Equal(t, 2.0, k.BatchesOn(0, on("2026-12-25")), "a closed date is a working day")
	assert.Equal(t, 0.0, k.BatchesOn(0, on("2026-12-26")), "unless nobody works")
	assert.True(t, k.Differs(on("2026-12-31"), dinner))
	assert.True(t, k.Differs(on("2026-12-25"), dinner))
	assert.False(t, k.Differs(on("2026-12-30"), dinner))
}

// The service of what was sold at a moment.
func TestServedAt(t *testing.T) {
	k, faults := Read("kitchen.yaml", []byte(datedKitchen))
	require.Empty(t, faults)
	for _, c := range []struct{ at, named, day, service string }{
		{"2026-12-22 12:00", "", "2026-12-22", "lunch"},
		{"2026-12-22 16:00", "", "2026-12-22", "lunch"},
		{"2026-12-22 17:30", "", "2026-12-22", "dinner"},
		{"2026-12-22 22:01", "", "2026-12-22", "dinner"},
		{"2026-12-22 09:00", "", "", ""},
		{"2026-12-22 09:00", "dinner", "2026-12-22", "dinner"},
		{"2026-12-22 22:10", "lunch", "2026-12-22", "lunch"},
		{"2026-12-20 18:00", "", "2026-12-20", "lunch"}, // a Sunday has no dinner
		{"2026-12-19 00:15", "", "2026-12-18", "dinner"},
		{"2026-12-19 00:15", "dinner", "2026-12-18", "dinner"},
		{"2026-12-19 00:45", "", "2026-12-18", "dinner"}, // the till is read when all have gone
		{"2026-12-19 05:01", "", "", ""},
		{"2026-12-19 00:45", "dinner", "2026-12-18", "dinner"},
		{"2026-12-19 00:00", "dinner", "2026-12-19", "dinner"}, // a date alone
		{"2026-12-19 00:00", "", "", ""},
		{"2026-12-23 00:15", "", "", ""},                 // a Tuesday's dinner ends at ten
		{"2026-12-21 19:00", "", "2026-12-21", "dinner"}, // closed, yet something was sold
		{"2027-01-01 10:30", "", "2027-01-01", "brunch"},
		{"2026-12-22 12:00", "tea", "", ""},
	} {
		at, err := time.Parse("2006-01-02 15:04", c.at)
		require.NoError(t, err)
		day, service, ok := k.ServedAt(at, c.named)
		require.Equal(t, c.service != "", ok, "%v", c)
		if ok {
			assert.Equal(t, c.service, k.Services[service].Name, "%v", c)
			assert.Equal(t, on(c.day), day, "%v", c)
		}
	}
}

// What goes on now, or was on last, is what somebody writes down.
func TestServiceNow(t *testing.T) {
	k, faults := Read("kitchen.yaml", []byte(datedKitchen))
	require.Empty(t, faults)
	for at, want := range map[string]string{
		"2026-12-22 08:00": "lunch", "2026-12-22 15:00": "lunch", "2026-12-22 18:00": "dinner", "2026-12-22 22:00": "dinner",
		"2026-12-22 23:59": "dinner", "2026-12-19 00:20": "dinner", "2026-12-19 00:00": "lunch", "2026-12-20 23:00": "lunch",
		"2027-01-01 08:00": "brunch", "2026-12-28 10:00": "dinner",
	} {
		moment, err := time.Parse("2006-01-02 15:04", at)
		require.NoError(t, err)
		assert.Equal(t, want, k.Services[k.ServiceNow(moment)].Name, at)
	}
}

// A day goes on past midnight until its last service has ended, one that begins after midnight too.
func TestDayAt(t *testing.T) {
	for _, c := range []struct{ services, at, day string }{
		{"{lunch: 11:30-14:30, night: 22:30-26:00}", "2026-11-25 00:00", "2026-11-24"},
		{"{lunch: 11:30-14:30, night: 22:30-26:00}", "2026-11-25 01:59", "2026-11-24"},
		{"{lunch: 11:30-14:30, night: 22:30-26:00}", "2026-11-25 02:00", "2026-11-25"},
		{"{dinner: 18:00-22:00, late: 24:30-27:00}", "2026-11-25 00:10", "2026-11-24"},
		{"{dinner: 18:00-22:00, late: 24:30-27:00}", "2026-11-24 23:00", "2026-11-24"},
		{"{dinner: 18:00-22:00}", "2026-11-25 00:00", "2026-11-25"},
		{"{dinner: 18:00-22:00, night: 22:30-26:00}\nclosed: [2026-11-24]", "2026-11-25 00:30", "2026-11-25"},
		{"{dinner: 18:00-22:00}\ndays: {2026-11-24: {dinner: 18:00-25:00}}", "2026-11-25 00:30", "2026-11-24"},
	} {
		k, faults := Read("kitchen.yaml", []byte("kitchen: Bar\nservices: "+c.services+"\nbought: {cider: {price: 2/L}}\ndishes: {jug: {price: 5, takes: [500 ml cider]}}\n"))
		require.NoError(t, faults.Err())
		at, err := time.Parse("2006-01-02 15:04", c.at)
		require.NoError(t, err)
		assert.Equal(t, on(c.day), k.DayAt(at), "%v", c)
		begins := k.DayBegins(on(c.day).AddDate(0, 0, 1))
		assert.True(t, at.Before(begins), "%v", c)
		assert.Equal(t, on(c.day), k.DayAt(begins.Add(-time.Minute)), "%v", c)
		assert.Equal(t, on(c.day).AddDate(0, 0, 1), k.DayAt(begins), "%v", c)
	}
}
