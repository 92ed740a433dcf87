package board

// What is in trouble, and what can be done about it.

import (
	"html"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
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
	says(t, page, `href="/rescue?lose=night&#43;kettle%402026-11-24"`)
	text := o.found("/rescue?lose=night+kettle%402026-11-24")
	says(t, text, "is lost")
	says(t, text, "of contribution is at stake")
	assert.NotContains(t, text, "no dish runs short")
	says(t, text, "decide by")
	status, text, _ := o.get("/rescue")
	assert.Equal(t, http.StatusBadRequest, status)
	says(t, text, "Nothing is said to have gone wrong")
}

// What was lost stands on the map in the words of Today, with what it does to what is shown there; a batch that nobody lost leaves no
// trace.
func TestMapTellsOfALoss(t *testing.T) {
	o := openBoard(t, "three-kettles")
	_, _ = o.write("counted 24 kg cooked hominy", "counted 6 kg pulled hen", "counted 8 kg lard", "counted 4 kg kettle fat", "counted 20 L second stock", "counted 10 kg pulled shoulder")
	calm := o.found("/map?item=kettle+stock")
	assert.NotContains(t, calm, `id="lost"`)
	assert.NotContains(t, calm, "became")
	_, _ = o.write("lost night kettle of 2026-11-24")
	trouble := regexp.MustCompile(`(?s)<li class="row"><div class="what"><strong>[^<]*</strong>\s*<p>[^<]*night kettle was lost.*?</div>`)
	today := trouble.FindString(o.found("/"))
	require.NotEmpty(t, today)
	for _, path := range []string{"/map?item=kettle+stock", "/map?item=kettle+stock&whole=yes"} {
		page := o.found(path)
		assert.Equal(t, today, trouble.FindString(page), path)
		says(t, page, `<p class="became">Short`)
		assert.NotContains(t, page, "What if:", "nothing is asked")
	}
	says(t, o.found("/map?whole=yes"), `class="made short`)
	asked := o.found("/map?item=kettle+stock&strike=red+pozole")
	says(t, asked, "What if: red pozole is 86'd")
	says(t, asked, "night kettle was lost")
}

// fumet is a kitchen whose one kettle is out before lunch.
const fumet = `
kitchen: Fish House
services: {lunch: 12:00-14:00, dinner: 18:00-21:00}
bought: {fish bones: {price: 2/kg}, onion: {price: 1/kg}, cod: {price: 14/kg}}
steps:
  fumet kettle: {starts: "08:00", takes: [10 kg fish bones, 20 kg onion], gives: ["18 L fumet, out at 3 h"], batches: {tue: 1, wed: 1}}
made: {fumet: {keeps: 2 days}}
dishes: {fish soup: {price: 12, takes: [400 mL fumet, 100 g cod], sells: {lunch: 10, dinner: 20}}}
`

// A loss is first felt when the first dish runs out, in whatever order the menu has them: a bowl before a cup.
func TestTroubleIsFirstFeltByTheClock(t *testing.T) {
	for _, dishes := range []string{"cup: {price: 3, takes: [100 mL fumet], sells: {lunch: 10}}, bowl: {price: 12, takes: [400 mL fumet], sells: {lunch: 10}}",
		"bowl: {price: 12, takes: [400 mL fumet], sells: {lunch: 10}}, cup: {price: 3, takes: [100 mL fumet], sells: {lunch: 10}}"} {
		folder := t.TempDir()
		text := fumet[:strings.Index(fumet, "dishes:")] + "dishes: {" + dishes + "}\n"
		require.NoError(t, os.WriteFile(filepath.Join(folder, "kitchen.yaml"), []byte(text), 0o600))
		o := openFolder(t, folder)
		o.now = moments(t, "2026-11-24 07:00")
		_, _ = o.write("counted 1.7 L fumet", "lost fumet kettle of 2026-11-24")
		page := html.UnescapeString(o.found("/"))
		first := regexp.MustCompile(`First at <b>Tue 24 Nov lunch, ([0-9:]+)`).FindStringSubmatch(page)
		require.Len(t, first, 2)
		assert.Equal(t, "12:36", first[1], dishes)
	}
}

