package plan

// The plan as it is said: day by day what to cook, buy and sell, and what it comes to.

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
	"kettletree/graph/measure"
	"kettletree/menu/ask"
	"kettletree/menu/kitchen"
	"kettletree/menu/plan/solve"
	"kettletree/menu/week"
)

// Answer is what to cook, buy and sell to earn most. Quantities are in the unit that the item is written in; money is
// unrounded, in the kitchen's currency.
type Answer struct {
	From         string   `json:"from"` // 2006-01-02
	Days         int      `json:"days"`
	Contribution float64  `json:"contribution"`   // sales - bought - labour - disposal + stock
	Standing     float64  `json:"standing"`       // contribution of the standing week, worked out in the same way
	Stands       bool     `json:"stands"`         // it is the standing week: nothing that was found earns more, with the days after
	After        float64  `json:"after"`          // what the days after gain by the plan, against the standing week; below zero: lose
	DaysAfter    int      `json:"days_after"`     // how many days after were looked at: the standing week, with what the plan leaves
	Bound        *float64 `json:"bound"`          // the contribution, and what another plan that goes off the cards no more could earn beyond it, both with the days after: below standing where that week leaves less to them, or goes off its cards more; null when none is known
	Gap          *float64 `json:"gap"`            // (bound - contribution) / |contribution|; null without a bound, or when the plan earns nothing
	Proven       bool     `json:"proven"`         // no plan that keeps to the cards as far earns more with the days after, but for 0.33% of the contribution: the bound says so
	Ways         int      `json:"ways,omitempty"` // to cook these days, when all of them were played and none earns more; a dish is held back only as the search has it; left out when there are too many
	Sales        float64  `json:"sales"`
	Bought       float64  `json:"bought"`   // what all deliveries cost
	Labour       float64  `json:"labour"`   // labour and fuel of batches
	Disposal     float64  `json:"disposal"` // of what is binned
	Cash         float64  `json:"cash"`     // sales - bought - labour - disposal
	Stock        float64  `json:"stock"`    // change of what is on hand, at the lower of worth and cost

	Cook       []Cook          `json:"cook"`
	Needed     []Needed        `json:"as_needed,omitempty"` // what is made as needed, by step and day
	Buy        []Buy           `json:"buy"`
	Sell       []Sell          `json:"sell"`
	Apart      *Apart          `json:"specials,omitempty"` // that could be offered from what the plan leaves, and are counted in no other figure; left out when none brings anything
	Items      []Item          `json:"items"`              // of which something is on hand at first, left or binned
	Binds      []Bind          `json:"binds"`
	Departures []ask.Departure `json:"departures"`        // where dishes and batches are not as their cards have them
	Repeats    *Repeats        `json:"repeats,omitempty"` // where it was asked for a week that feeds itself: with "at first" as the week before leaves it
	Spared     []ask.Departure `json:"spared"`            // where those of the standing week are not, and the plan's are, or fewer are
	Notes      []string        `json:"notes,omitempty"`   // what to know about the plan
	Nothing    string          `json:"nothing,omitempty"` // why nothing at all is sold, where a step can't begin; it is not among the notes then

	Shares *ask.ShareCheck `json:"shares,omitempty"` // bounds on strong lines that break; before is then the share in the standing week; left out when none does

	Chance *ask.Chances `json:"chance,omitempty"` // when it is asked for
	Money  string       `json:"money,omitempty"`
}

// Week is the week as it was asked about, with the plan in place of the standing week.
func (p *Plan) Week() *week.Week {
	w := *p.m.Week
	w.Case = p.Case
	return &w
}

// Cook is a step to do on a day.
type Cook struct {
	Date     string  `json:"date"` // 2006-01-02
	Step     string  `json:"step"`
	Batches  float64 `json:"batches"`  // 0 where the standing week has some and the plan has none
	Made     float64 `json:"made"`     // batches that there is enough for: less than batches where the last one is cut
	Standing float64 `json:"standing"` // batches in the standing week
	Starts   string  `json:"starts"`   // 15:04; "" for before the first service
	Vessel   string  `json:"vessel"`   // "" for none
}

// Buy is an item to buy on an arrival day.
type Buy struct {
	Date     string  `json:"date"` // 2006-01-02
	From     string  `json:"from"` // supplier; "" when the file does not say
	Item     string  `json:"item"`
	Quantity float64 `json:"quantity"`
	Unit     string  `json:"unit"`
	Packs    int     `json:"packs"` // 0 for an item without packs
	Cost     float64 `json:"cost"`
}

