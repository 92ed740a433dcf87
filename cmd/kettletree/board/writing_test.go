package board

// The pages Log and Buy as a browser sees them: what they show, and what their forms write down.

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
		"/log?kind=cooked":                    {"day=2026-11-24&amp;kind=cooked&amp;step=night&#43;kettle", `name="step"`},
		"/log?kind=cooked&step=night+kettle":  {`placeholder="70"`, `name="batches-else" value="1"`, `name="out-item" value="kettle stock"`, `name="in-item" value="pork trotters"`},
		"/log?kind=sold":                      {`<option value="lunch" selected>`, `name="dish" value="red pozole"`},
		"/log?kind=counted&item=lard":         {`value="lard"`, "cm in big kettle"},
		"/log?kind=temperature":               {`<option value="F" selected>`},
		"/log?kind=struck":                    {`<option value="2026-11-24">Tuesday`, "all day"},
		"/log?kind=lost":                      {`<option value="2026-11-24">night kettle, Tue 24 Nov`},
		"/log?kind=offered":                   {"Portions", `<option value="trotter tostadas">`},
		"/log?kind=lit":                       {`<option value="2026-11-24">night kettle, Tue 24 Nov`, "the one due"},
		"/log?kind=put+in":                    {`name="amount"`, `name="step"`},
		"/log?kind=did+not+come":              {`name="item"`, "all of it"},
		"/log?kind=late":                      {`name="until"`},
		"/log?kind=gave":                      {`name="to"`, `name="portions"`},
		"/log?kind=eaten":                     {refusedPage, "can&#39;t be written down"},
		"/log?kind=cooked&step=nigth+kettle":  {"Which of these is nigth kettle?", ">night kettle</a>"},
		"/log?last=0":                         {refusedPage, "is not a number of entries"},
		"/log?corrects=x":                     {refusedPage, "is not the number of an entry"},
		"/log?corrects=7":                     {refusedPage, "There is no entry 7"},
		"/log?kind=cooked&step=%3Cscript%3E1": {"No step is named", "&lt;script&gt;"},
	})
}

