package board

// Today: what is in trouble, what is late and due in the next two hours, what can be sold at the next two services, what must be used today.

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"kettletree/graph"
	"kettletree/graph/measure"
	"kettletree/menu/ask"
	"kettletree/menu/clock"
	"kettletree/menu/logbook"
	"kettletree/menu/week"
)

var todayPage = &page{Path: "/", Name: "Today", File: "today", Shocks: true, EveryMinute: true, Answer: today}

// ahead is how far the page looks into the timetable, in minutes.
const ahead = 120

// todayAnswer is what the page shows.
type todayAnswer struct {
	Trouble  []trouble // worst first
	Services []*todayService
	Until    string // the end of what is looked ahead to: "16:05"
	Overdue  []clock.Overdue
	OffCard  offCard    // what is off its card today
	Due      []todayRow // until then
	Bench    []todayRow // of that, what is made without a batch of its own
	Next     *todayRow  // the first thing to do after that, when nothing is due before
	Done     []doneRow  // in the last hours, the latest first
	Measure  []toMeasure
	Table    *clock.Timetable
	UseUp    []ask.LastDay
	Batches  []fact   // what may be lost: "Tuesday's night kettle", and as in ?lose=: "night kettle@2026-11-24"
	After    *Follows // nil when nothing is asked about
}

