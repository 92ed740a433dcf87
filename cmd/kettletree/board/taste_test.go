package board

// How a batch came out: a card that is tapped, and what follows from it.

import (
	"net/http"
	"net/url"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestBoardTaste(t *testing.T) {
	o := openBoard(t, "three-kettles")
	page := o.found("/taste")
	says(t, page, `<input type="radio" name="taste-0" value="5">`)
	says(t, page, "aim: 3 to 4.5 °Bx")
	says(t, page, "Nothing has been measured yet.")
	form := url.Values{"form": {"taste"}, "kind": {"measured"}, "of": {"night kettle"}, "taste-0": {"4"}, "taste-3": {"5,2"}, "taste-4": {""}, "note": {`a "little" smoky`}, "back": {"/taste"}}
	status, text, _ := o.send(http.MethodPost, "/write", form, nil)
	assert.Equal(t, http.StatusOK, status)
	assert.Equal(t, `measured night kettle: colour 4, brix 5.2, "a 'little' smoky"`, o.logged()[0])
	says(t, text, "water or unsalted stock")

	// A slip stands beside its field, and the rest is still there.
	form.Set("taste-3", "520")
	status, text, _ = o.send(http.MethodPost, "/write", form, nil)
	assert.Equal(t, http.StatusUnprocessableEntity, status)
	says(t, text, `value="520"`)
	says(t, text, `value="4" checked`)
	says(t, text, "more than 20 times what brix should be")
	assert.Len(t, o.logged(), 1)
	for _, name := range []string{"taste-0", "taste-3", "note"} {
		form.Del(name)
	}
	status, text, _ = o.send(http.MethodPost, "/write", form, nil)
	assert.Equal(t, http.StatusUnprocessableEntity, status)
	says(t, text, "Nothing was measured")

	bare := openBoard(t, "first-pot")
	says(t, bare.found("/taste"), "does not say what is measured of anything")
}
