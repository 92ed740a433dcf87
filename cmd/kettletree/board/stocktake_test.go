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
