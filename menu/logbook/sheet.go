package logbook

// Files as rows of cells. A file is read as a stream, and again for each question about it as a whole, so that what is held in
// memory does not grow with its size.

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"

	"kettletree/menu/kitchen"
)

// sheet is a file of rows.
type sheet interface {
	// rows hands on the rows that are not blank, from the top, until the function says that it has enough. What can't be read
	// is said.
	rows(func(row) bool) kitchen.Diagnostics
	// place is where a cell stands, and the line that it stands on, "" where there are no lines.
	place(cell) (kitchen.Pos, string)
	// readAs says how it was read, where that is not plain UTF-8 parted by commas.
	readAs() []string
	// separator is what parts its fields; 0 of a workbook.
	separator() rune
}

// What is read of a file is bounded: a month of a busy kitchen has some thousand rows. Of faults, far fewer are printed.
const (
	mostColumns = 1000
	mostRows    = 50_000
	mostFaults  = 1000
)

// row is a row that is not blank.
type row struct {
	line  int
	cells []cell // from left to right; blank ones may be left out
}

// cell is a field and where it stands.
type cell struct {
	text   string // without blanks around it, in NFC
	line   int
	at     int  // the column, from 0
	offset int  // of a text file, in bytes from the beginning of its line
	number bool // it is kept as a number by a workbook: none of its signs is for reading
	long   bool // it was cut: nothing that is read is as long

	uncounted bool // a formula whose result no program has written beside it
}

// mostLetters bounds, in bytes, what is read of a cell.
const mostLetters = 1000

// cellOf is a cell with a text.
func cellOf(text string, line, at, offset int) cell {
	text = kitchen.Unguarded(text)
	long := len(text) > mostLetters
	if long {
		text = strings.ToValidUTF8(text[:mostLetters], "")
	}
	return cell{text: tidy(text), line: line, at: at, offset: offset, long: long}
}

// at is the cell in a column; an empty one where the row has none.
func (r row) at(column int) cell {
	for _, c := range r.cells {
		if c.at == column {
			return c
		}
	}
	return cell{line: r.line, at: column}
}

// tidy takes off what office programs put around and into a text: blanks of all kinds, and letters that are put together of
// several signs.
func tidy(text string) string {
	return norm.NFC.String(strings.Join(strings.FieldsFunc(text, unicode.IsSpace), " "))
}

// printing is a text of which nothing is done but to show it: with a mark in the place of what does not print.
func printing(text string) string {
	return strings.Map(func(r rune) rune {
		if !unicode.IsPrint(r) {
			return unicode.ReplacementChar
		}
		return r
	}, text)
}

// blank tells whether a row says nothing.
func (r row) blank() bool {
	for _, c := range r.cells {
		if c.text != "" {
			return false
		}
	}
	return true
}

// fault is an error in a cell.
func faultIn(s sheet, c cell, id, hint, format string, args ...any) kitchen.Diagnostic {
	pos, line := s.place(c)
	return kitchen.Diagnostic{Pos: pos, Len: max(1, utf8.RuneCountInString(c.text)), ID: id, Hint: hint, Excerpt: line,
		Msg: shortened(fmt.Sprintf(format, args...))}
}

// refused is an error of a file as a whole.
func refused(name, id, hint, format string, args ...any) kitchen.Diagnostics {
	return kitchen.Diagnostics{{Pos: kitchen.Pos{File: name}, ID: id, Msg: shortened(fmt.Sprintf(format, args...)), Hint: hint}}
}

// shortened cuts a message that quotes far too much.
func shortened(s string) string {
	const most = 400
	if utf8.RuneCountInString(s) > most {
		return string([]rune(s)[:most]) + "..."
	}
	return s
}
