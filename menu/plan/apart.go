package plan

// Specials, apart from the plan: what could be offered from what it leaves.

import (
	"cmp"
	"context"
	"math"
	"slices"
	"time"

	"kettletree/graph/flow"
	"kettletree/menu/week"
)

// Apart is what a plan could earn beyond its contribution with specials made of what it leaves: nobody knows that they sell.
// Money is unrounded, in the kitchen's currency.
type Apart struct {
	More         float64   `json:"more"`         // contribution beyond the plan's, if they sell as expected
	After        float64   `json:"after"`        // what the days after gain by them; below zero: lose, which is less than they bring
	Contribution float64   `json:"contribution"` // of the plan with them: what all commands say of the plan when it is kept
	Offers       []Offered `json:"offers"`       // by service
	Buy          []Buy     `json:"buy"`          // what is bought for them beyond what the plan buys

	outcome *flow.Outcome
	books   week.Books
}

// Offered is a special to put on the board at one service.
type Offered struct {
	Date     string     `json:"date"` // 2006-01-02
	Service  string     `json:"service"`
	Dish     string     `json:"dish"`
	Portions int        `json:"portions"` // that it is expected to sell, as far as there is enough for
	AtMost   int        `json:"at_most"`  // 0 where the file does not say
	By       week.Basis `json:"by"`       // what is expected goes by: "sells" of the file, "seen" in the log book, or "assumed"
	Share    float64    `json:"share"`    // of at_most; 0 by the file
	Brings   float64    `json:"brings"`   // contribution, less what the days after lose by it, with those that bring more already there
	Takes    []Guests   `json:"takes"`    // from dishes of the menu

	at placed
}

// Guests are portions that are ordered of another dish.
type Guests struct {
	Dish     string `json:"dish"`
	Portions int    `json:"portions"`
}

// placed are portions of a special at a service.
type placed struct{ dish, slot, portions int }

// boarding looks for specials to offer beside a plan.
type boarding struct {
	*model
	plan    *Plan
	chosen  []placed
	brings  []float64
	outcome *flow.Outcome // with what is chosen
	books   week.Books
	onward  week.Books
	plays   int // of the plan with offers
}

// mostApart bounds the work of looking for offers: plays times their days, with those behind them.
const mostApart = 50_000

// apart finds which specials to offer from what a plan leaves. That which brings most is put on the board first, then that which
// brings most beside it, and so on, as long as one brings the price of a portion. No dish of the menu goes short for one, at a service there is one at
// most, and after a day on the board a special rests for a day. What the days behind lose by one is taken off what it brings.
//
// What one brings falls, the more others are there; so those that are known to have brought less are not tried again before it is their
// turn (lazily: Minoux, Accelerated Greedy Algorithms for Maximizing Submodular Set Functions, 1978). Where it rises all the same,
// another may have been better: nothing is said to be best.
func (p *Plan) apart(ctx context.Context) {
	o := &boarding{model: p.m, plan: p, outcome: p.Outcome, books: p.Books, onward: p.Onward}
	type candidate struct {
		placed
		brings float64
		with   int // how many were chosen when that was found
	}
	var queue []candidate
	for slot, sit := range o.Sittings {
		if sit.Service < 0 || o.Case.Schedule.Slots[slot].Closed || o.onBoard(slot) {
			continue
		}
		for d, dish := range o.Kitchen.Dishes {
			if !dish.Special || o.without[d] {
				continue
			}
			if n := o.Expected(d, slot).Portions; n > 0 {
				queue = append(queue, candidate{placed: placed{d, slot, n}, brings: math.Inf(1), with: -1})
			}
		}
	}
	for len(queue) > 0 && ctx.Err() == nil {
		if o.plays*o.days() > mostApart {
			p.Notes = append(p.Notes, "specials were not looked for at all services of so many days: ask for fewer, with --days")
			break
		}
		slices.SortStableFunc(queue, func(a, b candidate) int { return cmp.Compare(b.brings, a.brings) })
		switch c := &queue[0]; {
		case o.rests(c.dish, c.slot) || slices.ContainsFunc(o.chosen, func(x placed) bool { return x.slot == c.slot }):
			queue = queue[1:]
		case c.with < len(o.chosen):
			fits, brings := o.try(c.placed)
			if c.placed, c.brings, c.with = fits, brings, len(o.chosen); !o.WorthOffering(c.dish, brings) {
				queue = queue[1:] // it is not worth a line on the board
			}
		default:
			o.take(c.placed, c.brings)
			queue = queue[1:]
		}
	}
	o.tell()
}

