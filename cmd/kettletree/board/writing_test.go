package board

// The pages Log and Counter as a browser sees them: what they show, and what their forms write down.

import (
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu"
	"kettletree/menu/logbook"
)

// onList serves the pozole cantina with a list of what is on hand, and without a log book.
func onList(t testing.TB) *served {
	return openBoard(t, "three-kettles", from("2026-11-23"), func(o *menu.Options) {
		o.OnHand = menu.File(filepath.Join(filepath.Dir(o.Kitchen.Name), "on-hand.csv"))
	})
}

// asks opens pages and wants each to say something.
func (o *served) asks(t *testing.T, pages map[string][]string) {
	for path, wants := range pages {
		t.Run(path, func(t *testing.T) {
			o.t = t
			status, text, _ := o.get(path)
			want := http.StatusOK
			if wants[0] == refusedPage {
				want = http.StatusBadRequest
			}
			assert.Equal(t, want, status)
			for _, w := range wants {
				says(t, text, w)
			}
			assert.Empty(t, regexp.MustCompile(` style=| on[a-z]+="|<style|<script>`).FindString(text), "no style or script within the page")
		})
	}
}

const refusedPage = "That can't be answered"

func TestBoardLog(t *testing.T) {
	onList(t).asks(t, map[string][]string{
		"/log":                                {"Nothing has been written down yet.", "Received", "Temperature", "Type it on one line"},
		"/log?kind=received":                  {`<option value="pork shoulder">`, "Paid, USD", `<option value="butcher">`},
		"/log?kind=cooked":                    {"Which step?", "step=night&#43;kettle"},
		"/log?kind=cooked&step=night+kettle":  {"70 L per batch", `name="out-item" value="kettle stock"`, `name="in-item" value="pork trotters"`},
		"/log?kind=sold":                      {`<option value="lunch" selected>`, `name="dish" value="red pozole"`},
		"/log?kind=counted&item=lard":         {`value="lard"`, "cm in big kettle"},
		"/log?kind=temperature":               {`<option value="F" selected>`},
		"/log?kind=struck":                    {`<option value="2026-11-24">Tuesday`, "all day"},
		"/log?kind=lost":                      {`<option value="2026-11-24">night kettle, Tue 24 Nov`},
		"/log?kind=offered":                   {"Portions", `<option value="trotter tostadas">`},
		"/log?kind=lit":                       {`<option value="2026-11-24">night kettle, Tue 24 Nov`, "the one that is due"},
		"/log?kind=put+in":                    {`name="amount"`, `name="step"`},
		"/log?kind=did+not+come":              {`name="item"`, "nothing more of it comes"},
		"/log?kind=late":                      {`name="until"`},
		"/log?kind=gave":                      {`name="to"`, `name="portions"`},
		"/log?kind=eaten":                     {refusedPage, "can&#39;t be written down"},
		"/log?kind=cooked&step=nigth+kettle":  {refusedPage, "did you mean"},
		"/log?last=0":                         {refusedPage, "is not a number of entries"},
		"/log?corrects=x":                     {refusedPage, "is not the number of an entry"},
		"/log?corrects=7":                     {refusedPage, "Entry 7 is too old to correct here"},
		"/log?kind=cooked&step=%3Cscript%3E1": {refusedPage, "&lt;script&gt;"},
	})
}

// What was sold is put down to the service that goes on or is just over, with a log book and without one.
func TestBoardSoldAtTheServiceJustOver(t *testing.T) {
	o := openBoard(t, "three-kettles")
	for _, now := range []string{"2026-11-24 10:00 lunch", "2026-11-24 14:30 lunch", "2026-11-24 17:29 lunch", "2026-11-24 17:30 dinner",
		"2026-11-24 21:59 dinner", "2026-11-24 22:00 dinner", "2026-11-24 23:59 dinner", "2026-11-23 20:00 dinner", "2026-11-23 08:00 lunch"} {
		o.now = moments(t, now[:len(logbook.Minutes)])
		for _, path := range []string{"/log?kind=sold", "/log?kind=sold&from=2026-11-23"} {
			says(t, o.found(path), `<option value="`+now[len(logbook.Minutes)+1:]+`" selected>`)
		}
		if now == "2026-11-24 14:30 lunch" {
			_, _ = o.write("counted 4 kg lard")
		}
	}
}

