package board

// What can't be as it is planned stands on Today as the Clock says it.

import (
	"html"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// pieShop is a kitchen whose meat is out half an hour before lunch, with forty minutes of work on it.
const pieShop = `
kitchen: Pies
services: {lunch: 11:30-14:30, dinner: 17:30-21:30}
suppliers: {mill: {delivers: tue fri}}
bought:
  mutton: {price: 9/kg}
  flour: {price: 1/kg, from: mill}
steps:
  pot: {station: stove, starts: "08:00", takes: [12 kg mutton], gives: ["6 kg pulled mutton, out at 3 h", "20 L broth, out at 5 h"], batches: {tue: 1, thu: 1}, work: {pull: 40 min}}
  crusts: {station: oven, starts: "09:00", takes: [5 kg flour], gives: [5 kg crust], batches: {tue: 1, wed: 1}}
made: {pulled mutton: {keeps: 3 days}, broth: {keeps: 4 days}, crust: {keeps: 1 day}}
dishes:
  pie: {price: 11, takes: [100 g pulled mutton, 100 g crust], sells: {tue lunch: 10, wed lunch: 12}}
  cup: {price: 3, takes: [100 mL broth], sells: {tue dinner: 5}}
  soup: {price: 6, takes: [300 mL broth], sells: {wed lunch: 4}}
`

func TestTodayTellsWhatCantBe(t *testing.T) {
	folder := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(folder, "kitchen.yaml"), []byte(pieShop), 0o600))
	o := openFolder(t, folder)
	o.now = moments(t, "2026-11-24 08:00")
	_, _ = o.write("lit pot of 2026-11-24")
	o.now = moments(t, "2026-11-24 08:10")
	pull := "pull (Tuesday's pot) needs 40 min more than there is"
	says(t, o.found("/clock?on=2026-11-24"), pull)
	page := o.found("/")
	says(t, page, "Doesn't work (too tight):")
	says(t, page, pull)
	to := regexp.MustCompile(`href="/clock\?on=2026-11-24#(unfit-too-tight-[^"]+)"`).FindStringSubmatch(page)
	require.Len(t, to, 2, "it leads to where it stands")
	row := regexp.MustCompile(`(?s)<li class="row">(?:[^l]|l[^i])*?id="` + to[1] + `">.*?</li>`).FindString(html.UnescapeString(o.found("/clock?on=2026-11-24")))
	assert.Contains(t, row, "Pull 6", "in the row of what is late")
	assert.Contains(t, row, pull)
	says(t, o.found("/clock?on=2026-11-24"), `href="#`+to[1]+`"`)
	says(t, page, "all as forecast; but see Trouble")
	assert.Equal(t, 1, strings.Count(page, "but see Trouble"), "broth is out in time for dinner")
	_, spanish, _ := o.send(http.MethodGet, "/", nil, http.Header{"Accept-Language": {"es"}})
	says(t, spanish, "No se puede (muy justo):")
	assert.NotContains(t, spanish, "needs 40 min")

	// What lacks is said with the dish that runs short by it, and not once more.
	_, _ = o.write("did not come flour")
	page = html.UnescapeString(o.found("/"))
	says(t, html.UnescapeString(o.found("/clock?on=2026-11-24")), "Not enough flour for Tuesday's crusts")
	assert.Contains(t, page, "portions fewer: pie")
	assert.NotContains(t, page, "(lacking)")

	// What no dish feels is said, like ones in one line, and what is past is not.
	_, _ = o.write("struck pie at 2026-11-24 lunch", "struck pie at 2026-11-25 lunch")
	page = html.UnescapeString(o.found("/"))
	assert.Equal(t, 1, strings.Count(page, "Doesn't work (lacking):"))
	assert.Contains(t, page, "1 more like it")
	o.now = moments(t, "2026-11-24 15:00")
	assert.NotContains(t, o.found("/"), "Tuesday's pot) needs")
}

// Today says what is used after its last day as the clock does, on the day on which it is made, in each language.
func TestTodayTellsPastDates(t *testing.T) {
	folder := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(folder, "kitchen.yaml"), []byte(`
kitchen: Chowder Shack
services: {lunch: 12:00-14:00}
hands: {07:00-15:00: [cook]}
bought: {chicken: {price: 4/kg, raw: yes, allergens: []}, beans: {price: 2/kg, allergens: []}}
steps:
  boil: {takes: [10 kg chicken], gives: ["9 kg stock, out at 3 h"], cooks through: yes, starts: "08:00", work: {press: 20 min at 2 h with 2 people}, batches: {mon: 1}}
  stew: {takes: [3 kg stock, 1 kg beans], gives: ["4 kg stew, out at 2 h"], reheats: yes, starts: "08:00", batches: {thu: 1}}
dishes:
  bowl: {price: 9, takes: [500 g stew], sells: {tue lunch: 4, fri lunch: 4}}
`), 0o600))
	o := openFolder(t, folder)
	o.now = moments(t, "2026-06-01 12:00")
	_, _ = o.write("done boil of 2026-06-01")
	o.now = moments(t, "2026-06-03 12:00")
	past := " of Thu 4 Jun may be used until the end of Sun 7 Jun by its date mark, but "
	for _, page := range []string{"/", "/clock?on=2026-06-04", "/labels?on=2026-06-04"} {
		says(t, o.found(page), past)
	}
	says(t, o.found("/"), "Doesn't work (past date):")
	for lang, say := range map[string]string{"es": "se puede usar hasta el final del dom 7 jun", "zh": "最晚用到6月7日（周日）"} {
		for _, page := range []string{"/?", "/clock?on=2026-06-04&", "/labels?on=2026-06-04&"} {
			says(t, o.found(page+"lang="+lang), say)
		}
	}
}
