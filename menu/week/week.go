package week

// The days that are asked about: the standing week laid over a calendar.

import (
	"fmt"
	"slices"
	"sync"
	"time"

	"golang.org/x/text/language"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu/kitchen"
)

// Period is the frame of a question.
type Period struct {
	From   time.Time  // first day, at midnight UTC
	Days   int        // at least 1
	OnHand []flow.Lot // at the beginning, as ReadOnHand gives it; at Week.Now when it goes on from then
	Past   []Past     // what lies there past its date, which is not counted
	Rule   Rule       // who goes short when something is scarce; Fair when nil
}

// Past is what lies there past its date.
type Past struct {
	Item   int
	Amount float64   // base units
	Last   time.Time // the last day on which it could be used
	Code   bool      // by the date mark of the food code; else by the kitchen's own keeping
}

// MostDays bounds a period.
const MostDays = 366

// Sitting is one service of one day.
type Sitting struct {
	Day, Service int // from Period.From; of Kitchen.Services, -1 on a day without one
}

// Week is a kitchen over a period: its flow, the schedule, and what the schedule's slots stand for. It never changes.
type Week struct {
	*kitchen.Kitchen
	Period
	Sittings []Sitting    // by slot of the schedule
	Tongue   language.Tag // in which it speaks; zero for the file's own words and English
	Case     flow.Case
	Now      int            // minute of day 0 from which the week goes on, as its schedule has it; 0 at a beginning
	Asked    time.Time      // when it is asked about, by the kitchen's clock; zero where that does not matter
	Planned  *flow.Schedule // the days as they were planned and decided, whatever has happened by now; nil where nothing can have

	Specials []Seen // by dish: what is known of specials from other days; nil for nothing

	Happened []Happening // with batches by then, from two midnights before that of Now on; by time

	Cooling []kitchen.CoolingLog // of what came off the heat and is on hand, and of what was read, by Now

	Notes []string // what the asker should know of where the week comes from

	// List names the list of what is on hand that the week begins with; "" for none.
	List string
	// Presumes says what is presumed because nobody said it: that nothing is on hand, on which day the week begins.
	Presumes []string
	// Stored tells by item what nobody keeps book of, so that it is taken to be in the store until it can be delivered; nil for none.
	Stored []bool

	standing *Week                  // of the kitchen file, with what is on hand: by it, that is valued
	worth    func() (*Worth, error) // of a standing week
	calm     *calm                  // how it plays as it stands; nil where that is not kept
}

// With is the week with another case over the same days. What is on hand is worth the same in it.
func (w *Week) With(c flow.Case) *Week {
	other := *w
	other.Case, other.Now, other.calm = c, c.Schedule.From, &calm{}
	return &other
}

// By is the week under another rule.
func (w *Week) By(r Rule) *Week {
	other := *w
	other.Rule, other.calm = r, &calm{}
	return &other
}

// Knowing is the week of which changes are known: they are part of it.
func (w *Week) Knowing(shocks []Shock) *Week {
	c := w.Case
	for _, s := range shocks {
		c = c.With(s.Changes...)
	}
	return w.With(c).restands()
}

// Stocked is the week with more on hand when it begins.
func (w *Week) Stocked(more ...flow.Lot) *Week {
	s := *w.Case.Schedule
	s.OnHand = slices.Concat(s.OnHand, more)
	return w.With(flow.Case{Flow: w.Case.Flow, Schedule: &s}).restands()
}

// Longer is the week with days behind it, at most [MostDays] in all. The week's own days stay as they are, be they of a
// kept plan or changed by what is known; those behind them are the standing week's.
func (w *Week) Longer(days int) (*Week, error) {
	p := w.Period
	p.Days = min(w.Days+days, MostDays)
	long, err := Over(w.Kitchen, p)
	if err != nil {
		return nil, err
	}
	return w.before(long), nil
}

