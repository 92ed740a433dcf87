// Solves with the factors and their update.

package lu

import (
	"math"
)

// Forward overwrites b with B⁻¹ b (FTRAN). If spike is not nil it receives the vector between L and U, which
// [Factor.Update] needs when this column enters the basis.
func (f *Factor) Forward(b, spike []float64) {
	for c, r := range f.lcolRow {
		if v := b[r]; v != 0 {
			for _, e := range f.lcol[f.lcolStart[c]:f.lcolStart[c+1]] {
				b[e.At] -= e.V * v
			}
		}
	}
	for k, r := range f.rrow {
		v := b[r]
		for _, e := range f.relem[f.rstart[k]:f.rstart[k+1]] {
			v += e.V * b[e.At]
		}
		b[r] = v
	}
	if spike != nil {
		copy(spike, b)
	}
	for t := len(f.order) - 1; t >= f.plain; t-- {
		r := f.order[t]
		if r < 0 {
			continue
		}
		v := b[r]
		if v == 0 {
			continue
		}
		if math.Abs(v) < dropBelow {
			b[r] = 0
			continue
		}
		v /= f.diag[r]
		b[r] = v
		for _, e := range f.ucol[r] {
			b[e.At] -= e.V * v
		}
	}
}

// Backward overwrites b with B⁻ᵀ b (BTRAN). If b is a unit vector, unit names its row, which shortens the work and lets
// half receive the vector between U and L for [Factor.Update]; otherwise unit is -1.
func (f *Factor) Backward(b []float64, unit int32, half []float64) {
	first := 0
	if unit >= 0 {
		first = int(f.at[unit])
	}
	for _, r := range f.order[first:] {
		if r < 0 {
			continue
		}
		v := b[r]
		if v == 0 {
			continue
		}
		if math.Abs(v) < dropBelow {
			b[r] = 0
			continue
		}
		v /= f.diag[r]
		b[r] = v
		for _, e := range f.urow[r] {
			b[e.At] -= e.V * v
		}
	}
	if half != nil {
		copy(half, b)
	}
	for k := len(f.rrow) - 1; k >= 0; k-- {
		if v := b[f.rrow[k]]; v != 0 {
			for _, e := range f.relem[f.rstart[k]:f.rstart[k+1]] {
				b[e.At] += e.V * v
			}
		}
	}
	for t := len(f.lrowRow) - 1; t >= 0; t-- {
		if v := b[f.lrowRow[t]]; v != 0 {
			for _, e := range f.lrow[f.lrowStart[t]:f.lrowStart[t+1]] {
				b[e.At] -= e.V * v
			}
		}
	}
}

// Update replaces the column paired with row p by the one whose Forward gave spike; half is from Backward of the unit
// vector of p, and pivot is the entry of the new column at p (Forrest & Tomlin 1972: the new column goes last in U, and
// the old row p, now below the diagonal, is wiped out by one row operation).
func (f *Factor) Update(p int32, spike, half []float64, pivot float64) {
	old := f.diag[p]
	for _, e := range f.ucol[p] {
		f.urow[e.At] = without(f.urow[e.At], p)
	}
	for _, e := range f.urow[p] {
		f.ucol[e.At] = without(f.ucol[e.At], p)
	}
	f.fill -= len(f.ucol[p]) + len(f.urow[p])
	f.ucol[p], f.urow[p] = f.ucol[p][:0], f.urow[p][:0]

	for i := range f.m {
		r := int32(i)
		if r == p {
			continue
		}
		if v := half[i]; v != 0 {
			f.relem = append(f.relem, Elem{r, v * old})
		}
		if v := spike[i]; math.Abs(v) >= dropBelow {
			f.ucol[p] = append(f.ucol[p], Elem{r, v})
			f.urow[r] = append(f.urow[r], Elem{p, v})
		}
	}
	f.rrow = append(f.rrow, p)
	f.fill += len(f.ucol[p]) + len(f.relem) - int(f.rstart[len(f.rstart)-1])
	f.rstart = append(f.rstart, int32(len(f.relem)))
	f.order[f.at[p]] = -1
	f.push(p, pivot*old)
	f.updates++
}

func without(list []Elem, at int32) []Elem {
	for t := range list {
		if list[t].At == at {
			list[t] = list[len(list)-1]
			return list[:len(list)-1]
		}
	}
	return list
}

// Stale says that a fresh factorisation would pay: many updates, or factors grown well past their first size.
func (f *Factor) Stale() bool { return f.updates >= 100 || f.fill > 3*f.fill0+8*f.m }

// Updates returns the number of updates since the last Build.
func (f *Factor) Updates() int { return f.updates }
