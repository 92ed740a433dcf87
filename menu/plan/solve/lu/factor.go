// Package lu factors a sparse basis B = L U and keeps the factors up to date while the simplex method exchanges one
// column at a time.
//
// Everything is indexed by rows. After [Factor.Build] every basic column is paired with its pivot row, so a solution of
// B x = b has the value of a column at the column's pivot row, and no permutation is left for the caller to apply.
//
// Sources: Markowitz, "The elimination form of the inverse" (1957), for the order of pivots; Suhl & Suhl, "Computing
// sparse LU factorizations for large-scale linear programming bases" (1990), for the search over short rows and
// columns, which also peels singletons; Forrest & Tomlin, "Updated triangular factors of the basis" (1972), for the
// update.
package lu

import (
	"math"
)

const (
	pivotShare = 0.1   // a pivot must reach this share of the largest entry of its column: growth against fill
	pivotFloor = 1e-9  // an entry below this is never a pivot: the basis counts as singular there
	dropBelow  = 1e-14 // entries that cancel to less than this are rounding noise and are dropped
	searchMax  = 4     // rows and columns looked at for one pivot (Suhl & Suhl: 4 lose little against all)
)

// Elem is one entry of a sparse row or column.
type Elem struct {
	At int32
	V  float64
}

// Factor holds L and U of one basis. The zero value is not usable: call [New].
type Factor struct {
	m int

	// L by columns in the order of elimination, and by rows in the same order, so that either solve skips zeros.
	lcolRow, lcolStart []int32
	lcol               []Elem
	lrowRow, lrowStart []int32
	lrow               []Elem

	// Row operations of the Forrest-Tomlin updates: row rrow[k] receives the sum of relem[rstart[k]:rstart[k+1]].
	rrow, rstart []int32
	relem        []Elem

	// U off the diagonal by columns and by rows, both keyed by pivot rows; the order of pivots, -1 where one moved.
	ucol, urow [][]Elem
	diag       []float64
	order, at  []int32
	plain      int // the first pivots of order whose column is the unit vector: nothing to do for them in Forward

	updates, fill, fill0 int

	k kernel
}

// kernel is the working space of [Factor.Build]: the part of the basis that is still to be eliminated.
type kernel struct {
	col        [][]Elem  // active entries by column; At is a row
	top        [][]Elem  // entries of a column in rows that were pivoted earlier: they belong to U
	row        [][]int32 // columns that have an active entry in a row
	prow       []int32   // pivot row of a column, -1 while active
	rowDone    []bool
	mult       []float64 // multipliers of the pivot column, by row
	seen       []bool
	colL, rowL list
}

// list keeps rows or columns in buckets by their number of active entries.
type list struct{ head, next, prev, count []int32 }

func (l *list) reset(n int) {
	l.head = resize(l.head, n+2) // counts 0..n, and 1 even when n is 0
	for i := range l.head {
		l.head[i] = -1
	}
	l.next, l.prev, l.count = resize(l.next, n), resize(l.prev, n), resize(l.count, n)
}

func (l *list) link(i int32, count int) {
	h := l.head[count]
	l.count[i], l.next[i], l.prev[i] = int32(count), h, -1
	if h >= 0 {
		l.prev[h] = i
	}
	l.head[count] = i
}

func (l *list) unlink(i int32) {
	if l.prev[i] >= 0 {
		l.next[l.prev[i]] = l.next[i]
	} else {
		l.head[l.count[i]] = l.next[i]
	}
	if l.next[i] >= 0 {
		l.prev[l.next[i]] = l.prev[i]
	}
}

func (l *list) move(i int32, count int) {
	if int(l.count[i]) != count {
		l.unlink(i)
		l.link(i, count)
	}
}

func resize[T any](s []T, n int) []T {
	if cap(s) < n {
		return make([]T, n, n+n/4+8)
	}
	return s[:n]
}

// New returns an empty factor; Build fits it to any size.
func New() *Factor { return &Factor{} }

