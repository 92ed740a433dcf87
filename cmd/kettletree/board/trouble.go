package board

// Trouble: what can't be, or runs out, in the next two days, and why; and what can still be done about a batch that is lost.

import (
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"kettletree/cmd/kettletree/show"
	"kettletree/graph/measure"
	"kettletree/menu"
	"kettletree/menu/ask"
	"kettletree/menu/rescue"
	"kettletree/menu/week"
)

// troubled is how far trouble is looked for, in minutes.
const troubled = 48 * 60

// unsafe is how many portions fewer what must not be served counts as, beside what runs out: it comes first.
const unsafe = 1 << 30

// worst is how much trouble stands open on the page: what is to be done next and how the services stand must fit beside it on a phone.
const worst = 2

// Worst is the trouble that stands open, Folded the rest.
func (t *todayAnswer) Worst() []trouble  { return t.Trouble[:min(worst, len(t.Trouble))] }
func (t *todayAnswer) Folded() []trouble { return t.Trouble[len(t.Worst()):] }

// trouble is one thing that is wrong.
type trouble struct {
	What  string // "42 portions fewer: red pozole, white pozole"
	Why   string // "Tuesday's night kettle was lost"
	When  string // when it is first felt: "Wed 25 Nov lunch, 11:30"; "" where that is said already
	Item  string // that cools, whose temperature is to be taken; "" for none
	Lose  string // as in ?lose=: the batch that is lost, about which something may be done; "" for none
	Unfit *unfit // what can't be as it is planned; nil for other trouble
	Acts  []fact // what may be written down of a batch that could not begin: a word for the button, and the entry

	portions int
	dishes   []string
	slot     int     // in which it is first felt
	service  string  // its day and name
	out      *string // when the first dish runs out in it: 15:04; nil where none does
}

// trouble finds what goes wrong soon: dishes that fall short, by what went wrong first; batches that are lost or could not begin,
// whatever they do, until their day is over or somebody writes what became of them; and what is past its date mark.
func (t *todayAnswer) trouble(w *week.Week, now int, what *ask.Consequences) {
	by := map[string]*trouble{}
	var order []string
	for slot, s := range w.Case.Schedule.Slots {
		sit := w.Sittings[slot]
		if s.Closed || sit.Service < 0 || s.End <= now || s.Start >= now+troubled {
			continue
		}
		date, service := w.Date(sit.Day).Format("2006-01-02"), w.Services[sit.Service].Name
		for _, d := range what.Dishes {
			if d.Date != date || d.Service != service || d.After >= d.Forecast || len(d.Because) == 0 {
				continue
			}
			why := d.Because[len(d.Because)-1]
			one := by[why]
			if one == nil {
				one = &trouble{Why: why, slot: slot, out: d.RunsOut, service: show.Weekday(date) + " " + service}
				by[why] = one
				order = append(order, why)
			} else if one.slot == slot && d.RunsOut != nil && (one.out == nil || *d.RunsOut < *one.out) { // the menu's order is not that of the clock
				one.out = d.RunsOut
			}
			one.portions += d.Forecast - d.After
			if !slices.Contains(one.dishes, d.Name) {
				one.dishes = append(one.dishes, d.Name)
			}
		}
	}
	about := func(lost fact, became string, today bool, acts []fact) {
		said := false
		for _, one := range by {
			// As causes are worded.
			if one.Why == became || strings.HasPrefix(one.Why, lost.Name+" was lost") || strings.HasPrefix(one.Why, lost.Name+" lost ") {
				one.Lose, one.Acts, said = lost.Value, acts, true
			}
		}
		if !said && today {
			by[became] = &trouble{Why: became, What: "No dish runs short by it in the next two days", Lose: lost.Value, Acts: acts}
			order = append(order, became)
		}
	}
	for _, lost := range lostBatches(w) {
		about(lost.fact, ask.LostSaid(lost.Name, lost.share), true, nil)
	}
	for _, h := range w.Missed() {
		var acts []fact
		if h.What == week.Waits {
			acts = begins(w.Graph.Steps[h.Step].Name, h.Batches, h.Day.Format(time.DateOnly))
		}
		day := w.DayOf(&h)
		about(batch(w, h.Step, day).part(h.Share), ask.Became(w, &h), day >= 0, acts)
	}
	past := map[string][]string{} // by last day
	for _, u := range t.UseUp {
		if u.Past != "" && !slices.Contains(past[u.Past], u.Item) {
			past[u.Past] = append(past[u.Past], u.Item)
		}
	}
	for _, day := range slices.Sorted(maps.Keys(past)) {
		whose := "its"
		if len(past[day]) > 1 {
			whose = "their"
		}
		t.Trouble = append(t.Trouble, trouble{What: "Do not serve " + show.List(past[day]), Why: whose + " last day by the date mark was " + show.Weekday(day), portions: unsafe})
	}
	for _, why := range order {
		one := by[why]
		if one.portions > 0 {
			names := one.dishes
			if len(names) > 3 {
				names = append(slices.Clone(names[:2]), fmt.Sprintf("%d more dishes", len(names)-2))
			}
			one.When = one.service + at(one.out)
			one.What = fmt.Sprintf("%d portion%s fewer: %s", one.portions, map[bool]string{true: "", false: "s"}[one.portions == 1], show.List(names))
		}
		t.Trouble = append(t.Trouble, *one)
	}
	slices.SortStableFunc(t.Trouble, func(a, b trouble) int { return b.portions - a.portions })
}

