package logbook

// Files that are taken over: delivery notes, invoices and sales, their columns matched by header.

import (
	"bytes"
	"cmp"
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/csv"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
)

// File is a file of deliveries or sales, read and found sound.
type File struct {
	Name    string
	Kind    Kind // Received or Sold
	Entries []Entry
	Rows    []Row    // of Entries, one for each
	Digest  string   // of what its used columns say: the same rows have the same
	Columns []string // the headers that were used, as "weight: quantity", in the order of the file
	Unused  []string // the other headers
}

// Row knows a row again: the digest of what its used columns say and of its place among the rows of the file that say
// the same, the day included. Where the rows have no date, the whole file is in it: two days may look alike.
type Row [16]byte

// table is a file as rows of cells, the header first.
type table struct {
	name  string
	lines []string // of a text file; nil of a workbook
	rows  [][]cell
}

// cell is a field and where it stands.
type cell struct {
	text string
	pos  kitchen.Pos
}

type column struct {
	name  string
	heads []string
}

// columns are what may stand in a file, with the headers by which each is known.
var columns = []column{
	{"date", []string{"date", "day", "delivered", "delivery date", "invoice date", "business date"}},
	{"time", []string{"time"}},
	{"item", []string{"item", "product", "article", "goods", "description"}},
	{"quantity", []string{"quantity", "qty", "amount", "weight"}},
	{"unit", []string{"unit", "units", "uom"}},
	{"paid", []string{"paid", "total", "line total", "sum"}},
	{"supplier", []string{"supplier", "vendor", "from"}},
	{"lot", []string{"lot", "lot mark", "lot number", "batch"}},
	{"dish", []string{"dish", "menu item", "plate"}},
	{"portions", []string{"portions", "sold"}},
	{"service", []string{"service", "meal"}},
}

// ReadCSV reads a file of deliveries, with columns for item and quantity, or of sales, with columns for dish and
// portions. Further columns are date, time, unit, paid, supplier and lot; and service. Fields are parted by commas, or
// by semicolons where the header has only those. A row without a date happened at the moment at; with a date but no
// time, a delivery came at six in the morning, and a sale was made when its service, or the day, ended, but not after
// now. The file is nil when any fault is an error.
func ReadCSV(k *kitchen.Kitchen, name string, src []byte, at, now time.Time) (*File, kitchen.Diagnostics) {
	src = bytes.TrimPrefix(src, []byte("\uFEFF"))
	whole := func(id, hint, format string, args ...any) kitchen.Diagnostics {
		return kitchen.Diagnostics{{Pos: kitchen.Pos{File: name}, ID: id, Msg: fmt.Sprintf(format, args...), Hint: hint}}
	}
	switch {
	case len(src) > kitchen.MostBytes:
		return nil, whole("too-large", "import it month by month", "file has more than the %d bytes that are read",
			kitchen.MostBytes)
	case !utf8.Valid(src) || bytes.IndexByte(src, 0) >= 0:
		return nil, whole("not-text", "save the file as plain text in UTF-8", "file is not text")
	}
	t := &table{name: name, lines: strings.Split(strings.ReplaceAll(string(src), "\r\n", "\n"), "\n")}
	rows := csv.NewReader(bytes.NewReader(src))
	rows.FieldsPerRecord = -1
	if header, _, _ := bytes.Cut(src, []byte("\n")); !bytes.Contains(header, []byte(",")) {
		if bytes.Contains(header, []byte(";")) {
			rows.Comma = ';'
		}
	}
	var found kitchen.Diagnostics
	for {
		fields, err := rows.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if fault, ok := errors.AsType[*csv.ParseError](err); ok {
			found = append(found, t.fault(t.place(fault.Line, fault.Column, "?"), "bad-row",
				"put quotes around a whole field, or none", "the quotes in this row do not match"))
			continue
		}
		row := make([]cell, len(fields))
		for i, f := range fields {
			line, col := rows.FieldPos(i)
			row[i] = t.place(line, col, f)
		}
		t.rows = append(t.rows, row)
	}
	f, more := t.read(k, at, now)
	found = append(found, more...)
	slices.SortStableFunc(found, func(a, b kitchen.Diagnostic) int {
		return cmp.Or(cmp.Compare(a.Pos.Line, b.Pos.Line), cmp.Compare(a.Pos.Col, b.Pos.Col))
	})
	if found.Err() != nil {
		return nil, found
	}
	return f, found
}

