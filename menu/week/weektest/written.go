package weektest

// A log book to test with: a week as it was planned, the way a cook would write it down.

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"kettletree/graph/measure"
	"kettletree/menu/week"
)

// Entry is what a cook would write, and when.
type Entry struct {
	At   time.Time
	Text string
}

// Written is what a week comes to as entries of a log book, by time: what was on hand when it began, what came, what was cooked on its
// day, and what was sold.
func Written(ctx context.Context, w *week.Week) (list []Entry, err error) {
	played, err := w.Play(ctx)
	if err != nil {
		return nil, err
	}
	add := func(minute int, format string, args ...any) {
		list = append(list, Entry{w.From.Add(time.Duration(minute) * time.Minute), fmt.Sprintf(format, args...)})
	}
	amount := func(item int, base float64) string {
		it := w.Graph.Items[item]
		return strings.ReplaceAll(measure.FormatNumber(base/it.Unit.Factor), ",", "") + " " + it.Unit.Name + " " + it.Name
	}
	s, o := played.Schedule, played.Outcome
	stock := make([]float64, len(w.Graph.Items))
	for _, l := range s.OnHand {
		stock[l.Item] += l.Amount
	}
	for item, base := range stock {
		if base > 0 {
			add(0, "counted %s", amount(item, base))
		}
	}
	for _, d := range o.Deliveries {
		if d.Amount > 0 && d.Day < w.Days {
			add(d.Day*1440+7*60, "received %s", amount(d.Item, d.Amount))
		}
	}
	for r, b := range s.Batches {
		if ran := o.Ran[r]; b.Day < w.Days && ran.Batches > 0 {
			out := 0
			for _, g := range w.Graph.Steps[b.Step].Gives {
				out = max(out, g.OutAt)
			}
			add(ran.Start+out, "cooked %s x%s", w.Graph.Steps[b.Step].Name, measure.FormatNumber(ran.Batches))
		}
	}
	for at, sitting := range w.Sittings {
		for d, dish := range w.Dishes {
			if n := int(o.Served[at*len(s.Wants)+d]); sitting.Service >= 0 && n > 0 {
				add(s.Slots[at].End, "sold %d %s at %s", n, dish.Name, w.Services[sitting.Service].Name)
			}
		}
	}
	slices.SortStableFunc(list, func(a, b Entry) int { return a.At.Compare(b.At) })
	return list, nil
}
