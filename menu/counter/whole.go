package counter

// A whole piece on offer, and the parts that a step of the file breaks it down into: what becomes of each, and what the whole is worth
// against its parts.

import (
	"context"
	"math"
	"slices"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu/specials"
)

// Whole is a piece on offer that a step breaks down.
type Whole struct {
	Item   string  `json:"item"`
	Unit   string  `json:"unit"`
	Step   string  `json:"step"`                  // that breaks it down
	Amount float64 `json:"amount"`                // that is looked at: what the answer buys of it, or, where it buys none, the best set that was found with it; where there is no such set, the least that can be bought
	Bought bool    `json:"bought"`                // the answer buys it
	Brings float64 `json:"brings"`                // what the best set with it earns more, after it is paid for, than the best without it, be the money spent on whatever else; as far as was found
	Cards  float64 `json:"of_that_off_the_cards"` // of that, what is earned by going further off the cards, which what it is worth up to does not count; below 0 where the best without it goes further
	Dear   bool    `json:"too_dear"`              // no set with it can be paid for and carried

	Costs  float64 `json:"costs"`       // at the counter, with the work of breaking it down
	Worth  float64 `json:"parts_worth"` // what those of its parts that have a price or a worth come to
	Parts  []Part  `json:"parts"`
	Blank  int     `json:"unpriced"` // how many parts have neither a price as such nor a worth
	Unused int     `json:"unused"`   // how many parts have no use, or not all of them
}

// Part is a part of a whole piece.
type Part struct {
	Item   string    `json:"item"`
	Unit   string    `json:"unit"`
	Amount float64   `json:"amount"`  // of it, by the card
	Price  float64   `json:"price"`   // for one unit, bought as such, or what the file says that it is worth; 0 where nobody said
	Worth  bool      `json:"worth"`   // it is what the file says that it is worth
	Like   string    `json:"like"`    // what it would be bought as: itself, or what a card takes in its place
	Offer  bool      `json:"offer"`   // that is on offer, at tonight's price
	From   string    `json:"from"`    // else: who sells it; "" where the file does not say
	Goes   []PartUse `json:"goes"`    // into what, the most first
	Kept   float64   `json:"kept"`    // still on hand when all days are over
	Binned float64   `json:"binned"`  // no longer kept by then
	Use    string    `json:"special"` // a special that would use what is left or binned of it; "" for none
	Short  string    `json:"short"`   // where not all of it is used: a dish that takes it, or what is made of it, and all the same can't all be served; "" for none
	Lacks  string    `json:"lacks"`   // what that dish is short of; "" where that is the part itself, at another time
}

// PartUse is what of a part goes into a step or a dish.
type PartUse struct {
	In     string  `json:"in"`
	Amount float64 `json:"amount"`
}

// breaksDown is the step that breaks an item down: it takes nothing else and gives several things. -1 where there is none.
func (s *Search) breaksDown(item int) int {
	return slices.IndexFunc(s.Graph.Steps[:len(s.Steps)], func(st graph.Step) bool {
		return len(st.Takes) == 1 && len(st.Takes[0].Choices) == 1 && st.Takes[0].Choices[0].Item == item && len(st.Gives) > 1
	})
}

// wholes tells of each whole piece on offer, beside a purchase.
func (s *Search) wholes(ctx context.Context, x *purchase) (list []Whole, err error) {
	for n, o := range s.o.Offers {
		step := s.breaksDown(o.Item)
		if step < 0 || len(s.ladders[n]) < 2 || ctx.Err() != nil {
			continue
		}
		w, with, err := s.whole1(ctx, x, n, step)
		if err != nil {
			return nil, err
		}
		if w.Unused > 0 {
			s.cook(with.way)
			s.waits(&w, o.Item, with)
			err := s.useUp(ctx, &w, with)
			if s.cook(x.way); err != nil {
				return nil, err
			}
		}
		list = append(list, w)
	}
	return list, nil
}

