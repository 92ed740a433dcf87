package board

// The kitchen file changed from a browser without scripts: what follows is shown first, and nothing that anybody typed is lost.

import (
	"html"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"kettletree/menu/kitchen"
)

var (
	formTag   = regexp.MustCompile(`(?s)<form method="post" action="([^"]*)"[^>]*>(.*?)</form>`)
	fieldTag  = regexp.MustCompile(`(?s)<input([^>]*)>|<textarea([^>]*)>\n?(.*?)</textarea>|<select([^>]*)>(.*?)</select>`)
	nameTag   = regexp.MustCompile(`name="([^"]*)"`)
	valueTag  = regexp.MustCompile(`value="([^"]*)"`)
	chosenTag = regexp.MustCompile(`<option(?: value="([^"]*)")? selected>([^<]*)`)
)

// formOf is the form of a page whose hidden fields say something, as a browser would send it, and where to.
func formOf(t testing.TB, page, name, value string) (to string, form url.Values) {
	t.Helper()
	for _, f := range formTag.FindAllStringSubmatch(page, -1) {
		form = url.Values{}
		for _, m := range fieldTag.FindAllStringSubmatch(f[2], -1) {
			tag := m[1] + m[2] + m[4]
			if strings.Contains(tag, `type="checkbox"`) && !strings.Contains(tag, " checked") {
				continue
			}
			text := m[3]
			if v := valueTag.FindStringSubmatch(m[1]); v != nil {
				text = v[1]
			}
			if v := chosenTag.FindStringSubmatch(m[5]); v != nil {
				text = v[2]
				if strings.Contains(v[0], "value=") {
					text = v[1]
				}
			}
			if n := nameTag.FindStringSubmatch(tag); n != nil {
				form.Add(html.UnescapeString(n[1]), html.UnescapeString(text))
			}
		}
		if form.Get(name) == value {
			return html.UnescapeString(f[1]), form
		}
	}
	require.Fail(t, "no form", "%s %s", name, value)
	return "", nil
}

func (o *served) file() string {
	src, err := os.ReadFile(filepath.Join(o.folder, "kitchen.yaml"))
	require.NoError(o.t, err)
	return string(src)
}

// sends fills fields in and sends a form.
func (o *served) sends(page, act, do string, fields ...string) string {
	o.t.Helper()
	to, form := formOf(o.t, page, "act", act)
	for i := 0; i < len(fields); i += 2 {
		if strings.HasSuffix(fields[i], " line") {
			form.Add(fields[i], fields[i+1])
		} else {
			form.Set(fields[i], fields[i+1])
		}
	}
	form.Set("do", do)
	status, text, _ := o.send(http.MethodPost, to, form, nil)
	require.Equal(o.t, http.StatusOK, status)
	return text
}

const henForm = "/kitchen?list=bought&name=chicken"

func TestAmendIsSeenBeforeItIsWritten(t *testing.T) {
	o := openBoard(t, "first-pot")
	was := o.file()
	_, page, _ := o.get("/kitchen")
	for _, name := range []string{"chicken stock", "poach chickens", "chicken roll", "bread roll"} {
		says(t, page, name)
	}
	_, page, _ = o.get(henForm)
	page = o.sends(page, "save", "write", "blank price", "9.60/each") // nobody saw what follows
	assert.Equal(t, was, o.file())
	says(t, page, "chicken: price 9.60/each, was 8.40/each")
	says(t, page, "Nothing is written yet.")
	says(t, page, `value="9.60/each"`)
	says(t, page, "Plates that cost or sell for something else")
	other := o.sends(page, "save", "write", "blank price", "9.80/each")
	assert.Equal(t, was, o.file(), "not what was shown")
	says(t, other, "chicken: price 9.80/each, was 8.40/each")

	page = o.sends(page, "save", "write")
	says(t, page, "Written into the kitchen file:")
	assert.Equal(t, strings.Replace(was, "8.40/each", "9.60/each", 1), o.file())
	to, form := formOf(t, page, "number", "1")
	_, page, _ = o.send(http.MethodPost, to, form, nil)
	says(t, page, "taken back")
	assert.Equal(t, was, o.file())
}

func TestAmendFaultsStandBesideTheirFields(t *testing.T) {
	o := openBoard(t, "first-pot")
	was := o.file()
	_, page, _ := o.get(henForm)
	page = o.sends(page, "save", "look", "blank price", "dear", "blank each", "2 metres", "as", "bread roll")
	assert.NotContains(t, page, "Write it into the kitchen file")
	says(t, page, `value="dear"`)
	page = o.sends(page, "save", "look", "as", "chicken")
	assert.Regexp(t, `name="blank price" value="dear"[^>]*aria-invalid="true"[^>]*>\s*<span class="says-wrong"`, page)
	assert.Regexp(t, `name="blank each" value="2 metres"[^>]*aria-invalid="true"`, page)
	_, page, _ = o.get("/kitchen?list=steps&name=poach+chickens")
	page = o.sends(page, "save", "look", "blank takes", "4 each chicken\n9 L watr\n1 kg salt")
	says(t, page, "4 each chicken\n9 L watr\n1 kg salt</textarea>")
	says(t, page, "Unknown item &#34;watr&#34;.")
	_, page, _ = o.get(henForm)
	page = o.sends(page, "drop", "look")
	says(t, page, "poach chickens takes 4 each chicken")
	says(t, page, "Not yet")
	assert.Equal(t, was, o.file())
}

