package kitchen

// Faults in what the user wrote, with their places, and how they are printed.

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode"
)

// Pos is a place in a file: line and column count from 1, the column in runes. The zero Pos is no place.
type Pos struct {
	File string `json:"file,omitempty"`
	Line int    `json:"line"`
	Col  int    `json:"col"`
}

// String prints the place as editors read it: "kitchen.yaml:31:9". A Pos without a line is the file as a whole.
func (p Pos) String() string {
	if p.Line == 0 {
		return p.File
	}
	return fmt.Sprintf("%s:%d:%d", p.File, p.Line, p.Col)
}

// Severity tells a fault that stops the work from one that does not.
type Severity uint8

const (
	Error Severity = iota
	Warning
)

func (s Severity) String() string { return [...]string{"error", "warning"}[s] }

// Diagnostic is one fault.
type Diagnostic struct {
	Pos      Pos
	Len      int // runes to underline, at least 1 where there is an excerpt
	Severity Severity
	ID       string // stable; testdata/faults.txtar has each, such as "unknown-item"
	Msg      string // lower case, no full stop, names the thing in quotes
	Hint     string // what would be right, "" when there is nothing to add
	Excerpt  string // the line of the file as the user wrote it, "" when there is none
	Notes    []Note // other places that matter
}

// Note is another place that a Diagnostic speaks of.
type Note struct {
	Pos Pos
	Msg string
}

// String prints the fault over several lines, without a line end after the last:
//
//	kitchen.yaml:31:9: error: unknown item "flourr" [unknown-item]
//	  31 |   - 200 g flourr
//	     |           ^^^^^^
//	hint: did you mean "flour" (kitchen.yaml:4:3)?
func (d Diagnostic) String() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s: %s [%s]", d.Pos, d.Severity, d.Msg, d.ID)
	if d.Excerpt != "" {
		line, mark := excerpt(d.Excerpt, d.Pos.Col, d.Len)
		number := fmt.Sprintf("%4d", d.Pos.Line)
		fmt.Fprintf(&b, "\n%s | %s\n%*s | %s", number, line, len(number), "", mark)
	}
	for _, n := range d.Notes {
		fmt.Fprintf(&b, "\nnote: %s: %s", n.Pos, n.Msg)
	}
	if d.Hint != "" {
		fmt.Fprintf(&b, "\nhint: %s", d.Hint)
	}
	return b.String()
}

// excerpt lays out a line and the carets under it: tabs become spaces, what cannot be printed becomes a dot, and a long
// line is cut round the mark.
func excerpt(line string, col, length int) (text, mark string) {
	const (
		width  = 100 // runes that are shown
		before = 40  // of them left of the mark, when the line is cut
	)
	runes := []rune(line)
	col = min(col, len(runes)+1)
	start, end, left, right := 0, len(runes), "", ""
	if len(runes) > width {
		start = max(0, min(col-1-before, len(runes)-width))
		end = min(len(runes), start+width)
		if start > 0 {
			left = "..."
		}
		if end < len(runes) {
			right = "..."
		}
	}
	shown := slices.Clone(runes[start:end])
	for i, r := range shown {
		switch {
		case r == '\t':
			shown[i] = ' '
		case !unicode.IsPrint(r):
			shown[i] = '.'
		}
	}
	length = max(1, min(length, end-(col-1)))
	mark = strings.Repeat(" ", len(left)+col-1-start) + strings.Repeat("^", length)
	return left + string(shown) + right, mark
}

// Diagnostics is a list of faults, sorted by place. It is an error when any of them is one: see [Diagnostics.Err].
type Diagnostics []Diagnostic

// mostPrinted is the number of faults that are printed before the rest are only counted.
const mostPrinted = 50

// Error prints all faults, one after another; beyond the first fifty they are only counted.
func (ds Diagnostics) Error() string {
	var b strings.Builder
	for i, d := range ds {
		if i == mostPrinted {
			fmt.Fprintf(&b, "\nand %d more", len(ds)-mostPrinted)
			break
		}
		if i > 0 {
			b.WriteByte('\n')
		}
		b.WriteString(d.String())
	}
	return b.String()
}

// Err is ds as an error when a fault of severity Error is among them, else nil.
func (ds Diagnostics) Err() error {
	if slices.ContainsFunc(ds, func(d Diagnostic) bool { return d.Severity == Error }) {
		return ds
	}
	return nil
}

// With is faults with others, in order.
func (ds Diagnostics) With(others Diagnostics) Diagnostics { return slices.Concat(ds, others).sort() }

// sort orders faults by place, then by name and message, and drops those said twice.
func (ds Diagnostics) sort() Diagnostics {
	slices.SortStableFunc(ds, func(a, b Diagnostic) int {
		return cmp.Or(cmp.Compare(a.Pos.Line, b.Pos.Line), cmp.Compare(a.Pos.Col, b.Pos.Col),
			cmp.Compare(a.ID, b.ID), cmp.Compare(a.Msg, b.Msg))
	})
	return slices.CompactFunc(ds, func(a, b Diagnostic) bool {
		return a.Pos == b.Pos && a.ID == b.ID &&
			a.Msg == b.Msg
	})
}
