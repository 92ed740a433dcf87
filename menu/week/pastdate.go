package week

// What is taken after its last day. A walk bins only what the file's own keeping ends: what carries an earlier day 1 goes on being taken in
// it, and whoever answers from the walk says so, in these words.

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/graph/measure"
	"kettletree/menu/kitchen"
)

// PastDate is what was made of an item on a day and is taken after the last day on which it may be used.
type PastDate struct {
	Item, Made, Last int     // Made and Last are days
	Step, Came       int     // that gave it, at which minute; -1 and the midnight of its day for what was on hand
	Lot, Amount      float64 // base units: what came, and what of it is taken too late
	From, To         int     // minutes at which the first and the last of that are taken
	By               []int   // the dishes and steps of the graph that take it
}

// PastDates are what is taken after its last day in a recorded walk, in the order in which it came. What a step makes of it stands with it: all
// of that is past its last day when it is made.
func (w *Week) PastDates(s *flow.Schedule, rec *flow.Record) (list []PastDate) {
	return w.pastDates(w.Dates(s, rec), rec)
}

func (w *Week) pastDates(dates *Dates, rec *flow.Record) (list []PastDate) {
	type lot struct{ item, came, step, last int }
	type dayOne struct{ day, item, oil, oily int }
	at, of := map[lot]int{}, map[dayOne]int{}
	for _, e := range rec.Entries {
		if e.What != flow.Took {
			continue
		}
		for _, p := range e.Lots {
			l := rec.Lots[p.Lot]
			if w.Graph.Items[l.Item].Role != graph.Made || p.Amount < 1e-6*w.Graph.Items[l.Item].Unit.Factor {
				continue
			}
			since := dates.Of(p.Lot)
			last, ok := dates.Last(l.Item, l.Made, since)
			if !ok || DayAt(e.At) <= last {
				continue
			}
			one := dayOne{since.Day, since.Item, since.Oil, since.Oily}
			if n, told := of[one]; told && last < DayAt(l.At) { // it was past its last day when it was made, and what it was made of is named
				list[n].by(e)
				continue
			}
			key := lot{l.Item, l.At, l.Step, last}
			n, seen := at[key]
			if !seen {
				n = len(list)
				at[key], of[one] = n, n
				list = append(list, PastDate{Item: l.Item, Made: DayAt(l.At), Last: last, Step: l.Step, Came: l.At, From: e.At, To: e.At})
			}
			list[n].Amount += p.Amount
			list[n].by(e)
		}
	}
	for n := range list {
		x := &list[n]
		for _, l := range rec.Lots {
			if l.Item == x.Item && l.At == x.Came && l.Step == x.Step {
				x.Lot += l.Amount
			}
		}
	}
	slices.SortStableFunc(list, func(a, b PastDate) int { return cmp.Compare(a.Came, b.Came) })
	return list
}

// by adds who takes something of it.
func (p *PastDate) by(e flow.Entry) {
	if p.From, p.To = min(p.From, e.At), max(p.To, e.At); !slices.Contains(p.By, e.Step) {
		p.By = append(p.By, e.Step)
	}
}

// PastDateSaid says what is taken after its last day: what, of which day, its last day, how much of it, from which day on, and who takes it.
const PastDateSaid = "%[1]s of %[2]s may be used until the end of %[3]s by its date mark, but %[4]s of it would be used after that, from %[5]s on: %[6]s. Make it later, or less of it, and serve none of it after its last day"

// Takers are who takes something after its last day, by name, three at most: dishes where there are any, else steps.
func (w *Week) Takers(p *PastDate) (names []string) {
	by := p.By
	if slices.ContainsFunc(by, func(s int) bool { return s >= len(w.Steps) }) {
		by = slices.DeleteFunc(slices.Clone(by), func(s int) bool { return s < len(w.Steps) })
	}
	for _, s := range by[:min(3, len(by))] {
		names = append(names, w.Graph.Steps[s].Name)
	}
	return names
}

// CantBe says what a week that was played counts on though it can't be: what is taken after its last day, and what so many people as it needs
// are never there for. The clock says the same, in the same words.
func (w *Week) CantBe(p *Played) (list []string) {
	for _, x := range w.PastDates(p.Schedule, p.Record) {
		list = append(list, fmt.Sprintf(PastDateSaid, w.Graph.Items[x.Item].Name, w.DayName(x.Made), w.DayName(x.Last), w.TooLate(&x),
			w.DayName(DayAt(x.From)), measure.FormatList(w.Takers(&x))))
	}
	for _, x := range w.neverThere(p.Schedule, p.Outcome) {
		doing := w.Graph.Steps[x.step].Name
		if x.act.When != kitchen.AtBench {
			doing = x.act.Name + " (" + doing + ")"
		}
		list = append(list, fmt.Sprintf(NeverThereSaid, doing, strconv.Itoa(x.act.People), measure.FormatDuration(x.minutes)))
	}
	return list
}

// TooLate is how much is taken after its last day, as it is said.
func (w *Week) TooLate(p *PastDate) string { return w.Quantity(p.Item, p.Amount).OnScale().String() }
