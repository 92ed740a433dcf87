package logbook

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"os"
	"os/exec"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// zipped is a workbook of one sheet, written by hand as no program would.
func zipped(t testing.TB, parts map[string]string) []byte {
	t.Helper()
	var b bytes.Buffer
	w := zip.NewWriter(&b)
	for _, name := range []string{"xl/workbook.xml", "xl/_rels/workbook.xml.rels", "xl/sharedStrings.xml", "xl/worksheets/sheet1.xml"} {
		text, ok := parts[name]
		if !ok {
			text = map[string]string{
				"xl/workbook.xml": `<workbook xmlns:r="r"><sheets><sheet name="a" sheetId="1" r:id="rId7"/></sheets></workbook>`,
				"xl/_rels/workbook.xml.rels": `<Relationships><Relationship Id="rId7" Type="http://schemas.openxmlformats.org/officeDocument/2006/` +
					`relationships/worksheet" Target="worksheets/sheet1.xml"/></Relationships>`,
				"xl/sharedStrings.xml": `<sst><si><t>date</t></si></sst>`,
			}[name]
		}
		if text == "" {
			continue
		}
		part, err := w.Create(name)
		require.NoError(t, err)
		_, err = io.WriteString(part, text)
		require.NoError(t, err)
	}
	require.NoError(t, w.Close())
	return b.Bytes()
}

// sheetOf is a workbook whose sheet has some rows.
func sheetOf(t testing.TB, rows string) []byte {
	return zipped(t, map[string]string{"xl/worksheets/sheet1.xml": `<worksheet><sheetData>` + rows + `</sheetData></worksheet>`})
}

const someHeader = `<row r="1"><c t="inlineStr"><is><t>dish</t></is></c><c t="inlineStr"><is><t>sold</t></is></c></row>`

// someSale is a row without places, as some programs write it.
const someSale = `<row><c t="str"><v>soup</v></c><c><v>4</v></c></row>`

// monsters are small files that say much, or say it far out.
func monsters(t testing.TB) map[string][]byte {
	var far, rows, texts strings.Builder
	for n := 3; n < 6000; n++ {
		fmt.Fprintf(&far, `<row r="%d"><c r="XFD%d"/></row>`, n, n)
	}
	for range 800_000 {
		rows.WriteString(someSale)
	}
	for range 600_000 {
		texts.WriteString(`<si><t>x</t></si>`)
	}
	return map[string][]byte{
		"cells in the last column": sheetOf(t, someHeader+someSale+far.String()),
		"text in the last column":  sheetOf(t, someHeader+someSale+`<row r="9"><c r="XFD9" t="str"><v>x</v></c></row>`),
		"the last row":             sheetOf(t, someHeader+someSale+`<row r="1048576"><c r="A1048576" t="str"><v>soup</v></c><c><v>3</v></c></row>`),
		"too many rows":            sheetOf(t, someHeader+rows.String()),
		"a text without end":       sheetOf(t, someHeader+`<row><c t="str"><v>`+strings.Repeat("soup ", 6_000_000)+`</v></c></row>`),
		"nothing but brackets":     sheetOf(t, someHeader+strings.Repeat("<a>", 8_000_000)),
		"attributes":               sheetOf(t, someHeader+"<row "+strings.Repeat(`a="" `, 6_000_000)+"/>"),
		"shared texts":             zipped(t, map[string]string{"xl/sharedStrings.xml": "<sst>" + texts.String() + "</sst>", "xl/worksheets/sheet1.xml": "<worksheet/>"}),
		"too much to unfold":       sheetOf(t, someHeader+strings.Repeat(" ", 70<<20)),
		"one cell again and again": sheetOf(t, someHeader+"<row>"+strings.Repeat(`<c r="A1" t="str"><v>soup</v></c>`, 900_000)+"</row>"),
	}
}

// saidOfMonsters is what is said of each.
var saidOfMonsters = map[string]string{
	"cells in the last column": "", "the last row": "",
	"text in the last column":  "row has 16384 fields, and there are 2 columns",
	"too many rows":            "file has more than the 50000 rows that are read",
	"a text without end":       "the sheet can't be read: a text in it is too long for a cell",
	"nothing but brackets":     "the sheet can't be read: its elements are nested too deep",
	"attributes":               "the sheet can't be read: a text in it is too long for a cell",
	"shared texts":             "its texts can't be read: there are more than 524288 texts",
	"too much to unfold":       "its sheet unfolds to 70 MB, more than the 64 that are read",
	"one cell again and again": "the sheet can't be read: the cells of row 2 are out of order",
}

// monsterFile tells a process of this test what to do: read a workbook, and nothing else.
const (
	monsterFile = "KETTLETREE_TEST_WORKBOOK"
	mostPeak    = 100 << 10 // kB; asked: within 100 MB, as the system counts a process
)

