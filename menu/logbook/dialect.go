package logbook

// Text files as offices write them: in UTF-8, UTF-16 or Windows-1252, their fields parted by commas, semicolons, tabs or bars.

import (
	"bytes"
	"encoding/csv"
	"errors"
	"io"
	"regexp"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/unicode"

	"kettletree/menu/kitchen"
)

// textSheet is a text file.
type textSheet struct {
	name     string
	text     string
	starts   []int32 // where each line begins
	first    int     // lines that are no rows: "sep=;"
	comma    rune
	encoding string // "" for UTF-8
}

// separators part fields; of two that fit as well, the first is taken.
var separators = []rune{',', ';', '\t', '|'}

// separatorNames say them.
var separatorNames = map[rune]string{';': "parted by semicolons", '\t': "parted by tabs", '|': "parted by bars"}

// named is a first line that says the separator, as some spreadsheet programs write it.
var named = regexp.MustCompile(`^(?i:"?sep=([^\r\n"])"?)[,;\t ]*\r?(?:\n|$)`)

// asText opens a text file.
func asText(name string, src []byte) (*textSheet, kitchen.Diagnostics) {
	return asTextOf(name, src, func(r row) int { return len(match(r).place) })
}

// asTextOf opens a text file, of whose rows a function says how many columns each names.
func asTextOf(name string, src []byte, names func(row) int) (*textSheet, kitchen.Diagnostics) {
	if len(src) > kitchen.MostBytes {
		return nil, refused(name, "too-large", "import it month by month", "file has more than the %d MB that are read",
			kitchen.MostBytes>>20)
	}
	text, encoding, ok := decoded(src)
	if !ok {
		return nil, refused(name, "not-text", "save the file as CSV in UTF-8, or as .xlsx", "file is not text")
	}
	t := &textSheet{name: name, encoding: encoding}
	if !strings.Contains(text, "\n") {
		text = strings.ReplaceAll(text, "\r", "\n") // as old programs ended lines
	}
	t.text, t.starts = text, []int32{0}
	for i := range len(text) {
		if text[i] == '\n' {
			t.starts = append(t.starts, int32(i+1))
		}
	}
	if m := named.FindStringSubmatch(text); m != nil {
		t.first, t.comma = 1, []rune(m[1])[0]
		if t.comma == '#' || !strings.ContainsRune(",;\t|:~^", t.comma) {
			return nil, refused(name, "bad-header", "part fields by commas, semicolons, tabs or bars",
				"the first line says that %q parts the fields", m[1])
		}
		return t, nil
	}
	t.comma = t.likeliest(names)
	return t, nil
}

// decoded is a text in UTF-8, and how it was written where that was not UTF-8.
func decoded(src []byte) (text, encoding string, ok bool) {
	switch order, wide := wideOf(src); {
	case wide:
		wide, err := unicode.UTF16(order, unicode.UseBOM).NewDecoder().Bytes(src)
		text, encoding = string(wide), "UTF-16"
		if err != nil || len(src)%2 != 0 || strings.ContainsRune(text, utf8.RuneError) {
			return "", "", false
		}
	default:
		text = strings.TrimPrefix(string(src), "\uFEFF")
		if !utf8.ValidString(text) {
			for _, none := range []byte("\x81\x8D\x8F\x90\x9D") { // what Windows-1252 does not have
				if bytes.IndexByte(src, none) >= 0 {
					return "", "", false
				}
			}
			if bytes.HasPrefix(src, []byte("\xEF\xBB\xBF")) { // UTF-8 that is damaged
				return "", "", false
			}
			text, _ = charmap.Windows1252.NewDecoder().String(text)
			encoding = "Windows-1252"
		}
	}
	return text, encoding, strings.IndexByte(text, 0) < 0
}