// troubleOfLosses is the trouble that comes of batches that were lost or could not begin, as Today has it.
func (a *asked) troubleOfLosses(ctx context.Context) ([]trouble, error) {
	if len(lostBatches(a.Week)) == 0 && len(a.Week.Missed()) == 0 {
		return nil, nil
	}
	follows, err := a.asItStands(ctx)
	if err != nil {
		return nil, err
	}
	t := &todayAnswer{}
	t.trouble(a.Week, a.minuteOf(), follows.Consequences)
	return slices.DeleteFunc(t.Trouble, func(one trouble) bool { return one.Lose == "" }), nil
}

func at(clock *string) string {
	if clock == nil {
		return ""
	}
	return ", " + *clock
}

// lostBatch is a batch that is lost, or the share of it that is.
type lostBatch struct {
	fact
	share float64
}

// part is a batch as in ?lose= where a share of it is lost; 0 stands for all.
func (f fact) part(share float64) fact {
	if share > 0 && share < 1 {
		f.Value += "=" + measure.FormatNumber(100*share) + "%"
	}
	return f
}

// lostBatches are those that are known to be lost, by name and as in ?lose=.
func lostBatches(w *week.Week) (list []lostBatch) {
	add := func(step, day int, share float64) {
		l := lostBatch{batch(w, step, day).part(share), share}
		if share > 0 && !slices.ContainsFunc(list, func(o lostBatch) bool { return o.Name == l.Name }) {
			list = append(list, l)
		}
	}
	for _, p := range w.Case.Schedule.Pots {
		add(p.Step, p.Day, p.Lost)
	}
	for _, b := range w.Case.Schedule.Batches {
		if b.Day < w.Days {
			add(b.Step, b.Day, b.Lost)
		}
	}
	return list
}

// beforeLosses is the week in which losses that are written down are not known.
func (a *asked) beforeLosses(ctx context.Context, shocks []week.Shock) (*week.Week, []week.Shock, error) {
	if a.Query.Get("from") != "" {
		return menu.BeforeLosses(a.Week, shocks, a.Now, nil)
	}
	return menu.BeforeLosses(a.Week, shocks, a.Now, func(at time.Time) (*week.Week, error) {
		then := *a
		then.Now = at
		o, err := then.Open(ctx, a.frame())
		if err != nil {
			return nil, err
		}
		return o.Week, nil
	})
}

var rescuePage = &page{Path: "/rescue", Name: "What can be done", File: "rescue", Shocks: true, Answer: rescued}

// rescuedAnswer is what the page shows.
type rescuedAnswer struct {
	*rescue.Answer
	Changes []urlChange
	of      *week.Week
}

func (r *rescuedAnswer) step(at int) string  { return r.of.Graph.Steps[at].Name }
func (r *rescuedAnswer) date(day int) string { return r.of.Date(day).Format(time.DateOnly) }

// rescued finds what can still be done about what the URL says went wrong, be it written down already or not.
func rescued(ctx context.Context, a *asked) (any, error) {
	shocks, err := a.Shocks()
	if err != nil {
		return nil, err
	}
	if len(shocks) == 0 {
		return nil, &Refusal{Msg: "nothing is said to have gone wrong", Hint: "tap \"What can be done\" beside it on Today"}
	}
	w, shocks, err := a.beforeLosses(ctx, shocks)
	if err != nil {
		return nil, err
	}
	found, err := rescue.Find(ctx, w, shocks, nil)
	if err != nil {
		return nil, &Refusal{Msg: err.Error()}
	}
	r := &rescuedAnswer{Answer: found, of: w}
	for _, s := range shocks {
		r.Changes = append(r.Changes, urlChange{s.Kind, s.Text, a.inWords(s.Kind, s.Text)})
	}
	return r, nil
}
