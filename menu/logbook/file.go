package logbook

// Files that are taken over: delivery notes, invoices, sales and stock-take sheets, their columns matched by header.

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"hash"
	"io"
	"slices"
	"strings"
	"time"

	"kettletree/menu/kitchen"
)

// File is a file of deliveries, sales or counts, read and found sound.
type File struct {
	Name    string
	Kind    Kind // Received, Sold or Counted
	Entries []Entry
	Rows    []Row    // of Entries, one for each
	Digest  string   // of what its used columns say: the same rows have the same
	Columns []string // the headers that were used, as "weight: quantity", in the order of the file
	Unused  []string // the other headers
	ReadAs  []string // how it was read, as far as that is not plain: "UTF-16", "decimal commas", "dates day first"
	Names   []Taken  // names that are not the kitchen's own, and what they were taken for: to be agreed to
	Packs   []Taken  // packs times size, and what they come to
	Left    []Taken  // rows that were left out, by what they say, and why
}

// Taken is something that was not taken as it is written.
type Taken struct {
	Written string `json:"written"` // as it stands in the file
	Means   string `json:"means"`   // what it was taken for, or why it was left out
	Rows    int    `json:"rows"`    // on which it stands
}

// Row knows a row again: the digest of what its used columns say and of its place among the rows of the file that say
// the same, the day included. Where the rows have no date, the whole file is in it: two days may look alike.
type Row [16]byte

// Manner is how a file is to be read.
type Manner struct {
	At       time.Time // when rows without a date happened
	Now      time.Time
	Dates    DateOrder // "" when nothing was said
	Decimals Decimals  // "" when nothing was said
	Names    Names     // what names mean that the kitchen file does not have
}

// Question is what has to be answered before a file can be taken over.
type Question struct {
	About   string   // "dates", "decimals", or "name"
	Written string   // an example of what can be read both ways; the name
	Dish    bool     // of a name: it stands for a dish
	Rows    int      // how many rows it is about
	Choices []string // what can be answered; of a name, those that are near
}

// The subjects of a [Question].
const (
	AboutDates    = "dates"
	AboutDecimals = "decimals"
	AboutName     = "name"
)

// Read reads a file of deliveries, with columns for item and quantity, or for item, packs and pack size; of sales, with columns for
// dish and portions; or of counts, with columns for item and counted. Further columns are date, time, unit, paid, supplier and lot;
// and service. A file whose items are dishes of the kitchen is one of sales. It is a workbook when it is named .xlsx or begins as
// one, else a text.
//
// A row without a date happened at the moment that the manner says; with a date but no time, a delivery came at six in the morning,
// and a sale was made or a count taken when its service, or the day, ended, but not after now. All faults are said. The file is nil
// when any is an error; what can be answered then is asked.
func Read(k *kitchen.Kitchen, name string, src []byte, m Manner) (*File, []Question, kitchen.Diagnostics) {
	var s sheet
	var found kitchen.Diagnostics
	if strings.HasSuffix(strings.ToLower(name), ".xlsx") || bytes.HasPrefix(src, []byte("PK\x03\x04")) {
		s, found = asSheet(asWorkbook(name, src))
	} else {
		s, found = asSheet(asText(name, src))
	}
	if found != nil {
		return nil, nil, found
	}
	r := &fileReader{sheet: s, k: k, manner: m, file: &File{Name: name}, digest: sha256.New()}
	if !r.head() || !r.survey() {
		return nil, r.asked, r.found
	}
	r.entries()
	slices.SortStableFunc(r.found, func(a, b kitchen.Diagnostic) int {
		return cmp.Or(cmp.Compare(a.Pos.Line, b.Pos.Line), cmp.Compare(a.Pos.Col, b.Pos.Col))
	})
	if r.found.Err() != nil {
		return nil, r.asked, r.found
	}
	return r.file, nil, r.found
}

// asSheet makes one kind of file of two; a nil pointer is none.
func asSheet[T any, P interface {
	*T
	sheet
}](file P, found kitchen.Diagnostics) (sheet, kitchen.Diagnostics) {
	if file == nil {
		return nil, found
	}
	return file, found
}

// fileReader reads a file: its header, then all rows for the habits of the file, then all for what they say.
type fileReader struct {
	sheet
	k             *kitchen.Kitchen
	manner        Manner
	file          *File
	header        header
	habits        habits
	dishes, items *namer
	digest        hash.Hash
	asked         []Question
	found         kitchen.Diagnostics
}

