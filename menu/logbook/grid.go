package logbook

// The cells of a file, for whoever reads other things from spreadsheets than what happened.

import (
	"bytes"
	"fmt"
	"iter"
	"slices"
	"strings"

	"kettletree/menu/kitchen"
)

// Grid is a sheet of a file as rows of cells.
type Grid struct {
	Sheet  string   // its name in a workbook; "" of a text file
	ReadAs []string // how it was read, where that is not plain UTF-8 parted by commas
	Rows   []GridRow

	sheet sheet
}

// GridRow is a row that is not blank.
type GridRow struct {
	Line  int
	cells []cell
}

// Text is what stands in a column, from 0: without blanks around it, "" for nothing.
func (r GridRow) Text(column int) string { return r.at(column).text }

// IsNumber tells whether a workbook keeps what stands in a column as a number: a point in it parts decimals, whatever others do.
func (r GridRow) IsNumber(column int) bool { return r.at(column).number }

// Uncounted tells whether a formula stands in a column whose result no program has written beside it.
func (r GridRow) Uncounted(column int) bool { return r.at(column).uncounted }

// Uncounts tells whether one stands in any column from one on.
func (r GridRow) Uncounts(from int) bool {
	return slices.ContainsFunc(r.cells, func(c cell) bool { return c.uncounted && c.at >= from })
}

func (r GridRow) at(column int) cell { return row{line: r.Line, cells: r.cells}.at(column) }

// Texts are the columns that say something, from the left, each with its text.
func (r GridRow) Texts() iter.Seq2[int, string] {
	return func(yield func(int, string) bool) {
		for _, c := range r.cells {
			if c.text != "" && !yield(c.at, c.text) {
				return
			}
		}
	}
}

// Width is how many columns there are up to the last that says something.
func (r GridRow) Width() int {
	for n := len(r.cells) - 1; n >= 0; n-- {
		if r.cells[n].text != "" {
			return r.cells[n].at + 1
		}
	}
	return 0
}

// Fault is a fault in a cell.
func (g *Grid) Fault(r GridRow, column int, id, hint, format string, args ...any) kitchen.Diagnostic {
	d := faultIn(g.sheet, r.at(max(column, 0)), id, hint, format, args...)
	if g.Sheet != "" && g.sheet.separator() == 0 {
		d.Msg = "sheet " + fmt.Sprintf("%q: ", g.Sheet) + d.Msg
	}
	return d
}

// mostGridCells bounds the cells of a file that is held as a whole.
const mostGridCells = 1 << 20

// Grids are the sheets of a workbook that are seen, or the one of a text file; names says how many columns a row names, which tells what
// parts the fields of a text. What is too large, cut off or no spreadsheet is refused as a whole. A
// formula without its result says nothing; [GridRow.Uncounted] tells it from an empty cell.
func Grids(name string, src []byte, names func(texts []string) int) (list []*Grid, found kitchen.Diagnostics) {
	var sheets []sheet
	if strings.HasSuffix(strings.ToLower(name), ".xlsx") || bytes.HasPrefix(src, []byte("PK\x03\x04")) {
		books, found := asSheets(name, src)
		if found != nil {
			return nil, found
		}
		for _, b := range books {
			sheets = append(sheets, b)
		}
	} else {
		t, found := asTextOf(name, src, func(r row) int {
			var texts []string
			for _, c := range r.cells {
				texts = append(texts, c.text)
			}
			return names(texts)
		})
		if found != nil {
			return nil, found
		}
		sheets = append(sheets, t)
	}
	cells := 0
	for _, s := range sheets {
		g := &Grid{ReadAs: s.readAs(), sheet: s}
		if b, ok := s.(*bookSheet); ok {
			g.Sheet = tidy(b.title)
		}
		unread := s.rows(func(r row) bool {
			cells += len(r.cells)
			if len(g.Rows) == mostRows || cells > mostGridCells {
				found = append(found, refused(name, "too-large", "keep what is to be taken over, and delete the rest: other sheets, blank rows with a format, old lists",
					"file has more than the %d rows that are read", mostRows)...)
				return false
			}
			r.cells = append([]cell(nil), r.cells...)
			g.Rows = append(g.Rows, GridRow{r.line, r.cells})
			return len(found) < mostFaults
		})
		found = append(found, unread...)
		if len(g.Rows) > 0 {
			list = append(list, g)
		}
		if found != nil {
			return nil, found
		}
	}
	if list == nil {
		return nil, refused(name, "empty", "choose the file that has the list", "there is nothing in the file")
	}
	return list, nil
}
