package takeover

// The columns of a spreadsheet, by their headers or by what was said of them.

import (
	"cmp"
	"encoding/csv"
	"fmt"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
)

// Kind is what a file is taken over as; kept columns are of one.
type Kind string

// What is taken over.
const (
	OfRecipes Kind = "recipes"
	OfPrices  Kind = "prices"
)

// column is a column with the headers by which it is known, in English, Spanish, German and Chinese.
type column struct {
	name  string
	heads []string
}

var columns = map[Kind][]column{
	OfRecipes: {
		{"dish", []string{"dish", "recipe", "recipe name", "dish name", "menu item", "plate", "plato", "receta", "gericht", "rezept", "菜名", "菜品"}},
		{"ingredient", []string{"ingredient", "ingredients", "item", "product", "article", "goods", "description", "ingrediente", "ingredientes", "producto",
			"zutat", "zutaten", "artikel", "食材", "原料"}},
		{"amount", []string{"amount", "quantity", "qty", "weight", "how much", "cantidad", "cant", "menge", "用量", "数量"}},
		{"unit", []string{"unit", "units", "uom", "measure", "unidad", "ud", "einheit", "单位"}},
		{"portions", []string{"portions", "serves", "servings", "covers", "porciones", "raciones", "portionen", "份数"}},
		{"yield", []string{"yield", "makes", "batch size", "batch yield", "rinde", "rendimiento", "ergibt", "产量"}},
		{"price", []string{"menu price", "selling price", "price", "sells for", "precio", "preis", "售价"}},
	},
	OfPrices: {
		{"item", []string{"item", "ingredient", "product", "article", "goods", "description", "item name", "product name", "producto", "artículo", "descripción",
			"artikel", "bezeichnung", "ware", "品名", "商品"}},
		{"price", []string{"price", "cost", "unit price", "net price", "new price", "list price", "precio", "precio neto", "preis", "ek", "nettopreis", "单价", "价格"}},
		{"unit", []string{"unit", "units", "uom", "per", "price per", "unidad", "ud", "einheit", "单位"}},
		{"pack", []string{"pack", "pack size", "size", "case size", "per pack", "packing", "formato", "gebinde", "inhalt", "规格"}},
		{"supplier", []string{"supplier", "vendor", "from", "proveedor", "lieferant", "供应商"}},
	},
}

// needed are the columns without which nothing can be read.
var needed = map[Kind][]string{OfRecipes: {"ingredient"}, OfPrices: {"item", "price"}}

// Column is what was said of a column: that a header means it.
type Column struct {
	Kind   Kind
	Name   string // "ingredient"
	Header string // "Zutat (roh)"
}

// Columns are kept beside the kitchen file, in a file that people can read and change: see [ColumnsPath].
type Columns []Column

// ColumnsPath is where they are kept: kitchen.columns beside kitchen.yaml.
func ColumnsPath(kitchenFile string) string {
	return strings.TrimSuffix(kitchenFile, filepath.Ext(kitchenFile)) + ".columns"
}

// columnsHeader is the first line of the file.
const columnsHeader = "of,column,header"

// CSV is the file.
func (c Columns) CSV() []byte {
	var b strings.Builder
	b.WriteString(columnsHeader + "\n")
	w := csv.NewWriter(&b)
	for _, one := range c {
		_ = w.Write([]string{string(one.Kind), one.Name, kitchen.Guarded(one.Header)}) // a builder takes all
	}
	w.Flush()
	return []byte(b.String())
}

// ReadColumns reads what was kept.
func ReadColumns(name string, src []byte) (list Columns, found kitchen.Diagnostics) {
	grids, found := logbook.Grids(name, src, func(texts []string) int { // commas part it, whatever stands in a header
		if len(texts) == 3 && strings.Join(texts, ",") == columnsHeader {
			return 3
		}
		return 0
	})
	if found != nil {
		return nil, found
	}
	g := grids[0]
	for n, r := range g.Rows {
		of, name, header := r.Text(0), r.Text(1), r.Text(2)
		switch {
		case n == 0 && of+","+name+","+header == columnsHeader:
		case n == 0:
			return nil, kitchen.Diagnostics{g.Fault(r, 0, "bad-header", "write "+columnsHeader+" in the first line", "the first line does not name the columns")}
		case columns[Kind(of)] == nil:
			found = append(found, g.Fault(r, 0, "unknown-word", "write recipes or prices", "%q is neither recipes nor prices", of))
		case !slices.ContainsFunc(columns[Kind(of)], func(c column) bool { return c.name == name }):
			found = append(found, g.Fault(r, 1, "unknown-word", "write one of "+strings.Join(ColumnNames(Kind(of)), ", "), "%q is no column of %s", name, of))
		case header == "":
			found = append(found, g.Fault(r, 2, "bad-row", "write the header that means it", "no header is named"))
		default:
			list = list.With(Column{Kind(of), name, header})
		}
	}
	if found != nil {
		return nil, found
	}
	return list, nil
}

