package draw

// Where boxes and lines go. The columns are found first (rank.go). A line that goes on past the next column passes
// through a place of its own in each column between, so every step of every line leads from one column to the next.
// Graphviz then puts the places of each column in order, so that few lines cross, and says about how high each should
// be; columns.go makes them fit the sheet.
//
// The amounts on the lines stand beside the step that the lines go into or come out of. Their room is part of the box,
// so nothing runs across them. A line has a slot of its own at its box: slots are ordered by where their lines go, so they
// don't cross.

import (
	"bytes"
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
)

// What is laid out in one picture. Within these bounds a layout takes a second or two at most on a machine of two
// cores; ten times as much would take minutes.
const (
	MaxSize  = 2000  // nodes and edges
	MaxReach = 10000 // columns that the edges cross, all added up: a line across many costs as much as many short ones

	carefulSize  = 400 // up to here the layout is worked out to the end, beyond it stops at good enough
	carefulReach = 2000
)

type point struct{ x, y float64 }

// line is an edge with its way: the start, then three points for each Bézier curve.
type line struct {
	edge     *Edge
	from, to int // boxes
	label    string
	ahead    bool  // its end stands right of its start; while columns are sought: has to stand there
	passes   []int // places between its ends, from start to end; one that leads back goes round both of them
	way      []point
	slotFrom float64 // how far below the middle of the box the line leaves it
	slotTo   float64
}

// spot is where something stands in a column: a box, or a line that passes through.
type spot struct {
	column int
	half   float64 // of its height
	y      float64 // of its middle; from Graphviz at first
	line   bool
}

// labelAtHead reports whether the amount stands where the line ends: at the step that uses the item.
func (e *Edge) labelAtHead(to *Node) bool {
	return to.Kind == Step || to.Kind == Dish || to.Kind == Special
}

type plan struct {
	boxes   []box
	lines   []line
	places  []spot // of the boxes in their order, then of the lines that pass through columns
	columns []column
	w, h    float64
}

// TooLargeError is what a picture fails with that has more than can be drawn. That is known before any work is done.
type TooLargeError struct{ text string }

func (e *TooLargeError) Error() string { return e.text }

// Fits tells whether a picture is not too large to be drawn: the error says in what, and is nil where it fits.
func Fits(p Picture) error {
	if len(p.Nodes)+len(p.Edges) <= carefulSize { // too few for long lines to be too many
		return nil
	}
	_, err := ranked(&p)
	return err
}

// ranked is the plan of a picture with a column for each box.
func ranked(p *Picture) (*plan, error) {
	place, err := p.check()
	if err != nil {
		return nil, fmt.Errorf("draw: %w", err)
	}
	if len(p.Nodes)+len(p.Edges) > MaxSize {
		return nil,
			&TooLargeError{fmt.Sprintf("draw: %d boxes and %d lines are too much for one picture (together at most %d): draw a part of it, "+
				"with --around ITEM", len(p.Nodes), len(p.Edges), MaxSize)}
	}
	l := measured(p, place)
	if len(l.boxes) == 0 {
		return l, nil
	}
	l.rank()
	if reach := l.reach(); reach > MaxReach {
		return nil,
			&TooLargeError{fmt.Sprintf("draw: the lines are too long for one picture (they cross %d columns in all, at most %d): draw a part "+
				"of it, with --around ITEM", reach, MaxReach)}
	}
	return l, nil
}

// arranged makes the plan of a picture.
func arranged(ctx context.Context, p *Picture) (*plan, error) {
	l, err := ranked(p)
	if err != nil || len(l.boxes) == 0 {
		return l, err
	}
	l.align()
	l.pass()
	care := "nslimit=2"
	if len(p.Nodes)+len(p.Edges) > carefulSize || l.reach() > carefulReach {
		care = "nslimit=0.02;nslimit1=0.02;mclimit=0.1"
	}
	plain, err := arrange(ctx, l.dot(care))
	if err != nil {
		return nil, err
	}
	if err := l.read(plain); err != nil {
		return nil, err
	}
	return l, nil
}

