package board

// The pages Plan, Specials, Costs, Guide and Clock as a browser sees them.

import (
	"bytes"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// found opens a page until what it shows is worked out.
func (o *served) found(path string) (text string) {
	o.t.Helper()
	require.Eventually(o.t, func() bool {
		_, text, _ = o.get(path)
		return !strings.Contains(text, "data-again")
	}, 3*time.Minute, 100*time.Millisecond, "%s is worked out", path)
	return text
}

// A small kitchen's plan is there at once; what is written down since makes it old only where it takes long to find.
func TestBoardPlan(t *testing.T) {
	o := openBoard(t, "first-pot", from("2026-11-23"))
	o.found("/plan")
	o.asks(t, map[string][]string{
		"/plan":                  {"Cook the standing week as it is: it earns 761.21 USD", "Tue 24 Nov", "As of Tue 24 Nov 14:05.", "poach chickens"},
		"/plan?day=week":         {"Sat 28 Nov"},
		"/plan?day=2026-11-26":   {"Thu 26 Nov"},
		"/plan?day=2027-01-01":   {refusedPage, "The plan has no day"},
		"/plan?days=0":           {refusedPage, "is not a number of days"},
		"/plan?day=%3Cscript%3E": {refusedPage, "&lt;script&gt;"},
	})
	o.t = t
	o.write("binned 1 L chicken stock")
	assert.NotContains(t, o.found("/plan"), "Work it out again")
}

// A plan that is kept by a tap is what every page goes by, until it is taken back.
func TestBoardKeepsAPlan(t *testing.T) {
	o := openBoard(t, "first-pot", from("2026-11-23"))
	file := filepath.Join(o.folder, "kitchen.plan")
	form := func(page, do string) url.Values {
		found := regexp.MustCompile(`name="frame" value="([^"]*)"><input type="hidden" name="mark" value="([^"]*)"`).FindStringSubmatch(page)
		values := url.Values{"do": {do}, "back": {"/plan?day=week"}}
		if found != nil {
			values.Set("frame", found[1])
			values.Set("mark", found[2])
		}
		return values
	}
	before := o.found("/plan")
	says(t, before, "Keep this plan")
	assert.NotContains(t, before, "Take the kept plan back")

	status, page, _ := o.send(http.MethodPost, "/keep", form(before, "keep"), nil)
	assert.Equal(t, http.StatusOK, status)
	says(t, page, "Kept Tue 24 Nov 14:05.")
	says(t, page, "Sat 28 Nov") // the page it came from, with its query
	assert.NotContains(t, page, "things have changed since")
	assert.NotContains(t, page, "Keep this plan")
	assert.FileExists(t, file)
	o.asks(t, map[string][]string{"/costs": {"By the plan kept Tue 24 Nov 14:05 for Mon 23 Nov to Sun 29 Nov."}})
	o.t = t

	// What was changed since is another plan.
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(file, bytes.Replace(text, []byte("poach chickens: 1"), []byte("poach chickens: 3"), 1), 0o600))
	require.NoError(t, o.board.watch.look(t.Context()))
	changed := o.found("/plan")
	says(t, changed, "Kept now is another plan, for Mon 23 Nov to Sun 29 Nov.")
	says(t, changed, "Keep this plan")

	// One that nobody has seen is not kept; a device that only looks keeps none.
	unseen := form(changed, "keep")
	unseen.Set("mark", "0123")
	status, page, _ = o.send(http.MethodPost, "/keep", unseen, nil)
	assert.Equal(t, http.StatusConflict, status)
	says(t, page, "That plan is no longer the latest one.")

	status, page, _ = o.send(http.MethodPost, "/keep", form("", "drop"), nil)
	assert.Equal(t, http.StatusOK, status)
	says(t, page, "Keep this plan")
	assert.NoFileExists(t, file)
	status, page, _ = o.send(http.MethodPost, "/keep", form("", "drop"), nil)
	assert.Equal(t, http.StatusConflict, status)
	says(t, page, "No plan is kept.")

	// A file that can't be read is told, and where; the plan can be taken away.
	require.NoError(t, os.WriteFile(file, []byte("days: {tue: {}}"), 0o600))
	require.NoError(t, o.board.watch.look(t.Context()))
	_, page, _ = o.get("/costs")
	says(t, page, "The plan that is kept can&#39;t be read: kitchen.plan:1: &#34;tue&#34; is not a date such as 2026-11-23.")
	status, _, _ = o.send(http.MethodPost, "/keep", form("", "drop"), nil)
	assert.Equal(t, http.StatusOK, status)
}

