package show

// Two trees: what an item comes from, and what comes of it.

import (
	"strings"

	"kettletree/graph/measure"
	"kettletree/menu/ask"
)

// Trace lays both trees out.
func Trace(p Page, a *ask.Lineage) string {
	var b strings.Builder
	one, what := "1 "+a.Unit, capital(a.Item)+" is "+a.Kind+", counted in "+a.Unit+"."
	if a.Kind == "dish" || a.Kind == "special" {
		one, what = "one portion", capital(a.Item)+" is a "+a.Kind+"."
	}
	b.WriteString(p.text(0, what))
	if len(a.From) > 0 {
		b.WriteString("\n" + p.heading("What "+one+" comes from") + p.tree(a.From))
		b.WriteString(p.text(0, "The share beside an item is its part of the bill of what takes it; beside a step, "+
			"its part of what is made of the item."))
	}
	if len(a.Into) > 0 {
		when := "by the batch"
		if a.Week {
			when = "over the period"
		}
		b.WriteString("\n" + p.heading("What comes of it, "+when) + p.tree(a.Into))
		b.WriteString(p.text(0, "The share beside a step or dish is its part of all there is of the item; beside "+
			"an item, the part of the step's bill that it bears."))
	}
	return b.String()
}

// twig is a line of a drawn tree.
type twig struct {
	branch, under string // what is drawn before the name, and on the lines below it
	*ask.TraceLine
}

// name is the line's name with its notes.
func (t twig) name(p Page) string {
	var notes []string
	if t.Again {
		notes = append(notes, p.said("as above"))
	}
	for _, note := range t.Notes {
		notes = append(notes, p.said(note))
	}
	if len(notes) > 0 {
		return p.said(t.Name) + " (" + strings.Join(notes, ", ") + ")"
	}
	return p.said(t.Name)
}

// share is empty where there is none.
func (t twig) share() string {
	if t.Share == nil {
		return ""
	}
	return percent(*t.Share)
}

// branches are what a tree is drawn with: where one branches off, the last of them, and what goes on beside it.
func (p Page) branches() (fork, last, down string) {
	if p.Plain {
		return "|- ", "`- ", "|  "
	}
	return "├─ ", "└─ ", "│  "
}

// twigs draws the tree before the names.
func (p Page) twigs(before string, lines []*ask.TraceLine) (list []twig) {
	fork, last, down := p.branches()
	for i, l := range lines {
		t := twig{before + fork, before + down, l}
		if i == len(lines)-1 {
			t = twig{before + last, before + "   ", l}
		}
		list = append(list, t)
		list = append(list, p.twigs(t.under, l.Lines)...)
	}
	return list
}

// tree is drawn with its figures in columns where there is room, else with the figures behind the names.
func (p Page) tree(lines []*ask.TraceLine) string {
	list := p.twigs("", lines)
	first, second := 0, 0
	const share = 6 // "100.0%"
	for _, t := range list {
		first = max(first, width(t.branch+t.name(p)))
		second = max(second, width(p.said(behindOne(t.Amount, t.Unit))))
	}
	columns := first+gap+second+gap+share <= p.Width
	var b strings.Builder
	for _, t := range list {
		if columns {
			line := pad(t.branch+t.name(p), first+gap, false) + pad(p.said(behindOne(t.Amount, t.Unit)), second, true) +
				pad(t.share(), gap+share, true)
			b.WriteString(strings.TrimRight(line, " ") + "\n")
			continue
		}
		text := t.name(p) + ", " + p.said(behindOne(t.Amount, t.Unit))
		if t.Share != nil {
			text += ", " + t.share()
		}
		for i, line := range wrap(text, max(p.Width-width(t.branch), leastWidth)) {
			b.WriteString([]string{t.branch, t.under}[min(i, 1)] + line + "\n")
		}
	}
	return b.String()
}

// TraceSheet has a row for each line of both trees.
func TraceSheet(a *ask.Lineage) (s Sheet) {
	s.add("direction", "depth", "name", "kind", "amount", "unit", "share", "again", "notes")
	var rows func(direction string, depth int, lines []*ask.TraceLine)
	rows = func(direction string, depth int, lines []*ask.TraceLine) {
		for _, l := range lines {
			s.add(direction, depth, l.Name, l.Kind, l.Amount, l.Unit, l.Share, l.Again, strings.Join(l.Notes, "; "))
			rows(direction, depth+1, l.Lines)
		}
	}
	rows("from", 0, a.From)
	rows("into", 0, a.Into)
	return s
}

// behindOne is so much of an item as there is behind one thing: what is counted with the figures behind it, for it is a part of one.
func behindOne(x float64, unit string) string {
	if unit == measure.Each.Name {
		return written(x, unit)
	}
	return amount(x, unit)
}
