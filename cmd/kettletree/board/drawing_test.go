package board

// A kitchen drawn without scripts: what follows is shown first, two devices lose nothing, and what does not fit says so beside its field.

import (
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/kitchen"
)

// emptyKitchen is a board of a kitchen that has a name and nothing else.
func emptyKitchen(t testing.TB) *served {
	folder := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(folder, "kitchen.yaml"), []byte("kitchen: Smoke Shack\n"), 0o600))
	return openFolder(t, folder)
}

// draws opens a page, fills its form in, looks at what follows, and writes it.
func (o *served) draws(path, act string, fields ...string) string {
	o.t.Helper()
	was := o.file()
	status, page, _ := o.get(path)
	require.Equal(o.t, http.StatusOK, status, page)
	page = o.sends(page, act, "look", fields...)
	require.Equal(o.t, was, o.file(), "nothing is written before it is seen")
	require.Contains(o.t, page, "Write it into the kitchen file", "%s\n%s", path, page)
	page = o.sends(page, act, "write")
	says(o.t.(*testing.T), page, "Written into the kitchen file:")
	return page
}

func TestDrawFromNothing(t *testing.T) {
	o := emptyKitchen(t)
	status, page, _ := o.get("/draw")
	require.Equal(t, http.StatusOK, status)
	says(t, page, "Nothing is drawn yet. Begin with the pot: a step.")
	page = o.draws("/draw?new=steps", "box", "as", "smoke pit", "blank batches", "tue fri")
	says(t, page, "not finished")
	o.draws("/draw?new=bought", "box", "as", "brisket", "blank price", "9/kg", "into", "steps/smoke pit", "amount", "20 kg")
	o.draws("/draw?new=made", "box", "as", "smoked brisket", "out of", "steps/smoke pit", "amount", "12 kg", "blank keeps", "3 days")
	o.draws("/draw?new=dishes", "box", "as", "brisket plate", "blank price", "19", "blank sells", "14", "out of", "made/smoked brisket", "amount", "180 g")
	o.draws("/draw?new=bought", "box", "as", "bun", "blank price", "0.40/each")
	page = o.draws("/draw?pick=dishes/brisket+plate&to=bought/bun", "line", "amount", "1 each") // tapped the other way round
	says(t, page, "brisket plate: now takes 1 each bun too")
	assert.Equal(t, `kitchen: Smoke Shack
bought: {brisket: {price: 9/kg}, bun: {price: 0.40/each}}
steps: {smoke pit: {takes: [20 kg brisket], gives: [12 kg smoked brisket], batches: {tue: 1, fri: 1}}}
made: {smoked brisket: {keeps: 3 days}}
dishes: {brisket plate: {price: 19, takes: [180 g smoked brisket, 1 each bun], sells: 14}}
`, o.file())
	_, page, _ = o.get("/?lose=smoke+pit@fri")
	says(t, page, "smoke pit is lost")

	page = o.draws("/draw?pick=steps/smoke+pit&to=dishes/brisket+plate", "line", "through", "", "as", "drippings", "gave", "1 kg", "amount", "10 g")
	says(t, page, "smoke pit: now gives 1 kg drippings too")
	assert.Contains(t, o.file(), "takes: [180 g smoked brisket, 1 each bun, 10 g drippings]")
	page = o.draws("/draw?pick=steps/smoke+pit&to=dishes/brisket+plate", "line", "through", "drippings", "amount", "20 g")
	says(t, page, "brisket plate: takes 20 g drippings, was 10 g drippings")
	o.draws("/draw?pick=made/drippings&to=dishes/brisket+plate", "wipe")
	page = o.draws("/draw?pick=steps/smoke+pit", "erase")
	assert.Contains(t, o.file(), "brisket plate: {price: 19, takes: [1 each bun], sells: 14}")
	assert.NotContains(t, o.file(), "smoke")
	to, form := formOf(t, page, "number", "10")
	_, _, _ = o.send(http.MethodPost, to, form, nil)
	assert.Contains(t, o.file(), "smoke pit")
}

func TestDrawnFaultsStandBesideTheirFields(t *testing.T) {
	o := openBoard(t, "first-pot")
	was := o.file()
	look := func(path, act string, fields ...string) string {
		_, page, _ := o.get(path)
		page = o.sends(page, act, "look", fields...)
		assert.NotContains(t, page, "Write it into the kitchen file")
		return page
	}
	line := "/draw?pick=bought/chicken&to=dishes/chicken+soup"
	assert.Regexp(t, `name="amount" value="a lot"[^>]*aria-invalid="true"`, look(line, "line", "amount", "a lot"))
	assert.Regexp(t, `name="amount" value=""[^>]*aria-invalid="true"`, look(line, "line"))
	page := look("/draw?new=bought", "box", "as", "leek", "blank price", "dear")
	assert.Regexp(t, `name="blank price" value="dear"[^>]*aria-invalid="true"`, page)
	assert.Contains(t, page, `value="leek"`)
	assert.Regexp(t, `name="as" value="chicken"[^>]*aria-invalid="true"`, look("/draw?new=bought", "box", "as", "chicken"))
	assert.Regexp(t, `name="out of"[^>]*aria-invalid="true"`, look("/draw?new=made", "box", "as", "dripping", "out of", ""))
	assert.Equal(t, was, o.file())
	_, page, _ = o.get("/draw?pick=bought/chicken&to=bought/bread+roll") // no line can lead there
	says(t, page, "bread roll</b> is chosen")
}

// Two devices draw at the same time, and an editor saves in between: nothing of any is lost, and who comes late is told.
func TestDrawnByTwo(t *testing.T) {
	o := openBoard(t, "first-pot")
	_, mine, _ := o.get("/draw?new=bought")
	mine = o.sends(mine, "box", "look", "as", "leek", "blank price", "3/kg")
	o.draws("/draw?new=bought", "box", "as", "parsley", "blank price", "9/kg")
	page := o.sends(mine, "box", "write")
	says(t, page, "The kitchen file has changed since you opened this.")
	assert.Contains(t, page, `value="leek"`)
	file := filepath.Join(o.folder, "kitchen.yaml")
	require.NoError(t, os.WriteFile(file, []byte(strings.Replace(o.file(), "8.40/each", "8.60/each", 1)), 0o600))
	page = o.sends(page, "box", "write")
	says(t, page, "The kitchen file has changed since you opened this.")
	page = o.sends(page, "box", "write")
	says(t, page, "Written into the kitchen file:")
	for _, said := range []string{"leek: {price: 3/kg}", "parsley: {price: 9/kg}", "8.60/each"} {
		assert.Contains(t, o.file(), said)
	}
	list, err := kitchen.Changes(file)
	require.NoError(t, err)
	assert.Len(t, list, 2)

	_, page, _ = o.get("/draw?pick=bought/leek&to=dishes/chicken+soup")
	page = o.sends(page, "line", "look", "amount", "20 g")
	o.draws("/draw?pick=bought/leek", "erase")
	page = o.sends(page, "line", "write")
	assert.NotContains(t, o.file(), "leek", "the other end is gone")
	says(t, page, "One end of that line is not there any more")
}
