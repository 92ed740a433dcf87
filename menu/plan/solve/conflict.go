// Conflicts: why a problem has no solution, as a smallest set of rows and bounds that cannot hold together.
//
// Source: Chinneck & Dravnieks, "Locating minimal infeasible constraint sets in linear programs" (1991): the deletion
// filter, started from the rows and bounds of a Farkas certificate, and asked of halves before it is asked of single
// members.

package solve

import (
	"context"
	"math"

	"kettletree/menu/plan/solve/simplex"
)

// Limits of the questions "is the rest feasible?", so that a large problem gets a conflict in time if not a smallest
// one.
const (
	conflictNodes = 300     // of one question on a problem with integers
	conflictWork  = 300_000 // simplex iterations of all questions together
)

// Conflict is a set of rows and column bounds, by index, that cannot hold together; leave any one out and the rest can.
type Conflict struct {
	Rows          []int
	Lower, Upper  []int // columns whose lower, upper bound belongs to it
	Integers      bool  // the set clashes only because columns must be whole
	ProvenMinimal bool  // false where a test hit its limit: the set clashes, but may not be a smallest one
}

// member is a row or one bound of a column.
type member struct {
	kind  byte // 'r', 'l' or 'u'
	index int
}

func (s *search) conflict(ctx context.Context) *Conflict {
	for j, c := range s.p.Columns {
		if c.Lower > c.Upper {
			return &Conflict{Lower: []int{j}, Upper: []int{j}, ProvenMinimal: true}
		}
		if c.Integer && math.Ceil(c.Lower-integerTol) > math.Floor(c.Upper+integerTol) {
			return &Conflict{Lower: []int{j}, Upper: []int{j}, Integers: true, ProvenMinimal: true}
		}
	}
	m := newModel(s.p)
	m.cost = make([]float64, m.n)
	free, now := *m, *m // all members out; those that are in at present
	free.lo, free.up, free.rlo, free.rup = infinite(m.n, -1), infinite(m.n, 1), infinite(m.m, -1), infinite(m.m, 1)
	now.lo, now.up, now.rlo, now.rup = infinite(m.n, -1), infinite(m.n, 1), infinite(m.m, -1), infinite(m.m, 1)

	lp := m.lp()
	lp.Interrupt = s.halt
	k := &Conflict{Integers: lp.Solve(conflictWork, math.Inf(1)) != simplex.Infeasible, ProvenMinimal: true}
	var members []member
	take := func(rows, cols []int) {
		members = members[:0]
		for _, i := range rows {
			members = append(members, member{'r', i})
		}
		for _, j := range cols {
			if !math.IsInf(m.lo[j], -1) {
				members = append(members, member{'l', j})
			}
			if !math.IsInf(m.up[j], 1) {
				members = append(members, member{'u', j})
			}
		}
		for _, x := range members {
			x.set(&now, m)
		}
	}
	work := conflictWork
	infeasible := func() (yes, sure bool) {
		if work <= 0 || s.halt() {
			return false, false
		}
		if k.Integers {
			sol, err := Solve(ctx, now.problem(), Options{Nodes: conflictNodes, Iterations: work})
			work -= sol.Iterations + 1
			return err == nil && sol.Status == Infeasible, err == nil && (sol.Status == Infeasible || sol.X != nil)
		}
		begin := lp.Iterations
		for j := range m.n {
			lp.SetBounds(j, now.lo[j], now.up[j])
		}
		for i := range m.m {
			lp.SetBounds(m.n+i, -now.rup[i], -now.rlo[i])
		}
		st := lp.Solve(work, math.Inf(1))
		work -= lp.Iterations - begin + 1
		return st == simplex.Infeasible, st == simplex.Infeasible || st == simplex.Optimal
	}
	if k.Integers {
		take(upTo(m.m), upTo(m.n))
	} else {
		take(lp.Proof())
		if yes, _ := infeasible(); !yes { // the certificate left something out as too small
			take(upTo(m.m), upTo(m.n))
		}
	}
	var filter func(part []member)
	filter = func(part []member) {
		for _, x := range part {
			x.set(&now, &free)
		}
		yes, sure := infeasible()
		if yes {
			return // none of them is needed
		}
		for _, x := range part {
			x.set(&now, m)
		}
		if len(part) > 1 {
			filter(part[:len(part)/2])
			filter(part[len(part)/2:])
			return
		}
		k.ProvenMinimal = k.ProvenMinimal && sure
		switch x := part[0]; x.kind {
		case 'r':
			k.Rows = append(k.Rows, x.index)
		case 'l':
			k.Lower = append(k.Lower, x.index)
		default:
			k.Upper = append(k.Upper, x.index)
		}
	}
	if len(members) > 0 {
		filter(members)
	}
	return k
}

func infinite(n, sign int) []float64 {
	v := make([]float64, n)
	for i := range v {
		v[i] = math.Inf(sign)
	}
	return v
}

func upTo(n int) []int {
	v := make([]int, n)
	for i := range v {
		v[i] = i
	}
	return v
}

// set copies the member from one model to another.
func (x member) set(to, from *model) {
	switch x.kind {
	case 'r':
		to.rlo[x.index], to.rup[x.index] = from.rlo[x.index], from.rup[x.index]
	case 'l':
		to.lo[x.index] = from.lo[x.index]
	default:
		to.up[x.index] = from.up[x.index]
	}
}

// problem states the model as a question: any whole point will do.
func (m *model) problem() Problem {
	p := Problem{}
	for j := range m.n {
		p.AddColumn(Column{Lower: m.lo[j], Upper: m.up[j], Integer: m.integer[j]})
	}
	for i := range m.m {
		row := Row{Lower: m.rlo[i], Upper: m.rup[i]}
		for k := m.rstart[i]; k < m.rstart[i+1]; k++ {
			row.Entries = append(row.Entries, Entry{int(m.rindex[k]), m.rvalue[k]})
		}
		p.Rows = append(p.Rows, row)
	}
	return p
}