func (s *Search) whole1(ctx context.Context, x *purchase, n, step int) (w Whole, with *purchase, err error) {
	o, st := s.o.Offers[n], s.Graph.Steps[step]
	it := s.Graph.Items[o.Item]
	best, other, ok := s.withAndWithout(ctx, x, n)
	with = best // cooked as that set is best cooked: by the answer's batches nobody may break the piece down
	if !ok {
		with = x
		if x.rungs[n] == 0 {
			with = s.try(set(x.rungs, n, 1))
		}
	}
	s.cook(with.way)
	defer s.cook(x.way)
	without := s.try(set(with.rungs, n, 0))
	// What differs in what is used, left and binned, is by the whole piece.
	_, out := s.onward.Play(s.with(without.at, false))
	used, left, binned := slices.Clone(out.Used), slices.Clone(out.Left), slices.Clone(out.Binned)
	_, out = s.onward.Play(s.with(with.at, false))
	amount := with.at[n]
	batches := amount / st.Takes[0].Choices[0].Amount
	terms := s.Week.Case.Flow.Terms()
	w = Whole{Item: it.Name, Unit: it.Unit.Name, Step: st.Name, Amount: amount / it.Unit.Factor, Bought: with == x, Dear: !ok,
		Costs: amount*o.Price + batches*terms.Cost[step]}
	if ok {
		w.Brings = s.brings(best, other)
		w.Cards = w.Brings - (best.counts - other.counts)
	}
	for _, give := range st.Gives {
		part := s.Graph.Items[give.Item]
		unit := part.Unit.Factor
		p := Part{Item: part.Name, Unit: part.Unit.Name, Amount: give.Amount * batches / unit}
		for k, st := range s.Graph.Steps {
			all := 0.0
			for l, line := range st.Takes {
				for c, choice := range line.Choices {
					if choice.Item == give.Item {
						at := s.Week.Case.Flow.Choice(k, l, c)
						all += out.Used[at] - used[at]
					}
				}
			}
			if all > trace*give.Amount*batches {
				p.Goes = append(p.Goes, PartUse{st.Name, all / unit})
			}
		}
		goes := 0.0
		for _, u := range p.Goes {
			goes += u.Amount
		}
		for k := range p.Goes { // with the one part more of the same from elsewhere may find a use: it is not of this piece
			p.Goes[k].Amount *= min(1, p.Amount/goes)
		}
		slices.SortStableFunc(p.Goes, func(a, b PartUse) int {
			if a.Amount > b.Amount {
				return -1
			}
			return 1
		})
		p.Kept = max(0, out.Left[give.Item]-left[give.Item]) / unit
		p.Binned = max(0, out.Binned[give.Item]-binned[give.Item]) / unit
		if p.unused() {
			w.Unused++
		}
		price, like, offer, from := s.asSuch(give.Item)
		if worth := terms.Worth[give.Item]; worth > 0 && part.Role != graph.Bought && (price == 0 || worth < price) { // what is not a number is not above 0
			price, like, offer, from, p.Worth = worth, give.Item, false, "", true
		}
		if p.Price = price * unit; price > 0 {
			p.Like, p.Offer, p.From = s.Graph.Items[like].Name, offer, from
			w.Worth += p.Price * p.Amount
		} else {
			w.Blank++
		}
		w.Parts = append(w.Parts, p)
	}
	return w, with, nil
}

// withAndWithout are the best set that holds something of an offer and the best that holds nothing of it; not ok where none with it can be had.
func (s *Search) withAndWithout(ctx context.Context, x *purchase, n int) (with, without *purchase, ok bool) {
	holds := func(p *purchase) bool { return p.at[n] > 0 }
	lacks := func(p *purchase) bool { return p.at[n] == 0 }
	find := func(allowed func(*purchase) bool) *purchase {
		if allowed(x) {
			return x
		}
		if from := s.bestOf(s.o.Spend, allowed); from != nil {
			return s.climb(ctx, from, s.o.Spend, besides, allowed)
		}
		return nil
	}
	if x.rungs[n] > 0 {
		s.try(set(x.rungs, n, 0)) // what it frees is spent from there
	} else {
		s.forced(x, n, s.ladders[n][1].amount, s.o.Spend)
	}
	with, without = find(holds), find(lacks)
	return with, without, with != nil && without != nil
}

// trace is which part of a thing is not worth telling.
const trace = 0.02