// place is a cell of a text file, whose column counts bytes.
func (t *table) place(line, col int, text string) cell {
	line = max(1, min(line, len(t.lines)))
	before := t.lines[line-1][:max(0, min(col-1, len(t.lines[line-1])))]
	return cell{text, kitchen.Pos{File: t.name, Line: line, Col: utf8.RuneCountInString(before) + 1}}
}

// fault is an error in a cell.
func (t *table) fault(c cell, id, hint, format string, args ...any) kitchen.Diagnostic {
	d := kitchen.Diagnostic{Pos: c.pos, Len: max(1, utf8.RuneCountInString(c.text)), ID: id, Hint: hint,
		Msg: fmt.Sprintf(format, args...)}
	if t.lines != nil {
		d.Excerpt = t.lines[c.pos.Line-1]
	}
	return d
}

// misread is a fault that a reader of values found in a cell.
func (t *table) misread(c cell, id string, err error) kitchen.Diagnostic {
	e := err.(*measure.Error)
	return t.fault(c, id, e.Hint, "%s", e.Msg)
}

// read takes the entries out of a table.
func (t *table) read(k *kitchen.Kitchen, at, now time.Time) (*File, kitchen.Diagnostics) {
	if len(t.rows) == 0 {
		return nil, kitchen.Diagnostics{{Pos: kitchen.Pos{File: t.name}, ID: "empty", Msg: "file is empty",
			Hint: "write the names of the columns in the first line, such as date,item,quantity,paid"}}
	}
	f := &File{Name: t.name}
	place, found := t.match(f)
	if len(found) > 0 {
		return nil, found
	}
	r := &rowReader{table: t, k: k, at: at, now: now, place: place}
	digest := sha256.New()
	fmt.Fprintf(digest, "%s\n", f.Kind)
	var said []string // by entry
	for _, row := range t.rows[1:] {
		if !slices.ContainsFunc(row, func(c cell) bool { return strings.TrimSpace(c.text) != "" }) {
			continue
		}
		if len(row) > len(t.rows[0]) {
			r.found = append(r.found, t.fault(row[len(t.rows[0])], "bad-row", "put quotes around a field with a comma",
				"row has %d fields, and there are %d columns", len(row), len(t.rows[0])))
			continue
		}
		r.row = row
		var says strings.Builder
		for _, c := range columns {
			fmt.Fprintf(&says, "%s=%q\n", c.name, r.field(c.name).text)
		}
		_, _ = io.WriteString(digest, says.String()) // a hash takes all
		if e, ok := r.entry(f.Kind); ok {
			f.Entries, said = append(f.Entries, e), append(said, says.String())
		}
	}
	if len(r.found) == 0 && len(f.Entries) == 0 {
		r.found = append(r.found, t.fault(t.rows[0][0], "empty", "write a row for each entry below the header",
			"there is no row below the header"))
	}
	f.Digest = hex.EncodeToString(digest.Sum(nil))
	of := string(f.Kind)
	if _, dated := place["date"]; !dated {
		of = f.Digest
	}
	before := map[string]int{}
	for _, says := range said {
		sum := sha256.Sum256(fmt.Appendf(nil, "%s\n%d\n%s", of, before[says], says))
		f.Rows = append(f.Rows, Row(sum[:len(Row{})]))
		before[says]++
	}
	return f, r.found
}

// match finds the columns by the header.
func (t *table) match(f *File) (place map[string]int, found kitchen.Diagnostics) {
	place = map[string]int{}
	for i, head := range t.rows[0] {
		words := strings.Join(strings.FieldsFunc(strings.ToLower(head.text), func(r rune) bool {
			return strings.ContainsRune(" _-.\t", r)
		}), " ")
		c := slices.IndexFunc(columns, func(c column) bool { return slices.Contains(c.heads, words) })
		if c < 0 {
			f.Unused = append(f.Unused, head.text)
			continue
		}
		name := columns[c].name
		if before, twice := place[name]; twice {
			found = append(found, t.fault(head, "bad-header", "remove one of the two", "%q and %q both mean %s",
				t.rows[0][before].text, head.text, name))
			continue
		}
		place[name] = i
		f.Columns = append(f.Columns, head.text+": "+name)
	}
	has := func(name string) bool { _, ok := place[name]; return ok }
	if has("dish") && !has("portions") && has("quantity") {
		place["portions"] = place["quantity"]
	}
	first := t.rows[0][0]
	switch {
	case has("dish") && has("item"):
		found = append(found, t.fault(first, "bad-header", "import deliveries and sales in separate files",
			"there are columns for an item and for a dish"))
	case has("dish") && has("portions"):
		f.Kind = Sold
	case has("item") && has("quantity"):
		f.Kind = Received
	case len(found) == 0:
		var heads []string
		for _, c := range t.rows[0] {
			heads = append(heads, c.text)
		}
		found = append(found, t.fault(first, "bad-header",
			"deliveries need columns item and quantity, sales dish and portions; further ones are date, time, unit, paid, "+
				"supplier, lot and service", "the columns %q are neither deliveries nor sales", strings.Join(heads, ",")))
	}
	return place, found
}

