package board

import (
	"html/template"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/text/language"
)

func TestLanguageOfADevice(t *testing.T) {
	for name, c := range map[string]struct{ address, cookie, accepts, want string }{
		"nothing said":          {"/", "", "", "en"},
		"by the browser":        {"/", "", "fr, es-MX;q=0.9, en;q=0.8", "es-MX"},
		"Chinese":               {"/", "", "zh-CN,zh;q=0.9,en;q=0.8", "zh-Hans"},
		"traditional":           {"/", "", "zh-TW, en;q=0.5", "zh-Hant"},
		"chosen":                {"/", "zh-Hans", "es", "zh-Hans"},
		"by a link":             {"/?lang=es", "zh-Hans", "en", "es"},
		"no such language":      {"/?lang=xx-nonsense", "es", "en", "es"},
		"a cookie gone bad":     {"/", "?", "es", "es"},
		"extensions are no use": {"/?lang=es-MX-u-nu-arab-x-abc", "", "", "es-MX"},
	} {
		r := httptest.NewRequest(http.MethodGet, c.address, nil)
		if c.cookie != "" {
			r.AddCookie(&http.Cookie{Name: languageCookie, Value: c.cookie})
		}
		r.Header.Set("Accept-Language", c.accepts)
		assert.Equal(t, c.want, languageOf(r).String(), name)
	}
}

// A language that is chosen under More stays with the device, whatever its browser asks for, and goes back to the page.
func TestLanguageChosen(t *testing.T) {
	o := openBoard(t, "first-pot")
	_, page, _ := o.send(http.MethodGet, "/more", nil, http.Header{"Accept-Language": {"zh-CN"}})
	says(t, page, `<html lang="zh-Hans">`)
	says(t, page, "没有经过在厨房工作的母语人士审阅")
	o.cookie = nil
	w := o.ask(http.MethodPost, "/language", url.Values{"language": {"es"}, "back": {"/more?lang=zh"}}, nil)
	assert.Equal(t, "/more", w.Header().Get("Location"))
	require.Equal(t, languageCookie, o.cookie.Name)
	chosen := o.cookie
	_, page, header := o.send(http.MethodGet, "/more", nil, http.Header{"Accept-Language": {"zh-CN"}})
	says(t, page, `<html lang="es">`)
	says(t, page, "<h1>Más</h1>")
	assert.Contains(t, header.Get("Vary"), "Accept-Language")
	o.cookie = chosen
	_, page, _ = o.get("/more?lang=zh-Hans")
	says(t, page, `<html lang="zh-Hans">`)
	assert.True(t, strings.Contains(page, `href="/log?lang=zh-Hans"`), "links go on in the language of the address")
	w = o.ask(http.MethodPost, "/language", url.Values{"language": {"tlh"}}, nil)
	assert.Equal(t, http.StatusBadRequest, w.Code)
	says(t, w.Body.String(), "Choose one of the languages under More")
}

func TestSpeaker(t *testing.T) {
	o := openBoard(t, "three-kettles")
	k := o.board.watch.state().kitchen
	en, es, zh := newSpeaker(language.English, k), newSpeaker(language.Spanish, k), newSpeaker(language.SimplifiedChinese, k)
	assert.Equal(t, "1 warning", en.Many(1, "1 warning", "%[1]s warnings"))
	assert.Equal(t, "3 anotaciones no cuadran: la página Anotar dice cuáles.", string(es.Said("3 entries do not add up: kettletree log show says which.")))
	assert.Equal(t, "1,024 avisos", es.Many(1024, "1 warning", "%[1]s warnings"))
	assert.Equal(t, "3 条提醒", zh.Many(3, "1 warning", "%[1]s warnings"))
	assert.Equal(t, "Wed 25 Nov 02:30", en.WhenOf("2026-11-25T02:30"))
	assert.Equal(t, "mié 25 nov 02:30", es.WhenOf("2026-11-25T02:30"))
	assert.Equal(t, "11月25日（周三） 02:30", zh.WhenOf("2026-11-25T02:30"))
	assert.Equal(t, "pozole, tacos e ijar", es.List([]string{"pozole", "tacos", "ijar"}))
	assert.Equal(t, "pozole, tacos y hielo", es.List([]string{"pozole", "tacos", "hielo"}))
	assert.Equal(t, "甲、乙", zh.List([]string{"甲", "乙"}))
	assert.Equal(t, "1.5 kg", es.Amount(1.5, "kg"))
	assert.Equal(t, []string{"1 pieza", "½ pieza", "31 piezas"}, []string{es.Amount(1, "each"), es.Amount(0.5, "each"), es.Amount(31, "each")})
	assert.Equal(t, "1 pieza", es.Phrase("1 each"))
	assert.Equal(t, "31 piezas", es.Phrase("31 each"))
	spain := *k
	spain.Money = "EUR"
	assert.Equal(t, "1,5 kg", newSpeaker(language.Spanish, &spain).Amount(1.5, "kg"), "where the money is the euro, as CLDR writes numbers there")
	assert.Equal(t, `<span lang="en">No &lt;such&gt; sentence.</span>`, string(es.Said("No <such> sentence.")))
	assert.Equal(t, "Empieza por Hoy.", string(es.Said("Start with Today.")))
	bold := es.phrases()["t"].(func(string, ...any) template.HTML)("Open %[1]s", es.phrases()["b"].(func(any) template.HTML)("<x>"))
	assert.Equal(t, template.HTML("Abrir: <b>&lt;x&gt;</b>"), bold)
}