// fail records an error in a cell.
func (r *fileReader) fail(c cell, id, hint, format string, args ...any) {
	r.found = append(r.found, faultIn(r.sheet, c, id, hint, format, args...))
}

// head finds the header: the first row near the top that names the columns of a kind.
func (r *fileReader) head() bool {
	const wanted = "deliveries need columns item and quantity, sales dish and portions, counts item and counted; further ones are date, " +
		"time, unit, paid, supplier, lot, service, packs and pack size"
	var first *header
	rows := 0
	found := r.rows(func(line row) bool {
		h := match(line)
		if rows++; first == nil || h.kind != "" {
			first = &h
		}
		return h.kind == "" && rows < headerWithin
	})
	if first == nil {
		if r.found = found; len(found) == 0 {
			r.found = refused(r.file.Name, "empty", "write the names of the columns in the first line, such as date,item,quantity,paid",
				"file is empty")
		}
		return false
	}
	r.header = *first
	row, h := r.header.row, &r.header
	for _, both := range h.twice {
		name := columnOf(both[0].text)
		r.fail(both[1], "bad-header", "remove one of the two", "%q and %q both mean %s", both[0].text, both[1].text, name)
	}
	var heads []string
	for _, c := range row.cells {
		if c.text != "" {
			heads = append(heads, c.text)
		}
	}
	top := cell{text: heads[0], line: row.line}
	if at := slices.IndexFunc(row.cells, func(c cell) bool { return c.text != "" }); at >= 0 {
		top = row.cells[at]
	}
	switch {
	case len(r.found) > 0:
	case h.has("dish") && h.has("item"):
		r.fail(top, "bad-header", "import deliveries and sales in separate files", "there are columns for an item and for a dish")
	case h.kind == "":
		r.fail(top, "bad-header", wanted, "the columns %q are neither deliveries nor sales nor counts", strings.Join(heads, ","))
	}
	return len(r.found) == 0
}

// survey goes through all rows before any is read: for their number, for whether the items are dishes, and for the habits of whoever
// wrote the file.
func (r *fileReader) survey() bool {
	h := &r.header
	r.dishes, r.items = namerOf(r.k, true, r.manner.Names), namerOf(r.k, false, r.manner.Names)
	r.habits = habits{dates: r.manner.Dates, decimals: r.manner.Decimals, commas: r.separator() == ','}
	rows, dishes, items, bare := 0, 0, 0, 0
	r.below(func(line row) bool {
		rows++
		if h.kind == Received {
			if name := line.at(h.place["item"]).text; r.items.knows(name) {
				items++
			} else if r.dishes.knows(name) {
				dishes++
			}
			unit, has := h.place["unit"]
			if h.has("quantity") && onlyNumber.MatchString(line.at(h.place["quantity"]).text) && (!has || line.at(unit).text == "") {
				bare++ // which no delivery can be of, but portions are
			}
		}
		return rows <= mostRows
	})
	if rows > mostRows {
		r.found = refused(r.file.Name, "too-large", "import it month by month", "file has more than the %d rows that are read", mostRows)
		return false
	}
	if items == 0 && (dishes > 0 || bare == rows && rows > 0) && h.has("quantity") && h.units["quantity"] == "" && !h.has("lot") &&
		!h.has("pack size") { // a till's list of its items
		h.kind = Sold
	}
	if h.kind == Sold && !h.has("portions") {
		h.place["portions"] = h.place["quantity"]
	}
	if h.kind == Sold && h.has("item") {
		h.place["dish"] = h.place["item"]
		delete(h.place, "item")
	}
	r.file.Kind = h.kind
	r.columns()
	r.below(func(line row) bool {
		if at, ok := h.place["date"]; ok {
			if c := line.at(at); !c.number {
				r.habits.seesDate(c)
			}
		}
		for _, name := range r.numeric() {
			if at, ok := h.place[name]; ok {
				r.habits.seesNumbers(line.at(at), name == "portions")
			}
		}
		return true
	})
	r.habits.settle()
	r.ask()
	return true
}

// numeric are the columns with numbers, of those that the kind of file has.
func (r *fileReader) numeric() []string {
	switch r.file.Kind {
	case Sold:
		return []string{"portions"}
	case Counted:
		return []string{"counted"}
	}
	return []string{"quantity", "packs", "pack size", "paid"}
}

// columns says which headers are used, and for what.
func (r *fileReader) columns() {
	h := &r.header
	for _, c := range h.row.cells {
		name := ""
		for of, at := range h.place {
			if at == c.at && slices.Contains(used[h.kind], of) {
				name = of
			}
		}
		if name != "" {
			r.file.Columns = append(r.file.Columns, c.text+": "+name) // one of the known headers, so it prints
		} else if c.text != "" {
			r.file.Unused = append(r.file.Unused, printing(c.text))
		}
	}
}