// A batch that was lost stays in trouble, with what can be done, once it should have been out; so it does when its loss is written
// only then.
func TestTroubleOfALossOutlivesItsBatch(t *testing.T) {
	for _, lost := range []string{"2026-11-24 09:00", "2026-11-24 11:20"} {
		folder := t.TempDir()
		require.NoError(t, os.WriteFile(filepath.Join(folder, "kitchen.yaml"), []byte(fumet), 0o600))
		o := openFolder(t, folder)
		o.now = moments(t, "2026-11-24 07:00")
		_, _ = o.write("counted 1 L fumet")
		o.now = moments(t, lost)
		_, _ = o.write("lost fumet kettle of 2026-11-24")
		o.now = moments(t, "2026-11-24 11:30")
		page := o.found("/")
		says(t, page, "28 portions fewer: fish soup")
		says(t, page, "fumet kettle was lost")
		says(t, page, `href="/rescue?lose=fumet&#43;kettle%402026-11-24"`)
		text := o.found("/rescue?lose=fumet+kettle%402026-11-24")
		says(t, text, "Make another batch of fumet kettle")
		says(t, text, "From Tue 24 Nov 11:30 on")
		o.now = moments(t, "2026-11-25 07:00")
		assert.NotContains(t, o.found("/"), "was lost: ")
	}
}

// What a loss puts at stake is the same hours later, be the batch written to be lit or not, and be some of it out by the card meanwhile.
func TestStakeOfALossStays(t *testing.T) {
	for _, entries := range [][]string{{"lit night kettle x1 of 2026-11-24", "lost night kettle of 2026-11-24"}, {"lost night kettle of 2026-11-24"}} {
		o := openBoard(t, "three-kettles")
		o.now = moments(t, "2026-11-24 23:10")
		_, _ = o.write(entries...)
		var stakes []string
		for _, at := range []string{"2026-11-25 00:30", "2026-11-25 04:30", "2026-11-25 09:30"} { // all before lunch, so nothing has been felt yet
			o.now = moments(t, at)
			found := regexp.MustCompile(`<b>([0-9,.]+) USD</b> of contribution is at stake`).FindStringSubmatch(o.found("/rescue?lose=night+kettle%402026-11-24"))
			require.NotEmpty(t, found)
			stakes = append(stakes, found[1])
		}
		assert.NotEqual(t, "0.00", stakes[0])
		assert.Equal(t, []string{stakes[0], stakes[0]}, stakes[1:], "%v", entries)
	}
}

// A loss that is written down costs on Today and on the map what it puts at stake in "What can be done", where it cost nothing more; it
// is not offered to be written once more.
func TestLossThatIsWrittenCostsTheSame(t *testing.T) {
	o := openBoard(t, "three-kettles")
	o.now = moments(t, "2026-11-24 23:10")
	loss := "lose=night+kettle%402026-11-24"
	costs := regexp.MustCompile(`<b>([-−+0-9,.]+)</b> USD contribution`)
	_, _ = o.write("lost night kettle of 2026-11-24")
	stake := regexp.MustCompile(`<b>([0-9,.]+) USD</b> of contribution is at stake`).FindStringSubmatch(o.found("/rescue?" + loss))
	require.Len(t, stake, 2)
	for _, path := range []string{"/?", "/map?", "/costs?", "/map?whole=yes&"} {
		page := o.found(path + loss)
		said := costs.FindStringSubmatch(page)
		require.Len(t, said, 2, path)
		assert.Equal(t, "-"+stake[1], said[1], path)
		says(t, page, "Written down already: the rest of the board counts it.")
		assert.NotContains(t, page, "The log book will read lost night kettle", path)
		assert.NotContains(t, page, "This is a what-if only", path)
	}
}

