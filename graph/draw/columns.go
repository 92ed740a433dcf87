package draw

// What Graphviz's layout is made into: columns of equal boxes that fill the sheet, and a slot of its own for every
// line.

import (
	"cmp"
	"slices"
	"sort"
)

// fit gives the plan its final places in a room of the given proportions: the gaps between columns and between rows are
// stretched to fill the room, and the lines follow. Boxes keep their size.
func (l *plan) fit(w, h float64) {
	least := float64(len(l.columns)-1) * leastGap
	for _, c := range l.columns {
		least += c.width()
	}
	gap := leastGap
	if wanted := l.h * w / h; len(l.columns) > 1 && wanted > least {
		gap = min(leastGap+(wanted-least)/float64(len(l.columns)-1), mostGap)
	}
	at := 0.0
	for i := range l.columns {
		l.columns[i].newLeft = at
		at += l.columns[i].width() + gap
	}
	l.w = at - gap
	stretch := min(max(l.w*h/w/l.h, 1), mostStretch)
	l.h *= stretch
	for _, c := range l.columns {
		for _, i := range c.boxes {
			l.boxes[i].mid = point{c.newLeft + c.padL + c.halfW, l.boxes[i].mid.y * stretch}
		}
	}
	for i := range l.lines {
		for k, q := range l.lines[i].way {
			l.lines[i].way[k] = point{l.moved(q.x), q.y * stretch}
		}
	}
	for i := range l.boxes {
		l.slot(&l.boxes[i])
	}
	for i := range l.lines {
		ln := &l.lines[i]
		from, to, last := &l.boxes[ln.from], &l.boxes[ln.to], len(ln.way)-1
		ln.move(0, 1, point{from.mid.x + from.halfW + from.padR, from.mid.y + ln.slotFrom})
		ln.move(last, last-1, point{to.mid.x - to.halfW - to.padL, to.mid.y + ln.slotTo})
	}
}

// column is the boxes that stand above each other.
type column struct {
	boxes             []int
	mid               float64 // as Graphviz placed it
	newLeft           float64
	padL, halfW, padR float64 // of each of its boxes
}

func (c *column) width() float64 { return c.padL + 2*c.halfW + c.padR }

// align finds the columns, from left to right (Graphviz puts their middles on one line), and gives the boxes of each
// the same width and the same room for amounts.
func (l *plan) align() {
	order := make([]int, len(l.boxes))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, j int) int { return cmp.Compare(l.boxes[i].mid.x, l.boxes[j].mid.x) })
	l.columns = nil
	for k, i := range order {
		b := &l.boxes[i]
		if k == 0 || b.mid.x-l.boxes[order[k-1]].mid.x > 1 {
			l.columns = append(l.columns, column{mid: b.mid.x})
		}
		c := &l.columns[len(l.columns)-1]
		c.boxes = append(c.boxes, i)
		c.padL, c.halfW, c.padR = max(c.padL, b.padL), max(c.halfW, b.halfW), max(c.padR, b.padR)
	}
	for _, c := range l.columns {
		for _, i := range c.boxes {
			b := &l.boxes[i]
			b.padL, b.halfW, b.padR = c.padL, c.halfW, c.padR
		}
	}
}

// moved is where a place on a line goes when the columns move: with the column that it is in, or between two in the
// same proportion.
func (l *plan) moved(x float64) float64 {
	left := func(c *column) float64 { return c.mid - c.width()/2 }
	k := max(0, sort.Search(len(l.columns), func(k int) bool { return left(&l.columns[k]) > x })-1)
	c := &l.columns[k]
	past := x - left(c) - c.width()
	if past <= 0 || k == len(l.columns)-1 {
		return c.newLeft + c.width() + past
	}
	next := &l.columns[k+1]
	return c.newLeft + c.width() + past*(next.newLeft-c.newLeft-c.width())/(left(next)-left(c)-c.width())
}

// slot puts the lines of a box in order, by where they come from and go to, and spreads them.
func (l *plan) slot(b *box) {
	slices.SortStableFunc(b.ins, func(i, j int) int {
		a, c := l.lines[i].way, l.lines[j].way
		return cmp.Compare(a[len(a)-4].y, c[len(c)-4].y)
	})
	slices.SortStableFunc(b.outs, func(i, j int) int { return cmp.Compare(l.lines[i].way[3].y, l.lines[j].way[3].y) })
	for k, i := range b.ins {
		l.lines[i].slotTo = slotAt(k, len(b.ins), b.pitchIn)
	}
	for k, i := range b.outs {
		l.lines[i].slotFrom = slotAt(k, len(b.outs), b.pitchOut)
	}
}

func slotAt(k, n int, pitch float64) float64 { return (float64(k) - float64(n-1)/2) * pitch }

// move puts an end of the way to a new place, and the point that steers it along.
func (ln *line) move(end, steer int, to point) {
	dx, dy := to.x-ln.way[end].x, to.y-ln.way[end].y
	ln.way[end] = to
	ln.way[steer].x += dx
	ln.way[steer].y += dy
}

// reach is how many columns the lines cross, all added up, when every box stands as far left as it can. A circle, which
// only a hand-made picture has, is cut open at its first box.
func (l *plan) reach() int {
	waits := make([]int, len(l.boxes)) // for how many lines
	for _, ln := range l.lines {
		if !ln.edge.Carried {
			waits[ln.to]++
		}
	}
	at, placed := make([]int, len(l.boxes)), make([]bool, len(l.boxes))
	place := func(first int) {
		for ready := []int{first}; len(ready) > 0; ready = ready[1:] {
			placed[ready[0]] = true
			for _, i := range l.boxes[ready[0]].outs {
				ln := &l.lines[i]
				if ln.edge.Carried || placed[ln.to] {
					continue
				}
				at[ln.to] = max(at[ln.to], at[ln.from]+1)
				if waits[ln.to]--; waits[ln.to] == 0 {
					ready = append(ready, ln.to)
				}
			}
		}
	}
	for i, n := range slices.Clone(waits) {
		if n == 0 {
			place(i)
		}
	}
	for i := range placed {
		if !placed[i] {
			place(i)
		}
	}
	sum := 0
	for _, ln := range l.lines {
		sum += max(at[ln.to]-at[ln.from], at[ln.from]-at[ln.to])
	}
	return sum
}