// ask asks about habits that are needed and that neither was said nor can be told, and says those that were used.
func (r *fileReader) ask() {
	h := &r.habits
	r.file.ReadAs = r.readAs()
	if h.eitherDate > 0 && h.dates == "" {
		d, _ := readDate(withTime.ReplaceAllString(h.firstDate.text, "$1"))
		r.fail(h.firstDate, "which-dates", `say it with --dates "day first" or --dates "month first"`,
			"%q is %s or %s, and no date of the file tells which", h.firstDate.text, d.day.Format("2 Jan"), d.month.Format("2 Jan"))
		r.asked = append(r.asked, Question{About: AboutDates, Written: h.firstDate.text, Rows: h.eitherDate,
			Choices: []string{string(DayFirst), string(MonthFirst)}})
	} else if h.dates != "" && h.eitherDate+h.dayOnly+h.monthOnly > 0 {
		r.file.ReadAs = append(r.file.ReadAs, "dates "+string(h.dates))
	}
	if h.eitherSign > 0 && h.decimals == "" {
		point, comma := readNumber(h.firstNumber.text)
		r.fail(h.firstNumber, "which-decimals", "say it with --decimals point or --decimals comma",
			"%q is %s or %s, and no number of the file tells which", h.firstNumber.text, point, comma)
		r.asked = append(r.asked, Question{About: AboutDecimals, Written: h.firstNumber.text, Rows: h.eitherSign,
			Choices: []string{string(DecimalPoint), string(DecimalComma)}})
	} else if h.decimals == DecimalComma || h.commaOnly > 0 {
		r.file.ReadAs = append(r.file.ReadAs, "decimal commas")
	}
}

// below hands on the rows below the header. What can't be read is named once, by entries.
func (r *fileReader) below(each func(row) bool) kitchen.Diagnostics {
	return r.rows(func(line row) bool { return line.line <= r.header.row.line || each(line) })
}

// entries reads all rows.
func (r *fileReader) entries() {
	h, f := &r.header, r.file
	fmt.Fprintf(r.digest, "%s\n", f.Kind)
	if _, dated := h.place["date"]; !dated && (f.Kind == Counted || r.manner.At.Format(time.DateOnly) != r.manner.Now.Format(time.DateOnly)) {
		fmt.Fprintf(r.digest, "%s\n", r.manner.At.Format(time.DateOnly)) // what was said of another day is no repetition
	}
	in := &rowReader{fileReader: r, last: map[string]int{}, places: map[taking]int{}, missedAt: map[string]int{}}
	var said []string // by entry
	unread := r.below(func(line row) bool {
		if beyond := slices.IndexFunc(line.cells, func(c cell) bool { return c.at >= h.width && c.text != "" }); beyond >= 0 {
			r.fail(line.cells[beyond], "bad-row", "put quotes around a field with a comma",
				"row has %d fields, and there are %d columns", line.cells[len(line.cells)-1].at+1, h.width)
			return true
		}
		said = in.read(line, said)
		return len(r.found) < mostFaults
	})
	r.found = append(r.found, unread...)
	in.names()
	if len(r.found) == 0 && len(f.Entries) == 0 && len(f.Left) == 0 {
		if in.uncounted > 0 {
			r.fail(h.row.cells[0], "empty", "write how much there is behind each item, 0 for none", "nothing was counted")
		} else {
			r.fail(h.row.cells[0], "empty", "write a row for each entry below the header", "there is no row below the header")
		}
	}
	f.Digest = hex.EncodeToString(r.digest.Sum(nil))
	of := string(f.Kind)
	if _, dated := h.place["date"]; !dated {
		of = f.Digest
	}
	before := map[string]int{}
	for _, says := range said {
		sum := sha256.Sum256(fmt.Appendf(nil, "%s\n%d\n%s", of, before[says], says))
		f.Rows = append(f.Rows, Row(sum[:len(Row{})]))
		before[says]++
	}
}

// says is what the used columns of a row say, for a digest.
func (r *rowReader) says() string {
	var b strings.Builder
	for n, c := range columns {
		if text := r.field(c.name).text; n < firstColumns || text != "" {
			fmt.Fprintf(&b, "%s=%q\n", c.name, text)
		}
	}
	_, _ = io.WriteString(r.digest, b.String()) // a hash takes all
	return b.String()
}