// Build factors the basis whose m columns are given by column(j): its rows and values, or, for a unit column, unit =
// the row of its single 1 (-1 otherwise). It returns the pivot row of every column. Where the basis is singular,
// columns without a pivot have row -1, and the rows left over are listed in spare: the caller replaces these columns by
// the unit columns of the spare rows, for which the factors are already valid, in the order listed.
func (f *Factor) Build(m int, column func(j int) (index []int32, value []float64, unit int32)) (prow, spare []int32) {
	f.reset(m)
	k := &f.k
	// Unit columns are pivots that cost nothing; their rows leave the active part before it is built.
	for j := range m {
		if _, _, unit := column(j); unit >= 0 && !k.rowDone[unit] {
			k.prow[j] = unit
			k.rowDone[unit] = true
			f.push(unit, 1)
		}
	}
	f.plain = len(f.order)
	for j := range m {
		if k.prow[j] >= 0 {
			continue
		}
		index, value, unit := column(j)
		if unit >= 0 { // the same unit column twice: singular
			k.top[j] = append(k.top[j], Elem{unit, 1})
			k.colL.link(int32(j), 0)
			continue
		}
		for t, i := range index {
			if k.rowDone[i] {
				k.top[j] = append(k.top[j], Elem{i, value[t]})
			} else {
				k.col[j] = append(k.col[j], Elem{i, value[t]})
				k.row[i] = append(k.row[i], int32(j))
			}
		}
		k.colL.link(int32(j), len(k.col[j]))
	}
	for i := range m {
		if !k.rowDone[i] {
			k.rowL.link(int32(i), len(k.row[i]))
		}
	}
	for {
		r, c := k.choose()
		if r < 0 {
			break
		}
		f.eliminate(r, c)
	}
	for i := range int32(m) {
		if !k.rowDone[i] {
			spare = append(spare, i)
			f.push(i, 1)
		}
	}
	f.finish()
	return k.prow, spare
}

func (f *Factor) reset(m int) {
	f.m = m
	f.lcolRow, f.lcolStart, f.lcol = f.lcolRow[:0], append(f.lcolStart[:0], 0), f.lcol[:0]
	f.lrowRow, f.lrowStart, f.lrow = f.lrowRow[:0], append(f.lrowStart[:0], 0), f.lrow[:0]
	f.rrow, f.rstart, f.relem = f.rrow[:0], append(f.rstart[:0], 0), f.relem[:0]
	f.ucol, f.urow = resize(f.ucol, m), resize(f.urow, m)
	f.diag, f.at, f.order = resize(f.diag, m), resize(f.at, m), f.order[:0]
	f.updates, f.fill = 0, 0
	k := &f.k
	k.col, k.top, k.row = resize(k.col, m), resize(k.top, m), resize(k.row, m)
	k.prow, k.rowDone = resize(k.prow, m), resize(k.rowDone, m)
	k.mult, k.seen = resize(k.mult, m), resize(k.seen, m)
	for i := range m {
		f.ucol[i], f.urow[i] = f.ucol[i][:0], f.urow[i][:0]
		k.col[i], k.top[i], k.row[i] = k.col[i][:0], k.top[i][:0], k.row[i][:0]
		k.prow[i], k.rowDone[i], k.mult[i], k.seen[i] = -1, false, 0, false
	}
	k.colL.reset(m)
	k.rowL.reset(m)
}

func (f *Factor) push(row int32, pivot float64) {
	f.diag[row] = pivot
	f.at[row] = int32(len(f.order))
	f.order = append(f.order, row)
}

// choose returns the pivot with the least Markowitz count (r-1)(c-1) among the first few short rows and columns, or -1.
// Columns with no usable entry are taken out of the search.
func (k *kernel) choose() (row, col int32) {
	for c := k.colL.head[1]; c >= 0; c = k.colL.head[1] {
		if e := k.col[c][0]; math.Abs(e.V) > pivotFloor {
			return e.At, c
		}
		k.drop(c)
	}
	row, col = -1, -1
	best, bestAbs, looked := math.Inf(1), 0.0, 0
	for count := 1; count < len(k.colL.head) && looked < searchMax; count++ {
		reach := float64(count-1) * float64(count-1)
		if best <= reach {
			break
		}
		for c := k.colL.head[count]; c >= 0 && looked < searchMax; {
			next := k.colL.next[c]
			largest := k.largest(c)
			if largest <= pivotFloor {
				k.drop(c)
				c = next
				continue
			}
			for _, e := range k.col[c] {
				cost := float64(count-1) * float64(k.rowL.count[e.At]-1)
				a := math.Abs(e.V)
				if a >= pivotShare*largest && (cost < best || cost == best && a > bestAbs) {
					best, bestAbs, row, col = cost, a, e.At, c
				}
			}
			looked++
			c = next
		}
		for r := k.rowL.head[count]; r >= 0 && looked < searchMax; r = k.rowL.next[r] {
			for _, c := range k.row[r] {
				cost := float64(count-1) * float64(k.colL.count[c]-1)
				if cost > best {
					continue
				}
				a, largest := 0.0, 0.0
				for _, e := range k.col[c] {
					largest = max(largest, math.Abs(e.V))
					if e.At == r {
						a = math.Abs(e.V)
					}
				}
				if a > pivotFloor && a >= pivotShare*largest && (cost < best || a > bestAbs) {
					best, bestAbs, row, col = cost, a, r, c
				}
			}
			looked++
		}
	}
	if row < 0 { // the rows looked at had no stable entry: take any column that is left
		for count := 1; count < len(k.colL.head); count++ {
			for c := k.colL.head[count]; c >= 0; c = k.colL.head[count] {
				for _, e := range k.col[c] {
					if a := math.Abs(e.V); a > bestAbs {
						bestAbs, row, col = a, e.At, c
					}
				}
				if bestAbs > pivotFloor {
					return row, col
				}
				k.drop(c)
			}
		}
		return -1, -1
	}
	return row, col
}

