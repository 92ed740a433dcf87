package clock

// When what is heated all at once begins to cool.

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/kitchen"
	"kettletree/menu/tongue"
	"kettletree/menu/week/weektest"
)

// A step without "out at" is off the heat when its work is done: the label and the timetable count from the same minute.
func TestLabelAndTimetableCountFromOneMinute(t *testing.T) {
	const src = `
services: {lunch: "12:00-14:00", dinner: "20:00-22:00"}
hands: {07:00-23:00: [ida, tom]}
bought: {bean: {price: 3/kg}, water: {price: 0/L, density: 1 kg/L}}
steps:
  soak: {starts: "08:00", takes: [4 kg bean, 4 L water], gives: [8 kg bean pot], reheats: yes, batches: {mon: 2}, WORK}
made: {bean pot: {keeps: 3 days}}
dishes: {plate: {price: 9, takes: [200 g bean pot], sells: {mon dinner: 10}}}
`
	for work, from := range map[string]string{"work: 25 min": "08:25", "work: {heat: 20 min + 5 min a batch}": "08:30", "work: {heat: 10 min, slice: 10 min once cold}": "08:10"} {
		w := weektest.SmallDays(t, strings.Replace(src, "WORK", work, 1), 1)
		labels, err := LabelsOn(t.Context(), w, []int{0}, tongue.Voice{})
		require.NoError(t, err)
		require.Len(t, labels.Labels, 1)
		l := labels.Labels[0]
		assert.Equal(t, from, l.Cools, work)
		var due []string
		for _, r := range of(t, w).Rows {
			if r.Do == Read {
				due = append(due, *r.Limits[0].By)
			}
		}
		require.Len(t, due, len(l.Cool), work)
		for n := range due {
			assert.Equal(t, *l.Cool[n].By, due[n], work)
		}
	}
}

// The time begins when a lot came off the heat, as the log book has it, and a reading below 57 °C (135 °F) does not begin it again; a limit
// is open until it is due and no longer (US FDA Food Code 2022, 3-501.14(A): 57 to 21 °C within 2 h, to 5 °C within a total of 6 h).
func TestTimeBeginsOffTheHeat(t *testing.T) {
	first := time.Date(2026, 11, 25, 7, 0, 0, 0, time.UTC) // of logOf
	for name, c := range map[string]struct {
		readings     [][2]float64
		now          int // minutes after it came out, at 07:00
		gone         bool
		first, total string
		unread       int // limits that are past due and were not read
		due          string
	}{
		"read once, as it is due":         {[][2]float64{{120, 86}}, 121, false, LimitBroken, LimitOpen, 0, "09:00"},
		"read before it is due":           {[][2]float64{{100, 75}}, 110, false, LimitOpen, LimitOpen, 0, "09:00"},
		"read before it was due":          {[][2]float64{{100, 75}}, 130, false, LimitNotShown, LimitOpen, 1, "09:00"},
		"nobody read it, to the minute":   {nil, 120, false, LimitOpen, LimitOpen, 0, "09:00"},
		"nobody read it":                  {nil, 121, false, LimitNotShown, LimitOpen, 1, "09:00"},
		"nobody read it for hours":        {nil, 361, false, LimitNotShown, LimitNotShown, 2, "09:00"},
		"cold in time":                    {[][2]float64{{110, 70}, {350, 41}}, 400, false, LimitMet, LimitMet, 0, "09:00"},
		"read too late to tell":           {[][2]float64{{150, 60}}, 160, false, LimitNotShown, LimitOpen, 0, "09:00"},
		"still hot half an hour after":    {[][2]float64{{30, 150}}, 100, false, LimitOpen, LimitOpen, 0, "09:30"},
		"hot, and not read since":         {[][2]float64{{30, 150}}, 151, false, LimitNotShown, LimitOpen, 1, "09:30"},
		"all used before it is due":       {[][2]float64{{100, 75}}, 130, true, LimitNotShown, LimitNotShown, 0, "09:00"},
		"broken, and then thrown out":     {[][2]float64{{120, 86}}, 130, true, LimitBroken, LimitNotShown, 0, "09:00"},
		"heated again, and cooling again": {[][2]float64{{200, 190}, {230, 100}}, 240, false, LimitOpen, LimitOpen, 0, "12:20"},
	} {
		l := logOf("stock", "F", c.readings...)
		l.Out, l.Entry, l.Gone = first, 20, c.gone
		a := JudgeCooling(&kitchen.Codes[0], []kitchen.CoolingLog{l}, nil, nil, first.Add(time.Duration(c.now)*time.Minute), tongue.Voice{})
		of, unread := a.Items[0].Stages, 0
		for _, v := range of {
			if v.Unread {
				unread++
			}
		}
		assert.Equal(t, []string{c.first, c.total}, []string{of[0].State, of[1].State}, "%s: %s; %s", name, of[0].Says, of[1].Says)
		assert.Equal(t, c.unread, unread, name)
		assert.Equal(t, c.due, of[0].DueAt.Format("15:04"), name)
		assert.True(t, a.Items[0].Recorded, name)
	}
}

// One reading answers both limits; and days later none tells how a lot cooled.
func TestReadNow(t *testing.T) {
	k := &kitchen.Kitchen{}
	at := func(hour int) time.Time { return time.Date(2026, 11, 24, hour, 0, 0, 0, time.UTC) }
	stages := []Verdict{{State: LimitNotShown, Unread: true, DueAt: at(9)}, {State: LimitNotShown, Unread: true, DueAt: at(13)}}
	assert.Equal(t, 1, ReadNow(k, stages, at(14)))
	assert.Equal(t, 0, ReadNow(k, stages[:1], at(10)))
	assert.Equal(t, -1, ReadNow(k, stages, at(24+1)), "the day after")
	assert.Equal(t, -1, ReadNow(k, []Verdict{{State: LimitMet, DueAt: at(9)}, {State: LimitOpen, DueAt: at(13)}}, at(10)))
}
