package board

// What of the timetable can't be as it is planned, as trouble of Today: in the Clock's own words, which then say what would help.

import (
	"context"
	"slices"
	"time"

	"kettletree/cmd/kettletree/show"
	"kettletree/menu/ask"
	"kettletree/menu/clock"
	"kettletree/menu/week"
)

// unfit are conflicts of one kind: too tight, more burners than there are.
type unfit struct {
	Kind string
	Day  string // of the first, as in ?on= of the Clock
	Told bool   // they are in the language of the page
	All  []clock.Conflict
}

// First is the soonest, Likes the rest; Anchor is where on the Clock the first stands.
func (u *unfit) First() clock.Conflict   { return u.All[0] }
func (u *unfit) Anchor() string          { return anchor(u.All[0]) }
func (u *unfit) Likes() []clock.Conflict { return u.All[1:] }

// unfit finds what can't be within the hours in which trouble is looked for, a line for each kind. What lacks only what the dishes that run
// short are said to lack is not said twice.
func (t *todayAnswer) unfit(ctx context.Context, a *asked, now int, what *ask.Consequences) {
	w := a.Week
	from := w.From.Add(time.Duration(now) * time.Minute)
	var all []clock.Conflict
	for _, c := range t.Table.Conflicts {
		at, err := time.Parse("2006-01-02T15:04", c.At)
		if err != nil || at.After(from.Add(troubled*time.Minute)) {
			continue
		}
		if until, err := time.Parse("2006-01-02T15:04", c.Until); err == nil && until.Before(from) {
			continue
		}
		if c.Kind != clock.Lacking || !t.runsShort(w, now, what, c.Lacks) {
			all = append(all, c)
		}
	}
	told := a.tell(all, func(w *week.Week) ([]clock.Conflict, error) {
		table, err := standing(ctx, a, "rows "+w.Tongue.String(), func(ctx context.Context) (*clock.Timetable, error) { return clock.Rows(ctx, w, nil) })
		if err != nil {
			return nil, err
		}
		return table.Conflicts, nil
	})
	by := map[string]*trouble{}
	var order []*trouble
	for _, c := range all {
		one := by[c.Kind]
		if one == nil {
			one = &trouble{Unfit: &unfit{Kind: c.Kind, Day: c.At[:len(time.DateOnly)], Told: told}}
			if c.Kind == clock.Lacking { // whose sentence has no hour
				one.When = show.WhenOf(c.At)
			}
			by[c.Kind] = one
			order = append(order, one)
		}
		one.Unfit.All = append(one.Unfit.All, c)
		one.portions += t.waiting(w, &c, what)
	}
	for _, one := range order {
		t.Trouble = append(t.Trouble, *one)
	}
}

// runsShort tells whether a dish runs short soon because an item is lacking, by what is said of it.
func (t *todayAnswer) runsShort(w *week.Week, now int, what *ask.Consequences, item string) bool {
	return item != "" && slices.ContainsFunc(what.Dishes, func(d ask.DishAt) bool {
		return d.After < d.Forecast && (d.Day-now/1440)*1440 <= troubled && slices.ContainsFunc(d.Because, func(why string) bool { return names(why, item) })
	})
}

// waiting counts the portions that wait for what can't be: of the dishes that rest on it, at the first service that does, which is marked.
func (t *todayAnswer) waiting(w *week.Week, c *clock.Conflict, what *ask.Consequences) (portions int) {
	if c.Kind == clock.Lacking { // no dish lacks it soon
		return 0
	}
	rests := func(dish, service string) bool {
		return slices.ContainsFunc(t.Table.Rows, func(r clock.Row) bool {
			return r.First == service && r.Entry == 0 && slices.Contains(r.For, dish) &&
				slices.ContainsFunc(c.Entries, func(e clock.Entry) bool { return e.Name == r.Step && e.Begun == r.Begun })
		})
	}
	first := ""
	for _, d := range what.Dishes { // by service
		if at := w.DayName(d.Day) + " " + d.Service; (first == "" || at == first) && rests(d.Name, at) {
			first, portions = at, portions+d.Forecast
		}
	}
	for _, s := range t.Services {
		s.Unfit = s.Unfit || first != "" && s.name == first
	}
	return portions
}
