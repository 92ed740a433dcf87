package board

// What is offered to be tapped, and what is written where nothing was typed.

import (
	"net/http"
	"net/url"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A delivery that is due is tapped, and empty fields are as it was ordered; another item takes nothing of it over.
func TestBoardDeliveryByATap(t *testing.T) {
	o := onList(t)
	_, text, _ := o.get("/log?kind=received")
	says(t, text, `>pork shoulder <small>36 kg</small>`)
	says(t, text, "more to come today")
	_, text, _ = o.get("/log?kind=received&item=pork+shoulder")
	for _, want := range []string{`name="amount-else" value="36"`, `name="ask-else" value="5.10/kg"`, `name="supplier-else" value="butcher"`, `name="planned-of" value="pork shoulder"`,
		`<option value="kg" selected>`} {
		says(t, text, want)
	}
	form := func(item, amount string) url.Values {
		return url.Values{"form": {"entry"}, "kind": {"received"}, "item": {item}, "planned-of": {"pork shoulder"}, "amount": {amount}, "amount-else": {"36"}, "unit": {"kg"},
			"paid": {""}, "ask-else": {"5.10/kg"}, "supplier": {""}, "supplier-else": {"butcher"}, "back": {"/log?kind=received&item=pork+shoulder"}}
	}
	status, text, _ := o.send(http.MethodPost, "/write", form("LIME", ""), nil)
	assert.Equal(t, http.StatusUnprocessableEntity, status, "36 kg of shoulder are no limes")
	says(t, text, "How much?")
	_, text, _ = o.send(http.MethodPost, "/write", form("Pork shoulder", ""), nil)
	assert.NotContains(t, text, `name="planned-of"`, "the next entry is about something else")
	_, _, _ = o.send(http.MethodPost, "/write", form("garlic", "2"), nil)
	_, _, _ = o.send(http.MethodPost, "/write", form("shoulder", "79.4 lb"), nil)
	assert.Equal(t, []string{`received 36 kg pork shoulder for 183.60 from "butcher"`, "received 2 kg garlic", `received 79.4 lb pork shoulder for 183.68 from "butcher"`}, o.logged())
}

// Before the first service of a day what was sold is of the one that was just over, and of its time.
func TestBoardSoldTheNightBefore(t *testing.T) {
	o := onList(t)
	o.now = moments(t, "2026-11-25 00:40")
	_, text, _ := o.get("/log?kind=sold")
	says(t, text, "this is for <b>dinner</b> of <b>Tue 24 Nov</b>")
	says(t, text, `value="2026-11-24T22:00"`)
	form := url.Values{"form": {"entry"}, "kind": {"sold"}, "service": {"dinner"}, "dish": {"red pozole"}, "portions": {"18"}, "at": {"2026-11-24T22:00"}, "back": {"/log"}}
	status, text, _ := o.send(http.MethodPost, "/write", form, nil)
	assert.Equal(t, http.StatusOK, status, text)
	assert.Equal(t, []string{"sold 18 red pozole at dinner"}, o.logged())
}

// A lot that is on hand is tapped, once its item is chosen.
func TestBoardLotByATap(t *testing.T) {
	o := openBoard(t, "three-kettles")
	_, _ = o.write("received 14 each stewing hen lot FARM7", "counted 3 kg pulled hen")
	_, text, _ := o.get("/log?kind=binned&item=stewing+hen")
	says(t, text, `>lot FARM7 <small>14 each from Tue 24 Nov`)
	says(t, text, `<option value="FARM7">stewing hen`)
	_, text, _ = o.get("/log?kind=binned&item=stewing+hen&lot=FARM7")
	says(t, text, `id="lot" name="lot" value="FARM7"`)
	form := url.Values{"form": {"entry"}, "kind": {"binned"}, "item": {"stewing hen"}, "amount": {"2"}, "lot": {"FARM7"}, "reason": {"warm"}, "back": {"/log"}}
	status, text, _ := o.send(http.MethodPost, "/write", form, nil)
	assert.Equal(t, http.StatusOK, status, text)
	assert.Equal(t, "binned 2 each stewing hen lot FARM7, warm", o.logged()[2])
}
