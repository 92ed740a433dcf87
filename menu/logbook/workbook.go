package logbook

// Workbooks (.xlsx): the first sheet, read as a table.

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"
	"time"

	"github.com/xuri/excelize/v2"

	"kettletree/menu/kitchen"
)

// mostUnzipped bounds what a workbook may unfold to.
const mostUnzipped = 64 << 20

// ReadWorkbook reads the first sheet of a workbook as [ReadCSV] reads a file. Cells are read as they are kept, not as
// they are shown; columns count from 1.
func ReadWorkbook(k *kitchen.Kitchen, name string, src []byte, at, now time.Time) (*File, kitchen.Diagnostics) {
	refused := func(hint, format string, args ...any) (*File, kitchen.Diagnostics) {
		return nil, kitchen.Diagnostics{{Pos: kitchen.Pos{File: name}, ID: "bad-workbook", Msg: fmt.Sprintf(format, args...),
			Hint: hint}}
	}
	if len(src) > kitchen.MostBytes {
		return refused("import it month by month", "file has more than the %d bytes that are read", kitchen.MostBytes)
	}
	book, err := excelize.OpenReader(bytes.NewReader(src), excelize.Options{RawCellValue: true,
		UnzipSizeLimit: mostUnzipped, UnzipXMLSizeLimit: mostUnzipped})
	if err != nil {
		return refused("save it again as .xlsx, without a password, or as CSV", "file is not a workbook: %v", err)
	}
	defer func() { _ = book.Close() }()
	sheets := book.GetSheetList()
	if len(sheets) == 0 {
		return refused("save the sheet as CSV", "workbook has no sheet")
	}
	fields, err := book.GetRows(sheets[0])
	if err != nil {
		return refused("save the sheet as CSV", "sheet %q can't be read: %v", sheets[0], err)
	}
	from1904 := false
	if props, err := book.GetWorkbookProps(); err == nil && props.Date1904 != nil {
		from1904 = *props.Date1904
	}
	t := &table{name: name}
	for r, texts := range fields {
		row := make([]cell, len(texts))
		for c, text := range texts {
			row[c] = cell{text, kitchen.Pos{File: name, Line: r + 1, Col: c + 1}}
		}
		if len(row) > 0 || r > 0 {
			t.rows = append(t.rows, row)
		}
	}
	if len(t.rows) > 0 {
		place, _ := t.match(&File{})
		for _, row := range t.rows[1:] {
			for name, layout := range map[string]string{"date": time.DateOnly, "time": "15:04"} { // order does not matter
				if i, ok := place[name]; ok && i < len(row) {
					row[i].text = unserial(row[i].text, layout, from1904)
				}
			}
		}
	}
	return t.read(k, at, now)
}

// unserial is a date or time of day that a workbook keeps as a number of days, as text; other texts stay as they are.
func unserial(text, layout string, from1904 bool) string {
	days, err := strconv.ParseFloat(strings.TrimSpace(text), 64)
	if err != nil {
		return text
	}
	moment, err := excelize.ExcelDateToTime(days, from1904)
	if err != nil {
		return text
	}
	return moment.Add(30 * time.Second).Format(layout) // to the minute, whatever the fraction of a day lost
}
