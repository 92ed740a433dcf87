package plan

// Wishes: batches that are set, and dishes that are left out.

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu/week"
)

// Fix sets the batches of a step on some days.
type Fix struct {
	Text    string // as it was typed
	step    int
	days    []int
	batches float64
}

// mostBatches bounds what is set, where no vessel does.
const mostBatches = 1000

// ReadFix reads "night kettle@tue=1". Without a day, some batches are for the days on which the standing week
// has any; none, or those of a step that stands on no day, are for every day. The error says what would be right.
func ReadFix(w *week.Week, text string) (f Fix, err error) {
	fail := func(err error) (Fix, error) { return Fix{}, fmt.Errorf("--batches %q: %w", text, err) }
	f.Text = text
	subject, number, ok := strings.Cut(text, "=")
	if !ok {
		return fail(fmt.Errorf("how many batches? write it as \"%s@%s=1\"", w.Example().Step, w.Example().Day))
	}
	name, day, dated := strings.Cut(subject, "@")
	if f.step, err = w.FindStep(strings.TrimSpace(name)); err != nil {
		return fail(err)
	}
	switch w.Graph.Steps[f.step].Mode {
	case graph.AllOf:
		return fail(fmt.Errorf("%q takes all there is: its batches can't be set", w.Graph.Steps[f.step].Name))
	case graph.ToOrder:
		if w.Graph.Steps[f.step].AsNeeded() {
			return fail(fmt.Errorf("%q is made as it is needed: its batches can't be set", w.Graph.Steps[f.step].Name))
		}
		return fail(fmt.Errorf("%q is made to order: its batches can't be set", w.Graph.Steps[f.step].Name))
	}
	least := w.Steps[f.step].Least()
	if f.batches, err = strconv.ParseFloat(strings.TrimSpace(number), 64); err != nil || !(f.batches >= 0) || math.Mod(f.batches, least) != 0 && f.batches <= mostBatches {
		right := "a whole number from 0"
		if least < 1 {
			right = "a number from 0, such as 1 or 0.5"
		}
		return fail(fmt.Errorf("%q is not a number of batches: write %s", strings.TrimSpace(number), right))
	}
	if f.batches > mostBatches {
		return fail(fmt.Errorf("%.0f batches are more than can be planned: at most %d", f.batches, mostBatches))
	}
	if dated {
		if f.days, err = w.DaysNamed(strings.TrimSpace(day)); err != nil {
			return fail(err)
		}
		for _, d := range f.days {
			if f.batches > 0 && !w.WorksOn(w.Date(d)) {
				return fail(fmt.Errorf("nobody works on %s: name another day", w.DayName(d)))
			}
		}
		return f, nil
	}
	if f.batches > 0 {
		for _, b := range w.Case.Schedule.Batches {
			if b.Step == f.step && b.Size > 0 && b.Day >= 0 && b.Day < w.Days && !slices.Contains(f.days, b.Day) {
				f.days = append(f.days, b.Day)
			}
		}
	}
	if len(f.days) == 0 {
		for d := range w.Days {
			if w.WorksOn(w.Date(d)) {
				f.days = append(f.days, d)
			}
		}
	}
	return f, nil
}

// wishes sets the bounds of the batches that are fixed.
func (m *model) wishes() error {
	if !m.seedless && !m.held {
		m.leaveSeeds()
	}
	vessels := m.Calendar(&flow.Schedule{From: m.sched.From, Pots: m.sched.Pots}, nil, nil) // with what is set
	for _, run := range m.sched.Batches {
		f := m.fixed(run)
		if f.batches == 0 {
			continue
		}
		if why := vessels.Refuses(run.Step, run.Day, run.Start, f.batches); why != "" {
			return fmt.Errorf("--batches %q: on %s, %s (%s)", f.Text, m.DayName(run.Day), why, m.Vessels[m.Steps[run.Step].Vessel].Pos)
		}
		vessels.Put(m.Stay(run.Step, run.Day, run.Start, f.batches))
	}
	for _, f := range m.fix {
		for r, run := range m.sched.Batches {
			if run.Step != f.step || m.due[r] < 0 || !slices.Contains(f.days, run.Day) {
				continue
			}
			c := &m.p.Columns[m.due[r]]
			if f.batches > c.Upper && !m.limited[r] { // else the search says what is lacking
				return fmt.Errorf("--batches %q: what %q takes can't be had on %s, or it would begin after the last day", f.Text, m.g.Steps[f.step].Name, m.DayName(run.Day))
			}
			c.Lower, c.Upper = f.batches, f.batches
		}
	}
	return nil
}

// fixed is what sets the batches of a run: the last that names it, or the zero Fix.
func (m *model) fixed(run flow.Batch) (last Fix) {
	for _, f := range m.fix {
		if f.step == run.Step && slices.Contains(f.days, run.Day) {
			last = f
		}
	}
	return last
}
