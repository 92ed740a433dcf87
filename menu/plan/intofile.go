package plan

// A plan proposed as the standing week: its batches, as a change of the kitchen file.

import (
	"fmt"
	"slices"
	"time"

	"github.com/aymanbagabas/go-udiff"

	"kettletree/graph"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
)

// Proposal is a change of a kitchen file: batches of the standing week, as a plan has them.
type Proposal struct {
	Kitchen string   `json:"kitchen"` // the kitchen file
	Changes []Change `json:"changes"`
	Notes   []string `json:"notes,omitempty"` // days that are left as they are, and why
	Diff    string   `json:"diff"`            // unified; "" when nothing changes
	Written bool     `json:"written"`         // whether the file was changed
}

// Change is a step of which the standing week gets other batches on a weekday.
type Change struct {
	Step    string  `json:"step"`
	Day     string  `json:"day"` // "Tuesday"
	Was     float64 `json:"was"`
	Becomes float64 `json:"becomes"`
}

// IntoFile proposes to write the batches of what is kept into the standing week of a kitchen file, and gives the text that the
// file would have; it is nil when nothing changes. src is the text that k was read from. A weekday that the plan does not have
// stays as it is, and so does one whose date differs from the standing week by the calendar. The error is a
// [*kitchen.AmendError].
func (k *Kept) IntoFile(of *kitchen.Kitchen, src []byte) (*Proposal, []byte, error) {
	p := &Proposal{Kitchen: of.File, Changes: []Change{}}
	now := map[int]*kitchen.Standing{} // by step
	set := map[[2]int]KeptDay{}        // by step and weekday
	for _, d := range k.Days {
		if of.DateOn(d.Date) != nil {
			p.Notes = append(p.Notes, fmt.Sprintf("%s differs from the standing week by the calendar, so no %s is written", measure.FormatDay(d.Date), d.Date.Weekday()))
			continue
		}
		for _, b := range d.Batches {
			step := slices.IndexFunc(of.Graph.Steps[:len(of.Steps)], func(st graph.Step) bool { return st.Name == b.Step })
			if step < 0 || of.Graph.Steps[step].Mode != graph.OnDays {
				continue
			}
			if now[step] == nil {
				now[step] = &kitchen.Standing{Step: step, Batches: of.Steps[step].Batches}
			}
			at := [2]int{step, int(d.Date.Weekday())}
			becomes := &now[step].Batches[at[1]]
			if before, twice := set[at]; twice && *becomes != halved(b.Batches) {
				return nil, nil, &kitchen.AmendError{Msg: fmt.Sprintf("the plan has %s of %q on %s and %s on %s: a standing week has one %s", batches(*becomes),
					b.Step, measure.FormatDay(before.Date), measure.FormatNumber(b.Batches), measure.FormatDay(d.Date), d.Date.Weekday()), Hint: "plan 7 days"}
			}
			*becomes, set[at] = halved(b.Batches), d
		}
	}
	var standing []kitchen.Standing
	for step := range of.Steps {
		s := now[step]
		if s == nil || s.Batches == of.Steps[step].Batches {
			continue
		}
		standing = append(standing, *s)
		for n := range 7 {
			day := (n + 1) % 7
			if was := of.Steps[step].Batches[day]; was != s.Batches[day] {
				p.Changes = append(p.Changes, Change{of.Graph.Steps[step].Name, time.Weekday(day).String(), was, s.Batches[day]})
			}
		}
	}
	if len(standing) == 0 {
		return p, nil, nil
	}
	text, err := of.AmendBatches(src, standing...)
	if err != nil {
		return nil, nil, err
	}
	p.Diff = udiff.Unified(of.File, of.File, string(src), string(text))
	return p, text, nil
}
