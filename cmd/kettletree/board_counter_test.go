package main

import (
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
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
			if assert.Equal(t, 200, status); !strings.Contains(text, "Working it out") {
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
	assert.Contains(t, text, "buy 30 each")
	assert.Contains(t, page("spend", "60", "offer", "chicken=8.20/each, 12 each", "offer", "bread roll=0.40/each", "drop", "1"), "12 each")

	text = page("spend", "60", "offer", "chicken=8.20/each, 12 each", "offer", "bread roll=0/each")
	assert.Contains(t, text, "what is given away needs no counting")
	assert.Contains(t, text, "buy 4 each")
	assert.Contains(t, page("spend", "0", "offer", "chicken=8.20/each"), "is a number above 0")
}