// What a form's fields say is what is written down; where it can't be, what was typed comes back with the place of the fault.
func TestBoardFields(t *testing.T) {
	for name, c := range map[string]struct {
		form   url.Values
		wants  []string // entries; or, behind refused, what the page says
		refuse bool
	}{
		"received": {form: url.Values{"kind": {"received"}, "item": {"pork shoulder"}, "amount": {"18.46"}, "unit": {"lb"}, "paid": {"52.31"},
			"supplier": {`corner "old" butcher`}, "lot": {"A17"}}, wants: []string{`received 18.46 lb pork shoulder for 52.31 from "corner 'old' butcher" lot A17`}},
		"the item's own unit": {form: url.Values{"kind": {"received"}, "item": {"stewing hen"}, "amount": {" 14 "}, "unit": {""}},
			wants: []string{"received 14 each stewing hen"}},
		"a unit typed with it": {form: url.Values{"kind": {"binned"}, "item": {"lard"}, "amount": {"200 g"}, "unit": {""}, "reason": {"left out"}},
			wants: []string{"binned 200 g lard, left out"}},
		"a depth": {form: url.Values{"kind": {"counted"}, "item": {"kettle stock"}, "amount": {"23.5"}, "unit": {"cm in big kettle"}},
			wants: []string{"counted kettle stock 23.5 cm in big kettle"}},
		"many dishes": {form: url.Values{"kind": {"sold"}, "service": {"lunch"}, "dish": {"red pozole", "white pozole", "green pozole"}, "portions": {"12", "", "4"}},
			wants: []string{"sold 12 red pozole at lunch", "sold 4 green pozole at lunch"}},
		"cooked by the recipe": {form: url.Values{"kind": {"cooked"}, "step": {"bone out shoulder"}, "batches": {"2"}, "out-item": {"shoulder meat"}, "out-unit": {"kg"}, "out": {""}},
			wants: []string{"cooked bone out shoulder x2"}},
		"cooked and weighed": {form: url.Values{"kind": {"cooked"}, "step": {"bone out shoulder"}, "batches": {"1"}, "in-item": {"pork shoulder"}, "in-unit": {"kg"},
			"in": {"9.1"}, "out-item": {"shoulder meat", "back fat"}, "out-unit": {"kg", "kg"}, "out": {"6.1", ""}},
			wants: []string{"cooked bone out shoulder x1: 9.1 kg pork shoulder gives 6.1 kg shoulder meat"}},
		"temperature": {form: url.Values{"kind": {"temperature"}, "item": {"kettle stock"}, "reading": {"-1.5"}, "scale": {"C"}, "lot": {"A17"}, "reason": {"in the walk-in"}},
			wants: []string{"temperature kettle stock lot A17 -1.5 C, in the walk-in"}},
		"struck": {form: url.Values{"kind": {"struck"}, "dish": {"red pozole"}, "day": {"2026-11-24"}, "service": {"dinner"}}, wants: []string{"struck red pozole at 2026-11-24 dinner"}},
		"lost":   {form: url.Values{"kind": {"lost"}, "share": {"40 %"}, "step": {"night kettle"}, "day": {"2026-11-24"}}, wants: []string{"lost 40% of night kettle of 2026-11-24"}},
		"offered": {form: url.Values{"kind": {"offered"}, "dish": {"trotter tostadas"}, "day": {"2026-11-27", "2026-11-28"}, "service": {"lunch", "dinner"}, "portions": {"10", "8"}},
			wants: []string{"offered 10 trotter tostadas at 2026-11-27 lunch", "offered 8 trotter tostadas at 2026-11-28 dinner"}},
		"did not come": {form: url.Values{"kind": {"did not come"}, "item": {"stewing hen"}, "amount": {""}}, wants: []string{"did not come stewing hen"}},
		"late": {form: url.Values{"kind": {"late"}, "item": {"stewing hen"}, "amount": {"14"}, "until": {"15:00"}},
			wants: []string{"late 14 each stewing hen until 15:00"}},
		"lit": {form: url.Values{"kind": {"lit"}, "step": {"night kettle"}, "batches": {""}, "day": {""}}, wants: []string{"lit night kettle"}},
		"lit of a day": {form: url.Values{"kind": {"lit"}, "step": {"night kettle"}, "batches": {"0.5"}, "day": {"2026-11-24"}},
			wants: []string{"lit night kettle x0.5 of 2026-11-24"}},
		"put in, and nobody lit it": {form: url.Values{"kind": {"put in"}, "item": {"white onion"}, "amount": {"2"}, "step": {"cook beans"}},
			wants: []string{"lit cook beans x1 of 2026-11-24", "put in 2 lb white onion of cook beans"}},
		"out": {form: url.Values{"kind": {"out"}, "item": {"back fat"}, "amount": {"1.2"}, "lot": {"F1"}, "step": {"bone out shoulder"}, "day": {"2026-11-24"}},
			wants: []string{"lit bone out shoulder x4 of 2026-11-24", "out 1.2 kg back fat lot F1 of bone out shoulder of 2026-11-24"}},
		"skipped": {form: url.Values{"kind": {"skipped"}, "step": {"night kettle"}, "day": {""}}, wants: []string{"skipped night kettle"}},
		"gave":    {form: url.Values{"kind": {"gave"}, "dish": {"red pozole"}, "portions": {"6"}, "to": {"staff"}, "service": {"lunch"}}, wants: []string{"gave 6 red pozole to staff at lunch"}},
		"dropped": {form: url.Values{"kind": {"dropped"}, "dish": {"red pozole"}, "portions": {"1"}, "service": {"lunch"}, "reason": {"slipped"}},
			wants: []string{"dropped 1 red pozole at lunch, slipped"}},
		"earlier": {form: url.Values{"kind": {"binned"}, "item": {"lard"}, "amount": {"1"}, "at": {"2026-11-24T09:30"}}, wants: []string{"binned 1 kg lard"}},

		"a misspelt item": {form: url.Values{"kind": {"received"}, "item": {"pork sholder"}, "amount": {"18.46"}, "unit": {"lb"}}, refuse: true,
			wants: []string{"Unknown item", `value="received 18.46 lb pork sholder"`, "Did you mean &#34;pork shoulder&#34;", "^^^^^^^^^^^^"}},
		"a comma":          {form: url.Values{"kind": {"counted"}, "item": {"lard"}, "amount": {"1,5"}}, refuse: true, wants: []string{"has a comma", `value="counted 1,5 kg lard"`}},
		"nothing at all":   {form: url.Values{"kind": {"sold"}, "dish": {"red pozole", "white pozole"}, "portions": {"", ""}}, refuse: true, wants: []string{"write at least one"}},
		"an unknown kind":  {form: url.Values{"kind": {"eaten"}}, refuse: true, wants: []string{"can&#39;t be written down"}},
		"all or none":      {form: url.Values{"kind": {"sold"}, "dish": {"red pozole", "white pozole"}, "portions": {"3", "half"}}, refuse: true, wants: []string{"sold half white pozole", `value="sold 3 red pozole"`}},
		"a name with tags": {form: url.Values{"kind": {"binned"}, "item": {`<script>alert(1)</script>"`}, "amount": {"1"}, "unit": {"kg"}}, refuse: true, wants: []string{"&lt;script&gt;alert(1)"}},
		"a future":         {form: url.Values{"kind": {"binned"}, "item": {"lard"}, "amount": {"1"}, "at": {"2026-11-25T09:30"}}, refuse: true, wants: []string{"is in the future"}},
	} {
		t.Run(name, func(t *testing.T) {
			o := onList(t)
			if c.form.Get("kind") == "temperature" { // a lot that is named must have been brought
				o.write("cooked night kettle gives 50 L kettle stock lot " + c.form.Get("lot"))
			}
			before := len(o.logged())
			c.form.Set("back", "/log")
			status, text, _ := o.send(http.MethodPost, "/write", c.form, nil)
			if c.refuse {
				assert.Equal(t, http.StatusUnprocessableEntity, status)
				for _, want := range c.wants {
					says(t, text, want)
				}
				assert.NotContains(t, text, "<script>alert")
				assert.Empty(t, o.logged())
				return
			}
			assert.Equal(t, http.StatusOK, status)
			assert.Equal(t, c.wants, o.logged()[before:])
		})
	}
}

