package plan

import (
	"math"
	"slices"

	"kettletree/graph/flow"
	"kettletree/menu/week"
)

// Between the columns of the program and what a kitchen does: a schedule and its outcome as a point, a point as a schedule.

// point is a schedule as it was played, with its purchases in whole packs; the columns that follow from it are left at nothing.
func (m *model) point(s *flow.Schedule, o *flow.Outcome) []float64 {
	x := m.idle()
	put := func(col int, v float64) {
		if col >= 0 {
			x[col] = min(max(v, m.p.Columns[col].Lower), m.p.Columns[col].Upper)
		}
	}
	ran := map[[2]int]float64{} // by step and day
	for r, run := range s.Batches {
		ran[[2]int{run.Step, run.Day}] += o.Ran[r].Batches
	}
	for r, run := range m.sched.Batches {
		if m.due[r] >= 0 {
			m.stand(r, ran[[2]int{run.Step, run.Day}], put)
		}
		if c, ok := m.filled[r]; ok {
			put(c, float64(m.Fillings(m.Stay(run.Step, run.Day, run.Start, x[m.due[r]]))))
		}
		if c, ok := m.lit[r]; ok {
			put(c, math.Ceil(min(x[m.due[r]], 1)))
		}
	}
	for slot, cols := range m.portions {
		for d, c := range cols {
			put(c, o.Served[slot*len(cols)+d])
		}
	}
	needed, bought := make([]float64, len(m.g.Items)), make([]float64, len(m.g.Items))
	for _, d := range o.Deliveries { // by day
		if m.packs[d.Item] == nil {
			continue
		}
		needed[d.Item] += d.Amount
		if more := math.Ceil((needed[d.Item]-bought[d.Item])/m.pack[d.Item] - whole); more > 0 {
			put(m.packs[d.Item][d.Day], more)
			bought[d.Item] += more * m.pack[d.Item]
		}
	}
	return x
}

// schedule turns a point into a schedule that the walk plays.
func (m *model) schedule(x []float64) *flow.Schedule {
	s := *m.sched
	s.Batches, s.Wants = slices.Clone(s.Batches), slices.Clone(s.Wants)
	for r := range s.Batches {
		if c := m.due[r]; c >= 0 {
			s.Batches[r].Size = x[c]
		}
	}
	for d := range s.Wants {
		s.Wants[d].Forecast = make([]float64, len(s.Slots))
		for slot := range s.Slots {
			if !s.Slots[slot].Closed && m.portions[slot][d] >= 0 {
				s.Wants[d].Forecast[slot] = x[m.portions[slot][d]]
			}
		}
	}
	s.Deliveries, s.Short = slices.Clone(s.Deliveries), slices.Clone(s.Short)
	if s.Short == nil {
		s.Short = make([]bool, len(m.g.Items))
	}
	for i, days := range m.packs {
		if days == nil {
			continue
		}
		s.Short[i] = true
		for d, c := range days {
			if c >= 0 && x[c] > 0 {
				amount := x[c] * m.pack[i]
				s.Deliveries = append(s.Deliveries, flow.Delivery{Item: i, Day: d, Amount: amount, Ordered: amount})
			}
		}
	}
	s.Directions = m.directions(x)
	s.Settle()
	return &s
}

// firstChoices directs every line to its first choice.
func firstChoices(w *week.Week, slots, runs int) *flow.Directions {
	mix := make([]float64, w.Case.Flow.Choices())
	for s, st := range w.Graph.Steps {
		for l := range st.Takes {
			mix[w.Case.Flow.Choice(s, l, 0)] = 1
		}
	}
	mixes := func(n int) [][]float64 {
		list := make([][]float64, n)
		for k := range list {
			list[k] = slices.Clone(mix)
		}
		return list
	}
	return &flow.Directions{Serve: mixes(slots), Run: mixes(runs), All: mixes(slots)}
}

// directions say how the lines are filled that have a choice.
func (m *model) directions(x []float64) *flow.Directions {
	d := firstChoices(m.Week, len(m.sched.Slots), len(m.sched.Batches))
	for _, f := range m.fills {
		mix := []float64(nil)
		switch mo := m.row[f.moment]; {
		case mo.Kind == flow.Serves:
			mix = d.Serve[mo.Slot]
		case mo.Run >= 0:
			mix = d.Run[mo.Run]
		default:
			mix = d.All[mo.Slot]
		}
		if x[f.runs] < Crumb {
			continue // not done: whatever it would take
		}
		line := m.g.Steps[f.step].Takes[f.line]
		sum := 0.0
		for n, c := range f.choices {
			share := x[c] / x[f.runs]
			if share < Crumb {
				share = 0
			}
			sum += share
			mix[m.Case.Flow.Choice(f.step, f.line, n)] = share
		}
		if !line.Optional && line.Without == 0 && sum > 0 { // what rounding left goes round
			for n := range f.choices {
				mix[m.Case.Flow.Choice(f.step, f.line, n)] /= sum
			}
		}
	}
	return d
}