// asSuch is what a base unit of a part costs, bought as such: tonight's price where it or what a card takes in its place is on offer; else the
// file's, for itself, or for what cards take in its place, where the cook does not mind which or the part is the second choice. Of several, the least.
func (s *Search) asSuch(item int) (price float64, like int, offer bool, from string) {
	consider := func(p float64, as int, tonight bool, who string) {
		if p > 0 && !math.IsInf(p, 1) && (price == 0 || p < price) {
			price, like, offer, from = p, as, tonight, who
		}
	}
	one := func(as int, times float64) {
		for _, o := range s.o.Offers {
			if o.Item == as {
				consider(o.Price*times, as, true, "")
				return
			}
		}
		if s.Graph.Items[as].Role == graph.Bought {
			consider(s.Week.Case.Flow.Price(as)*times, as, false, s.Bought[as].From)
		}
	}
	one(item, 1)
	for _, src := range s.Sources[item] {
		consider(src.Price, item, false, src.From)
	}
	if price > 0 {
		return price, like, offer, from
	}
	for _, st := range s.Graph.Steps {
		for _, line := range st.Takes {
			at := slices.IndexFunc(line.Choices, func(c graph.Choice) bool { return c.Item == item })
			if at < 0 {
				continue
			}
			for _, c := range line.Choices {
				if c.Item != item {
					one(c.Item, c.Amount/line.Choices[at].Amount)
				}
			}
		}
	}
	return price, like, offer, from
}

// unused tells whether not all of a part is used.
func (p *Part) unused() bool { return p.Binned > trace*p.Amount || len(p.Goes) == 0 }

// waits names, for what is not all used, the dish that would take most more of it but for something else that is missing: it has a use, and waits.
func (s *Search) waits(w *Whole, whole int, p *purchase) {
	c := s.with(p.at, false)
	rec := &flow.Record{}
	out := s.Player().Play(c, rec)
	dishes := s.Kitchen.Dishes
	short, lacks := make([]float64, len(dishes)), make([]int, len(dishes))
	for d := range dishes {
		lacks[d] = -1
		for slot := range s.Sittings {
			short[d] += out.Asked[slot*len(dishes)+d] - out.Served[slot*len(dishes)+d]
		}
	}
	for n := range w.Parts {
		part := &w.Parts[n]
		item, err := s.FindItem(part.Item)
		if err != nil || !part.unused() {
			continue
		}
		own := func(i int) bool { return i == item || i == whole }
		for d := range lacks {
			lacks[d] = -1
		}
		for _, stop := range rec.Stops { // the first that is not of the part itself
			if len(stop.Items) > 0 && (lacks[stop.Want] < 0 || own(lacks[stop.Want])) {
				lacks[stop.Want] = stop.Items[len(stop.Items)-1]
			}
		}
		made, best := s.madeOf(part.Item), -1
		for d := range dishes {
			if short[d] < 0.5 || lacks[d] < 0 || !slices.Contains(made, s.Graph.Items[c.Schedule.Wants[d].Item].Name) {
				continue
			}
			if best < 0 || own(lacks[best]) && !own(lacks[d]) || own(lacks[best]) == own(lacks[d]) && short[d] > short[best] {
				best = d
			}
		}
		if best >= 0 {
			part.Short = dishes[best].Name
			if !own(lacks[best]) {
				part.Lacks = s.Graph.Items[lacks[best]].Name
			}
		}
	}
}

// useUp names the specials that would use what has no use.
func (s *Search) useUp(ctx context.Context, w *Whole, p *purchase) error {
	found, err := specials.Specials(ctx, s.With(s.with(p.at, true)), nil, nil)
	if err != nil || found == nil {
		return err
	}
	for n := range w.Parts {
		part := &w.Parts[n]
		if !part.unused() {
			continue
		}
		made := s.madeOf(part.Item)
		for _, offer := range found.Proposals {
			if part.Use == "" && slices.ContainsFunc(offer.Offer.Uses, func(u specials.Use) bool { return slices.Contains(made, u.Item) }) {
				part.Use = offer.Dish
			}
		}
	}
	return nil
}

// madeOf are the names of a thing and of all that is made of it.
func (s *Search) madeOf(name string) (names []string) {
	item, err := s.FindItem(name)
	if err != nil {
		return nil
	}
	names = []string{name}
	for _, node := range s.Graph.Downstream(item) {
		if node < len(s.Graph.Items) {
			names = append(names, s.Graph.Items[node].Name)
		}
	}
	return names
}
