package ask

// What must be used on a day, for it is the last on which it may be.

import (
	"context"
	"slices"

	"kettletree/graph/flow"
	"kettletree/menu/week"
)

// LastDay is what lies on the shelf and may be used for the last time. Quantities are in the unit of the item.
type LastDay struct {
	Item   string  `json:"item"`
	Unit   string  `json:"unit"`
	Amount float64 `json:"amount"` // there when the first service of the day begins, or when the day does where there is none
	Binned float64 `json:"binned"` // what of it the week as it stands bins when the day ends
}

// LastDays lists what must be used on a day of the period, in the order of the file: what came or was made so long ago that it keeps
// until then, not what keeps only for the day on which it comes.
func LastDays(ctx context.Context, w *week.Week, day int) (list []LastDay, err error) {
	played, err := w.Play(ctx)
	if err != nil {
		return nil, err
	}
	rec := played.Record
	opens := day * 1440
	for _, s := range slices.Backward(w.Case.Schedule.Slots) {
		if s.Day == day {
			opens = s.Start
		}
	}
	before := slices.IndexFunc(rec.Entries, func(e flow.Entry) bool { return e.At >= opens })
	if before < 0 {
		before = len(rec.Entries)
	}
	there, binned := make([]float64, len(w.Graph.Items)), make([]float64, len(w.Graph.Items))
	for _, p := range rec.Left(before) {
		l := rec.Lots[p.Lot]
		if keeps := w.Terms.Keeps[l.Item]; keeps > 0 && l.Made < day && l.Made+keeps-1 == day {
			there[l.Item] += p.Amount
		}
	}
	for _, e := range rec.Entries {
		if e.What == flow.Expired && e.At == (day+1)*1440 {
			binned[e.Item] += e.Amount
		}
	}
	for item, it := range w.Graph.Items {
		if there[item] > 1e-6*it.Unit.Factor { // a crumb that sums of rounded products leave
			list = append(list, LastDay{it.Name, it.Unit.Name, there[item] / it.Unit.Factor, binned[item] / it.Unit.Factor})
		}
	}
	return list, nil
}