// ColumnNames are the columns that a file of a kind can have.
func ColumnNames(kind Kind) (names []string) {
	for _, c := range columns[kind] {
		names = append(names, c.name)
	}
	return names
}

// With adds what was said of a column, in the place of what was said of it or of its header before.
func (c Columns) With(said Column) Columns {
	c = slices.DeleteFunc(slices.Clone(c), func(o Column) bool {
		return o.Kind == said.Kind && (o.Name == said.Name && headed(o.Header) == headed(said.Header) || headed(o.Header) == headed(said.Header))
	})
	return append(c, said)
}

// Said reads "price=EK netto, item=Bezeichnung". A comma that no column's name follows belongs to the header.
func Said(kind Kind, text string) (list Columns, err error) {
	for _, part := range saidParts(kind, text) {
		name, header, ok := strings.Cut(part, "=")
		name, header = strings.TrimSpace(name), strings.TrimSpace(header)
		if !ok || header == "" || !slices.Contains(ColumnNames(kind), name) {
			return nil, &measure.Error{Msg: fmt.Sprintf("%q does not say which header means which column", strings.TrimSpace(part)),
				Hint: fmt.Sprintf("write COLUMN=HEADER, with a column of %s", strings.Join(ColumnNames(kind), ", "))}
		}
		list = list.With(Column{kind, name, header})
	}
	return list, nil
}

// saidParts cuts at the commas behind which a column is named.
func saidParts(kind Kind, text string) (parts []string) {
	for part := range strings.SplitSeq(text, ",") {
		name, _, ok := strings.Cut(part, "=")
		if names := ok && slices.Contains(ColumnNames(kind), strings.TrimSpace(name)); len(parts) == 0 || names || ok && !strings.Contains(strings.TrimSpace(name), " ") {
			parts = append(parts, part) // a word that is no column is named as one
			continue
		}
		parts[len(parts)-1] += "," + part
	}
	return parts
}

// headed is a header for comparing: without capitals and marks.
func headed(text string) string {
	return strings.Join(strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return strings.ContainsRune(" _-.:*#\n", r) }), " ")
}

// inBrackets is a header with its unit: "Amount (kg)", "price / kg".
var inBrackets = regexp.MustCompile(`^(.+?) ?(?:[(\[] ?(?:per |/ ?)?(.+?) ?[)\]]|(?:/| per ) ?(.+))$`)

// longestHeader is more letters than any header has that names a column.
const longestHeader = 80

// placed is what stands in a cell that is not blank.
type placed struct {
	at     int // its column
	text   string
	number bool // a workbook keeps it as a number
}

// cellsOf are the cells of a row that say something, from the left. A row can say one thing in its last column, of thousands.
func cellsOf(r logbook.GridRow) (list []placed) {
	for at, text := range r.Texts() {
		list = append(list, placed{at, text, r.IsNumber(at)})
	}
	return list
}

// heading is a row that names columns.
type heading struct {
	at    map[string]int // of the columns that are there
	units map[string]string
	cells []placed // all headers, as they stand
}

// heads knows which header means which column.
type heads struct {
	known map[string]string // by header
	said  map[string]string // the same, of what was said: it goes before
}

func headsOf(kind Kind, said Columns) *heads {
	h := &heads{map[string]string{}, map[string]string{}}
	for _, c := range columns[kind] {
		for _, head := range c.heads {
			h.known[headed(head)] = c.name
		}
	}
	for _, c := range said {
		if c.Kind == kind {
			h.said[headed(c.Header)] = c.Name
		}
	}
	return h
}

func (h *heads) find(text string) string {
	key := headed(text)
	return cmp.Or(h.said[key], h.known[key])
}

