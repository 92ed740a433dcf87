package board

// Stock-take: one form counts all, or what was counted of it.

import (
	"net/http"
	"net/url"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestBoardStockTake(t *testing.T) {
	o := openBoard(t, "three-kettles")
	_, _ = o.write("counted 24 kg cooked hominy", "counted 8 kg lard")
	page := o.found("/stock-take")
	says(t, page, `name="item" value="lard"`)
	says(t, page, "log book: 8 kg")
	says(t, page, "It goes into the log book that there is")
	form := url.Values{"form": {"count"}, "kind": {"counted"}, "item": {"cooked hominy", "lard", "kettle fat"}, "unit": {"kg", "kg", "kg"},
		"amount": {"", "7,5", "0"}, "back": {"/stock-take"}}
	status, _, _ := o.send(http.MethodPost, "/write", form, nil)
	assert.Equal(t, http.StatusOK, status)
	assert.Equal(t, []string{"counted 7.5 kg lard", "counted 0 kg kettle fat"}, o.logged()[2:])
	form["amount"] = []string{"", "7.2", "some"}
	status, text, _ := o.send(http.MethodPost, "/write", form, nil)
	assert.Equal(t, http.StatusUnprocessableEntity, status)
	says(t, text, `value="7.2"`)
	assert.Len(t, o.logged(), 4)
}

// A kitchen without a log book begins one by counting: what is to be counted stands by place, else by kind, and what is drawn from the
// tap does not. Then what was found over or short is told, and a number is put right by tapping it.
func TestBoardStockTakeBegins(t *testing.T) {
	o := openBoard(t, "three-kettles")
	page := o.found("/stock-take")
	says(t, page, "There is no log book yet: this begins one.")
	says(t, page, "<h2>Made here</h2>")
	says(t, page, "<h2>Bought, from butcher</h2>")
	assert.NotContains(t, page, `name="item" value="water"`)
	form := url.Values{"form": {"count"}, "kind": {"counted"}, "item": {"lard", "kettle fat", "lime"}, "unit": {"kg", "kg", "each"},
		"amount": {"8", "2", "40"}, "back": {"/stock-take"}}
	status, page, _ := o.send(http.MethodPost, "/write", form, nil)
	assert.Equal(t, http.StatusOK, status)
	says(t, page, "3 counted for the first time")
	assert.NotContains(t, page, "this begins one")

	form["amount"], form["sure"] = []string{"7.5", "2", "44"}, []string{"yes"} // within the minute, which is asked about
	_, page, _ = o.send(http.MethodPost, "/write", form, nil)
	says(t, page, "2 are not as the log book had them")
	says(t, page, "500 g short")
	says(t, page, "4 each over")
	says(t, page, "1 as the log book had it")
	says(t, page, `/log?corrects=4#entry" aria-label="Correct lard"`)
	status, page, _ = o.send(http.MethodPost, "/write", url.Values{"form": {"entry"}, "kind": {"counted"}, "item": {"lard"}, "amount": {"8"}, "unit": {"kg"}, "corrects": {"4"}}, nil)
	assert.Equal(t, http.StatusOK, status, page)
	assert.Equal(t, "counted 8 kg lard", o.logged()[6])
}