// A batch that could not begin stays in trouble once its time is past, until somebody writes what became of it.
func TestTroubleOfABatchThatWaits(t *testing.T) {
	folder := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(folder, "kitchen.yaml"), []byte(fumet), 0o600))
	o := openFolder(t, folder)
	o.now = moments(t, "2026-11-24 07:00")
	_, _ = o.write("counted 1 L fumet", "did not come 10 kg fish bones")
	o.now = moments(t, "2026-11-24 09:30")
	page := o.found("/")
	says(t, page, "fumet kettle has not begun, for lack of fish bones")
	says(t, page, `value="lit fumet kettle x1 of 2026-11-24"`)
	says(t, page, `value="skipped fumet kettle of 2026-11-24"`)
	says(t, page, `href="/rescue?lose=fumet&#43;kettle%402026-11-24"`)
	rescue := o.found("/rescue?lose=fumet+kettle%402026-11-24")
	says(t, rescue, "fumet kettle has not begun, for lack of fish bones:")
	// 35 portions at 12 less 1.40 of cod, less 10 kg of bones at 2 and 20 kg of onion at 1 that did not go in.
	says(t, rescue, "<b>331.00</b> of contribution is at stake")
	says(t, o.found("/?lang=es"), "por falta de fish bones")
	_, _ = o.write("skipped fumet kettle of 2026-11-24")
	page = o.found("/")
	says(t, page, "fumet kettle was skipped")
	assert.NotContains(t, page, "has not begun")
	assert.NotContains(t, page, "/rescue")
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
	assert.Equal(t, map[string]string{"Tuesday's braise shank was lost": "braise shank@2026-11-24", "Tuesday's braise was lost": "braise@2026-11-24"}, told)
}

// chowder is a kitchen whose kettle is lit at eight, with a service at noon and one at night.
const chowder = `
kitchen: Pier House
money: EUR
services: {lunch: 12:00-15:00, supper: 19:00-23:00}
bought: {fish frames: {price: 2.40/kg}, potato: {price: 1.20/kg}}
steps:
  fumet kettle: {starts: "08:00", takes: [10 kg fish frames], gives: ["17 L fumet, out at 1 h", "1.8 kg picked fish, out at 1 h 30 min"], batches: {mon-sat: 1}}
  chowder base: {takes: [5 L fumet, 2 kg potato], gives: [6 L chowder base], batches: as needed}
  fish cakes: {takes: [600 g picked fish, 600 g potato], gives: [12 each fish cake], batches: as needed}
made: {fumet: {keeps: 3 days}, picked fish: {keeps: 2 days}, chowder base: {keeps: 2 days}, fish cake: {keeps: 2 days}}
dishes:
  lighthouse chowder: {price: 13.50, takes: [300 mL chowder base, 80 g picked fish], sells: {lunch: 14, supper: 16}}
  fish cakes and salad: {price: 9.50, takes: [2 each fish cake], sells: {lunch: 6, supper: 8}}
`

// openChowder opens it on a Tuesday at five past two, all counted.
func openChowder(t *testing.T) *served {
	folder := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(folder, "kitchen.yaml"), []byte(chowder), 0o600))
	o := openFolder(t, folder)
	o.now = moments(t, "2026-11-24 14:05")
	_, _ = o.write("counted 17 L fumet", "counted 1.8 kg picked fish", "counted 6 L chowder base", "sold 9 lighthouse chowder at lunch")
	return o
}

// stake is what a page says to be at stake.
var stake = regexp.MustCompile(`<b>([0-9,.]+)(?: [A-Z]{3})?</b> of contribution is at stake`)

// A part of a batch that is lost is asked about as that part, by "What can be done" and on the map.
func TestPartOfALossIsAskedAboutAsPart(t *testing.T) {
	o := openChowder(t)
	by := stake.FindStringSubmatch(o.found("/rescue?lose=fumet+kettle%402026-11-25%3D40%25"))
	all := stake.FindStringSubmatch(o.found("/rescue?lose=fumet+kettle%402026-11-25"))
	require.Len(t, by, 2)
	require.Len(t, all, 2)
	require.NotEqual(t, all[1], by[1])
	asked := o.found("/map?item=fumet+kettle&lose=fumet+kettle%402026-11-25%3D40%25")
	became := regexp.MustCompile(`<p class="became">[^<]*</p>`).FindString(asked)
	require.NotEmpty(t, became)
	_, _ = o.write("lost 40% of fumet kettle of wed")
	page := o.found("/")
	link := regexp.MustCompile(`href="(/rescue\?lose=[^"]*)"`).FindStringSubmatch(page)
	require.Len(t, link, 2)
	assert.Equal(t, "/rescue?lose=fumet+kettle%402026-11-25%3D40%25", html.UnescapeString(link[1]))
	found := stake.FindStringSubmatch(o.found(html.UnescapeString(link[1])))
	require.Len(t, found, 2)
	assert.Equal(t, by[1], found[1])
	says(t, o.found("/map?item=fumet+kettle"), became)
}

