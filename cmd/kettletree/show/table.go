package show

// Tables that fit the page: columns where there is room, else one block a row.

import (
	"slices"
	"strings"

	"kettletree/menu/kitchen"
)

// gap is the space between columns.
const gap = 2

// column is a column of a table. Numbers stand on the right and are never wrapped; text may be.
type column struct {
	head   string
	number bool
}

// row is a line of cells, or a text over all columns.
type row struct {
	cells   []string
	text    string
	heading bool   // text opens a group, whose rows are indented below it
	says    string // the cells as a sentence, where the row is a block; "" for one after another with the heads of their columns
}

// table is laid out by [table.on].
type table struct {
	columns []column
	name    int  // the column that names the row
	over    bool // what stands over that column is said where each row is a block, too
	rows    []row
}

func (t *table) add(cells ...string) { t.rows = append(t.rows, row{cells: cells}) }

// saying has the cells of the last row said in a sentence where it is a block.
func (t *table) saying(text string) { t.rows[len(t.rows)-1].says = text }

func (t *table) heading(text string) { t.rows = append(t.rows, row{text: text, heading: true}) }

func (t *table) remark(text string) { t.rows = append(t.rows, row{text: text}) }

func (t *table) grouped() bool {
	return slices.ContainsFunc(t.rows, func(r row) bool { return r.heading })
}

func words(heads ...string) []column { return columns(false, heads) }

func numbers(heads ...string) []column { return columns(true, heads) }

func columns(number bool, heads []string) (list []column) {
	for _, h := range heads {
		list = append(list, column{h, number})
	}
	return list
}

// under lays the table out below a title, as one group where it stands as blocks.
func (t *table) under(p Page, title string) string {
	if !p.Blocks {
		return p.heading(title) + t.on(p)
	}
	in := *t
	in.rows = append([]row{{text: title, heading: true}}, t.rows...)
	return in.on(p)
}

// on lays the table out; nothing when it has no rows.
func (t *table) on(p Page) string {
	if len(t.rows) == 0 {
		return ""
	}
	head := t.columns[t.name].head
	t = t.said(p)
	indent := 0
	over := t.over && p.Blocks
	if t.grouped() || over {
		indent = 2
	}
	if widths := t.widths(p.Width - indent); widths != nil && !p.Blocks {
		return t.aligned(p, widths, indent)
	}
	if over {
		return p.heading(head) + t.stacked(p, indent)
	}
	return t.stacked(p, indent)
}

// said is the table with its heads and cells in the language of the page. What stands over all columns is said where it is laid out.
func (t *table) said(p Page) *table {
	if p.Say == nil {
		return t
	}
	in := &table{name: t.name, over: t.over}
	for _, c := range t.columns {
		in.columns = append(in.columns, column{p.said(c.head), c.number})
	}
	for _, r := range t.rows {
		cells := slices.Clone(r.cells)
		for n, c := range cells {
			cells[n] = p.said(c)
		}
		in.rows = append(in.rows, row{cells, r.text, r.heading, r.says})
	}
	return in
}

// widths are the widths of the columns within room; nil when they do not fit.
func (t *table) widths(room int) []int {
	const narrowest = 16 // a column of text is not wrapped to less
	widths := make([]int, len(t.columns))
	total := gap * (len(t.columns) - 1)
	for c, col := range t.columns {
		widths[c] = width(col.head)
		for _, r := range t.rows {
			if r.cells != nil {
				widths[c] = max(widths[c], width(r.cells[c]))
			}
		}
		total += widths[c]
	}
	for total > room {
		widest := -1
		for c, col := range t.columns {
			if !col.number && widths[c] > narrowest && (widest < 0 || widths[c] > widths[widest]) {
				widest = c
			}
		}
		if widest < 0 {
			return nil
		}
		widths[widest]--
		total--
	}
	return widths
}

// aligned is the table in columns.
func (t *table) aligned(p Page, widths []int, indent int) string {
	var b strings.Builder
	line := func(style func(string) string, cells func(c int) string) {
		var wrapped [][]string
		tall := 1
		for c := range t.columns {
			lines := wrap(cells(c), max(widths[c], 1))
			wrapped, tall = append(wrapped, lines), max(tall, len(lines))
		}
		for n := range tall {
			var l strings.Builder
			for c, col := range t.columns {
				cell := ""
				if n < len(wrapped[c]) {
					cell = wrapped[c][n]
				}
				if c > 0 {
					l.WriteString(strings.Repeat(" ", gap))
				}
				l.WriteString(pad(cell, widths[c], col.number))
			}
			b.WriteString(strings.Repeat(" ", indent) + style(strings.TrimRight(l.String(), " ")) + "\n")
		}
	}
	if slices.ContainsFunc(t.columns, func(c column) bool { return c.head != "" }) {
		line(p.dim, func(c int) string { return t.columns[c].head })
	}
	for _, r := range t.rows {
		switch {
		case r.heading:
			b.WriteString(p.heading(r.text))
		case r.cells == nil:
			b.WriteString(p.text(indent+2, r.text))
		default:
			line(func(s string) string { return s }, func(c int) string { return r.cells[c] })
		}
	}
	return b.String()
}

// heading is a line that opens a group.
func (p Page) heading(s string) string {
	var b strings.Builder
	for _, line := range wrap(p.said(s), p.room(0)) {
		b.WriteString(p.bold(line) + "\n")
	}
	return b.String()
}

// stacked is the table as one block a row: the row's name, and under it what stands in the other columns.
func (t *table) stacked(p Page, indent int) string {
	var b strings.Builder
	for _, r := range t.rows {
		if r.heading {
			b.WriteString(p.heading(r.text))
			continue
		}
		if r.cells == nil {
			b.WriteString(p.text(indent+2, r.text))
			continue
		}
		b.WriteString(p.lines(indent, r.cells[t.name]))
		if p.Blocks && r.says != "" {
			b.WriteString(p.text(indent+2, r.says))
			continue
		}
		var figures []string
		for c, col := range t.columns {
			switch cell := r.cells[c]; {
			case c == t.name || cell == "":
			case cell == p.Voice.Stated(kitchen.Stated{}): // it says itself what it is of
				figures = append(figures, cell)
			case p.Beside != nil && col.head != "":
				figures = append(figures, p.Beside(col.head, cell))
			default:
				figures = append(figures, strings.TrimSpace(col.head+" "+cell))
			}
		}
		if len(figures) > 0 {
			between := ", "
			if p.Blocks {
				between = " · "
			}
			b.WriteString(p.lines(indent+2, strings.Join(figures, between)))
		}
	}
	return b.String()
}