// wideOf tells whether a text is UTF-16, and in which order its bytes stand: by its mark or, where it has none, by the first letters, which
// are Latin in every header that is known, so that one byte of each is 0.
func wideOf(src []byte) (order unicode.Endianness, wide bool) {
	switch {
	case bytes.HasPrefix(src, []byte("\xFF\xFE")):
		return unicode.LittleEndian, true
	case bytes.HasPrefix(src, []byte("\xFE\xFF")):
		return unicode.BigEndian, true
	}
	const enough = 8 // bytes
	if len(src) < enough || len(src)%2 != 0 {
		return unicode.LittleEndian, false
	}
	var zeros [2]int // at even places, and at odd ones
	for at, c := range src[:enough] {
		if c == 0 {
			zeros[at%2]++
		}
	}
	switch zeros {
	case [2]int{0, enough / 2}:
		return unicode.LittleEndian, true
	case [2]int{enough / 2, 0}:
		return unicode.BigEndian, true
	}
	return unicode.LittleEndian, false
}

// headerWithin is how many rows may stand above the names of the columns.
const headerWithin = 20

// likeliest is the separator under which some row near the top names the most columns. Where none names any, it is the one
// that the first line has most of.
func (t *textSheet) likeliest(names func(row) int) rune {
	best, most := ',', 0
	for _, comma := range separators {
		try := &textSheet{name: t.name, text: t.text, starts: t.starts, comma: comma}
		rows := 0
		_ = try.rows(func(r row) bool { // what is wrong is said when it is read
			if n := names(r); n > most {
				best, most = comma, n
			}
			rows++
			return rows < headerWithin
		})
	}
	if most == 0 {
		line, _, _ := strings.Cut(t.text, "\n")
		for _, comma := range separators {
			if n := strings.Count(line, string(comma)); n > most {
				best, most = comma, n
			}
		}
	}
	return best
}

func (t *textSheet) separator() rune { return t.comma }

func (t *textSheet) readAs() (said []string) {
	if t.encoding != "" {
		said = append(said, t.encoding)
	}
	if name := separatorNames[t.comma]; name != "" {
		said = append(said, name)
	}
	return said
}

func (t *textSheet) rows(each func(row) bool) (found kitchen.Diagnostics) {
	from := 0
	if t.first > 0 {
		from = len(t.text)
		if t.first < len(t.starts) {
			from = int(t.starts[t.first])
		}
	}
	rows := csv.NewReader(strings.NewReader(t.text[from:]))
	rows.FieldsPerRecord = -1
	rows.Comma = t.comma
	rows.ReuseRecord = true
	for {
		fields, err := rows.Read()
		if errors.Is(err, io.EOF) || len(found) == mostFaults {
			return found
		}
		if fault, ok := errors.AsType[*csv.ParseError](err); ok {
			found = append(found, faultIn(t, cell{text: "?", line: fault.Line + t.first, offset: fault.Column - 1}, "bad-row",
				"put quotes around a whole field, or none", "the quotes in this row do not match"))
			continue
		} else if err != nil {
			panic("mistake: a text in memory cannot be read: " + err.Error())
		}
		if len(fields) > mostColumns {
			line, _ := rows.FieldPos(0)
			found = append(found, faultIn(t, cell{text: "?", line: line + t.first}, "bad-row",
				"end every row in a new line", "row has %d fields; up to %d are read", len(fields), mostColumns))
			continue
		}
		r := row{cells: make([]cell, len(fields))}
		for i, text := range fields {
			line, col := rows.FieldPos(i)
			r.cells[i] = cellOf(text, line+t.first, i, col-1)
		}
		r.line = r.cells[0].line
		if !r.blank() && !each(r) {
			return found
		}
	}
}

// lineOf is a line of the file, from 1.
func (t *textSheet) lineOf(line int) string {
	line = max(1, min(line, len(t.starts)))
	end := len(t.text)
	if line < len(t.starts) {
		end = int(t.starts[line]) - 1
	}
	return strings.TrimSuffix(t.text[t.starts[line-1]:end], "\r")
}

func (t *textSheet) place(c cell) (kitchen.Pos, string) {
	line := max(1, min(c.line, len(t.starts)))
	text := t.lineOf(line)
	before := text[:max(0, min(c.offset, len(text)))]
	return kitchen.Pos{File: t.name, Line: line, Col: utf8.RuneCountInString(before) + 1}, text
}
