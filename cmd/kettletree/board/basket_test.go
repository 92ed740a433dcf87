package board

// Less than was ordered, something else instead, and the invoice.

import (
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What an order came short by is written as such, in the item's unit; what was taken instead, beside what did not come.
func TestBoardBuyLessOrElse(t *testing.T) {
	o := onList(t)
	line := func(item, amount, listed, unit string, more ...string) url.Values {
		v := url.Values{"form": {"buy"}, "kind": {"received"}, "item": {item}, "unit": {unit}, "amount": {amount}, "amount-else": {listed}, "ask": {""}, "ask-else": {"2"}, "back": {"/buy"}}
		for i := 0; i+1 < len(more); i += 2 {
			v.Set(more[i], more[i+1])
		}
		return v
	}
	for name, c := range map[string]struct {
		form  url.Values
		wants []string
	}{
		"less":            {line("pork trotters", "9,5", "15", "kg", "short", "yes"), []string{"did not come 5.5 kg pork trotters", "received 9.5 kg pork trotters for 19.00"}},
		"less, in pounds": {line("queso fresco", "4", "6.5", "kg", "short", "yes"), []string{"did not come 5.511557 lb queso fresco", "received 4 kg queso fresco for 8.00"}},
		"a typed unit":    {line("pork trotters", "500 g", "15", "kg", "short", "yes"), []string{"did not come 14.5 kg pork trotters", "received 500 g pork trotters for 1.00"}},
		"all that was":    {line("rice", "", "20", "kg", "short", "yes"), []string{"received 20 kg rice for 40.00"}},
		"more":            {line("rice", "21", "20", "kg", "short", "yes"), []string{"received 21 kg rice for 42.00"}},
		"none":            {line("cabbage", "0", "7", "kg", "short", "yes"), []string{"did not come cabbage"}},
		"instead":         {line("avocado", "12", "10", "each", "missed", "lime"), []string{"did not come lime", "received 12 each avocado for 24.00"}},
	} {
		t.Run(name, func(t *testing.T) {
			o.t = t
			before := len(o.logged())
			status, text, _ := o.send(http.MethodPost, "/write", c.form, nil)
			assert.Equal(t, http.StatusOK, status, text)
			assert.Equal(t, c.wants, o.logged()[before:])
		})
	}
}

// pies is a kitchen in which one thing that is bought can take the place of another, which brings an allergen.
const pies = `kitchen: Pie Shop
money: EUR
services: {lunch: 11:30-14:30}
bought:
  beef suet: {price: 4/kg, from: butcher, allergens: []}
  butter:    {price: 9/kg, from: dairy, allergens: [milk]}
  flour:     {price: 1.10/kg, from: mill, allergens: [wheat]}
dishes:
  kidney pie: {price: 11, takes: [80 g beef suet or 100 g butter, 150 g flour], sells: {lunch: 40}}
`

// What takes the place of something is offered with its allergens, and the whole is written in one go; what is wrong with it is said
// where it was typed.
func TestBoardBuyInstead(t *testing.T) {
	folder := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(folder, "kitchen.yaml"), []byte(pies), 0o600))
	o := openFolder(t, folder)
	_, text, _ := o.get("/buy?line=beef+suet&set=yes&amount=2")
	says(t, text, `<b class="brings">Allergens it brings: MILK.</b>`)
	says(t, text, `name="amount-else" value="1.5"`) // 1.2 kg of suet lack: 100 g of butter for 80 g
	form := url.Values{"form": {"buy"}, "kind": {"received"}, "item": {"butter"}, "missed": {"beef suet"}, "unit": {"kg"}, "amount": {"many"}, "amount-else": {"1.5"}, "ask": {""}, "ask-else": {"9"}, "back": {"/buy"}}
	status, text, _ := o.send(http.MethodPost, "/write", form, nil)
	assert.Equal(t, http.StatusUnprocessableEntity, status)
	says(t, text, `name="amount" value="many"`)
	says(t, text, `aria-invalid="true"`)
	assert.Empty(t, o.logged(), "nothing of it is written where some of it is wrong")
	form.Set("amount", "")
	status, text, _ = o.send(http.MethodPost, "/write", form, nil)
	assert.Equal(t, http.StatusOK, status, text)
	assert.Equal(t, []string{"did not come beef suet", "received 1.5 kg butter for 13.50"}, o.logged())
}

// The list begins with what costs most; trifles are folded; the invoice is held against what was written.
func TestBoardBuyInvoice(t *testing.T) {
	o := onList(t)
	_, text, _ := o.get("/buy")
	assert.Less(t, strings.Index(text, "<h2 id=\"from-0\">Butcher"), strings.Index(text, "<h2 id=\"from-1\">"))
	says(t, text, "trifles for the dry store")
	o.write(`received 5 kg pork trotters for 21.00 from "butcher"`, "received 9 kg pork shoulder for 45.90")
	_, text, _ = o.get("/buy?bill=butcher&sum=66,90")
	says(t, text, "The invoice says the same as what is written down.")
	says(t, text, `value="66,90"`)
	_, text, _ = o.get("/buy?bill=butcher&sum=70")
	says(t, text, "The invoice is 3.10 USD above what is written down.")
	_, text, _ = o.get("/buy?invoice=butcher%3D70&bill=butcher&sum=60")
	says(t, text, "The invoice is 6.90 USD below what is written down.")
	_, text, _ = o.get("/buy?bill=butcher&sum=much")
	says(t, text, "is not a sum of money")
	_, text, _ = o.get("/buy?invoice=butcher%3D70&bill=butcher&sum=")
	assert.NotContains(t, text, "The invoice is")
}

// Small amounts stand on the list as a cook measures them, and are written so; the price stays that of a litre or a kilogram.
func TestBuySmallAmounts(t *testing.T) {
	folder := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(folder, "kitchen.yaml"), []byte(`
kitchen: Pie Counter
services: {lunch: 12:00-14:00}
bought: {shin: {price: 9/kg}, vinegar: {price: 30/L}, pepper: {price: 20/kg}}
steps:
  shin pot: {starts: "08:00", takes: [10 kg shin, 0.02 L vinegar, 0.008 kg pepper], gives: [7 kg meat], batches: {tue: 1}}
dishes: {shin pie: {price: 9, takes: [150 g meat], sells: {lunch: 30}}}
`), 0o600))
	o := openFolder(t, folder)
	o.now = moments(t, "2026-11-24 07:00")
	_, _ = o.write("counted 0 kg meat")
	page := o.found("/buy")
	says(t, page, "<b>20</b> mL")
	says(t, page, "<b>8</b> g")
	says(t, page, "<b>10</b> kg")
	says(t, page, "30.00/L")
	says(t, page, `name="unit" value="mL"><input type="hidden" name="per" value="L">`)
	says(t, o.found("/buy?line=vinegar&set=yes&amount=15&ask=40"), "wanted 20")
	status, _, _ := o.send(http.MethodPost, "/write", url.Values{"form": {"buy"}, "kind": {"received"}, "item": {"vinegar"}, "unit": {"mL"}, "per": {"L"}, "amount": {"15"}, "amount-else": {"20"},
		"ask": {"40"}, "ask-else": {"30"}, "back": {"/buy"}}, nil)
	assert.Equal(t, http.StatusOK, status)
	assert.Contains(t, o.logged(), "received 15 mL vinegar for 0.60")
}