// Two devices and an editor at the same file.
func TestAmendLosesNothing(t *testing.T) {
	o := openBoard(t, "first-pot")
	was := o.file()
	_, first, _ := o.get(henForm)
	_, second, _ := o.get(henForm)
	first = o.sends(o.sends(first, "save", "look", "blank price", "9/each"), "save", "write")
	says(t, first, "Written into the kitchen file:")
	edited := strings.Replace(o.file(), "# One pot", "# By hand: one pot", 1)
	require.NoError(t, os.WriteFile(filepath.Join(o.folder, "kitchen.yaml"), []byte(edited), 0o600))

	second = o.sends(second, "save", "look", "blank keeps", "3 days")
	says(t, second, "The kitchen file has changed since you opened this.")
	says(t, second, "price: 9/each, was 8.40/each")
	says(t, second, `name="blank keeps" value="3 days"`)
	says(t, second, `name="blank price" value="9/each"`)
	_ = o.sends(second, "save", "write")
	want := strings.Replace(strings.Replace(was, "8.40/each", "9/each", 1), "keeps: 2 days", "keeps: 3 days", 1)
	assert.Equal(t, strings.Replace(want, "# One pot", "# By hand: one pot", 1), o.file())

	// an editor that left a mistake: what is typed stays, and the file is left alone
	_, third, _ := o.get(henForm)
	broken := o.file() + "dishes: {"
	require.NoError(t, os.WriteFile(filepath.Join(o.folder, "kitchen.yaml"), []byte(broken), 0o600))
	to, form := formOf(t, third, "act", "save")
	form.Set("blank price", "7/each")
	form.Set("do", "write")
	_, page, _ := o.send(http.MethodPost, to, form, nil)
	says(t, page, "Mend it in the editor first")
	says(t, page, `name="blank price" value="7/each"`)
	assert.Equal(t, broken, o.file())
}

func TestAmendCopiesSplitsEntersAndRenames(t *testing.T) {
	o := openBoard(t, "first-pot")
	does := func(path, act string, fields ...string) {
		t.Helper()
		_, page, _ := o.get(path)
		page = o.sends(page, act, "look", fields...)
		says(t, o.sends(page, act, "write"), "Written into the kitchen file:")
	}
	does("/kitchen?list=dishes&name=chicken+soup", "copy", "as", "small soup")
	does(henForm, "save", "as", "hen")
	does("/kitchen?list=steps&name=poach+chickens", "split", "as", "pick", "through", "3 kg boiled hen", "gives line", "0")
	does("/kitchen?list=bought&new=yes", "enter", "as", "parsley", "blank price", "9/kg")
	does("/kitchen?list=dishes&name=chicken+roll", "drop")
	text := o.file()
	for _, want := range []string{"small soup: {price: 6.50", "takes:  [4 each hen, 9 L water]", "pick: {takes: [3 kg boiled hen]", "parsley: {price: 9/kg}"} {
		assert.Contains(t, text, want)
	}
	assert.NotContains(t, text, "chicken roll")
	k, faults := kitchen.Read("kitchen.yaml", []byte(text))
	require.NoError(t, faults.Err())
	assert.Len(t, k.Dishes, 2)
	list, err := kitchen.Changes(filepath.Join(o.folder, "kitchen.yaml"))
	require.NoError(t, err)
	assert.Len(t, list, 5)
	for range list { // back to the beginning
		_, page, _ := o.get("/changes")
		to, form := formOf(t, page, "number", regexp.MustCompile(`name="number" value="(\d+)"`).FindStringSubmatch(page)[1])
		_, _, _ = o.send(http.MethodPost, to, form, nil)
	}
	first, err := os.ReadFile("../../../examples/first-pot/kitchen.yaml")
	require.NoError(t, err)
	assert.Equal(t, string(first), o.file())
}

// What a dish takes for the first time is bought from now on; the list of changes has the lines that changed, and none between.
func TestAmendAddsWhatIsNew(t *testing.T) {
	o := openBoard(t, "first-pot")
	_, page, _ := o.get("/kitchen?list=dishes&name=chicken+roll")
	_, form := formOf(t, page, "act", "save")
	takes := form.Get("blank takes") + "\n1,5 each naan"
	page = o.sends(page, "save", "look", "blank takes", takes)
	says(t, page, "Naan: what does one cost?")
	assert.NotContains(t, page, "Unknown item")
	page = o.sends(page, "save", "write")
	says(t, page, "Written into the kitchen file:")
	assert.Contains(t, o.file(), "  naan: {}\n")
	assert.Contains(t, o.file(), "1.5 each naan")
	_, page, _ = o.get("/changes")
	pre := regexp.MustCompile(`(?s)<pre[^>]*>(.*?)</pre>`).FindStringSubmatch(page)
	require.NotNil(t, pre)
	lines := strings.Split(strings.TrimSpace(pre[1]), "\n")
	assert.Len(t, lines, 3, "%s", pre[1])
	for _, line := range lines {
		assert.Regexp(t, `^[0-9]+ [-+] .*naan|^[0-9]+ - .*chicken`, html.UnescapeString(line))
	}
}

