package rescue

// Buying elsewhere: what falls short, from whom the file says that it can be had, as far as it comes in time.

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"kettletree/graph/flow"
	"kettletree/graph/measure"
	"kettletree/menu/ask"
	"kettletree/menu/kitchen"
	"kettletree/menu/week"
)

// buyIns finds those from whom an item can be had that is short, or does in place of one.
func (r *rescuing) buyIns(item int, add func(*move)) {
	for n := range r.Sources[item] {
		add(&move{kind: aBuyIn, group: fmt.Sprintf("buy in %d", item), item: item, source: n})
	}
}

// dust is an amount, in base units, that only the rounding of sums leaves.
const dust = 1e-3

// fitBuyIn buys an item in of a supplier.
func (r *rescuing) fitBuyIn(m *move, player *week.Player, c flow.Case) fitted {
	source := r.Sources[m.item][m.source]
	changes, parts, by := r.fetch(player, c, c, m.item, source)
	if len(parts) == 0 {
		by = r.known
	}
	return fitted{changes: changes, by: by,
		what: fmt.Sprintf("buy in %s from %s: %s", r.Graph.Items[m.item].Name, r.SourceText(m.item, source), strings.Join(parts, ", "))}
}

// fetch finds how much of an item a case needs of a supplier each day beyond what comes in another, and brings that, in whole
// packs and pieces; by is the latest minute to order it. What is next to nothing of it all is left out.
func (r *rescuing) fetch(player *week.Player, c, beyond flow.Case, item int, source kitchen.Source) (changes []flow.Shock, parts []string, by int) {
	it, needs, all := r.Graph.Items[item], make([]float64, r.Days), 0.0
	for _, d := range r.try(player, beyond).out.Deliveries {
		if d.Item == item {
			needs[d.Day] -= d.Amount
		}
	}
	for _, d := range r.try(player, c.With(flow.Offer{Item: item, Days: r.comesOn(item, source), Pack: r.Pieces(item, source)})).out.Deliveries {
		if d.Item == item {
			needs[d.Day] += d.Amount
		}
	}
	for _, more := range needs {
		all += max(more, 0)
	}
	by = math.MaxInt
	for day, more := range needs {
		if more <= max(dust, leastShare*all) {
			continue
		}
		amount := roundUp(more/it.Unit.Factor, it.Unit.Kind)
		if source.Pack > 0 {
			amount = math.Ceil(more/source.Pack-1e-9) * source.Pack / it.Unit.Factor
		}
		changes = append(changes, flow.Bring{Item: item, Day: day, Amount: amount * it.Unit.Factor, Price: source.Price})
		parts = append(parts, fmt.Sprintf("%s on %s", measure.Quantity{Amount: amount, Unit: it.Unit}, r.DayName(day)))
		by = min(by, r.orderBy(day, item, source))
	}
	return changes, parts, by
}

// mostFetched bounds how many items are bought elsewhere for another batch.
const mostFetched = 3

// supply buys elsewhere what batches lack with some moves, where the file says of whom it can be had and none of them buys it
// already: the pot lit again must not take the garlic of the next. What is lacking is found with all else to be had, for two
// things may hold each other back. It stands with one of the moves.
func (r *rescuing) supply(player *week.Player, with flow.Case, f *fitted, moves []*move) (bought []flow.Shock) {
	before, needed := r.stand.Outcome.Ran, f.by
	var items []int
	var sources []kitchen.Source
	offers := func(but int) (list []flow.Shock) {
		for n, item := range items {
			if n != but {
				list = append(list, flow.Offer{Item: item, Days: r.comesOn(item, sources[n]), Pack: r.Pieces(item, sources[n])})
			}
		}
		return list
	}
	for len(items) < mostFetched {
		item := -1
		for k, ran := range r.try(player, with.With(offers(-1)...)).out.Ran {
			full := with.Schedule.Batches[k].Size
			if k < len(before) {
				full = before[k].Batches
			}
			if ran.Limit >= 0 && ran.Batches < full*(1-ask.WorthTelling) && len(r.Sources[ran.Limit]) > 0 && !slices.Contains(items, ran.Limit) &&
				!slices.ContainsFunc(moves, func(m *move) bool { return m.kind == aBuyIn && m.item == ran.Limit }) {
				item = ran.Limit
				break
			}
		}
		if item < 0 {
			break
		}
		at := slices.IndexFunc(r.Sources[item], func(s kitchen.Source) bool { // the first that comes at all, and before it is needed
			return slices.Contains(r.comesOn(item, s), true) && needed-s.Within >= r.known
		})
		if at < 0 {
			break
		}
		items, sources = append(items, item), append(sources, r.Sources[item][at])
	}
	for n, item := range items {
		all := with.With(offers(n)...)
		open := r.stand.Case.With(append(offers(n), flow.Offer{Item: item, Days: r.comesOn(item, sources[n]), Pack: r.Pieces(item, sources[n])})...) // what the move does not ask for is another's
		changes, parts, by := r.fetch(player, all, open, item, sources[n])
		if len(parts) == 0 {
			continue
		}
		bought, f.by = append(bought, changes...), min(f.by, by, needed-sources[n].Within)
		f.what += fmt.Sprintf(", with %s from %s: %s", r.Graph.Items[item].Name, r.SourceText(item, sources[n]), strings.Join(parts, ", "))
	}
	return bought
}

// comesOn are the days on which an item can come from a supplier when it is ordered once the mishap is known.
func (r *rescuing) comesOn(item int, s kitchen.Source) []bool {
	days := make([]bool, r.Days)
	for d := range days {
		switch {
		case !r.ComesOn(d, s):
		case s.Within > 0:
			days[d] = d >= r.comesFrom(item, r.known+s.Within)
		default:
			days[d] = r.InTime(d, s, r.known)
		}
	}
	return days
}

// orderBy is the minute by which an item must be ordered for a day.
func (r *rescuing) orderBy(day, item int, s kitchen.Source) int {
	if s.Within > 0 {
		return max(r.known, r.firstOn(day, item)-s.Within)
	}
	return r.OrderBy(day, s.From)
}
