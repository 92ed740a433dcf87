package logbook

// Workbooks (.xlsx, ECMA-376): their sheets, each read as a stream. Only the parts that hold its cells are unzipped, none is held as a
// whole but the shared texts, and what is bounded is bounded before it is read: a file of some kilobytes can say a million rows, cells
// in the last column of each, or nothing but brackets.

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"path"
	"strconv"
	"strings"

	"kettletree/menu/kitchen"
)

const (
	mostUnzipped = 64 << 20 // bytes of a sheet
	mostTexts    = 16 << 20 // bytes of the part with the shared texts
	mostShared   = 1 << 19  // shared texts
	mostDepth    = 64       // elements within elements
	mostBetween  = 1 << 20  // bytes between two brackets: a cell holds at most 32,767 letters
	lastColumn   = 16384
)

// bookSheet is a sheet of a workbook.
type bookSheet struct {
	name     string // of the file
	title    string // of the sheet
	part     *zip.File
	shared   []string
	from1904 bool
}

// unfit is what is wrong with a workbook that is refused for its size or shape.
type unfit struct{ what string }

func (e *unfit) Error() string { return e.what }

// inWords says what is wrong with a part, without the words of those that unzip and decode it.
func inWords(err error) string {
	if e, ok := errors.AsType[*unfit](err); ok {
		return e.what
	}
	return "it is cut off or damaged"
}

// asWorkbook opens the first sheet of a workbook that is seen.
func asWorkbook(name string, src []byte) (*bookSheet, kitchen.Diagnostics) {
	list, found := asSheets(name, src)
	if found != nil {
		return nil, found
	}
	return list[0], nil
}

// asSheets opens the sheets of a workbook that are seen, one at least.
func asSheets(name string, src []byte) ([]*bookSheet, kitchen.Diagnostics) {
	bad := func(format string, args ...any) ([]*bookSheet, kitchen.Diagnostics) {
		return nil, refused(name, "bad-workbook", "save it again as .xlsx, without a password, or as CSV", format, args...)
	}
	if len(src) > kitchen.MostBytes {
		return nil, refused(name, "too-large", "import it month by month", "file has more than the %d MB that are read",
			kitchen.MostBytes>>20)
	}
	files, err := zip.NewReader(bytes.NewReader(src), int64(len(src)))
	if err != nil && bytes.HasPrefix(src, []byte("\xD0\xCF\x11\xE0")) {
		return bad("workbook has a password, or is of the old kind (.xls)")
	} else if err != nil {
		return bad("file is not a workbook")
	}
	part := func(name string) *zip.File {
		for _, f := range files.File {
			if strings.EqualFold(strings.TrimPrefix(f.Name, "/"), name) {
				return f
			}
		}
		return nil
	}
	b := &bookSheet{name: name}
	seen, err := b.seen(part)
	if err != nil {
		return bad("file is not a workbook: %s", inWords(err))
	}
	if texts := part("xl/sharedStrings.xml"); texts != nil {
		if texts.UncompressedSize64 > mostTexts {
			return bad("its texts unfold to %d MB, more than the %d that are read", texts.UncompressedSize64>>20, mostTexts>>20)
		}
		if err := b.texts(texts); err != nil {
			return bad("its texts can't be read: %s", inWords(err))
		}
	}
	var list []*bookSheet
	for _, of := range seen {
		one := *b
		one.title = of[0]
		if one.part = part(of[1]); one.part == nil {
			return bad("workbook has no sheet with cells")
		}
		if one.part.UncompressedSize64 > mostUnzipped {
			return bad("its sheet unfolds to %d MB, more than the %d that are read", one.part.UncompressedSize64>>20, mostUnzipped>>20)
		}
		list = append(list, &one)
	}
	return list, nil
}

