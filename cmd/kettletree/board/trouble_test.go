package board

// What is in trouble, and what can be done about it.

import (
	"html"
	"net/http"
	"regexp"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/ask"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// A loss that is written down is told on Today until its day is over, with what it does, and what can be done is asked about it.
func TestBoardLossIsTold(t *testing.T) {
	o := openBoard(t, "three-kettles")
	_, _ = o.write("counted 24 kg cooked hominy", "counted 60 L kettle stock", "counted 6 kg pulled hen", "counted 8 kg lard", "counted 4 kg kettle fat",
		"counted 20 L second stock", "counted 10 kg pulled shoulder")
	calm := o.found("/")
	assert.NotContains(t, calm, "night kettle was lost")
	_, _ = o.write("lost night kettle of 2026-11-24")
	page := o.found("/")
	says(t, page, `<h2 id="trouble">Trouble`)
	says(t, page, "night kettle was lost")
	says(t, page, `href="/rescue?lose=night&#43;kettle%40tue"`)
	text := o.found("/rescue?lose=night+kettle%40tue")
	says(t, text, "is lost")
	says(t, text, "of contribution is at stake")
	assert.NotContains(t, text, "no dish runs short")
	says(t, text, "decide by")
	status, text, _ := o.get("/rescue")
	assert.Equal(t, http.StatusBadRequest, status)
	says(t, text, "Nothing is said to have gone wrong")
}

// What is due can be written down by one tap, as what it is.
func TestBoardActs(t *testing.T) {
	o := openBoard(t, "three-kettles")
	_, _ = o.write("counted 24 kg cooked hominy")
	o.now = moments(t, "2026-11-24 21:40")
	page := o.found("/")
	says(t, page, `value="lit night kettle x1 of 2026-11-24"`)
	says(t, page, `value="skipped night kettle of 2026-11-24"`)
	status, _ := o.write("lit night kettle x1 of 2026-11-24")
	assert.Equal(t, http.StatusOK, status)
	o.now = moments(t, "2026-11-25 01:30")
	page = o.found("/")
	link := regexp.MustCompile(`href="(/log\?day=2026-11-24&amp;item=[^"]*kind=out[^"]*)"`).FindStringSubmatch(page)
	require.NotNil(t, link)
	says(t, o.found(html.UnescapeString(link[1])), `name="amount-else"`)
}

// Two batches are lost whose names begin alike: what can be done is asked about the one that a dish runs short by.
func TestTroubleOfLikeNamesIsNotMixed(t *testing.T) {
	k, faults := kitchen.Read("kitchen.yaml", []byte(`kitchen: Braise Shop
services: {lunch: 12:00-14:00}
bought: {shank: {price: 6/kg}}
steps:
  braise: {takes: [4 kg shank], gives: [3 kg jelly], batches: {tue: 1}}
  braise shank: {takes: [4 kg shank], gives: [3 kg meat], batches: {tue: 1}}
made: {jelly: {keeps: 3 days}, meat: {keeps: 3 days}}
dishes: {plate: {price: 12, takes: [200 g meat], sells: 8}}
`))
	require.NotNil(t, k, "%v", faults)
	w, err := week.Over(k, week.Period{From: time.Date(2026, 11, 24, 0, 0, 0, 0, time.UTC), Days: 2})
	require.NoError(t, err)
	var lost []week.Shock
	for _, step := range []string{"braise shank@tue", "braise@tue"} {
		s, err := w.Shock("lose", step)
		require.NoError(t, err)
		lost = append(lost, s)
	}
	what, err := ask.WhatIf(t.Context(), w, lost)
	require.NoError(t, err)
	a := &todayAnswer{}
	a.trouble(w.Knowing(lost), 0, what)
	told := map[string]string{}
	for _, one := range a.Trouble {
		told[one.Why] = one.Lose
	}
	assert.Equal(t, map[string]string{"Tuesday's braise shank was lost": "braise shank@tue", "Tuesday's braise was lost": "braise@tue"}, told)
}
