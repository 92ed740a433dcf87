package board

// Today: what can be sold at the next service, what is due in the next two hours, what must be used today.

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu/ask"
	"kettletree/menu/clock"
	"kettletree/menu/week"
)

var todayPage = &page{Path: "/", Name: "Today", File: "today", Shocks: true, EveryMinute: true, Answer: today}

// ahead is how far the page looks into the timetable, in minutes.
const ahead = 120

// todayAnswer is what the page shows.
type todayAnswer struct {
	Service string // "dinner"; "" when no service is left in the days asked about
	Date    string // 2006-01-02
	Hours   string // "17:30 to 22:00"
	Now     bool   // it has begun
	Dishes  []todayDish
	Off     []string // dishes that the file forecasts and the log book has struck off
	Until   string   // the end of what is looked ahead to: "16:05"
	Overdue []clock.Overdue
	OffCard offCard    // what is off its card today
	Due     []todayRow // until then
	Next    *todayRow  // the first thing to do after that, when nothing is due before
	UseUp   []ask.LastDay
	Batches []fact   // what may be lost: "Tuesday's night kettle", and as in ?lose=: "night kettle@tue"
	After   *Follows // nil when nothing is asked about
}

type todayDish struct {
	ask.DishAt
	Struck bool   // nobody is to be served it
	Strike string // as in ?strike=
}

// Short tells that fewer can be sold than are forecast.
func (d todayDish) Short() bool { return d.After < d.Forecast }

type todayRow struct {
	*clock.Row
	Day  string // "Wed 25 Nov", "" for today
	Lose string // as in ?lose=; "" when it is no batch
	Lost string // "Tuesday's night kettle"
}

func today(ctx context.Context, a *asked) (any, error) {
	shocks, err := a.Shocks()
	if err != nil {
		return nil, err
	}
	w := a.Week
	follows, err := a.Follow(ctx, shocks)
	if err != nil {
		return nil, err
	}
	t := &todayAnswer{}
	if len(shocks) > 0 {
		t.After = follows
	}
	now := a.minuteOf()
	if slot := nextService(w, now); slot >= 0 {
		if err := t.service(ctx, a, slot, now, follows.Consequences); err != nil {
			return nil, err
		}
	}
	if err := t.due(ctx, w, now); err != nil {
		return nil, err
	}
	t.struck(w)
	day := a.today()
	if t.UseUp, err = ask.LastDays(ctx, w, day); err != nil {
		return nil, err
	}
	for _, pot := range w.Case.Schedule.Pots {
		t.Batches = append(t.Batches, batch(w, pot.Step, pot.Day))
	}
	t.Batches = append(t.Batches, batches(w, day, day+1)...)
	return t, nil
}

// minuteOf is now, or the beginning of the days asked about when now is not among them.
func (a *asked) minuteOf() int {
	if now := a.Minute(); now >= 0 && now < max(a.Week.Days*1440, a.Week.Now+1) {
		return now
	}
	return 0
}

// nextService is the slot of the service that goes on or comes next; -1 when none is left.
func nextService(w *week.Week, now int) int {
	return slices.IndexFunc(w.Case.Schedule.Slots, func(s flow.Slot) bool { return !s.Closed && s.End > now })
}

func (t *todayAnswer) service(ctx context.Context, a *asked, slot, now int, what *ask.Consequences) error {
	w := a.Week
	s, sit := w.Case.Schedule.Slots[slot], w.Sittings[slot]
	t.Service, t.Date = w.Services[sit.Service].Name, w.Date(sit.Day).Format(time.DateOnly)
	hours := w.HoursOn(w.Date(sit.Day), sit.Service)
	t.Hours = fmt.Sprintf("%s to %s", clockTime(hours.From), clockTime(hours.To))
	t.Now = s.Start <= now
	t.OffCard = ask.Departures(w, what.After, nil, new(0))
	if err := ask.Refuse(w, what.After.Case, what.After.Books, t.OffCard, ask.Replayed(ctx)); err != nil {
		return err
	}
	at := "@" + weekdayWord(w, sit.Day) + " " + t.Service
	for _, d := range what.Dishes {
		if d.Date == t.Date && d.Service == t.Service {
			strike := d.Name + at
			t.Dishes = append(t.Dishes, todayDish{d, d.Forecast == 0, strike})
		}
	}
	return nil
}