// A special that is accepted is written down, and stands on Today.
func TestBoardSpecials(t *testing.T) {
	o := onList(t)
	text := o.found("/specials")
	for _, want := range []string{"Lard shortbread", "69.95", "Accept", "Allergens: WHEAT, SESAME", "Left over", "shoulder broth", "Sat 28 Nov, lunch"} {
		says(t, text, want)
	}
	heaps := regexp.MustCompile(`<summary>((?:Binned|Left over, and binned) on [^<]*)</summary>`).FindAllStringSubmatch(text, -1)
	require.NotEmpty(t, heaps)
	for _, h := range heaps {
		assert.Regexp(t, `: [0-9,.]+ USD, [a-z]`, h[1], "what is folded says what it comes to and what it is")
	}
	o = openBoard(t, "three-kettles")
	o.write("counted 2 kg lard")
	_, text, _ = o.get("/")
	assert.NotContains(t, text, "<strong>lard shortbread</strong>")
	status, _, _ := o.send(http.MethodPost, "/write", url.Values{"kind": {"offered"}, "dish": {"lard shortbread"}, "day": {"2026-11-24", "2026-11-25"},
		"service": {"lunch", "dinner"}, "portions": {"12", "9"}, "back": {"/specials"}}, nil)
	assert.Equal(t, http.StatusOK, status)
	assert.Equal(t, []string{"counted 2 kg lard", "offered 12 lard shortbread at 2026-11-24 lunch", "offered 9 lard shortbread at 2026-11-25 dinner"}, o.logged())
	_, text, _ = o.get("/")
	says(t, text, "<strong>lard shortbread</strong>")
}

func TestBoardCosts(t *testing.T) {
	onList(t).asks(t, map[string][]string{
		"/costs":                                {"red pozole", "3.21", "10.29", "23.8%", "Plate cost if a price moves by 10%"},
		"/costs?sort=plate":                     {`aria-current="true">Plate cost`},
		"/costs?sort=taste":                     {refusedPage, "can&#39;t be sorted by"},
		"/costs?why=red+pozole":                 {"Plate cost of red pozole: 3.21 USD", "kettle stock of night kettle bears"},
		"/costs?why=night+kettle@tue":           {"night kettle"},
		"/costs?why=rde+pozole":                 {refusedPage, "did you mean"},
		"/costs?why=%3Cscript%3E":               {refusedPage, "&lt;script&gt;"},
		"/costs?dearer=pork+trotters&by=25":     {"What if: pork trotters at &#43;25%", "<s>3.21</s>"},
		"/costs?dearer=pork+trotters&by=-5+%25": {"pork trotters at -5%"},
		"/costs?dearer=pork+trotters&by=much":   {refusedPage, "much"},
		"/costs?dearer=lard&by=5":               {refusedPage, "lard"},
	})
}

func TestBoardClock(t *testing.T) {
	onList(t).asks(t, map[string][]string{
		"/clock":                                   {"Tue 24 Nov: what to do, in order.", "START night kettle", "Earlier today", "Hot stock scalds"},
		"/clock?on=all":                            {"Sun 29 Nov"},
		"/clock?on=2026-11-26":                     {"Thu 26 Nov"},
		"/clock?on=someday":                        {refusedPage, "is not a day"},
		"/clock?way=lanes":                         {"<svg", "big kettle"},
		"/clock?way=song":                          {refusedPage, "can&#39;t be shown as"},
		"/clock?ready=fri+dinner":                  {"Latest starts", "night kettle"},
		"/clock?ready=fri":                         {refusedPage, "names 2 services"},
		"/clock?batch=night+kettle@tue&time=04:40": {"With Tuesday&#39;s night kettle started at 04:40, this is too late:", "back to plan", "late</b> for Wed 25 Nov lunch"},
		"/clock?lit=night+kettle@tue%3Dlate":       {refusedPage, "late"},
		"/clock?lit=%3Cscript%3E":                  {refusedPage, "Begins when?"},
	})
}

func TestBoardGuide(t *testing.T) {
	o := onList(t)
	o.found("/guide")
	o.found("/guide?lang=es")
	o.asks(t, map[string][]string{
		"/guide":         {"Guide for new cooks", "Three Kettles", "<svg", `aria-current="true">English`},
		"/guide?lang=es": {`lang="es"`, "Three Kettles"},
		"/guide?lang=fr": {refusedPage, "The guide is not written in"},
	})
}