// rowReader reads rows.
type rowReader struct {
	*table
	k       *kitchen.Kitchen
	at, now time.Time
	place   map[string]int // of the columns that the file has
	row     []cell
	found   kitchen.Diagnostics
}

// field is a column's cell in the row, empty where the file has no such column or the row ends before it.
func (r *rowReader) field(name string) cell {
	i, ok := r.place[name]
	if !ok || i >= len(r.row) {
		return cell{pos: r.row[0].pos}
	}
	c := r.row[i]
	c.text = strings.TrimSpace(c.text)
	return c
}

func (r *rowReader) bad(c cell, id, hint, format string, args ...any) {
	r.found = append(r.found, r.fault(c, id, hint, format, args...))
}

// entry reads the row. All its faults are said.
func (r *rowReader) entry(kind Kind) (e Entry, ok bool) {
	before := len(r.found)
	e = Entry{Kind: kind}
	ends := 24*60 - 1
	if kind == Received {
		ends = 6 * 60
		r.delivery(&e)
	} else {
		if service := r.sale(&e); service >= 0 {
			e.At = r.moment(func(day time.Time) int { return r.k.HoursOn(day, service).To })
			return e, len(r.found) == before
		}
	}
	e.At = r.moment(func(time.Time) int { return ends })
	return e, len(r.found) == before
}

// delivery reads item, quantity, unit, paid, supplier and lot.
func (r *rowReader) delivery(e *Entry) {
	name, quantity := r.field("item"), r.field("quantity")
	item, _, err := r.k.ItemNamed(name.text, nil)
	if err != nil {
		r.found = append(r.found, r.misread(name, "unknown-item", err))
	}
	words := quantity.text
	if unit := r.field("unit").text; unit != "" {
		words += " " + unit
	}
	m, bad := r.k.MeasuredAs(item, words)
	switch {
	case err != nil:
		if _, bad = measure.Parse(words); bad != nil {
			r.found = append(r.found, r.misread(quantity, "bad-quantity", bad))
		}
	case bad != nil:
		r.found = append(r.found, r.misread(quantity, "bad-quantity", bad))
	case m.Base == 0:
		r.bad(quantity, "bad-quantity", "remove the row, or write how much came", "%q is zero", words)
	default:
		e.Gives = []Amount{amountOf(r.k, m)}
	}
	if paid := r.field("paid"); paid.text != "" {
		value, rest, err := measure.Number(paid.text)
		switch {
		case err != nil:
			r.found = append(r.found, r.misread(paid, "bad-money", err))
		case strings.TrimSpace(rest) != "" || value > mostMoney:
			r.bad(paid, "bad-money", "write it as 52.31, in the kitchen's currency", "%q is not a plain amount of money",
				paid.text)
		}
		e.Paid = &value
	}
	e.Supplier, e.Mark = r.field("supplier").text, r.field("lot").text
	e.Text = words + " " + name.text
	for _, c := range [][2]string{{" for ", r.field("paid").text}, {" from ", e.Supplier}, {" lot ", e.Mark}} {
		if c[1] != "" {
			e.Text += c[0] + c[1]
		}
	}
}

// sale reads dish, portions and service, and returns the service; -1 when none is named.
func (r *rowReader) sale(e *Entry) (service int) {
	name, portions := r.field("dish"), r.field("portions")
	if dish, _, err := r.k.DishNamed(name.text, nil); err != nil {
		r.found = append(r.found, r.misread(name, "unknown-dish", err))
	} else {
		e.Dish = r.k.Dishes[dish].Name
	}
	value, rest, err := measure.Number(portions.text)
	if e.Portions = int(value); err != nil || strings.TrimSpace(rest) != "" || float64(e.Portions) != value || value < 1 ||
		value > mostPortions {
		r.bad(portions, "bad-number", "write it as 42", "%q is not a whole number of portions", portions.text)
	}
	e.Text = portions.text + " " + name.text
	if service := r.field("service"); service.text != "" {
		e.Text += " at " + service.text
		n, err := r.k.ServiceNamed(service.text)
		if err != nil {
			r.found = append(r.found, r.misread(service, "unknown-service", err))
			return -1
		}
		e.Service = r.k.Services[n].Name
		return n
	}
	return -1
}

