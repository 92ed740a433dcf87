package board

// A move of a rescue, taken by one tap.

import (
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// offer is what the page says of a move whose head begins with some words, with the fields of its form.
func offer(t *testing.T, page, head string) url.Values {
	t.Helper()
	at := strings.Index(page, "<h2>"+head)
	require.GreaterOrEqual(t, at, 0, head)
	section, _, _ := strings.Cut(page[at:], "</section>")
	form := url.Values{"back": {"/"}}
	for _, m := range regexp.MustCompile(`name="(text|further|elsewhere)" value="([^"]*)"`).FindAllStringSubmatch(section, -1) {
		form.Add(m[1], m[2])
	}
	return form
}

// The batch that a rescue lights again is planned, what it fetches elsewhere is ordered, and less is in trouble by it; sent twice it is
// done once, and one tap takes it back.
func TestBoardTakesAMove(t *testing.T) {
	o := openBoard(t, "three-kettles")
	_, _ = o.write("counted 24 kg cooked hominy", "counted 40 L kettle stock", "counted 3.8 kg pulled hen", "counted 18 L second stock", "counted 12 kg shoulder meat")
	o.now = moments(t, "2026-11-25 02:15")
	_, _ = o.write("lost night kettle of 2026-11-24")
	page := o.found("/rescue?lose=night+kettle%40tue")
	again := offer(t, page, "Make another batch of night kettle")
	require.Len(t, again["further"], 1)
	assert.Regexp(t, `^2026-11-2\d 1 night kettle at \d\d:\d\d$`, again.Get("further"))
	before := portionsFewer(t, o.found("/"))
	for range 2 {
		status, text, _ := o.send(http.MethodPost, "/take", again, nil)
		require.Equal(t, http.StatusOK, status)
		says(t, text, "Decided, and kept with the plan.")
	}
	kept, err := os.ReadFile(filepath.Join(o.folder, "kitchen.plan"))
	require.NoError(t, err)
	assert.Equal(t, 1, strings.Count(string(kept), "night kettle at"), string(kept))
	bought := offer(t, page, "Buy in kettle stock")
	require.NotEmpty(t, bought["elsewhere"])
	_, _, _ = o.send(http.MethodPost, "/take", bought, nil)
	assert.Less(t, portionsFewer(t, o.found("/")), before)
	status, _, _ := o.send(http.MethodPost, "/keep", url.Values{"do": {"drop"}, "back": {"/"}}, nil)
	assert.Equal(t, http.StatusOK, status)

	refused := url.Values{"further": {"2026-11-26 2 night kettle at 05:00"}, "text": {"offered many red pozole"}}
	status, _, _ = o.send(http.MethodPost, "/take", refused, nil)
	assert.Equal(t, http.StatusUnprocessableEntity, status)
	kept, err = os.ReadFile(filepath.Join(o.folder, "kitchen.plan"))
	require.NoError(t, err)
	assert.NotContains(t, string(kept), "at 05:00", "all of it or nothing")
	_, _, _ = o.send(http.MethodPost, "/take", url.Values{"further": refused["further"], "text": {"struck red pozole at 2026-11-26 dinner"}}, nil)
	kept, err = os.ReadFile(filepath.Join(o.folder, "kitchen.plan"))
	require.NoError(t, err)
	assert.Contains(t, string(kept), "at 05:00")

	special := offer(t, page, "Offer ")
	require.NotEmpty(t, special["text"])
	entries := len(o.logged())
	status, text, _ := o.send(http.MethodPost, "/take", special, nil)
	require.Equal(t, http.StatusOK, status, text)
	assert.Equal(t, special["text"], o.logged()[entries:])

	for _, form := range []url.Values{{"further": {"2026-11-26 night kettle"}}, {"further": {"tomorrow 1 night kettle at 06:00"}}, {"elsewhere": {"2026-11-26 stock"}},
		{"further": {"2026-11-26 1 dawn kettle at 06:00"}}, {"elsewhere": {"2026-11-26 5 L dawn stock from stock house"}}, {"elsewhere": {"2026-11-26 5 L kettle stock from nobody"}}} {
		status, _, _ := o.send(http.MethodPost, "/take", form, nil)
		assert.Equal(t, http.StatusConflict, status, form)
	}
}

// portionsFewer is how many portions Today says go short.
func portionsFewer(t *testing.T, page string) (n int) {
	t.Helper()
	for _, m := range regexp.MustCompile(`(\d+) portions? fewer`).FindAllStringSubmatch(page, -1) {
		one, err := strconv.Atoi(m[1])
		require.NoError(t, err)
		n += one
	}
	return n
}
