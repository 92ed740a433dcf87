package menu

import (
	"time"

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
