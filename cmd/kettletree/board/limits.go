package board

// What of Today the log book and the timetable know beside what runs short: dishes that were 86'd, to be put back by one tap; cooling
// that broke a limit or must be measured soon; vessels in which two things are to be at once.

import (
	"cmp"
	"context"
	"fmt"
	"time"

	"kettletree/cmd/kettletree/show"
	"kettletree/menu/clock"
	"kettletree/menu/kitchen"
	"kettletree/menu/logbook"
	"kettletree/menu/tongue"
)

// offDish is a dish that was struck off a service.
type offDish struct {
	Name  string
	Entry int64 // that struck it off, which is taken back by one tap; 0 where that is too long ago
}

// OffNames are the dishes that were struck off.
func (s *todayService) OffNames() (names []string) {
	for _, d := range s.Off {
		names = append(names, d.Name)
	}
	return names
}

// struckBy finds the entries that struck dishes off.
func (t *todayAnswer) struckBy(ctx context.Context, a *asked) error {
	any := false
	for _, s := range t.Services {
		any = any || len(s.Off) > 0
	}
	if !any {
		return nil
	}
	lines, err := a.entries(ctx, mostCame)
	if err != nil {
		return err
	}
	for _, s := range t.Services {
		for n := range s.Off {
			d := &s.Off[n]
			for _, l := range lines {
				if l.Kind != logbook.Struck || l.Gone != 0 || l.Dish != d.Name || l.Service != "" && l.Service != s.Service {
					continue
				}
				day := l.Day
				if _, err := time.Parse(time.DateOnly, day); err != nil { // none was said, or a weekday
					day = l.At[:len(time.DateOnly)]
				}
				if day == s.Date {
					d.Entry = max(d.Entry, l.Entry)
				}
			}
		}
	}
	return nil
}

// measured is how long before a limit is due it is said that the temperature must be taken, in minutes. Common practice, no source.
const measured = 60

// cooled are the readings of the last day, item by item, judged.
func (a *asked) cooled(ctx context.Context) ([]clock.Cooled, error) {
	return standing(ctx, a, "cooled", func(ctx context.Context) ([]clock.Cooled, error) {
		if !logbook.Exists(a.board.LogBook) {
			return nil, nil
		}
		var logs []kitchen.CoolingLog
		err := a.board.book.use(ctx, a.Kitchen, func(j *logbook.Book) (err error) {
			logs, err = j.CoolingLogs(ctx, a.Kitchen, a.Now)
			return err
		})
		if err != nil || len(logs) == 0 {
			return nil, err
		}
		return clock.JudgeCooling(a.Kitchen.Code, logs, nil, nil, a.Now, tongue.Voice{}).Items, nil
	})
}

// cooling finds what cools too slowly, by what was read in the last day, and what must be measured soon.
func (t *todayAnswer) cooling(ctx context.Context, a *asked) error {
	items, err := a.cooled(ctx)
	if err != nil {
		return refusal(err)
	}
	for _, c := range items {
		if done := c.Stages; len(done) > 0 && done[len(done)-1].State == clock.LimitMet && !broke(done) {
			continue
		}
		now := clock.ReadNow(a.Kitchen, c.Stages, a.Now)
		for n, v := range c.Stages {
			switch {
			case v.State == clock.LimitBroken:
				t.Trouble = append(t.Trouble, trouble{What: "Cooling broke a limit: " + c.Item, Why: v.Says, Item: c.Item, portions: unsafe})
			case n == now, v.State == clock.LimitOpen && !v.DueAt.IsZero() && v.DueAt.Sub(a.Now) <= measured*time.Minute:
				why := fmt.Sprintf("it must be at %s by %s", a.degrees(v.To, a.Kitchen.Code.Scale), v.DueAt.Format("15:04"))
				if v.Unread {
					why = fmt.Sprintf("it had to be at %s by %s, and no reading tells", a.degrees(v.To, a.Kitchen.Code.Scale), show.WhenOf(v.DueAt.Format("2006-01-02T15:04")))
				}
				t.Trouble = append(t.Trouble, trouble{What: "Take the temperature of " + c.Item, Why: why, Item: c.Item, portions: unsafe - 1})
			default:
				continue
			}
			break
		}
	}
	return nil
}

func broke(list []clock.Verdict) bool {
	for _, v := range list {
		if v.State == clock.LimitBroken {
			return true
		}
	}
	return false
}

// thermometer is the scale in which a temperature was written down last, or else that of the kitchen.
func (a *asked) thermometer(ctx context.Context) (scale string, err error) {
	if logbook.Exists(a.board.LogBook) {
		err = a.board.book.use(ctx, a.Kitchen, func(j *logbook.Book) (err error) {
			scale, err = j.Thermometer(ctx)
			return err
		})
	}
	return cmp.Or(scale, a.Kitchen.Thermometer()), err
}