// struck finds the dishes that the kitchen file forecasts for the service and nobody is to be served.
func (t *todayAnswer) struck(w *week.Week) {
	slot := slices.IndexFunc(w.Sittings, func(s week.Sitting) bool {
		return s.Service >= 0 && w.Date(s.Day).Format(time.DateOnly) == t.Date && w.Services[s.Service].Name == t.Service
	})
	if slot < 0 {
		return
	}
	sit, planned := w.Sittings[slot], cmp.Or(w.Planned, w.Case.Schedule)
	for d, dish := range w.Kitchen.Dishes {
		if dish.Special {
			continue
		}
		if typed, _ := w.SellsOn(d, w.Date(sit.Day), sit.Service); typed > 0 && planned.Wants[d].Forecast[slot] == 0 {
			t.Off = append(t.Off, dish.Name)
		}
	}
}

// due finds what is overdue, and what is to be done soon.
func (t *todayAnswer) due(ctx context.Context, w *week.Week, now int) error {
	table, err := clock.Of(ctx, w, nil)
	if err != nil {
		return err
	}
	t.Until, t.Overdue = clockTime(now+ahead), table.Overdue
	var all []fact
	for _, pot := range w.Case.Schedule.Pots {
		all = append(all, batch(w, pot.Step, pot.Day))
	}
	all = append(all, batches(w, 0, w.Days-1)...)
	for i := range table.Rows {
		r := &table.Rows[i]
		if r.Minute() < now || r.Entry > 0 {
			continue
		}
		row := todayRow{Row: r}
		if r.Minute()/1440 != now/1440 {
			row.Day = w.DayName(r.Minute() / 1440)
		}
		// A batch goes by the day on which it was to begin, be it lit after midnight.
		if begun, err := time.Parse(time.DateOnly, cmp.Or(r.Day, r.Begun[:len(time.DateOnly)])); err == nil && r.Do != clock.Serve {
			lose := r.Step + "@" + weekdayWord(w, int(math.Floor(begun.Sub(w.From).Hours()/24)))
			if at := slices.IndexFunc(all, func(b fact) bool { return b.Value == lose }); at >= 0 {
				row.Lose, row.Lost = lose, all[at].Name
			}
		}
		if r.Minute() >= now+ahead {
			if len(t.Due) == 0 {
				t.Next = &row
			}
			return nil
		}
		t.Due = append(t.Due, row)
	}
	return nil
}

// batch is a batch by its name, and as in ?lose=.
func batch(w *week.Week, step, day int) fact {
	name := w.Graph.Steps[step].Name
	return fact{w.OfDay(day, name), name + "@" + weekdayWord(w, day)}
}

// batches are those of steps that run on set days, from one day to another.
func batches(w *week.Week, from, to int) (list []fact) {
	for d := max(from, 0); d <= min(to, w.Days-1); d++ {
		for _, r := range w.Case.Schedule.Batches {
			if r.Day == d && r.Size > 0 && w.Graph.Steps[r.Step].Mode == graph.OnDays {
				if b := batch(w, r.Step, d); !slices.Contains(list, b) {
					list = append(list, b)
				}
			}
		}
	}
	return list
}

// weekdayWord names a day of the week as a change does: "tue", or its date where the days asked about have two of them.
func weekdayWord(w *week.Week, day int) string {
	if w.Days > 7 {
		return w.Date(day).Format(time.DateOnly)
	}
	return strings.ToLower(w.Date(day).Format("Mon"))
}

func clockTime(minute int) string { return fmt.Sprintf("%02d:%02d", minute/60%24, minute%60) }
