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

// buyIns finds those from whom an item that is short can be had.
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

// supply buys elsewhere what batches lack because of a move, where the file says of whom it can be had: the pot lit again must
// not take the garlic of the next.
func (r *rescuing) supply(player *week.Player, c flow.Case, f *fitted) {
	before := make([]float64, len(c.Schedule.Batches))
	for k, ran := range r.try(player, c).out.Ran {
		before[k] = ran.Batches
	}
	var bought []int
	for range mostFetched {
		with := c.With(f.changes...)
		item := -1
		for k, ran := range r.try(player, with).out.Ran {
			full := with.Schedule.Batches[k].Size
			if k < len(before) {
				full = before[k]
			}
			if ran.Limit >= 0 && ran.Batches < full*(1-ask.WorthTelling) && len(r.Sources[ran.Limit]) > 0 && !slices.Contains(bought, ran.Limit) {
				item = ran.Limit
				break
			}
		}
		if item < 0 {
			return
		}
		bought = append(bought, item)
		for _, source := range r.Sources[item] {
			open := c.With(flow.Offer{Item: item, Days: r.comesOn(item, source), Pack: r.Pieces(item, source)}) // what the move does not ask for is another's
			changes, parts, by := r.fetch(player, with, open, item, source)
			if len(parts) == 0 {
				continue
			}
			f.changes, f.by = append(f.changes, changes...), min(f.by, by)
			f.what += fmt.Sprintf(", with %s from %s: %s", r.Graph.Items[item].Name, r.SourceText(item, source), strings.Join(parts, ", "))
			break
		}
	}
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
