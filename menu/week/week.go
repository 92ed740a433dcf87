package week

// The days that are asked about: the standing week laid over a calendar.

import (
	"fmt"
	"slices"
	"time"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu/kitchen"
)

// Period is the frame of a question.
type Period struct {
	From   time.Time   // first day, at midnight UTC
	Days   int         // at least 1
	OnHand []flow.Lot  // at the beginning, as ReadOnHand gives it
	Rule   flow.Ration // who goes short when something is scarce
}

// MostDays bounds a period.
const MostDays = 366

// Sitting is one service of one day.
type Sitting struct {
	Day, Service int // from Period.From; of Kitchen.Services, -1 on a day without one
}

// Week is a kitchen over a period: its flow, the schedule, and what the schedule's slots stand for.
type Week struct {
	*kitchen.Kitchen
	Period
	Sittings []Sitting  // by slot of the schedule
	UnderWay []UnderWay // that were lit before day 0; what they give is on hand
	Case     flow.Case
	// Settle says, under the rule [Best], what a case sells, and how. It is nil under the other rules.
	Settle func(flow.Case) (*flow.Schedule, error)

	changes []func(*Week) // by Change
}

// Change makes a change part of the week, and of what becomes of it ([Week.Longer]).
func (w *Week) Change(how func(*Week)) {
	how(w)
	w.changes = append(w.changes, how)
}

// Longer is the standing week with days behind it, changed as this one was; at most [MostDays] in all.
func (w *Week) Longer(days int) (*Week, error) {
	p := w.Period
	p.Days = min(w.Days+days, MostDays)
	long, err := Over(w.Kitchen, p)
	if err != nil {
		return nil, err
	}
	for _, how := range w.changes {
		long.Change(how)
	}
	return long, nil
}

// UnderWay is a batch that began before the period and is out in it. What it gives counts as on hand.
type UnderWay struct {
	Step    int
	Day     int // below 0
	Batches float64
}

// Noon is when work without a clock is done on a day without services.
const Noon = 12 * 60

// Over lays the standing week over a period. Dish d of the kitchen is want d of the schedule.
func Over(k *kitchen.Kitchen, p Period) (*Week, error) {
	if p.Days < 1 || p.Days > MostDays {
		return nil, fmt.Errorf("a period of %d days: it must have from 1 to %d", p.Days, MostDays)
	}
	f, err := flow.Compile(k.Graph, k.Terms)
	if err != nil {
		return nil, err
	}
	w := &Week{Kitchen: k, Period: p}
	s := &flow.Schedule{Days: p.Days, OnHand: p.OnHand, Arrives: make([][]bool, len(k.Graph.Items))}
	for d := range p.Days {
		w.sit(s, d)
	}
	for i, b := range k.Bought {
		if b.Arrives != kitchen.EveryDay {
			s.Arrives[i] = make([]bool, p.Days)
			for d := range p.Days {
				s.Arrives[i][d] = b.Arrives[w.Weekday(d)]
			}
		}
	}
	for d := range p.Days + 7 { // the week behind the last day tells what to keep back as seed
		for step, card := range k.Steps {
			if n := card.Batches[w.Weekday(d)]; n > 0 && (d < p.Days || carries(k.Graph.Steps[step])) {
				s.Batches = append(s.Batches, flow.Batch{Step: step, Day: d, Start: card.Starts, Size: float64(n)})
			}
		}
	}
	for _, dish := range k.Dishes {
		want := flow.Want{Item: dish.Item, Rank: dish.Rank, Forecast: make([]float64, len(s.Slots))}
		for slot, sit := range w.Sittings {
			if day := dish.Sells[w.Weekday(sit.Day)]; sit.Service >= 0 && sit.Service < len(day) {
				want.Forecast[slot] = float64(day[sit.Service])
				if dish.AtMost > 0 {
					want.Forecast[slot] = min(want.Forecast[slot], float64(dish.AtMost))
				}
			}
		}
		s.Wants = append(s.Wants, want)
	}
	w.Case = flow.Case{Flow: f, Schedule: s}
	return w, nil
}

func carries(st graph.Step) bool {
	return slices.ContainsFunc(st.Takes, func(l graph.Line) bool { return l.Carried })
}

// Stamp is a minute as answers for programs have it.
func (w *Week) Stamp(minute int) string {
	return fmt.Sprintf("%s %02d:%02d", w.Date(minute/1440).Format(kitchen.DateLayout), minute%1440/60, minute%60)
}