// What of an entry is by the card is said below it, and the limit beside what was read.
func TestBoardLogSaysWhatIsByTheCard(t *testing.T) {
	o := onList(t)
	o.write("cooked bone out shoulder x2 gives 12.1 kg shoulder meat", "temperature walk-in 48 F, did: moved to ice")
	_, text, _ := o.get("/log")
	for _, want := range []string{"By the card: in 18 kg pork shoulder; out ", "Limit 41 °F or colder, US FDA Food Code 2022, 3-501.16(A): BROKEN"} {
		says(t, text, want)
	}
}

// What looks wrong is asked about, and written by who is sure.
func TestBoardAsks(t *testing.T) {
	o := onList(t)
	o.write("counted 2 kg lard")
	form := url.Values{"text": {"counted 45 kg lard"}, "back": {"/log"}}
	status, text, _ := o.send(http.MethodPost, "/write", form, nil)
	assert.Equal(t, http.StatusUnprocessableEntity, status)
	for _, want := range []string{"This looks wrong: 45 kg lard counted, and the log book has 2 kg", `value="counted 45 kg lard"`,
		`<button name="sure" value="yes">`} {
		says(t, text, want)
	}
	assert.Len(t, o.logged(), 1)
	form.Set("sure", "yes")
	status, _, _ = o.send(http.MethodPost, "/write", form, nil)
	assert.Equal(t, http.StatusOK, status)
	assert.Equal(t, []string{"counted 2 kg lard", "counted 45 kg lard"}, o.logged())
}

