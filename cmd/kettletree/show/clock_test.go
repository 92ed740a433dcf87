package show

// The calendar read back by another library, and the lanes by an XML parser.

import (
	"encoding/xml"
	"errors"
	"io"
	"os"
	"strings"
	"testing"
	"unicode/utf8"

	ics "github.com/arran4/golang-ical"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/graph/draw"
	"kettletree/menu/clock"
	"kettletree/menu/week/weektest"
)

// nasty is a kitchen whose names hold what RFC 5545 and XML escape, and letters of several octets.
const nasty = `
kitchen: "Pots; & <kettles>, \\ all"
services: {lunch: "11:00-14:00"}
vessels: {"große <Töpfe>; & mehr": {holds: 90 L}}
bought: {water: {price: 0/L, density: 1 kg/L}, "骨頭骨頭骨頭骨頭骨頭骨頭骨頭骨頭骨頭骨頭骨頭骨頭骨頭": {price: 2/kg}}
steps:
  "caldo; \\ negro":
    vessel: "große <Töpfe>; & mehr"
    station: "hot line; by the door, left"
    starts: "05:00"
    takes: [50 L water, 9 kg 骨頭骨頭骨頭骨頭骨頭骨頭骨頭骨頭骨頭骨頭骨頭骨頭骨頭]
    gives: ["40 L black broth, out at 4 h"]
    batches: {mon: 1}
dishes: {bowl: {price: 9, takes: [400 mL black broth], sells: {mon lunch: 20}}}
`

func timetable(t *testing.T, src string) *clock.Timetable {
	w := weektest.SmallWeek(t, src)
	a, err := clock.Of(t.Context(), w, nil)
	require.NoError(t, err)
	return a
}

func TestCalendar(t *testing.T) {
	a := timetable(t, nasty)
	text := string(Calendar(a))
	assert.Equal(t, text, string(Calendar(a)))
	require.True(t, strings.HasSuffix(text, "END:VCALENDAR\r\n"))
	for line := range strings.SplitSeq(strings.TrimSuffix(text, "\r\n"), "\r\n") {
		assert.LessOrEqual(t, len(line), 75, line)
		assert.True(t, utf8.ValidString(line), line)
		assert.NotContains(t, line, "\n")
	}
	read, err := ics.ParseCalendar(strings.NewReader(text))
	require.NoError(t, err)
	require.Len(t, read.Events(), 3) // it is washed up
	start, out := read.Events()[0], read.Events()[1]
	value := func(e *ics.VEvent, p ics.ComponentProperty) string { return ics.FromText(e.GetProperty(p).Value) }
	assert.Equal(t, `START caldo; \ negro: 50 L water, 9 kg 骨頭骨頭骨頭骨頭骨頭骨頭骨頭骨頭骨頭骨頭骨頭骨頭骨頭`, value(start,
		ics.ComponentPropertySummary))
	assert.Equal(t, "hot line; by the door, left, große <Töpfe>; & mehr", value(start, ics.ComponentPropertyLocation))
	assert.Equal(t, "20261123T050000", value(start, ics.ComponentPropertyDtStart)) // local: no zone, no Z
	assert.Equal(t, "20261123T090000", value(out, ics.ComponentPropertyDtStart))
	assert.Equal(t, "20261123T000000Z", value(out, ics.ComponentPropertyDtstamp))
	assert.NotEqual(t, start.Id(), out.Id())
	require.Len(t, out.Alarms(), 1)
	assert.Equal(t, "PT0S", out.Alarms()[0].GetProperty(ics.ComponentPropertyTrigger).Value)
	assert.Equal(t, "DISPLAY", out.Alarms()[0].GetProperty(ics.ComponentPropertyAction).Value)

	// Later by an hour, it is the same event.
	moved, err := ics.ParseCalendar(strings.NewReader(string(Calendar(timetable(t, strings.Replace(nasty, "05:00",
		"06:00", 1))))))
	require.NoError(t, err)
	assert.Equal(t, out.Id(), moved.Events()[1].Id())
	assert.Equal(t, "20261123T100000", value(moved.Events()[1], ics.ComponentPropertyDtStart))
}

// What is only due by a time does not ring, and all events of an example have UIDs of their own.
func TestCalendarOfAnExample(t *testing.T) {
	src, err := os.ReadFile("../../../examples/three-kettles/kitchen.yaml")
	require.NoError(t, err)
	read, err := ics.ParseCalendar(strings.NewReader(string(Calendar(timetable(t, string(src))))))
	require.NoError(t, err)
	seen := map[string]bool{}
	for _, e := range read.Events() {
		assert.False(t, seen[e.Id()], e.Id())
		seen[e.Id()] = true
		due := strings.HasPrefix(e.GetProperty(ics.ComponentPropertySummary).Value, "by ")
		assert.Equal(t, due, len(e.Alarms()) == 0)
	}
	assert.Greater(t, len(seen), 40)
}

func TestLanes(t *testing.T) {
	a := timetable(t, nasty)
	l := Lanes(a)
	require.Len(t, l.Sheets, 1)
	require.Len(t, l.Sheets[0].Lanes, 1)
	assert.Equal(t, []draw.LaneBar{{From: 5 * 60, To: 9 * 60, Name: `caldo; \ negro`}}, l.Sheets[0].Lanes[0].Bars)
	assert.Equal(t, []draw.LaneMark{{At: 11 * 60, Name: "lunch"}}, l.Sheets[0].Marks)
	drawn := draw.RenderLanes(l)
	assert.Equal(t, drawn, draw.RenderLanes(l))
	for d := xml.NewDecoder(strings.NewReader(string(drawn))); ; {
		_, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
	}
	assert.Contains(t, string(drawn), "große &lt;Töpfe&gt;; &amp; mehr")
}