// pass gives every box its place, and every line one in each column that it passes through.
func (l *plan) pass() {
	for _, b := range l.boxes {
		l.places = append(l.places, spot{column: b.column, half: b.halfH})
	}
	for i := range l.lines {
		ln := &l.lines[i]
		from, to, step := l.boxes[ln.from].column+1, l.boxes[ln.to].column, 1
		if ln.ahead = from <= to; !ln.ahead {
			from, to, step = from-1, to-1, -1
		}
		for c := from; (to-c)*step > 0; c += step {
			ln.passes = append(ln.passes, len(l.places))
			l.places = append(l.places, spot{column: c, half: ln.edge.room() / 2, line: true})
		}
	}
	for i, p := range l.places {
		l.columns[p.column].places = append(l.columns[p.column].places, i)
	}
}

// dot is the flow as Graphviz has to lay it out: sizes only, so nothing in it needs escaping.
func (l *plan) dot(care string) []byte {
	var b bytes.Buffer
	inches := func(points float64) float64 { return points / 72 }
	fmt.Fprintf(&b, "digraph{rankdir=LR;splines=none;%s;nodesep=%.4f;node[shape=box,fixedsize=true,width=0.1]\n", care,
		inches(linePitch))
	for i, p := range l.places {
		fmt.Fprintf(&b, "%d[height=%.4f]\n", i, inches(2*p.half))
	}
	for i := range l.lines {
		ln := &l.lines[i]
		way := slices.Concat([]int{ln.from}, ln.passes, []int{ln.to})
		if !ln.ahead {
			// It goes round its ends, and is drawn towards them by their neighbours in the next column.
			way = slices.Clone(ln.passes)
			if n := len(way); n > 1 {
				way[0], way[n-1] = ln.from, ln.to
				for k := range n - 1 {
					fmt.Fprintf(&b, "%d->%d[weight=8]\n", ln.passes[k+1], ln.passes[k])
				}
			}
			slices.Reverse(way)
		}
		for k := range max(len(way)-1, 0) {
			weight := 1 // Graphviz's own weights for lines that go on: the longer, the straighter
			if p, q := l.places[way[k]].line, l.places[way[k+1]].line; p && q {
				weight = 8
			} else if p || q {
				weight = 2
			}
			fmt.Fprintf(&b, "%d->%d[weight=%d]\n", way[k], way[k+1], weight)
		}
	}
	for _, c := range l.columns {
		b.WriteString("{rank=same")
		for _, i := range c.places {
			fmt.Fprintf(&b, " %d", i)
		}
		b.WriteString("}\n")
	}
	b.WriteString("}\n")
	return b.Bytes()
}

// read takes the heights of the places out of Graphviz's answer, and puts each column in their order. Its y grows upwards,
// its unit is the inch.
func (l *plan) read(plain []byte) error {
	read := 0
	for row := range strings.Lines(string(plain)) {
		f := strings.Fields(row)
		var num numbers
		switch {
		case len(f) > 3 && f[0] == "graph":
			l.h = num.read(f[3]) * 72
		case len(f) > 3 && f[0] == "node":
			if i := num.whole(f[1], len(l.places)); num.err == nil {
				l.places[i].y = l.h - num.read(f[3])*72
				read++
			}
		}
		if num.err != nil {
			return fmt.Errorf("draw: mistake: unexpected answer of the layout engine: %.80q: %w", row, num.err)
		}
	}
	if read != len(l.places) {
		return fmt.Errorf("draw: mistake: the layout engine placed %d of %d boxes and lines", read, len(l.places))
	}
	for _, c := range l.columns {
		slices.SortStableFunc(c.places, func(i, j int) int { return cmp.Compare(l.places[i].y, l.places[j].y) })
	}
	return nil
}

// numbers reads numbers and keeps the first fault.
type numbers struct{ err error }

func (n *numbers) read(s string) float64 {
	x, err := strconv.ParseFloat(s, 64)
	if err == nil && (math.IsNaN(x) || math.IsInf(x, 0)) {
		err = fmt.Errorf("%s is not finite", s)
	}
	n.err = cmp.Or(n.err, err)
	return x
}

func (n *numbers) whole(s string, below int) int {
	x, err := strconv.Atoi(s)
	if err == nil && (x < 0 || x >= below) {
		err = fmt.Errorf("%d is out of range", x)
	}
	n.err = cmp.Or(n.err, err)
	return x
}
