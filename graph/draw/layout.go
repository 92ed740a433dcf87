package draw

// Where boxes and lines go: sizes for Graphviz, and what it makes of them.
//
// The amounts on the lines stand beside the step that the lines go into or come out of. Their room is part of the box
// that Graphviz is told of, so nothing runs across them, and they cost no layout time, as labels of Graphviz's own
// would. A line is a slot of its own at the box of the step: slots are ordered by where their lines go, so they don't
// cross.

import (
	"bytes"
	"cmp"
	"context"
	"fmt"
	"math"
	"strconv"
	"strings"
)

// What is laid out in one picture. Within these bounds a layout takes a second or two at most on a machine of two
// cores; ten times as much would take minutes.
const (
	MaxSize  = 2000  // nodes and edges
	MaxReach = 25000 // columns that the edges cross, all added up: a line across many costs as much as many short ones

	carefulSize  = 400 // up to here the layout is worked out to the end, beyond it stops at good enough
	carefulReach = 2000
)

type point struct{ x, y float64 }

// line is an edge with its way: the start, then three points for each Bézier curve.
type line struct {
	edge     *Edge
	from, to int // boxes
	label    string
	way      []point
	slotFrom float64 // how far below the middle of the box the line leaves it
	slotTo   float64
}

// labelAtHead reports whether the amount stands where the line ends: at the step that uses the item.
func (e *Edge) labelAtHead(to *Node) bool {
	return to.Kind == Step || to.Kind == Dish || to.Kind == Special
}

type plan struct {
	boxes   []box
	lines   []line
	columns []column
	w, h    float64
}

// lay makes the plan of a picture.
func lay(ctx context.Context, p *Picture) (*plan, error) {
	place, err := p.check()
	if err != nil {
		return nil, fmt.Errorf("draw: %w", err)
	}
	size := len(p.Nodes) + len(p.Edges)
	if size > MaxSize {
		return nil,
			fmt.Errorf("draw: %d boxes and %d lines are too much for one picture (together at most %d): draw a part of it, "+
				"with --around ITEM", len(p.Nodes), len(p.Edges), MaxSize)
	}
	l := measured(p, place)
	if len(l.boxes) == 0 {
		return l, nil
	}
	reach := l.reach()
	if reach > MaxReach {
		return nil,
			fmt.Errorf("draw: the lines are too long for one picture (they cross %d columns in all, at most %d): draw a part "+
				"of it, with --around ITEM", reach, MaxReach)
	}
	// The first round finds out what stands in one column; the second knows how wide the columns are.
	if err := l.round(ctx, "splines=none;nslimit=0.1;mclimit=0.1", false); err != nil {
		return nil, err
	}
	care := "splines=true;nslimit=2"
	if size > carefulSize || reach > carefulReach {
		care = "splines=true;nslimit=0.3;mclimit=0.5"
	}
	if err := l.round(ctx, care, true); err != nil {
		return nil, err
	}
	return l, nil
}

// round has the plan laid out once, and aligns the boxes of each column. Without ways the lines aren't read.
func (l *plan) round(ctx context.Context, care string, ways bool) error {
	plain, err := arrange(ctx, l.dot(care))
	if err != nil {
		return err
	}
	if err := l.read(plain, ways); err != nil {
		return err
	}
	l.align()
	return nil
}

// dot is the graph as Graphviz has to lay it out: sizes only, so nothing in it needs escaping.
func (l *plan) dot(care string) []byte {
	var b bytes.Buffer
	inches := func(points float64) float64 { return points / 72 }
	fmt.Fprintf(&b, "digraph{rankdir=LR;%s;nodesep=%.4f;ranksep=%.4f;node[shape=box,fixedsize=true];"+
		"edge[tailport=e,headport=w,arrowhead=none]\n", care, inches(nodeGap), inches(leastGap))
	for i := range l.boxes {
		x := &l.boxes[i]
		fmt.Fprintf(&b, "%d[width=%.4f,height=%.4f]\n", i, inches(2*x.halfW+x.padL+x.padR), inches(2*x.halfH))
	}
	for _, ln := range l.lines {
		// A line from yesterday runs against the flow, so it has no say in what stands left of what.
		if fmt.Fprintf(&b, "%d->%d", ln.from, ln.to); ln.edge.Carried {
			b.WriteString("[constraint=false]")
		}
		b.WriteByte('\n')
	}
	b.WriteString("{rank=max") // the dishes stand in one column at the right, as on a menu
	for i := range l.boxes {
		if k := l.boxes[i].node.Kind; (k == Dish || k == Special) && len(l.boxes[i].outs) == 0 {
			fmt.Fprintf(&b, " %d", i)
		}
	}
	b.WriteString("}}\n")
	return b.Bytes()
}

// read takes the places of the boxes, and the ways of the lines, out of Graphviz's answer. Its y grows upwards, its
// unit is the inch.
func (l *plan) read(plain []byte, ways bool) error {
	waiting := map[[2]int][]int{} // lines by their ends, in order: lines with the same ends can stand for each other
	for i, ln := range l.lines {
		ends := [2]int{ln.from, ln.to}
		waiting[ends] = append(waiting[ends], i)
	}
	for row := range strings.Lines(string(plain)) {
		f := strings.Fields(row)
		var num numbers
		switch {
		case len(f) > 3 && f[0] == "graph":
			l.w, l.h = num.read(f[2])*72, num.read(f[3])*72
		case len(f) > 3 && f[0] == "node":
			if i := num.whole(f[1], len(l.boxes)); num.err == nil {
				l.boxes[i].mid = point{num.read(f[2]) * 72, l.h - num.read(f[3])*72}
			}
		case len(f) > 3 && f[0] == "edge" && ways:
			ends := [2]int{num.whole(f[1], len(l.boxes)), num.whole(f[2], len(l.boxes))}
			n := num.whole(f[3], len(f))
			if num.err != nil || len(waiting[ends]) == 0 || len(f) < 4+2*n || n < 4 || n%3 != 1 {
				return fmt.Errorf("draw: mistake: unexpected answer of the layout engine: %.80q", row)
			}
			ln := &l.lines[waiting[ends][0]]
			waiting[ends] = waiting[ends][1:]
			for k := range n {
				ln.way = append(ln.way, point{num.read(f[4+2*k]) * 72, l.h - num.read(f[5+2*k])*72})
			}
		}
		if num.err != nil {
			return fmt.Errorf("draw: mistake: unexpected answer of the layout engine: %.80q: %w", row, num.err)
		}
	}
	for i := range l.lines {
		if ways && l.lines[i].way == nil {
			return fmt.Errorf("draw: mistake: the layout engine left out the line from %q to %q", l.lines[i].edge.From,
				l.lines[i].edge.To)
		}
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
