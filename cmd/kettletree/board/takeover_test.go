package board

// Files taken in from a browser without scripts: what they come to is shown first, columns are asked once, and nothing bad is written.

import (
	"bytes"
	"errors"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"kettletree/menu/kitchen"
)

// brings sends a file, and gives the page that it leads to.
func (o *served) brings(path, name string, file []byte) (status int, page string) {
	o.t.Helper()
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	part, err := form.CreateFormFile("file", name)
	require.NoError(o.t, err)
	_, err = part.Write(file)
	require.NoError(o.t, err)
	require.NoError(o.t, form.Close())
	r := httptest.NewRequestWithContext(o.t.Context(), http.MethodPost, "http://localhost"+path, &body)
	r.RemoteAddr = "127.0.0.1:40000"
	r.Header.Set("Content-Type", form.FormDataContentType())
	w := httptest.NewRecorder()
	o.pages.ServeHTTP(w, r)
	if w.Code/100 != 3 {
		return w.Code, w.Body.String()
	}
	status, page, _ = o.get(w.Header().Get("Location"))
	return status, page
}

// seen is the form that writes what is shown, and where it leads.
func (o *served) seen(page string) (to string, form url.Values) {
	o.t.Helper()
	m := regexp.MustCompile(`name="seen" value="([^"]+)"`).FindStringSubmatch(page)
	require.NotNil(o.t, m, page)
	return formOf(o.t, page, "seen", m[1])
}

// written sends the form that writes what is shown.
func (o *served) written(page string) string {
	o.t.Helper()
	for _, m := range formTag.FindAllStringSubmatch(page, -1) {
		if strings.Contains(m[2], `name="digest"`) && strings.Contains(m[2], `name="seen"`) {
			digest := regexp.MustCompile(`name="digest" value="([^"]*)"`).FindStringSubmatch(m[2])[1]
			to, form := formOf(o.t, page, "digest", digest)
			form.Set("do", "write")
			status, text, _ := o.send(http.MethodPost, to, form, nil)
			require.Equal(o.t, http.StatusOK, status)
			return text
		}
	}
	require.Fail(o.t, "nothing to write")
	return ""
}

func TestPricesFromABrowser(t *testing.T) {
	o := openBoard(t, "first-pot")
	was := o.file()
	status, page := o.brings("/prices", "list.csv", []byte("Sache;EK netto;Einheit\nBread rolls;0,60;Stk\nChicken;9,20;Stk\nNapkins;1,00;Stk\n"))
	require.Equal(t, http.StatusOK, status)
	assert.Contains(t, page, "Which column is which?")
	assert.Contains(t, page, `<option value="item=Sache">Sache</option>`)
	file := regexp.MustCompile(`name="file" value="([0-9a-f]+)"`).FindStringSubmatch(page)[1]

	_, page, _ = o.get("/prices?file=" + file + "&column=item%3DSache&column=price%3DEK+netto")
	assert.Contains(t, page, "2 prices change.")
	assert.Contains(t, page, "0.45 each</td><td class=\"n\">0.60 each</td><td class=\"n\">&#43;33%", "as money, and in whole percent")
	assert.Less(t, strings.Index(page, "bread roll</th>"), strings.LastIndex(page, "chicken</th>"), "the largest change first")
	assert.Contains(t, page, "Plates that cost or sell for something else")
	assert.Equal(t, was, o.file(), "shown, not written")

	page = o.written(page)
	assert.Contains(t, page, "Written into the kitchen file:")
	assert.Contains(t, o.file(), "bread roll: {price: 0.60/each")
	kept, err := os.ReadFile(filepath.Join(o.folder, "kitchen.columns"))
	require.NoError(t, err)
	assert.Contains(t, string(kept), "prices,item,Sache")
	_, page = o.brings("/prices", "next.csv", []byte("Sache;EK netto;Einheit\nChicken;9,30;Stk\n"))
	assert.Contains(t, page, "1 price changes.", "the columns are asked once")

	to, form := formOf(t, page, "digest", digestOf([]byte(o.file())))
	form.Set("do", "write")
	require.NoError(t, os.WriteFile(filepath.Join(o.folder, "kitchen.yaml"), []byte(o.file()+"# by hand\n"), 0o600))
	_, page, _ = o.send(http.MethodPost, to, form, nil)
	assert.Contains(t, page, "The kitchen file has changed since you opened this.")
	assert.Contains(t, o.file(), "9.20/each", "not over what an editor wrote")
	o.written(page)
	assert.Contains(t, o.file(), "9.30/each")
	_, page, _ = o.get("/changes")
	to, form = formOf(t, page, "number", "2")
	_, _, _ = o.send(http.MethodPost, to, form, nil)
	assert.Contains(t, o.file(), "9.20/each", "taken back")
	assert.Contains(t, o.file(), "# by hand")
}