// worthwhile is the least that all offers must bring: half of the smallest coin of most currencies.
const worthwhile = 0.005

// onBoard tells whether a special is on the board at a service already.
func (o *boarding) onBoard(slot int) bool {
	for d, dish := range o.Kitchen.Dishes {
		if dish.Special && o.Case.Schedule.Wants[d].Forecast[slot] > 0 {
			return true
		}
	}
	return false
}

// rests tells whether a special has to rest on the day of a service.
func (o *boarding) rests(dish, slot int) bool {
	day := o.Sittings[slot].Day
	on := func(k int) bool {
		apart := o.Sittings[k].Day - day
		return apart == -1 || apart == 1
	}
	for k, portions := range o.Case.Schedule.Wants[dish].Forecast {
		if portions > 0 && on(k) {
			return true
		}
	}
	return o.Rests(dish, day) || slices.ContainsFunc(o.chosen, func(c placed) bool { return c.dish == dish && on(c.slot) })
}

// days is how many are walked for each play.
func (o *boarding) days() int {
	if o.model.onward == nil {
		return o.Days
	}
	return o.Days + o.model.onward.Week.Days
}

// with plays the plan with specials on the board: what its own days come to, and they with those behind them.
func (o *boarding) with(list []placed) (c flow.Case, outcome *flow.Outcome, own, all week.Books) {
	o.plays++
	if !o.held {
		l := living{model: o.model, kept: o.board(list)}
		l.lay()
		return l.is, l.outcome, l.books, l.onward
	}
	s, asking := *o.plan.Case.Schedule, *o.Case.Schedule
	s.Wants, asking.Wants = slices.Clone(s.Wants), slices.Clone(asking.Wants)
	for _, x := range list {
		w := &asking.Wants[x.dish]
		w.Forecast = slices.Clone(w.Forecast)
		w.Forecast[x.slot] = float64(x.portions)
	}
	asked := asking.Asked()
	for d := range s.Wants { // of a dish goes out what was to go out, as far as it is still asked for
		s.Wants[d].Forecast = slices.Clone(s.Wants[d].Forecast)
		for k := range s.Slots {
			s.Wants[d].Forecast[k] = min(s.Wants[d].Forecast[k], asked[k*len(s.Wants)+d])
		}
	}
	for _, x := range list {
		s.Wants[x.dish].Forecast[x.slot] = asked[x.slot*len(s.Wants)+x.dish]
	}
	c = flow.Case{Flow: o.plan.Case.Flow, Schedule: &s}
	outcome = o.Player().Play(c, nil)
	own = o.worth.Books(c, outcome)
	return c, outcome, own, own
}

// board is the plan as it is kept, with specials on the board.
func (o *boarding) board(list []placed) *Kept {
	kept := *o.plan.coming
	kept.Days = slices.Clone(kept.Days)
	for n := range kept.Days {
		kept.Days[n].Orders = slices.Clone(kept.Days[n].Orders)
	}
	for _, x := range slices.SortedStableFunc(slices.Values(list), func(a, b placed) int { return cmp.Or(a.slot-b.slot, a.dish-b.dish) }) {
		sit := o.Sittings[x.slot]
		day := &kept.Days[sit.Day]
		day.Specials = append(slices.Clip(day.Specials), KeptPortions{o.Services[sit.Service].Name, o.Kitchen.Dishes[x.dish].Name, x.portions})
	}
	return &kept
}

// try finds how many portions of an offer can be had beside what is chosen, and what they bring.
func (o *boarding) try(x placed) (fits placed, brings float64) {
	for x.portions >= max(1, o.Kitchen.Dishes[x.dish].AtLeast) {
		c, outcome, own, all := o.with(append(slices.Clip(o.chosen), x))
		can := int(outcome.Served[x.slot*len(o.Kitchen.Dishes)+x.dish] + whole)
		switch {
		case can < x.portions:
			x.portions = can
		case o.harms(c, outcome):
			x.portions-- // what it takes is wanted for the menu
		case !o.usesUp(outcome):
			return x, 0
		default:
			return x, min(own.Contribution-o.books.Contribution, all.Contribution-o.onward.Contribution)
		}
	}
	return x, 0
}

