package draw

// What the columns are made into: equal boxes, as high and wide as the sheet, and a slot of its own for every line.

import (
	"cmp"
	"slices"
)

// column is the boxes that stand above each other.
type column struct {
	boxes             []int
	places            []int // from top to bottom
	left              float64
	padL, halfW, padR float64 // of each of its boxes
}

func (c *column) width() float64 { return c.padL + 2*c.halfW + c.padR }

// gather fills that many columns with their boxes.
func (l *plan) gather(columns int) {
	l.columns = make([]column, columns)
	for i := range l.boxes {
		b, c := &l.boxes[i], &l.columns[l.boxes[i].column]
		c.boxes = append(c.boxes, i)
		c.padL, c.halfW, c.padR = max(c.padL, b.padL), max(c.halfW, b.halfW), max(c.padR, b.padR)
	}
}

// align gives the boxes of each column the same width and the same room for amounts.
func (l *plan) align() {
	for _, c := range l.columns {
		for _, i := range c.boxes {
			b := &l.boxes[i]
			b.padL, b.halfW, b.padR = c.padL, c.halfW, c.padR
		}
	}
}

// gaps are how wide the spaces right of the columns have to be: the more lines change their height there, the wider.
func (l *plan) gaps() []float64 {
	gaps := make([]float64, len(l.columns))
	for i := range l.lines {
		before := l.lines[i].from
		for _, next := range slices.Concat(l.lines[i].passes, []int{l.lines[i].to}) {
			gaps[min(l.places[before].column, l.places[next].column)]++
			before = next
		}
	}
	for k, lines := range gaps {
		gaps[k] = leastGap + lines*gapForLine
	}
	gaps[len(gaps)-1] = 0
	return gaps
}

// least is how wide and how high the plan is at least, and how much of the width is gaps.
func (l *plan) least() (wide, open, high float64) {
	for k, gap := range l.gaps() {
		wide += l.columns[k].width() + gap
		open += gap
		high = max(high, l.need(&l.columns[k]))
	}
	return wide, open, high
}

// edge is the room left and right of all columns for lines that turn round.
func (l *plan) edge() float64 {
	if slices.ContainsFunc(l.lines, func(ln line) bool { return !ln.ahead }) {
		return turnRoom
	}
	return 0
}

// fit gives the plan its final places in a room of the given proportions: it is as high as its fullest column needs and as
// wide as its columns need, and what is left over of the room widens the gaps. Boxes keep their size.
func (l *plan) fit(w, h float64) {
	gaps := l.gaps()
	wide, open, need := l.least()
	stretch := 1.0
	if open > 0 {
		stretch = min(max(1+(max(need*w/h, w/mostScale)-wide)/open, 1), mostStretch)
	}
	edge := l.edge()
	at := edge
	for k := range l.columns {
		l.columns[k].left = at
		at += l.columns[k].width() + gaps[k]*stretch
	}
	l.w = at + edge
	high := max(need, min(l.w*h/w, l.h*mostStretch))
	for k := range l.columns {
		l.stack(&l.columns[k], high)
	}
	l.h = high
	for i := range l.boxes {
		b := &l.boxes[i]
		c := &l.columns[b.column]
		b.mid = point{c.left + c.padL + c.halfW, l.places[i].y}
	}
	for i := range l.boxes {
		l.slot(&l.boxes[i])
	}
	for i := range l.lines {
		l.lead(&l.lines[i])
	}
}

// room is the least distance between the middles of two places, one above the other.
func (l *plan) room(above, below int) float64 {
	p, q := &l.places[above], &l.places[below]
	gap := nodeGap
	if p.line && q.line {
		gap = lineGap
	} else if p.line || q.line {
		gap = passGap
	}
	return p.half + gap + q.half
}

// need is the least height of a column.
func (l *plan) need(c *column) (high float64) {
	for k, i := range c.places {
		if k > 0 {
			high += l.room(c.places[k-1], i)
		}
	}
	return high + l.places[c.places[0]].half + l.places[c.places[len(c.places)-1]].half
}

