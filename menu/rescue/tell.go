package rescue

// Moves in words: what each brings, what it takes from others, what is ordered for it, and the cautions.

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"kettletree/graph"
	"kettletree/graph/flow"
	"kettletree/menu/ask"
	"kettletree/menu/kitchen"
)

// tell puts move k of several into words, with what it adds to those before it.
func (r *rescuing) tell(moves []*move, k int) Move {
	m, player := moves[k], r.Player() // and one more, so that both outcomes last
	_, fits := r.with(player, moves)
	fit := fits[k]
	was, now := r.on(r.Player(), moves[:k]...), r.on(player, moves[:k+1]...)
	a := Move{Kind: MoveKinds[m.kind], What: fit.what, Gained: now.books.Contribution - was.books.Contribution,
		Cash: now.books.Spent() - was.books.Spent(), Dishes: []MoreSold{}, Services: []OfferedAt{}, Buy: []ExtraOrder{},
		Fewer: r.fewer(was, now), LeftOver: now.books.Stock - was.books.Stock, Less: r.less(was, now),
		Swaps: []ask.Swap{}, Allergens: []string{}, May: []string{}, Unstated: []string{}, Breaks: []string{}}
	for d, dish := range r.Dishes {
		more := 0.0
		for slot := range r.Sittings {
			more += now.out.Served[slot*len(r.Dishes)+d] - was.out.Served[slot*len(r.Dishes)+d]
		}
		if n := int(math.Round(more)); n != 0 {
			a.Dishes = append(a.Dishes, MoreSold{dish.Name, n})
			a.Portions += n
		}
	}
	slices.SortStableFunc(a.Dishes, func(x, y MoreSold) int { return cmp.Compare(y.Portions, x.Portions) })
	for _, at := range fit.at {
		sit := r.Sittings[at.slot]
		a.Services = append(a.Services, OfferedAt{r.Date(sit.Day).Format(kitchen.DateLayout), r.Services[sit.Service].Name,
			at.portions})
	}
	a.Buy = r.orders(was, now)
	a.By = r.Stamp(r.ordered(a.Buy, fit.by))
	a.Swaps = append(a.Swaps, ask.Swaps(r.Week, was.out, now.out)...)
	breaks := ask.SharesOf(r.Week, now.Case).Newly(ask.SharesOf(r.Week, was.Case))
	a.Breaks = append(a.Breaks, breaks.Sentences()...)
	a.Without = ask.Beyond(ask.GoesWithout(r.Week, now.Schedule, now.out, nil), ask.GoesWithout(r.Week, was.Schedule, was.out, nil))
	switch m.kind {
	case aBatch:
		a.Batch = new(m.run)
	case aStrike, aSpecial:
		a.Dish = r.Dishes[m.dish].Name
	}
	if m.kind == aSpecial {
		stated := r.Stated(r.Dishes[m.dish].Item)
		a.Allergens, a.May, a.Unstated = stated.Has, stated.May, stated.Unknown
	}
	return a
}

// fewer are the days that a move takes portions from.
func (r *rescuing) fewer(was, now tried) []FewerOn {
	by := make([]float64, r.Days)
	for slot, sit := range r.Sittings {
		for d := range r.Dishes {
			by[sit.Day] += was.out.Served[slot*len(r.Dishes)+d] - now.out.Served[slot*len(r.Dishes)+d]
		}
	}
	list := []FewerOn{}
	for day, n := range by {
		if n := int(math.Round(n)); n > 0 {
			list = append(list, FewerOn{r.Date(day).Format(kitchen.DateLayout), n})
		}
	}
	return list
}

// less tells of the batches that are smaller than they were before a move, or than it asks for.
func (r *rescuing) less(was, now tried) []string {
	list := []string{}
	for k, run := range now.Schedule.Batches {
		full, ran := run.Size, now.out.Ran[k]
		if k < len(was.out.Ran) {
			full = was.out.Ran[k].Batches
		}
		if run.Day < r.Days && ran.Batches < full*(1-ask.WorthTelling) && // less is not seen on a scale
			ran.Limit >= 0 {
			makes := "makes only " + kitchen.FormatPercent(math.Round(100*ran.Batches/full)/100)
			if ran.Batches < full*ask.WorthTelling {
				makes = "is not made"
			}
			list = append(list, fmt.Sprintf("%s, due %s, %s: not enough %s", r.Graph.Steps[run.Step].Name,
				r.Moment(ran.Start), makes, r.Graph.Items[ran.Limit].Name))
		}
	}
	return list
}