// todayService is one of the next two services.
type todayService struct {
	Service string // "dinner"
	Date    string // 2006-01-02
	Hours   string // "17:30 to 22:00"
	Now     bool   // it has begun
	Dishes  []todayDish
	Off     []offDish // that the file forecasts and the log book has struck off
	Unfit   bool      // something that it rests on can't be as it is planned

	name string // "Tue 24 Nov dinner", as the timetable has it
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
	Of   string // the day on which the batch was to begin, 2006-01-02; "" when it is no batch
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
	follows, err := a.asItStands(ctx)
	if len(shocks) > 0 {
		follows, err = a.follow(ctx, shocks)
	}
	if err != nil {
		return nil, err
	}
	t := &todayAnswer{}
	if then, shocks, err := a.unwritten(ctx, shocks); err != nil {
		return nil, err
	} else if then != a {
		if t.After, err = then.follow(ctx, shocks); err != nil {
			return nil, err
		}
	} else if len(shocks) > 0 {
		t.After = follows
	}
	now := a.minuteOf()
	for slot, s := range w.Case.Schedule.Slots {
		if !s.Closed && s.End > now && len(t.Services) < 2 {
			t.service(w, slot, now, follows.Consequences)
		}
	}
	t.OffCard = ask.Departures(w, follows.After, nil, new(0))
	if err := follows.RefuseAlso(ctx, w, t.OffCard); err != nil {
		return nil, err
	}
	if err := t.due(ctx, a, now); err != nil {
		return nil, err
	}
	if err := t.done(ctx, a); err != nil {
		return nil, err
	}
	day := a.today()
	if t.UseUp, err = a.lastDays(ctx); err != nil {
		return nil, err
	}
	if err := t.struckBy(ctx, a); err != nil {
		return nil, err
	}
	if err := t.cooling(ctx, a); err != nil {
		return nil, err
	}
	t.unfit(ctx, a, now, follows.Consequences)
	t.trouble(w, now, follows.Consequences)
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

// service adds a service: what of each dish can be sold.
func (t *todayAnswer) service(w *week.Week, slot, now int, what *ask.Consequences) {
	s, sit := w.Case.Schedule.Slots[slot], w.Sittings[slot]
	hours := w.HoursOn(w.Date(sit.Day), sit.Service)
	one := &todayService{Service: w.Services[sit.Service].Name, Date: w.Date(sit.Day).Format(time.DateOnly), Now: s.Start <= now, name: w.SittingName(slot),
		Hours: fmt.Sprintf("%s to %s", clockTime(hours.From), clockTime(hours.To))}
	at := "@" + one.Date + " " + one.Service
	for _, d := range what.Dishes {
		if d.Date == one.Date && d.Service == one.Service {
			one.Dishes = append(one.Dishes, todayDish{d, d.Forecast == 0, d.Name + at})
		}
	}
	planned := cmp.Or(w.Planned, w.Case.Schedule)
	for d, dish := range w.Kitchen.Dishes { // what the kitchen file forecasts and nobody is to be served
		if dish.Special {
			continue
		}
		if typed, _ := w.SellsOn(d, w.Date(sit.Day), sit.Service); typed > 0 && planned.Wants[d].Forecast[slot] == 0 {
			one.Off = append(one.Off, offDish{Name: dish.Name})
		}
	}
	t.Services = append(t.Services, one)
}

// due finds what is overdue, and what is to be done soon.
func (t *todayAnswer) due(ctx context.Context, a *asked, now int) error {
	w := a.Week
	table, err := a.rows(ctx)
	if err != nil {
		return err
	}
	t.Until, t.Overdue, t.Table = clockTime(now+ahead), table.Overdue, table
	rows, err := a.marked(ctx, w.Kitchen, table.Rows)
	if err != nil {
		return err
	}
	all := a.allBatches()
	for i := range rows {
		r := &rows[i]
		if r.Minute() < now || r.Entry > 0 || r.Overdue { // a reading that nobody took stands among what is in trouble
			continue
		}
		row := ofBatch(w, r, all)
		if r.Minute()/1440 != now/1440 {
			row.Day = w.DayName(r.Minute() / 1440)
		}
		if r.Minute() >= now+ahead {
			if len(t.Due)+len(t.Bench) == 0 {
				t.Next = &row
			}
			return nil
		}
		if r.Do == clock.Make && row.Lose == "" {
			t.Bench = append(t.Bench, row)
			continue
		}
		t.Due = append(t.Due, row)
	}
	return nil
}

// allBatches are those that are under way or still to come.
func (a *asked) allBatches() (all []fact) {
	for _, pot := range a.Week.Case.Schedule.Pots {
		all = append(all, batch(a.Week, pot.Step, pot.Day))
	}
	return append(all, batches(a.Week, 0, a.Week.Days-1)...)
}

// ofBatch is a row of the timetable with the batch that it belongs to, if it belongs to one.
func ofBatch(w *week.Week, r *clock.Row, all []fact) todayRow {
	row := todayRow{Row: r}
	// A batch goes by the day on which it was to begin, be it lit after midnight.
	if begun, err := time.Parse(time.DateOnly, cmp.Or(r.Day, r.Begun[:len(time.DateOnly)])); err == nil && r.Do != clock.Serve {
		lose := r.Step + "@" + begun.Format(time.DateOnly)
		if at := slices.IndexFunc(all, func(b fact) bool { return b.Value == lose }); at >= 0 {
			row.Lose, row.Lost, row.Of = lose, all[at].Name, begun.Format(time.DateOnly)
		}
	}
	return row
}

// batch is a batch by its name, and as in ?lose=.
func batch(w *week.Week, step, day int) fact {
	name := w.Graph.Steps[step].Name
	return fact{w.OfDay(day, name), name + "@" + w.Date(day).Format(time.DateOnly)}
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

// Acts are what may be written down of a row: a word for the button, and the entry.
func (r todayRow) Acts() (acts []fact) {
	of := ""
	if r.Of != "" {
		of = " of " + r.Of
	}
	batches := ""
	if r.Batches > 0 {
		batches = " x" + plainNumber(r.Batches)
	}
	switch {
	case r.Do == clock.Start && r.Of != "":
		acts = begins(r.Step, r.Batches, r.Of)
	case r.Do == clock.Make && batches != "":
		acts = append(acts, fact{"Done", string(logbook.Cooked) + " " + r.Step + batches + of})
		if r.Of != "" {
			acts = append(acts, fact{"Skip", string(logbook.Skipped) + " " + r.Step + of})
		}
	case r.Do == clock.PutIn && r.Of != "":
		var parts []string
		for _, p := range r.In {
			unit, _ := measure.UnitNamed(p.Unit) // of the kitchen file
			q := measure.Quantity{Amount: p.Amount, Unit: unit}.Handy()
			parts = append(parts, plainNumber(q.Amount)+" "+q.Unit.Name+" "+p.Item)
		}
		acts = append(acts, fact{"Put in", string(logbook.PutIn) + " " + strings.Join(parts, ", ") + " of " + r.Step + of})
	case r.Ends && r.Of != "":
		acts = append(acts, fact{"Done", string(logbook.Done) + " " + r.Step + of})
	}
	return acts
}

// begins are what may be written down of a batch that is to begin.
func begins(step string, batches float64, day string) []fact {
	size := ""
	if batches > 0 {
		size = " x" + plainNumber(batches)
	}
	return []fact{{"Lit", string(logbook.Lit) + " " + step + size + " of " + day}, {"Skip", string(logbook.Skipped) + " " + step + " of " + day}}
}

// Weighs tells what comes out and is to be weighed.
func (r todayRow) Weighs() []clock.Part {
	if r.Do == clock.TakeOut && r.Of != "" {
		return r.Out
	}
	return nil
}

func clockTime(minute int) string { return fmt.Sprintf("%02d:%02d", minute/60%24, minute%60) }
