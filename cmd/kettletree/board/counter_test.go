package board

import (
	"net/http"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What stands in the fields of At the counter is what is asked, and what is wrong is said beside it.
func TestOfferRows(t *testing.T) {
	for text, want := range map[string]offerRow{
		"pork shoulder=4.80/kg, pieces of 7.0 7.4 kg": {Item: "pork shoulder", Price: "4.80/kg", There: "pieces of 7.0 7.4 kg"},
		"stewing hen=9, 40":                           {Item: "stewing hen", Price: "9", There: "40"},
		"corn=42 for 10 kg":                           {Item: "corn", Price: "42 for 10 kg"},
		"lime=+20%":                                   {Item: "lime", Price: "+20%"},
		"lime":                                        {Item: "lime"},
	} {
		assert.Equal(t, want, offerOf(text), text)
	}
	for want, r := range map[string]offerRow{
		"pork shoulder=4.80/kg, pieces of 7.0 7.4 kg": {Item: "pork shoulder", Unit: "kg", Price: "4.80", There: "pieces of 7.0 7.4 kg"},
		"stewing hen=9/each, 40 each":                 {Item: "stewing hen", Unit: "each", Price: "9", There: "40"},
		"corn=42 for 10 kg":                           {Item: "corn", Unit: "kg", Price: "42 for 10 kg"},
		"lime=+20%":                                   {Item: "lime", Unit: "each", Price: "+20%"},
		"lime=":                                       {Item: "lime", Unit: "each"},
	} {
		assert.Equal(t, want, r.text())
	}
	k := openBoard(t, "three-kettles").board.watch.state().kitchen // which has its onions by the pound
	for text, want := range map[string]string{
		"white onion=0.60/kg, 40 kg": "white onion=0.60/kg, 40 kg",
		"white onion=0.60/lb, 40 kg": "white onion=0.60/lb, 40 kg",
		"white onion=0.60, 40 kg":    "white onion=0.60/lb, 40 kg",
	} {
		assert.Equal(t, want, offerOf(text).in(k).text())
	}
}

// Who types a price on a number pad with a comma means a point; what can be read in two ways is left to be refused.
func TestNumberPadsWithAComma(t *testing.T) {
	for text, want := range map[string]string{"8,20": "8.20", "60,5": "60.5", "1,000": "1,000", "8.20": "8.20", "12": "12", "1.234,5": "1234.5"} {
		assert.Equal(t, want, comma(text))
	}
}

// What was played at the counter stays while prices are typed, though minutes pass and other pages are looked at: another price is asked of the same
// searches. After a quarter of an hour, or when something is written down, the counter begins again from now.
func TestCounterHoldsItsMoment(t *testing.T) {
	o := openBoard(t, "first-pot")
	searches := func(price string) (list []*waiting) {
		for {
			status, text, _ := o.get("/offers?spend=60&offer=chicken%3D" + price + "%2Feach%2C+12+each")
			require.Equal(t, 200, status)
			if !strings.Contains(text, "data-again") {
				break
			}
		}
		o.get("/")
		o.board.counters.mu.Lock()
		defer o.board.counters.mu.Unlock()
		for _, e := range o.board.counters.at {
			list = append(list, e.Value.(*made[*waiting]).value)
		}
		return list
	}
	first := searches("8.20")
	require.NotEmpty(t, first)
	o.now = o.now.Add(2 * time.Minute)
	assert.ElementsMatch(t, first, searches("9.20"))
	o.now = o.now.Add(14 * time.Minute)
	later := searches("9.30")
	for _, w := range later {
		assert.NotContains(t, first, w)
	}
	o.write("counted 4 each chicken")
	for _, w := range searches("9.40") {
		assert.NotContains(t, later, w)
	}
}

// What is offered without a price is not passed over: the page asks for it, in its language, and keeps what was typed.
func TestOfferedWithoutAPrice(t *testing.T) {
	o := openBoard(t, "three-kettles")
	full := "/offers?later=yes&spend=60&item=lime&ask=4&there=3" + strings.Repeat("&offer=epazote%3D9", mostOffers)
	for path, wants := range map[string]map[string]string{
		"/offers?spend=60&item=pork+shoulder&ask=&there=3":              {"en": "What does it cost?", "es": "¿Cuánto cuesta?", "zh-Hans": "多少钱？"},
		"/offers?spend=60&item=pork+shoulder&ask=&there=3&later=yes":    {"en": "What does it cost?", "es": "¿Cuánto cuesta?", "zh-Hans": "多少钱？"},
		"/offers?spend=60&item=&ask=4&there=3":                          {"en": "What is it?", "es": "¿Qué es?", "zh-Hans": "是什么？"},
		full:                                                            {"en": "12 things are all that is looked at here: take one away first.", "es": "12 cosas son todo lo que se mira aquí", "zh-Hans": "这里最多看 12 样"},
		"/offers?spend=60&offer=pork+shoulder%3D&item=&ask=&there=":     {"en": "What does it cost?"},
		"/offers?spend=60&offer=epazote%3D9&item=epazote&ask=4&there=3": {"en": "Epazote is offered twice, as"},
	} {
		for lang, want := range wants {
			_, text, _ := o.send(http.MethodGet, path, nil, http.Header{"Cookie": {languageCookie + "=" + lang}})
			assert.Regexp(t, `<p class="fault" role="alert"><b>`+regexp.QuoteMeta(want), text, path)
			if strings.Contains(path, "there=3") {
				says(t, text, `value="3"`)
			}
		}
	}
	_, text, _ := o.get("/offers?spend=60")
	assert.NotContains(t, text, `class="fault"`)
}