// orders is what must come beyond what came before, by cost.
func (r *rescuing) orders(was, now tried) []ExtraOrder {
	list := []ExtraOrder{}
	type key struct{ item, day int }
	had := map[key]float64{}
	for _, d := range was.out.Deliveries {
		had[key{d.Item, d.Day}] += d.Amount
	}
	for _, d := range now.out.Deliveries {
		more, it := d.Amount-had[key{d.Item, d.Day}], r.Graph.Items[d.Item]
		above, price := elsewhere(now.Case, d.Item, d.Day)
		before, _ := elsewhere(was.Case, d.Item, d.Day)
		other := price > 0
		cost := more*now.Flow.Price(d.Item) + above - before
		if more <= max(1e-6*d.Amount, dust) || cost == 0 { // a millionth is the rounding of sums
			continue
		}
		o := ExtraOrder{Item: it.Name, Quantity: more / it.Unit.Factor, Unit: it.Unit.Name, Date: r.Date(d.Day).Format(kitchen.DateLayout), Cost: cost,
			Many: it.Many, Index: d.Item, Day: d.Day, Other: other, Crumb: more < leastShare*(was.out.Opening[d.Item]+was.out.Delivered(d.Item))}
		if o.Price = now.Flow.Price(d.Item) * it.Unit.Factor; it.Role == graph.Bought {
			o.From = r.Bought[d.Item].From
		}
		if other {
			o.Price = price * it.Unit.Factor
		}
		for _, source := range r.Sources[d.Item] {
			if other && source.Price == price {
				o.From = source.From
			}
		}
		if s := r.SupplierNamed(o.From); s != nil && s.OrderBy != nil && (!other || r.comesOrdered(d.Item, o.From)) {
			o.OrderBy = r.Stamp(r.OrderBy(d.Day, o.From))
		}
		list = append(list, o)
	}
	slices.SortStableFunc(list, func(a, b ExtraOrder) int { return cmp.Compare(b.Cost, a.Cost) })
	return list
}

// elsewhere is what is asked for an item that comes from elsewhere on a day beyond its own price, and at what
// price for one base unit it is bought there; 0 where none is.
func elsewhere(c flow.Case, item, day int) (above, price float64) {
	for _, d := range c.Schedule.Deliveries {
		if d.Item == item && d.Day == day && d.Price > 0 {
			above, price = above+d.Amount*(d.Price-c.Flow.Price(item)), d.Price
		}
	}
	return above, price
}

// setDay tells whether an order that matters comes on a set day that has not begun when the mishap is known: then it
// must be given before.
func (r *rescuing) setDay(o ExtraOrder) bool {
	onDays := r.Graph.Items[o.Index].Role == graph.Bought && !r.stand.Case.Schedule.Daily(o.Index)
	return onDays && !o.Other && !o.Crumb && o.Day*1440 > r.known
}

// ordered is by when a move must be decided for its orders to come, at most by.
func (r *rescuing) ordered(list []ExtraOrder, by int) int {
	for _, o := range list {
		if r.setDay(o) || o.OrderBy != "" && !o.Other && !o.Crumb {
			by = min(by, r.OrderBy(o.Day, o.From))
		}
	}
	return by
}

// comesOrdered tells whether another supplier brings an item by order, and not within some minutes.
func (r *rescuing) comesOrdered(item int, from string) bool {
	return slices.ContainsFunc(r.Sources[item], func(s kitchen.Source) bool { return s.From == from && s.Within == 0 })
}

// nothing says why no move saves anything.
func (r *rescuing) nothing(all []*move, a *Answer) string {
	if len(a.Moves) > 0 {
		return ""
	}
	missing := 0.0
	for slot := range r.Sittings {
		missing += r.missing(r.stand.Outcome, slot)
	}
	switch {
	case len(r.lacks) == 0 && missing == 0:
		return "nothing needs saving: no dish runs short after that"
	case len(all) == 0:
		return "nothing can be saved: there is nothing to try: no step could make what is short in time, the file names nobody else " +
			"who sells it, and no other dish uses it"
	}
	return "nothing can be saved: whatever can still be done costs more than it saves"
}

// cautions are what must be known about moves.
func cautions(code *kitchen.Code, a *Answer) []string {
	list := []string{}
	moves := slices.Clone(a.Moves)
	if a.Together != nil {
		moves = append(moves, a.Together.Moves...)
	}
	has := func(kind moveKind) bool {
		return slices.ContainsFunc(moves, func(m Move) bool { return m.Kind == MoveKinds[kind] })
	}
	if has(aBatch) {
		list = append(list,
			"a rushed batch is cooked through, cooled and held like any other"+cited(code)+"; local code comes first")
	}
	if has(aBuyIn) {
		list = append(list,
			"what you buy in has a maker, a date and allergens of its own: ask for them before you use it")
	}
	if slices.ContainsFunc(moves, func(m Move) bool { return len(m.Swaps) > 0 }) || has(aSpecial) {
		list = append(list,
			"check the allergens of a substitute or a special against the label and your local rules before you serve it; "+
				"only what the kitchen file states is known here")
	}
	return list
}

// cited are the sections of the kitchen's code on cooking, cooling and holding, in brackets; "" where it names none.
func cited(code *kitchen.Code) string {
	if sections := code.Heated(); len(sections) > 0 {
		return " (" + code.Cite(strings.Join(sections, ", ")) + ")"
	}
	return ""
}
