package board

// Which day Buy shows, while what was ordered for today comes in.

import (
	"html"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// crustShop is a kitchen to which the mill delivers twice a week, and the butcher on Tuesday and Thursday.
const crustShop = `
kitchen: Crusts
services: {lunch: 11:30-14:30}
suppliers: {mill: {delivers: tue fri}, butcher: {delivers: tue thu}}
bought:
  flour: {price: 1/kg, from: mill}
  lard: {price: 3/kg, from: butcher, keeps: 3 days}
dishes:
  pie: {price: 11, takes: [100 g flour, 50 g lard], sells: 20}
`

// The day whose deliveries came stays the page's until it is over, with its basket and its invoice; another is opened by its tab, and what
// is written there says that it came today.
func TestBuyStaysOnToday(t *testing.T) {
	folder := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(folder, "kitchen.yaml"), []byte(crustShop), 0o600))
	o := openFolder(t, folder)
	o.now = moments(t, "2026-11-24 07:00")
	_, _ = o.write("counted 0 kg flour", "counted 0 kg lard")
	page := html.UnescapeString(o.found("/buy"))
	says(t, page, "<b>Tue 24 Nov</b>: 2 to buy, 0 received")
	assert.NotContains(t, page, "came today already")
	received := func(item, amount, back string) string {
		status, text, _ := o.send(http.MethodPost, "/write", url.Values{"form": {"buy"}, "kind": {"received"}, "item": {item}, "unit": {"kg"}, "per": {"kg"}, "amount": {amount},
			"amount-else": {amount}, "ask": {""}, "ask-else": {"2"}, "next": {""}, "back": {back}}, nil)
		assert.Equal(t, http.StatusOK, status)
		return html.UnescapeString(text)
	}
	says(t, page, `name="back" value="/buy?line=flour&on=2026-11-24"`)
	page = received("flour", "6", "/buy?line=flour&on=2026-11-24")
	says(t, page, "<b>Tue 24 Nov</b>: 2 to buy, 1 received")
	o.now = moments(t, "2026-11-24 09:00")
	page = received("lard", "2", "/buy")
	for _, page := range []string{page, html.UnescapeString(o.found("/buy")), html.UnescapeString(o.found("/buy?on=2026-11-24"))} {
		says(t, page, "<b>Tue 24 Nov</b>: 2 to buy, 2 received; 0.00")
		says(t, page, "Nothing more is to come today.")
		says(t, page, "Invoice total")
		says(t, page, ">Thu 26<")
	}
	page = html.UnescapeString(o.found("/buy?on=2026-11-26"))
	says(t, page, "<b>Thu 26 Nov</b>: 1 to buy, 0 received")
	assert.NotContains(t, page, "In the basket")
	says(t, page, "what you write down here came today already")
	says(t, page, "Received today already")
	assert.NotContains(t, page, "Less came")
	assert.NotContains(t, page, "Did not come")
	assert.NotContains(t, page, "Write down")
	page = received("lard", "2", "/buy?on=2026-11-26") // more than enough
	assert.NotContains(t, page, "Nothing to buy on")
	o.now = moments(t, "2026-11-25 07:00")
	assert.NotContains(t, o.found("/buy"), "<b>Tue 24 Nov</b>")
}

// What did not come keeps its day open, too.
func TestBuyStaysWhereNothingCame(t *testing.T) {
	folder := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(folder, "kitchen.yaml"), []byte(crustShop), 0o600))
	o := openFolder(t, folder)
	o.now = moments(t, "2026-11-24 07:00")
	_, _ = o.write("counted 0 kg flour", "counted 0 kg lard", "did not come flour", "did not come lard")
	says(t, o.found("/buy"), "<b>Tue 24 Nov</b>: 0 to buy, 0 received")
}

// Less than the list says, written as plainly received, says what becomes of the rest; so does each row of the whole list. What the button
// for less writes says it already, and what comes early leaves its own day's list as it is.
func TestBuySaysWhatIsMissing(t *testing.T) {
	folder := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(folder, "kitchen.yaml"), []byte(crustShop), 0o600))
	o := openFolder(t, folder)
	o.now = moments(t, "2026-11-24 07:00")
	_, _ = o.write("counted 0 kg flour", "counted 0 kg lard")
	send := func(lang string, form url.Values) string {
		for name, value := range map[string]string{"form": "buy", "kind": "received", "back": "/buy?on=2026-11-24&lang=" + lang, "seen": "0"} {
			if !form.Has(name) {
				form.Set(name, value)
			}
		}
		_, text, _ := o.send(http.MethodPost, "/write", form, nil)
		return html.UnescapeString(text)
	}
	one := func(more ...string) url.Values {
		form := url.Values{"item": {"flour"}, "unit": {"kg"}, "per": {"kg"}, "amount": {"2,7"}, "amount-else": {"18"}, "ask": {""}, "ask-else": {"1"}}
		for i := 0; i+1 < len(more); i += 2 {
			form.Set(more[i], more[i+1])
		}
		return form
	}
	for lang, want := range map[string]string{"en": "<b>15.3 kg flour</b> of the list is taken as not coming today", "es": "se da por no llegado hoy", "zh": "按今天不到算"} {
		says(t, send(lang, one("sure", "yes", "again", lang)), want)
	}
	assert.NotContains(t, o.found("/buy"), "of the list", "it is said once")
	assert.NotContains(t, send("en", one("short", "yes")), "of the list is taken")
	assert.NotContains(t, send("en", one("amount", "18")), "of the list is taken")
	assert.NotContains(t, send("en", one("back", "/buy?on=2026-11-27", "sure", "yes", "again", "later")), "of the list is taken")
	page := send("en", url.Values{"item": {"flour", "lard"}, "unit": {"kg", "kg"}, "per": {"kg", "kg"}, "amount": {"5", "500 g"}, "amount-else": {"6", "2"}, "ask": {"", ""}, "ask-else": {"1", "3"}, "sure": {"yes"}})
	says(t, page, "<b>1 kg flour</b> of the list")
	says(t, page, "<b>1.5 kg lard</b> of the list")
}

// What is due on Friday and came on Wednesday stands in Friday's list, and is spent there.
func TestBuyPutsEarlyGoodsWhereTheyWereDue(t *testing.T) {
	folder := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(folder, "kitchen.yaml"), []byte(crustShop), 0o600))
	o := openFolder(t, folder)
	o.now = moments(t, "2026-11-25 09:00")
	_, _ = o.write("counted 4 kg flour", "counted 1 kg lard")
	says(t, html.UnescapeString(o.found("/buy?on=2026-11-27")), "<b>Fri 27 Nov</b>: 1 to buy, 0 received")
	_, _ = o.write("received 10 kg flour for 10.00")
	page := html.UnescapeString(o.found("/buy?on=2026-11-27"))
	says(t, page, "<b>Fri 27 Nov</b>: 1 to buy, 1 received")
	says(t, page, "In the basket")
	page = html.UnescapeString(o.found("/buy"))
	says(t, page, "<b>Thu 26 Nov</b>: 1 to buy, 0 received")
	says(t, page, ">Fri 27<")
	assert.NotContains(t, page, ">Wed 25<", "nothing was to come today")
	o.now = moments(t, "2026-11-27 07:00")
	says(t, html.UnescapeString(o.found("/buy")), "<b>Fri 27 Nov</b>: 1 to buy, 1 received")
}
