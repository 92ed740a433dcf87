package menu

// The days that are asked about: the standing week laid over a calendar.

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"kettletree/graph"
	"kettletree/graph/flow"
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
	*Kitchen
	Period
	Sittings []Sitting // by slot of the schedule
	Pots     []Pot     // that were lit before day 0; what they give is on hand
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
	long, err := w.Kitchen.Over(p)
	if err != nil {
		return nil, err
	}
	for _, how := range w.changes {
		long.Change(how)
	}
	return long, nil
}

// Pot is a batch that began before the period and is out in it. What it gives counts as on hand.
type Pot struct {
	Step    int
	Day     int // below 0
	Batches float64
}

// noon is when work without a clock is done on a day without services.
const noon = 12 * 60

// Over lays the standing week over a period. Dish d of the kitchen is want d of the schedule.
func (k *Kitchen) Over(p Period) (*Week, error) {
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
		if b.Arrives != everyDay {
			s.Arrives[i] = make([]bool, p.Days)
			for d := range p.Days {
				s.Arrives[i][d] = b.Arrives[w.Weekday(d)]
			}
		}
	}
	for d := range p.Days + 7 { // the week behind the last day tells what to keep back as seed
		for step, card := range k.Steps {
			if n := card.Runs[w.Weekday(d)]; n > 0 && (d < p.Days || carries(k.Graph.Steps[step])) {
				s.Runs = append(s.Runs, flow.Run{Step: step, Day: d, Start: card.Starts, Batches: float64(n)})
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
	return slices.ContainsFunc(st.Uses, func(l graph.Line) bool { return l.Carried })
}

// sit adds the slots of a day.
func (w *Week) sit(s *flow.Schedule, day int) {
	if w.Open[w.Weekday(day)] {
		for n, sv := range w.Services {
			s.Slots = append(s.Slots, flow.Slot{Day: day, Start: day*1440 + sv.Start, End: day*1440 + sv.End})
			w.Sittings = append(w.Sittings, Sitting{day, n})
		}
		if len(w.Services) > 0 {
			return
		}
	}
	s.Slots = append(s.Slots, flow.Slot{Day: day, Start: day*1440 + noon, End: day*1440 + noon, Closed: true})
	w.Sittings = append(w.Sittings, Sitting{day, -1})
}

// Weekday is the [time.Weekday] of a day of the period.
func (w *Week) Weekday(day int) int { return (int(w.From.Weekday()) + day) % 7 }

// Date is the date of a day of the period.
func (w *Week) Date(day int) time.Time { return w.From.AddDate(0, 0, day) }

// DayName is a day as it is said: "tue 24 nov".
func (w *Week) DayName(day int) string { return strings.ToLower(w.Date(day).Format("Mon 2 Jan")) }

// Moment is a minute of the period as it is said: "wed 25 nov 07:30".
func (w *Week) Moment(minute int) string {
	return fmt.Sprintf("%s %02d:%02d", w.DayName(minute/1440), minute%1440/60, minute%60)
}

// DaysNamed are the days of the period that a text names: a weekday, or a date as 2006-01-02.
func (w *Week) DaysNamed(text string) ([]int, error) {
	var days []int
	if date, err := time.Parse(time.DateOnly, text); err == nil {
		if d := int(date.Sub(w.From).Hours() / 24); d >= 0 && d < w.Days {
			days = append(days, d)
		}
	} else if wd := weekdayNamed(text); wd >= 0 {
		for d := range w.Days {
			if w.Weekday(d) == wd {
				days = append(days, d)
			}
		}
	} else {
		return nil, fmt.Errorf("%q is not a day: write tue, or a date as 2026-11-24", text)
	}
	if len(days) == 0 {
		return nil, fmt.Errorf("%s is not among the days asked about, %s to %s", text, w.DayName(0), w.DayName(w.Days-1))
	}
	return days, nil
}

// IsDay tells whether a text names a day: a weekday, or a date as 2006-01-02.
func IsDay(text string) bool {
	_, err := time.Parse(time.DateOnly, text)
	return err == nil || weekdayNamed(text) >= 0
}

// DayIs tells whether a day is the weekday that a text names.
func DayIs(day time.Time, text string) bool { return weekdayNamed(text) == int(day.Weekday()) }

// weekdayNamed is the [time.Weekday] that a word such as tue, Tues or tuesday begins the name of, or -1.
func weekdayNamed(word string) int {
	word = strings.ToLower(word)
	for d := time.Sunday; d <= time.Saturday; d++ {
		if len(word) >= 3 && strings.HasPrefix(strings.ToLower(d.String()), word) {
			return int(d)
		}
	}
	return -1
}