// harms tells whether a dish goes short for an offer, or something that is to be left at the end is not.
func (o *boarding) harms(c flow.Case, with *flow.Outcome) bool {
	asked := c.Schedule.Asked()
	for at, served := range with.Served {
		if served < min(o.outcome.Served[at], asked[at])-whole {
			return true
		}
	}
	for i, par := range o.Par {
		if with.OnHand(i) < min(par, o.outcome.OnHand(i))*(1-agree) {
			return true
		}
	}
	return false
}

// usesUp tells whether an offer uses some of what would be left over or binned.
func (o *boarding) usesUp(with *flow.Outcome) bool {
	for i, it := range o.g.Items {
		if o.outcome.Left[i]+o.outcome.Binned[i]-with.Left[i]-with.Binned[i] > Crumb*it.Unit.Factor {
			return true
		}
	}
	return false
}

// take puts an offer on the board.
func (o *boarding) take(x placed, brings float64) {
	o.chosen, o.brings = append(o.chosen, x), append(o.brings, brings)
	_, o.outcome, o.books, o.onward = o.with(o.chosen)
}

// tell makes what was chosen a part of the plan that is kept, with what it opens packs for ordered whole. Where that eats up what it brings,
// the last that was chosen is left out.
func (o *boarding) tell() {
	p := o.plan
	for ; len(o.chosen) > 0; o.chosen = o.chosen[:len(o.chosen)-1] {
		if _, o.outcome, o.books, o.onward = o.with(o.chosen); !o.held {
			l := living{model: o.model, kept: o.board(o.chosen)}
			l.lay()
			l.mend()
			o.outcome, o.books, o.onward = l.outcome, l.books, l.onward
			p.kept = o.withDone(l.kept)
		}
		more := o.books.Contribution - p.Contribution
		if after := o.onward.Contribution - p.Onward.Contribution - more; min(more, more+after) >= worthwhile {
			p.Apart = &Apart{More: more, After: after, Contribution: o.books.Contribution, Offers: []Offered{}, Buy: []Buy{}, outcome: o.outcome, books: o.books}
			break
		}
		if !o.held {
			p.kept = o.withDone(p.coming)
		}
	}
	if p.Apart == nil {
		return
	}
	for n, x := range o.chosen {
		sit, dish := o.Sittings[x.slot], o.Kitchen.Dishes[x.dish]
		e := o.Expected(x.dish, x.slot)
		offer := Offered{Date: o.Date(sit.Day).Format(time.DateOnly), Service: o.Services[sit.Service].Name, Dish: dish.Name, Portions: x.portions, AtMost: dish.AtMost,
			By: e.By, Share: e.Share, Brings: o.brings[n], Takes: []Guests{}, at: x}
		for _, t := range dish.InPlace {
			asked := o.asks[x.slot*len(o.Kitchen.Dishes)+t.Dish]
			if taken := int(min(asked, math.Ceil(t.Share*float64(x.portions)-whole))); taken > 0 {
				offer.Takes = append(offer.Takes, Guests{o.Kitchen.Dishes[t.Dish].Name, taken})
			}
		}
		p.Apart.Offers = append(p.Apart.Offers, offer)
	}
	slices.SortStableFunc(p.Apart.Offers, func(a, b Offered) int { return cmp.Or(a.at.slot-b.at.slot, a.at.dish-b.at.dish) })
	p.Apart.Buy = o.buys(p.Outcome, o.outcome)
}

// buys lists what an outcome buys beyond another.
func (m *model) buys(less, more *flow.Outcome) (list []Buy) {
	had := map[[2]int]float64{}
	for _, d := range less.Deliveries {
		had[[2]int{d.Item, d.Day}] += d.Amount
	}
	list = []Buy{}
	for _, d := range more.Deliveries {
		if d.Amount -= had[[2]int{d.Item, d.Day}]; d.Amount > Crumb*m.g.Items[d.Item].Unit.Factor && !m.Free(d.Item) {
			list = append(list, m.buy(d))
		}
	}
	return list
}

// Portions is how many portions the offers are expected to sell.
func (a *Apart) Portions() (n int) {
	for _, o := range a.Offers {
		n += o.Portions
	}
	return n
}

// AsKept is what the plan comes to as it is kept: with the specials that it offers.
func (p *Plan) AsKept() (*flow.Outcome, week.Books) {
	if p.Apart == nil {
		return p.Outcome, p.Books
	}
	return p.Apart.outcome, p.Apart.books
}