// seen finds the sheets that are not hidden: the name of each, and its part.
func (b *bookSheet) seen(part func(string) *zip.File) (list [][2]string, err error) {
	book, relations := part("xl/workbook.xml"), part("xl/_rels/workbook.xml.rels")
	if book == nil || relations == nil {
		return nil, &unfit{"it has no list of sheets"}
	}
	var ids [][2]string
	err = elements(book, mostTexts, func(e xml.StartElement, _ *xml.Decoder) (bool, error) {
		switch e.Name.Local {
		case "workbookPr":
			b.from1904 = attribute(e, "date1904") == "1" || attribute(e, "date1904") == "true"
		case "sheet":
			if state := attribute(e, "state"); state == "" || state == "visible" {
				ids = append(ids, [2]string{attribute(e, "name"), attribute(e, "id")})
			}
		}
		return false, nil
	})
	if err != nil {
		return nil, err
	}
	targets := map[string]string{}
	err = elements(relations, mostTexts, func(e xml.StartElement, _ *xml.Decoder) (bool, error) {
		if e.Name.Local == "Relationship" && strings.HasSuffix(attribute(e, "Type"), "/worksheet") {
			targets[attribute(e, "Id")] = attribute(e, "Target")
		}
		return false, nil
	})
	if err != nil {
		return nil, err
	}
	for _, id := range ids {
		if target := targets[id[1]]; strings.HasPrefix(target, "/") {
			list = append(list, [2]string{id[0], strings.TrimPrefix(path.Clean(target), "/")})
		} else if target != "" {
			list = append(list, [2]string{id[0], path.Join("xl", target)})
		}
	}
	if list == nil {
		return nil, &unfit{"it has no sheet with cells"}
	}
	return list, nil
}

// texts reads the texts that cells share.
func (b *bookSheet) texts(part *zip.File) error {
	return elements(part, mostTexts, func(e xml.StartElement, in *xml.Decoder) (bool, error) {
		if e.Name.Local != "si" {
			return false, nil
		}
		text, err := textOf(in)
		if len(b.shared) == mostShared {
			err = &unfit{fmt.Sprintf("there are more than %d texts", mostShared)}
		}
		b.shared = append(b.shared, text)
		return true, err
	})
}

// textOf joins the runs of a text up to where its element ends; how it is spoken is left out.
func textOf(in *xml.Decoder) (string, error) {
	var b strings.Builder
	for depth, spoken := 1, 0; depth > 0; {
		token, err := in.Token()
		if err != nil {
			return "", err
		}
		switch token := token.(type) {
		case xml.StartElement:
			if depth++; depth > mostDepth {
				return "", &unfit{"its elements are nested too deep"}
			}
			if token.Name.Local == "rPh" {
				spoken = depth
			}
		case xml.EndElement:
			if depth == spoken {
				spoken = 0
			}
			depth--
		case xml.CharData:
			if spoken == 0 {
				b.Write(token)
			}
		}
	}
	return b.String(), nil
}

