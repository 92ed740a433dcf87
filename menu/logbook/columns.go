package logbook

// The columns of a file that is taken over, matched by header.

import (
	"regexp"
	"slices"
	"strings"

	"kettletree/graph/measure"
)

type column struct {
	name  string
	heads []string
}

// columns are what may stand in a file, with the headers by which each is known.
var columns = []column{
	{"date", []string{"date", "day", "delivered", "delivery date", "invoice date", "business date"}},
	{"time", []string{"time"}},
	{"item", []string{"item", "product", "article", "goods", "description", "item name"}},
	{"quantity", []string{"quantity", "qty", "amount", "weight"}},
	{"unit", []string{"unit", "units", "uom"}},
	{"paid", []string{"paid", "total", "line total", "sum"}},
	{"supplier", []string{"supplier", "vendor", "from"}},
	{"lot", []string{"lot", "lot mark", "lot number", "batch"}},
	{"dish", []string{"dish", "menu item", "plate", "dish name"}},
	{"portions", []string{"portions", "sold", "qty sold", "quantity sold"}},
	{"service", []string{"service", "meal"}},
	{"packs", []string{"packs", "cases", "boxes", "number of packs"}},
	{"pack size", []string{"pack size", "size", "per pack", "case size"}},
	{"counted", []string{"counted", "count"}},
}

// firstColumns are those of which every row has its say in a digest; the others have it only where they say something, so that rows
// that were taken over before there were such columns are known again.
const firstColumns = 11

// header is the row with the names of the columns, and what was found of them.
type header struct {
	row   row
	place map[string]int    // of the columns that the file has
	units map[string]string // that stand in a header: "Weight (kg)"
	width int
	kind  Kind
	twice [][2]cell // headers that mean the same column
}

// inBrackets is a header with its unit: "Weight (kg)".
var inBrackets = regexp.MustCompile(`^(.+?) ?[(\[] ?(.+?) ?[)\]]$`)

// match finds the columns that a row names.
func match(r row) header {
	h := header{row: r, place: map[string]int{}, units: map[string]string{}}
	for _, c := range r.cells {
		if c.text == "" {
			continue
		}
		h.width = c.at + 1
		text, unit := c.text, ""
		if m := inBrackets.FindStringSubmatch(text); m != nil {
			if _, err := measure.UnitNamed(m[2]); err == nil {
				text, unit = m[1], m[2]
			}
		}
		name := columnOf(text)
		if name == "" {
			continue
		}
		if before, twice := h.place[name]; twice {
			h.twice = append(h.twice, [2]cell{r.at(before), c})
			continue
		}
		h.place[name] = c.at
		if unit != "" {
			h.units[name] = unit
		}
	}
	switch has := h.has; {
	case has("dish") != has("item") && has("portions") && !has("counted"), has("dish") && has("quantity") && !has("item"):
		h.kind = Sold
	case has("item") && has("counted") && !has("dish"):
		h.kind = Counted
	case has("item") && (has("quantity") || has("packs") && has("pack size")) && !has("dish"):
		h.kind = Received
	}
	return h
}

// columnOf is the column that a header names; "" for none.
func columnOf(text string) string {
	words := strings.Join(strings.FieldsFunc(strings.ToLower(text), func(r rune) bool {
		return strings.ContainsRune(" _-.", r)
	}), " ")
	for _, c := range columns {
		if slices.Contains(c.heads, words) {
			return c.name
		}
	}
	return ""
}

func (h *header) has(name string) bool { _, ok := h.place[name]; return ok }

// used are the columns that a kind of file is read from.
var used = map[Kind][]string{
	Received: {"date", "time", "item", "quantity", "unit", "paid", "supplier", "lot", "packs", "pack size"},
	Sold:     {"date", "time", "dish", "portions", "service"},
	Counted:  {"date", "time", "item", "counted", "unit"},
}
