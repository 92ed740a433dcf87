package board

// Today and Clock by the log book: what is overdue stands in front, what was done is done, what is under way comes.

import (
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestTodayGoesByTheLogBook(t *testing.T) {
	o := openBoard(t, "three-kettles")
	page := func(path string) string {
		t.Helper()
		status, text, _ := o.get(path)
		require.Equal(t, 200, status)
		return text
	}
	o.now = moments(t, "2026-11-24 15:00")
	o.write("counted 0 kg smoked ham bones")
	o.now = moments(t, "2026-11-26 08:46")
	o.write("received 25 kg smoked ham bones for 135")

	// Ten past ten in the evening: the kettle that can be since this morning is due.
	o.now = moments(t, "2026-11-26 22:10")
	text := page("/")
	says(t, text, "START night kettle")
	says(t, text, "Overdue in the log book")
	says(t, text, "Cook beans of Thu 26 Nov")
	assert.NotContains(t, text, "Night kettle of Thu 26 Nov")

	// It was lit, and nobody wrote that down: it stands in front, and its hens are due.
	o.now = moments(t, "2026-11-26 22:40")
	text = page("/")
	says(t, text, "Night kettle of Thu 26 Nov")
	says(t, text, "Counts as planned: lit 22:30.")
	says(t, text, "PUT IN 14 stewing hens (night kettle)")
	says(t, page("/clock"), "Night kettle of Thu 26 Nov")

	// One tap writes it down, for when it was lit.
	says(t, text, `name="text" value="lit night kettle of 2026-11-26"`)
	says(t, text, `name="at" value="2026-11-26T22:30"`)
	status, text, _ := o.send("POST", "/write", url.Values{"text": {"lit night kettle of 2026-11-26"}, "at": {"2026-11-26T22:30"}, "back": {"/"}, "seen": {"0"}}, nil)
	require.Equal(t, 200, status)
	assert.NotContains(t, text, "Night kettle of Thu 26 Nov</strong>")
	says(t, text, "PUT IN 14 stewing hens (night kettle)")
	text = page("/clock")
	says(t, text, "Earlier today")
	says(t, text, "Lit night kettle")
	says(t, text, "done, entry 3")

	// What was taken out is done; lost altogether, nothing more comes out of it.
	o.now = moments(t, "2026-11-27 02:30")
	o.write("out 7 kg pulled hen lot NP1")
	text = page("/clock")
	says(t, text, "Took out 7 kg pulled hen (lot NP1) (night kettle of Thu 26 Nov)")
	assert.NotContains(t, text, "TAKE OUT 7.9 kg pulled hen")
	says(t, text, "TAKE OUT 70 L kettle stock (night kettle of Thu 26 Nov)")
	o.write("lost night kettle of 2026-11-26")
	text = page("/clock?on=2026-11-27")
	assert.NotContains(t, text, "kettle stock (night kettle of Thu 26 Nov)")
}

// What did not come says at once what runs out by it; what was done in the last hours stands on Today, each to be taken back.
func TestBoardDidNotCome(t *testing.T) {
	o := openBoard(t, "three-kettles")
	_, _ = o.write("counted 24 kg cooked hominy", "counted 60 L kettle stock")
	_, page := o.write("did not come stewing hen")
	says(t, page, "<b>Without stewing hen</b>:")
	says(t, page, "portions fewer")
	_, page = o.write("did not come crema")
	assert.Contains(t, page, "Without crema")
	page = o.found("/")
	says(t, page, "4 done in the last hours")
	says(t, page, `name="text" value="undo 3"`)
	_, _ = o.write("undo 3")
	page = o.found("/")
	says(t, page, "3 done in the last hours")
	assert.NotContains(t, page, `name="text" value="undo 3"`)
}

// A name within another word is none.
func TestNamesWithinWords(t *testing.T) {
	for text, want := range map[string]bool{"no hen on hand": true, "hen ran out": true, "the kitchen ran out": false, "out of hens": false, "then hen": true, "": false} {
		assert.Equal(t, want, names(text, "hen"), text)
	}
}

// Where an answer comes from is read once, on Today; elsewhere it is a tap away.
func TestWhatAPageRestsOnIsFolded(t *testing.T) {
	o := openBoard(t, "three-kettles")
	_, _ = o.write("counted 24 kg cooked hominy")
	for path, open := range map[string]bool{"/": true, "/buy": false, "/costs": false, "/log": false} {
		text := o.found(path)
		at := strings.Index(text, "<summary>What this rests on</summary>")
		require.Positive(t, at, path)
		assert.Equal(t, open, strings.HasSuffix(text[:at], "<details open>"), path)
		assert.Contains(t, text[at:], "On hand as of", path)
	}
}

// What is measured of a batch is a kind of its own, not among the seldom ones.
func TestMeasuredIsAmongTheKinds(t *testing.T) {
	text := openBoard(t, "three-kettles").found("/log")
	kinds, _, _ := strings.Cut(text, "<summary>Something else</summary>")
	assert.Contains(t, kinds, ">Measured<")
}