func TestOpenQuestionsByATap(t *testing.T) {
	o := openBoard(t, "first-pot")
	src := strings.NewReplacer("price: 8.40/each, ", "", "keeps: 3 days, ", "").Replace(o.file())
	require.NoError(t, os.WriteFile(filepath.Join(o.folder, "kitchen.yaml"), []byte(src), 0o600))
	tap := func(of, do string, fields ...string) string {
		_, page, _ := o.get("/open")
		mark := regexp.MustCompile(`name="mark" value="([^"]*of=` + regexp.QuoteMeta(url.QueryEscape(of)) + `[^"]*)"`).FindStringSubmatch(html.UnescapeString(page))
		require.NotNil(t, mark, of)
		form := url.Values{"mark": {mark[1]}, "do": {do}}
		for i := 0; i < len(fields); i += 2 {
			form.Set(fields[i], fields[i+1])
		}
		was := o.file()
		_, page, _ = o.send(http.MethodPost, "/open", form, nil)
		require.Equal(t, was, o.file(), "what follows is seen before it is written")
		if seen := regexp.MustCompile(`name="seen" value="([^"]+)"`).FindStringSubmatch(page); seen != nil {
			says(t, page, "Nothing is written yet.")
			form.Set("how", form.Get("do"))
			form.Set("do", "sure")
			form.Set("seen", "another")
			_, _, _ = o.send(http.MethodPost, "/open", form, nil)
			require.Equal(t, was, o.file(), "not what was shown")
			form.Set("seen", seen[1])
			_, page, _ = o.send(http.MethodPost, "/open", form, nil)
		}
		return page
	}
	says(t, tap("chicken stock", "take"), "Written into the kitchen file:")
	assert.Contains(t, o.file(), "chicken stock:  {keeps: 7 days, worth: 2.00/L, density: 1.01 kg/L, guessed: [keeps], also: {es: caldo de pollo, zh: 鸡高汤}}")
	says(t, tap("chicken", "write", "value", "eight"), "is not a number")
	says(t, tap("chicken", "write", "value", "8,40"), "Written into the kitchen file:")
	says(t, tap("pulled chicken", "take"), "Written into the kitchen file:")
	says(t, tap("chicken stock", "right"), "Written into the kitchen file:")
	assert.Equal(t, 1, strings.Count(o.file(), "guessed: [keeps]"))
	_, page, _ := o.send(http.MethodPost, "/open", url.Values{"mark": {"of=nothing"}, "do": {"take"}}, nil)
	says(t, page, "not open any more")
}

// Who takes a change back while somebody else writes into the file is told so, and the file is as that other left it.
func TestAmendUndoMeanwhile(t *testing.T) {
	o := openBoard(t, "first-pot")
	_, page, _ := o.get(henForm)
	page = o.sends(page, "save", "look", "blank price", "9.60/each")
	page = o.sends(page, "save", "write")
	to, form := formOf(t, page, "number", "1")
	other := strings.Replace(o.file(), "keeps: 2 days", "keeps: 1 day", 1)
	save := o.board.Save
	o.board.Save = func(name string, text []byte) error {
		require.NoError(t, os.WriteFile(filepath.Join(o.folder, "kitchen.yaml"), []byte(other), 0o600))
		return save(name, text)
	}
	_, page, _ = o.send(http.MethodPost, to, form, nil)
	says(t, page, "The file was changed meanwhile")
	assert.Equal(t, other, o.file())
}

// Devices need not know in which folder the files lie: not of a change that was changed again, nor of a file that can't be read, nor of
// one that somebody else holds.
func TestAmendTellsNoFolders(t *testing.T) {
	o := openBoard(t, "first-pot")
	_, page, _ := o.get(henForm)
	page = o.sends(page, "save", "look", "blank price", "9.60/each")
	page = o.sends(page, "save", "write")
	to, form := formOf(t, page, "number", "1")
	file := filepath.Join(o.folder, "kitchen.yaml")
	require.NoError(t, os.WriteFile(file, []byte(strings.Replace(o.file(), "9.60/each", "9.70/each", 1)), 0o600))
	_, page, _ = o.send(http.MethodPost, to, form, nil)
	says(t, page, "was changed again since")
	assert.NotContains(t, page, o.folder)
	require.NoError(t, os.WriteFile(file, []byte("kitchen: [\n"), 0o600))
	_, page, _ = o.get(henForm)
	says(t, page, "can&#39;t be read as it stands")
	assert.NotContains(t, page, o.folder)
	held := "somebody else is writing kitchen.yaml: remove .kitchen.yaml.hold"
	assert.Equal(t, held, o.board.bare("somebody else is writing "+file+": remove "+filepath.Join(o.folder, ".kitchen.yaml.hold")))
}