// A part of a batch that is over is at stake as that part.
func TestPartOfALossOutlivesItsBatch(t *testing.T) {
	stakes := map[string]float64{}
	for _, share := range []string{"40% of ", ""} {
		for _, at := range []string{"2026-11-24 09:35", "2026-11-24 15:50"} { // written just now, and so long ago that its minute is no guide
			folder := t.TempDir()
			require.NoError(t, os.WriteFile(filepath.Join(folder, "kitchen.yaml"), []byte(chowder), 0o600))
			o := openFolder(t, folder)
			o.now = moments(t, "2026-11-24 07:00")
			_, _ = o.write("counted 1 L fumet")
			o.now = moments(t, "2026-11-24 09:31")
			_, _ = o.write("lost " + share + "fumet kettle of 2026-11-24")
			o.now = moments(t, at)
			link := regexp.MustCompile(`href="(/rescue\?lose=[^"]*)"`).FindStringSubmatch(o.found("/"))
			require.Len(t, link, 2)
			found := stake.FindStringSubmatch(o.found(html.UnescapeString(link[1])))
			require.Len(t, found, 2)
			v, err := strconv.ParseFloat(found[1], 64)
			require.NoError(t, err)
			stakes[share+at[11:]] = v
		}
	}
	assert.Less(t, stakes["40% of 09:35"], stakes["09:35"])
	assert.InDelta(t, stakes["09:35"]-stakes["15:50"], stakes["40% of 09:35"]-stakes["40% of 15:50"], 0.02, "%v: what lunch lost is past for both", stakes)
}

// What is lost tomorrow is no cause of what runs out tonight.
func TestCauseLiesBeforeItsEffect(t *testing.T) {
	o := openChowder(t)
	why := regexp.MustCompile(`(?s)<strong>lighthouse chowder</strong>\s*<p>(.*?)</p>`)
	calm := why.FindStringSubmatch(o.found("/"))
	require.Len(t, calm, 2)
	require.Contains(t, calm[1], "out of picked fish")
	for _, share := range []string{"40% of ", ""} {
		o := openChowder(t)
		_, _ = o.write("lost " + share + "fumet kettle of wed")
		for _, path := range []string{"/", "/tonight"} {
			page := regexp.MustCompile(`<[^>]*>`).ReplaceAllString(html.UnescapeString(o.found(path)), "")
			assert.NotRegexp(t, `out of picked fish[^.]*Wednesday's fumet kettle was lost`, page, path)
		}
	}
}

// A batch whose fumet was counted is over: a loss without a day is of the next one, and a loss of the one that is over changes nothing
// and is no cause.
func TestLossOfABatchThatIsOver(t *testing.T) {
	calm := openChowder(t)
	o := openChowder(t)
	_, _ = o.write("lost 40% of fumet kettle")
	page := o.found("/")
	assert.Contains(t, html.UnescapeString(page), "Wednesday's fumet kettle lost 720 g of its 1.8 kg picked fish")
	assert.NotContains(t, html.UnescapeString(page), "Tuesday's fumet kettle was lost")
	o = openChowder(t)
	_, _ = o.write("lost fumet kettle of tue")
	says(t, o.found("/log"), "fumet kettle of tue")
	assert.NotContains(t, o.found("/"), "fumet kettle was lost")
	assert.NotContains(t, o.found("/"), "/rescue")
	says(t, o.found("/tonight"), "picked fish")
	assert.NotContains(t, o.found("/tonight"), "fumet kettle was lost")
	assert.NotContains(t, o.found("/map?item=fumet+kettle"), "became")
	services := regexp.MustCompile(`(?s)<section aria-labelledby="service-0".*?</section>`)
	assert.Equal(t, services.FindString(calm.found("/")), services.FindString(o.found("/")))
}
