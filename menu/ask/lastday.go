package ask

// What must be used on a day, for it is the last on which it may be.

import (
	"context"
	"slices"
	"time"

	"kettletree/graph/flow"
	"kettletree/menu/week"
)

// LastDay is what lies on the shelf and may be used for the last time. Quantities are in the unit of the item.
type LastDay struct {
	Item   string  `json:"item"`
	Unit   string  `json:"unit"`
	Amount float64 `json:"amount"` // there when the first service of the day begins, or when the day does where there is none
	Binned float64 `json:"binned"` // what of it the week as it stands bins when the day ends
	Past   string  `json:"past"`   // 2006-01-02: that was the last day by the date mark of the oldest of it, and it is over; "" when today is the last
}

// LastDays lists what must be used on a day of the period, in the order of the file: what came or was made so long ago that it may be used
// until then, by the kitchen file and by the code's date mark, not what keeps only for the day on which it comes. What lies there past
// its date mark stands among it: it is not counted, and must not be served.
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
	n := len(w.Graph.Items)
	there, binned, past, since := make([]float64, n), make([]float64, n), make([]float64, n), make([]time.Time, n)
	note := func(item int, amount float64, last time.Time) {
		if past[item] == 0 || last.Before(since[item]) {
			since[item] = last
		}
		past[item] += amount
	}
	dates := w.Dates(w.Case.Schedule, rec)
	for _, p := range rec.Left(before) {
		l := rec.Lots[p.Lot]
		switch last, ok := dates.Last(l.Item, l.Made, dates.Of(p.Lot)); {
		case !ok || l.Made+l.Aged >= day || last > day:
		case last == day:
			there[l.Item] += p.Amount
		default: // made since, of what was older than the file's keeping lets it be
			note(l.Item, p.Amount, w.Date(last))
		}
	}
	for _, p := range w.Past {
		if p.Code {
			note(p.Item, p.Amount, p.Last)
		}
	}
	for _, e := range rec.Entries {
		if e.What == flow.Expired && e.At == (day+1)*1440 {
			binned[e.Item] += e.Amount
		}
	}
	for item, it := range w.Graph.Items {
		if past[item] > 1e-6*it.Unit.Factor {
			list = append(list, LastDay{Item: it.Name, Unit: it.Unit.Name, Amount: past[item] / it.Unit.Factor, Past: since[item].Format(time.DateOnly)})
		}
		if there[item] > 1e-6*it.Unit.Factor { // a crumb that sums of rounded products leave
			list = append(list, LastDay{Item: it.Name, Unit: it.Unit.Name, Amount: there[item] / it.Unit.Factor, Binned: binned[item] / it.Unit.Factor})
		}
	}
	return list, nil
}
