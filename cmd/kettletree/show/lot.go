package show

// The lineage of a lot.

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"kettletree/menu/logbook"
)

// mostRows bounds what is shown of a long list on a page; a sheet has it all.
const mostRows = 40

// Lot lays a lot's lineage out: the two trees, what was sold, and the balance of every lot.
func Lot(p Page, a *logbook.LotTrace) string {
	var b strings.Builder
	asked := len(a.Lots) > 0 && a.Lots[0].Side == "asked"
	what := "Entry"
	if asked {
		what = "Lot"
	}
	b.WriteString(p.text(0, fmt.Sprintf("%s %s, by %s as of %s.", what, a.Asked, a.LogBook, whenOf(a.AsOf))))
	if lines := drawn(a.From); len(lines) > 0 {
		b.WriteString("\n" + p.heading("What it came from") + p.lotTree(a.From))
	}
	if lines := drawn(a.Into); len(lines) > 0 {
		b.WriteString("\n" + p.heading("Where it went") + p.lotTree(a.Into))
	} else if asked {
		b.WriteString("\n" + p.text(0, "None of it was taken."))
	}
	if a.Cut {
		b.WriteString(p.text(0, fmt.Sprintf("The trees go on; --csv lists all %s.", plural(len(a.Moves), "movement",
			"movements"))))
	}
	if len(a.Sales) > 0 {
		t := &table{columns: append(numbers("no."), words("sold", "dish", "how")...)}
		for _, s := range a.Sales[:min(len(a.Sales), mostRows)] {
			dish := fmt.Sprintf("%d %s", s.Portions, s.Dish)
			if s.Service != "" {
				dish += " at " + s.Service
			}
			t.add(strconv.FormatInt(s.Entry, 10), whenOf(s.At), dish, s.How)
		}
		b.WriteString("\n" + t.under(p, "Sales it reached") + p.further(len(a.Sales)))
	}
	if len(a.Lots) > 0 {
		b.WriteString("\n" + lotBalance(a).under(p, "Balance of the lots: what came in is what went out and what is left over") + p.further(len(a.Lots)))
	}
	if dates := lotDates(a); len(dates.rows) > 0 {
		b.WriteString("\n" + dates.under(p, "Dates of the lots made here, by the kitchen file and the food code"))
	}
	for n, note := range a.Notes {
		if n == 0 {
			b.WriteString("\n")
		}
		b.WriteString(p.text(0, note))
	}
	b.WriteString("\n" + p.text(0, "This is what was logged; it does not say that food is safe. What to hold back or call back "+
		"is for your local code and the authorities to say."))
	return b.String()
}

func (p Page) further(n int) string {
	if n <= mostRows {
		return ""
	}
	return p.text(0, fmt.Sprintf("And %d more; --json and --csv list them.", n-mostRows))
}

// lotBalance has a row for each lot, in the unit of its item, with those columns that say something.
func lotBalance(a *logbook.LotTrace) *table {
	lots := a.Lots[:min(len(a.Lots), mostRows)]
	figures := []struct {
		head string
		of   func(l logbook.TracedLot) float64
	}{
		{"came", func(l logbook.TracedLot) float64 { return l.In }},
		{"cooked", func(l logbook.TracedLot) float64 { return l.Cooked }},
		{"sold", func(l logbook.TracedLot) float64 { return l.Sold }},
		{"binned", func(l logbook.TracedLot) float64 { return l.Binned }},
		{"missing", func(l logbook.TracedLot) float64 { return l.Off }},
		{"left over", func(l logbook.TracedLot) float64 { return l.Left }},
	}
	t := &table{columns: words("lot")}
	for n := 0; n < len(figures); {
		if !slices.ContainsFunc(lots, func(l logbook.TracedLot) bool { return figures[n].of(l) != 0 }) {
			figures = slices.Delete(figures, n, n+1)
			continue
		}
		t.columns = append(t.columns, numbers(figures[n].head)...)
		n++
	}
	t.columns = append(t.columns, words("")...)
	side := ""
	for _, l := range lots {
		if l.Side != side {
			side = l.Side
			t.heading(map[string]string{"asked": "Asked about", "from": "Came from", "into": "Went into"}[side])
		}
		cells := []string{l.Item + " " + l.Lot}
		for _, f := range figures {
			cell := ""
			if v := f.of(l); v != 0 {
				cell = written(v, l.Unit)
			}
			cells = append(cells, cell)
		}
		t.add(append(cells, l.How)...)
	}
	return t
}

// lotDates has a row for each lot that is to be used by some day.
func lotDates(a *logbook.LotTrace) *table {
	t := &table{columns: words("lot", "day 1", "use by")}
	date := func(d *string) string {
		if d == nil {
			return ""
		}
		return weekday(*d)
	}
	for _, l := range a.Lots[:min(len(a.Lots), mostRows)] {
		if l.DayOne != nil || l.UseBy != nil {
			of := ofWhat(l.From)
			if l.Guess {
				of += "; " + presumed
			}
			t.add(l.Item+" "+l.Lot, date(l.DayOne)+of, date(l.UseBy))
		}
	}
	return t
}

// drawn are the lines below the roots of a tree.
func drawn(roots []*logbook.LotLine) (lines []*logbook.LotLine) {
	for _, r := range roots {
		lines = append(lines, r.Lines...)
	}
	return lines
}

// lotTree draws the roots at the margin, and what stands below them indented.
func (p Page) lotTree(roots []*logbook.LotLine) string {
	fork, last, down := p.branches()
	var b strings.Builder
	var draw func(branch, under string, l *logbook.LotLine)
	draw = func(branch, under string, l *logbook.LotLine) {
		text := p.said(l.Name)
		for _, more := range []string{l.Amount, l.How} {
			if more != "" {
				text += ", " + p.said(more)
			}
		}
		if l.Again {
			text += " (" + p.said("as above") + ")"
		}
		for n, line := range wrap(text, max(p.Width-width(branch), leastWidth)) {
			b.WriteString([]string{branch, under}[min(n, 1)] + line + "\n")
		}
		for n, child := range l.Lines {
			if n == len(l.Lines)-1 {
				draw(under+last, under+"   ", child)
			} else {
				draw(under+fork, under+down, child)
			}
		}
	}
	for _, r := range roots {
		draw("", "", r)
	}
	return b.String()
}

// LotSheet has a row for each movement, backwards first, with what 21 CFR 1.1345 (FSMA 204) wants of what a kitchen
// receives and Codex CXG 60-2006 of every stage: one step back, one step on. Columns: see [logbook.TracedMove].
func LotSheet(a *logbook.LotTrace) (s Sheet) {
	s.add("direction", "how", "from-lot", "to-lot", "item", "amount", "unit", "when", "entry", "kind", "went-to",
		"service", "portions", "who", "where", "document", "text")
	for _, m := range a.Moves {
		s.add(m.Direction, m.How, m.FromLot, m.ToLot, m.Item, m.Amount, m.Unit, m.At, int(m.Entry), string(m.Kind), m.WentTo,
			m.Service, some(m.Portions), m.Who, m.Where, m.Document, m.Text)
	}
	return s
}
