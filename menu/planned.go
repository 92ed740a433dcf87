package menu

import (
	"context"
	"slices"
	"time"

	"kettletree/graph/flow"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
	"kettletree/menu/plan"
	"kettletree/menu/week"
)

// AsPlanned plans days as the kitchen file has them, with a plan laid over them, nil for none: by it the log book tells which
// batch an entry means, and what went as planned where nothing was written.
func AsPlanned(k *kitchen.Kitchen, kept *plan.Kept) logbook.Planned {
	return func(from time.Time, days int) (*week.Week, error) {
		w, err := week.Over(k, week.Period{From: from, Days: days})
		if err != nil || kept == nil {
			return w, err
		}
		by := kept
		if days == 1 { // a day alone is played from moment to moment: what is ordered for it is found among days in a row
			by = kept.Came(from)
		}
		w, _ = plan.Lay(by, w)
		return w, nil
	}
}

// decided is a week with what the log book says was decided about its days, as [logbook.Book.Decisions] has it. A special that was
// written down as offered is offered so, and not once more as the plan has it.
func decided(ctx context.Context, book *logbook.Book, w *week.Week, asOf time.Time) (knowing *week.Week, made, odd []string, err error) {
	knowing, made, odd, err = book.Decisions(ctx, w, asOf)
	if err != nil || knowing == w {
		return knowing, made, odd, err
	}
	s := *knowing.Case.Schedule
	s.Wants = slices.Clone(s.Wants)
	for d, dish := range w.Dishes {
		if !dish.Special {
			continue
		}
		s.Wants[d].Forecast = slices.Clone(s.Wants[d].Forecast)
		for slot, sit := range w.Sittings {
			if sit.Service < 0 {
				continue
			}
			if planned, is := w.Case.Schedule.Wants[d].Forecast[slot], &s.Wants[d].Forecast[slot]; planned > 0 && *is > planned {
				*is -= planned
			}
		}
	}
	return knowing.With(flow.Case{Flow: knowing.Case.Flow, Schedule: &s}), made, odd, nil
}