func (k *kernel) largest(c int32) float64 {
	v := 0.0
	for _, e := range k.col[c] {
		v = max(v, math.Abs(e.V))
	}
	return v
}

// drop takes a column that has no pivot out of the active part.
func (k *kernel) drop(c int32) {
	for _, e := range k.col[c] {
		k.forget(e.At, c)
		k.rowL.move(e.At, len(k.row[e.At]))
	}
	k.col[c] = k.col[c][:0]
	k.colL.unlink(c)
	k.colL.link(c, 0)
}

func (k *kernel) forget(r, c int32) {
	list := k.row[r]
	for t, j := range list {
		if j == c {
			list[t] = list[len(list)-1]
			k.row[r] = list[:len(list)-1]
			return
		}
	}
}

// eliminate pivots on (r, c): the column's other entries become a column of L, the row's other entries a row of U.
func (f *Factor) eliminate(r, c int32) {
	k := &f.k
	k.colL.unlink(c)
	k.rowL.unlink(r)
	pivot := 0.0
	for _, e := range k.col[c] {
		if e.At == r {
			pivot = e.V
		}
	}
	begin := len(f.lcol)
	for _, e := range k.col[c] {
		if e.At != r {
			f.lcol = append(f.lcol, Elem{e.At, e.V / pivot})
			k.forget(e.At, c)
		}
	}
	low := f.lcol[begin:]
	if len(low) > 0 {
		f.lcolRow = append(f.lcolRow, r)
		f.lcolStart = append(f.lcolStart, int32(len(f.lcol)))
	}
	k.col[c] = k.col[c][:0]
	k.prow[c] = r
	k.rowDone[r] = true
	f.push(r, pivot)

	for _, e := range low {
		k.mult[e.At] = e.V
	}
	for _, j := range k.row[r] {
		if j == c {
			continue
		}
		col := k.col[j]
		for t, e := range col { // the entry in the pivot row moves to U
			if e.At == r {
				col[t] = col[len(col)-1]
				col = col[:len(col)-1]
				k.top[j] = append(k.top[j], e)
				break
			}
		}
		if len(low) > 0 {
			a := k.top[j][len(k.top[j])-1].V
			kept := col[:0]
			for _, e := range col {
				if l := k.mult[e.At]; l != 0 {
					k.seen[e.At] = true
					e.V -= l * a
					if math.Abs(e.V) < dropBelow {
						k.forget(e.At, j)
						continue
					}
				}
				kept = append(kept, e)
			}
			col = kept
			for _, e := range low {
				if k.seen[e.At] {
					k.seen[e.At] = false
					continue
				}
				col = append(col, Elem{e.At, -e.V * a})
				k.row[e.At] = append(k.row[e.At], j)
			}
		}
		k.col[j] = col
		k.colL.move(j, len(col))
	}
	for _, e := range low {
		k.mult[e.At] = 0
		k.rowL.move(e.At, len(k.row[e.At]))
	}
}

// finish builds U by columns and rows and L by rows.
func (f *Factor) finish() {
	k := &f.k
	for j := range f.m {
		r := k.prow[j]
		if r < 0 {
			continue
		}
		f.ucol[r] = append(f.ucol[r], k.top[j]...)
		for _, e := range k.top[j] {
			f.urow[e.At] = append(f.urow[e.At], Elem{r, e.V})
		}
		f.fill += len(k.top[j])
	}
	// Transpose L: count, then place.
	count := resize(k.rowL.count, f.m)
	clear(count)
	for _, e := range f.lcol {
		count[e.At]++
	}
	place := resize(k.rowL.next, f.m)
	total := int32(0)
	for _, r := range f.order {
		if count[r] > 0 {
			place[r] = total
			total += count[r]
			f.lrowRow = append(f.lrowRow, r)
			f.lrowStart = append(f.lrowStart, total)
		}
	}
	f.lrow = resize(f.lrow, int(total))
	for c, r := range f.lcolRow {
		for _, e := range f.lcol[f.lcolStart[c]:f.lcolStart[c+1]] {
			f.lrow[place[e.At]] = Elem{r, e.V}
			place[e.At]++
		}
	}
	f.fill += len(f.lcol)
	f.fill0 = f.fill
}
