package board

import (
	"net/http"
	"net/url"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What a rescue orders with another than the usual supplier stands on Buy like the rest: it is received with what it costs, or does not
// come.
func TestBuyListsOrdersElsewhere(t *testing.T) {
	for name, does := range map[string]url.Values{
		"received": {"form": {"buy"}, "kind": {"received"}, "item": {"kettle stock"}, "supplier": {"stock house"}, "unit": {"L"}, "amount": {""}, "amount-else": {"20"},
			"ask": {"3.50"}, "ask-else": {"3.40"}, "back": {"/buy"}},
		"did not come": {"text": {"did not come kettle stock"}, "back": {"/buy"}},
	} {
		t.Run(name, func(t *testing.T) {
			o := openBoard(t, "three-kettles")
			_, _ = o.write("counted 40 L kettle stock", "counted 24 kg cooked hominy")
			o.now = moments(t, "2026-11-25 02:15")
			_, _ = o.write("lost night kettle of 2026-11-24")
			_, _, _ = o.send(http.MethodPost, "/take", url.Values{"elsewhere": {"2026-11-25 20 L kettle stock from stock house"}, "back": {"/"}}, nil)
			page := o.found("/buy?on=2026-11-25")
			for _, text := range []string{"Stock house", "68.00", "Ordered with stock house this once."} {
				says(t, page, text)
			}
			o.now = moments(t, "2026-11-25 09:15")
			status, text, _ := o.send(http.MethodPost, "/write", does, nil)
			require.Equal(t, http.StatusOK, status, text)
			page = o.found("/buy?on=2026-11-25")
			assert.NotContains(t, page, "Ordered with stock house this once.")
			if name == "received" {
				assert.Equal(t, `received 20 L kettle stock for 70.00 from "stock house"`, o.logged()[len(o.logged())-1])
				says(t, page, "In the basket")
				says(t, page, "70.00")
			}
		})
	}
}
