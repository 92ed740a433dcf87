package plan

// Totals, which the search decides on before their parts.

import (
	"slices"

	"kettletree/menu/plan/solve"
)

// totalled is the program with a whole column for the portions of each dish over all its services, and one for all packs of each item:
// what a search splits on first, for that they are whole no split of a single service can say, where guests may as well be served at
// another for the same money. They stand behind the columns of the program, and change none of its points.
func (m *model) totalled() (p solve.Problem, hints []solve.Hint, sums [][]int) {
	if p, hints = m.p, slices.Clone(m.hints); m.loose { // a conflict names what the program itself has
		return p, hints, nil
	}
	p.Columns, p.Rows = slices.Clone(p.Columns), slices.Clone(p.Rows)
	total := func(name string, hint solve.Hint, parts []int) {
		parts = slices.DeleteFunc(parts, func(col int) bool { return col < 0 })
		if len(parts) < 2 || slices.ContainsFunc(parts, func(col int) bool { return !p.Columns[col].Integer }) {
			return
		}
		hint.When = none
		entries, all := make([]solve.Entry, 0, len(parts)+1), solve.Column{Name: name + " in all", Integer: true}
		for _, c := range parts {
			entries = append(entries, solve.Entry{Col: c, Value: 1})
			all.Lower, all.Upper = all.Lower+p.Columns[c].Lower, all.Upper+p.Columns[c].Upper
		}
		p.AddRow(all.Name, 0, 0, append(entries, solve.Entry{Col: p.AddColumn(all), Value: -1})...)
		hints, sums = append(hints, hint), append(sums, parts)
	}
	for d, dish := range m.Kitchen.Dishes {
		var parts []int
		for _, cols := range m.portions {
			parts = append(parts, cols[d])
		}
		total(dish.Name, solve.Hint{Group: selling, What: len(m.Steps) + d}, parts)
	}
	for i, days := range m.packs {
		total("packs of "+m.g.Items[i].Name, solve.Hint{Group: packing, What: none}, slices.Clone(days))
	}
	return p, hints, sums
}

// withTotals is a point of the program with the columns of its totals.
func withTotals(x []float64, sums [][]int) []float64 {
	x = slices.Clone(x)
	for _, parts := range sums {
		all := 0.0
		for _, c := range parts {
			all += x[c]
		}
		x = append(x, all)
	}
	return x
}