// Sell is a dish to sell at a service.
type Sell struct {
	Date     string `json:"date"` // 2006-01-02
	Service  string `json:"service"`
	Dish     string `json:"dish"`
	Special  bool   `json:"special"` // it is on the board already
	Portions int    `json:"portions"`
	Forecast int    `json:"forecast"`
}

// Item is what is on hand of an item when the period begins and when it ends, and what was binned.
type Item struct {
	Name   string  `json:"name"`
	Unit   string  `json:"unit"`
	First  float64 `json:"first"` // on hand when the period begins, or goes on
	Was    float64 `json:"was"`   // value of that, and of what is in a pot then, as far as it counts
	Left   float64 `json:"left"`
	Value  float64 `json:"value"` // of what is left, as far as it counts
	Binned float64 `json:"binned"`
}

// Proven tells whether no plan earns noticeably more: the search ended by itself, not by its budget, and the plan as it is played comes
// to what its bound is. A search that ended knows the best point of the model, which the walk may come far from.
func (p *Plan) Proven() bool {
	return p.Ended == solve.Optimal && p.Bound-p.Contribution <= max(closed*math.Abs(p.Contribution), worthwhile)
}

// closed is the share of what a plan earns that its bound may lie above that, where nothing better is said to be there: where the search
// ends, and a hair.
const closed = 1.1 * goodEnough

// Answer tells the plan.
func (p *Plan) Answer() *Answer {
	m := p.m
	standing := m.worth.Books(m.Case, m.base)
	a := &Answer{From: m.From.Format(time.DateOnly), Days: m.Days, Contribution: p.Contribution, Standing: standing.Contribution,
		Stands: math.Abs(p.Contribution-standing.Contribution) < worthwhile, Proven: p.Proven(), Ways: p.ways, Sales: p.Sales, Bought: p.Bought, Labour: p.Labour, Disposal: p.Disposal, Cash: p.Sales - p.Spent(), Stock: p.Stock,
		Cook: []Cook{}, Buy: []Buy{}, Sell: []Sell{}, Items: []Item{}, Binds: []Bind{}, Notes: slices.Clone(p.Notes), Money: m.Money}
	if m.onward != nil {
		stands, _ := m.goesOn(m.Case, m.base, standing)
		a.After, a.DaysAfter = p.Onward.Contribution-p.Contribution-(stands.Contribution-standing.Contribution), m.onward.Days
	}
	if !math.IsInf(p.Bound, 1) {
		a.Bound = new(p.Bound)
	}
	if gap, ok := p.Gap(); ok {
		a.Gap = &gap
	}
	a.Binds = append(a.Binds, p.Binds...)
	a.Shares = ask.SharesOf(m.Week, p.Case).Against(ask.SharesOf(m.Week, m.Case))
	date := func(day int) string { return m.Date(day).Format(time.DateOnly) }
	for k, r := range p.Case.Schedule.Batches {
		card := m.Steps[r.Step]
		if c := (Cook{Date: "", Step: m.g.Steps[r.Step].Name, Batches: halved(r.Size), Standing: p.stood().BatchesOn(r.Step, m.Date(r.Day))}); r.Day < m.Days && (c.Batches > 0 || c.Standing > 0) {
			c.Date = date(r.Day)
			if card.Vessel >= 0 {
				c.Vessel = m.Vessels[card.Vessel].Name
			}
			if r.Start != flow.Untimed {
				c.Starts = measure.FormatClock(r.Start)
			}
			ran := p.Outcome.Ran[k]
			if c.Made = r.Size; r.Size-ran.Batches > noticed {
				c.Made = ran.Batches
				a.Notes = append(a.Notes, fmt.Sprintf("%s on %s is cut: %s for %s of %s", c.Step, m.DayName(r.Day), m.g.Items[ran.Limit].Name,
					measure.FormatNumber(math.Round(ran.Batches*100)/100), batches(r.Size)))
			}
			a.Cook = append(a.Cook, c)
			a.Stands = a.Stands && c.Batches == c.Standing
		}
	}
	slices.SortStableFunc(a.Cook, func(x, y Cook) int {
		return cmp.Or(strings.Compare(x.Date, y.Date), strings.Compare(x.Starts, y.Starts))
	})
	a.Needed = m.needed(p.Case)
	for _, d := range p.Outcome.Deliveries {
		if !m.Free(d.Item) { // else it is water from the tap
			a.Buy = append(a.Buy, m.buy(d))
		}
	}
	bySupplier(a.Buy)
	wants, asked := len(m.Kitchen.Dishes), m.Case.Schedule.Asked()
	for slot, sit := range m.Sittings {
		for d, dish := range m.Kitchen.Dishes {
			sell := Sell{Date: date(sit.Day), Dish: dish.Name, Special: dish.Special, Portions: int(p.Outcome.Served[slot*wants+d] + 0.5),
				Forecast: int(asked[slot*wants+d])}
			if sit.Service < 0 || sell.Portions == 0 && sell.Forecast == 0 {
				continue
			}
			sell.Service = m.Services[sit.Service].Name
			a.Sell = append(a.Sell, sell)
		}
	}
	if dead := m.dead(); len(dead) > 0 && !slices.ContainsFunc(a.Sell, func(s Sell) bool { return s.Portions > 0 }) {
		a.Nothing = dead[0]
		a.Notes = slices.DeleteFunc(a.Notes, func(note string) bool { return note == dead[0] })
	}
	off, err := ask.DeparturesIn(context.Background(), m.Week, p.Case)
	if a.Departures = append([]ask.Departure{}, off...); err != nil {
		a.Notes = append(a.Notes, "what sticking to the cards costs could not be worked out: "+err.Error())
	}
	if a.Spared = m.spared(a.Departures); p.Repeats != nil {
		a.Spared = p.Repeats.stands.spared(a.Departures)
	}
	a.Apart, a.Repeats = p.Apart, p.Repeats
	for _, f := range m.Full(m.Case.Schedule) {
		a.Notes = append(a.Notes, f.String())
	}
	first := make([]float64, len(m.g.Items))
	for _, l := range m.Case.Schedule.OnHand {
		first[l.Item] += m.per(l.Item, l.Amount)
	}
	for i, it := range m.g.Items {
		left, binned := m.per(i, p.Outcome.Left[i]), m.per(i, p.Outcome.Binned[i])
		if it.Role != graph.Sold && (first[i] > Crumb || left > Crumb || binned > Crumb) {
			if worth := m.Terms.Worth[i] * p.Outcome.Binned[i]; worth > max(dear*math.Abs(p.Contribution), worthwhile) {
				a.Notes = append(a.Notes, fmt.Sprintf("%s in the bin, as what is made with it is worth more: see whether you can sell it",
					m.Counted(i, p.Outcome.Binned[i])))
			}
			a.Items = append(a.Items, Item{it.Name, it.Unit.Name, first[i], m.worth.Opening(m.Case.Flow, i), left, m.worth.Left(m.Case.Flow, i, p.Outcome), binned})
		}
	}
	return a
}