// before is the week with those days of a longer one behind it that are not its own.
func (w *Week) before(other *Week) *Week {
	long := *other
	own, after := w.Case.Schedule, *long.Case.Schedule
	s := *own
	s.Days, s.Slots = long.Days, slices.Concat(own.Slots, after.Slots[len(own.Slots):])
	// Batches behind the last day, of which the seed is kept back, were the standing week's already.
	s.Batches = slices.Clone(own.Batches)
	for _, b := range after.Batches {
		if b.Day >= w.Days && !slices.ContainsFunc(own.Batches, func(o flow.Batch) bool { return o.Step == b.Step && o.Day == b.Day }) {
			s.Batches = append(s.Batches, b)
		}
	}
	s.Arrives, s.Workdays = slices.Clone(after.Arrives), after.Workdays
	for i, arrives := range s.Arrives {
		if own.Arrives != nil && arrives != nil && own.Arrives[i] != nil {
			s.Arrives[i] = slices.Concat(own.Arrives[i], arrives[w.Days:])
		}
	}
	s.Wants = slices.Clone(own.Wants)
	for d := range s.Wants {
		s.Wants[d].Forecast = slices.Concat(own.Wants[d].Forecast, after.Wants[d].Forecast[len(own.Slots):])
		if size := own.Wants[d].Size; size != nil {
			s.Wants[d].Size = slices.Concat(size, slices.Repeat([]float64{1}, len(s.Slots)-len(own.Slots)))
		}
	}
	switch {
	case own.House != nil:
		s.House = seated(own.House, slices.Concat(own.House.Seats, after.House.Seats[len(own.Slots):]))
	case after.House != nil: // of its own days none has seats: it is shut on all
		s.House = seated(after.House, slices.Concat(make([]int, len(own.Slots)), after.House.Seats[len(own.Slots):]))
	}
	if own.Rules != nil {
		s.Rules = slices.Concat(own.Rules, slices.Repeat([]flow.Ration{w.Rule.Ration()}, len(s.Slots)-len(own.Slots)))
	}
	if own.Directions != nil { // a plan says how lines are filled on its own days only
		d := *own.Directions
		d.Run = slices.Clone(d.Run)
		for r := range d.Run {
			if s.Batches[r].Day >= w.Days {
				d.Run[r] = nil
			}
		}
		s.Directions = &d
	}
	if own.Short != nil { // what can't be had on its own days can be had again behind them
		s.Short = nil
		if s.OrdersFrom = slices.Clone(own.OrdersFrom); s.OrdersFrom == nil {
			s.OrdersFrom, s.ResumedAt = make([]int, len(own.Short)), 0
		}
		for i, short := range own.Short {
			if short {
				s.OrdersFrom[i] = max(s.OrdersFrom[i], w.Days)
			}
		}
	}
	long.Sittings = slices.Concat(w.Sittings, long.Sittings[len(w.Sittings):])
	long.Now, long.Happened, long.Notes, long.List, long.Presumes = w.Now, w.Happened, w.Notes, w.List, w.Presumes
	long.Stored, long.Cooling = w.Stored, w.Cooling
	long.Case, long.calm = flow.Case{Flow: w.Case.Flow, Schedule: &s}, &calm{}
	return &long
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
	if p.Rule == nil {
		p.Rule = Fair
	}
	w := &Week{Kitchen: k, Period: p, calm: &calm{}}
	s := &flow.Schedule{Days: p.Days, OnHand: p.OnHand, Arrives: make([][]bool, len(k.Graph.Items)),
		Workdays: make([]bool, len(k.Graph.Items))}
	idle := false // on some day nobody works
	for d := range p.Days {
		w.sit(s, d)
		idle = idle || !w.WorksOn(w.Date(d))
	}
	for i, b := range k.Bought {
		if b.Arrives == kitchen.EveryDay && !idle {
			continue
		}
		s.Arrives[i], s.Workdays[i] = make([]bool, p.Days), b.Arrives == kitchen.EveryDay
		for d := range p.Days {
			s.Arrives[i][d] = b.Arrives[w.Weekday(d)] && w.WorksOn(w.Date(d))
		}
	}
	for d := range p.Days + 7 { // the week behind the last day tells what to keep back as seed
		for step, card := range k.Steps {
			if n := w.BatchesOn(step, w.Date(d)); n > 0 && (d < p.Days || carries(k.Graph.Steps[step])) {
				s.Batches = append(s.Batches, flow.Batch{Step: step, Day: d, Start: card.Starts, Size: float64(n)})
			}
		}
	}
	for n, dish := range k.Dishes {
		want := flow.Want{Item: dish.Item, Rank: dish.Rank, Forecast: make([]float64, len(s.Slots))}
		for slot, sit := range w.Sittings {
			if sit.Service >= 0 && !dish.Special { // a special stands on no menu until it is offered
				want.Forecast[slot], _ = k.SellsOn(n, w.Date(sit.Day), sit.Service)
				if dish.AtMost > 0 {
					want.Forecast[slot] = min(want.Forecast[slot], float64(dish.AtMost))
				}
			}
		}
		s.Wants = append(s.Wants, want)
	}
	s.House = w.house()
	w.Case = flow.Case{Flow: f, Schedule: s}
	w.stands()
	return w, nil
}

// stands makes a week the one by which what is on hand is valued.
func (w *Week) stands() {
	w.standing, w.worth = w, sync.OnceValues(w.value)
}

func carries(st graph.Step) bool {
	return slices.ContainsFunc(st.Takes, func(l graph.Line) bool { return l.Carried })
}

// Stamp is a minute as answers for programs have it.
func (w *Week) Stamp(minute int) string {
	day := dayOf(minute)
	minute -= day * 1440
	return fmt.Sprintf("%s %02d:%02d", w.Date(day).Format(kitchen.DateLayout), minute/60, minute%60)
}