// An entry is taken back, and put right in the place where it stood.
func TestBoardLogCorrects(t *testing.T) {
	o := onList(t)
	o.write("binned 1 kg lard, left out", "sold 12 red pozole at lunch")
	_, text, _ := o.get("/log?corrects=2")
	says(t, text, `value="sold 12 red pozole at lunch"`)
	says(t, text, `name="corrects" value="2"`)
	status, _, _ := o.send(http.MethodPost, "/write", url.Values{"text": {"sold 11 red pozole at lunch"}, "corrects": {"2"}, "back": {"/log"}}, nil)
	assert.Equal(t, http.StatusOK, status)
	o.write("undo 1")
	_, text, _ = o.get("/log")
	for _, want := range []string{"no longer counts: see entry 3", "replaces entry 2", "Entry 1 undone", "no longer counts: see entry 4"} {
		says(t, text, want)
	}
	_, text, _ = o.get("/log?last=1")
	says(t, text, "Entry 1 undone")
	assert.NotContains(t, text, "no. 2")
	says(t, text, "Show earlier entries")
}

func TestBoardCounter(t *testing.T) {
	onList(t).asks(t, map[string][]string{
		"/counter":                        {"Tue 24 Nov", "31 to buy, 0 received; 937.66 USD", "smoked ham bones", "Butcher"},
		"/counter?on=2026-11-26":          {"Thu 26 Nov"},
		"/counter?on=2026-12-26":          {refusedPage, "Nothing to buy on"},
		"/counter?scale=stone":            {refusedPage, "No scale shows"},
		"/counter?from=2026-11-23&days=1": {"Nothing left to buy in these days"},
		"/counter?scale=lb&line=pork+shoulder&set=yes&amount=18.46&ask=2.83": {"on the scale, wanted 79.37", "2.83/lb quoted", "With these amounts and prices",
			"received 18.46 lb pork shoulder for 52.24 from &#34;butcher&#34;", "Dishes that sell more or less", "Plate costs that change"},
		"/counter?line=pork+shoulder&set=yes&amount=36&ask=5.10":                         {"36"},             // as listed: nothing moves
		"/counter?price=pork+shoulder%3D%2B20%25":                                        {"6.12/kg quoted"}, // 5.10 and a fifth
		"/counter?line=pork+shoulder&set=yes&amount=x&ask=5.10":                          {"is not a number", `value="x"`},
		"/counter?line=pork+shoulder&set=yes&amount=3+L":                                 {"can&#39;t be turned into"},
		"/counter?line=pork+shoulder&set=yes&amount=8+lb&ask=2.50/lb":                    {"<b>3.629</b> kg", "5.51/kg quoted"},
		"/counter?line=pork+shoulder&set=yes&ask=cheap":                                  {"is not a number", `value="cheap"`},
		"/counter?line=pork+shoulder&set=yes&amount=0":                                   {"not available"},
		"/counter?line=smoked+ham+bones&set=yes&amount=0&price=pork+shoulder%3D%2B20%25": {"not available", "Plate costs that change"},
		"/counter?got=lime%3Dmany":                                                       {refusedPage, "is not a number"},
		"/counter?price=lime%3Dmuch":                                                     {refusedPage, "lime=much"},
		"/counter?line=%3Cscript%3E&set=yes&amount=1":                                    {"Counter"},
	})
}

