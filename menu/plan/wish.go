package plan

// Wishes: batches that are set, and dishes that are left out.

import (
	"fmt"
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
	batches int
}

// ReadFix reads "night kettle@tue=1"; without a day it is every day. The error says what would be right.
func ReadFix(w *week.Week, text string) (f Fix, err error) {
	fail := func(err error) (Fix, error) { return Fix{}, fmt.Errorf("--batches %q: %w", text, err) }
	f.Text = text
	subject, number, ok := strings.Cut(text, "=")
	if !ok {
		return fail(fmt.Errorf(`how many batches? write it as "night kettle@tue=1"`))
	}
	name, day, dated := strings.Cut(subject, "@")
	if f.step, err = w.FindStep(strings.TrimSpace(name)); err != nil {
		return fail(err)
	}
	switch w.Graph.Steps[f.step].Mode {
	case graph.AllOf:
		return fail(fmt.Errorf("%q takes all there is: its batches can't be set", w.Graph.Steps[f.step].Name))
	case graph.ToOrder:
		return fail(fmt.Errorf("%q is made to order: its batches can't be set", w.Graph.Steps[f.step].Name))
	}
	if f.batches, err = strconv.Atoi(strings.TrimSpace(number)); err != nil || f.batches < 0 {
		return fail(fmt.Errorf("%q is not a number of batches: write a whole number from 0", strings.TrimSpace(number)))
	}
	if dated {
		if f.days, err = w.DaysNamed(strings.TrimSpace(day)); err != nil {
			return fail(err)
		}
		return f, nil
	}
	for d := range w.Days {
		f.days = append(f.days, d)
	}
	return f, nil
}

// wishes sets the bounds of the batches that are fixed.
func (m *model) wishes() error {
	if !m.seedless && !m.held {
		m.leaveSeeds()
	}
	for _, f := range m.fix {
		for r, run := range m.sched.Batches {
			if run.Step != f.step || m.batch[r] < 0 || !slices.Contains(f.days, run.Day) {
				continue
			}
			c := &m.p.Columns[m.batch[r]]
			if f.batches > m.most[r] {
				return fmt.Errorf("--batches %q: at most %d can be done on %s: %s", f.Text, m.most[r], m.DayName(run.Day), m.why(run))
			}
			if float64(f.batches) > c.Upper {
				return fmt.Errorf("--batches %q: what %q takes can't be had on %s, or it would begin after the last day", f.Text, m.g.Steps[f.step].Name, m.DayName(run.Day))
			}
			c.Lower, c.Upper = float64(f.batches), float64(f.batches)
		}
	}
	// A vessel that two fixed works hold at once is told here, for it needs no search.
	for r, row := range m.p.Rows {
		if !m.about[r].vessel {
			continue
		}
		var names []string
		for _, e := range row.Entries {
			for b, col := range m.batch {
				if col >= 0 && m.p.Columns[col].Lower > 0 && (col == e.Col || m.lit[b] == e.Col && m.most[b] > 1) {
					names = append(names, m.p.Columns[col].Name)
				}
			}
		}
		if len(names) > 1 {
			return fmt.Errorf("--batches: %s would be in one vessel at %s (%s): move one, or leave it out", strings.Join(names, " and "),
				m.about[r].when, m.about[r].pos)
		}
	}
	return nil
}

// why says what bounds the batches of a run.
func (m *model) why(run flow.Batch) string {
	if v := m.Steps[run.Step].Vessel; v >= 0 && m.Vessels[v].Holds > 0 && run.Start != flow.Untimed {
		return fmt.Sprintf("%s holds no more (%s)", m.Vessels[v].Name, m.Vessels[v].Pos)
	}
	return fmt.Sprintf("twice what the standing week does on its fullest day (%s)", m.StepPos[run.Step].Pos)
}
