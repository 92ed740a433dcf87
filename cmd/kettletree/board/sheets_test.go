package board

import (
	"crypto/sha256"
	"encoding/base64"
	"net/http"
	"net/url"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu"
)

func TestBoardSheets(t *testing.T) {
	o := openBoard(t, "three-kettles")
	status, _, _ := o.send(http.MethodPost, "/write", url.Values{"text": {"counted 24 kg cooked hominy", "temperature kettle stock 55 C"}, "at": {"2026-11-24 13:00"}}, nil)
	require.Equal(t, 200, status)
	o.asks(t, map[string][]string{
		"/sheets":                                  {"Choose a person or a station.", ">day cook</a>", ">big kettle</a>", "/print/sheets?on=2026-11-24"},
		"/sheets?for=station+big+kettle":           {"<h2", "22:30", "data-tick=", "lit night kettle x1 of 2026-11-24"},
		"/sheets?for=person+night+cook":            {"22:00–06:00", "data-tick="},
		"/sheets?for=person+nobody":                {"There is nobody called &#34;nobody&#34;; there are:", "day cook"},
		"/sheets?for=station+smoker":               {"There is no station &#34;smoker&#34;; there are:", "big kettle"},
		"/sheets?for=station+smoker&lang=es":       {"No hay ninguna estación «smoker»; hay:", "olla grande"},
		"/sheets?on=2031-01-01":                    {refusedPage},
		"/sheets?lang=es&for=station+small+kettle": {"Hojas", "olla chica"},
		"/cooling":           {"Kettle stock", "data-ring=", "down to 21 °C (70 °F) by then", "A reading is written down.", "data-bell", "rings only while this page is open"},
		"/day":               {"temperature", "<h2>On hand, lot by lot</h2>", "cooked hominy", "<h2>Allergens</h2>", "/print/day"},
		"/labels":            {"/print/labels"},
		"/labels?lang=es":    {"grasa dorsal de cerdo", "carne de espaldilla"},
		"/allergens?lang=zh": {"红波索莱玉米汤", "梭形小面包"},
	})
}

// Labels are today's where something is made today, on the page and in print, as the command has them.
func TestBoardLabelsOfToday(t *testing.T) {
	o := openBoard(t, "evergreen-braise", func(o *menu.Options) {
		o.From, o.OnHand = time.Date(2026, 11, 23, 0, 0, 0, 0, time.UTC), menu.File(filepath.Join("..", "..", "..", "examples", "evergreen-braise", "on-hand.csv"))
	})
	for _, path := range []string{"/labels", "/print/labels"} {
		_, text, _ := o.get(path)
		assert.Contains(t, text, "Tue 24 Nov", path)
		assert.NotContains(t, text, "Made Mon 23 Nov", path)
		assert.NotContains(t, text, "<p>Mon 23 Nov", path)
		assert.Contains(t, text, "soy egg", path)
	}
}

// What is to be printed stands alone with its own style, and may load nothing else.
func TestBoardPrints(t *testing.T) {
	o := openBoard(t, "first-pot")
	status, _ := o.write("counted 2 L chicken stock")
	require.Equal(t, 200, status)
	for path, want := range map[string]string{"/print/labels": "chicken stock", "/print/allergens": "chicken soup", "/print/sheets": "First Pot", "/print/day": "Tue 24 Nov 2026",
		"/print/labels?lang=es": "Etiquetas"} {
		status, text, header := o.get(path)
		assert.Equal(t, 200, status, path)
		assert.Contains(t, text, want, path)
		csp := header.Get("Content-Security-Policy")
		assert.NotContains(t, csp, "unsafe", path)
		for _, style := range regexp.MustCompile(`(?s)<style>(.*?)</style>`).FindAllStringSubmatch(text, -1) {
			sum := sha256.Sum256([]byte(style[1]))
			assert.Contains(t, csp, "'sha256-"+base64.StdEncoding.EncodeToString(sum[:])+"'", path)
		}
		assert.NotRegexp(t, ` style="|<script| on[a-z]+="`, text, path)
	}
	status, _, _ = o.get("/print/sheets?on=2031-01-01")
	assert.Equal(t, 400, status)
	status, _, _ = o.get("/print/plan")
	assert.Equal(t, 404, status)
}

// A station's sheet says in every language how a step is done: it is found under the name that it has there.
func TestPrintedSheetsSayHowInEveryLanguage(t *testing.T) {
	o := openBoard(t, "three-kettles")
	for lang, how := range map[string]string{"en": "till the water runs clear", "es": "hasta que el agua salga clara", "zh": "冲洗到水清为止"} {
		_, text, _ := o.get("/print/sheets?on=2026-11-25&lang=" + lang)
		assert.Contains(t, text, how, lang)
	}
}

// Labels are those of the day that the address names, on the page and in print alike, and the way to print them leads to that day.
func TestLabelsOfADay(t *testing.T) {
	o := openBoard(t, "three-kettles")
	for _, day := range []string{"2026-11-25", "2026-11-27"} {
		date, err := time.Parse(time.DateOnly, day)
		require.NoError(t, err)
		made := date.Format("Mon 2 Jan")
		assert.Contains(t, o.found("/labels?on="+day), made, day)
		assert.Contains(t, o.found("/labels?on="+day), "/print/labels?on="+day)
		page := o.found("/print/labels?on=" + day)
		assert.Contains(t, page, "Made "+made, day)
		assert.NotRegexp(t, `Made (Mon|Tue|Sat|Sun)`, page, day)
	}
	for _, path := range []string{"/labels?on=2031-01-01", "/print/labels?on=2031-01-01"} {
		status, text, _ := o.get(path)
		assert.Equal(t, 400, status, path)
		assert.Contains(t, text, "is not among the days asked about", path)
	}
}

// What is to be measured is said once in every language, and sections of the code keep their points.
func TestSheetsSayOnceWhatIsMeasured(t *testing.T) {
	o := openBoard(t, "three-kettles")
	for lang, words := range map[string]string{"en": "then measure", "es": "después mide", "zh": "然后测量"} {
		page := strings.ToLower(o.found("/sheets?for=station+big+kettle&on=2026-11-25&lang=" + lang))
		assert.Equal(t, 1, strings.Count(page, words), lang)
		assert.NotContains(t, page, "3-501,")
	}
}