// What came is written down, a line or all of one supplier, with what the scale said and what was asked; then the list says so.
func TestBoardCounterReceives(t *testing.T) {
	o := onList(t)
	_, text, _ := o.get("/counter?line=smoked+ham+bones&set=yes&amount=4.2&ask=5.90")
	want := `received 4.2 kg smoked ham bones for 24.78 from "butcher"`
	says(t, text, strings.ReplaceAll(want, `"`, "&#34;"))
	o.write(want)
	assert.Equal(t, []string{want}, o.logged())
	_, text, _ = o.get("/counter")
	says(t, text, "1 received")
	says(t, text, "received 4.2 kg")
	o.write("undo 1")
	_, text, _ = o.get("/counter")
	says(t, text, "0 received")
}

// In a kitchen whose names are tags, every page says them and none obeys them.
func TestBoardNamesAreTags(t *testing.T) {
	src, err := os.ReadFile(filepath.Join("..", "..", "..", "examples", "first-pot", "kitchen.yaml"))
	require.NoError(t, err)
	folder := t.TempDir()
	text := string(src)
	for _, name := range []string{"chicken stock", "pulled chicken", "bread roll", "chicken roll", "poach chickens"} {
		text = strings.ReplaceAll(text, name, "<script>alert('"+strings.ReplaceAll(name, " ", "_")+"')</script>")
	}
	require.NoError(t, os.WriteFile(filepath.Join(folder, "kitchen.yaml"), []byte(text), 0o666))
	o := openFolder(t, folder, from("2026-11-23"))
	for _, path := range []string{"/", "/map", "/counter", "/plan", "/specials", "/costs", "/costs?why=chicken+soup", "/log?kind=sold", "/log?kind=cooked", "/log?kind=counted",
		"/log?kind=lost", "/clock?on=all", "/clock?way=lanes", "/guide"} {
		page := o.found(path)
		assert.NotContains(t, page, "<script>alert", path)
		assert.Contains(t, page, "script&gt;alert", path)
	}
}

// A lot that nobody brought is refused, as the command refuses it.
func TestBoardUnknownLot(t *testing.T) {
	o := onList(t)
	_, _ = o.write("received 10 kg pork shoulder for 51 lot A17")
	status, text := o.write("binned 1 kg pork shoulder lot A71, torn bag")
	assert.Equal(t, http.StatusUnprocessableEntity, status)
	says(t, text, "is marked &#34;A71&#34;")
	says(t, text, "Did you mean &#34;A17&#34;?")
	assert.Len(t, o.logged(), 1)
	status, _ = o.write("binned 1 kg pork shoulder lot A17, torn bag")
	assert.Equal(t, http.StatusOK, status)
}
