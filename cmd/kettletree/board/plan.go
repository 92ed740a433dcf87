package board

// Plan: what to cook, buy and sell to earn most, day by day. A large kitchen's takes minutes, so the page shows the last one
// found.

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"kettletree/cmd/kettletree/show"
	"kettletree/menu/plan"
	"kettletree/menu/plan/solve"
)

var planPage = &page{Path: "/plan", Name: "Plan", File: "plan", Takes: []string{"day"}, Afresh: true, Studies: true, Answer: thePlan}

// planAnswer is what the page shows.
type planAnswer struct {
	*studied
	Frame   string      // for the form that stops the search
	Differs []plan.Cook // batches that are not as in the standing week
	Says    string
	More    string // with specials; "" for none
	Bases   []string
	Plan    *plan.Answer // nil when none was found yet
	Kept    keeping
	Dates   []string
	Day     string // one of Dates; "" for the whole week
	Days    []planDay
	Sums    []fact

	OffCard offCard
}

// planDay is what a plan has for one day.
type planDay struct {
	Date  string
	Cook  []plan.Cook
	Buy   []planStall
	Sell  []planService
	Quiet bool // there is nothing to do
}

type planStall struct {
	From  string
	Lines []plan.Buy
}

// planService is what is sold at a service other than as forecast; Full is how many dishes are sold as forecast.
type planService struct {
	Name     string
	Short    []plan.Sell
	Specials []plan.Sell    // on the board already
	Offers   []plan.Offered // that could be
	Full     int
}

func thePlan(ctx context.Context, a *asked) (any, error) {
	week := a.Week
	s, err := a.study(ctx, a.board.long, a.frameKey(), func(ctx context.Context, say func(string)) (any, error) {
		p, err := a.board.halts.makePlan(ctx, a.frameKey(), week, plan.Options{Progress: func(p solve.Progress) {
			if p.Objective != p.Objective {
				say(fmt.Sprintf("no plan yet; none can beat %.0f", p.Bound))
				return
			}
			say(fmt.Sprintf("best so far %.0f; none can beat %.0f", p.Objective, p.Bound))
		}})
		if clash, ok := errors.AsType[*plan.Clash](err); ok {
			return nil, &Refusal{Msg: "this kitchen file allows no plan", Excerpt: clash.Error(), Hint: "drop one of these from the kitchen file"}
		}
		if err != nil {
			return nil, err
		}
		return &foundPlan{p.Answer(), p.Kept()}, nil
	})
	if err != nil {
		return nil, err
	}
	p := &planAnswer{studied: s, Frame: a.frameKey()}
	found, ok := s.Found.(*foundPlan)
	if !ok {
		return p, nil
	}
	if p.Kept, err = a.board.keeping(found, a.frameKey()); err != nil {
		return nil, err
	}
	answer := found.Answer
	p.OffCard = answer.Departures
	p.Differs = differs(answer)
	p.Plan, p.Says = answer, show.PlanAnswer(answer)
	if answer.Apart != nil {
		p.More, p.Bases = show.ApartAnswer(answer.Apart, show.MoneyOf(answer.Money)), show.Bases(answer.Apart)
	}
	from, err := time.Parse(time.DateOnly, answer.From)
	if err != nil {
		return nil, err
	}
	for d := range answer.Days {
		p.Dates = append(p.Dates, from.AddDate(0, 0, d).Format(time.DateOnly))
	}
	switch day, today := a.Query.Get("day"), a.date(); {
	case day == "week":
	case slices.Contains(p.Dates, day):
		p.Day = day
	case day != "":
		return nil, &Refusal{Msg: fmt.Sprintf("the plan has no day %q", day), Hint: "choose one of the days on the Plan page"}
	case slices.Contains(p.Dates, today):
		p.Day = today
	default:
		p.Day = p.Dates[0]
	}
	for _, date := range p.Dates {
		if p.Day == "" || p.Day == date {
			p.Days = append(p.Days, dayOfPlan(answer, date))
		}
	}
	m := show.MoneyOf(answer.Money)
	parts := m.Parts(answer.Sales, -answer.Bought, -answer.Labour, -answer.Disposal, answer.Stock)
	for n, name := range []string{"sales", "bought", "labour and fuel", "disposal", "change in inventory"} {
		p.Sums = append(p.Sums, fact{name, m.ShowUnits(parts[n])})
	}
	return p, nil
}

// dayOfPlan picks what a plan has for a day.
func dayOfPlan(a *plan.Answer, date string) planDay {
	d := planDay{Date: date}
	for _, c := range a.Cook {
		if c.Date == date && c.Batches+c.Standing > 0 {
			d.Cook = append(d.Cook, c)
		}
	}
	for _, c := range a.Needed {
		if c.Date == date {
			d.Cook = append(d.Cook, plan.Cook{Date: date, Step: c.Step, Batches: c.Batches, Made: c.Batches, Standing: c.Batches, Starts: "as needed"})
		}
	}
	for _, b := range a.Buy {
		if b.Date != date {
			continue
		}
		if n := len(d.Buy); n == 0 || d.Buy[n-1].From != b.From {
			d.Buy = append(d.Buy, planStall{From: b.From})
		}
		at := &d.Buy[len(d.Buy)-1]
		at.Lines = append(at.Lines, b)
	}
	for _, s := range a.Sell {
		if s.Date != date {
			continue
		}
		if n := len(d.Sell); n == 0 || d.Sell[n-1].Name != s.Service {
			d.Sell = append(d.Sell, planService{Name: s.Service})
		}
		switch at := &d.Sell[len(d.Sell)-1]; {
		case s.Special:
			at.Specials = append(at.Specials, s)
		case s.Portions < s.Forecast:
			at.Short = append(at.Short, s)
		default:
			at.Full++
		}
	}
	if a.Apart != nil {
		for _, o := range a.Apart.Offers {
			if o.Date == date { // every open service sells something
				if n := slices.IndexFunc(d.Sell, func(s planService) bool { return s.Name == o.Service }); n >= 0 {
					d.Sell[n].Offers = append(d.Sell[n].Offers, o)
				} else {
					d.Sell = append(d.Sell, planService{Name: o.Service, Offers: []plan.Offered{o}})
				}
			}
		}
	}
	slices.SortStableFunc(d.Cook, func(x, y plan.Cook) int { return strings.Compare(x.Starts, y.Starts) })
	d.Quiet = d.Cook == nil && d.Buy == nil && d.Sell == nil
	return d
}
