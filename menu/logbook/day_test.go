package logbook

// Temperatures beside the limits of a code, and the day that shows them.

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/kitchen"
)

// FDA Food Code 2022: 3-501.16(A) holds food hot at 57 °C (135 °F) or above and cold at 5 °C (41 °F) or below, 3-202.11(A) receives it
// at 5 °C (41 °F) or below, or hot at 57 °C (135 °F) or above (D), 3-403.11(A) reheats it to 74 °C (165 °F). UK: 63 °C and 8 °C, Food Safety
// and Hygiene Regulations 2013, Schedule 4 (from memory).
func TestLimitsBesideReadings(t *testing.T) {
	k := someKitchen(t)
	code := func(name string) *kitchen.Code {
		for i := range kitchen.Codes {
			if kitchen.Codes[i].Name == name {
				return &kitchen.Codes[i]
			}
		}
		require.Fail(t, "no such code", name)
		return nil
	}
	const fda, uk, scotland = "US FDA Food Code 2022", "UK", "Scotland"
	for _, c := range []struct {
		code, text, limit, state string
	}{
		{fda, "shoulder broth hot holding 135 F", "135 °F (57 °C) or hotter", LimitMet},
		{fda, "shoulder broth hot holding 134 F", "135 °F (57 °C) or hotter", LimitBroken},
		{fda, "shoulder broth hot holding 57 C", "57 °C (135 °F) or hotter", LimitMet},
		{fda, "shoulder broth hot holding 56.9 C", "57 °C (135 °F) or hotter", LimitBroken},
		{fda, "shoulder broth cold holding 41 F", "41 °F (5 °C) or colder", LimitMet},
		{fda, "shoulder broth cold holding 5 C", "5 °C (41 °F) or colder", LimitMet},
		{fda, "shoulder broth cold holding 5.1 C", "5 °C (41 °F) or colder", LimitBroken},
		{fda, "shoulder broth reheating 165 F", "165 °F (74 °C) or hotter", LimitMet},
		{fda, "shoulder broth reheating 74 C", "74 °C (165 °F) or hotter", LimitMet},
		{fda, "shoulder broth reheating 73 C", "74 °C (165 °F) or hotter", LimitBroken},
		{fda, "of delivery hen 41 F", "41 °F (5 °C) or colder", LimitMet},
		{fda, "of delivery hen 6 C", "5 °C (41 °F) or colder", LimitBroken},
		{fda, "of delivery shoulder broth 140 F", "135 °F (57 °C) or hotter", LimitMet},
		{fda, "walk-in 38 F", "41 °F (5 °C) or colder", LimitMet},
		{fda, "Reach-In 2 44 F", "41 °F (5 °C) or colder", LimitBroken},
		{fda, "steam table 50 C", "57 °C (135 °F) or hotter", LimitBroken},
		{fda, "freezer -18 C", "", ""},       // the code names no figure
		{fda, "shoulder broth 30 C", "", ""}, // it cools, or lies
		{uk, "shoulder broth hot holding 63 C", "63 °C (145.4 °F) or hotter", LimitMet},
		{uk, "shoulder broth hot holding 62 C", "63 °C (145.4 °F) or hotter", LimitBroken},
		{uk, "walk-in 8 C", "8 °C (46.4 °F) or colder", LimitMet},
		{uk, "shoulder broth reheating 60 C", "", ""},
		{scotland, "shoulder broth hot holding 63 C", "above 63 °C (145.4 °F)", LimitBroken}, // ssi/2006/3, Schedule 4, paragraph 2(1)(b)
		{scotland, "shoulder broth hot holding 63.1 C", "above 63 °C (145.4 °F)", LimitMet},
		{scotland, "shoulder broth reheating 82 C", "82 °C (179.6 °F) or hotter", LimitMet},
		{uk, "of delivery hen 9 C", "", ""},
	} {
		e, err := Parse(k, Temperature, c.text)
		require.NoError(t, err, c.text)
		b := e.Beside(code(c.code))
		assert.Equal(t, [2]string{c.limit, c.state}, [2]string{b.Limit, b.State}, c.text)
		if c.text == "of delivery shoulder broth 140 F" {
			assert.Equal(t, "US FDA Food Code 2022, 3-202.11(D)", b.Section)
		}
	}
	assert.Empty(t, (&Entry{Kind: Sold}).Beside(code(fda)))
}

func TestADayForTheInspector(t *testing.T) {
	k := someKitchen(t)
	j := newLogBook(t)
	for _, e := range typed(t, k, `
		0/05 temperature walk-in 50 F
		1/06 received 10 each hen from farm lot H1
		1/06 received 5 kg pork shoulder
		1/06 temperature of delivery hen lot H1 7 C
		1/07 temperature walk-in 38 F
		1/08 temperature shoulder broth hot holding 50 C, did: reheated
		1/09 temperature shoulder broth hot holding 40 C
		1/10 temperature shoulder broth 60 C
		1/11 binned 2 L shoulder broth lot B1, too warm
		2/07 temperature walk-in 50 F`) {
		e.ID, e.Written = 0, at(3, 0)
		_, err := j.Append(t.Context(), e)
		require.NoError(t, err)
	}
	_, err := j.Undo(t.Context(), 7, at(1, 12))
	require.NoError(t, err)
	d, err := j.DayOf(t.Context(), k, at(1, 0), at(3, 0))
	require.NoError(t, err)
	var states []string
	for _, r := range d.Readings {
		states = append(states, r.Time+" "+r.Of+" "+r.Degrees+" "+r.State+" "+r.Did)
	}
	assert.Equal(t, []string{"06:00 hen 7 °C (44.6 °F) broken ", "07:00 walk-in 38 °F (3.3 °C) met ", "08:00 shoulder broth 50 °C (122 °F) broken reheated",
		"10:00 shoulder broth 60 °C  "}, states)
	assert.Equal(t, []int{2, 1}, []int{d.Broken, d.Unanswered})
	assert.Equal(t, []Delivery{{2, "06:00", "10 each", "hen", "farm", "H1", "7 °C (44.6 °F)", LimitBroken}, {3, "06:00", "5 kg", "pork shoulder", "", "", "", ""}},
		d.Deliveries)
	assert.Equal(t, []Thrown{{9, "11:00", "2 L", "shoulder broth", "B1", "too warm"}}, d.Binned)

	// Food that is held or comes in is in no cooling log.
	logs, err := j.CoolingLogs(t.Context(), k, at(1, 23))
	require.NoError(t, err)
	require.Len(t, logs, 1)
	assert.Len(t, logs[0].Readings, 1)
}
