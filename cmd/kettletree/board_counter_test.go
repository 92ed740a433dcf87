package main

import (
	"fmt"
	"html"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/cmd/kettletree/show"
	"kettletree/menu/counter"
)

// At the counter: offers are put together from fields, the answer stands above them and agrees with the command line; a wrong offer is said
// beside its field and the rest is answered; one that is taken away is gone.
func TestBoardCounter(t *testing.T) {
	o := openBoard(t, "first-pot")
	page := func(pairs ...string) string {
		q := url.Values{"from": {"2026-11-23"}}
		for n := 0; n < len(pairs); n += 2 {
			q.Add(pairs[n], pairs[n+1])
		}
		for {
			status, text, _ := o.get("/offers?" + q.Encode())
			if assert.Equal(t, 200, status); !strings.Contains(text, "data-again") {
				return text
			}
		}
	}
	assert.Contains(t, page(), "Money in hand")
	text := page("spend", "60", "offer", "chicken=8.20/each, 12 each", "offer", "bread roll=0.40/each, 40 each, packs of 10 each")
	assert.Contains(t, text, "48.80")
	assert.Contains(t, text, "146.70")
	assert.Contains(t, text, "Nothing goes off the menu by it.")

	// A price is changed in its field, and one thing more is added; a number without a unit is for that of the item.
	text = page("spend", "60", "offer", "chicken=8.20", "price0", "16", "there0", "12", "item", "bread roll", "ask", "0.40", "there", "40 each, packs of 10 each")
	assert.Contains(t, text, `value="16"`)
	assert.Contains(t, text, "buy 30<")
	assert.Contains(t, page("spend", "60", "offer", "chicken=8.20/each, 12 each", "offer", "bread roll=0.40/each", "drop", "1"), "12 each")

	text = page("spend", "60", "offer", "chicken=8.20/each, 12 each", "offer", "bread roll=0/each")
	assert.Contains(t, text, "what is given away needs no counting")
	assert.Contains(t, text, "buy 4<")
	assert.Contains(t, page("spend", "0", "offer", "chicken=8.20/each"), "is a number above 0")
}

// Late on a Tuesday without a log book, neither the page nor the command lights the kettle of that morning, or serves its lunch again.
func TestBoardCounterBeginsNow(t *testing.T) {
	folder := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(folder, "kitchen.yaml"), []byte(`
kitchen: Dumpling Window
open: tue wed
money: EUR
services: {lunch: 11:30-14:30}
bought:
  bones: {price: 2/kg, keeps: 2 days, arrives: tue wed, allergens: []}
steps:
  boil: {takes: [10 kg bones], gives: [10 L stock], batches: {tue: 1, wed: 1}, starts: "06:00"}
made:
  stock: {keeps: 1 day}
dishes:
  soup: {price: 9, takes: [1 L stock], sells: {lunch: 10}}
`), 0o666))
	t.Setenv(clockName, "2026-11-24 22:05")
	o := serveFolder(t, folder)
	for _, from := range [][]string{nil, {"2026-11-24"}} {
		args, q := []string{"--days", "2", "--spend", "100", "--offer", "bones=1/kg, 30 kg"}, url.Values{"days": {"2"}, "spend": {"100"}, "offer": {"bones=1/kg, 30 kg"}}
		if from != nil {
			args, q["from"] = append(args, "--from", from[0]), from
		}
		a := answers[counter.Answer](o, "buy", args...)
		assert.Equal(t, "2026-11-24", a.From)
		assert.InDelta(t, 10, a.Lines[0].Buy, 1e-9, "for Wednesday's kettle; Tuesday's is past")
		assert.InDelta(t, 80, a.Brings, 1e-9)
		for working := true; working; {
			status, text, _ := o.get("/offers?" + q.Encode())
			require.Equal(t, 200, status)
			if working = strings.Contains(text, "data-again"); !working {
				assert.Contains(t, text, "that earns <b>80.00 EUR")
			}
		}
	}
}

// The answer by the batches as they stand is there first, and says so in its first line and where it says what no longer pays; that by the best
// batches which are found takes its place, and is the command's, at each price.
func TestBoardCounterCooks(t *testing.T) {
	folder := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(folder, "kitchen.yaml"), []byte(`
kitchen: Broth Bar
open: mon tue
money: EUR
services: {lunch: 11:30-14:30}
bought:
  bones: {price: 2/kg, keeps: 2 days, arrives: mon, allergens: []}
  barley: {price: 1/kg, keeps: 90 days, arrives: mon, allergens: [wheat]}
steps:
  boil: {takes: [10 kg bones], gives: [10 L stock], batches: {tue: 1}, starts: "06:00"}
made:
  stock: {keeps: 2 days}
dishes:
  soup: {price: 9, takes: [1 L stock, 50 g barley], sells: {mon lunch: 10, tue lunch: 10}}
`), 0o666))
	o := serveFolder(t, folder)
	for price, want := range map[string]float64{"1": 20, "4": 20, "6": 10, "8.50": 10} {
		offers := []string{"bones=" + price + "/kg, 40 kg, packs of 10 kg", "barley=1.20/kg, 5 kg"}
		a := answers[counter.Answer](o, "buy", "--from", "2026-11-23", "--spend", "100", "--offer", offers[0], "--offer", offers[1])
		assert.InDelta(t, want, a.Lines[0].Buy, 1e-9, price)
		assert.Equal(t, want > 10, len(a.Batches) > 0, "another batch is boiled on Monday for twenty kilos")
		q := url.Values{"from": {"2026-11-23"}, "spend": {"100"}, "offer": offers}
		for working := true; working; {
			status, text, _ := o.get("/offers?" + q.Encode())
			require.Equal(t, 200, status)
			text = html.UnescapeString(text)
			if working = strings.Contains(text, "data-again"); working {
				if strings.Contains(text, "pays beyond") && strings.Contains(text, "buy <b>") || strings.Contains(text, "Buy <b>") {
					assert.Contains(t, text, "With the batches as they stand, buy")
					assert.Regexp(t, `pays beyond [0-9.]+ EUR with the batches as they stand`, text)
				}
				continue
			}
			m := show.MoneyOf("EUR")
			assert.Contains(t, text, fmt.Sprintf("%s of %s.", m.Show(a.Costs), m.Name(a.Spend)))
			assert.NotContains(t, text, "With the batches as they stand, buy")
			assert.Contains(t, text, "that earns <b>"+m.Name(a.Brings))
			if a.Ends() {
				assert.Contains(t, text, fmt.Sprintf("Nothing on offer pays beyond %s.", m.Name(a.Stops)))
			} else {
				assert.Contains(t, text, fmt.Sprintf("More money pays up to %s at the least.", m.Name(a.Stops)))
			}
			for _, line := range show.CounterBatches(&a) {
				assert.Contains(t, text, line)
			}
			for _, x := range a.Batches {
				assert.Regexp(t, fmt.Sprintf(`>%s</th><td class="n"><b>%v</b></td><td class="n">%v</td>`, x.Step, x.Is, x.Was), text)
			}
		}
	}
}