// heading finds the columns that a row names.
func (h *heads) heading(cells []placed) heading {
	row := heading{cells: cells}
	taken := map[string]bool{} // what was said of a column goes before what its header sounds like
	for _, c := range cells {
		if name := h.said[headed(c.text)]; len(c.text) <= longestHeader && name != "" {
			taken[name] = true
		}
	}
	for _, c := range cells {
		if len(c.text) > longestHeader {
			continue
		}
		name, unit := h.find(c.text), ""
		if name == "" && strings.ContainsAny(c.text, "([/ ") {
			if m := inBrackets.FindStringSubmatch(c.text); m != nil {
				unit = m[2] + m[3]
				if _, err := measure.UnitNamed(tradeUnit(unit)); err == nil {
					name = h.find(m[1])
				}
			}
		}
		ours := name != "" && h.said[headed(c.text)] == name
		if _, twice := row.at[name]; name == "" || twice && !ours || taken[name] && !ours {
			continue
		}
		if row.at == nil {
			row.at, row.units = map[string]int{}, map[string]string{}
		}
		row.at[name] = c.at
		if unit != "" {
			row.units[name] = tradeUnit(unit)
		}
	}
	return row
}

// header is what stands above a column.
func (h heading) header(name string) string {
	for _, c := range h.cells {
		if at, ok := h.at[name]; ok && c.at == at {
			return c.text
		}
	}
	return ""
}

// note adds to what is known of how columns are read, and of those that are not.
func (h heading) note(kind Kind, read, unread []string) (_, _ []string) {
	for _, c := range columns[kind] {
		if header := h.header(c.name); header != "" && !slices.Contains(read, c.name+": "+header) {
			read = append(read, c.name+": "+header)
		}
	}
	for _, header := range h.unknown() {
		if !slices.Contains(unread, header) && len(unread) < 12 {
			unread = append(unread, header)
		}
	}
	return read, unread
}

// lacks are the columns that are needed and not there.
func (h heading) lacks(kind Kind) (names []string) {
	for _, name := range needed[kind] {
		if _, ok := h.at[name]; !ok {
			names = append(names, name)
		}
	}
	return names
}

// unknown are the headers of which nobody knows what they mean.
func (h heading) unknown() (texts []string) {
	known := map[int]bool{}
	for _, at := range h.at {
		known[at] = true
	}
	for _, c := range h.cells {
		if !known[c.at] {
			texts = append(texts, c.text)
		}
	}
	return texts
}

// text is what a row has in a column; "" where there is no such column.
func (h heading) text(r logbook.GridRow, name string) string {
	at, ok := h.at[name]
	switch {
	case ok:
		return r.Text(at)
	case name == "unit":
		return h.besideAmount(r)
	}
	return ""
}

// besideAmount is the unit that stands right of an amount in a column without a header, where no column is of units; "" for none.
func (h heading) besideAmount(r logbook.GridRow) string {
	at, ok := h.at["amount"]
	if !ok || slices.ContainsFunc(h.cells, func(c placed) bool { return c.at == at+1 }) {
		return ""
	}
	text := r.Text(at + 1)
	if _, err := measure.UnitNamed(tradeUnit(text)); err != nil {
		return ""
	}
	return text
}

// uncounted tells whether what a row has in a column is a formula without its result.
func (h heading) uncounted(r logbook.GridRow, name string) bool {
	at, ok := h.at[name]
	return ok && r.Uncounted(at)
}

// isNumber tells whether a workbook keeps what a row has in a column as a number.
func (h heading) isNumber(r logbook.GridRow, name string) bool {
	at, ok := h.at[name]
	return ok && r.IsNumber(at)
}

// named tells how many columns a row names, whatever it is taken over as: it tells what parts the fields of a text.
func (h *heads) named(texts []string) int {
	var cells []placed
	for n, t := range texts {
		if t != "" {
			cells = append(cells, placed{at: n, text: t})
		}
	}
	return len(h.heading(cells).at)
}

// Asks says which columns are to be told: those that are needed, and the headers that the file has.
type Asks struct {
	Kind    Kind
	Columns []string
	Headers []string
}

func (a *Asks) Error() string {
	return fmt.Sprintf("which column has the %s? The first row that could name them has: %s", measure.FormatList(a.Columns), strings.Join(a.Headers, ", "))
}

// Hint is how it is said.
func (a *Asks) Hint() string {
	return fmt.Sprintf(`say it once with --columns "%s=%s"; it is kept for the next list`, a.Columns[0], a.Headers[0])
}
