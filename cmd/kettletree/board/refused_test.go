package board

import (
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What is refused says in each language what is wrong and what would be right, beside its field; nothing of it stays English.
func TestRefusalsInEveryLanguage(t *testing.T) {
	o := openBoard(t, "three-kettles")
	beside := regexp.MustCompile(`(?s)<span class="says-wrong"[^>]*>(.*?)</span></?`)
	for _, c := range []struct {
		form url.Values
		says string
	}{
		{url.Values{"kind": {"received"}, "item": {"pork shoulder"}, "amount": {"a lot"}}, `<b>&#34;a lot&#34; is not a number.</b> Write a number such as 450, 1.5, 1/2 or 1 1/2.`},
		{url.Values{"kind": {"received"}, "item": {"pork shoulder"}, "amount": {"1.2.3"}}, `<b>&#34;1.2.3&#34; is not a number.</b> Write a number`},
		{url.Values{"kind": {"received"}, "item": {"pork shoulder"}, "amount": {"-3"}}, `has a sign.</b> Numbers here are zero or more`},
		{url.Values{"kind": {"received"}, "item": {"pork shoulder"}, "amount": {"3"}, "unit": {"L"}}, `give it in kg.`},
		{url.Values{"kind": {"received"}, "item": {"pork shoulder"}, "amount": {"3"}, "paid": {"cheap"}}, `<b>&#34;cheap&#34; is not a sum of money.</b> Write it as 12.50.`},
		{url.Values{"kind": {"received"}, "item": {"pork trotters"}, "amount": {"3"}, "ask": {"dear"}, "form": {"buy"}, "back": {"/buy?line=pork+trotters"}}, `<b>&#34;dear&#34; is not a price.</b> Write it as 4.20.`},
		{url.Values{"kind": {"received"}, "item": {"dragon"}, "amount": {"3"}}, `No item is named &#34;dragon&#34;.</b> Type some other part of its name.`},
		{url.Values{"kind": {"sold"}, "dish": {"red pozole"}, "service": {"lunch"}, "portions": {"2.5"}}, `Write a whole number, such as 12.`},
		{url.Values{"kind": {"temperature"}, "item": {""}, "reading": {"4"}, "scale": {"C"}}, `<b>Which item or place?</b> Write an item, or a place such as walk-in.`},
		{url.Values{"kind": {"temperature"}, "item": {"kettle stock"}, "reading": {"hot"}, "scale": {"C"}}, `Write it as 4.5, or as -18.`},
		{url.Values{"kind": {"lit"}, "step": {"night kettle"}, "batches": {"x"}}, `<b>&#34;x&#34; is not a number of batches.</b> Write a number such as 1, 2 or 0.5.`},
		{url.Values{"kind": {"late"}, "item": {"pork shoulder"}, "until": {""}}, `<b>Until when?</b> Write it as 15:00.`},
	} {
		form := url.Values{"form": {"entry"}, "back": {"/log?kind=" + c.form.Get("kind")}}
		for name, values := range c.form {
			form[name] = values
		}
		for _, lang := range []string{"en", "es", "zh-Hans"} {
			status, page, _ := o.send(http.MethodPost, "/write", form, http.Header{"Cookie": {languageCookie + "=" + lang}})
			require.Equal(t, http.StatusUnprocessableEntity, status, c.form)
			said := beside.FindAllStringSubmatch(page, -1)
			require.NotEmpty(t, said, "%s %v", lang, c.form)
			if lang == "en" {
				assert.Contains(t, page, c.says)
			}
			for _, s := range said {
				assert.NotContains(t, s[1], `lang="en"`, "%s %v", lang, c.form)
			}
		}
	}
	for lang, want := range map[string]string{"es": "ningún servicio espera más de 28", "zh-Hans": "没有一个餐段预计超过 28"} {
		_, page, _ := o.send(http.MethodPost, "/write", url.Values{"text": {"sold 4000 red pozole at lunch"}, "back": {"/log"}}, http.Header{"Cookie": {languageCookie + "=" + lang}})
		says(t, page, want)
	}
	_, page, _ := o.send(http.MethodPost, "/write", url.Values{"kind": {"counted"}, "item": {"lard", "hen skin"}, "amount": {"", ""}, "back": {"/stock-take"}}, nil)
	says(t, page, "Nothing was filled in.")
	_, page, _ = o.get("/log?corrects=999")
	says(t, page, "There is no entry 999.")
	_, page, _ = o.get("/day?day=abc")
	says(t, page, "&#34;abc&#34; is not a date.")
	_, page, _ = o.get("/?lose=pizza")
	says(t, page, "No step is named &#34;pizza&#34;.")
	assert.NotContains(t, page, "--lose")
}

// Once the last service is over, or on a day without one, the page of what to sell leads to the services that come next, in each language.
func TestNothingLeftToSell(t *testing.T) {
	for _, now := range []string{"2026-11-24 22:35", "2026-11-23 10:00"} { // a Monday, closed
		o := openBoard(t, "three-kettles")
		o.now = moments(t, now)
		status, page := o.write("counted 40 L kettle stock")
		require.Equal(t, http.StatusOK, status, page)
		for lang, door := range map[string]string{"en": "Tue 24 Nov, lunch", "es": "mar 24 nov, almuerzo", "zh-Hans": "午餐"} {
			if now[:10] == "2026-11-24" {
				door = strings.NewReplacer("Tue 24", "Wed 25", "mar 24", "mié 25").Replace(door)
			}
			status, page, _ := o.send(http.MethodGet, "/tonight", nil, http.Header{"Cookie": {languageCookie + "=" + lang}})
			require.Equal(t, http.StatusBadRequest, status)
			fault := regexp.MustCompile(`(?s)<section class="fault".*?</section>`).FindString(page)
			assert.NotContains(t, fault, `lang="en"`, lang)
			assert.Equal(t, lang == "en", strings.Contains(fault, "name another"), "%s: %s", lang, fault)
			assert.Regexp(t, `<a class="button main" href="/tonight\?at=lunch&amp;from=2026-11-2[45]">[^<]*`+door+`</a>`, fault)
		}
		_, page, _ = o.get("/tonight?at=lunch&from=2026-11-25")
		says(t, page, "Wed 25 Nov, lunch: serving this earns")
	}
}

// A form whose answer never came is written once, however often it is sent; with something else in it, it is written too: what stands in the
// box is what is written down.
func TestSentAgainWithSomethingElse(t *testing.T) {
	o := openBoard(t, "three-kettles")
	_, _, _ = o.get("/log") // which gives the device its cookie
	send := func(amount, seen string) string {
		status, page, _ := o.send(http.MethodPost, "/write", url.Values{"form": {"entry"}, "kind": {"received"}, "item": {"pork trotters"}, "amount": {amount}, "once": {"a1"}, "seen": {seen}, "back": {"/log"}}, nil)
		require.Equal(t, 200, status)
		return page
	}
	says(t, send("1.5", "0"), "Written down:")
	says(t, send("1.5", "1"), "Already written down, so not written again:")
	says(t, send("2,5", "1"), "received 2.5 kg pork trotters")
	says(t, send("2,5", "1"), "Already written down, so not written again:")
	assert.Equal(t, []string{"received 1.5 kg pork trotters", "received 2.5 kg pork trotters"}, o.logged())
}
