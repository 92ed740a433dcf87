package board

// How a batch came out: a card that is tapped, and what follows from it.

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

// What came out is to be measured: Today says so until somebody does, and the card says of which batch it is, as it then is written down.
func TestBoardAsksToMeasure(t *testing.T) {
	o := openBoard(t, "three-kettles")
	says(t, o.found("/taste"), "<h2>Measure night kettle</h2>")
	o.now = moments(t, "2026-11-24 10:00")
	o.write("lit night kettle of 2026-11-24")
	assert.NotContains(t, o.found("/"), "Measure night kettle")
	o.now = moments(t, "2026-11-24 13:40")
	o.write("out 3 kg kettle fat of night kettle")
	assert.NotContains(t, o.found("/"), "Measure night kettle")
	o.now = moments(t, "2026-11-24 14:00")
	o.write("out 66 L kettle stock of night kettle")
	page := o.found("/")
	says(t, page, "<strong>Measure night kettle</strong>")
	says(t, page, "colour 3 to 4 of 5; clarity 4 to 5 of 5; gel 4 to 5 of 5; brix 3 to 4.5 °Bx")
	page = o.found("/taste?of=night+kettle")
	says(t, page, "<h2>Measure night kettle of Tue 24 Nov</h2>")
	says(t, page, `<input type="hidden" name="day" value="2026-11-24">`)
	form := url.Values{"form": {"taste"}, "kind": {"measured"}, "of": {"night kettle"}, "day": {"2026-11-24"}, "taste-0": {"5"}, "back": {"/taste"}}
	status, page, _ := o.send(http.MethodPost, "/write", form, nil)
	require.Equal(t, http.StatusOK, status)
	says(t, page, "Night kettle of Tue 24 Nov: colour 5 of 5 is above its aim")
	assert.Equal(t, "measured night kettle of 2026-11-24: colour 5", o.logged()[3])
	assert.Less(t, strings.Index(page, "is above its aim"), strings.Index(page, "Measure night kettle of"), "the answer first")
	assert.NotContains(t, o.found("/"), "Measure night kettle")
	o.write("undo 4")
	says(t, o.found("/"), "Measure night kettle")
}

// A measure called note has the card's own field, and not two below each other; a reading far above its aim is asked about.
func TestBoardTasteNote(t *testing.T) {
	folder := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(folder, "kitchen.yaml"), []byte(strings.NewReplacer("UNIT", "kg", "batches: {tue: 1}", "batches: {tue: 1}, measures: {brix: 3.0-4.5, note: words}").Replace(hamShop)), 0o600))
	o := openFolder(t, folder)
	page := o.found("/taste")
	assert.Equal(t, 1, strings.Count(page, ">Note<"), "one field of that name")
	form := url.Values{"form": {"taste"}, "kind": {"measured"}, "of": {"bone out ham"}, "taste-0": {"90"}, "note": {"smoky, 2 skims"}, "back": {"/taste"}}
	status, text, _ := o.send(http.MethodPost, "/write", form, nil)
	assert.Equal(t, http.StatusUnprocessableEntity, status)
	says(t, text, "brix 90 °Bx is more than 3 times what it should be, 3 to 4.5 °Bx")
	says(t, text, `name="sure"`)
	assert.Empty(t, o.logged())
	form.Set("sure", "yes")
	status, text, _ = o.send(http.MethodPost, "/write", form, nil)
	assert.Equal(t, http.StatusOK, status, text)
	assert.Equal(t, `measured bone out ham: brix 90, "smoky, 2 skims"`, o.logged()[0])
	says(t, text, "smoky, 2 skims")
}
