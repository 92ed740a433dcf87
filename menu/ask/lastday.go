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
// until then, not what keeps only for the day on which it comes. It follows the lots of the played week, first in, first out.
func LastDays(ctx context.Context, w *week.Week, day int) (list []LastDay, err error) {
	played, err := w.Play(ctx)
	if err != nil {
		return nil, err
	}
	rec := played.Record
	lots := make([]flow.Queue[int], len(w.Graph.Items)) // by item; the day on which it was made
	onHand := slices.Clone(w.Case.Schedule.OnHand)
	slices.SortStableFunc(onHand, func(a, b flow.Lot) int { return a.Made - b.Made })
	for _, l := range onHand {
		lots[l.Item].Put(l.Made, l.Amount)
	}
	opens := day * 1440
	for _, s := range slices.Backward(w.Case.Schedule.Slots) {
		if s.Day == day {
			opens = s.Start
		}
	}
	there, binned := make([]float64, len(lots)), make([]float64, len(lots))
	count := func() {
		for item, q := range lots {
			for _, p := range q.Parts {
				if keeps := w.Terms.Keeps[item]; keeps > 0 && p.Lot < day && p.Lot+keeps-1 == day {
					there[item] += p.Amount
				}
			}
		}
	}
	counted := false
	for _, e := range rec.Entries {
		if e.At >= opens && !counted {
			count()
			counted = true
		}
		if e.At > (day+1)*1440 {
			break
		}
		switch e.What {
		case flow.Arrived, flow.Came:
			lots[e.Item].Put(e.At/1440, e.Amount)
		case flow.Expired:
			lots[e.Item].Draw(e.Amount)
			if e.At == (day+1)*1440 {
				binned[e.Item] += e.Amount
			}
		case flow.Took, flow.Spoiled:
			lots[e.Item].Draw(e.Amount)
		}
	}
	if !counted {
		count()
	}
	for item, it := range w.Graph.Items {
		if there[item] > 1e-6*it.Unit.Factor { // a crumb that sums of rounded products leave
			list = append(list, LastDay{it.Name, it.Unit.Name, there[item] / it.Unit.Factor, binned[item] / it.Unit.Factor})
		}
	}
	return list, nil
}