// attribute is what an element says of itself.
func attribute(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

// errEnough ends a reading before the end.
var errEnough = errors.New("enough")

// elements hands on every element of a part, but for those within one that was read to its end: then the function says so.
func elements(part *zip.File, most int64, each func(xml.StartElement, *xml.Decoder) (read bool, err error)) error {
	from, err := part.Open()
	if err != nil {
		return err
	}
	defer func() { _ = from.Close() }()
	in := xml.NewDecoder(&bracketed{from: io.LimitReader(from, most)})
	for depth := 0; ; {
		token, err := in.Token()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		switch token := token.(type) {
		case xml.StartElement:
			if depth++; depth > mostDepth {
				return &unfit{"its elements are nested too deep"}
			}
			read, err := each(token, in)
			if err != nil {
				return err
			}
			if read {
				depth--
			}
		case xml.EndElement:
			depth--
		}
	}
}

// bracketed refuses to hand on a text in which no bracket opens for too long, which a decoder would hold as one piece.
type bracketed struct {
	from  io.Reader
	since int
}

func (b *bracketed) Read(to []byte) (int, error) {
	n, err := b.from.Read(to)
	if at := bytes.LastIndexByte(to[:n], '<'); at >= 0 {
		b.since = n - at
	} else {
		b.since += n
	}
	if b.since > mostBetween {
		return 0, &unfit{"a text in it is too long for a cell"}
	}
	return n, err
}

func (b *bookSheet) separator() rune  { return 0 }
func (b *bookSheet) readAs() []string { return nil }

func (b *bookSheet) place(c cell) (kitchen.Pos, string) {
	return kitchen.Pos{File: b.name, Line: max(1, c.line), Col: c.at + 1}, ""
}

func (b *bookSheet) rows(each func(row) bool) kitchen.Diagnostics {
	r, inRow := row{}, false
	hand := func() error {
		if was := inRow; was && !r.blank() && !each(r) {
			return errEnough
		}
		inRow = false
		return nil
	}
	err := elements(b.part, mostUnzipped, func(e xml.StartElement, in *xml.Decoder) (read bool, err error) {
		switch e.Name.Local {
		case "row":
			if err := hand(); err != nil {
				return false, err
			}
			line := r.line + 1
			if said := attribute(e, "r"); said != "" {
				n, err := strconv.Atoi(said)
				if err != nil || n < line {
					return false, &unfit{fmt.Sprintf("row %q stands behind row %d", said, r.line)}
				}
				line = n
			}
			r, inRow = row{line: line}, true
		case "c":
			c, err := b.cell(e, in)
			if err != nil || !inRow || c.text == "" && !c.uncounted {
				return true, err
			}
			next := 0
			if n := len(r.cells); n > 0 {
				next = r.cells[n-1].at + 1
			}
			if c.at < 0 {
				c.at = next // without a name it stands beside the one before
			}
			if c.at < next {
				return true, &unfit{fmt.Sprintf("the cells of row %d are out of order", r.line)}
			}
			c.line = r.line
			r.cells = append(r.cells, c)
			return true, nil
		}
		return false, nil
	})
	if err == nil {
		err = hand()
	}
	if err == nil || errors.Is(err, errEnough) {
		return nil
	}
	return refused(b.name, "bad-workbook", "save the sheet again as .xlsx, or as CSV", "the sheet can't be read: %s", inWords(err))
}

// cell reads a cell; its column is -1 where the file does not say.
func (b *bookSheet) cell(e xml.StartElement, in *xml.Decoder) (c cell, err error) {
	c.at = -1
	if name := attribute(e, "r"); name != "" {
		if c.at = columnNamed(name); c.at < 0 {
			return c, &unfit{fmt.Sprintf("%q is no place of a cell", name)}
		}
	}
	kind, value, formula, counted := attribute(e, "t"), "", false, false
	for depth := 1; depth > 0; {
		token, err := in.Token()
		if err != nil {
			return c, err
		}
		switch token := token.(type) {
		case xml.StartElement:
			if token.Name.Local == "v" || token.Name.Local == "is" {
				if value, err = textOf(in); err != nil {
					return c, err
				}
				counted = value != "" || kind == "str"
				continue
			}
			formula = formula || token.Name.Local == "f"
			if depth++; depth > mostDepth {
				return c, &unfit{"its elements are nested too deep"}
			}
		case xml.EndElement:
			depth--
		}
	}
	switch kind {
	case "s":
		n, err := strconv.Atoi(strings.TrimSpace(value))
		if err != nil || n < 0 || n >= len(b.shared) {
			return c, &unfit{fmt.Sprintf("a cell has text %q, and there are %d", value, len(b.shared))}
		}
		value = b.shared[n]
	case "", "n":
		if n, err := strconv.ParseFloat(strings.TrimSpace(value), 64); err == nil {
			// To fifteen digits, as spreadsheets show them: 0.1+0.2 is 0.3.
			rounded, _ := strconv.ParseFloat(strconv.FormatFloat(n, 'g', 15, 64), 64)
			value, c.number = strconv.FormatFloat(rounded, 'f', -1, 64), true
		}
	}
	number := c.number
	c = cellOf(value, 0, c.at, 0)
	c.number, c.uncounted = number, formula && !counted
	return c, nil
}

// columnNamed is the column of a cell such as AB12, from 0; -1 where that is none.
func columnNamed(name string) int {
	column, at := 0, 0
	for ; at < len(name) && at < 4 && 'A' <= name[at] && name[at] <= 'Z'; at++ {
		column = column*26 + int(name[at]-'A') + 1
	}
	if at == 0 || column > lastColumn {
		return -1
	}
	if n, err := strconv.Atoi(name[at:]); err != nil || n < 1 {
		return -1
	}
	return column - 1
}