func TestRecipesFromABrowser(t *testing.T) {
	o := openBoard(t, "first-pot")
	_, page := o.brings("/recipes", `C:\cards.csv`, []byte("dish,ingredient,amount,unit,season\nbroth cup,Stock of chicken,300,mL,winter\n,salt,1.500,g,\n"))
	assert.Contains(t, page, "What is <b>1.500</b>?")
	assert.Contains(t, page, `<option value="Stock of chicken=chicken stock">`)
	assert.Contains(t, page, "--- kitchen.yaml", "devices need not know in which folder it lies")
	assert.Contains(t, page, "Columns that are not read")
	assert.Contains(t, page, "cards.csv")
	assert.NotContains(t, page, `C:\`)
	_, page = o.brings("/recipes", "cards.csv", []byte("dish,ingredient,amount,unit\nbroth cup,chicken broth,300,mL\n,salt,2,g\n"))
	o.written(page)
	assert.Contains(t, o.file(), "broth cup: {takes: [300 mL chicken broth, 2 g salt]}")
	k, faults := kitchen.Read("kitchen.yaml", []byte(o.file()))
	require.NotNil(t, k, "%v", faults)
	_, page = o.brings("/recipes", "cards.csv", []byte("dish,ingredient,amount,unit\nbroth cup,chicken broth,300,mL\n,salt,2,g\n"))
	assert.Contains(t, page, "1 dish is as it was")
	assert.NotContains(t, page, `name="seen"`, "nothing to write")
}

// Why rows are left out is said in the language of the page.
func TestLeftOutIsSaid(t *testing.T) {
	o := openBoard(t, "first-pot")
	list := []byte("dish,ingredient,amount,unit\nbroth cup,chicken broth,300,mL\n,salt,,g\n,salt,0,g\n,salt,a heap,\n,Total,300,mL\n")
	_, page := o.brings("/recipes", "cards.csv", list)
	at, _ := o.seen(page)
	for language, says := range map[string][]string{
		"en": {"1 row is left out", "3 amounts are not said and stay open", "on the card: <b>some g salt</b>", "There is no amount: salt", "Its amount is nothing", "is no amount", "It is a sum: Total", "(cards.csv, row 3)"},
		"es": {"1 plato nuevo y 2 productos comprados nuevos. 1 fila se deja fuera, ver abajo. 3 cantidades no se dicen y quedan abiertas, ver abajo", "1 fila se deja fuera", "3 cantidades no se dicen y quedan abiertas", "falta la cantidad", "la cantidad es cero", "no es una cantidad", "es una suma: Total", "(cards.csv, fila 3)"},
		"zh": {"1 行没有读入", "3 个用量没有写明", "没有用量", "用量是零", "不是用量", "这是合计", "(cards.csv，第 3 行)"},
	} {
		_, page, _ = o.get(at + "&" + languageWord + "=" + language)
		for _, said := range says {
			assert.Contains(t, strings.ToLower(page), strings.ToLower(said), language)
		}
		left, follows := strings.Index(page, "<details open>"), strings.Index(page, `id="follows-head"`)
		assert.True(t, 0 <= left && left < follows, "what is left out comes before all that follows")
	}
}

// What guests with an allergy must hear stands where it is decided, in the language of the page.
func TestAllergensOfWhatIsTakenOver(t *testing.T) {
	o := openBoard(t, "first-pot")
	k, faults := kitchen.Read("kitchen.yaml", []byte(o.file()))
	require.NotNil(t, k, "%v", faults)
	_, page := o.brings("/recipes", "cards.csv", []byte("dish,ingredient,amount\n"+k.Dishes[0].Name+",chicken stock,300 mL\n,peanuts,\n"))
	at, _ := o.seen(page)
	for language, says := range map[string]string{"en": "is now UNKNOWN for peanuts", "es": "ahora SIN DATOS de cacahuates (maní)", "zh": "现在资料未填：花生"} {
		_, page, _ = o.get(at + "&" + languageWord + "=" + language)
		assert.Contains(t, page, says, language)
	}
}

// Where the answers about columns can't be kept, the change is written all the same, and the page says both.
func TestTakenOverButNotKept(t *testing.T) {
	o := openBoard(t, "first-pot")
	_, page := o.brings("/recipes", "cards.csv", []byte("dish,ingredient,amount,unit\nbroth cup,Stock of chicken,300,mL\n"))
	at, _ := o.seen(page)
	_, page, _ = o.get(at + "&means=Stock+of+chicken%3Dchicken+stock")
	save := o.board.Save
	o.board.Save = func(name string, text []byte) error {
		if strings.Contains(filepath.Base(name), "names") {
			return errors.New("the disk is full")
		}
		return save(name, text)
	}
	to, form := o.seen(page)
	form.Set("do", "write")
	status, page, _ := o.send(http.MethodPost, to, form, nil)
	assert.Equal(t, http.StatusOK, status)
	says(t, page, "Written into the kitchen file:")
	says(t, page, "Columns and names could not be kept: the disk is full")
	assert.Contains(t, o.file(), "broth cup: {takes: [300 mL chicken stock]}")
}

// Files that are none get a clear word, and the kitchen file stays as it is.
func TestBadFilesFromABrowser(t *testing.T) {
	o := openBoard(t, "first-pot")
	was := o.file()
	f := excelize.NewFile()
	require.NoError(t, f.SetSheetRow("Sheet1", "A1", &[]any{"item", "price", "unit"}))
	require.NoError(t, f.SetSheetRow("Sheet1", "A2", &[]any{"chicken", nil, "each"}))
	require.NoError(t, f.SetCellFormula("Sheet1", "B2", "8+1"))
	var formula bytes.Buffer
	require.NoError(t, f.Write(&formula))
	for want, file := range map[string][]byte{
		"File is a picture, and no list":                append([]byte("\xFF\xD8\xFF\xE0"), make([]byte, 5<<20)...),
		"File is a printed page (PDF), and no list":     []byte("%PDF-1.7\n"),
		"File has more than the 4 MB that are read":     bytes.Repeat([]byte("chicken,9,each\n"), 3_500_000), // 50 MB
		"File has more than the 50000 rows":             []byte("item,price,unit\n" + strings.Repeat("x,1,kg\n", 100_000)),
		"File is not a workbook":                        []byte("PK\x03\x04 and then nothing"),
		"No file was chosen, or there is nothing in it": {},
	} {
		name := "list.csv"
		if strings.Contains(want, "workbook") || strings.Contains(want, "formula") {
			name = "list.xlsx"
		}
		for _, path := range []string{"/recipes", "/prices"} {
			status, page := o.brings(path, name, file)
			assert.Equal(t, http.StatusOK, status, want)
			assert.Contains(t, page, want, path)
			assert.NotContains(t, page, `name="seen"`, want)
		}
	}
	assert.Equal(t, was, o.file())
	status, page := o.brings("/prices", "list.xlsx", formula.Bytes())
	assert.Equal(t, http.StatusOK, status)
	says(t, page, "a formula in this row has no result: open the file in the program that made it")

	status, page = o.brings("/recipes", "list.csv", make([]byte, mostUpload))
	assert.Equal(t, http.StatusRequestEntityTooLarge, status)
	assert.Contains(t, page, "far too large")
	_, page, _ = o.get("/prices?file=0123")
	assert.Contains(t, page, "The file is not here any more.")
}