// stack gives the places of a column their final heights in so much room: as near as can be, by least squares, to where
// Graphviz would have them. Places that would come too near to each other form a block, which stands where its members
// would on the average.
func (l *plan) stack(c *column, high float64) {
	type block struct {
		first, count int
		y            float64 // the average of what the members want for the first of them
	}
	var blocks []block
	below := make([]float64, len(c.places)) // how far each must be below the first
	for k, i := range c.places {
		if k > 0 {
			below[k] = below[k-1] + l.room(c.places[k-1], i)
		}
		b := block{k, 1, l.places[i].y*high/l.h - below[k]}
		for n := len(blocks); n > 0 && blocks[n-1].y >= b.y; n = len(blocks) {
			a := blocks[n-1]
			b = block{a.first, a.count + b.count, (a.y*float64(a.count) + b.y*float64(b.count)) / float64(a.count+b.count)}
			blocks = blocks[:n-1]
		}
		blocks = append(blocks, b)
	}
	top := l.places[c.places[0]].half
	bottom := high - l.places[c.places[len(c.places)-1]].half - below[len(below)-1]
	for _, b := range blocks {
		for k := b.first; k < b.first+b.count; k++ {
			l.places[c.places[k]].y = min(max(b.y, top), bottom) + below[k]
		}
	}
}

// slot puts the lines of a box in order, by where they come from and go to, and spreads them.
func (l *plan) slot(b *box) {
	y := func(i int) float64 { return l.places[i].y }
	slices.SortStableFunc(b.ins, func(i, j int) int { return cmp.Compare(y(l.lines[i].before()), y(l.lines[j].before())) })
	slices.SortStableFunc(b.outs, func(i, j int) int { return cmp.Compare(y(l.lines[i].next()), y(l.lines[j].next())) })
	for k, i := range b.ins {
		l.lines[i].slotTo = slotAt(k, len(b.ins), b.pitchIn)
	}
	for k, i := range b.outs {
		l.lines[i].slotFrom = slotAt(k, len(b.outs), b.pitchOut)
	}
}

func slotAt(k, n int, pitch float64) float64 { return (float64(k) - float64(n-1)/2) * pitch }

// next is the place after the start of a line, and before the one before its end.
func (ln *line) next() int { return slices.Concat(ln.passes, []int{ln.to})[0] }

func (ln *line) before() int { return slices.Concat([]int{ln.from}, ln.passes)[len(ln.passes)] }

// lead draws the way of a line: straight through columns, bending between them. One that leads back turns round in front
// of its start and its end.
func (l *plan) lead(ln *line) {
	from, to := &l.boxes[ln.from], &l.boxes[ln.to]
	ln.way = []point{{from.mid.x + from.halfW + from.padR, from.mid.y + ln.slotFrom}}
	bend := func(q point) {
		p := ln.way[len(ln.way)-1]
		mid := (p.x + q.x) / 2
		ln.way = append(ln.way, point{mid, p.y}, point{mid, q.y}, q)
	}
	turn := func(by float64, q point) {
		p := ln.way[len(ln.way)-1]
		ln.way = append(ln.way, point{p.x + by, p.y}, point{q.x + by, q.y}, q)
	}
	for k, i := range ln.passes {
		c, y := &l.columns[l.places[i].column], l.places[i].y
		near, far := point{c.left, y}, point{c.left + c.width(), y}
		if !ln.ahead {
			near, far = far, near
		}
		if !ln.ahead && k == 0 {
			turn(turnRoom, near)
		} else {
			bend(near)
		}
		ln.way = append(ln.way, near, far, far)
	}
	end := point{to.mid.x - to.halfW - to.padL, to.mid.y + ln.slotTo}
	if ln.ahead {
		bend(end)
	} else {
		turn(-turnRoom, end)
	}
}
