package board

// What Today tells of limits, and how what was 86'd comes back.

import (
	"net/http"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What cools is to be measured before its limit, and a limit that was broken comes first (US FDA Food Code 2022, 3-501.14(A): 135 to
// 70 °F within 2 hours).
func TestBoardCoolingIsTold(t *testing.T) {
	o := openBoard(t, "three-kettles")
	o.now = moments(t, "2026-11-24 12:00")
	_, _ = o.write("counted 24 kg cooked hominy", "temperature shoulder broth 135 F")
	assert.NotContains(t, o.found("/"), "Take the temperature of")
	o.now = moments(t, "2026-11-24 12:10")
	_, _ = o.write("temperature shoulder broth 130 F")
	o.now = moments(t, "2026-11-24 13:30")
	page := o.found("/")
	says(t, page, "Take the temperature of shoulder broth")
	says(t, page, "It must be at 21 °C (70 °F) by 14:00")
	_, spanish, _ := o.send(http.MethodGet, "/", nil, http.Header{"Accept-Language": {"es"}})
	says(t, spanish, "Debe estar a 21 °C (70 °F) a más tardar a las 14:00")
	says(t, page, `href="/log?item=shoulder&#43;broth&amp;kind=temperature#entry"`)
	o.now = moments(t, "2026-11-24 14:20")
	_, _ = o.write("temperature shoulder broth 88 F")
	says(t, o.found("/"), "Cooling broke a limit: shoulder broth")
}

// What came off the heat is to be read by its limits, counted from then, whatever was read since; a reading that nobody took stays until
// somebody does, or none is left (US FDA Food Code 2022, 3-501.14(A)).
func TestBoardAsksForTheReadingThatNobodyTook(t *testing.T) {
	o := openBoard(t, "three-kettles")
	o.now = moments(t, "2026-11-24 22:30")
	_, _ = o.write("lit night kettle")
	o.now = moments(t, "2026-11-25 07:32")
	_, _ = o.write("out 70 L kettle stock lot K1 of night kettle")
	o.now = moments(t, "2026-11-25 07:40")
	assert.NotContains(t, o.found("/"), "Take the temperature of")
	o.now = moments(t, "2026-11-25 09:45")
	page := o.found("/")
	says(t, page, "Take the temperature of kettle stock lot K1")
	says(t, page, "It had to be at 21 °C (70 °F) by Wed 25 Nov 09:32, and no reading tells")
	cooling := o.found("/cooling")
	says(t, cooling, "The time is over. Read it, and write it down.")
	says(t, cooling, "no reading by Wed 25 Nov 09:32, when it was due")
	o.now = moments(t, "2026-11-25 09:50")
	_, _ = o.write("temperature kettle stock 35 C")
	says(t, o.found("/"), "Cooling broke a limit: kettle stock lot K1")
	says(t, o.found("/cooling"), "still above 21 °C (70 °F) at Wed 25 Nov 09:50, 2 h 18 min after it came off the heat")
	_, _ = o.write("counted 0 L kettle stock")
	o.now = moments(t, "2026-11-25 13:40")
	assert.NotContains(t, o.found("/"), "Take the temperature of kettle stock")
}

// A temperature is asked for in the scale that was written down last, at first in that of the kitchen.
func TestBoardThermometer(t *testing.T) {
	metric := openBoard(t, "first-pot")
	page := metric.found("/log?kind=temperature")
	says(t, page, `<option value="C" selected>`)
	o := openBoard(t, "three-kettles")
	says(t, o.found("/log?kind=temperature"), `<option value="F" selected>`)
	_, _ = o.write("counted 5 kg lard", "temperature lard 4 C, walk-in")
	says(t, o.found("/log?kind=temperature"), `<option value="C" selected>`)
	_, _ = o.write("temperature walk-in 39 F")
	says(t, o.found("/log?kind=temperature"), `<option value="F" selected>`)
	_, _ = o.write("undo 3")
	says(t, o.found("/log?kind=temperature"), `<option value="C" selected>`)
}

// Both scales are right below zero, too: -18 °C is 0 °F, and -40 is the same on both.
func TestDegrees(t *testing.T) {
	assert.Equal(t, "-18 °C (0 °F)", (&asked{}).degrees(-18, "C"))
	assert.Equal(t, "-40 °C (-40 °F)", (&asked{}).degrees(-40, "F"))
}

// A dish that was 86'd is put back by one tap where it stood.
func TestBoardPutsBack(t *testing.T) {
	o := openBoard(t, "three-kettles")
	_, _ = o.write("counted 24 kg cooked hominy")
	_, page := o.write("struck red pozole at 2026-11-24 dinner")
	undo := regexp.MustCompile(`name="text" value="(undo \d+)">[^\n]*\n?[^\n]*<button>Put back red pozole</button>`).FindStringSubmatch(page)
	require.NotNil(t, undo)
	status, page := o.write(undo[1])
	assert.Equal(t, http.StatusOK, status)
	assert.NotContains(t, page, "Put back")
}