// moment reads date and time; without a time, it is as many minutes after midnight as usual says of the day.
func (r *rowReader) moment(usual func(day time.Time) int) time.Time {
	date, clock := r.field("date"), r.field("time")
	if date.text == "" {
		if clock.text != "" {
			r.bad(clock, "bad-date", "write the date too", "there is a time without a date")
		} else if _, dated := r.place["date"]; dated {
			r.bad(date, "bad-date", "write the date as 2026-11-24", "the row has no date")
		}
		return r.at
	}
	day, err := time.Parse(time.DateOnly, date.text)
	if err != nil {
		r.bad(date, "bad-date", "write the date as 2026-11-24", "%q is not a date", date.text)
		return r.at
	}
	minutes := usual(day)
	if clock.text != "" {
		if minutes, err = measure.ParseClock(clock.text); err != nil {
			r.found = append(r.found, r.misread(clock, "bad-date", err))
			return r.at
		}
	}
	at := day.Add(time.Duration(minutes) * time.Minute)
	if at.After(r.now) && clock.text == "" && !day.After(r.now) {
		at = r.now // of today, and not over yet
	}
	if at.After(r.now) {
		r.bad(date, "bad-date", "log what has happened; it is now "+r.now.Format(Minutes),
			"%s is in the future", at.Format(Minutes))
	}
	return at
}

// Minutes is how moments are written: 2026-11-24 14:05.
const Minutes = "2006-01-02 15:04"

// Fresh are the entries of a file whose rows were not taken over before; from names the files that had the others.
func (j *Book) Fresh(ctx context.Context, f *File) (fresh []Entry, from []string, err error) {
	places, from, err := freshRows(ctx, j.db, f)
	for _, n := range places {
		fresh = append(fresh, f.Entries[n])
	}
	return fresh, from, j.fault(err)
}

// freshRows are the places of rows that were not taken over before.
func freshRows(ctx context.Context, in asker, f *File) (places []int, from []string, err error) {
	var name string
	err = in.QueryRowContext(ctx, "SELECT name FROM file WHERE digest = ?", f.Digest).Scan(&name)
	if err == nil { // also of files from before rows were known
		return nil, []string{name}, nil
	}
	if !errors.Is(err, sql.ErrNoRows) {
		return nil, nil, err
	}
	known, err := in.PrepareContext(ctx, `SELECT f.name FROM file_row r JOIN entry e ON e.id = r.entry
		JOIN file f ON f.id = e.file WHERE r.digest = ?`)
	if err != nil {
		return nil, nil, err
	}
	defer func() { _ = known.Close() }()
	for n, row := range f.Rows {
		switch err := known.QueryRowContext(ctx, row[:]).Scan(&name); {
		case errors.Is(err, sql.ErrNoRows):
			places = append(places, n)
		case err != nil:
			return nil, nil, err
		case !slices.Contains(from, name):
			from = append(from, name)
		}
	}
	return places, from, nil
}

// asker is a database or a transaction.
type asker interface {
	QueryRowContext(context.Context, string, ...any) *sql.Row
	PrepareContext(context.Context, string) (*sql.Stmt, error)
}

// Import keeps the entries of a file, all of them or none. Rows that were taken over before add nothing: from names the
// files that had them.
func (j *Book) Import(ctx context.Context, f *File, now time.Time) (kept []Entry, from []string, err error) {
	err = j.write(ctx, func(tx *sql.Tx) error {
		var places []int
		places, from, err = freshRows(ctx, tx, f)
		if err != nil || len(places) == 0 {
			return err
		}
		done, err := tx.ExecContext(ctx, "INSERT INTO file (name, digest, written) VALUES (?, ?, ?)", f.Name, f.Digest,
			now.Unix())
		if err != nil {
			return err
		}
		id, err := done.LastInsertId()
		if err != nil {
			return err
		}
		entries := make([]Entry, len(places))
		for i, n := range places {
			entries[i] = f.Entries[n]
			entries[i].Written = now
		}
		if kept, err = appendTo(ctx, tx, entries, &id); err != nil {
			return err
		}
		row, err := tx.PrepareContext(ctx, "INSERT INTO file_row (digest, entry) VALUES (?, ?)")
		if err != nil {
			return err
		}
		defer func() { _ = row.Close() }()
		for i, n := range places {
			if _, err := row.ExecContext(ctx, f.Rows[n][:], kept[i].ID); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return nil, nil, err
	}
	return kept, from, nil
}
