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

// faultTag is what a page says of what was typed, beside its field or in place of the answer.
var faultTag = regexp.MustCompile(`(?s)<section class="fault"[^>]*>.*?</section>|<p class="fault"[^>]*>.*?</p>|<span class="says-wrong"[^>]*>.*?</span>(?:</span>)?`)

// What is typed into an address, a field, a form of the kitchen file, a line of the log book or a file that is sent, and can't be read, is
// refused in the language of the page: no word of it is English, and no device hears where the kitchen lies.
func TestTypedFaultsInEveryLanguage(t *testing.T) {
	o := openBoard(t, "three-kettles")
	o.write("counted 40 L kettle stock")
	for _, lang := range []string{"es", "zh-Hans"} {
		in := http.Header{"Cookie": {languageCookie + "=" + lang}}
		speaks := func(what string, page string) {
			t.Helper()
			said := faultTag.FindAllString(page, -1)
			assert.NotEmpty(t, said, "%s %s: nothing is said", lang, what)
			for _, s := range said {
				assert.False(t, strings.Contains(s, `lang="en"`) || strings.Contains(s, o.folder), "%s %s: %s", lang, what, s)
			}
		}
		for _, path := range []string{"/clock?ready=zz", "/clock?on=2031-01-01", "/guide?lang=xx", "/labels?on=zz", "/?lose=night+kettle@zz", "/?from=zz", "/?days=zz", "/?days=400", "/?rule=zz", "/?to-the-card=zz", "/trace?lot=zz",
			"/buy?scale=stone", "/offers?spend=abc", "/offers?spend=40&carry=abc", "/offers?item=zz&ask=4&there=3", "/offers?item=pork+shoulder&ask=4.20&there=lots", "/offers?item=pork+shoulder&ask=4.20/L&there=3", "/tonight?at=zz"} {
			_, page, _ := o.send(http.MethodGet, path, nil, in)
			speaks(path, page)
		}
		for _, entry := range []string{"kind=late&item=pork+shoulder&until=soon", "kind=late&item=pork+shoulder&until=25:99", "kind=counted&item=lard&amount=3&at=soon", "kind=counted&item=lard&amount=3&unit=cm+in+big+kettle",
			"kind=binned&item=lard&amount=3&lot=zz", "kind=did+not+come&item=zz&amount=3", "kind=did+not+come&item=pork+shoulder&amount=x"} {
			form, err := url.ParseQuery(entry)
			require.NoError(t, err)
			form.Set("form", "entry")
			form.Set("back", "/log?kind="+url.QueryEscape(form.Get("kind")))
			status, page, _ := o.send(http.MethodPost, "/write", form, in)
			require.Equal(t, http.StatusUnprocessableEntity, status, entry)
			speaks(entry, page)
			for name, typed := range form {
				if name == "amount" || name == "until" || name == "lot" {
					says(t, page, `value="`+typed[0]+`"`) // what was typed is kept
				}
			}
		}
		for _, line := range []string{"counted", "received 3 kg", "sold 3", "late pork shoulder until soon", "late pork shoulder", "counted 3 kg zz", "temperature kettle stock 4 K", "offered 3 red pozole at zz", "received 4 kg pork shoulder for 3 from",
			"lost 400% of night kettle", "cooked bone out shoulder x0"} {
			_, page, _ := o.send(http.MethodPost, "/write", url.Values{"form": {"line"}, "text": {line}, "back": {"/log"}}, in)
			speaks(line, page)
		}
		for _, f := range [][]string{{"bought&new=yes", "enter", "as", "x,y", "blank price", "-3/kg"}, {"bought&new=yes", "enter", "as", "chives", "blank price", "3/L/kg", "blank each", "two metres", "blank keeps", "for ever", "blank arrives", "somedays"},
			{"steps&name=night+kettle", "save", "blank starts", "not a time of day"}, {"steps&name=night+kettle", "save", "blank batches", "often"}, {"steps&name=night+kettle", "save", "blank vessel", "bucket"},
			{"dishes&name=red+pozole", "save", "blank price", "free"}, {"dishes&name=red+pozole", "save", "blank sells", "many"}, {"dishes&name=red+pozole", "save", "as", "green pozole"}, {"made&name=lard", "save", "blank keeps", "3"},
			{"suppliers&name=butcher", "save", "blank order by", "noon"}, {"vessels&name=big+kettle", "save", "blank holds", "a lot"}} {
			_, page, _ := o.send(http.MethodGet, "/kitchen?list="+f[0], nil, in)
			to, form := formOf(t, page, "act", f[1])
			for i := 2; i < len(f); i += 2 {
				form.Set(f[i], f[i+1])
			}
			form.Set("do", "look")
			_, page, _ = o.send(http.MethodPost, to, form, in)
			speaks(strings.Join(f, " "), page)
			says(t, page, f[len(f)-1]) // what was typed is kept
		}
		_, page, _ := o.send(http.MethodPost, "/language", url.Values{"language": {"xx"}, "back": {"/"}}, in)
		speaks("no such language", page)
	}
}
