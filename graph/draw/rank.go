package draw

// Which column a box stands in. Graphviz would put every box as near as it can to those that use it, which crowds the
// columns before the dishes and leaves the others empty.

import (
	"slices"
)

const (
	// tall is the height of the dishes from which on they stand in two columns: more can't be printed on A3 as large as
	// the words are.
	tall = 720.0
	// linePitch is the height that a line takes in a column that it passes through; where there is room for everything, it
	// counts longPitch, so that lines are short.
	linePitch = 4.5
	longPitch = 15.0
)

// rank puts every box in a column right of all that it comes from, and the dishes in the last, or the last two where they
// are many. There are as many columns as the longest way has boxes; within that, boxes move until the columns are about
// equally full.
func (l *plan) rank() {
	latest := l.chain()
	last := slices.Max(latest)
	for i := range l.boxes {
		l.boxes[i].column = last - latest[i]
	}
	l.balance(last, 0, longPitch)
	l.gather(last + 1)
	high := 0.0
	for _, i := range l.columns[last].boxes {
		high += l.boxes[i].high()
	}
	if high > tall {
		l.early()
		l.balance(last, 1, linePitch)
		l.gather(last + 1)
	}
}

// early puts every box that something comes of as far left as it can stand: then more dishes can.
func (l *plan) early() {
	for moved := true; moved; {
		moved = false
		for i := range l.boxes {
			if from, _ := l.span(i); from < l.boxes[i].column && len(l.boxes[i].outs) > 0 {
				l.boxes[i].column = from
				moved = true
			}
		}
	}
}

// balance moves boxes until no column gains by it. Dishes may stand so many columns before the last; a line counts with
// pitch in every column that it passes through.
func (l *plan) balance(last, before int, pitch float64) {
	full := make([]float64, last+1)
	for i := range l.boxes {
		full[l.boxes[i].column] += l.boxes[i].high()
	}
	for _, ln := range l.lines {
		ln.cross(l, full, pitch)
	}
	for range mostPasses {
		moved := false
		for i := range l.boxes {
			moved = l.even(i, full, before, pitch) || moved
		}
		if !moved {
			break
		}
	}
}

// mostPasses bounds the search for the fullest column's relief: a kitchen needs five or so.
const mostPasses = 30

// span is the columns that a box can stand in where its neighbours stand: to is -1 when there is no bound.
func (l *plan) span(i int) (from, to int) {
	b, to := &l.boxes[i], -1
	for _, k := range b.ins {
		if ln := &l.lines[k]; ln.ahead {
			from = max(from, l.boxes[ln.from].column+1)
		}
	}
	for _, k := range b.outs {
		if ln := &l.lines[k]; ln.ahead && (to < 0 || l.boxes[ln.to].column <= to) {
			to = l.boxes[ln.to].column - 1
		}
	}
	return from, to
}

// even moves a box to the column, of those that its lines leave it, which makes the columns most equal: the sum of the
// squares of their heights least. It reports whether the box moved.
func (l *plan) even(i int, full []float64, before int, pitch float64) bool {
	b := &l.boxes[i]
	from, to := l.span(i)
	if to < 0 {
		to = len(full) - 1
	}
	if len(b.outs) == 0 && (b.node.Kind == Dish || b.node.Kind == Special) {
		from = max(from, to-before)
	}
	if from >= to {
		return false
	}
	put := func(sign float64) {
		full[b.column] += sign * b.high()
		for _, k := range slices.Concat(b.ins, b.outs) {
			l.lines[k].cross(l, full, sign*pitch)
		}
	}
	was, best, least := b.column, b.column, 0.0
	put(-1)
	for k := to; k >= from; k-- {
		b.column = k
		put(1)
		sum := 0.0
		for _, h := range full {
			sum += h * h
		}
		if k == to || sum < least {
			best, least = k, sum
		}
		put(-1)
	}
	b.column = best
	put(1)
	return best != was
}

// high is what a box takes of the height of its column.
func (b *box) high() float64 { return 2*b.halfH + nodeGap }

// cross adds to the heights of the columns between the ends of a line.
func (ln *line) cross(l *plan, full []float64, pitch float64) {
	from, to := l.boxes[ln.from].column, l.boxes[ln.to].column
	for k := min(from, to) + 1; k < max(from, to); k++ {
		full[k] += pitch
	}
}

// reach is how many columns the lines cross, all added up.
func (l *plan) reach() (sum int) {
	for _, ln := range l.lines {
		d := l.boxes[ln.to].column - l.boxes[ln.from].column
		sum += max(d, -d)
	}
	return sum
}

// chain is how many boxes the longest way from each box to the end has after it. Lines that lead ahead are marked: not
// those from yesterday, and in a circle, which only a hand-made picture has, not the one that closes it.
func (l *plan) chain() []int {
	waits := make([]int, len(l.boxes)) // for how many of the lines that leave it
	for _, ln := range l.lines {
		if !ln.edge.Carried {
			waits[ln.from]++
		}
	}
	after, placed := make([]int, len(l.boxes)), make([]bool, len(l.boxes))
	place := func(first int) {
		for ready := []int{first}; len(ready) > 0; ready = ready[1:] {
			placed[ready[0]] = true
			for _, k := range l.boxes[ready[0]].ins {
				ln := &l.lines[k]
				if ln.edge.Carried || placed[ln.from] {
					continue
				}
				ln.ahead = true
				after[ln.from] = max(after[ln.from], after[ln.to]+1)
				if waits[ln.from]--; waits[ln.from] == 0 {
					ready = append(ready, ln.from)
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
	return after
}