// No workbook takes more than 100 MB, the program itself included.
func TestNoWorkbookTakesMuchMemory(t *testing.T) {
	if file := os.Getenv(monsterFile); file != "" {
		src, err := os.ReadFile(file)
		require.NoError(t, err)
		f, _, faults := Read(someKitchen(t), file, src, plainManner())
		fmt.Printf("said %q %v\n", faults.Error(), f != nil)
		if status, err := os.ReadFile("/proc/self/status"); err == nil { // where the system has it
			kilobytes := regexp.MustCompile(`VmHWM:\s+(\d+) kB`).FindSubmatch(status)
			fmt.Printf("peak %s kB\n", kilobytes[1])
		}
		return
	}
	if testing.Short() {
		t.Skip("the race detector takes memory of its own")
	}
	for name, src := range monsters(t) {
		require.Less(t, len(src), 1<<20, name)
		file := t.TempDir() + "/book.xlsx"
		require.NoError(t, os.WriteFile(file, src, 0o644))
		child := exec.Command(os.Args[0], "-test.run=^TestNoWorkbookTakesMuchMemory$", "-test.v")
		child.Env = append(os.Environ(), monsterFile+"="+file)
		out, err := child.CombinedOutput()
		require.NoError(t, err, "%s", out)
		assert.Contains(t, string(out), saidOfMonsters[name], name)
		assert.Contains(t, string(out), fmt.Sprintf(" %v\n", saidOfMonsters[name] == ""), name)
		if told := regexp.MustCompile(`peak (\d+) kB`).FindSubmatch(out); told != nil {
			peak, err := strconv.Atoi(string(told[1]))
			require.NoError(t, err)
			t.Logf("%s: %d bytes, %d MB at most", name, len(src), peak>>10)
			assert.Less(t, peak, mostPeak, name)
		}
	}
}

// Workbooks that no spreadsheet program wrote, or that are none.
func TestWorkbookFaults(t *testing.T) {
	for name, c := range map[string]struct {
		parts map[string]string
		want  string
	}{
		"no list of sheets":  {map[string]string{"xl/workbook.xml": ""}, "file is not a workbook: it has no list of sheets"},
		"no sheet":           {map[string]string{"xl/worksheets/sheet1.xml": ""}, "workbook has no sheet with cells"},
		"hidden":             {map[string]string{"xl/workbook.xml": `<workbook><sheets><sheet state="hidden" id="rId7"/></sheets></workbook>`}, "file is not a workbook: it has no sheet with cells"},
		"cut":                {map[string]string{"xl/worksheets/sheet1.xml": "<worksheet><sheetData><row>"}, "the sheet can't be read: it is cut off or damaged"},
		"a text of none":     {map[string]string{"xl/worksheets/sheet1.xml": `<worksheet><row><c t="s"><v>7</v></c></row></worksheet>`}, `the sheet can't be read: a cell has text "7", and there are 1`},
		"no place":           {map[string]string{"xl/worksheets/sheet1.xml": `<worksheet><row><c r="7A"><v>7</v></c></row></worksheet>`}, `the sheet can't be read: "7A" is no place of a cell`},
		"beyond the columns": {map[string]string{"xl/worksheets/sheet1.xml": `<worksheet><row><c r="XFE1"><v>7</v></c></row></worksheet>`}, `the sheet can't be read: "XFE1" is no place of a cell`},
		"rows out of order":  {map[string]string{"xl/worksheets/sheet1.xml": `<worksheet><row r="4"/><row r="2"/></worksheet>`}, `the sheet can't be read: row "2" stands behind row 4`},
		"blank":              {map[string]string{"xl/worksheets/sheet1.xml": `<worksheet/>`}, "file is empty"},
	} {
		f, _, faults := Read(someKitchen(t), "f.xlsx", zipped(t, c.parts), plainManner())
		assert.Nil(t, f)
		require.Len(t, faults, 1, name)
		assert.Equal(t, c.want, faults[0].Msg, name)
	}
	f, _, faults := Read(someKitchen(t), "list.csv", sheetOf(t, someHeader+someSale), plainManner()) // whatever it is called
	require.Empty(t, faults)
	assert.Len(t, f.Entries, 1)
}

// One wrong row, or all of them: nothing of a workbook is taken over, and all that is wrong is said.
func TestWorkbooksAreTakenOverWholeOrNotAtAll(t *testing.T) {
	rows := [][]any{{"Date", "Item", "Quantity"}, {tuesday, "pork shoulder", "4 kg"}, {tuesday, "pork sholder", "4 kg"}, {"soon", "hen", "4 L"}}
	f, _, faults := Read(someKitchen(t), "two.xlsx", workbook(t, rows), plainManner())
	assert.Nil(t, f)
	require.Len(t, faults, 3)
	f, _, faults = Read(someKitchen(t), "two.xlsx", workbook(t, append(rows[:1:1], rows[3])), plainManner())
	assert.Nil(t, f)
	require.Len(t, faults, 2)
}

// Whatever a workbook holds, it is read or its faults are said.
func FuzzReadWorkbook(f *testing.F) {
	k := someKitchen(f)
	f.Add([]byte(someHeader+someSale), []byte("<sst><si><r><t>soup</t></r><rPh><t>x</t></rPh></si></sst>"))
	f.Add([]byte(`<row r="3"><c r="B3" t="s"><v>0</v></c><c r="C3" t="n"><v>46350.3125</v></c></row>`), []byte("<sst/>"))
	f.Add([]byte(`<row><c t="e"><v>#N/A</v></c><c><f>A1</f></c><c t="b"><v>1</v></c></row></sheetData>`), []byte(""))
	f.Fuzz(func(t *testing.T, rows, texts []byte) {
		src := zipped(t, map[string]string{"xl/sharedStrings.xml": string(texts), "xl/worksheets/sheet1.xml": "<worksheet><sheetData>" + string(rows) +
			"</sheetData></worksheet>"})
		file, _, faults := Read(k, "f.xlsx", src, plainManner())
		require.Equal(t, file == nil, faults.Err() != nil)
		_ = faults.Error()
		if file != nil {
			require.Len(t, file.Rows, len(file.Entries))
		}
	})
}