// stood is the kitchen with the standing week as it is.
func (p *Plan) stood() *kitchen.Kitchen {
	if p.Repeats != nil {
		return p.Repeats.stands.Kitchen
	}
	return p.m.Kitchen
}

// spared lists where the standing week goes off its cards and the plan does not, or does less often.
func (m *model) spared(plan []ask.Departure) []ask.Departure {
	standing := &week.Played{Case: m.Case, Schedule: m.Case.Schedule, Record: &flow.Record{Movements: true}}
	standing.Outcome = m.Player().Play(m.Case, standing.Record)
	list := []ask.Departure{}
	for _, d := range ask.Departures(m.Week, standing, nil, nil) {
		for _, still := range plan {
			if still.In == d.In && still.For == d.For {
				d.Count -= still.Count
			}
		}
		if d.Count >= 1-whole {
			list = append(list, d)
		}
	}
	return list
}

// buy tells a delivery.
func (m *model) buy(d flow.Delivery) Buy {
	it, b := m.g.Items[d.Item], m.Kitchen.Bought[d.Item]
	buy := Buy{Date: m.Date(d.Day).Format(time.DateOnly), From: b.From, Item: it.Name, Quantity: m.per(d.Item, d.Amount), Unit: it.Unit.Name,
		Cost: d.Amount * m.Terms.Price[d.Item]}
	if b.Pack > 0 {
		buy.Packs = int(d.Amount/b.Pack + 0.5)
	}
	return buy
}

// noticed is the part of a batch that is missed when it is not made.
const noticed = 0.005

// dear is the share of what is earned or lost from which on what is binned is said.
const dear = 0.005
