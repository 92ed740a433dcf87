package board

// A piece broken down from a browser without scripts, ten of them, and what is learned from these.

import (
	"fmt"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/kitchen"
)

const hamShop = `kitchen: Ham Shop
bought: {ham: {price: 3/UNIT}}
steps:
  bone out ham: {takes: [20 UNIT ham], gives: [14 UNIT ham meat, 4 UNIT ham bones], share cost by: weight, batches: {tue: 1}}
dishes: {ham plate: {price: 12, takes: [8 oz ham meat, 1 oz ham bones], sells: 10}}
`

func openHams(t *testing.T, unit string) *served {
	folder := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(folder, "kitchen.yaml"), []byte(strings.ReplaceAll(hamShop, "UNIT", unit)), 0o600))
	return openFolder(t, folder)
}

// A kitchen that weighs by the pound gets its answers by the pound.
func TestBreakDownFromABrowser(t *testing.T) {
	o := openHams(t, "lb")
	_, page, _ := o.get("/weigh")
	assert.Contains(t, page, `/weigh?step=bone&#43;out&#43;ham`)
	cut := url.Values{"step": {"bone out ham"}, "whole": {"10"}, "part": {"6,5", ""}}
	_, page, _ = o.get("/weigh?" + cut.Encode())
	assert.Contains(t, page, "<b>3.5 lb</b> of 10 lb is still on the board")
	// 10 lb at 3.00 is 30.00; on 6.5 lb, and 2 lb by the card: 30/8.5 a pound.
	assert.Contains(t, page, `<td class="n">6.5 lb</td><td class="n">65.0%</td><td class="n">3.53/lb</td>`)
	assert.Contains(t, page, "by the card")

	cut["part"] = []string{"6.5", "11"}
	_, page, _ = o.get("/weigh?" + cut.Encode())
	assert.Contains(t, page, "The parts weigh 7.5 lb more than the whole")
	assert.Regexp(t, `id="part-1"[^>]*aria-invalid`, page, "beside the part that does not fit")
	assert.Contains(t, page, `value="11"`, "what was typed stays")

	// Of a new step, too, it is beside the part.
	fresh := url.Values{"new": {"yes"}, "called": {"joint kid"}, "whole": {"12 kg kid"}, "price": {"11,80"}, "part": {"4 kg kid leg", "10 kg kid bones"}}
	_, page, _ = o.get("/weigh?" + fresh.Encode())
	assert.Contains(t, page, "The parts weigh 2 kg more than the whole")
	assert.Regexp(t, `id="part-1"[^>]*aria-invalid`, page)
	_, page, _ = o.get("/weigh?" + fresh.Encode() + "&" + languageWord + "=es")
	assert.Contains(t, page, "Las partes pesan 2 kg más que la pieza entera")
	fresh["part"] = []string{"13 kg kid leg"}
	_, page, _ = o.get("/weigh?" + fresh.Encode())
	assert.Regexp(t, `id="part-0"[^>]*aria-invalid`, page)
	fresh["part"] = []string{"2 kg kid leg", "2 kg kid leg"}
	_, page, _ = o.get("/weigh?" + fresh.Encode())
	assert.Contains(t, page, `<td class="n">4 kg</td>`, "the second leg")
	assert.NotContains(t, page, "All parts cost the same")
	fresh["part"] = append(fresh["part"], "3 kg kid bones")
	_, page, _ = o.get("/weigh?" + fresh.Encode())
	assert.Contains(t, page, "All parts cost the same by weight so far.")

	cut["part"], cut["price"] = []string{"7", "2"}, []string{"3,40"}
	_, page, _ = o.get("/weigh?" + cut.Encode())
	assert.Contains(t, page, "<b>1 lb</b> of 10 lb is trim")
	assert.Contains(t, page, "3.78/lb", "34.00 on 9 lb")
	was := o.file()
	to, form := formOf(t, page, "text", "cooked bone out ham x0.5: 10 lb ham gives 7 lb ham meat, 2 lb ham bones")
	_, page, _ = o.send(http.MethodPost, to, form, nil)
	assert.Contains(t, page, "Written down:")
	assert.Contains(t, page, "1 piece kept")
	assert.Contains(t, page, "data-done", "nothing of it is kept to be sent")
	assert.Equal(t, was, o.file(), "a batch is no new card")
}

// Ten pieces become yields with their spread, and go into the file. By hand: 13.6 to 15.4 by steps of 0.2 have the mean 14.5 and, of ten, the
// sample standard deviation 0.2 * sqrt((100-1)/12 * 10/9) = 0.6055.
func TestTenPieces(t *testing.T) {
	o := openHams(t, "lb")
	for n := range 10 {
		status, _, _ := o.send(http.MethodPost, "/write", url.Values{"text": {fmt.Sprintf("cooked bone out ham x1: 20 lb ham gives %.1f lb ham meat, 4 lb ham bones", 13.6+0.2*float64(n))}}, nil)
		require.Equal(t, http.StatusOK, status)
	}
	_, page, _ := o.get("/weigh?step=bone+out+ham")
	assert.Contains(t, page, "10 pieces kept")
	assert.Contains(t, page, "14.5 ± 0.61")
	// Individuals: mean moving range 0.2, and 14.5 give or take 0.2/1.128*3 = 0.532 (NIST/SEMATECH e-Handbook, 6.3.2.2).
	assert.Contains(t, page, "13.97 to 15.03")
	to, form := formOf(t, page, "digest", digestOf([]byte(o.file())))
	form.Set("do", "mean")
	_, page, _ = o.send(http.MethodPost, to, form, nil)
	assert.Contains(t, page, "Written into the kitchen file:")
	assert.Contains(t, o.file(), "14.5 lb ham meat ± 0.61 lb")
}

func TestANewCutFromABrowser(t *testing.T) {
	o := openHams(t, "kg")
	_, page, _ := o.get("/weigh?new=yes&rows=8")
	assert.Contains(t, page, `id="part-7"`)
	cut := url.Values{"new": {"yes"}, "called": {"skin belly"}, "whole": {"5 kg pork belly"}, "part": {"3.8 kg belly meat", "0.9 kg belly skin", ""}}
	_, page, _ = o.get("/weigh?" + cut.Encode())
	assert.Contains(t, page, "Nobody knows what pork belly costs")
	cut.Set("price", "7")
	_, page, _ = o.get("/weigh?" + cut.Encode())
	assert.Contains(t, page, "<b>0.3 kg</b> of 5 kg is trim")
	assert.NotContains(t, page, "Keep it as a batch", "the step is not there yet")
	was := o.file()
	to, form := formOf(t, page, "digest", digestOf([]byte(was)))
	form.Set("do", "write")
	_, page, _ = o.send(http.MethodPost, to, form, nil)
	assert.Contains(t, page, "Written into the kitchen file:")
	assert.Contains(t, o.file(), "skin belly: {takes: [5 kg pork belly], gives: [3.8 kg belly meat, 0.9 kg belly skin], batches: as needed}")
	o.send(http.MethodPost, to, form, nil)
	kept, err := kitchen.Changes(filepath.Join(o.folder, "kitchen.yaml"))
	require.NoError(t, err)
	assert.Len(t, kept, 1, "written once, however often it is sent")
}