// What was sold is put down to the service that goes on or is just over, with a log book and without one.
func TestBoardSoldAtTheServiceJustOver(t *testing.T) {
	o := openBoard(t, "three-kettles")
	for _, now := range []string{"2026-11-24 11:00 lunch", "2026-11-24 14:30 lunch", "2026-11-24 17:29 lunch", "2026-11-24 17:30 dinner",
		"2026-11-24 21:59 dinner", "2026-11-24 22:00 dinner", "2026-11-24 23:59 dinner", "2026-11-23 20:00 dinner",
		"2026-11-24 10:00 dinner", "2026-11-25 00:30 dinner"} {
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

		"other capitals":     {form: url.Values{"kind": {"binned"}, "item": {"Lard"}, "amount": {"1"}}, wants: []string{"binned 1 kg lard"}},
		"half a name":        {form: url.Values{"kind": {"received"}, "item": {"ham bones"}, "amount": {"4"}}, wants: []string{"received 4 kg smoked ham bones"}},
		"a comma":            {form: url.Values{"kind": {"counted"}, "item": {"lard"}, "amount": {"1,5"}}, wants: []string{"counted 1.5 kg lard"}},
		"a choice":           {form: url.Values{"kind": {"counted"}, "item": {"hominy"}, "amount": {"3"}, "choose": {"item 0 cooked hominy"}}, wants: []string{"counted 3 kg cooked hominy"}},
		"what was planned":   {form: url.Values{"kind": {"received"}, "item": {"lime", "lard"}, "amount": {"", ""}, "amount-else": {"20", "2"}, "unit": {"each", "kg"}, "ask": {"", "4"}, "ask-else": {"0.25", "3.90"}}, wants: []string{"received 20 each lime for 5.00", "received 2 kg lard for 8.00"}},
		"none of the plan":   {form: url.Values{"kind": {"received"}, "item": {"lime"}, "amount": {"0"}, "amount-else": {"20"}, "unit": {"each"}, "ask": {""}, "ask-else": {"0.25"}}, wants: []string{"did not come lime"}},
		"batches as planned": {form: url.Values{"kind": {"cooked"}, "step": {"bone out"}, "batches": {""}, "batches-else": {"4"}, "out-item": {"shoulder meat"}, "out-unit": {"kg"}, "out": {"0"}}, wants: []string{"cooked bone out shoulder x4 gives 0 kg shoulder meat"}},

		"a misspelt item": {form: url.Values{"kind": {"received"}, "item": {"pork sholder"}, "amount": {"18.46"}, "unit": {"lb"}}, refuse: true,
			wants: []string{"Which of these is", `name="amount" value="18.46"`, `value="pork sholder"`, `name="choose" value="item 0 pork shoulder"`, `<option value="lb" selected>`}},
		"half of many names": {form: url.Values{"kind": {"counted"}, "item": {"PORK"}, "amount": {"3"}}, refuse: true, wants: []string{"Which of these is", `value="item 0 pork shoulder"`, `value="item 0 pork skin"`}},
		"a comma that may part thousands": {form: url.Values{"kind": {"counted"}, "item": {"lard"}, "amount": {"1,500"}}, refuse: true,
			wants: []string{"can be read in two ways", `name="choose" value="amount 0 1.500"`, `name="choose" value="amount 0 1500"`}},
		"nothing at all":   {form: url.Values{"kind": {"sold"}, "dish": {"red pozole", "white pozole"}, "portions": {"", ""}}, refuse: true, wants: []string{"Nothing was filled in"}},
		"an unknown kind":  {form: url.Values{"kind": {"eaten"}}, refuse: true, wants: []string{"can&#39;t be written down"}},
		"all or none":      {form: url.Values{"kind": {"sold"}, "dish": {"red pozole", "white pozole"}, "portions": {"3", "half"}}, refuse: true, wants: []string{"is not a number of portions", `value="half"`, `name="portions" value="3"`}},
		"a name with tags": {form: url.Values{"kind": {"binned"}, "item": {`<script>alert(1)</script>"`}, "amount": {"1"}, "unit": {"kg"}}, refuse: true, wants: []string{"&lt;script&gt;alert(1)"}},
		"no amount":        {form: url.Values{"kind": {"binned"}, "item": {"lard"}, "amount": {""}, "reason": {"left out"}}, refuse: true, wants: []string{"How much?", `value="left out"`}},
		"a future":         {form: url.Values{"kind": {"binned"}, "item": {"lard"}, "amount": {"1"}, "at": {"2026-11-25T09:30"}}, refuse: true, wants: []string{"is in the future", `value="2026-11-25T09:30"`}},
	} {
		t.Run(name, func(t *testing.T) {
			o := onList(t)
			if c.form.Get("kind") == "temperature" { // a lot that is named must have been brought
				o.write("cooked night kettle gives 50 L kettle stock lot " + c.form.Get("lot"))
			}
			before := len(o.logged())
			c.form.Set("back", "/log")
			if c.form.Get("kind") != "eaten" {
				c.form.Set("form", "entry")
			}
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
	for _, want := range []string{"By the card: in 18 kg pork shoulder; out ", "Limit 41 °F (5 °C) or colder, US FDA Food Code 2022, 3-501.16(A): BROKEN"} {
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
	says(t, text, `name="portions" value="12"`)
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

func TestBoardBuy(t *testing.T) {
	onList(t).asks(t, map[string][]string{
		"/buy":                        {"Tue 24 Nov", "31 to buy, 0 received; 937.66 USD to go", "smoked ham bones", "Butcher"},
		"/buy?on=2026-11-26":          {"Thu 26 Nov"},
		"/buy?on=2026-12-26":          {refusedPage, "Nothing to buy on"},
		"/buy?scale=stone":            {refusedPage, "No scale shows"},
		"/buy?from=2026-11-23&days=1": {"Nothing left to buy in these days"},
		"/buy?scale=lb&line=pork+shoulder&set=yes&amount=18.46&ask=2.83": {"on the scale, wanted 79.37", "2.83/lb quoted", "With these amounts and prices",
			`name="amount" value="18.46" placeholder="79.37"`, `name="ask-else" value="2.31"`, "Dishes that sell more or less", "Plate costs that change"},
		"/buy?line=pork+shoulder&set=yes&amount=36&ask=5.10":                         {"36"},             // as listed: nothing moves
		"/buy?price=pork+shoulder%3D%2B20%25":                                        {"6.12/kg quoted"}, // 5.10 and a fifth
		"/buy?line=pork+shoulder&set=yes&amount=x&ask=5.10":                          {"is not a number", `value="x"`},
		"/buy?line=pork+shoulder&set=yes&amount=3+L":                                 {"can&#39;t be turned into"},
		"/buy?line=pork+shoulder&set=yes&amount=8+lb&ask=2.50/lb":                    {"<b>3.629</b> kg", "5.51/kg quoted", `value="8 lb"`, `value="2.50/lb"`},
		"/buy?line=pork+shoulder&set=yes&ask=cheap":                                  {"is not a price", `value="cheap"`},
		"/buy?line=pork+shoulder&set=yes&amount=0":                                   {"not available"},
		"/buy?line=smoked+ham+bones&set=yes&amount=0&price=pork+shoulder%3D%2B20%25": {"not available", "Plate costs that change"},
		"/buy?got=lime%3Dmany":                                                       {refusedPage, "is not a number"},
		"/buy?price=lime%3Dmuch":                                                     {refusedPage, "&#34;much&#34; is not a number"},
		"/buy?line=%3Cscript%3E&set=yes&amount=1":                                    {"Buy"},
	})
}

// What came is written down, a line or all of one supplier, with what the scale said and what was asked; then the list says so.
func TestBoardBuyReceives(t *testing.T) {
	o := onList(t)
	_, text, _ := o.get("/buy?line=smoked+ham+bones&set=yes&amount=4.2&ask=5.90")
	says(t, text, `name="next" value="`)
	form := url.Values{"form": {"buy"}, "kind": {"received"}, "item": {"smoked ham bones"}, "unit": {"kg"}, "supplier": {"butcher"}, "amount": {"4,2"}, "amount-else": {"6"},
		"ask": {"5,90"}, "ask-else": {"5.40"}, "next": {"lime"}, "back": {"/buy?line=smoked+ham+bones"}}
	_, text, _ = o.send(http.MethodPost, "/write", form, nil)
	assert.Equal(t, []string{`received 4.2 kg smoked ham bones for 24.78 from "butcher"`}, o.logged())
	says(t, text, "In the basket <small>24.78 USD</small>")
	form.Set("amount", "x")
	status, text, _ := o.send(http.MethodPost, "/write", form, nil)
	assert.Equal(t, http.StatusUnprocessableEntity, status)
	says(t, text, `name="amount" value="x"`)
	says(t, text, `name="ask" value="5,90"`)
	assert.Len(t, o.logged(), 1)
	_, text, _ = o.get("/buy")
	says(t, text, "1 received")
	says(t, text, "<b>4.2 kg</b>")
	o.write("undo 1")
	_, text, _ = o.get("/buy")
	says(t, text, "0 received")
}

// By a log book what came is off the list, and in the basket.
func TestBoardBuyByTheLogBook(t *testing.T) {
	o := openBoard(t, "three-kettles")
	o.write("counted 1.5 kg lard")
	_, text, _ := o.get("/buy")
	says(t, text, "0 received")
	o.write("received 5 kg pork trotters for 21.00 from butcher", "received 20 kg masa flour for 29.00 from mill")
	_, text, _ = o.get("/buy")
	says(t, text, "In the basket <small>50.00 USD</small>")
	says(t, text, "2 received")
	says(t, text, "<b>5 kg</b>")
	o.write("undo 3")
	_, text, _ = o.get("/buy")
	says(t, text, "1 received")
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
	for _, path := range []string{"/", "/map", "/buy", "/plan", "/specials", "/costs", "/costs?why=chicken+soup", "/log?kind=sold", "/log?kind=cooked", "/log?kind=counted",
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
