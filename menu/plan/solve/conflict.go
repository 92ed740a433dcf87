// Conflicts: why a problem has no solution, as a smallest set of rows and bounds that cannot hold together.
//
// Source: Chinneck & Dravnieks, "Locating minimal infeasible constraint sets in linear programs" (1991): the deletion filter,
// started from the rows and bounds of a Farkas certificate.

package solve

import (
	"context"
	"math"

	"kettletree/menu/plan/solve/simplex"
)

// conflictNodes bounds each question "is the rest feasible?" on problems with integers.
const conflictNodes = 300

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
	free := *m // all members out
	free.lo, free.up = infinite(m.n, -1), infinite(m.n, 1)
	free.rlo, free.rup = infinite(m.m, -1), infinite(m.m, 1)

	lp := m.lp()
	k := &Conflict{Integers: lp.Solve(noLimit, math.Inf(1)) != simplex.Infeasible, ProvenMinimal: true}
	var members []member
	rows, cols := lp.Proof()
	if k.Integers {
		rows, cols = upTo(m.m), upTo(m.n)
	}
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
	// Start from the members alone: everything else is out.
	now := free
	now.lo, now.up, now.rlo, now.rup = infinite(m.n, -1), infinite(m.n, 1), infinite(m.m, -1), infinite(m.m, 1)
	for _, x := range members {
		x.set(&now, m)
	}
	if !k.Integers {
		lp = now.lp()
	}
	for _, x := range members {
		x.set(&now, &free)
		var feasible, sure bool
		if k.Integers {
			feasible, sure = now.feasible(ctx)
		} else {
			x.inLP(lp, &now)
			feasible, sure = lp.Solve(noLimit, math.Inf(1)) != simplex.Infeasible, true
		}
		k.ProvenMinimal = k.ProvenMinimal && sure && ctx.Err() == nil
		if !feasible && ctx.Err() == nil {
			continue // not needed
		}
		x.set(&now, m)
		if !k.Integers {
			x.inLP(lp, &now)
		}
		switch x.kind {
		case 'r':
			k.Rows = append(k.Rows, x.index)
		case 'l':
			k.Lower = append(k.Lower, x.index)
		default:
			k.Upper = append(k.Upper, x.index)
		}
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

func (x member) inLP(lp *simplex.LP, m *model) {
	if x.kind == 'r' {
		lp.SetBounds(m.n+x.index, -m.rup[x.index], -m.rlo[x.index])
		return
	}
	lp.SetBounds(x.index, m.lo[x.index], m.up[x.index])
}

// feasible searches for any whole point, with a limit; sure is false when the limit ended the search.
func (m *model) feasible(ctx context.Context) (feasible, sure bool) {
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
	sol, err := Solve(ctx, p, Options{Nodes: conflictNodes})
	return err != nil || sol.Status != Infeasible, err == nil && (sol.Status == Infeasible || sol.X != nil)
}
