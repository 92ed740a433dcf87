package kitchen

// CSV files, with every fault told by its row.

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// rows reads the header, which must name the columns, and hands on every row that has as many fields; wanted says what a row
// should hold, with an example.
func (s *source) rows(src []byte, columns []string, wanted string, each func(rows *csv.Reader, row []string)) {
	rows := csv.NewReader(bytes.NewReader(src))
	rows.FieldsPerRecord = -1 // told below, with what the row should hold
	header, names := false, strings.Join(columns, ",")
	for {
		row, err := rows.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if fault, ok := errors.AsType[*csv.ParseError](err); ok {
			s.fault(s.byteSpan(fault.Line, fault.Column, 1), "bad-row",
				`put quotes around a whole field, or none`,
				"the quotes in this row do not match")
			continue
		} else if err != nil {
			panic("mistake: a text in memory cannot be read: " + err.Error())
		}
		if !header {
			header = true
			if !slices.Equal(row, columns) {
				s.fault(s.field(rows, row, 0), "bad-header", "write "+names+" in the first line",
					"the first line is %q, not the names of the columns", strings.Join(row, ","))
				return
			}
			continue
		}
		if strings.TrimSpace(strings.Join(row, "")) == "" {
			continue
		}
		for i, cell := range row {
			row[i] = norm.NFC.String(Unguarded(cell))
		}
		if len(row) != len(columns) {
			s.fault(s.field(rows, row, 0), "bad-row", "write "+wanted,
				"row has %d fields, not %d", len(row), len(columns))
			continue
		}
		each(rows, row)
	}
	if !header {
		s.refuse("empty", "write "+names+" in the first line, then a row for each entry", "file is empty")
	}
}

// field is where a field of the row just read stands.
func (s *source) field(rows *csv.Reader, row []string, i int) span {
	line, col := rows.FieldPos(i)
	return s.byteSpan(line, col, utf8.RuneCountInString(row[i]))
}

// byteSpan is a span whose column counts bytes.
func (s *source) byteSpan(line, col, length int) span {
	text := s.lines[line-1]
	return s.at(line, utf8.RuneCountInString(text[:min(col-1, len(text))])+1, length)
}
