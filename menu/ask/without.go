package ask

// What batches and dishes go on without, as the kitchen file lets them: what is to taste, and what gives or takes a part.

import (
	"slices"
	"time"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu/week"
)

// Missing is what a batch goes without, or all that has no batch from one day to another.
type Missing struct {
	In     string  `json:"in"`   // "Tuesday's night kettle", or a dish or step over several days
	From   string  `json:"from"` // 2006-01-02
	To     string  `json:"to"`   // 2006-01-02
	Item   string  `json:"item"` // the first choice
	Amount float64 `json:"amount"`
	Of     float64 `json:"of"` // what would go in
	Unit   string  `json:"unit"`

	Many string `json:"-"` // what several of the item are called, where it is counted
}

// missing is what the work of a step went without of a line: one batch of it, or all that has no batch.
type missing struct {
	step, line, run int
	from, to        int     // days
	amount, of      float64 // base units of the line's first choice
}

// GoesWithout tells what work goes without in an outcome of a schedule, batch by batch, then what has no batch. A day asks for
// what is missing on that one; nil for all.
func GoesWithout(w *week.Week, s *flow.Schedule, o *flow.Outcome, on *int) (list []Missing) {
	for _, m := range missed(w.Graph, s, o, on) {
		it, name := w.Graph.Items[w.Graph.Steps[m.step].Takes[m.line].Choices[0].Item], w.Graph.Steps[m.step].Name
		if m.from == m.to {
			name = w.OfDay(m.from, name)
		}
		list = append(list, Missing{In: name, From: w.Date(m.from).Format(time.DateOnly), To: w.Date(m.to).Format(time.DateOnly),
			Item: it.Name, Amount: m.amount / it.Unit.Factor, Of: m.of / it.Unit.Factor, Unit: it.Unit.Name, Many: it.Many})
	}
	return list
}

// Beyond is what goes without in one list and not, or with more, in another.
func Beyond(is, was []Missing) []Missing {
	return slices.DeleteFunc(slices.Clone(is), func(m Missing) bool {
		return slices.ContainsFunc(was, func(o Missing) bool { return o.In == m.In && o.Item == m.Item && o.Amount >= m.Amount*(1-whole) })
	})
}

// missed gathers what an outcome lacks.
func missed(g *graph.Graph, s *flow.Schedule, o *flow.Outcome, on *int) (list []missing) {
	for _, l := range o.Lacks {
		m := missing{step: l.Step, line: l.Line, run: l.Run, from: l.At / 1440, amount: l.Amount,
			of: l.Batches * g.Steps[l.Step].Takes[l.Line].Choices[0].Amount}
		if l.Run >= 0 {
			m.from = s.Batches[l.Run].Day
		}
		if on != nil && *on != m.from {
			continue
		}
		m.to = m.from
		at := slices.IndexFunc(list, func(x missing) bool {
			return x.step == m.step && x.line == m.line && (x.run < 0) == (m.run < 0) && (m.run < 0 || x.from == m.from)
		})
		if at < 0 {
			list = append(list, m)
			continue
		}
		x := &list[at]
		x.to, x.amount, x.of = max(x.to, m.to), x.amount+m.amount, x.of+m.of
	}
	slices.SortStableFunc(list, func(a, b missing) int { return min(b.run, 0) - min(a.run, 0) })
	return list
}
